"""The sessions for the benchmarks, made up by us."""

from __future__ import annotations

from pacer.plan.model import Plan
from pacer.plan.notation.planreader import read_plan
from pacer.squad.squad import Lane, Pace, Squad, Swimmer

TWO_HOURS = """\
title: Two hours for ten lanes
pool: 25 m

Warm-up, easy
  200 choice
  4 x 50 as 25 kick / 25 back, rest 0:15
  8 x 50 pull, rest 0:10

Skill set
  6 x 50 as 25 scull "hips at the surface" / 25 back easy, rest 0:20, with snorkel
  8 x 25 drill six-kick switch "six kicks, then roll", rest 0:15

Main set, 3 rounds
  3 x 200 as 50 drill six-kick switch "six kicks, then roll" / 50 back "same roll", on base+1:05
  rest 1:00
  4 x 50 back build, on base+0:30

Speed, 2 rounds
  8 x 25 free, descend 1-4, on base+0:20
  4 x 25 odd fast / even easy, rest 0:15

Swim-down, easy
  4 x 50 choice, rest 0:10
"""


def two_hours() -> Plan:
    """A session of about two hours."""
    return read_plan(TWO_HOURS)


def ten_lanes() -> Squad:
    """Ten lanes of eight swimmers, each with their own pace."""
    lanes = []
    for lane in range(10):
        swimmers = tuple(Swimmer(Pace(68_000 + 3_000 * lane + 250 * place)) for place in range(8))
        lanes.append(Lane(lane + 1, swimmers[-1].base, swimmers))
    return Squad(tuple(lanes))


def sixty_lines() -> str:
    """A plan of sixty lines."""
    blocks = TWO_HOURS.split("\n\n")
    skills = blocks[2:4]
    lines = "\n\n".join([*blocks[:2], *skills * 6, *blocks[4:]]).splitlines()
    return "\n".join(lines[:60]) + "\n"
