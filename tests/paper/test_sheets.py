"""Sheets as they are laid out: nothing cut off or covered, a set with its send-offs, names where they may be."""

from __future__ import annotations

import random
import tomllib
from functools import cache
from io import BytesIO
from itertools import combinations
from pathlib import Path

import pytest
from fontTools.pens.boundsPen import BoundsPen
from pypdf import PdfReader

from pacer.paper.coachsheet import CAP, SET_CAP, coach_sheet
from pacer.paper.lanesheet import READ_FROM_M, lane_sheet
from pacer.paper.letterwidths import spelt, width_of
from pacer.paper.papersize import A4, LETTER
from pacer.paper.pdffile import pdf_bytes
from pacer.paper.planpapers import plan_papers
from pacer.paper.registersheet import register_sheet
from pacer.paper.reviewsheet import review_sheet
from pacer.plan.notation.planreader import read_plan
from pacer.plan.problem import Unreadable
from pacer.plan.times import text_from_ms, whole_up
from pacer.review.report.reviewtext import ReviewText
from pacer.review.swum.sessionreview import review_of
from pacer.shippedfiles import DEMO_SQUAD, FONTS
from pacer.show.figures.planstrip import strip
from pacer.show.measure.legibility import character_mm
from pacer.squad.files.squadreader import squad_from_bytes
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from pacer.timeline.findings import CannotRun
from pacer.timeline.summary.planned import planned
from pacer.timeline.summary.timelinetable import clock_reading
from pacer.timeline.timeline import build_timeline
from tests.face.extremes import PLAN as LONGEST
from tests.review.made import timed
from tests.show.figures.test_planstrip import DEMOS, session

LONG_NAME = "Maximiliane-Wilhelmina Brackenmere-Oberhausen of Thursday"
MANY_SETS = "pool: 25 m\ntitle: Many\n" + "".join(
    f"Part {part}, 2 rounds\n" + "".join(f'  4 x {25 * n} free on {n}:00 "cue {n}"\n' for n in range(1, 9))
    for part in range(1, 6)
)


def squad_of(lanes, swimmers=4, name=LONG_NAME):
    paces = [Pace(70_000 + 3_000 * lane) for lane in range(lanes)]
    return Squad(
        tuple(Lane(n + 1, pace, (Swimmer(pace, name),) * swimmers) for n, pace in enumerate(paces)), name="Squad " * 8
    )


def timelines():
    yield "demo", session(DEMOS[2])
    for lanes in (1, 6, 10, 17):
        yield f"longest-{lanes}", planned(read_plan(LONGEST), squad_of(lanes))[0]
    yield "many", planned(read_plan(MANY_SETS), squad_of(3))[0]
    yield "nobody", build_timeline(read_plan("pool: 25 m\nMain set, if time\n  100\n"), squad_of(2))


TIMELINES = dict(timelines())


def box(one):
    wide = width_of(one.text, one.cap, one.bold)
    left = one.x - {"left": 0, "middle": wide / 2, "right": wide}[one.across]
    return left, one.y - 0.25 * one.cap, left + wide, one.y + one.cap


def check_pages(pages, size):
    assert pages
    for page in pages:
        assert page.size == size
        boxes = [(one.text, box(one)) for one in page.letterings]
        for text, (left, low, right, top) in boxes:
            assert left >= 5 and low >= 5 and right <= size.width - 5 and top <= size.height - 5, text
            assert spelt(text) == text
        for (text, one), (other, two) in combinations(boxes, 2):
            apart = one[2] <= two[0] or two[2] <= one[0] or one[3] <= two[1] or two[3] <= one[1]
            assert apart, (text, other)


@pytest.mark.parametrize("name", TIMELINES)
@pytest.mark.parametrize("size", [A4, LETTER], ids=lambda size: size.name)
def test_nothing_is_cut_off_and_nothing_lies_over_anything(name, size):
    timeline = TIMELINES[name]
    check_pages(coach_sheet(timeline, size), size)
    check_pages(lane_sheet(timeline, 0, size), size)
    check_pages(register_sheet(timeline.squad, size), size)


