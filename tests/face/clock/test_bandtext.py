"""What a band gives up where room is short: the drill's name last."""

from __future__ import annotations

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import Begun
from pacer.session.running.replay import apply, fresh
from pacer.show.view.bandpriority import rows_of
from pacer.show.view.instantview import pool_view
from pacer.timeline.timeline import build_timeline
from tests.face.kit.test_drawing import said
from tests.face.sessions import squad
from tests.face.shots import demo_run


@pytest.fixture(scope="module")
def run():
    return demo_run()


@pytest.fixture
def text(run):
    """The first stretch of the main set: 50 drill six-kick switch “six kicks, then roll”."""
    return pool_view(run, run.timeline.gates[2] + 20_000).bands[0].text


def letters(text, cap, bold=False):
    return len(text)


def row(text, width):
    return " | ".join(rows_of(text, (width,), 1, letters, False)[0].values())


def test_the_order_of_giving_up(text):
    """The rule of `pacer.show.view.bandpriority`, line by line, on a measure of a letter each."""
    rows = [row(text, width) for width in range(100, 2, -1)]
    assert list(dict.fromkeys(rows)) == [
        "200 | round 1 of 4 | NOW | 50 drill six-kick switch | elapsed 88:88 | “six kicks, then roll”",
        "200 | round 1 of 4 | 50 drill six-kick switch | elapsed 88:88 | “six kicks, then roll”",
        "200 | round 1 of 4 | NOW | 50 drill six-kick switch | “six kicks, then roll”",
        "200 | round 1 of 4 | 50 drill six-kick switch | “six kicks, then roll”",
        "200 | round 1 of 4 | NOW | 50 six-kick switch | “six kicks, then roll”",
        "200 | round 1 of 4 | 50 six-kick switch | “six kicks, then roll”",
        "200 | round 1 | NOW | 50 six-kick switch | “six kicks, then roll”",
        "200 | round 1 | 50 six-kick switch | “six kicks, then roll”",
        "200 | round 1 of 4 | NOW | 50 drill six-kick switch",
        "200 | round 1 of 4 | 50 drill six-kick switch",
        "200 | round 1 of 4 | NOW | 50 six-kick switch",
        "200 | round 1 of 4 | 50 six-kick switch",
        "200 | round 1 | NOW | 50 six-kick switch",
        "200 | round 1 | 50 six-kick switch",
        "200 | round 1 | six-kick switch",
        "200 | NOW | 50 six-kick switch",
        "200: | 50 six-kick switch",
        "200: | six-kick switch",
        "200 | six-kick switch",
        "50 six-kick switch",
        "six-kick switch",
        "200: | 50 drill",
        "50 drill",
        "200",
    ]


def test_two_rows_say_what_is_done_above_and_how_far_below(text):
    assert rows_of(text, (40, 40), 1, letters, False) == [
        {"distance": "200", "now": "NOW", "present": "50 drill six-kick switch"},
        {"round": "round 1 of 4", "cue": "“six kicks, then roll”"},
    ]
    assert rows_of(text, (46, 46), 1, letters, False)[0] == {
        "distance": "200:",
        "present": "50 drill six-kick switch",
        "swum": "elapsed 88:88",
    }
    assert rows_of(text, (24, 28), 1, letters, False) == [
        {"distance": "200:", "present": "50 six-kick switch"},
        {"round": "round 1 of 4", "swum": "elapsed 88:88"},
    ]


def test_the_next_repeat_is_said_whole_where_there_is_room_and_never_as_two_distances(run):
    """`NEXT 50 25 kick` reads as two distances."""
    page = "pool: 25 m\n\nMain set\n  6 x 50 as 25 kick / 25 swim, rest 0:15\n"
    made = apply(fresh(build_timeline(read_plan(page), squad(1))), Begun(-10_000, 0, 0))
    text = pool_view(made, -5_000).bands[0].text

    def said(width):
        return " ".join(rows_of(text, (width,), 1, letters, False)[0].values())

    assert said(60) == "NEXT 50 repeat 1 of 6 25 kick / 25 swim"
    assert rows_of(text, (40, 40), 1, letters, False)[0] == {
        "next": "NEXT",
        "distance": "50:",
        "present": "25 kick / 25 swim",
    }
    for width in range(60, 2, -1):
        assert "50 25" not in said(width), said(width)


def test_a_rate_that_has_no_room_behind_the_work_stands_in_the_other_row(run):
    text = pool_view(run, run.timeline.gates[2] + 310_000).bands[0].text  # 100 back build, rate 32-40
    assert rows_of(text, (40, 40), 1, letters, False)[0]["present"] == "back build, rate 32–40"
    assert rows_of(text, (24, 42), 1, letters, False) == [
        {"next": "NOW", "distance": "100", "present": "back build"},
        {"round": "round 1 of 4", "detail": "rate 32–40", "swum": "elapsed 88:88"},
    ]


@pytest.mark.parametrize(("size", "dpi"), [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)])
@pytest.mark.parametrize("lanes", [1, 3, 4, 6, 10])
def test_the_name_of_the_drill_stands_in_every_band(deck, size, dpi, lanes):
    """With the sheet beside it and without: it is what swimmers ask for."""
    deck = deck(size, dpi, made=demo_run(lanes=lanes, swimmers=4).timeline)
    deck.begin()
    deck.shell.show_view("pool")
    deck.shell.mode = "pool"
    deck.skip_to(deck.driver.run.timeline.gates[2] + 20_000)
    for sheet in (False, True):
        if sheet:
            deck.shell.choose_lane(0)
        deck.settle()
        deck.frame(20)
        for band in deck.shell.view.face.bands:
            labels = [said(words) for words in band.ribbon.drawn() if words.ink]
            written = [said(cell) for cell in band.cells.values() if cell.ink]
            assert any("six-kick switch" in words for words in (*written, *labels)), (sheet, written)
            if not sheet or size[0] > size[1]:  # the sheet and a bar of two rows leave an upright pool less room
                assert not any("…" in words for words in written), "a cue is whole"


@pytest.mark.parametrize(("size", "dpi"), [((1280, 800), 149.5), ((800, 1280), 149.5)])
@pytest.mark.parametrize(("line", "framed"), [("400 free easy", []), ("100 as 50 kick / 50 swim", [0])])
def test_only_the_first_of_several_segments_is_framed_before_the_start(deck, size, dpi, line, framed):
    """A frame round the only words of a lane looks like a field to write in."""
    made = build_timeline(read_plan(f"pool: 25 m\nWarm-up\n  {line}\n"), squad())
    deck = deck(size, dpi, made=made)
    deck.shell.show_view("pool")
    deck.settle()
    deck.frame(20)
    for band in deck.shell.view.face.bands[: len(made.lanes)]:
        drawn = [number for number, (_, frame, _) in enumerate(band.ribbon.pieces) if frame.drawn is not None]
        assert drawn == framed
