"""A lane of three, all 4 % faster than written, but for one missed touch that doubles one of Bram's times."""

from __future__ import annotations

import random

from pacer.session.storage.savedsession import KeptSession
from tests.review.made import timed
from tests.session.pages import session

PLAN = """\
title: Thursday aerobic
pool: 25 m

Main set
  6 x 100 free on base+0:30
  2 x 400 free steady, on base+0:15
"""
SQUAD = """\
name = "Thursday"
[[lane]]
number = 2
  [[lane.swimmer]]
  name = "Orla"
  base = "1:20"
  [[lane.swimmer]]
  name = "Bram"
  base = "1:22"
  [[lane.swimmer]]
  name = "Kit"
  base = "1:23"
"""


def missed_touch() -> KeptSession:
    """The session; the doubled time is the third hundred's."""
    rng = random.Random(4)

    def takes(swim):
        spoilt = (swim.place, swim.line, swim.repeat) == (1, 1, 3)
        return round(swim.predicted_ms * 0.96 * rng.gauss(1, 0.008) * (2 if spoilt else 1))

    return timed(session(PLAN, SQUAD), takes)
