"""Mutated plans and squads through every command: nothing but pacer's own errors, nothing slow, bounded memory.

    python tests/bench/bench_mutants.py [CASES [FIRST]]

CASES mutants (20,000) from seed FIRST on, on every core. A command may take 2 seconds of processor time, and the
process 300 MB. Ends with an error if a command exceeds that, and names its seed; prints the longest times and the most
memory.
"""

from __future__ import annotations

import heapq
import multiprocessing
import os
import resource
import signal
import sys
import tempfile
import time
import traceback
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2])]

from tests.mutants import Deck, Mutant, corpus, ended

LONGEST_S, GIVEN_UP_S, MOST_MB = 2.0, 30, 300


class TooSlow(BaseException):
    """A command took longer than anybody would wait."""


def _give_up(*_):
    raise TooSlow


def tried(seeds: range) -> tuple[list[tuple[float, int, str]], list[str], list[int], int]:
    """Run `seeds` one after another in a separate process.

    Returns the longest times, what went wrong, the number of each exit code, and the most memory in kB.
    """
    signal.signal(signal.SIGALRM, _give_up)
    plans, squads = corpus()
    slow: list[tuple[float, int, str]] = []
    wrong, codes = [], [0, 0, 0]
    with tempfile.TemporaryDirectory() as folder:
        os.environ["PACER_HOME"] = folder
        for seed in seeds:
            mutant, deck = Mutant(seed, Path(folder), plans, squads), Deck(seed)
            for line in mutant.lines():
                said = " ".join([line[0], *(word for word in line if word.startswith("--"))])
                signal.alarm(GIVEN_UP_S)
                began = time.process_time()
                try:
                    codes[ended(line, deck)] += 1
                except (Exception, TooSlow) as error:  # noqa: BLE001 - the bench looks for exceptions
                    last = traceback.extract_tb(error.__traceback__)[-1]
                    wrong.append(
                        f"seed {seed}: {said}: {type(error).__name__}: {error} "
                        f"({Path(last.filename).name}:{last.lineno})"
                    )
                took = time.process_time() - began
                signal.alarm(0)
                if took > LONGEST_S:
                    wrong.append(f"seed {seed}: {said}: {took:.2f} s")
                slow = heapq.nlargest(12, [*slow, (took, seed, said)])
    return slow, wrong, codes, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def main(cases: int = 20_000, first: int = 0) -> None:
    chunks = [range(at, min(at + 50, first + cases)) for at in range(first, first + cases, 50)]
    slow, wrong, codes, most = [], [], [0, 0, 0], 0
    with multiprocessing.get_context("spawn").Pool(os.cpu_count(), maxtasksperchild=1) as pool:
        for done, (times, bad, ends, memory) in enumerate(pool.imap_unordered(tried, chunks), 1):
            slow, wrong, most = heapq.nlargest(12, [*slow, *times]), wrong + bad, max(most, memory)
            codes = [a + b for a, b in zip(codes, ends)]
            for each in bad:
                print(each, flush=True)
            if done % 20 == 0:
                print(
                    f"{done * 50:,} mutants: longest {slow[0][0]:.2f} s, {most / 1024:.0f} MB",
                    file=sys.stderr,
                    flush=True,
                )
    print(
        f"{cases:,} mutants, {sum(codes):,} commands: {codes[0]:,} fine, {codes[1]:,} stopped, {codes[2]:,} "
        "cannot be read"
    )
    print(f"most memory of a process: {most / 1024:.0f} MB")
    for took, seed, said in slow:
        print(f"{took:6.2f} s  seed {seed}: {said}")
    if most > MOST_MB * 1024:
        wrong.append("too much memory")
    if wrong:
        sys.exit(f"{len(wrong)} went wrong")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
