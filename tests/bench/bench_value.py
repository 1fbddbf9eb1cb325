"""What a value costs, against `dataclasses` in the same run: the class itself, one of them, comparing and hashing two.

    python tests/bench/bench_value.py
"""

from __future__ import annotations

import statistics
import sys
import time
from dataclasses import dataclass
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).parent)]

from table import Row, print_table

from pacer.value import value

REPEATS = 15


def made(make):
    """A class of five fields."""

    @make
    class Swim:
        """A swim."""

        distance: int
        stroke: str = "free"
        effort: str | None = None
        parts: tuple = ()
        timed: bool = False

    return Swim


def micros(what, times: int) -> list[float]:
    """Microseconds of one call, a figure for each repeat."""
    found = []
    for _ in range(REPEATS):
        begun = time.perf_counter()
        for _ in range(times):
            what()
        found.append((time.perf_counter() - begun) / times * 1e6)
    return found


def main() -> None:
    """Measure and print."""
    rival = dataclass(frozen=True, slots=True)
    rows = []
    for name, times, what in (
        ("a class of five fields", 100, lambda make: lambda: made(make)),
        ("one of them", 20_000, lambda make: (lambda kind: lambda: kind(200, "back"))(made(make))),
        ("two compared", 20_000, lambda make: (lambda one, other: lambda: one == other)(*map(made(make), (200, 200)))),
        ("one hashed", 20_000, lambda make: (lambda one: lambda: hash(one))(made(make)(200))),
    ):
        ours, theirs = (micros(what(make), times) for make in (value, rival))
        mine, other = statistics.median(ours), statistics.median(theirs)
        rows.append(Row(name, f"{mine:.2f} µs", f"dataclass {other:.2f} µs", f"{mine / other:.2f}", f"{min(ours):.2f} to {max(ours):.2f} µs", REPEATS))
    print_table(rows)


if __name__ == "__main__":
    main()
