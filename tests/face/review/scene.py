"""Thursday's session of the Brackenmere club, every repeat of the skill and the main set timed, looked at on Sunday."""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path

from pacer.session.journal.recordentries import Noted, Rated
from pacer.session.storage.savedsession import KeptSession
from pacer.session.storage.store import Store
from tests.review.made import ZERO_WALL_MS, predicted, timed
from tests.review.season.stored import DAY_MS, stored
from tests.session.pages import session

ASSETS = Path(__file__).parents[3] / "assets"
PLAN = """\
title: Thursday threshold
pool: 25 m
booking: 75 min
focus: threshold

Warm-up, easy
  4 x 100 choice, rest 0:15

Skill set
  6 x 50 drill six-kick switch on 1:30

Main set, 2 rounds
  4 x 200 free on base+0:25
  rest 1:00
  4 x 50 fast, rest 0:20

Swim-down, easy
  100 choice
"""
THURSDAY = 3  #: days after the Monday that sessions are made on
SUNDAY_MS = ZERO_WALL_MS + (THURSDAY + 14 + 3) * DAY_MS  #: the evening after the third Thursday
NEXT = PLAN.replace("threshold\npool", "threshold 2\npool").replace("focus:", "revisits: Thursday threshold\nfocus:")


def squad_text() -> str:
    """The club's squad as it ships."""
    return (ASSETS / "squads" / "thursday.toml").read_text(encoding="utf-8")


@cache
def thursday(seed: int = 3, *, off: bool = True) -> KeptSession:
    """Lane 3 fades from round 2 on, Orla's stroke rate falls, lane 1 and one of lane 4 are faster than written."""
    rng = random.Random(seed)
    timeline = session(PLAN, squad_text())

    def takes(swim):
        if swim.section in (0, 3):
            return None
        share = rng.gauss(1.0, 0.012)
        if off:
            share *= 1.045 if swim.lane == 2 and swim.round > 1 else 1.0
            share *= 0.955 if swim.lane == 3 and swim.place == 1 else 1.0
            share *= 0.97 if swim.lane == 0 else 1.0
            share *= 2.0 if rng.random() < 0.004 else 1.0
        return round(swim.predicted_ms * share)

    orla = [swim for swim in predicted(timeline) if (swim.lane, swim.place, swim.section, swim.line) == (2, 0, 2, 1)]
    rates = [_taps(orla[1].left_ms + at * 1000, rate) for at, rate in ((40, 38), (80, 38), (150, 31))]
    return timed(timeline, takes, *rates, Noted(orla[2].left_ms + 60_000, "hips low", 2, 1))


def _taps(at_ms: int, rate: int) -> Rated:
    gap = 6000 / rate
    marks = tuple(round(gap * n) for n in range(4))
    return Rated(at_ms + marks[-1] * 5, 2, marks, 1, 0)


def keep(home: Path, weeks: int = 3) -> Store:
    """So many Thursdays in the store, the last of them the one that is looked at."""
    earlier = [(thursday(seed, off=False), THURSDAY + 7 * seed) for seed in range(weeks - 1)]
    return stored(home, [*earlier, (thursday(), THURSDAY + 7 * (weeks - 1))])


def look_back(coach) -> None:
    """The review of the last session, from the shelf through the log; next Thursday's plan is on the shelf."""
    there = [one.number for one in coach.office.store.sessions() if one.title == "Thursday threshold"]
    if not there:
        keep(coach.home)
        coach.office.shelf.add(NEXT)
        there = [one.number for one in coach.office.store.sessions() if one.title == "Thursday threshold"]
    coach.office.log(max(there))
    coach.frame()
    coach.page.press("review")
    for _ in range(3):
        coach.frame(20)
