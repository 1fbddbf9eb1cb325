"""What the views say, against the engine that they ask and against the pace clock."""

from __future__ import annotations

import random
import subprocess
import sys
from fractions import Fraction

import pytest

from pacer.cli.textform import block
from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.standardform import write_plan
from pacer.session.journal.entries import Begun, Ended, LaneJoined, LineLeftOut, Moved, Paused, Resumed, Stopped, Unit
from pacer.session.running import presses
from pacer.session.running.instant import State, lane_state
from pacer.session.running.leavingagain import resume_mark
from pacer.session.running.replay import apply, fresh, replay
from pacer.session.running.whereabouts import crew, last_swims, places, swims_by_number
from pacer.show.view import instantview as view_module
from pacer.show.view.instantview import dial_view, finish_words, forget, lane_view, pool_view
from pacer.show.view.swimmerplaces import AWAY, FAR, HOME, LanePaths
from pacer.show.view.viewvalues import WAIT
from pacer.show.wording.changeovertext import changeover_view
from pacer.show.wording.timereadings import count_down, count_up
from pacer.show.wording.viewtext import stretch
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from pacer.timeline.findings import CannotRun
from pacer.timeline.timeline import build_timeline
from tests.reference.random_plans import random_plan_text
from tests.reference.random_squads import random_squad
from tests.session.pages import session

MAIN_MS = 240_000  # when the plan's main set starts
WALL_MS = 1_764_003_600_000  # 2025-11-24 17:00 UTC, from the calendar
WORDS = {State.READY: "READY", State.GO: "GO", State.SWIMMING: "SWIM", State.RESTING: "REST",
         State.CHANGEOVER: "LISTEN", State.PAUSED: "PAUSED", State.DONE: "DONE"}  # fmt: skip

PLAN = """title: Long-axis rotation 3
pool: 25 m
booking: 30 min

Warm-up, easy
  2 x 50 choice, on 1:30

Main set, 2 rounds
  3 x 200 as 50 drill six-kick switch "six kicks, then roll" / 50 back "same roll", on 4:00 / 4:20
  2 x 100 back build "tall", on 2:30, with fins

Swim-down, easy
  100 choice
"""


def squad(*paces, swimmers=3, spacing_ms=5_000):
    made = [Pace(seconds * 1000) for seconds in paces]
    return Squad(tuple(Lane(4 + i, pace, (Swimmer(pace),) * swimmers, spacing_ms) for i, pace in enumerate(made)))


def begun(plan=PLAN, lanes=None):
    timeline = build_timeline(read_plan(plan), lanes or squad(80, 95))
    return apply(fresh(timeline), Begun(-10_000, 5_000, WALL_MS, "+01:00"))


@pytest.fixture(scope="module")
def run():
    return begun()


