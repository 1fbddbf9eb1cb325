"""Undo reverses what has not happened yet, and never rewrites what has."""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pacer.session.journal.entries import Begun, Stopped, TakenBack, Unit
from pacer.session.journal.jsonlines import entry_from_line, line_from_entry
from pacer.session.running import presses
from pacer.session.running.brokenrepeats import in_all
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import apply, fresh, reaching, replay
from pacer.session.running.undo import departures, undoes
from pacer.session.running.undo import undone as undone_of
from pacer.session.running.whereabouts import back_ms, crew, places
from pacer.timeline.findings import CannotRun
from tests.session.outlooktext import outlook_text
from tests.session.pages import TWO_LANES, check, sends, session

S = 1000
PLAN = """\
pool: 25 m
Warm-up
  4 / 3 / 2 x 50 on 1:00 / 1:15 / 1:30
Skill set
  2 x 50 as 25 drill / 25 swim, rest 0:20
Main set
  3 / 3 / 2 x 100 on 2:00 / 2:10 / 2:30
  200 free
Swim-down
  2 x 50 on 1:30
"""
SQUAD = """\
[[lane]]
base = "1:20"
swimmers = 2
[[lane]]
base = "1:30"
[[lane]]
base = "1:40"
swimmers = 3
"""
TIMELINE = session(PLAN, SQUAD)


def begun(plan=None, squad=None):
    return apply(fresh(session(plan, squad) if plan else session()), Begun(-10 * S, 0, 0))


def pressed(run, entry):
    return apply(run, entry)


# Lane 4 (index 0) of `pages.THREE_SECTIONS` leaves at 0, 60, 120, 180, then the main set from 300.


def test_a_pause_undone_before_the_next_send_off_leaves_no_trace():
    run = begun()
    held = pressed(run, presses.pause(run, 70 * S, (0,)))
    back = pressed(held, presses.take_back(held, 110 * S))
    assert back.timeline is run.timeline and back.before is None


def test_a_pause_undone_after_the_next_send_off_resumes_the_lane_from_now():
    run = begun()
    held = pressed(run, presses.pause(run, 70 * S, (0,)))
    entry = presses.take_back(held, 142 * S)
    back = pressed(held, entry)
    assert entry.leave_ms == 150 * S, "the next mark that gives notice"
    assert sends(back.timeline, 0)[:4] == [0, 60, 150, 300], (
        "the repeat of 2:00 was not swum and comes now; the next start stands, so that nobody waits, and one is lost"
    )
    assert sends(back.timeline, 1) == sends(run.timeline, 1), "nobody else waits"
    assert departures(back.timeline, 0, 142 * S) == departures(held.timeline, 0, 142 * S)
    assert back.paused() == ()
    told = outlook_text(outlook(held, entry))
    assert "lane 4: leaves at 2:30" in told, told


def test_an_added_set_that_cancelled_a_send_off_is_undone_from_now():
    """A set added between the warm-up and the main set kept two lanes from the send-off at 5:00."""
    run = begun()
    made = pressed(run, presses.put_line_in(run, 290 * S, "2 x 50 on 1:10", (0, 1)))
    new = sends(made.timeline, 0)
    assert new[4:6] == [300, 370]
    # before anybody leaves on it: as it was
    assert pressed(made, presses.take_back(made, 299 * S)).timeline is run.timeline
    # once they have left on it, the rest is skipped, and nobody counts as having swum the main set meanwhile
    entry = presses.take_back(made, 322 * S)
    back = pressed(made, entry)
    assert departures(back.timeline, 0, 322 * S) == departures(made.timeline, 0, 322 * S)
    assert (
        sends(back.timeline, 0)[4] == 300
        and sends(back.timeline, 0)[5] >= 322
        and len(sends(back.timeline, 0)) == len(new) - 1
    )


def test_a_resume_undone_after_the_lane_has_left_pauses_it_from_now():
    run = begun()
    held = pressed(run, presses.pause(run, 70 * S, (0,)))
    going = pressed(held, presses.resume(held, 100 * S, (0,)))
    leaves = sends(going.timeline, 0)[2]
    assert pressed(going, presses.take_back(going, 101 * S)).timeline.tracks[0].paused_ms == 70 * S
    back = pressed(going, presses.take_back(going, (leaves + 20) * S))
    assert back.timeline.tracks[0].paused_ms == (leaves + 20) * S
    assert (leaves * S) in [left_ms for left_ms, *_ in departures(back.timeline, 0, (leaves + 20) * S)]