@pytest.mark.parametrize("name", ["demo", "many", "longest-6"])
@pytest.mark.parametrize("size", [A4, LETTER], ids=lambda size: size.name)
def test_a_lane_sheet_keeps_a_set_with_when_to_leave(name, size):
    """A page begins with a set or a heading, never with when to leave on the set before."""
    for page in lane_sheet(TIMELINES[name], 0, size):
        first = rows_of(page)[0][0]
        assert not first.text.startswith(("every ", "no rest", "with ")), first.text


@pytest.mark.parametrize("size", [A4, LETTER], ids=lambda size: size.name)
def test_every_page_of_a_lane_sheet_says_which_lane_and_section(size):
    """From the water, second pages of several lanes look alike: lane and section are at the top, as large as sets."""
    sets = "".join(f"  4 x 100 free on 2:{n:02d}\n" for n in range(20))
    pages = lane_sheet(planned(read_plan(f"pool: 25 m\nMain set\n{sets}Swim-down\n  100\n"), squad_of(2))[0], 1, size)
    assert len(pages) > 1
    for page in pages[1:]:
        head = rows_of(page)[0][0]
        assert head.text == "LANE 2 · Main set" and head.bold and head.cap >= character_mm(READ_FROM_M, 18) - 1e-9
    check_pages(pages, size)


def test_every_size_of_a_lane_sheet_fits():
    for metres in (0.5, 2, 3, 5):
        check_pages(lane_sheet(TIMELINES["demo"], 5, A4, metres), A4)


def rows_of(page):
    """The rows of a page from the top down, each with its texts from the left."""
    rows = {}
    for one in page.letterings:
        rows.setdefault(round(one.y, 2), []).append(one)
    return [sorted(rows[y], key=lambda one: one.x) for y in sorted(rows, reverse=True)]


@pytest.mark.parametrize("name", ["demo", "many", "longest-6", "longest-17"])
@pytest.mark.parametrize("size", [A4, LETTER], ids=lambda size: size.name)
def test_a_page_break_never_parts_a_set_from_its_send_offs(name, size):
    broken = 0
    pages = coach_sheet(TIMELINES[name], size)
    for page in pages:
        rows = rows_of(page)
        sets = [at for at, row in enumerate(rows) if row[0].bold and row[0].cap == SET_CAP * CAP and row[0].x < 15]
        sets = [at for at in sets if rows[at][0].text[0].isdigit()]
        leaves = [at for at, row in enumerate(rows) if row[0].text == "first leaves"]
        for at, following in zip(sets, [*sets[1:], len(rows)]):
            assert any(at < leave < following for leave in leaves), rows[at][0].text
        if leaves:
            assert sets and sets[0] < leaves[0], "a table on top of a page without its set"
        broken += 1
    assert broken > 1 or name == "demo"


def test_the_coachs_sheet_says_what_the_timeline_does():
    timeline = TIMELINES["demo"]
    rows = [[one.text for one in row] for page in coach_sheet(timeline, A4) for row in rows_of(page)]
    heads = {}
    for row in rows:
        heads.setdefault(row[0], []).append(row[1:])
    assert heads["lasts"] == [[whole_up(track.end_ms) for track in timeline.tracks]]
    assert heads["rounds"] == [["4", "4", "4", "4", "3", "3"]]
    main = [track.passes for track in timeline.tracks]
    every = [
        next(text_from_ms(p.laneline.intervals[0]) for p in mine if p.section == 2 and p.laneline.number == 1)
        for mine in main
    ]
    assert every in heads["every"]
    firsts = [
        next(text_from_ms(p.start_ms) for p in mine if p.section == 2 and p.laneline.number == 2) for mine in main
    ]
    assert firsts in heads["first leaves"]
    text = " ".join(" ".join(row) for row in rows)
    assert "Warning, Main set:" in text and "line " not in text.partition("Checks")[2], "a sheet has no line numbers"
    for wanted in ("“", "Warning", "and get cold", "The lifeguard and the pool's own rules"):
        assert wanted in text


