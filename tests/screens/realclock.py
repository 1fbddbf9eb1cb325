"""The page's clock over a real network of this machine, against the true offset.

The page runs in Chromium and speaks to the tablet through a relay that delays. Both ends are on one machine, so what
the page's clock should say is known: the offset of the browser's own clock is measured beside the relay, to a
millisecond or better.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from typing import Any, NamedTuple

from pacer.session.timesource import boot_ns
from tests.screens.hall import PATIENT_S, until

#: Before any script of the page: its clock runs fast by `FAST`, and exchanges come every `EVERY` ms, not every 2 s.
BEFORE = """
window.rawNow = performance.now.bind(performance);
performance.now = () => rawNow() * (1 + FAST);
const later = window.setTimeout;
window.setTimeout = (f, ms, ...more) => later(f, ms === 2000 ? EVERY : ms, ...more);
window.seen = [];
setInterval(() => {
  if (typeof link === "undefined" || link.now() === null) return;
  seen.push([rawNow(), link.now(), link.bound(), link.clock.taken]);
}, 37);
"""


class Found(NamedTuple):
    """What the page's clock said, at an instant of the browser's own: how far off, how far it said at most."""

    raw_ms: float
    error_ms: float
    bound_ms: float
    exchanges: int


@contextmanager
def page_by(chromium: Any, port: int, code: str, *, fast: float = 0.0, every_ms: int = 100) -> Iterator[None]:
    """The page, joined at lane 0 through the relay at `port`."""
    script = BEFORE.replace("FAST", str(fast)).replace("EVERY", str(every_ms))
    added = chromium.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": script})
    try:
        chromium.get(f"http://127.0.0.1:{port}/none")
        chromium.execute_script("localStorage.clear();")
        chromium.get(f"http://127.0.0.1:{port}/")
        until(lambda: chromium.execute_script("return link.state") == "code")
        chromium.execute_script("link.join(arguments[0])", code)
        until(lambda: chromium.execute_script("return link.state") == "joined")
        chromium.execute_script("link.pick(0, 'lane')")
        yield
    finally:
        chromium.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", added)
        chromium.get("data:text/html,")


def offset_ms(chromium: Any) -> tuple[float, float]:
    """What the tablet's clock is ahead of the browser's own, and how far that may be off: under 4 ms if need be."""
    best, end = (1e9, 0.0), time.monotonic() + PATIENT_S
    for turn in count():
        if turn >= 300 and (best[0] < 4 or time.monotonic() > end):
            break
        before = boot_ns() / 1e6
        raw = chromium.execute_script("return rawNow()")
        after = boot_ns() / 1e6
        best = min(best, ((after - before) / 2, (before + after) / 2 - raw))
    return best[1], best[0]


def found(chromium: Any, zero_ms: int, offset: float) -> list[Found]:
    """All that it said since the last time."""
    rows = chromium.execute_script("return seen.splice(0)")
    return [Found(raw, now - (raw + offset - zero_ms), bound, taken) for raw, now, bound, taken in rows]


def exchanged(chromium: Any, wanted: int) -> None:
    """Wait for so many exchanges, ten minutes at most."""
    end = time.monotonic() + 600
    while chromium.execute_script("return link.clock.taken") < wanted:
        assert time.monotonic() < end, "too few exchanges"
        time.sleep(0.2)
