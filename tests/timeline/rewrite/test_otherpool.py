"""A plan for another pool: distances that fit it, segments that fill them, times that follow by pace."""

import random
from fractions import Fraction
from pathlib import Path

import pytest

from pacer.plan.model import Pool, Unit
from pacer.plan.notation.planreader import pool_from_text, read_plan
from pacer.plan.planlines import numbered_lines
from pacer.plan.text.standardform import write_plan
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.rewrite.otherpool import Alteration, for_pool
from pacer.timeline.timeline import build_timeline
from tests.reference.random_plans import random_plan_text
from tests.reference.random_squads import meeting


def moved(line, old, new):
    """The line as written for the new pool, and the alterations except the header's."""
    plan, changes = for_pool(read_plan(f"pool: {old}\n\n  {line}\n"), pool_from_text(new))
    assert changes[0] == Alteration(None, f"pool: {pool_from_text(old)}", f"pool: {pool_from_text(new)}", "as asked")
    assert plan.pool == pool_from_text(new)
    return write_plan(plan).splitlines()[-1].strip(), [(change.was, change.now) for change in changes[1:]]


@pytest.mark.parametrize(("line", "old", "new", "expected"), [
    # another length: what fits stays, the rest becomes the nearest whole lengths; of two equally near, those that end
    # at the home wall
    ("4 x 100 free, on 1:40", "25 m", "50 m", "4 x 100 free, on 1:40"),
    ("4 x 75 free, on 1:20", "25 m", "50 m", "4 x 100 free, on 1:50"),         # 80 s x 4/3 = 106.7, up to 1:50
    ("8 x 25 free", "25 m", "50 m", "8 x 50 free"),
    # 40 or 60: even lengths or not; 48 s up to 0:50
    ("4 x 50 free, on 1:00", "25 m", "20 m", "4 x 40 free, on 0:50"),
    ("2 x 100 free, on 2:00", "25 m", "33 1/3 m", "2 x 100 free, on 2:00"),
    ("2 x 150 free", "50 m", "33 1/3 m", "2 x 200 free"),                      # 3 or 6 lengths
    # another unit: 100 m are 109.4 yd, 200 m 218.7, 400 m 437.4; 100 yd are 91.44 m
    ("4 x 100 free, on 1:40", "25 m", "25 yd", "4 x 100 free, on 1:35"),       # 100 s x 91.44/100 = 91.4
    ("4 x 200 free, on 3:20", "25 m", "25 yd", "4 x 225 free, on 3:30"),       # 200 s x 205.74/200 = 205.7
    ("400 free", "25 m", "25 yd", "425 free"),
    ("4 x 100 free, on 1:30", "25 yd", "25 m", "4 x 100 free, on 1:40"),       # 90 s x 100/91.44 = 98.4
    ("50 - 100 - 200 free, rest 0:15", "25 m", "25 yd", "50 - 100 - 225 free, rest 0:15"),
    # by lane
    ("8 x 100 / 75 / 50 free, on 2:00", "25 m", "50 m", "8 x 100 / 100 / 50 free, on 2:00 / 2:40 / 2:00"),
    ("8 x 100 / 75 / 50 free, on 2:00 / 1:45", "25 m", "50 m", "8 x 100 / 100 / 50 free, on 2:00 / 2:20 / 1:45"),
    ("8 x A 100 / B 75 free, on B 1:45 / A 2:00", "25 m", "50 m", "8 x A 100 / B 100 free, on B 2:20 / A 2:00"),
    # other ways to give an interval or a target
    ("4 x 100 free, on 1:40 per 100, hold 1:20", "25 m", "25 yd", "4 x 100 free, hold 1:13.2, on 1:32 per 100"),
    ("4 x 100 free, on base+0:15, hold base+0:03", "25 m", "25 yd", "4 x 100 free, hold base+0:02.7, on base+0:15"),
    ("4 x 75 free, on 1:20 then 1:15", "25 m", "50 m", "4 x 100 free, on 1:50 then 1:40"),
    ("6 x 0:30 kick vertical, rest 0:30", "25 m", "50 yd", "6 x 0:30 kick vertical, rest 0:30"),
])  # fmt: skip
def test_distances_and_times(line, old, new, expected):
    assert moved(line, old, new)[0] == expected


