"""Next set for several lanes takes them to one section, if one of them comes to the next."""

from dataclasses import replace

import pytest

from pacer.session.journal.entries import Begun, Unit
from pacer.session.journal.jsonlines import entry_from_line, line_from_entry
from pacer.session.running import presses
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import apply, fresh, replay
from pacer.session.running.runstate import Position, position
from tests.session.pages import check, sends, session

S = 1_000
PLAN = """\
pool: 25 m
Skill set
  4 x 50 on 1:00 / 1:30 / 2:00
Main set
  2 x 100 on 3:00
  4 x 50 on 1:30
Swim-down
  100
"""
LANES = "".join(f'[[lane]]\nnumber = {number}\nbase = "1:{base}"\n' for number, base in ((1, 20), (2, 26), (3, 32)))


def begun():
    return apply(fresh(session(PLAN, LANES)), Begun(-10 * S, 0, 0))


def next_all(run, at_ms, lanes=None):
    entry = presses.move(run, at_ms, Unit.LINE, 1, lanes)
    assert entry_from_line(line_from_entry(entry)) == entry
    return entry, apply(run, entry)


def next_in(run, at_ms):
    """By lane, when and in which section it leaves next."""
    made = []
    for track in check(run.timeline).tracks:
        index = track.index_at(at_ms) + 1
        made.append((track.sendoffs[index] // S, track.pass_at(index).section, track.repeat_in_line(index)))
    return made


@pytest.mark.parametrize("sent_on", [False, True])
def test_a_lane_with_a_round_more_and_one_that_waits_begin_the_section_with_the_others(sent_on):
    run = begun()
    run = apply(run, presses.change_count(run, 10 * S, 1, (0,), rounds=True))
    if sent_on:  # it waits for the main set already: its own next set would be the one after that
        run = apply(run, presses.move(run, 20 * S, Unit.LINE, 1, (2,)))
    entry, made = next_all(run, 100 * S)
    assert {(second, section, repeat) for second, section, repeat in next_in(made, 100 * S)} == {
        (entry.leave_ms // S, 1, 0)
    }
    assert entry.leave_ms % (30 * S) == 0 and entry.leave_ms <= 200 * S, "a section's start, and no wait"
    older = apply(run, replace(entry, together=False))
    assert next_in(older, 100 * S)[0][1] == 0, "in older journals the lane began its other round"
    waited = max(at for at, *_ in next_in(older, 100 * S)) - entry.leave_ms // S
    assert waited > 120, "and the others waited for it"


def test_lanes_within_a_section_go_each_to_their_own_next_set():
    run = begun()
    late = apply(run, presses.move(run, 20 * S, Unit.SECTION, 1))
    behind = apply(late, presses.move(late, 60 * S + late.timeline.gates[1], Unit.LINE, 1, (0,)))
    at_ms = behind.timeline.gates[1] + 130 * S
    _, made = next_all(behind, at_ms)
    found = next_in(made, at_ms)
    assert found[0][1] == 2 == found[1][1] == found[2][1], "lane 1 comes to the swim-down, so all do"
    assert sends(made.timeline, 1, 2) == sends(made.timeline, 0, 2)
    _, alone = next_all(behind, at_ms, (1, 2))
    assert [section for _, section, _ in next_in(alone, at_ms)[1:]] == [1, 1], "the two of them: their next set"


@pytest.mark.parametrize("lanes", [None, (0,)])
@pytest.mark.parametrize("wait_s", [10, 200])
def test_a_repeat_skipped_before_its_section_begins_stays_skipped_after_a_pause(lanes, wait_s):
    """Next twice: to the next section, then past its first repeat. Until then the lanes pause and are resumed."""
    run = replay(session(), (Begun(-10 * S, 0, 0),))
    on_first = apply(run, presses.move(run, 185 * S, Unit.REPEAT, 1, lanes))
    skipped = apply(on_first, presses.move(on_first, 190 * S, Unit.REPEAT, 1, lanes))
    ahead = [position(track, track.index_at(190 * S) + 1) for track in skipped.timeline.tracks]
    assert ahead[0] == Position(1, 1), "the first repeat of the main set is skipped"
    told = outlook(skipped, presses.pause(skipped, 195 * S, lanes))
    assert not any(lane.distance for lane in told.lanes), "a pause adds no metres"
    at_ms = (195 + wait_s) * S
    told = outlook(told.run, presses.resume(told.run, at_ms, lanes))
    check(told.run.timeline)
    again = told.run.timeline
    for lane in range(2) if lanes is None else lanes:
        track = again.tracks[lane]
        assert position(track, track.index_at(at_ms) + 1) == ahead[lane]
        if wait_s == 10:
            assert sends(again, lane) == sends(skipped.timeline, lane)
    if lanes is None:
        assert again.gates[1] == again.tracks[0].sendoffs[again.tracks[0].index_at(at_ms) + 1], "they begin it together"


@pytest.mark.parametrize(
    "press",
    [
        *[lambda run, at_ms, unit=unit: presses.move(run, at_ms, unit, 1) for unit in Unit],
        lambda run, at_ms: presses.start_section(run, at_ms, 1),
        lambda run, at_ms: presses.start_section_at_top(run, at_ms, 1),
    ],
)
def test_before_the_start_a_press_changes_what_is_swum_first_but_not_when(press):
    """A start is set for ten minutes later, and the coach leaves out the warm-up: nobody is sent off at once."""
    run = apply(fresh(session(PLAN, LANES)), Begun(-600 * S, 0, 0))
    made = apply(run, press(run, -590 * S))
    assert all(track.sendoffs[0] == 0 for track in made.timeline.tracks)
    first, before = made.timeline.tracks[0].pass_at(0), run.timeline.tracks[0].pass_at(0)
    assert (first.section, first.laneline.number, first.skipped) > (
        before.section,
        before.laneline.number,
        before.skipped,
    )


def test_no_section_is_started_at_a_time_of_day_before_the_start():
    run = apply(fresh(session(PLAN, LANES)), Begun(-600 * S, 0, 0))
    assert presses.start_section_at(run, -590 * S, 1, -60 * S) is None
    entry = presses.start_section_at(run, -590 * S, 1, 60 * S)
    assert entry is not None and entry.leave_ms == 60 * S
