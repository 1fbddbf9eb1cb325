"""Positions read back from the file, by an XML parser, are those of the data."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from xml.etree import ElementTree

import pytest

from pacer.paper.letterwidths import width_of
from pacer.paper.svgfigure import svg_text
from pacer.show.figures.fills import PATTERNS
from pacer.show.figures.planstrip import strip
from tests.show.figures.test_planstrip import DEMOS, session

SVG = "{http://www.w3.org/2000/svg}"


def tree_of(figure, **size):
    return ElementTree.fromstring(svg_text(figure, **size))


@pytest.mark.parametrize("plan", DEMOS, ids=lambda path: path.stem)
def test_bars_read_back_are_the_events(plan):
    timeline = session(plan)
    tree = tree_of(strip(timeline), width=960, height=300)
    texts = [(each.text, float(each.get("x")), float(each.get("y"))) for each in tree.iter(f"{SVG}text")]
    numbers = Counter(y for text, _, y in texts if text.isdigit()).most_common(1)[0][0]  # the row of the x axis
    minutes = {int(text): x for text, x, y in texts if y == numbers and text.isdigit()}
    a, b = min(minutes), max(minutes)
    per_ms = (minutes[b] - minutes[a]) / (b - a) / 60_000
    rows = sorted({y for text, x, y in texts if text.isdigit() and y != numbers})
    found = Counter()
    for rect in tree.iter(f"{SVG}rect"):
        if rect.get("class") in PATTERNS:
            x, y, wide, high = (float(rect.get(name)) for name in ("x", "y", "width", "height"))
            lane = min(range(len(rows)), key=lambda lane: abs(rows[lane] - 6 - y - high / 2))
            found[lane, round((x - minutes[a]) / per_ms / 1000), round(wide / per_ms / 1000)] += 1
    assert sum(found.values()) == len(strip(timeline).bars)
    for lane in range(len(timeline.tracks)):
        marks = [e for e in timeline.events(lane) if e.swimmer == 1]
        begins = {round(e.at_ms / 1000) for e in marks if e.kind != "touch"}
        for at_lane, at_s, takes_s in found:
            if at_lane == lane:
                assert any(abs(at_s - begin) <= 1 for begin in begins)
                assert takes_s > 0
        # Nothing is missing: what is swum in all is what is drawn in all.
        drawn_s = sum(takes_s for at_lane, _, takes_s in found.elements() if at_lane == lane)
        swum_ms = sum(
            touch.at_ms - left.at_ms
            for left, touch in zip([e for e in marks if e.kind == "send-off"], [e for e in marks if e.kind == "touch"])
        )
        assert drawn_s == pytest.approx(swum_ms / 1000, abs=0.01 * swum_ms / 1000 + 5)


def test_words_and_language_are_in_the_file():
    tree = tree_of(strip(session(DEMOS[2])))
    assert tree.find(f"{SVG}title").text == "Long-axis rotation 3"
    assert tree.find(f"{SVG}desc").text.startswith("Lasts 59:46, booked 1:00:00. Lane 1: swim")
    assert tree.get("{http://www.w3.org/XML/1998/namespace}lang") == "en-GB"


def test_no_markup_comes_in_by_a_title():
    from dataclasses import replace

    figure = replace(strip(session(DEMOS[2])), title='<script>"&', words="a < b & c")
    assert ElementTree.fromstring(svg_text(figure)).find(f"{SVG}title").text == '<script>"&'


def test_widths_are_those_of_another_reader_of_the_font():
    """Pillow's FreeType measures the same text, in whole pixels a letter at most apart."""
    from PIL import ImageFont

    from pacer.shippedfiles import FONTS

    for bold, name in ((False, "Regular"), (True, "Bold")):
        font = ImageFont.truetype(FONTS / f"B612-{name}.otf", 1000, layout_engine=ImageFont.Layout.BASIC)
        for text in ("Warm-up", "8 x 50 back", "1:22.5", "Größe"):
            assert width_of(text, 750, bold) == pytest.approx(font.getlength(text), rel=0.01)


def test_libraries_wait_until_something_is_written():
    told = "import sys, pacer.paper.svgfigure; print(sorted({'fontTools', 'fpdf', 'PIL'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
