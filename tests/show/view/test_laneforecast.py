"""What each lane says becomes of it by a press is what the session then does to that lane, if nobody presses again.

Over random evenings. The metres are counted here by the lengths that a swimmer is drawn swimming.
`PACER_EXAMPLES=2000` tries other evenings.
"""

import os
import re
from bisect import bisect_right

import pytest

from pacer.session.journal.entries import Begun, SwimmerLeft, Unit
from pacer.session.running import presses as made
from pacer.session.running.instant import lates
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import replay
from pacer.session.running.whereabouts import crew, places
from pacer.show.view.instantview import pool_view
from pacer.show.view.laneforecast import forecast_ways, lane_forecasts
from pacer.show.view.viewvalues import STOP
from pacer.show.wording.forecasttext import ways_of
from tests.session.pages import session
from tests.show.drive.evenings import PAGES, TIMELINE, Evening, random_timeline, timeline_of

SEARCH = int(os.environ.get("PACER_EXAMPLES", "0"))
SEEDS = range(1_000, 1_000 + SEARCH // 10) if SEARCH else range(24)
LOOK_MS = 4_000  #: nobody swims a length in less than twice this


def presses(seed, timeline=TIMELINE, count=10, timing=False):
    """The presses of an evening: when, what, the run before and after it, as drawn too, and the lanes' forecasts."""
    it = Evening(seed, timeline)
    it.timing = it.timing and timing
    for _ in range(count):
        found = it.next_press()
        if found is None or found[1].told is None:
            if found is not None:
                it.driver.do(found[1])
            continue
        name, proposal = found
        was, drawn = it.driver.run, it.driver.seen
        assert it.driver.do(proposal) == ()
        yield it.at_ms, name, (was, it.driver.run), (drawn, it.driver.seen), lane_forecasts(proposal.told)


def ahead(timeline, lane, at_ms):
    """Everything that the lane's swimmers still do."""
    return [
        (event.at_ms, event.kind, event.swimmer, *_key(event.what), event.what.done)
        for event in timeline.events(lane)
        if event.at_ms > at_ms
    ]


def leaves_next(run, lane, at_ms):
    track = run.timeline.tracks[lane]
    index = bisect_right(track.sendoffs, at_ms)
    return track.sendoffs[index] if track.paused_ms is None and index < len(track.sendoffs) else None


def lengths(timeline, lane):
    """How many lengths each swimmer is drawn swimming: by how often they pass the middle of the pool."""
    track, found, side = timeline.tracks[lane], {}, {}
    until_ms = max(track.end_ms, *track.cuts.values(), 0) if track.cuts else track.end_ms
    for at_ms in range(0, until_ms + 120_000, LOOK_MS):
        for number, place in zip(crew(timeline, lane, at_ms), places(timeline, lane, at_ms)):
            far = place.along >= 500
            found[number] = found.get(number, 0) + (far != side.get(number, False))
            side[number] = far
    return found


def wrongs(at_ms, runs, drawn, forecasts):
    """What was foretold of a lane and is not so, or is so and was not foretold."""
    was, will = runs
    bands = [pool_view(run, at_ms).bands for run in drawn]
    for lane, (old, new) in enumerate(zip(was.timeline.tracks, will.timeline.tracks)):
        told = forecasts.get(lane)
        running = old.paused_ms is None and new.paused_ms is None
        moved = _people(was, lane) != _people(will, lane)
        if (
            running
            and not moved
            and (ahead(was.timeline, lane, at_ms) != ahead(will.timeline, lane, at_ms)) != (told is not None)
        ):
            yield lane, f"has {'a' if told else 'no'} forecast"
        if (old.paused_ms is None) != (new.paused_ms is None) and told is None and will.ended_ms is None:
            yield lane, "pauses or resumes without a forecast"
        stops = [band[lane].text.state == STOP for band in bands]
        if (told is not None and told.stops) != (stops == [False, True]):
            yield lane, f"stops: {stops}"
        if told is not None and told.still_stops != (stops == [True, True]):
            yield lane, f"stops still: {stops}"
        if told is None:
            continue
        leaves_ms = leaves_next(will, lane, at_ms)
        if told.leaves_ms not in (None, leaves_ms):
            yield lane, f"leaves at {leaves_ms}"
        if told.leaves_ms is None and leaves_ms is not None and leaves_ms != leaves_next(was, lane, at_ms):
            yield lane, f"leaves at {leaves_ms}, and does not say so"
        if told.pauses != (old.paused_ms is None and new.paused_ms is not None and will.ended_ms is None):
            yield lane, "pauses"
        if told.misses and not running:
            continue
        if running and old is not new:
            yield from ((lane, said) for said in _wrong_misses(was, will, lane, at_ms, told.misses))


def _wrong_misses(was, will, lane, at_ms, misses):
    """Who would have left on the repeat that their leader is on, and does not; where nobody came or went."""
    tracks = [run.timeline.tracks[lane] for run in (was, will)]
    if len({found.laneline.who for track in tracks for found in track.passes}) > 1:
        return
    sends = [[each for each in run.timeline.events(lane) if each.kind == "send-off"] for run in (was, will)]
    last = [each for each in sends[0] if each.swimmer == 1 and each.at_ms <= at_ms]
    if not last or any(late for track in tracks for late in lates(track).values()):
        return
    here = _key(last[-1].what)
    left = [{each.swimmer for each in row if _key(each.what) == here and each.at_ms >= last[-1].at_ms} for row in sends]
    if 1 in left[1] and len(left[0] - left[1]) != misses:  # else the whole lane does not swim it
        yield f"{len(left[0] - left[1])} miss {here}"


def _people(run, lane):
    return [one.number for one in run.timeline.squad.lanes[lane].swimmers]


def _key(what):
    return what[:4]


def all_wrongs(seed, timeline=TIMELINE):
    return [
        (name, at_ms / 1000, lane, why, forecasts.get(lane))
        for at_ms, name, runs, drawn, forecasts in presses(seed, timeline)
        for lane, why in wrongs(at_ms, runs, drawn, forecasts)
    ]


@pytest.mark.parametrize("seed", SEEDS)
def test_what_a_lane_says_becomes_of_it_is_so(seed):
    assert all_wrongs(seed) == []


@pytest.mark.parametrize("page", list(PAGES)[1:])
@pytest.mark.parametrize("seed", SEEDS[:6])
def test_what_a_lane_says_is_so_with_other_plans(page, seed):
    assert all_wrongs(seed, timeline_of(page)) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_what_a_lane_says_is_so_with_any_plan(seed):
    timeline = random_timeline(seed)
    assert timeline is None or all_wrongs(seed, timeline) == []


@pytest.mark.parametrize("seed", SEEDS[:12])
def test_metres_are_the_lengths_that_are_drawn(seed):
    """For lanes that are not paused and in which nobody comes or goes."""
    seen = 0
    for at_ms, name, (was, will), _, forecasts in presses(seed, count=8):
        span = int(was.timeline.plan.pool.length)
        for lane, told in forecasts.items():
            tracks = [run.timeline.tracks[lane] for run in (was, will)]
            people = [_people(run, lane) for run in (was, will)]
            if any(track.paused_ms is not None or track.gathers for track in tracks) or people[0] != people[1]:
                continue
            old, new = (lengths(run.timeline, lane) for run in (was, will))
            more = {number: (new.get(number, 0) - old.get(number, 0)) * span for number in old | new}
            here = [more.get(number, 0) for number in people[0]]
            assert (told.least, told.most) == (min(here), max(here)), (name, at_ms / 1000, lane, here)
            seen += 1
    assert seen or seed


def test_every_forecast_has_words_that_get_shorter():
    said = 0
    for seed in range(12):
        for at_ms, name, (_, will), _, forecasts in presses(seed, timing=True):
            for told in forecasts.values():
                ways = forecast_ways(will, told, at_ms)
                assert all(ways) and len(ways[-1]) <= len(ways[0]), (name, ways)
                said += 1
    assert said > 100


FIVE = """\
pool: 25 m
Warm-up, at most 10 min
  300 choice
  4 x 50, rest 0:15
Main set
  4 x 100, on 2:30
Swim-down
  100
"""
LANES = '[[lane]]\nnumber = 1\nbase = "1:16"\nswimmers = 4\n[[lane]]\nnumber = 2\nbase = "1:34"\nswimmers = 4\n'
APART = LANES + 'spacing = "0:20"\n'  #: in lane 2, so that the first has swum a length when the third leaves
S = 1_000


def begun(lanes=LANES):
    return replay(session(FIVE, lanes), [Begun(0, 0, 0, "+00:00")])


def said(run, entry, lane):
    """What the lane says in full, and the run after the press."""
    told = outlook(run, entry)
    found = lane_forecasts(told).get(lane)
    return None if found is None else forecast_ways(told.run, found, entry.at_ms)[0], told.run


def test_an_undo_says_who_still_stops_misses_the_repeat_and_loses_metres():
    """Once a send-off has gone by, the undo of a pause looks as before, but the first stops and the others stay."""
    run = begun(APART)
    main = run.timeline.gates[1]
    words, paused = said(run, made.pause(run, main + 25 * S, (1,)), 1)
    assert words == "stops at the wall, 2 swimmers miss repeat 1, pauses, 50 to 100 m less"
    words, _ = said(paused, made.take_back(paused, main + 45 * S), 1)
    assert words.startswith("still stops at the wall, 2 swimmers miss repeat 1, leaves "), words
    assert said(paused, made.take_back(paused, main + 45 * S), 0)[0] is None, "it is about another lane"


def test_a_repeat_that_was_hardly_begun_is_missed_by_nobody_as_it_is_swum_again():
    run = begun()
    main = run.timeline.gates[1]
    words, paused = said(run, made.pause(run, main + 7 * S, (1,)), 1)
    assert words == "stops at the wall, pauses, up to 50 m more"
    for entry in (made.take_back(paused, main + 20 * S), made.resume(paused, main + 20 * S, (1,))):
        assert said(paused, entry, 1)[0] == (
            "still stops at the wall, leaves :30 on repeat 1 of 3 again, 100 m less"
        ), "the last of four does not end in time any more"
    band = pool_view(paused, main + 60 * S).bands[1]
    assert band.text.word == "PAUSED" and band.text.repeat[0] == "repeat 1 of 4", "and not the next"


def test_an_undo_that_brings_all_back_says_that_the_lane_swims_on():
    run = begun()
    _, paused = said(run, made.pause(run, 40 * S, (1,)), 1)
    words, back = said(paused, made.take_back(paused, 43 * S), 1)
    assert words.startswith("swims on, ") and words.endswith(" more"), words
    assert back.timeline.tracks[1].sendoffs == run.timeline.tracks[1].sendoffs


def test_lanes_that_join_and_part_say_so_and_joined_lanes_show_it():
    run = begun()
    at_ms = run.timeline.gates[1] + 5 * S
    words, joined = said(run, made.join_lane(run, at_ms, 1, 0), 1)
    assert words is not None and "with lane 1" in words
    later_ms = at_ms + 200 * S
    assert [band.text.mates for band in pool_view(joined, later_ms).bands] == [("with lane 2",), ("with lane 1",)]
    delay = made.late(joined, later_ms, (1,))
    words, parted = said(joined, delay, 1)
    assert words is not None and "no longer with lane 1" in words
    assert said(joined, delay, 0)[0] is None, "nothing changes for it"
    assert [band.text.mates for band in pool_view(parted, later_ms).bands] == [(), ()]


def test_a_swimmer_who_gets_out_and_comes_back_by_an_undo():
    run = begun()
    at_ms = run.timeline.gates[1] - 30 * S
    words, fewer = said(run, made.leave(run, at_ms, 1, 3), 1)
    assert words == "3 swimmers, ends 0:05 earlier"
    words, _ = said(fewer, made.take_back(fewer, at_ms + 5 * S), 1)
    assert words == "4 swimmers, ends 0:05 later"


def test_an_undo_says_who_still_misses_the_repeat():
    """Next, pressed 30 s after the first of four left: two miss the repeat, and an Undo can't send them on it."""
    run = begun(APART)
    main = run.timeline.gates[1]
    words, moved = said(run, made.move(run, main + 30 * S, Unit.REPEAT, 1), 1)
    assert "2 swimmers miss repeat 1" in words, words
    back = made.take_back(moved, main + 43 * S)
    told = outlook(moved, back)
    assert (1, 2) in told.still_missing and not told.missing
    words, _ = said(moved, back, 1)
    assert "2 swimmers still miss repeat 1" in words, words
    n = sum(n for _, n in told.still_missing)
    for way in ways_of(told, back.at_ms):
        assert re.search(f"{n} (swimmers )?still miss (repeat 1|the repeat before)", way), way


# -- who comes to a lane that waits at the far wall ---------------------------------------------------------------

#: 25 m in 20 s, on 0:45: from 0:36 to 0:45 both lanes are at the far wall, from 1:21 at the home wall.
ODD = "pool: 25 m\nMain set\n  8 x 25 on 0:45\n"
PAIR = '[[lane]]\nnumber = 1\nbase = "1:20"\nswimmers = 3\n[[lane]]\nnumber = 2\nbase = "1:20"\nswimmers = 3\n'


def far_words(timeline, *journal, press, lane):
    """What the bar and the lane say of a press, at the far end or not."""
    run = replay(timeline, [Begun(0, 0, 0, "+00:00"), *journal])
    entry = press(run)
    words, _ = said(run, entry, lane)
    return ways_of(outlook(run, entry), entry.at_ms), words or ""


def test_who_is_moved_to_a_lane_that_waits_at_the_far_wall_is_told_to_get_in_there():
    timeline = session(ODD, PAIR)
    paused = made.pause(replay(timeline, [Begun(0, 0, 0, "+00:00")]), -1, (1,))
    to_lane_1 = lambda run: made.change_lane(run, 40 * S, 1, 0, 0)  # noqa: E731
    _, words = far_words(timeline, paused, press=to_lane_1, lane=0)
    assert "4th gets in at the far end" in words, words
    _, words = far_words(timeline, press=to_lane_1, lane=0)
    assert "far end" not in words, "who stands at the far wall of the other lane is there"


def test_who_comes_back_by_an_undo_to_a_lane_at_the_far_wall_is_told_to_get_in_there():
    """Out at the home wall at 1:22; the others have left again at 1:30, and are at the far wall at 2:06."""
    timeline = session(ODD, PAIR)
    out = SwimmerLeft(82 * S, 0, 0)
    bar, words = far_words(timeline, out, press=lambda run: made.take_back(run, 127 * S), lane=0)
    assert "1st gets in at the far end" in words, words
    assert all("lane 1: 1st gets in at the far end" in way for way in bar[:-1]), bar
    out = SwimmerLeft(42 * S, 0, 0)  # at the far wall
    bar, words = far_words(timeline, out, press=lambda run: made.take_back(run, 44 * S), lane=0)
    assert "far end" not in words + bar[0], "there they are"
