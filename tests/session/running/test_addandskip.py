"""Added and skipped lines: their effects, and that everything else keeps its name and its times."""

from dataclasses import replace

import pytest

from pacer.plan.model import SetLine
from pacer.plan.notation.planreader import read_plan
from pacer.plan.planlines import all_items
from pacer.plan.problem import Unreadable
from pacer.review.sessionlog import session_json, session_text
from pacer.session.journal.entries import (
    Begun,
    CountChanged,
    IntervalChanged,
    LaneJoined,
    LinePutIn,
    Moved,
    Paused,
    Resumed,
    TakenBack,
    Unit,
)
from pacer.session.journal.jsonlines import entry_from_line, line_from_entry
from pacer.session.records.entrytext import names_of, said
from pacer.session.records.touches import called, swim, time_figures
from pacer.session.running import presses
from pacer.session.running.addandskip import lines_ahead, lines_of
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import apply, fresh, replay
from pacer.session.storage.savedsession import KeptSession, Line, Listed, session_of
from pacer.timeline.deviation import Deviation, Put
from pacer.timeline.findings import CannotRun
from pacer.timeline.hazards import hazard_lines
from tests.session.outlooktext import outlook_text
from tests.session.pages import ONE_LANE, THREE_SECTIONS, TWO_LANES, check, sends, session
from tests.session.refits import refit

S = 1000
ROUNDS = """\
pool: 25 m
Main set, 3 rounds
  2 x 50 on 1:00
  rest 0:30
  100 on 2:00
Swim-down
  50
"""
THREE_LANES = TWO_LANES + '[[lane]]\nnumber = 6\ngroup = "B"\nbase = "1:40"\n'


def put(run, at_s, text, lanes=None):
    entry = presses.put_line_in(run, at_s * S, text, lanes)
    made = apply(run, entry)
    check(made.timeline)
    return made


def out(run, at_s, section, line, lanes=None):
    made = apply(run, presses.leave_line_out(run, at_s * S, section, line, lanes))
    check(made.timeline)
    return made


def lines(run, lane):
    """The passes that a lane swims: section, round, line, repeats."""
    rows = []
    for p in run.timeline.tracks[lane].passes:
        place = (p.section, p.round, p.laneline.number)
        before = rows.pop()[3] if rows and rows[-1][:3] == place else 0  # a pass that was laid out again half-way
        rows.append((*place, before + p.count))
    return rows


# -- adding ------------------------------------------------------------------------------------------------


def test_an_added_line_comes_once_after_the_current_line_and_moves_nothing_before_it():
    run = put(fresh(session(ROUNDS, ONE_LANE)), 70, "2 x 25 on 0:45")
    assert lines(run, 0) == [
        (0, 1, 1, 2),
        (0, 1, 3, 2),
        (0, 1, 2, 1),
        (0, 2, 1, 2),
        (0, 2, 2, 1),
        (0, 3, 1, 2),
        (0, 3, 2, 1),
        (1, 1, 1, 1),
    ]
    # planned: 0, 60, (rest) 150; the line comes when the 100 would have left, and the 100 is that much later
    assert sends(run.timeline, 0)[:6] == [0, 60, 150, 195, 240, 360]


def test_an_added_line_has_one_place_on_the_page_in_all_lanes():
    """Lane 4 leaves on its 100 at 2:05, lane 5 is still on the 50s: both swim the added line after the 100."""
    text = "pool: 25 m\nMain set, 2 rounds\n  2 x 50 on 1:00 / 1:20\n  100 on 2:00\n  50 on 1:00\n"
    run = put(fresh(session(text)), 125, "25 fly on 0:40")
    swum = [(0, 1, 1, 2), (0, 1, 2, 1), (0, 1, 4, 1), (0, 1, 3, 1), (0, 2, 1, 2), (0, 2, 2, 1), (0, 2, 3, 1)]
    assert lines(run, 0) == lines(run, 1) == swum
    old = apply(fresh(session(text)), LinePutIn(125 * S, "25 fly on 0:40", 130 * S))
    assert lines(old, 1)[:3] == [(0, 1, 1, 2), (0, 1, 4, 1), (0, 1, 2, 1)], "in older journals after its own"
    later = put(fresh(session(text)), 305, "25 fly on 0:40")  # lane 4 has left on the second round, lane 5 has not
    assert lines(later, 0) == lines(later, 1) and lines(later, 0)[3:5] == [(0, 2, 1, 2), (0, 2, 4, 1)]


