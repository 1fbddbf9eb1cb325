"""The page that is served: one file, small, with what the tablet's own views go by."""

from __future__ import annotations

import re

import esprima
import pytest

from pacer.screens.screenpage import FOLDER, MOST_BYTES, page_bytes
from pacer.show.measure.poollayout import KINDS, LEAST_DART, SEEN_MM
from pacer.show.view import bandtext
from pacer.signal import clip
from tests.screens.subsetfont import FACES, LETTERS, subset


def script(name: str) -> str:
    return (FOLDER / name).read_text(encoding="utf-8")


def constant(name: str, file: str) -> str:
    """What a script has for a constant."""
    return re.search(rf"\b{name} = (.+?)(?:, [A-Z_]+ =|;)", script(file))[1]


def test_the_page_is_one_small_file():
    page = page_bytes().decode()
    assert len(page_bytes()) <= MOST_BYTES
    assert not re.search(r'(src|href)="?(?!data:)\w', page.split("<script>")[0]), "nothing is loaded besides"
    assert page.count("<script>") == page.count("<style>") == 1 and page.count("</script>") == 1
    assert "url(data:font/woff;base64," in page and "/* " not in page.split("<script>")[0]


def test_beeps_are_those_of_the_tablet():
    names = ("SHORT", "LONG", "SHORTS", "RISE_MS", "FALL_MS", "PEAK", "STOP_HERTZ", "STOP_TONE_MS")
    said = {name: constant(name, "sound.js") for name in names}
    assert said == {
        "SHORT": f"{{ hertz: {clip.SHORT_HZ}, ms: {clip.SHORT_MS} }}",
        "LONG": f"{{ hertz: {clip.LONG_HZ}, ms: {clip.LONG_MS} }}",
        "SHORTS": str(clip.SHORTS),
        "RISE_MS": str(clip.RISE_MS),
        "FALL_MS": str(clip.FALL_MS),
        "PEAK": str(clip.PEAK),
        "STOP_HERTZ": str(list(clip.STOP_HZ)),
        "STOP_TONE_MS": str(clip.STOP_TONE_MS),
    }


def test_bands_are_divided_as_on_the_tablet():
    kinds = [
        [float(part) if re.fullmatch(r"[\d.]+", part) else part.strip('"') for part in each.split(", ")]
        for each in re.findall(r"\[(\d, [^\]]+)\]", script("poolview.js").split("const KINDS")[1].split(";")[0])
    ]
    assert kinds == [list(kind) for kind in KINDS]
    assert float(constant("LEAST_DART", "poolview.js")) == LEAST_DART
    assert float(constant("SEEN_MM", "poolview.js")) == SEEN_MM
    assert (float(constant("GAP", "poolview.js")), float(constant("WARNING", "poolview.js"))) == (
        bandtext.GAP,
        bandtext.MARK,
    )
    assert constant("PLACES", "poolview.js").startswith('["next"')


@pytest.mark.parametrize("face, file", FACES.items())
def test_the_font_is_cut_from_the_apps_own(face, file):
    from fontTools.ttLib import TTFont

    whole, made = TTFont(FOLDER.parent / "fonts" / f"{face}.otf"), TTFont(FOLDER / file)
    known, kept = whole.getBestCmap(), made.getBestCmap()
    assert set(kept) == set(LETTERS) & set(known) and made.flavor == "woff"
    assert all(made["hmtx"][kept[code]] == whole["hmtx"][known[code]] for code in kept)
    assert made.getGlyphOrder() == subset(face).getGlyphOrder(), "cut anew: python tests/screens/subsetfont.py"
    assert "GPOS" in made and (made["hhea"].ascent, -made["hhea"].descent) == (
        made["OS/2"].usWinAscent,
        made["OS/2"].usWinDescent,
    )


def test_the_script_is_of_2018():
    """ECMAScript 2018 at most (ECMA-262, 9th edition), by a parser of that year."""
    script_ = page_bytes().decode().split("<script>")[1].split("</script>")[0]
    assert len(esprima.parseScript(script_).body) > 50
    with pytest.raises(esprima.Error):
        esprima.parseScript("const one = other?.one;")  # of 2020


def test_no_script_calls_what_a_browser_of_2017_does_not_know():
    newer = (
        r"\.flat\(|\.flatMap\(|\.at\(-|replaceAll|globalThis|fromEntries|matchAll|allSettled|\.finally\(|ResizeObserver"
    )
    for path in FOLDER.glob("*.js"):
        found = re.findall(newer, re.sub(r'"[^"\n]*"', '""', path.read_text(encoding="utf-8")))
        assert not found, f"{path.name}: {found}"