def test_a_resume_is_over_once_its_lanes_have_left_again():
    """Undo in the main set does not stop everybody because of a resume in the warm-up."""
    run = begun()
    held = pressed(run, presses.pause(run, 70 * S))
    going = pressed(held, presses.resume(held, 100 * S))
    again = max([at for at in sends(going.timeline, lane) if at > 70][1] for lane in (0, 1))
    assert presses.take_back(going, (again - 1) * S) is not None, "one lane has not left again yet"
    assert presses.take_back(going, again * S) is None
    assert presses.take_back(going, 3600 * S) is None, "everything is swum"
    cut = pressed(going, presses.change_count(going, again * S, -1))
    undone = pressed(cut, presses.take_back(cut, (again + 1) * S))
    assert undone.timeline is going.timeline and presses.take_back(undone, (again + 2) * S) is None


def test_an_undo_sends_nobody_off_without_notice():
    """Told to leave late, a lane is not sent off at once when that is undone right before its old send-off."""
    run = begun()
    late = pressed(run, presses.late(run, 110 * S))
    assert sends(late.timeline, 0)[2] == 125
    entry = presses.take_back(late, 119 * S)
    back = pressed(late, entry)
    assert sends(back.timeline, 0)[2:4] == [125, 185], "the first mark with notice"
    assert pressed(late, presses.take_back(late, 115 * S)).timeline is run.timeline, "in time"
    paused = pressed(run, presses.pause(run, 110 * S))
    assert sends(pressed(paused, presses.take_back(paused, 117 * S)).timeline, 0)[2] == 125


def test_undoing_a_delay_delays_nobody_further():
    """Undone too late for notice before the delayed send-off, it stays where it is."""
    run = begun()
    late = pressed(run, presses.late(run, 110 * S))
    for at in (120, 121, 124):
        assert sends(pressed(late, presses.take_back(late, at * S)).timeline, 0)[2:4] == [125, 185]


def test_an_undone_skip_that_brings_nothing_back_lets_nobody_wait():
    """The lane has left on the next set already: it goes on from there at that set's interval."""
    run = apply(fresh(session("pool: 25 m\nMain set\n  4 x 50 on 1:15\n  4 x 100 on 2:00\n")), Begun(-10 * S, 0, 0))
    skipped = pressed(run, presses.leave_line_out(run, 60 * S, 0, 1, (0,)))
    left = [at for at in sends(skipped.timeline, 0) if at > 60][:2]
    back = pressed(skipped, presses.take_back(skipped, (left[0] + 15) * S))
    assert [at for at in sends(back.timeline, 0) if at > 60][:2] == left == [75, 195]


def test_a_lane_whose_resume_was_undone_waits_no_longer_when_it_is_resumed_again():
    """It was cut short in its 200, so its resume let it leave at once, long before the plan; and so does the next."""
    plan = "pool: 25 m\nWarm-up\n  200 choice, rest 0:10\n  4 x 25 kick easy, rest 0:15\nMain set\n  4 x 100 on 2:00\n"
    run = apply(fresh(session(plan)), Begun(-10 * S, 0, 0))
    held = pressed(run, presses.pause(run, 62 * S, (0,)))
    going = pressed(held, presses.resume(held, 100 * S, (0,)))
    leaves, following = [at for at in sends(going.timeline, 0) if at > 62][:2]
    assert leaves < 130 and following < leaves + 60
    back = pressed(going, presses.take_back(going, (leaves + 15) * S))
    again = pressed(back, presses.resume(back, (leaves + 16) * S, (0,)))
    assert min(at for at in sends(again.timeline, 0) if at > leaves) == following


def test_stop_all_undone_while_everybody_swims_home_leaves_no_trace():
    run = begun()
    stopped = apply(run, Stopped(130 * S))
    assert pressed(stopped, presses.take_back(stopped, 132 * S)).timeline is run.timeline
    later = pressed(stopped, presses.take_back(stopped, 400 * S))
    assert later.paused() == () and not later.stopped
    for lane in (0, 1):
        assert departures(later.timeline, lane, 400 * S) == departures(stopped.timeline, lane, 400 * S)
        assert min(at for at in sends(later.timeline, lane) if at > 130) >= 405