def test_two_added_lines_are_swum_in_order():
    run = put(fresh(session()), 10, "50 fly on 1:00\n100 back on 2:00", (0, 1))
    assert lines(run, 0) == lines(run, 1) == [(0, 1, 1, 4), (0, 1, 2, 1), (0, 1, 3, 1), (1, 1, 1, 3), (2, 1, 1, 1)]


def test_the_line_added_last_is_next():
    run = put(put(fresh(session(ROUNDS, ONE_LANE)), 10, "25 on 0:30"), 20, "75 on 1:15")
    assert [line for _, round, line, _ in lines(run, 0) if round == 1][:4] == [1, 4, 3, 2]


def test_a_lane_waiting_for_a_section_begins_it_with_the_added_line():
    run = put(fresh(session()), 240, "2 x 50 on 1:00")  # all have touched, the main set starts at 5:00
    assert lines(run, 0)[:3] == [(0, 1, 1, 4), (1, 1, 2, 2), (1, 1, 1, 3)]
    assert sends(run.timeline, 0, 1) == [300, 360, 420, 540, 660] == sends(run.timeline, 1, 1)


def test_before_the_zero_the_session_begins_with_the_added_line():
    run = put(fresh(session()), -5, "2 x 50 on 1:00")
    assert lines(run, 0)[:2] == [(0, 1, 2, 2), (0, 1, 1, 4)] and sends(run.timeline, 0)[:3] == [0, 60, 120]


def test_a_lane_at_the_end_of_its_section_swims_it_there_while_others_are_in_it():
    plan = "pool: 25 m\nMain set\n  6 / 2 x 50 on 1:00\nSwim-down\n  50\n"
    run = put(fresh(session(plan)), 200, "2 x 50 on 1:00")
    assert lines(run, 1) == [(0, 1, 1, 2), (0, 1, 2, 2), (1, 1, 1, 1)]
    assert sends(run.timeline, 1, 0) == [0, 60, 205, 265]  # with notice, on a mark
    assert sends(run.timeline, 0, 0) == [0, 60, 120, 180, 240, 300, 360, 420]


def test_a_lane_that_waits_for_a_section_swims_it_in_the_wait_if_there_is_time_for_all_of_it():
    """Lane 5 is home at 1:40 and waits for the swim-down at 9:00; lane 4 is on its 8 x 50."""
    plan = "pool: 25 m\nMain set\n  8 / 2 x 50 on 1:00\nSwim-down\n  100\n"
    run = fresh(session(plan))
    assert run.timeline.gates[1] == 540 * S
    made = put(run, 200, "4 x 50 on 1:10", (1,))
    assert lines(made, 1) == [(0, 1, 1, 2), (0, 1, 2, 4), (1, 1, 1, 1)]
    assert sends(made.timeline, 1) == [0, 60, 205, 275, 345, 415, 540], "with notice, and in time for the start"
    assert made.timeline.gates == run.timeline.gates and lines(made, 0) == lines(run, 0)
    long = put(run, 200, "6 x 50 on 1:10", (1,))
    assert lines(long, 1)[:2] == [(0, 1, 1, 2), (1, 1, 2, 6)], "not all of it fits the wait"
    entry = presses.put_line_in(run, 200 * S, "4 x 50 on 1:10", (1,))
    assert entry_from_line(line_from_entry(entry)) == entry
    older = apply(run, LinePutIn(entry.at_ms, entry.text, entry.leave_ms, (1,), one_place=True))
    assert lines(older, 1)[:2] == [(0, 1, 1, 2), (1, 1, 2, 4)], "in older journals it begins the section"


