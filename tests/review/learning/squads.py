"""Simulated squads: true paces and factors drawn from the model's priors, and a session swum with them.

A factor's deviation is the sum of what the whole squad has in common and of the lane's own, half of the variance each.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from math import exp, sqrt

from pacer.review.learning.factorparts import stretches_of
from pacer.review.learning.lanemodel import BASE_PRIOR, PRIORS, SWIMMER_PRIOR
from pacer.review.swum.swims import Swum
from pacer.session.storage.savedsession import KeptSession
from pacer.timeline.timeline import Timeline
from tests.review.made import timed
from tests.session.pages import session

PLAN = """\
pool: 25 m
Warm-up, easy
  4 x 100 choice on 2:45
  6 x 50 kick on 1:40
Skills
  6 x 50 drill six-kick switch on 1:50
  6 x 50 as 25 drill six-kick switch / 25 back, on 1:50
  4 x 50 pull with paddles on 1:30
Main, 2 rounds
  6 x 100 free on 2:20
  4 x 50 back fast on 1:30
  4 x 50 free, descend 1-4, on 1:30
"""


def squad_text(lanes: int = 2, swimmers: int = 3) -> str:
    """Lanes of swimmers with their own paces."""
    blocks = []
    for lane in range(lanes):
        blocks.append("[[lane]]")
        blocks += [
            f'  [[lane.swimmer]]\n  name = "L{lane}S{place}"\n  base = "1:{20 + 6 * lane + place}"'
            for place in range(swimmers)
        ]
    return "\n".join(blocks) + "\n"


@dataclass
class Truth:
    """The swimmers' true values, as logarithms relative to the written ones, and the spoilt times."""

    bases: dict[int, float] = field(default_factory=dict)
    factors: dict[tuple[int, str], float] = field(default_factory=dict)
    squad: dict[str, float] = field(default_factory=dict)
    own: dict[tuple[int, str], float] = field(default_factory=dict)
    spoilt: set[tuple[int, int, int]] = field(default_factory=set)


def simulated(
    seed: int, *, outliers: float = 0.0, noise: float = 0.02, own: tuple[str, ...] = ()
) -> tuple[KeptSession, Truth]:
    """A session of a squad drawn from the priors. An outlier is a time 1.3 to 2.2 times too long or too short.

    `own`: factors in which every swimmer differs from their lane.
    """
    rng, truth = random.Random(seed), Truth()
    timeline: Timeline = session(PLAN, squad_text())

    def takes(swim: Swum) -> int:
        base = truth.bases.setdefault(swim.who, rng.gauss(0, BASE_PRIOR))
        whole = 0.0
        for stretch in stretches_of(swim.shape, swim.laneline.line, swim.repeat, {}):
            off = 0.0
            for part in stretch.parts:
                half = PRIORS[part.sort] / sqrt(2)
                if (swim.lane, part.name) not in truth.factors:
                    common = truth.squad.setdefault(part.name, rng.gauss(0, half))
                    truth.factors[swim.lane, part.name] = common + rng.gauss(0, half)
                off += part.weight * truth.factors[swim.lane, part.name]
                if part.name in own:
                    off += part.weight * truth.own.setdefault((swim.who, part.name), rng.gauss(0, SWIMMER_PRIOR))
            whole += stretch.share * exp(off)
        time = swim.predicted_ms * exp(base) * whole * exp(rng.gauss(0, noise))
        if rng.random() < outliers:
            truth.spoilt.add((swim.lane, swim.place, swim.left_ms))
            by = rng.uniform(1.3, 2.2)
            time = time * by if rng.random() < 0.7 else time / by
        return round(time)

    return timed(timeline, takes), truth
