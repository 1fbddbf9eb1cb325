"""The text form: a block a second, keys, and an end."""

from __future__ import annotations

import io

import pytest

from pacer.cli.textform import run_in_text
from pacer.plan.notation.planreader import pool_from_text, read_line
from pacer.show.drive.driver import Driver
from pacer.squad.defaultsquad import default_squad
from pacer.timeline.timeline import build_timeline
from tests.session.pages import session as two_lanes


class Deck:
    """Time that moves only while the text form waits, and keys pressed at given waits."""

    def __init__(self, keys: dict[int, str] | None = None):
        self.ms, self.waits, self.keys = 5_000, 0, keys or {}

    def now(self) -> int:
        return self.ms

    def wait(self, seconds: float) -> str:
        self.waits += 1
        assert 0 < seconds <= 1
        self.ms += round(seconds * 1000)
        return self.keys.get(self.waits, "")


def told(line: str, keys: dict[int, str] | None = None) -> str:
    deck, out = Deck(keys), io.StringIO()
    timeline = build_timeline(read_line(line, pool_from_text("25 m")), default_squad())
    run_in_text(Driver(timeline, now_ms=deck.now, wall_ms=deck.now), out=out, wait=deck.wait)
    return out.getvalue()


def blocks(text: str) -> list[str]:
    return [part for part in text.split("\n\n") if part.startswith(":")]


def test_a_block_for_every_second_from_the_lead_in_to_the_last_touch():
    text = told("2 x 25 free on 0:40")
    heads = [block.splitlines()[0] for block in blocks(text)]
    # Ten seconds of lead-in, 40 s to the second send-off, 25 s of swimming at 1:40 per 100.
    assert len(heads) == 10 + 40 + 25 + 1
    assert heads[0].startswith(":50  starts in 10")
    assert heads[10].startswith(":00  session time 0:00")
    assert heads[-1].startswith(":05  session time 1:05")
    assert text.endswith("The session is over.\n")


def test_rows_say_when_to_leave_and_what_is_swum():
    rows = [block.splitlines()[1] for block in blocks(told('2 x 25 back on 0:40 "tall"'))]
    assert "READY" in rows[0] and "leaves :00 in    10" in rows[0] and "NEXT 25 back" in rows[0] and "“tall”" in rows[0]
    assert "SWIM" in rows[15] and "elapsed  0:05" in rows[15] and "leaves :40 in    35" in rows[15]
    assert "REST" in rows[10 + 29] and "repeat 2 of 2" in rows[10 + 29]


def test_keys_hold_resume_and_end():
    text = told("10 x 100 free on 1:45", {13: " ", 20: " ", 30: "q"})
    assert "* lane 1 stops at the wall and pauses" in text
    assert "STOP AT WALL" in text
    assert "* swims repeat 1 again; lane 1 leaves :" in text, "it had not swum a length of it"
    assert text.endswith("The session is over.\n")
    assert len(blocks(text)) < 65, "until all are home"


def test_after_the_end_it_goes_on_until_everybody_is_home():
    """At 0:09 of the 100 they swim on to the home wall: 50 m at 1:45 per 100, until 0:50 or so."""
    ended = {20: "q"}
    text = told("10 x 100 free on 1:45", ended)
    assert "* ends the session: 50 m swum, 950 m cut; lane 1 stops at the wall" in text
    assert "* swimmers are still swimming: x stops all, u resumes the session, q again closes pacer" in text
    last = blocks(text)[-1]
    assert 55 < len(blocks(text)) < 70 and "DONE" in last and "50/1,000 m" in last
    stopped = told("10 x 100 free on 1:45", {**ended, 25: "x"})
    assert "* all lanes paused" in stopped and stopped.count("STOP AT WALL") == text.count("STOP AT WALL")
    left = told("10 x 100 free on 1:45", {**ended, 25: "q"})
    assert len(blocks(left)) < 30 and left.endswith("The session is over.\n")
    again = told("10 x 100 free on 1:45", {**ended, 25: "u", 40: "q", 41: "q"})
    assert "* resumes the session; lane 1 swims on" in again and "SWIM" in blocks(again)[-3]


def test_a_touch_and_a_change_taken_back():
    # The swimmer leaves at 0:00, the 13th wait ends at 0:03; 50 at 1:40 per 100 takes 0:50.
    text = told("4 x 50 free on 1:00", {15: "t", 58: "t", 59: "t", 63: "u", 65: " ", 67: "u", 70: "q"})
    assert "* no swimmer in that lane is due at the wall" in text
    assert "* lane 1, swimmer 1 touched 0:48.0: section 1, set 1, repeat 1" in text
    assert text.count("* no swimmer in that lane is due at the wall") == 2
    assert "* undone: undoes the time 0:48.0 of lane 1, 1st" in text
    assert "* undone: undoes “all lanes paused”: lane 1: leaves :05" in text


def test_a_digit_chooses_the_lane_that_keys_are_for():
    deck, out = Deck({12: "t", 13: "5", 14: " ", 15: "a", 16: " ", 17: "q"}), io.StringIO()
    run_in_text(Driver(two_lanes(), now_ms=deck.now, wall_ms=deck.now), out=out, wait=deck.wait)
    text = out.getvalue()
    assert "* choose a lane first: press its number" in text
    assert "* keys are for lane 5" in text and "* lane 5 stops at the wall and pauses" in text
    assert "* keys are for all lanes" in text and "* lane 5 leaves" in text


@pytest.mark.parametrize("by_ms", [-86_400_000, -90_000, 90_000, 86_400_000])
def test_a_jump_of_the_clock_on_the_wall_moves_nothing(by_ms):
    def rows(jump_ms: int) -> list[list[str]]:
        deck, out = Deck({20: " ", 25: " ", 30: "n", 40: "q"}), io.StringIO()
        run_in_text(
            Driver(two_lanes(), now_ms=deck.now, wall_ms=lambda: deck.now() + (jump_ms if deck.waits > 15 else 0)),
            out=out,
            wait=deck.wait,
        )
        return [block.splitlines()[1:] for block in out.getvalue().split("\n\n")]

    assert len(rows(0)) > 30 and rows(by_ms) == rows(0)