def test_a_lane_that_has_swum_everything_continues():
    run = put(fresh(session()), 900, "4 x 50 on 1:00", (1,))
    assert sends(run.timeline, 1)[-5:] == [720, 905, 965, 1025, 1085]
    assert lines(run, 0) == lines(fresh(session()), 0)


def test_after_the_last_line_it_comes_an_interval_after_the_last_repeat():
    plan = "pool: 25 m\nMain set\n  2 x 50 on 1:00\n"
    assert sends(put(fresh(session(plan)), 70, "50 on 1:00").timeline, 0) == [0, 60, 120]
    plan = "pool: 25 m\nMain set\n  2 x 50\n"  # straight through: lane 4 at 1:20 takes 0:40 each
    assert sends(put(fresh(session(plan)), 70, "50 on 1:00").timeline, 0) == [0, 40, 80]


def test_a_line_for_some_lanes_leaves_the_others_alone():
    before = fresh(session(THREE_SECTIONS.replace("4 x 50", "6 / 2 x 50")))
    run = put(before, 70, "3 x 50 on 1:05", (1,))
    assert run.timeline.tracks[0] is before.timeline.tracks[0] and run.timeline.gates == before.timeline.gates
    assert lines(run, 1) == [(0, 1, 1, 2), (0, 1, 2, 3), (1, 1, 1, 3), (2, 1, 1, 1)]
    assert sends(run.timeline, 1) == [0, 60, 120, 185, 250, 420, 540, 660, 840]
    less = put(before, 70, "9 x 50 on 1:05", (1,))  # repeats that do not fit before the others' next start are lost
    assert lines(less, 1)[1] == (0, 1, 2, 3) and sends(less.timeline, 1, 1) == [420, 540, 660]


def test_a_line_without_enough_time_is_refused():
    run = fresh(session())
    entry = presses.put_line_in(run, 70 * S, "4 x 200 on 5:00", (0,))  # lane 5 does not wait for lane 4
    assert outlook(run, entry).refused == "there is no time for it before the next section"
    with pytest.raises(CannotRun):
        apply(run, entry)


def test_a_paused_lane_stays_paused_and_has_the_line_next():
    run = apply(fresh(session()), Paused(70 * S))
    run = put(run, 100, "50 on 1:00")
    assert run.paused() == (0, 1)
    run = apply(run, Resumed(190 * S, 200 * S))
    assert sends(run.timeline, 0)[:5] == [0, 60, 200, 260, 320] and lines(run, 0)[:2] == [(0, 1, 1, 4), (0, 1, 2, 1)]


def test_a_line_added_within_a_timed_section():
    plan = "pool: 25 m\nTurns, for 5 min\n  2 x 50 on 1:00\nSwim-down\n  50\n"
    run = put(fresh(session(plan, ONE_LANE)), 10, "100 on 2:00")
    # Two minutes of 50s and two of the 100: the 50 that leaves at 4:00 is in within the five minutes, the next is not.
    assert lines(run, 0) == [(0, 1, 1, 2), (0, 1, 2, 1), (0, 2, 1, 1), (1, 1, 1, 1)]
    assert run.timeline.tracks[0].passes[-2].end_ms == 290 * S


def test_by_group():
    base = fresh(session(THREE_SECTIONS, THREE_LANES))
    run = put(base, 870, "50 on B 1:00", (2,))
    assert lines(run, 2)[-1] == (2, 1, 2, 1) and lines(run, 0) == lines(base, 0)
    assert lines(put(base, 10, "  50 on 1:00\n  B: 25 on 0:30"), 2)[:3] == [(0, 1, 1, 4), (0, 1, 2, 1), (0, 1, 3, 1)]
    entry = presses.put_line_in(base, 10 * S, "50 on B 1:00")
    assert outlook(base, entry).refused.startswith("lanes 4, 5 have no value: this set has values for B only")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("10 x 100 on 1:75", "75"),
        ("4 x 50 on 1:00\n4 x 50 glide-ish on 1:00", ""),
        ("", "this plan is empty"),
        ("Main set\n  4 x 50 on 1:00", "only sets can be added, not a section"),
        ("4 x 50 on 1:00\nMore\n  4 x 50 on 1:00", "only sets can be added, not a section"),
        ("4 to 8 x 50 on 1:00", "number of repeats"),
        ("3 x (2 to 4 x 50 on 1:00 + 50)", ""),
    ],
)
def test_text_that_is_not_a_line_gets_the_notations_error_and_changes_nothing(text, message):
    run = fresh(session())
    with pytest.raises(Unreadable) as error:
        presses.put_line_in(run, 0, text)
    assert message in error.value.problems[0].message
    assert error.value.text("line").startswith("line:")
    with pytest.raises(CannotRun):
        apply(run, LinePutIn(0, text, 5_000))
    assert replay(session(), [LinePutIn(0, text, 5_000)]).before is None  # skipped


