"""Randomly changed lines of the whiteboard corpus: none raises an exception, none is read with a part dropped.

`python tests/bench/bench_lines.py [HOW MANY] [FIRST SEED]`; a line that fails is printed with its seed.
"""

from __future__ import annotations

import random
import sys
import time
import traceback
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.plan.accounting import mutated
from tests.plan.test_accounted import WRITTEN, dropped


def main(count: int = 50_000, first: int = 0) -> int:
    """Print and return how many lines went wrong."""
    wrong = 0
    start = time.perf_counter()
    for seed in range(first, first + count):
        text = mutated(random.Random(seed), WRITTEN)
        try:
            gone = dropped(text)
        except Exception:  # noqa: BLE001 (the bench looks for exceptions)
            wrong += 1
            print(f"seed {seed}: {text!r}")
            traceback.print_exc()
            continue
        if gone:
            wrong += 1
            print(f"seed {seed}: {text!r} without {', '.join(gone)}")
    each = (time.perf_counter() - start) / count
    print(f"{count:,} lines, {wrong} with a part dropped or an exception; {1000 * each:.2f} ms a line")
    return wrong


if __name__ == "__main__":
    sys.exit(1 if main(*map(int, sys.argv[1:])) else 0)