def random_runs(count):
    """Sessions with all that a plan can say, some of them with something done on deck."""
    rng = random.Random(6)
    made = 0
    while made < count:
        plan = read_plan(random_plan_text(rng, size=2, labelled=True))
        try:
            timeline = build_timeline(plan, random_squad(rng, labelled=True))
        except CannotRun:  # a plan and a squad that do not fit together
            continue
        made += 1
        run = apply(fresh(timeline), Begun(-10_000, 0, WALL_MS))
        at_ms = 0
        for _ in range(rng.randrange(4)):
            at_ms += rng.randrange(1, max(2, timeline.end_ms // 3))
            lanes = rng.choice((None, (0,)))
            kind = rng.randrange(4)
            if kind == 0:
                run = apply(run, Paused(at_ms, lanes))
            elif kind == 1:
                run = apply(run, Resumed(at_ms, resume_mark(run, at_ms), lanes))
            elif kind == 2:
                run = apply(run, Stopped(at_ms))
            else:
                run = apply(run, Moved(at_ms, rng.choice(tuple(Unit)), 1, resume_mark(run, at_ms), lanes))
        yield rng, run, at_ms


def test_every_band_says_what_the_engine_says():
    for rng, run, since in random_runs(25):
        end = run.timeline.end_ms
        for at_ms in sorted(rng.randrange(since, max(since + 2, end + 30_000)) for _ in range(60)):
            view = pool_view(run, at_ms)
            for track, band in zip(run.timeline.tracks, view.bands):
                state = lane_state(track, at_ms)
                if band.text.state == "stop":  # see test_breakingoff
                    continue
                assert band.text.word == WORDS[state.state]
                assert band.count == ("" if state.leaves_in_ms is None else count_down(-(-state.leaves_in_ms // 1000)))
                swimming = state.state in (State.SWIMMING, State.GO)
                if state.state is not State.PAUSED:
                    assert (band.text.lit == state.segment) if swimming else band.text.lit == -1
                if swimming:
                    repeat, found = track.repeat_in_line(state.index), track.pass_at(state.index)
                    began, ends = (0, *found.laneline.times(repeat, 0))[state.segment :][:2]
                    assert band.done == pytest.approx(min(1, (state.swum_ms - began) / (ends - began)), abs=0.0011)
                    if band.text.timed:
                        assert band.swum == count_up(state.swum_ms // 1000)
                else:
                    assert band.swum == ""


def test_swimmers_are_where_the_engine_has_them():
    for rng, run, since in random_runs(25):
        for at_ms in (rng.randrange(since, max(since + 2, run.timeline.end_ms + 10_000)) for _ in range(40)):
            for lane, track in enumerate(run.timeline.tracks):
                held = track.paused_ms
                index = track.index_at(at_ms if held is None else min(at_ms, held))
                ways = LanePaths(run.timeline, lane)
                found = dict(zip(ways.who, ways.places(index, at_ms), strict=True))
                here = crew(run.timeline, lane, at_ms)
                assert all(found[number] < 0 for number in found.keys() - set(here))
                for number, want in zip(here, places(run.timeline, lane, at_ms), strict=True):
                    got = found[number]
                    if not want.moving:
                        assert got == (HOME if want.along == 0 else FAR)
                    else:
                        along = got if want.outward else 2 - got
                        assert along == pytest.approx(want.along / 1000, abs=0.0025) and got >= 0


def test_count_down_and_clock_meet_at_the_mark(run):
    """Whatever the millisecond: what the clock reads and what is to go make the mark; both turn together."""
    for at_ms in range(100_000, 700_000, 777):
        view = pool_view(run, at_ms, phase_ms=13_000)
        for band in view.bands:
            if band.count:
                seconds = sum(int(part) * 60**i for i, part in enumerate(reversed(band.count.split(":"))))
                assert (int(view.clock[1:]) + seconds) % 60 == int(band.text.clock[1:])


def test_a_band_in_full(run):
    """By hand: two repeats of the warm-up on 1:30, the last touch at 2:37.4.

    A minute's changeover; the main set from 4:00 on.
    """
    band = pool_view(run, MAIN_MS + 100_000).bands[0]
    text = band.text
    assert (text.lane, text.word, text.shape) == ("4", "SWIM", "wave")
    assert (text.distance, text.repeat, text.round) == ("200", ("repeat 1 of 3", "1 of 3"), ("round 1 of 2", "round 1"))
    assert (band.count, text.clock, band.swum) == ("2:20", ":00", "1:40")
    assert [piece.labels[0] for piece in text.ribbon] == ["50 drill six-kick switch", "50 back"] * 2
    assert [(piece.start, piece.end) for piece in text.ribbon] == [(0, 0.25), (0.25, 0.5), (0.5, 0.75), (0.75, 1)]
    # 80 s per 100: a drilled 50 takes 52.0 s, a 50 back 44.0 s (factors 1.30 and 1.10); so 100 s are 4 s into the
    # third.
    assert (text.lit, text.present, text.doing[0], text.cue) == (
        2,
        "NOW",
        "50 drill six-kick switch",
        "six kicks, then roll",
    )
    assert band.done == pytest.approx(4 / 52)
    # Three swimmers 5 s apart, 104 m, 97.7 and 91.9 m into the repeat, in a 25 m pool.
    rates = [100 + 4 * 50 / 52, 50 + (95 - 52) * 50 / 44, 50 + (90 - 52) * 50 / 44]
    assert band.places == pytest.approx([rate / 25 % 2 for rate in rates])


def test_of_how_many_is_what_the_lane_swims():
    """The main set has to end by the next common start: lane 5, paused for four minutes, has time for two rounds."""
    S = 1_000
    text = "pool: 25 m\nMain set, 3 rounds\n  2 x 50 on 1:00\n  50 on 1:00\nSwim-down\n  100\n"
    begun = apply(fresh(session(text)), Begun(-10 * S, 0, 0))
    late = replay(session(text), [Begun(-10 * S, 0, 0), Paused(5 * S, (1,), True), Resumed(200 * S, 240 * S, (1,))])
    swum = {found.round for found in late.timeline.tracks[1].passes if found.section == 0}
    assert pool_view(begun, 70 * S).bands[1].text.round[0] == "round 1 of 3"
    assert pool_view(late, 250 * S).bands[1].text.round[0] == f"round 1 of {max(swum)}" and max(swum) < 3
    cut = "pool: 25 m\nWarm-up, at most 3 min\n  4 x 50 on 1:00\nMain set\n  100\n"
    begun = apply(fresh(session(cut)), Begun(-10 * S, 0, 0))
    assert pool_view(begun, 10 * S).bands[0].text.repeat[0] == "repeat 1 of 3", "time cuts the fourth"


def test_the_top_line(run):
    view = pool_view(run, MAIN_MS + 30_000)
    assert (view.clock, view.session_label, view.session) == (":30", "session time", "4:30")
    assert (view.section, view.title) == ("Main set", "Long-axis rotation 3")
    end_ms = run.timeline.end_ms
    minutes = -(-end_ms // 60_000)
    assert view.out == f"finish {18 + minutes // 60}:{minutes % 60:02d}"
    assert view.spare == ("past the booking, 18:30", "past 18:30") and view.over
    assert pool_view(begun(PLAN.replace("booking: 30 min\n", "")), 0).spare == ()
    within = pool_view(begun(PLAN.replace("30 min", "60 min")), 0)
    assert within.spare == ("booked until 19:00", "until 19:00") and not within.over


@pytest.mark.parametrize("second", [0, 1, 20, 44, 59])
def test_the_end_of_the_booking_is_one_time_of_day_and_what_is_said_of_it_never_flatters(run, second):
    """The same two minutes, whatever is pressed.

    The one rounded up, the other down; over is said where it is over, and then they differ.
    """
    end_ms = run.timeline.end_ms
    started = Begun(0, 0, WALL_MS + second * 1000, "+01:00")
    for spare_ms in (-1_000, 0, 1_000, 61_000):
        out, ways, over = finish_words(started, end_ms, end_ms + spare_ms)
        minutes = [int(text[-5:-3]) * 60 + int(text[-2:]) for text in (out, *ways)]
        past = minutes[0] - minutes[1]
        assert len(set(minutes[1:])) == 1 and over == (spare_ms < 0) == (past > 0)
        assert {text.startswith("past") for text in ways} == {over}
        assert past >= -spare_ms / 60_000 - 1, "at most the seconds of a minute more to spare than there is"
    bookings = {
        finish_words(started, end_ms + later, end_ms + 90_000)[1][0].split()[-1]
        for later in (-500_000, 0, 30_000, 700_000)
    }
    assert len(bookings) == 1, "however the session goes"


def test_a_session_that_waits_as_a_whole_is_out_later(run):
    held = apply(run, Stopped(300_000))
    at_once, later = (pool_view(held, at_ms).out for at_ms in (300_000, 300_000 + 7 * 60_000))
    minutes = [int(out[-5:-3]) * 60 + int(out[-2:]) for out in (at_once, later)]
    assert minutes[1] - minutes[0] == 6, "of seven, one passes in the rest that they had anyway"
    for at_ms, out in ((300_000, at_once), (300_000 + 7 * 60_000, later)):
        assert pool_view(apply(held, presses.resume(held, at_ms)), at_ms).out == out, "as a resume would have it"
    # One lane that waits keeps nobody.
    assert pool_view(apply(run, Paused(300_000, (0,))), 720_000).out == pool_view(run, 720_000).out


def test_before_the_session(run):
    view = pool_view(fresh(run.timeline), 42_000)
    assert (view.clock, view.session, view.begun) == (":42", "not started", False)
    assert view.out.startswith("lasts ") and view.over
    takes, spare = view.out.removeprefix("lasts "), view.spare[0].removesuffix(" over")
    seconds = [int(text[-5:-3]) * 60 + int(text[-2:]) for text in (takes, spare)]
    assert seconds[0] - seconds[1] == 30 * 60, "to the second: the booking is 30 minutes"
    for band in view.bands:
        assert (band.text.state, band.text.distance, band.count, band.text.present) == (WAIT, "50", "", "NEXT")
        assert set(band.places) == {HOME}
    assert lane_view(fresh(run.timeline), 0, 42_000).hero == "WAIT"
    assert changeover_view(fresh(run.timeline), 42_000).name == "Warm-up"


def test_the_lead_in(run):
    view = pool_view(run, -7_300)
    assert (view.session_label, view.session, view.begun, view.clock) == ("starts in", "8", False, ":52")
    assert all((band.text.word, band.count, band.text.clock) == ("READY", "8", ":00") for band in view.bands)


def test_held_stopped_and_ended(run):
    held = apply(run, Paused(280_000, (1,)))
    band = pool_view(held, 900_000).bands[1]
    assert (band.text.word, band.count, band.text.clock, band.text.leave_label) == ("PAUSED", "", "", "")
    assert (band.text.present, band.text.repeat[0]) == ("NEXT", "repeat 2 of 3")  # on which it will leave
    assert pool_view(held, 900_000).bands[0].text.word != "PAUSED"
    early = apply(run, Paused(-30_000, (1,)))
    assert pool_view(early, -20_000).bands[1].text.leave_label == "", "nobody has left who has to finish"
    stopped = apply(run, Stopped(280_000))
    assert pool_view(stopped, 300_000).stopped and {band.text.word for band in pool_view(stopped, 600_000).bands} == {
        "PAUSED"
    }
    ended = apply(run, Ended(400_000))
    view = pool_view(ended, 900_000)
    assert (view.session_label, view.session) == ("ended", "6:40")
    assert {band.text.word for band in view.bands} == {"DONE"}


def test_a_lane_that_is_held_in_mid_swim_says_what_it_still_swims_until_its_leader_is_in(run):
    held, touch_ms = apply(run, Paused(20_000, (0,))), run.timeline.tracks[0].pass_at(0).laneline.times(0, 0)[-1]
    for at_ms, done in ((20_000, 20_000 / touch_ms), (touch_ms - 100, 1 - 100 / touch_ms)):
        band = pool_view(held, at_ms).bands[0]
        assert (band.text.word, band.text.present, band.text.repeat[0], band.text.lit, band.count) == (
            "PAUSED",
            "NOW",
            "repeat 1 of 2",
            0,
            "",
        )
        assert (
            band.done == pytest.approx(done, abs=0.001)
            and band.text.clock == ""
            and band.text.leave_label == "finish, then stop"
        )
    in_ = pool_view(held, touch_ms).bands[0]
    assert (in_.text.word, in_.text.present, in_.text.repeat[0], in_.text.lit) == (
        "PAUSED",
        "NEXT",
        "repeat 2 of 2",
        -1,
    )
    stopped = pool_view(apply(run, Stopped(20_000)), 21_000).bands[0]
    assert (stopped.text.word, stopped.text.lit) == ("STOP", -1), "what is broken off is not swum to its end"
    home_ms = max(swim.home_ms for swim in last_swims(held.timeline, 0, 20_000))
    assert home_ms > touch_ms, "the last swimmer comes in behind the leader"
    assert [pool_view(held, at_ms).bands[0].text.leave_label for at_ms in (home_ms - 1, home_ms)] == [
        "finish, then stop",
        "",
    ]
    assert [lane_view(held, 0, at_ms).hero_label for at_ms in (20_000, home_ms)] == [
        "finish, then stop",
        "paused by the coach",
    ]
    assert "finish, then stop" in block(pool_view(held, 20_000))
    assert (
        lane_view(held, 0, 25_000).hero == "PAUSED"
        and lane_view(held, 0, 25_000).after == lane_view(run, 0, 25_000).after
    )


def test_done_says_what_was_swum(run):
    band = pool_view(run, run.timeline.end_ms + 1).bands[0]
    assert (band.text.word, band.text.distance, band.text.cue) == ("DONE", "1,800 m", "")


def test_a_lane_that_is_done_by_itself_says_nothing_of_what_was_broken_off(run):
    """Stop all breaks off the first 200 of the main set; the lane then swims all that comes behind it."""
    stopped = apply(run, Stopped(MAIN_MS + 20_000))
    on = apply(stopped, Resumed(MAIN_MS + 40_000, MAIN_MS + 60_000))
    band = pool_view(on, on.timeline.end_ms + 1).bands[0]
    broken = sum(
        on.timeline.tracks[0].pass_at(index).laneline.shapes[on.timeline.tracks[0].repeat_in_line(index)].distance
        for index in on.timeline.tracks[0].cuts
    )
    assert broken == 200 and on.timeline.distance(0) == 1_800
    assert (band.text.word, band.text.distance) == ("DONE", "1,650 m"), "of the 200, what is swum to the home wall"


def test_after_the_end_the_header_says_by_when_all_are_home(run):
    """They swim to the wall first, so that it is later than the end."""
    out = pool_view(apply(run, Ended(120_000)), 121_000).out
    assert out.startswith("at the wall by ")
    done = run.timeline.end_ms + 5_000
    assert pool_view(apply(run, Ended(done)), done + 1_000).out == pool_view(run, done).out, "all were home already"


def test_an_ended_session_says_what_was_swum_of_it_and_everybody_is_home(run):
    """The warm-up is 2 x 50 on 1:30.

    Base 1:20 and 1:35 swim 50 in about 0:40 and 0:48, so at 2:00 one is over, and the second ends at the wall to which
    they swim home.
    """
    under_way = pool_view(run, 120_000).bands
    assert all(place not in (HOME, FAR) for band in under_way for place in band.places)
    ended = apply(run, Ended(120_000))
    for at_ms in (170_000, 900_000):
        for band in pool_view(ended, at_ms).bands:
            assert (band.text.word, band.text.distance) == ("DONE", "100/1,800 m")
            assert set(band.places) == {HOME}, "nobody stands where the end caught them"
        assert lane_view(ended, 1, at_ms).text.distance == "100/1,800 m"
    later = apply(run, Ended(400_000))
    assert pool_view(later, 900_000).bands[0].text.distance == "300/1,800 m", "another end is another text"
    whole = apply(run, Ended(run.timeline.end_ms + 1_000))
    assert {band.text.distance for band in pool_view(whole, run.timeline.end_ms + 2_000).bands} == {"1,800 m"}
    soon = apply(run, Ended(1_000))
    assert {band.text.distance for band in pool_view(soon, 900_000).bands} == {"50/1,800 m"}, "the way home is a 50"
    none = apply(run, Ended(-1_000))
    assert {band.text.distance for band in pool_view(none, 900_000).bands} == {"0/1,800 m"}


def test_who_leaves_when(run):
    """Three swimmers 5 s apart at 4:00: each is told to go at the own mark and counted down to it."""
    start = MAIN_MS
    before = lane_view(run, 0, start - 23_000)
    assert (before.hero, before.kind, before.hero_label, before.inverted) == ("23", "down", "leave in", False)
    assert [leaver.clock for leaver in before.leavers] == [":00", ":05", ":10"]
    assert (before.leave_label, before.leave, before.now) == ("leave at", ":00", ":37")
    assert lane_view(run, 0, start - 10_000).inverted
    shown = [lane_view(run, 0, start + at) for at in (0, 1_499, 1_500, 4_999, 5_000, 8_000, 10_000, 12_999)]
    assert [view.hero for view in shown] == ["GO", "GO", "4", "1", "GO", "2", "GO", "GO"]
    assert [view.hero_label for view in shown[:6]] == ["1st leaves"] * 2 + ["2nd leaves in"] * 2 + [
        "2nd leaves",
        "3rd leaves in",
    ]
    assert [view.leave for view in shown] == [":05"] * 4 + [":10"] * 2 + [":00"] * 2
    assert [leaver.when for leaver in shown[4].leavers] == ["gone", "now", "next"]
    assert all(view.inverted for view in shown)
    assert not lane_view(run, 0, start + 13_000).inverted


def test_while_swimming(run):
    view = lane_view(run, 0, MAIN_MS + 100_000)
    assert (view.hero, view.kind, view.swum, view.set_words) == ("2:20", "down", "1:40", "3 × 200")
    assert view.after == ("then 2 × 100 back build", "then 2 × 100 back", "then 2 × 100 bk", "then 2 × 100")
    last = lane_view(run, 0, run.timeline.tracks[0].sendoffs[-1] + 20_000)
    assert (last.hero, last.kind, last.hero_label, last.swum, last.after) == (
        "0:20",
        "up",
        "elapsed",
        "0:20",
        ("last set",),
    )


def test_alone_in_a_lane_nobody_else_is_named():
    view = lane_view(begun(lanes=squad(80, swimmers=1)), 0, 210_000)
    assert (view.leavers, view.hero, view.hero_label) == ((), "GO", "")


def test_times_past_an_hour():
    run = begun("pool: 25 m\n\n  3 x 6000 free, on 2:00:05\n")
    assert lane_view(run, 0, 20_000).hero == "1:59:45"
    assert pool_view(run, 3_725_000).bands[0].swum == "1:02:05"


def test_hazards_are_never_timed():
    run = begun('pool: 25 m\n\n  4 x 25 free "no breath", on 1:00\n  4 x 25 free, on 1:00\n')
    assert lane_view(run, 0, 5_000).swum == "" and pool_view(run, 5_000).bands[0].swum == ""
    assert pool_view(run, 245_000).bands[0].swum == "0:05"


def test_the_dial(run):
    view = dial_view(run, 280_250)
    assert view.hand == pytest.approx(40.25 * 6)
    assert [(mark.second, mark.lanes) for mark in view.marks] == [(0, ("4",)), (20, ("5",))]
    assert dial_view(run, 285_000, phase_ms=5_000).marks[0].second == 5
    together = dial_view(run, 210_000)
    assert [(mark.second, mark.lanes, mark.colour) for mark in together.marks] == [(0, ("4", "5"), "talk")]


def test_swim_is_said_as_it_was_written():
    """Swim with no stroke is free, but a coach who wrote swim reads swim, one who wrote free reads free, and so on the
    line itself.
    """
    text = """pool: 25 m

  2 x 50 as 25 drill / 25 swim, on 1:00
  2 x 50 as 25 drill / 25 free, on 1:00
  100 swim easy, on 2:00
  100, on 2:00
  2 x 50 odd swim / even free, on 1:00
  100 back as 50 drill / 50 swim, on 2:00
  2 x (25 kick + 25 swim)
"""
    run = begun(text, squad(80, swimmers=1))
    tracks = run.timeline.tracks[0]
    shown = [pool_view(run, at_ms + 1_000).bands[0].text for at_ms in tracks.sendoffs]
    assert [text.ribbon[-1].labels[0] for text in shown] == [
        "25 swim",
        "25 swim",
        "25 free",
        "25 free",
        "swim easy",
        "free",
        "swim",
        "free",
        "50 back",
        "kick",
        "swim",
        "kick",
        "swim",
    ]
    assert shown[4].doing == ("100 swim easy", "100 swim") and shown[5].doing == ("100 free", "100 fr")
    assert [line.work for line in changeover_view(run, -5_000).lines][:5] == [
        "25 drill / 25 swim",
        "25 drill / 25 free",
        "swim easy",
        "free",
        "odd swim; even free",
    ]
    assert lane_view(run, 0, 300_000).after == ("then 100 free", "then 100 fr", "then 100")
    same = read_plan(text.replace("swim", "free").replace("50 free, on 2:00", "50 swim, on 2:00"))
    assert (
        run.timeline.plan == same
        and hash(run.timeline.plan) == hash(same)
        and write_plan(run.timeline.plan) == write_plan(same)
    )
    doings = [event.what.doing for event in run.timeline.events(0)]
    assert "25 free" in doings and not any("swim" in doing for doing in doings), "the timeline says free, not swim"


def test_a_changeover_told(run):
    view = changeover_view(run, MAIN_MS - 45_000)
    assert (view.label, view.name, view.rounds) == ("Next", "Main set", ("2 rounds",))
    assert (view.count, view.starts, view.inverted, view.gear) == ("45", "on the top", False, "fins")
    first, second = view.lines
    assert (first.head, first.work) == ("3 × 200", "50 drill six-kick switch / 50 back")
    assert first.detail == (
        "lane 4: leave every 4:00; lane 5: leave every 4:20",
        "leave every 4:00 (lane 4), 4:20 (5)",
        "each lane has its own times",
    )
    assert first.cues == ("six kicks, then roll", "same roll")
    assert (second.head, second.work, second.detail) == ("2 × 100", "back build", ("leave every 2:30",))
    assert changeover_view(run, MAIN_MS - 8_000).inverted
    assert changeover_view(run, run.timeline.end_ms).count == ""


def test_groups_rounds_and_breaks_told():
    text = """pool: 25 m

Skill set, rounds 3 / 2
  A: 10 / 8 x 50 odd drill / even free, rest 0:15, apart 0:10
  3 rounds
    2 x 25 kick, hold 0:30
    rest 0:30
  rest 1:00
  6 x 0:30 kick vertical, rest 0:30
"""
    lanes = squad(80, 95)
    lanes = Squad(
        tuple(Lane(lane.number, lane.base, lane.swimmers, group=group) for lane, group in zip(lanes.lanes, "AB"))
    )
    view = changeover_view(begun(text, lanes), -5_000)
    assert view.rounds == ("lane 4: 3 rounds; lane 5: 2 rounds", "3 (lane 4), 2 (5) rounds", "2–3 rounds")
    assert [(line.head, line.work, line.detail[0], line.depth) for line in view.lines] == [
        ("lane 4: 10 × 50", "odd drill; even free", "rest 0:15, 0:10 apart", 0),
        ("3 rounds", "", "", 0),
        ("2 × 25", "kick", "no rest, hold 0:30", 1),
        ("rest 0:30", "", "", 1),
        ("rest 1:00", "", "", 0),
        ("6 × 0:30", "kick vertical", "rest 0:30", 0),
    ]


def test_texts_are_the_same_object_as_long_as_nothing_changes(run):
    one, other = (pool_view(run, at_ms).bands[0].text for at_ms in (400_000, 401_000))
    assert one is other


def test_memory_is_bounded():
    run = begun("pool: 25 m\n\n  700 x 25 free, on 0:35\n", squad(80))
    for at_ms in range(0, run.timeline.end_ms, 3_500):
        pool_view(run, at_ms)
        lane_view(run, 0, at_ms)
    lane = view_module.reader_of(run.timeline, run.course).lanes[0]
    assert len(lane.texts) <= 512 and len(lane.phases) <= 512 and len(lane.ways.known) <= 256
    assert view_module.reader_of.cache_info().maxsize <= 8


def test_words_can_be_half_as_long_again(run):
    short = pool_view(run, 225_000).bands[0].text.word
    try:
        stretch(True)
        forget()
        longer = pool_view(run, 225_000).bands[0].text.word
    finally:
        stretch(False)
        forget()
    assert longer == short + "~" * -(-len(short) // 2)


def test_a_pool_with_a_fraction():
    run = begun("pool: 33 1/3 m\n\n  2 x 100 free, on 2:00\n", squad(80, swimmers=1))
    assert run.timeline.plan.pool.length == Fraction(100, 3)
    assert pool_view(run, 90_000).bands[0].places == (FAR,)  # three lengths end at the far wall


def test_views_need_no_window():
    """In a fresh interpreter: what is shown at an instant is worked out without Kivy or plyer."""
    code = (
        "import sys, pacer.show.view.instantview, pacer.show.wording.changeovertext, pacer.show.measure.theme, "
        "pacer.show.measure.legibility, pacer.show.measure.fitting, pacer.show.measure.poolrows\n"
        "assert not {'kivy', 'plyer'} & set(sys.modules), sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)


def test_swimmers_are_told_what_gear_to_have_on():
    kicking = begun(
        "pool: 25 m\nWarm-up\n  4 x 50 kick, on 2:00, with board and fins\n"
        "  2 x 50 as 25 kick / 25 free, rest 0:20, with fins\n"
    )
    doing = lane_view(kicking, 0, 10_000).text.doing
    assert doing[0] == "50 kick, with board and fins" and "50 kick" in doing
    assert lane_view(kicking, 0, 8 * 60_000 + 5_000).text.doing[0] == "25 kick, with fins"


def test_a_session_that_is_ended_lets_everybody_swim_home_and_nobody_jumps():
    """In the 200s of the main set: lane 4 comes to the home wall every 1:08 or so, and nobody is there at 1:30."""
    run, at_ms = begun(), MAIN_MS + 90_000
    ended = apply(run, Ended(at_ms))
    before = pool_view(run, at_ms)
    assert all(place >= 0 for band in before.bands for place in band.places), "all are out in the pool"
    homes = [
        [swim.home_ms for swim in swims_by_number(run.timeline, lane, at_ms, broken_off=True).values()]
        for lane in range(len(run.timeline.tracks))
    ]
    places = [band.places for band in before.bands]
    for now_ms in range(at_ms, max(map(max, homes)) + 2_000, 250):
        view = pool_view(ended, now_ms)
        for lane, band in enumerate(view.bands):
            out = now_ms < max(homes[lane])
            assert (band.text.state, band.count) == ("stop" if out else "done", ""), (now_ms, lane)
            assert lane_view(ended, lane, now_ms).hero == ("STOP" if out else "DONE")
            for swimmer, (was, place) in enumerate(zip(places[lane], band.places)):
                assert (place == HOME) == (now_ms >= homes[lane][swimmer])
                assert place == HOME or abs(place - was) < 0.05, "nobody jumps"
        places = [band.places for band in view.bands]
    assert view.session == before.session and view.session_label == "ended"


def test_a_lane_that_is_to_go_with_another_and_is_paused_first_says_what_it_still_swims():
    """Lane 5 is to break off its 200 for lane 4's next send-off, and is paused before that."""
    run, at_ms = begun(), MAIN_MS + 60_000
    leave_ms = next(at for at in run.timeline.tracks[0].sendoffs if at > at_ms)
    track = run.timeline.tracks[1]
    late = begun(lanes=squad(80, 130))  # lane 5 swims longer than lane 4's interval
    joined = apply(late, LaneJoined(at_ms, 1, 0, leave_ms))
    held = apply(joined, Paused(at_ms + 5_000, (1,)))
    assert leave_ms > at_ms + 10_000 and track.sendoffs
    text = pool_view(held, at_ms + 10_000).bands[1].text
    assert (text.state, text.present, text.distance, text.leave_label) == ("paused", "NOW", "200", "finish, then stop")


def test_a_set_that_is_left_out_from_now_on_has_no_more_repeats_than_are_swum():
    run, at_ms = begun(), MAIN_MS + 60_000
    assert pool_view(run, at_ms).bands[0].text.repeat == ("repeat 1 of 3", "1 of 3")
    out = apply(run, LineLeftOut(at_ms, 1, 1))
    assert out.timeline.tracks[0].pass_at(2).count == 1
    assert pool_view(out, at_ms).bands[0].text.repeat == ("",), "it is the only one"


def test_a_swimmer_who_is_taken_back_to_a_lane_stands_at_no_wall_while_others_swim():
    """The last of lane 4 goes to lane 5 and leaves there; then that is undone: they swim in lane 5, not in lane 4."""
    run, at_ms = begun(), MAIN_MS + 60_000
    moved = apply(run, presses.change_lane(run, at_ms, 0, 2, 1))
    later = max(track.sendoffs[4] for track in moved.timeline.tracks) + 30_000
    undone = apply(moved, presses.take_back(moved, later))
    here = pool_view(undone, later + 10_000).bands[0]
    assert len(here.places) == 3 and here.places[2] == AWAY and min(here.places[:2]) >= 0, here.places
    again = undone.timeline.tracks[0].sendoffs[undone.timeline.tracks[0].index_at(later) + 1]
    assert pool_view(undone, again + 12_000).bands[0].places[2] >= 0, "with the next send-off they are back"
    joined = apply(run, presses.join(run, at_ms, 0))
    assert pool_view(joined, at_ms + 10_000).bands[0].places[3] == HOME, "who joins waits at the wall"


def test_the_dial_says_which_lanes_stop_where_not_all_do():
    from types import SimpleNamespace

    from pacer.show.view.instantview import dial_section

    lanes = [SimpleNamespace(lane=str(number), state="stop" if number > 2 else "ready") for number in (1, 2, 3, 4)]
    assert dial_section(lanes, "Main set") == "lanes 3, 4: STOP"
    assert dial_section(lanes[:3], "Main set") == "lane 3: STOP"
    assert dial_section(lanes[2:], "Main set") == "STOP AT WALL"
    assert dial_section(lanes[:2], "Main set") == "Main set"