@pytest.mark.parametrize(("line", "old", "new", "expected", "altered"), [
    ("200 as 50 drill / 50 back", "25 m", "50 m", "200 as 50 drill / 50 back", []),
    ("200 as 25 drill / 25 back", "25 m", "50 m", "200 as 50 drill / 50 back", [("25 / 25 m", "50 / 50 m")]),
    ("200 as 25 drill / 75 back", "25 m", "50 m", "200 as 50 drill / 50 back", [("25 / 75 m", "50 / 50 m")]),
    ("50 as 25 drill / 25 back", "25 m", "50 m", "50 as 25 drill / 25 back", []),       # can only change in mid-pool
    ("75 as 25 drill / 50 back", "25 m", "50 m", "100 as 50 drill / 50 back",
     [("75 m", "100 m"), ("25 / 50 m", "50 / 50 m")]),
    ("50 as 25 kick / 25 back", "25 m", "33 1/3 m", "100 as 50 kick / 50 back",
     [("50 m", "100 m"), ("25 / 25 m", "50 / 50 m")]),
    ("2 x 100 odd (50 drill / 50 free) / even free", "25 yd", "20 yd", "2 x 100 odd (40 drill / 60 free) / even free",
     [("50 / 50 yd", "40 / 60 yd")]),
])  # fmt: skip
def test_segments_fill(line, old, new, expected, altered):
    assert moved(line, old, new) == (expected, altered)


def test_alterations_in_words():
    plan = read_plan(
        "pool: 25 m\n\nMain, 2 rounds\n  4 x 50 as 25 drill / 25 free, on 1:10\n  rest 1:00\n  4 x 75 free, rest 0:20\n"
    )
    changed, told = for_pool(plan, Pool(Fraction(25), Unit.YARD))
    assert told[1:] == (
        Alteration(4, "50 m", "50 yd", "50 m is 55 yd; nearest in 25 yd lengths"),
        Alteration(4, "25 / 25 m", "25 / 25 yd", "nearest in 25 yd lengths that fill the repeat"),
        Alteration(4, "on 1:10", "on 1:05", "the same pace, rounded up to the next 0:05"),
        Alteration(6, "75 m", "75 yd", "75 m is 82 yd; nearest in 25 yd lengths"),
    )
    assert [line.count for *_, line in numbered_lines(changed)] == [line.count for *_, line in numbered_lines(plan)]
    assert for_pool(plan, plan.pool) == (plan, ())


def test_random_plans_stay_plans_and_can_be_swum():
    squad = read_squad('[[lane]]\nbase = "1:20"\nswimmers = 2\n[[lane]]\nbase = "1:31 /100 yd"\n')
    for seed in range(120):
        rng = random.Random(seed)
        plan = read_plan(random_plan_text(rng))
        pool = pool_from_text(rng.choice(("25 m", "50 m", "25 yd", "33 1/3 m", "20 yd", "12.5 m", "30 m")))
        changed, told = for_pool(plan, pool)
        assert (not told) == (pool == plan.pool)
        assert read_plan(write_plan(changed)) == changed
        for _, _, _, line in numbered_lines(changed):
            lengths = line.ladder or (line.distance.entries if line.distance else ())
            assert pool == plan.pool or all(distance % pool.length == 0 for distance in lengths)
        build_timeline(*meeting(changed, squad))


def test_the_demo_plans_fit_every_pool():
    assets = Path(__file__).parents[3] / "assets"
    squad = read_squad((assets / "squads" / "thursday.toml").read_text(encoding="utf-8"))
    for page in sorted((assets / "plans").glob("*.txt")):
        for pool in ("50 m", "25 yd", "33 1/3 m"):
            changed, _ = for_pool(read_plan(page.read_text(encoding="utf-8")), pool_from_text(pool))
            assert build_timeline(changed, squad).end_ms > 0