def test_added_repeats_that_were_swum_cannot_be_undone():
    run = begun()
    more = pressed(run, presses.change_count(run, 130 * S, 1))
    assert sends(more.timeline, 0)[4] == 240
    assert pressed(more, presses.take_back(more, 230 * S)).timeline is run.timeline
    with pytest.raises(CannotRun, match="already swum"):
        pressed(more, presses.take_back(more, 250 * S))


def test_an_undo_in_an_older_journal_restores_everything():
    run = begun()
    held = pressed(run, presses.pause(run, 70 * S, (0,)))
    assert pressed(held, TakenBack(142 * S)).timeline is run.timeline


PRESSES = st.sampled_from(
    (
        "pause",
        "resume",
        "next",
        "previous",
        "next line",
        "late",
        "miss",
        "fewer",
        "more",
        "round",
        "interval",
        "in",
        "out",
        "section",
        "stop",
        "join",
        "lane",
    )
)


def press(run, name, at_ms, lanes, number):
    """One press as the app makes it; None if it would do nothing."""
    ways = {
        "pause": lambda: presses.pause(run, at_ms, lanes),
        "resume": lambda: presses.resume(run, at_ms, lanes),
        "next": lambda: presses.move(run, at_ms, Unit.REPEAT, 1, lanes),
        "previous": lambda: presses.move(run, at_ms, Unit.REPEAT, -1, lanes),
        "next line": lambda: presses.move(run, at_ms, Unit.LINE, 1, lanes),
        "late": lambda: presses.late(run, at_ms, lanes),
        "miss": lambda: presses.miss(run, at_ms, lanes),
        "fewer": lambda: presses.change_count(run, at_ms, -1, lanes),
        "more": lambda: presses.change_count(run, at_ms, 1, lanes),
        "round": lambda: presses.change_count(run, at_ms, 1, lanes, rounds=True),
        "interval": lambda: presses.change_interval(run, at_ms, (100 + 5 * number) * S, lanes),
        "in": lambda: presses.put_line_in(run, at_ms, "2 x 50 on 1:10", lanes),
        "out": lambda: presses.leave_line_out(run, at_ms, number % 4, 1 + number % 2, lanes),
        "section": lambda: presses.start_section(run, at_ms, number % 4, lanes),
        "stop": lambda: Stopped(at_ms),
        "join": lambda: presses.join(run, at_ms, lanes[0], base_ms=95 * S),
        "lane": lambda: presses.join_lane(run, at_ms, lanes[0], (lanes[0] + 1) % 3),
    }
    return ways[name]()


SEARCH = int(os.environ.get("PACER_EXAMPLES", "0"))


@settings(max_examples=SEARCH or 150, derandomize=not SEARCH, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    st.lists(
        st.tuples(
            st.integers(1, 200),
            PRESSES,
            st.sets(st.integers(0, 2), min_size=1).map(sorted).map(tuple),
            st.integers(0, 9),
        ),
        min_size=1,
        max_size=6,
    ),
    st.integers(0, 240),
    st.integers(1, 2),
)
def test_no_undo_rewrites_the_past(pressings, later, times):
    run, now, journal = fresh(TIMELINE), 0, []

    def do(entry):
        nonlocal run
        try:
            run = apply(run, entry)
        except CannotRun:
            return False
        journal.append(entry)
        return True

    do(Begun(-10 * S, 0, 0))
    for seconds, name, lanes, number in pressings:
        now += seconds * S
        entry = press(run, name, now, lanes, number)
        if entry is not None:
            do(entry)
    now += later * S
    for _ in range(times):
        entry = presses.undo(run, now)
        if entry is None:
            return
        was = reaching(run, entry.stay)
        if not do(entry):
            return
        check(run.timeline)
        for lane in range(3):
            assert departures(run.timeline, lane, now) == departures(was.timeline, lane, now), (
                f"lane {lane}: who has left"
            )
            here, there = (
                dict(zip(crew(each.timeline, lane, now), places(each.timeline, lane, now))) for each in (run, was)
            )
            both = here.keys() & there.keys()
            assert all(here[who][:2] == there[who][:2] for who in both), f"lane {lane}: nobody jumps"
            back = back_ms(run.timeline, lane, now, broken_off=False)
            ahead = [at for at in run.timeline.tracks[lane].sendoffs if at > now]
            if (
                ahead
                and run.timeline.tracks[lane].paused_ms is None
                and ahead[0] not in was.before.timeline.tracks[lane].sendoffs
                and ahead[0] not in was.timeline.tracks[lane].sendoffs
            ):
                assert ahead[0] >= min(back, now) + NOTICE_MS, f"lane {lane}: leaves without notice"
        now += 7 * S
    assert [track.sendoffs for track in replay(TIMELINE, journal).timeline.tracks] == [
        track.sendoffs for track in run.timeline.tracks
    ]


