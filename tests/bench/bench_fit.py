"""The fit against `scipy.optimize.milp`: equal optimum, and time.

    python tests/bench/bench_fit.py [SMALL [LARGE]]

SMALL random sessions of up to 5 sections and 6 lanes (300), and LARGE ones of 8 sections, 10 lanes and 1 to 8 rounds
(12), for which the solver has a minute for the distance and one for the end. Ends with an error if the two differ.
"""

from __future__ import annotations

import random
import statistics
import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

from table import Row, measured, print_table, shown, spread_of

from pacer.plan.notation.planreader import read_plan
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.fit.fitcounts import fit
from tests.reference.fit_model import Session, Solved, random_session, seconds_of


def compared(session: Session, repeats: int, by_slots: bool) -> tuple[float, float, Solved]:
    """Our seconds (median), the solver's seconds, and the solver's result; an error if it proved something else."""
    plan, squad = read_plan(session.page()), read_squad(session.squad())
    found = fit(plan, squad, end_ms=session.limit * 1000)
    solved, theirs = seconds_of(lambda: Solved(session, by_slots=by_slots))
    ours = statistics.median(measured(lambda: fit(plan, squad, end_ms=session.limit * 1000), repeats))
    if solved.farthest:
        assert found.over_ms if solved.distance is None else found.distance == solved.distance, f"differs: {session}"
    if solved.proven and solved.end is not None:
        assert found.end_ms == solved.end * 1000, f"ends otherwise: {session}"
    return ours, theirs, solved


def rows_of(what: str, sessions: list[Session], repeats: int, by_slots: bool = False) -> list[Row]:
    found = [compared(session, repeats, by_slots) for session in sessions]
    ours = [mine for mine, _, _ in found]
    proven = [(mine, theirs) for mine, theirs, solved in found if solved.proven]
    rows = [Row(f"the fit, {what}", shown(statistics.median(ours)), spread=spread_of(ours), repeats=len(ours))]
    if proven:
        mine, theirs = (statistics.median(times) for times in zip(*proven))
        fits = sum(solved.distance is not None for _, _, solved in found)
        farthest = sum(solved.farthest for _, _, solved in found)
        said = (
            f"the same, where the solver proved distance and end ({len(proven)} of {len(found)}, {fits} fit; "
            f"distance {farthest})"
        )
        least = min(theirs / mine for mine, theirs in proven)
        rows.append(
            Row(
                said,
                shown(mine),
                f"milp {shown(theirs)}",
                f"1/{theirs / mine:.0f}",
                f"at most 1/{least:.0f}",
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
        rows += rows_of("8 sections, 10 lanes, rounds 1 to 8", largest, 9, True)
    print_table(rows)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