def test_an_added_hazard_is_flagged():
    assert hazard_lines(put(fresh(session()), 10, '2 x 25 "no breath" on 1:00').timeline.plan) == {(0, 2)}


# -- skipping ------------------------------------------------------------------------------------------------


def test_skipping_the_current_line_skips_it_in_later_rounds_too():
    run = out(fresh(session(ROUNDS, ONE_LANE)), 30, 0, 1)
    check(run.timeline)
    assert lines(run, 0) == [(0, 1, 1, 1), (0, 1, 2, 1), (0, 2, 2, 1), (0, 3, 2, 1), (1, 1, 1, 1)]
    assert sends(run.timeline, 0)[:3] == [0, 60, 60 + 120 + 30]  # the 100 leaves when the next 50 would have left


def test_skipping_a_later_line():
    run = out(fresh(session(ROUNDS, ONE_LANE)), 30, 0, 2)
    assert lines(run, 0) == [(0, 1, 1, 2), (0, 2, 1, 2), (0, 3, 1, 2), (1, 1, 1, 1)]
    run = out(fresh(session()), 30, 1, 1)  # the only line of its section
    assert (
        lines(run, 0) == [(0, 1, 1, 4), (2, 1, 1, 1)]
        and run.timeline.gates[2] == 300 * S
        and 1 not in run.timeline.gates
    )


def test_skipping_a_line_swum_straight_through_ends_it_after_the_current_repeat():
    plan = "pool: 25 m\nMain set\n  6 x 50\n  100 on 2:00\n"
    run = out(fresh(session(plan, ONE_LANE)), 60, 0, 1)  # 0:50 each at 1:40
    assert lines(run, 0) == [(0, 1, 1, 2), (0, 1, 2, 1)] and sends(run.timeline, 0) == [0, 50, 100]


def test_a_line_that_nobody_has_ahead_cannot_be_skipped():
    run = fresh(session())
    assert presses.leave_line_out(run, 290 * S, 0, 1) is None and presses.leave_line_out(run, 0, 0, 2) is None
    assert presses.leave_line_out(run, 290 * S, 7, 1) is None and presses.leave_line_out(run, 0, 1, 1, (9,)) is None


def test_a_timed_section_with_nothing_left_is_over():
    plan = "pool: 25 m\nTurns, for 5 min\n  2 x 50 on 1:00\nSwim-down\n  50\n"
    run = out(fresh(session(plan, ONE_LANE)), 70, 0, 1)
    assert lines(run, 0) == [(0, 1, 1, 2), (1, 1, 1, 1)]


def test_the_lines_ahead_in_their_order():
    run = put(fresh(session(ROUNDS, ONE_LANE)), 10, "25 on 0:30")
    assert lines_ahead(run, 10 * S) == ((0, 1), (0, 3), (0, 2), (1, 1))
    assert lines_ahead(out(run, 10, 0, 3), 10 * S) == ((0, 1), (0, 2), (1, 1))
    assert lines_ahead(run, 10_000 * S) == ()


# -- what does not change --------------------------------------------------------------------------------------


