"""After a match with the pool clock in mid-session, whatever is set after it is on the pool clock's marks.

The pool clock is read here from the tap alone: it passes its :00 then, and each whole minute from it.
"""

import pytest

from pacer.session.journal.entries import Begun, Matched, Unit
from pacer.session.running import presses
from pacer.session.running.leavingagain import next_mark
from pacer.session.running.replay import apply
from tests.session.pages import THREE_SECTIONS, check, run, session

S = 1_000
TAP_MS = 43_210
FLEXIBLE = THREE_SECTIONS.replace("Main set", "Main set, 1 to 6 rounds")


def reads(at_ms):
    """How far the pool clock is past its :00."""
    return (at_ms - TAP_MS) % 60_000


def begun(plan=THREE_SECTIONS):
    return run(session(plan), Begun(0, 0, 3_600_000), presses.matched(TAP_MS))


def pressed(made, entry):
    made = apply(made, entry)
    check(made.timeline)
    return made


def test_a_match_moves_no_send_off():
    assert begun().timeline is not None
    assert [t.sendoffs for t in begun().timeline.tracks] == [t.sendoffs for t in session().tracks]


@pytest.mark.parametrize(
    "press",
    [
        lambda made: presses.move(made, 70 * S, Unit.REPEAT, 1),
        lambda made: presses.move(made, 70 * S, Unit.REPEAT, -1, (0,)),
        lambda made: presses.late(made, 62 * S),
        lambda made: presses.start_section(made, 70 * S, 1),
        lambda made: presses.resume(apply(made, presses.pause(made, 70 * S)), 200 * S),
        lambda made: presses.change_count(made, 70 * S, 1),
        lambda made: presses.take_back(apply(made, presses.move(made, 70 * S, Unit.REPEAT, 1)), 100 * S),
    ],
)
def test_lanes_are_told_to_leave_on_its_fives(press):
    entry = press(begun())
    assert reads(entry.leave_ms) % 5_000 == 0 and entry.leave_ms % 5_000 == 3_210


def test_all_who_resume_start_the_next_section_on_its_top_or_bottom():
    made = begun()
    made = pressed(made, presses.pause(made, 70 * S))
    made = pressed(made, presses.resume(made, 100 * S))
    assert [reads(start) % 30_000 for section, start in sorted(made.timeline.gates.items()) if section] == [0, 0]
    moved = pressed(made, presses.move(made, 110 * S, Unit.SECTION, 1))
    assert {reads(track.sendoffs[2]) % 30_000 for track in moved.timeline.tracks} == {0}


def test_an_older_journal_keeps_the_session_s_own_marks():
    made = run(session(), Begun(0, 0, 3_600_000), Matched(TAP_MS, presses.matched(TAP_MS).phase_ms))
    made = pressed(made, presses.pause(made, 70 * S))
    made = pressed(made, presses.resume(made, 100 * S))
    assert next_mark(made, 200 * S) == 205 * S
    assert [start % 30_000 for section, start in sorted(made.timeline.gates.items()) if section] == [0, 0]


def test_a_finish_by_a_time_counts_with_them():
    made = begun(FLEXIBLE)
    out_ms = 45 * 60 * S
    rest = presses.rest_to_fit(made, 70 * S)
    found = presses.fitted(made, rest, out_ms)
    entry = presses.finish_by(made, 70 * S, out_ms, rest.leave_ms, found)
    after = pressed(made, entry)
    assert after.timeline.end_ms == found.end_ms <= out_ms
    assert [reads(start) % 30_000 for section, start in sorted(after.timeline.gates.items()) if section] == [0, 0]
