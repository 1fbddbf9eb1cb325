"""Time functions against a rival in the same run, and print the table that figures.md quotes.

It is not a test: nothing here passes or fails. Each pair is measured alternately, so that other
work on the machine affects both equally.
"""

from __future__ import annotations

import gc
import platform
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """One measurement; `rival` names the other side of the ratio."""

    what: str
    figure: str
    rival: str = ""
    ratio: str = ""
    spread: str = ""
    repeats: int = 0


def seconds(function: Callable[[], object]) -> float:
    """One call's processor time, without the garbage collector (as in `timeit`)."""
    gc.collect()
    gc.disable()
    begun = time.process_time()
    function()
    taken = time.process_time() - begun
    gc.enable()
    return taken


def measured(function: Callable[[], object], repeats: int) -> list[float]:
    """The times of `repeats` calls, after one that does not count."""
    function()
    return [seconds(function) for _ in range(repeats)]


def against(what: str, ours: Callable[[], object], rival_name: str, rival: Callable[[], object], repeats: int) -> Row:
    """Our times and a rival's, alternating; the ratio is of medians."""
    ours(), rival()
    mine, theirs = [], []
    for _ in range(repeats):
        mine.append(seconds(ours))
        theirs.append(seconds(rival))
    ratio = statistics.median(mine) / statistics.median(theirs)
    return Row(
        what,
        shown(statistics.median(mine)),
        f"{rival_name} {shown(statistics.median(theirs))}",
        f"1/{1 / ratio:.1f}" if ratio < 1 else f"{ratio:.2f}",
        spread_of(mine),
        repeats,
    )


def alone(what: str, function: Callable[[], object], repeats: int, *, per: int = 1) -> Row:
    """A figure without a rival; one measurement makes `per` calls."""
    times = [t / per for t in measured(function, repeats)]
    return Row(what, shown(statistics.median(times)), spread=spread_of(times), repeats=repeats)


def shown(duration: float) -> str:
    """A duration in its most readable unit."""
    if duration < 1e-3:
        return f"{duration * 1e6:.1f} µs"
    return f"{duration * 1e3:.2f} ms" if duration < 1 else f"{duration:.2f} s"


def spread_of(times: list[float]) -> str:
    """The least and the greatest time."""
    return f"{shown(min(times))} to {shown(max(times))}"


def print_table(rows: list[Row]) -> None:
    """Print as Markdown, with the machine."""
    print(
        f"{platform.python_implementation()} {platform.python_version()}, {platform.machine()}, {platform.system()}\n"
    )
    print("| what | figure (median) | against | ratio | least to greatest | repeats |")
    print("| --- | --- | --- | --- | --- | --- |")
    for row in rows:
        print(f"| {row.what} | {row.figure} | {row.rival} | {row.ratio} | {row.spread} | {row.repeats or ''} |")