def test_numbers_mean_what_they_meant():
    """A line added before the current one takes neither its number, nor its counts, nor its interval."""
    run = put(fresh(session(ROUNDS, ONE_LANE)), 10, "25 on 0:30")
    run = apply(run, IntervalChanged(310 * S, 70 * S, 315 * S))  # in round 2: 5:00 and 6:00
    assert run.course.deviation.intervals == {(0, 0, 1): 70 * S}
    more = apply(run, CountChanged(320 * S, 1, 325 * S))
    assert lines(more, 0) == [
        (0, 1, 1, 2),
        (0, 1, 3, 1),
        (0, 1, 2, 1),
        (0, 2, 1, 3),
        (0, 2, 2, 1),
        (0, 3, 1, 2),
        (0, 3, 2, 1),
        (1, 1, 1, 1),
    ]
    assert sends(more.timeline, 0, 0)[4:7] == [300, 370, 440]
    assert [item.count for item in all_items(run.timeline.plan.sections[0].items) if isinstance(item, SetLine)][
        -1
    ].entries == (1,)


def test_recorded_times_stay_with_their_line():
    timeline = session()
    run = fresh(timeline)
    entry = called(swim(run.timeline.tracks[0], 0, 1, 0), 110 * S, 4120)
    run = put(run, 130, "2 x 50 on 1:00")
    assert (entry.section, entry.line, entry.repeat) == (0, 1, 2) and time_figures(run, entry).over_predicted_ms == 1200


def test_undo_restores_everything():
    before = fresh(session())
    for run in (put(before, 70, "2 x 50 on 1:00"), out(before, 70, 1, 1)):
        back = apply(run, TakenBack(80 * S))
        assert back.timeline is before.timeline and back.course is before.course


def test_previous_and_next_include_the_added_line():
    run = put(fresh(session(ROUNDS, ONE_LANE)), 10, "2 x 25 on 0:45")
    entry = Moved(20 * S, Unit.LINE, 1, 30 * S)
    assert lines(apply(run, entry), 0)[:3] == [(0, 1, 1, 1), (0, 1, 3, 2), (0, 1, 2, 1)]
    on_it = apply(run, Moved(140 * S, Unit.LINE, -1, 150 * S))  # from its first repeat again
    assert lines(on_it, 0)[:3] == [(0, 1, 1, 2), (0, 1, 3, 3), (0, 1, 2, 1)] and sends(on_it.timeline, 0)[2:5] == [
        120,
        150,
        195,
    ]


def test_a_lane_that_joins_one_with_the_line_swims_it_too():
    run = put(fresh(session()), 10, "2 x 50 on 1:00")
    run = apply(run, LaneJoined(20 * S, 1, 0, 60 * S))
    assert lines(run, 1)[-3:] == lines(run, 0)[-3:] and sends(run.timeline, 1)[1:] == sends(run.timeline, 0)[1:]


def test_a_refit_keeps_added_and_skipped_lines():
    plan = "pool: 25 m\nbooking: 60 min\nMain set, 1 to 9 rounds\n  2 x 50 on 1:00\n  100 on 2:00\nSwim-down\n  50\n"
    run = out(put(fresh(session(plan, ONE_LANE)), 10, "2 x 25 on 0:30"), 20, 0, 2)
    entry, chosen = refit(run, 30 * S, 1200 * S)
    after = apply(run, entry)
    rounds = chosen.counts[0, None][0]
    assert lines(after, 0) == [
        (0, 1, 1, 2),
        (0, 1, 3, 2),
        *[(0, round, 1, 2) for round in range(2, rounds + 1)],
        (1, 1, 1, 1),
    ]
    assert after.timeline.end_ms == chosen.end_ms <= 1200 * S and rounds == 8


