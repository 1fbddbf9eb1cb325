"""The fit against `scipy.optimize.milp` (design: sections 6 and 14): equal optimum, and time.

    python tests/bench/bench_fit.py [SMALL [LARGE]]

SMALL random sessions of up to 5 sections and 6 lanes (300), and LARGE of 8 sections, 10 lanes and 1 to 8 rounds (12), where
the solver has a minute for the distance and one for the end. Ends with an error where the two differ.
"""

from __future__ import annotations

import random
import statistics
import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

from table import Row, measured, print_table, shown, spread_of

from pacer.plan import read_plan
from pacer.squad.reading import read_squad
from pacer.timeline.fit import fit
from tests.reference.fit_model import Session, Solved, random_session, seconds_of


def compared(session: Session, repeats: int) -> tuple[float, float, bool, bool]:
    """Seconds of ours (median) and of the solver; whether it proved its answer, and whether anything fits."""
    plan, squad = read_plan(session.page()), read_squad(session.squad())
    found = fit(plan, squad, end_ms=session.limit * 1000)
    solved, theirs = seconds_of(lambda: Solved(session))
    ours = statistics.median(measured(lambda: fit(plan, squad, end_ms=session.limit * 1000), repeats))
    if solved.proven:
        same = (found.distance, found.end_ms) == (solved.distance, 1000 * (solved.end or 0))
        assert same if solved.distance is not None else found.over_ms, f"differs: {session}"
    return ours, theirs, solved.proven, solved.distance is not None


def rows_of(what: str, sessions: list[Session], repeats: int) -> list[Row]:
    found = [compared(session, repeats) for session in sessions]
    ours = [mine for mine, _, _, _ in found]
    proven = [(mine, theirs) for mine, theirs, proof, _ in found if proof]
    rows = [Row(f"the fit, {what}", shown(statistics.median(ours)), spread=spread_of(ours), repeats=len(ours))]
    if proven:
        mine, theirs = (statistics.median(times) for times in zip(*proven))
        rows.append(
            Row(
                f"where the solver proved its optimum ({len(proven)} of {len(found)}, "
                f"{sum(fits for *_, fits in found)} fit), the same one",
                shown(mine),
                f"milp {shown(theirs)}",
                f"1/{theirs / mine:.0f}",
                "least ratio " + f"1/{min(t / m for m, t in proven):.0f}",
                len(proven),
            )
        )
    return rows


def main(small: int = 300, large: int = 12) -> None:
    sessions = []
    for seed in range(small):
        rng = random.Random(seed)
        sessions.append(random_session(rng, rng.randint(1, 5), rng.randint(1, 6), 4))
    largest = [random_session(random.Random(seed), 8, 10, 8, plain=True) for seed in range(large)]
    rows = []
    if small:
        rows += rows_of("up to 5 sections, 6 lanes", sessions, 3)
    if large:
        rows += rows_of("8 sections, 10 lanes, rounds 1 to 8", largest, 9)
    print_table(rows)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
