"""The rate that a line asks for at the leader's position, and its beats."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from pacer.plan.model import RateRange
from pacer.session.journal.entries import Begun, Paused
from pacer.session.records.ratetargets import beats, target
from pacer.session.running.replay import apply, fresh
from pacer.timeline.timeline import build_timeline
from tests.face.sessions import line, plan, squad

WANTED = RateRange(32, 40)


def run_of(*lines):
    made = build_timeline(plan(("Main set", *lines)), squad(1, swimmers=3, base=100))
    return apply(fresh(made), Begun(-10_000, 0, 0, "+00:00"))


def rated(*args, **kwargs):
    return replace(line(*args, **kwargs), rate=WANTED)


def test_the_target_changes_evenly_with_distance_and_waits_at_its_start():
    track = run_of(rated(2, 100, on=150)).timeline.tracks[0]  # 100 takes the leader 100 s
    said = [(at_s, target(track, at_s * 1_000)) for at_s in (-5, 0, 25, 50, 99, 100, 149, 150, 250)]
    assert [(at, None if found is None else (found.rate, found.swimming)) for at, found in said] == [
        (-5, (32, False)),
        (0, (32, True)),
        (25, (34, True)),
        (50, (36, True)),
        (99, (Fraction(40) - Fraction(8, 100), True)),
        (100, (32, False)),
        (149, (32, False)),
        (150, (32, True)),
        (250, None),
    ]


def test_a_line_without_a_rate_has_no_target_and_no_beats():
    track = run_of(line(1, 100, on=150), rated(1, 100, on=150)).timeline.tracks[0]
    assert target(track, 50_000) is None and beats(track, 0, 150_000) == ()
    assert target(track, 120_000).rate == 32 and beats(track, 150_000, 151_000) == (150_000,)


def test_as_many_beats_as_cycles_fit_at_the_mean_rate():
    """100 s at a rate that rises evenly from 32 to 40 a minute.

    That is 36 a minute on average, so 60 cycles; at 32 the first gap is 1.875 s.
    """
    track = run_of(rated(1, 100, on=150)).timeline.tracks[0]
    found = beats(track, 0, 150_000)
    gaps = [after - before for before, after in pairwise(found)]
    assert found[0] == 0 and gaps[0] == 1_875 and abs(gaps[-1] - 1_500) < 10
    assert len(found) in (60, 61) and found[-1] < 100_000
    assert all(after <= before + 1 for before, after in pairwise(gaps)), "quicker and quicker, to a rounding"


def test_consecutive_windows_give_each_beat_once():
    track = run_of(rated(3, 100, on=110)).timeline.tracks[0]
    whole = beats(track, 0, 400_000)
    assert (
        tuple(at for start in range(0, 400_000, 370) for at in beats(track, start, min(400_000, start + 370))) == whole
    )


def test_a_paused_lane_beats_until_its_leader_stops():
    run = run_of(rated(3, 100, on=110))
    held = apply(run, Paused(130_000, None)).timeline.tracks[0]
    found = beats(held, 0, 400_000)
    assert max(found) < 210_000 and beats(held, 205_000, 210_000) != () and beats(held, 220_000, 400_000) == ()
    assert target(held, 300_000) is None or not target(held, 300_000).swimming