def test_no_name_stands_on_sheets_that_others_see():
    timeline = TIMELINES["demo"]
    pages = [*coach_sheet(timeline, A4), *(p for lane in range(6) for p in lane_sheet(timeline, lane, A4))]
    text = " ".join(one.text for page in pages for one in page.letterings)
    names = [one.name for lane in timeline.lanes for one in lane.swimmers if one.name]
    assert len(names) == 8 and not [name for name in names if name in text]


def test_the_register_has_every_name_whole():
    squad = squad_of(3, swimmers=20)
    text = " ".join(one.text for page in register_sheet(squad, A4) for one in page.letterings)
    assert text.count(LONG_NAME) == 60
    plain = " ".join(one.text for page in register_sheet(squad_of(1, 2, ""), A4) for one in page.letterings)
    assert "swimmer 1 swimmer 2" in plain


@pytest.mark.parametrize("lane", [0, 5])
def test_a_lane_sheet_is_read_from_where_it_is_read(lane):
    """20 minutes of arc for sets and send-offs, 16 for the rest (ISO 9241-303, NUREG-0700)."""
    pages = lane_sheet(TIMELINES["demo"], lane, A4)
    ink = [one for page in pages for one in page.letterings if one.colour == "ink"]
    assert min(one.cap for one in ink) == pytest.approx(character_mm(READ_FROM_M, 16))
    assert all(one.cap >= character_mm(READ_FROM_M) - 1e-9 for one in ink if one.bold or one.text[0].isdigit())


def test_a_lane_sheet_is_a_little_smaller_where_that_saves_a_page():
    """Between 20 minutes of arc, preferred, and 16, the least (ISO 9241-303)."""
    for count, minutes, pages in ((6, 20, 1), (7, 19, 1), (8, 20, 2)):
        sets = "".join(f"  4 x 100 free on 2:{n:02d}\n" for n in range(count))
        made = lane_sheet(planned(read_plan(f"pool: 25 m\nMain set\n{sets}"), squad_of(1))[0], 0, A4)
        (cap,) = {one.cap for page in made for one in page.letterings if one.text.startswith("every")}
        assert len(made) == pages and cap == pytest.approx(character_mm(READ_FROM_M, minutes))


def test_the_coachs_sheet_says_its_day():
    plan = read_plan("title: T\ndate: 2026-03-26 17:00\npool: 25 m\nMain set\n  100\n")
    texts = [one.text for page in coach_sheet(planned(plan, squad_of(1))[0], A4) for one in page.letterings]
    assert "Thursday 26 March 2026, 17:00" in texts


def test_a_lane_sheet_tells_the_readings_of_its_send_offs():
    timeline = TIMELINES["demo"]
    (row,) = [one.text for page in lane_sheet(timeline, 2, A4) for one in page.letterings if "1:25" in one.text]
    warm_up = [e.at_ms for e in timeline.events(2) if e.kind == "send-off" and e.swimmer == 1 and e.what.line == 2]
    assert row == f"every 1:25, at {' '.join(map(clock_reading, warm_up[:3]))}"


def test_a_lane_sheet_tells_rests_and_rounds_inside_a_section():
    plan = "pool: 25 m\nMain set\n  3 rounds\n    4 x 50 free on 1:00\n    rest 1:30\n    100 back\n"
    pages = lane_sheet(build_timeline(read_plan(plan), squad_of(1)), 0, A4)
    told = [one.text for page in pages for row in rows_of(page) for one in row]
    assert told.index("3 rounds of") < told.index("4 × 50 free") < told.index("rest 1:30") < told.index("100 back")
    assert "every 1:00" in told  # no readings: they differ from round to round


@pytest.mark.parametrize("named", [False, True])
def test_a_review_fits_and_names_nobody_unasked(named):
    timeline = planned(read_plan(LONGEST), squad_of(6))[0]
    review = review_of(timed(timeline, lambda swim: swim.predicted_ms if swim.repeat < 3 else None))
    pages = review_sheet(ReviewText(review, names=named), A4)
    check_pages(pages, A4)
    text = " ".join(one.text for page in pages for one in page.letterings)
    assert ("Maximiliane" in text) is named