def test_on_disk_in_words_and_in_the_log():
    timeline = session()
    journal, run = [], fresh(timeline)
    for entry in (
        presses.put_line_in(run, 70 * S, "4 x 25 fly on 0:40"),
        presses.leave_line_out(run, 75 * S, 1, 1, (0, 1)),
    ):
        assert entry_from_line(line_from_entry(entry)) == entry
        journal.append(entry)
        run = apply(run, entry)
    assert [said(entry, names_of(timeline)) for entry in journal] == [
        "all lanes: added, next: 4 x 25 fly on 0:40",
        "all lanes: Main set, set 1 skipped",
    ]
    kept_lines = tuple(Line(number, 0, entry, line_from_entry(entry)) for number, entry in enumerate(journal, 1))
    kept = KeptSession(Listed(1, "", "25 m", 0, "", 1, 1, 2), session_of(timeline), kept_lines)
    assert "lane 4: 400 m" in session_text(kept)  # 200, the added 100, no main set, 100
    assert session_json(kept)["session"]["journal"][0]["text"] == "4 x 25 fly on 0:40"


def test_the_outlook_tells_it():
    run = fresh(session())
    told_of = outlook(run, presses.put_line_in(run, 70 * S, "2 x 50 on 1:00"))
    assert [lane.distance for lane in told_of.lanes] == [100, 100]
    assert outlook_text(told_of).startswith(
        "lanes 4, 5: leave at 2:00, swim 100 m more; Main set starts at 7:00 instead of 5:00"
    )
    told_of = outlook(run, presses.leave_line_out(run, 70 * S, 1, 1, (0,)))
    assert [(lane.lane, lane.distance) for lane in told_of.lanes] == [(0, -300)]


def test_lines_of_many_kinds():
    pool = read_plan(THREE_SECTIONS).pool
    assert len(lines_of("4 x 50 on 1:00\nrest 1:00\n2 x (50 kick + 25 fly)", pool)) == 3
    assert all(item.span is None for item in all_items(lines_of("2 x (50 kick + 25 fly)", pool)))


def test_lanes_that_follow_each_other_in_a_ring_keep_added_lines():
    """A lane that joins another does what that lane does, on the page that it follows."""
    one, other = Put(3, (1, 0)), Put(4, (1, 1))
    ring = Deviation().with_put(2, 0, one).with_leader(1, 2).with_put(1, 0, other).with_leader(2, 0).with_leader(0, 1)
    assert ring.leaders == {1: 2, 2: 0, 0: 2}  # lane 1 follows the page of lane 2, and so does lane 0
    assert ring.put == {(1, 0): (one, other), (0, 0): (one, other)}


def test_entries_by_group_are_those_of_the_page_that_a_lane_follows():
    joined = apply(fresh(session(THREE_SECTIONS, THREE_LANES)), LaneJoined(10 * S, 2, 0, 60 * S))
    assert outlook(joined, presses.put_line_in(joined, 20 * S, "50 on B 1:00", (2,))).refused.startswith(
        "lane 6 has no value"
    )


def test_what_an_added_set_leaves_no_time_for_does_not_come_back_after_a_pause_of_all():
    """Lane 4 has 4 × 50 on 1:00, lane 5 six, main set at 7:00: of three more, lane 4 has time for two."""
    plan = "pool: 25 m\nWarm-up\n  4 / 6 x 50 on 1:00\nMain set\n  3 x 100 on 2:00\n"
    run = apply(fresh(session(plan, '[[lane]]\nnumber = 4\nbase = "1:20"\n[[lane]]\nbase = "1:26"\n')), Begun(0, 0, 0))
    entry = presses.put_line_in(run, 70 * S, "3 x 50 on 1:00", (0,))
    added = apply(run, entry)
    assert sends(added.timeline, 0) == [0, 60, 120, 180, 240, 300, 420, 540, 660]
    paused = Paused(90 * S, breaks_off=True)

    def resumed(made):
        held = apply(made, paused)
        return sends(apply(held, presses.resume(held, 120 * S)).timeline, 0, 0)

    assert resumed(added) == [0, 60, 125, 185, 245, 305]
    older = apply(run, replace(entry, in_time=False))
    assert resumed(older) == [0, 60, 125, 185, 245, 305, 365], "older journals are as they were"
    skipped = apply(added, presses.leave_line_out(added, 130 * S, 0, 1, (0,)))
    assert sends(skipped.timeline, 0, 0) == [0, 60, 120, 180, 240, 300], "with less to swim there is time for all of it"
