"""A round for several lanes goes to one section, the one that they are in or were sent to."""

from dataclasses import replace

from pacer.session.journal.entries import Begun, Unit
from pacer.session.journal.jsonlines import entry_from_line, line_from_entry
from pacer.session.running import presses
from pacer.session.running.replay import apply, fresh
from tests.session.pages import check, session

S = 1_000
PLAN = """\
pool: 25 m
Warm-up, 2 rounds
  4 x 50 on 1:00
Main set, 2 rounds
  2 x 100 on 2:00
Swim-down
  100
"""
LANES = "".join(f'[[lane]]\nbase = "{base}"\n' for base in ("1:20", "1:30", "1:45"))  # a 50 in 40, 45 and 52.5 s


def begun():
    return apply(fresh(session(PLAN, LANES)), Begun(-10 * S, 0, 0))


def rounds(run):
    """By lane, how many rounds it swims of the warm-up and of the main set."""
    return [
        [max([found.round for found in track.passes if found.section == section], default=0) for section in (0, 1)]
        for track in check(run.timeline).tracks
    ]


def round_more(run, at_ms, by=1):
    entry = presses.change_count(run, at_ms, by, None, rounds=True)
    assert entry_from_line(line_from_entry(entry)) == entry
    return entry, apply(run, entry)


def test_a_lane_that_is_home_first_gets_its_round_where_the_others_do():
    run = begun()
    entry, made = round_more(run, 463 * S)  # the last 50 left at 420: lane 1 is home, lanes 2 and 3 are not
    assert rounds(made) == [[3, 2]] * 3
    assert rounds(apply(run, replace(entry, one_section=False))) == [[2, 3], [3, 2], [3, 2]], "in an older journal"
    assert rounds(round_more(made, 470 * S, -1)[1]) == [[2, 2]] * 3


def test_between_sections_the_next_one_is_meant():
    assert rounds(round_more(begun(), 480 * S)[1]) == [[2, 3]] * 3


def test_a_lane_that_still_comes_home_is_in_the_section_that_it_was_sent_to():
    run = apply(begun(), presses.start_section(begun(), 42 * S, 1))
    entry, made = round_more(run, 46 * S)  # lane 3 swims the last length of its 50
    assert rounds(made) == [[1, 3]] * 3
    assert made.timeline.gates[1] == run.timeline.gates[1] == 60 * S
    assert rounds(apply(run, replace(entry, one_section=False)))[2] == [3, 2], "in an older journal it went back"


def test_so_does_a_repeat_more():
    run = apply(begun(), presses.start_section(begun(), 42 * S, 1))
    made = apply(run, presses.change_count(run, 46 * S, 1))
    assert [len([ms for ms in track.sendoffs if ms >= 60 * S]) for track in check(made.timeline).tracks] == [6] * 3


def test_a_lane_that_was_sent_ahead_gets_its_round_there():
    run = apply(begun(), presses.start_section(begun(), 25 * S, 1, (2,)))
    assert rounds(round_more(run, 30 * S)[1]) == [[3, 2], [3, 2], [1, 3]]


def test_after_the_next_set_a_round_is_of_the_section_that_the_lanes_go_to():
    run = begun()
    for at_ms in (242 * S, 244 * S):  # from the warm-up's second round on to the main set
        run = apply(run, presses.move(run, at_ms, Unit.LINE, 1))
    assert {track.pass_at(track.index_at(244 * S) + 1).section for track in run.timeline.tracks} == {1}
    assert rounds(round_more(run, 245 * S)[1]) == [[2, 3]] * 3
