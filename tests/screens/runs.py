"""Demo sessions with random presses, for tests of the lane screens."""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import suppress

from pacer.plan.model import Plan
from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import (
    Begun,
    Ended,
    LeftLate,
    Matched,
    Moved,
    Paused,
    Resumed,
    Stopped,
    TakenBack,
    Unit,
)
from pacer.session.running.leavingagain import late_mark, move_mark, resume_mark
from pacer.session.running.replay import Run, apply, fresh
from pacer.shippedfiles import PLANS, SQUADS
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import Squad
from pacer.timeline.findings import CannotRun
from pacer.timeline.fit.fitcounts import fit
from pacer.timeline.timeline import build_timeline
from tests.reference.random_plans import random_plan_text
from tests.reference.random_squads import random_squad
from tests.show.view.test_tight import PLAN, SQUAD

WALL_MS = 1_764_003_600_000
DEMOS = [(plan.stem, squad.stem) for plan in sorted(PLANS.glob("*.txt")) for squad in sorted(SQUADS.glob("*.toml"))]


def demo(plan: str, squad: str) -> Run:
    """A demo session that has begun."""
    written = read_plan((PLANS / f"{plan}.txt").read_text(encoding="utf-8"))
    swimmers = read_squad((SQUADS / f"{squad}.toml").read_text(encoding="utf-8"))
    timeline = build_timeline(written, swimmers, fit(written, swimmers).counts)
    return apply(fresh(timeline), Begun(-10_000, 0, WALL_MS, "+01:00"))


def tight() -> Run:
    """A session whose swimmers are not back for their send-offs."""
    return _begun(read_plan(PLAN), read_squad(SQUAD))


def anything(rng: random.Random) -> Run:
    """A session with all that a plan can say."""
    while True:
        with suppress(CannotRun):  # a plan and a squad that do not fit together
            return _begun(read_plan(random_plan_text(rng, size=2, labelled=True)), random_squad(rng, labelled=True))


def _begun(plan: Plan, squad: Squad) -> Run:
    return apply(fresh(build_timeline(plan, squad)), Begun(-10_000, 0, WALL_MS))


def pressed(run: Run, rng: random.Random, presses: int) -> Iterator[tuple[Run, int, int]]:
    """The run as it is after each of some random presses, from when to when it stays so."""
    at_ms = -10_000
    end_ms = run.timeline.end_ms
    for _ in range(presses):
        until_ms = at_ms + rng.randrange(1, max(2, end_ms // presses))
        yield run, at_ms, until_ms
        at_ms = until_ms
        with suppress(CannotRun):
            run = apply(run, _press(run, rng, at_ms))
    yield run, at_ms, max(at_ms, run.timeline.end_ms) + 60_000
    run = apply(run, Ended(at_ms := at_ms + rng.randrange(1, 600_000)))
    yield run, at_ms, at_ms + 300_000


def _press(run: Run, rng: random.Random, at_ms: int):
    lanes = rng.choice((None, (0,), (rng.randrange(len(run.timeline.tracks)),)))
    kind = rng.randrange(7)
    if kind == 0:
        return Paused(at_ms, lanes)
    if kind == 1:
        return Stopped(at_ms)
    if kind == 2:
        unit, step = rng.choice(tuple(Unit)), rng.choice((1, 1, -1))
        return Moved(at_ms, unit, step, move_mark(run, at_ms, unit, step, lanes), lanes)
    if kind == 3:
        return LeftLate(at_ms, late_mark(run, at_ms, lanes), lanes)
    if kind == 4:
        return Matched(at_ms, rng.randrange(60_000))
    if kind == 5 and run.by is not None:
        return TakenBack(at_ms)
    return Resumed(at_ms, resume_mark(run, at_ms), None)