def test_an_undone_join_leaves_the_lane_its_rest():
    """Lane 1 leaves with lane 2 at 2:10 and touches at 3:30. On its own it would have left at 3:40 and rested 0:30."""
    squad = '[[lane]]\nbase = "1:20"\n[[lane]]\nbase = "1:40"\n'
    run = apply(fresh(session("pool: 25 m\nMain set\n  6 x 100 on 1:50 / 2:10\n", squad)), Begun(0, 0, 0))
    joined = apply(run, presses.join_lane(run, 60 * S, 0, 1))
    undone = apply(joined, presses.take_back(joined, 200 * S))
    assert sends(undone.timeline, 0)[:4] == [0, 130, 130 + 110, 130 + 220]
    stopped = apply(joined, presses.pause(joined, 150 * S, (0,)))
    back = apply(stopped, presses.take_back(stopped, 200 * S))
    assert sends(back.timeline, 0)[:3] == [0, 130, 260], "that is with lane 2 again"


def test_swimmers_get_notice_before_a_set_that_they_leave_closer_together():
    """The last of three, 0:10 apart, is back at 2:20; in the next set they leave 0:02 apart."""
    squad = '[[lane]]\nbase = "2:00"\nswimmers = 3\nspacing = "0:10"\n'
    run = fresh(session("pool: 25 m\nMain set\n  2 x 100 on 3:00\n  2 x 50 on 1:30, 0:02 apart\n", squad))
    assert back_ms(run.timeline, 0, 60 * S, broken_off=False) == (140 - 2 * 2) * S


# -- what happened after the change that is undone ------------------------------------------------------

#: Lane 1 swims 200 m in 3:20 and leaves on the 50s at 4:30; lane 2 likewise.
LONG = "pool: 25 m\nMain set\n  200 on 4:30\n  4 x 50 on 1:15\n"
LONG_SQUAD = '[[lane]]\nbase = "1:40"\nswimmers = 2\n[[lane]]\nbase = "1:40"\n'


def _stopped_at_50():
    """Lane 2 gets a swimmer; lane 1 is paused at 0:30, which is undone at 1:30, when all have stopped at 50 m."""
    run = begun(LONG, LONG_SQUAD)
    first = pressed(run, presses.join(run, 20 * S, 1))
    held = pressed(first, presses.pause(first, 30 * S, (0,)))
    return pressed(held, presses.take_back(held, 90 * S))


@pytest.mark.parametrize("at_s", [95, 200, 280, 400])
def test_undo_of_an_older_change_keeps_a_stop_that_came_after_it(at_s):
    """200 m - 150 m, told to stop at 0:30; whatever else is undone, 50 m is what they swam of it."""
    back = _stopped_at_50()
    assert in_all(back.timeline, 0) == 400 - 150
    undone = pressed(back, presses.take_back(back, at_s * S))
    assert len(undone.timeline.squad.lanes[1].swimmers) == 1, "the swimmer is out again"
    assert in_all(undone.timeline, 0) == 400 - 150
    assert sends(undone.timeline, 0) == sends(back.timeline, 0)
    told = outlook(back, presses.take_back(back, at_s * S))
    assert 0 not in [lane.lane for lane in told.lanes], "and the preview says nothing of it"


# -- older changes ----------------------------------------------------------------------------------------


