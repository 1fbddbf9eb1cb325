"""The Brackenmere club's long-axis series: three Thursdays swum, the fourth page still to come."""

from __future__ import annotations

import random
import re
from functools import cache
from pathlib import Path

from pacer.plan.notation.planreader import read_plan
from pacer.session.storage.savedsession import KeptSession
from pacer.session.storage.store import Store
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.summary.planned import planned
from tests.review.made import ZERO_WALL_MS, timed
from tests.review.season.stored import DAY_MS, stored

ASSETS = Path(__file__).parents[3] / "assets"
AWAY = {1: (), 2: ("Orla",), 3: ("Bram", "Pilar")}  #: by session
FIRST_DAY = 3  #: the first Thursday, in days after the Monday that sessions are made on
TUESDAY_MS = ZERO_WALL_MS + 22 * DAY_MS  #: the evening when the next page is written: 24 March


def squad_without(names: tuple[str, ...]) -> str:
    """The club's squad as a text, without some of its swimmers."""
    text = (ASSETS / "squads" / "thursday.toml").read_text(encoding="utf-8")
    for name in names:
        text = re.sub(rf'\n  \[\[lane\.swimmer\]\]\n  name = "{name}"\n(  \w+ = .*\n)+', "\n", text)
    return text


@cache
def thursday(number: int, share: float = 1.0, seed: int = 1) -> KeptSession:
    """Session `number` of the series, its main set timed; lane 1 is 4 % faster than written, the rest by `share`."""
    rng = random.Random(seed)
    plan = read_plan((ASSETS / "plans" / f"long-axis-rotation-{number}.txt").read_text(encoding="utf-8"))
    timeline = planned(plan, read_squad(squad_without(AWAY[number])))[0]
    main = next(at for at, section in enumerate(plan.sections) if section.name == "Main set")

    def takes(swim):
        by = 0.96 if swim.lane == 0 else share
        return round(swim.predicted_ms * rng.gauss(by, 0.01)) if swim.section == main else None

    return timed(timeline, takes)


def keep_series_once(home: Path) -> None:
    """The three sessions in the store of `home`, unless the first of them is there."""
    first_ms = ZERO_WALL_MS + FIRST_DAY * DAY_MS
    if all(listed.begun_ms != first_ms for listed in Store(home).sessions()):
        keep_series(home)


def keep_series(home: Path) -> Store:
    """The three sessions in the store of `home`."""
    return stored(home, [(thursday(number), FIRST_DAY + 7 * (number - 1)) for number in (1, 2, 3)])


def dated_plan() -> str:
    """The plan that the club will swim on Thursday 26 March."""
    text = (ASSETS / "plans" / "long-axis-rotation-4.txt").read_text(encoding="utf-8")
    return text.replace("title: Long-axis rotation 4\n", "title: Long-axis rotation 5\ndate: 2026-03-26 17:00\n")