NAMES = "Łukasz Żółć, Ágnes Győrffy, Źrebię, Größe “Ç” – 4 × 200, Ελένη Παπαδοπούλου, Дмитрий Жуков, Şükrü, Đorđe"


def test_names_are_spelt_with_their_own_letters():
    assert spelt(NAMES) == NAMES
    assert spelt("水\u0301") == "??"


def test_the_letters_that_were_added_are_in_every_weight_and_change_no_measure():
    """In the files themselves; DejaVu's letters are as high as B612's."""
    from fontTools.ttLib import TTFont

    for name in ("Regular", "Bold"):
        font = TTFont(FONTS / f"B612-{name}.otf")
        cmap, outlines = font.getBestCmap(), font.getGlyphSet()
        assert {ord(letter) for letter in NAMES} <= cmap.keys()
        assert {font["hmtx"][cmap[ord(digit)]][0] for digit in "0123456789"} == {1300}
        for letter in "HŁΠЖ":
            pen = BoundsPen(outlines)
            outlines[cmap[ord(letter)]].draw(pen)
            assert pen.bounds[3] == pytest.approx(0.75 * font["head"].unitsPerEm, abs=30), letter


def test_the_register_keeps_the_letters_of_a_name():
    text = " ".join(one.text for page in register_sheet(squad_of(1, 1, NAMES[:50]), A4) for one in page.letterings)
    assert NAMES[:50] in text
    read = PdfReader(BytesIO(pdf_bytes(register_sheet(squad_of(1, 1, NAMES[:50]), A4), "Register")))
    assert "Łukasz Żółć" in read.pages[0].extract_text()


@pytest.mark.parametrize("seed", range(6))
def test_whatever_coaches_write_fits(seed):
    """Plans of lines as coaches write them, for six lanes with groups and for ten without."""
    rng = random.Random(seed)
    page = "pool: 25 m\ntitle: T\n"
    for number in range(3):
        page += f"Section {number}\n" + "".join(f"  {line}\n" for line in rng.sample(plain_lines(), 6))
    plan = read_plan(page)
    for squad in (squad_from_bytes(DEMO_SQUAD.read_bytes()), squad_of(10)):
        try:
            timeline = planned(plan, squad)[0]
        except CannotRun:  # its groups are not this squad's
            continue
        check_pages(coach_sheet(timeline, A4), A4)
        check_pages(lane_sheet(timeline, 1, LETTER), LETTER)
        strip(timeline).check()


@cache
def plain_lines():
    """One-line sets of the corpus that read as they are."""
    corpus = tomllib.loads((Path(__file__).parents[1] / "plan" / "whiteboard.toml").read_text("utf-8"))
    lines = [one for family in corpus.values() for one in family["lines"]]
    made = [one["canonical"].strip() for one in lines if "canonical" in one and one.get("place", "set") == "set"]
    assert len(made) > 200
    return [line for line in made if "\n" not in line and readable(line)]


def readable(line):
    try:
        read_plan(f"pool: 25 m\nMain set\n  {line}\n")
    except Unreadable:
        return False
    return True


@pytest.mark.parametrize("lanes", [1, 6])
def test_every_file_has_a_title_a_language_and_an_outline_that_leads_to_its_parts(lanes):
    timeline = planned(read_plan(MANY_SETS), squad_of(lanes))[0]
    made = plan_papers(timeline, "Many", A4, lanes=True, register=timeline.squad)
    outlines = {}
    for name, data in made:
        reader = PdfReader(BytesIO(data))
        kind = name.rpartition(", ")[2]
        assert reader.metadata.title and reader.root_object["/Lang"] == "en-GB", name
        outlines[kind] = [one["/Title"] for one in reader.outline]
        for one in reader.outline:
            page = reader.pages[reader.get_destination_page_number(one)].extract_text()
            assert one["/Title"].casefold() in page.casefold(), (name, one["/Title"])
    parts = [f"Part {part}, 2 rounds" for part in range(1, 6)]
    assert outlines["coach.pdf"] == [*parts, "Totals", "Checks"]
    assert outlines["lanes.pdf"] == outlines["register.pdf"] == [f"Lane {n + 1}" for n in range(lanes)]