def undone(run, at_s):
    """What the Undo key does: the change that it undoes, and the run after that."""
    entry = presses.undo(run, at_s * S)
    return undoes(run, entry), pressed(run, entry)


def delayed_and_skipped():
    """Lane 1's send-offs are 5 s late from 1:05 on; lane 2 skipped its third repeat, and is on its last since 1:55."""
    run = begun()
    late = pressed(run, presses.late(run, 55 * S, (0,)))
    moved = pressed(late, presses.move(late, 70 * S, Unit.REPEAT, 1, (1,)))
    skipped = pressed(moved, presses.move(moved, 76 * S, Unit.REPEAT, 1, (1,)))
    assert sends(skipped.timeline, 0)[:4] == [0, 65, 125, 185] and sends(skipped.timeline, 1)[:4] == [0, 60, 115, 300]
    assert not outlook(skipped, presses.take_back(skipped, 130 * S)).changes
    return late, skipped


def test_undo_passes_over_what_it_can_no_longer_change():
    late, skipped = delayed_and_skipped()
    what, back = undone(skipped, 130)
    assert what is late.by
    assert sends(back.timeline, 0)[:4] == [0, 65, 125, 180], (
        "an interval of 0:55 takes the 5 s back, as for the last one"
    )
    assert sends(back.timeline, 1) == sends(skipped.timeline, 1), "the other lane stays as it is"
    assert back.by is skipped.by and back.before.by is skipped.before.by and back.before.before.by is None
    assert presses.take_back(back, 131 * S) == presses.undo(back, 131 * S), "nothing older is left"


def test_an_older_undo_is_kept_on_disk_and_replayed_alike():
    _, skipped = delayed_and_skipped()
    entry = presses.undo(skipped, 130 * S)
    assert entry.stay == (True, True)
    assert entry_from_line(line_from_entry(entry)) == entry
    changes = [skipped.before.before.by, skipped.before.by, skipped.by]
    again = replay(skipped.before.before.before.timeline, [Begun(-10 * S, 0, 0), *changes, entry])
    assert sends(again.timeline, 0)[:4] == [0, 65, 125, 180]
    left = changes[:]
    assert undone_of(left, entry) is changes[0] and left == changes[1:]


def faster_and_longer():
    """Lane 2 swims on 1:10 instead of 1:30; lane 1 gets a ninth repeat, at 8:00."""
    run = begun("pool: 25 m\nMain set\n  8 x 50 on 1:00 / 1:30\n", TWO_LANES)
    faster = pressed(run, presses.change_interval(run, 20 * S, 70 * S, (1,)))
    longer = pressed(faster, presses.change_count(faster, 90 * S, 1, (0,)))
    assert sends(longer.timeline, 0)[7:] == [420, 480] and sends(longer.timeline, 1)[6:] == [420, 490]
    return faster, longer


def test_what_was_swum_already_does_not_block_older_changes():
    faster, longer = faster_and_longer()
    assert undone(longer, 430)[0] is longer.by, "it has not been swum yet"
    what, back = undone(longer, 481)
    assert what is faster.by and sends(back.timeline, 0) == sends(longer.timeline, 0)
    assert sends(back.timeline, 1)[6:] == [420, 510], "on 1:30 again"
    with pytest.raises(CannotRun, match="already swum"):
        pressed(back, presses.undo(back, 482 * S))


def test_a_pause_that_was_resumed_long_ago_blocks_no_older_change():
    """The resume is over, and so is its pause: to undo it would only give back a swim that was broken off."""
    faster, _ = faster_and_longer()
    held = pressed(faster, presses.pause(faster, 70 * S, (0,)))
    going = pressed(held, presses.resume(held, 75 * S, (0,)))
    again = [at for at in sends(going.timeline, 0) if at > 75][1]
    assert presses.take_back(going, again * S) is None
    what, back = undone(going, again)
    assert what is faster.by and sends(back.timeline, 0) == sends(going.timeline, 0)
    assert sends(back.timeline, 1) != sends(faster.timeline, 1)


def test_stop_all_pressed_twice_is_undone_as_a_whole():
    run = begun()
    twice = apply(apply(run, Stopped(130 * S)), Stopped(131 * S))
    what, back = undone(twice, 133)
    assert what == Stopped(130 * S) and back.timeline is run.timeline and not back.stopped and back.before is None


