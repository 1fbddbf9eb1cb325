"""The timeline against coaches' teaching and rule books; each source is named beside its check."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import gcd

import pytest

from pacer.plan.model import Unit
from pacer.plan.notation.planreader import read_plan
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import METRES_PER_YARD, Pace
from pacer.timeline.summary.timelinetable import clock_reading
from pacer.timeline.timeline import build_timeline


def timeline_of(lines: str, base: str = "1:20", pool: str = "25 m", swimmers: int = 1, spacing: str = "0:05"):
    plan = read_plan(f"pool: {pool}\n\nMain set\n" + "\n".join("  " + line for line in lines.splitlines()) + "\n")
    squad = read_squad(f'[[lane]]\nbase = "{base}"\nswimmers = {swimmers}\nspacing = "{spacing}"\n')
    return build_timeline(plan, squad)


def seconds_shown(timeline, count: int | None = None) -> list[int]:
    return [int(clock_reading(at)[1:]) for at in timeline.tracks[0].sendoffs[:count]]


# Sequences for :40, :45, :50 and :55 as on a coaching page, with :60 written 0 here
# (lifestylingathleticperformance, 2012); the rest is arithmetic from (s0 + k x I) mod 60.
TAUGHT = {
    "1:05": [0, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55],
    "1:10": [0, 10, 20, 30, 40, 50],
    "1:15": [0, 15, 30, 45],
    "1:20": [0, 20, 40],
    "1:25": [0, 25, 50, 15, 40, 5, 30, 55, 20, 45, 10, 35],
    "1:30": [0, 30],
    "1:35": [0, 35, 10, 45, 20, 55, 30, 5, 40, 15, 50, 25],
    "1:40": [0, 40, 20],
    "1:45": [0, 45, 30, 15],
    "1:50": [0, 50, 40, 30, 20, 10],
    "1:55": [0, 55, 50, 45, 40, 35, 30, 25, 20, 15, 10, 5],
}


@pytest.mark.parametrize("interval", TAUGHT)
def test_clock_readings_that_are_taught_for_an_interval(interval):
    taught = TAUGHT[interval]
    shown = seconds_shown(timeline_of(f"25 x 100 free on {interval}", "1:00"))
    assert shown == [taught[k % len(taught)] for k in range(25)]
    minutes, seconds = map(int, interval.split(":"))
    # It repeats after 60 / gcd(I, 60) send-offs (arithmetic).
    assert len(taught) == 60 // gcd(60 * minutes + seconds, 60)


# Louisville masters coaching page: how many numbers on the clock an interval's seconds use.
@pytest.mark.parametrize(
    "seconds, numbers",
    [("00", 1), ("30", 2), ("20", 3), ("40", 3), ("15", 4), ("45", 4), ("10", 6), ("50", 6), ("05", 12), ("55", 12)],
)
def test_how_many_numbers_an_interval_uses(seconds, numbers):
    assert len(set(seconds_shown(timeline_of(f"30 x 50 free on 1:{seconds}", "1:00")))) == numbers


# US Masters Swimming, "Masters Swimming 101": 5 x 200 on the 4:30 means leaving every 4:30, swim and rest inside it.
def test_five_two_hundreds_on_four_thirty():
    timeline = timeline_of("5 x 200 free on 4:30", "1:40")
    assert timeline.tracks[0].sendoffs == [k * 270_000 for k in range(5)]
    assert seconds_shown(timeline) == [0, 30, 0, 30, 0]


# UK club squad criteria page: 15 x 100 holding 1:15 on 1:30, and holding 1:20 on 1:35; the set clock and the ratios are
# arithmetic.
@pytest.mark.parametrize(
    "hold, interval, last_touch, set_clock",
    [
        ("1:15", "1:30", "22:15", "22:30"),
        ("1:20", "1:35", "23:30", "23:45"),
    ],
)
def test_fifteen_hundreds_held_on_an_interval(hold, interval, last_touch, set_clock):
    timeline = timeline_of(f"15 x 100 free, hold {hold}, on {interval}\n100 free", "1:30")
    touches = [e.at_ms for e in timeline.events(0) if e.kind == "touch"]
    assert touches[14] == ms(last_touch)
    assert timeline.tracks[0].sendoffs[15] == ms(set_clock)
    rests = [after - touch for after, touch in zip(timeline.tracks[0].sendoffs[1:16], touches)]
    assert set(rests) == {15_000}


# 4 x 200 on 4:00 at 3:20 (arithmetic): rest 40 s each, last touch 15:20, set clock 16:00.
def test_four_two_hundreds_on_four_minutes():
    timeline = timeline_of("4 x 200 free on 4:00\n50 free", "1:40")
    touches = [e.at_ms for e in timeline.events(0) if e.kind == "touch"]
    assert touches[3] == ms("15:20") and timeline.tracks[0].sendoffs[4] == ms("16:00")
    assert {after - touch for after, touch in zip(timeline.tracks[0].sendoffs[1:5], touches)} == {40_000}


# Even pace (arithmetic).
@pytest.mark.parametrize(
    "base, distance, time", [("1:15", 1600, "20:00"), ("1:20", 1500, "20:00"), ("1:05.5", 800, "8:44")]
)
def test_even_pace(base, distance, time):
    assert timeline_of(f"{distance} free", base).end_ms == ms(time)


# Olbrecht et al. 1985, Int J Sports Med 6(2):74-77: 30-minute test; pace is time over distance (arithmetic): 1800 m ->
# 1:40.
def test_thirty_minutes_at_base_pace():
    assert timeline_of("1800 free", "1:40").end_ms == ms("30:00")


# International Yard and Pound Agreement, 1959 (from memory, certain): 1 yd = 0.9144 m exactly.
def test_a_yard_base_in_a_metre_pool_is_converted_by_distance():
    assert Fraction("0.9144") == METRES_PER_YARD
    assert Pace(91_440, Unit.YARD).per_100(Unit.METRE) == 100_000
    assert Pace(100_000, Unit.METRE).per_100(Unit.YARD) == 91_440
    # 25 yd = 22.86 m: a 25 m length takes 1/0.9144 of a 25 yd one.
    assert timeline_of("100 free", "1:31.44 /100 yd").end_ms == 100_000


@pytest.mark.parametrize("ms_per_100", [62_000, 78_000, 91_440, 101_337])
def test_there_and_back_is_the_same_pace(ms_per_100):
    there = Pace(ms_per_100, Unit.METRE).per_100(Unit.YARD)
    assert Pace(there, Unit.YARD).per_100(Unit.METRE) == ms_per_100


# US Masters Swimming, "Masters Swimming 101": 5 s behind the swimmer ahead unless the coach says 10.
def test_swimmers_leave_five_seconds_apart_in_every_repeat():
    timeline = timeline_of("3 x 100 free on 2:00", "1:20", swimmers=4)
    leaving = [e for e in timeline.events(0) if e.kind == "send-off"]
    assert [clock_reading(e.at_ms) for e in leaving[:4]] == [":00", ":05", ":10", ":15"]
    for repeat in (1, 2, 3):
        at = [e.at_ms for e in leaving if e.what.repeat == repeat]
        assert [b - a for a, b in pairwise(at)] == [5_000] * 3


def ms(text: str) -> int:
    minutes, seconds = text.split(":")
    return int(minutes) * 60_000 + round(float(seconds) * 1000)