def test_undo_looks_past_a_swimmer_who_came_and_has_swum():
    """Lane 2 was left empty: who joins it swims on. The delay of lane 1 can be undone; who got out before can't."""
    run = begun()
    out = pressed(run, presses.leave(run, 20 * S, 1, 0))
    late = pressed(out, presses.late(out, 50 * S, (0,)))
    came = pressed(late, presses.join(late, 61 * S, 1, base_ms=100 * S))
    left = min(at for at in sends(came.timeline, 1) if at > 61) + 1
    with pytest.raises(CannotRun, match="already swum"):
        pressed(came, presses.take_back(came, left * S))
    what, back = undone(came, left)
    assert what is late.by and len(back.timeline.squad.lanes[1].swimmers) == 1
    with pytest.raises(CannotRun, match="already swum"):
        pressed(back, presses.undo(back, (left + 1) * S))


def test_a_set_swum_straight_through_again_is_too_late_to_undo_once_the_lane_has_left_on_it():
    """A repeat was added to it, and sat out; gone back to, it is swum: the lane leaves on all three at once."""
    run = begun("pool: 25 m\nMain set\n  2 x 200 free\n", '[[lane]]\nbase = "1:20"\n')
    added = pressed(run, presses.change_count(run, 100 * S, 1, (0,)))
    missed = pressed(added, presses.miss(added, 200 * S, (0,)))
    back = pressed(missed, presses.move(missed, 280 * S, Unit.LINE, -1, (0,)))
    left = [at for at in sends(back.timeline, 0) if at > 280]
    assert len(left) == 3 and len(sends(missed.timeline, 0)) == 2
    with pytest.raises(CannotRun, match="already swum"):
        pressed(back, presses.take_back(back, (left[0] + 1) * S))


# -- sections that were started ---------------------------------------------------------------------------


def _main_set(run, at_ms):
    return presses.start_section(run, at_ms, 1)


def _next_section(run, at_ms):
    return presses.move(run, at_ms, Unit.SECTION, 1)


@pytest.mark.parametrize("start", [_main_set, _next_section])
def test_a_section_that_lanes_have_left_for_stays_started_and_undo_looks_past_it(start):
    skipped = pressed(begun(), presses.leave_line_out(begun(), 55 * S, 2, 1, (1,)))
    run = pressed(skipped, start(skipped, 70 * S))
    start_ms = run.timeline.gates[1]
    assert outlook(run, presses.take_back(run, start_ms - 10 * S)).starts, "nobody has left yet: the start moves back"
    at_ms = start_ms + S
    entry = presses.take_back(run, at_ms)
    told, back = outlook(run, entry), pressed(run, entry)
    assert not told.changes and told.lanes == told.starts == told.far == ()
    assert not presses.undoes_anything(run, at_ms, entry)
    assert back.timeline.gates == run.timeline.gates, "they began it when they began it"
    assert [sends(back.timeline, lane) for lane in (0, 1)] == [sends(run.timeline, lane) for lane in (0, 1)]
    what, back = undone(run, at_ms // S)
    assert what is skipped.by and sends(back.timeline, 1, 2) == sends(back.timeline, 0, 2) != []
    assert sends(back.timeline, 1, 1) == sends(run.timeline, 1, 1), "they stay in the main set"


def test_a_timed_section_that_was_started_early_counts_from_then_after_an_undo():
    """`at most 5 min` counts from the start that was pressed, not from the one that was planned."""
    plan = "pool: 25 m\nWarm-up\n  8 x 50 on 1:00\nMain set, at most 5 min\n  10 x 50 on 1:00 / 1:10\n"
    run = begun(plan, TWO_LANES)
    run = pressed(run, presses.start_section(run, 70 * S, 1))
    start_ms = run.timeline.gates[1]
    back = check(pressed(run, presses.take_back(run, start_ms + 2 * S)).timeline)
    assert [sends(back, lane) for lane in (0, 1)] == [sends(run.timeline, lane) for lane in (0, 1)]
    assert [track.starts[1] for track in back.tracks] == [start_ms, start_ms]
