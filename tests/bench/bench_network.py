"""The page's clock over real sockets and a relay that delays, against the true offset: 1,000 exchanges each.

    python tests/bench/bench_network.py

20 ms ± 15 ms each way, 5 % of the packets 300 ms late; the same lopsided by 30 ms; a browser clock that is 50 ppm
fast, at the end with a minute of nothing. Exchanges come every tenth of a second, not every two seconds: a late packet
holds up those behind it, which is harder than on deck. The browser's own clock is known to a millisecond or two.
"""

from __future__ import annotations

import random
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

EXCHANGES = 1_000
EVERY_MS = 100


def percentile(values, share: float):
    """The value that `share` of them do not exceed."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def told(what: str, found, unsure: float) -> None:
    """Print a row."""
    errors, bounds = [abs(one.error_ms) for one in found], [one.bound_ms for one in found]
    over = sum(one.bound_ms < abs(one.error_ms) - unsure for one in found)
    print(f"{what}: median {percentile(errors, 0.5):.1f} ms, 99 % {percentile(errors, 0.99):.1f} ms", end=", ")
    print(f"greatest {max(errors):.1f} ms; bound, median {percentile(bounds, 0.5):.1f} ms, exceeded {over} of", end=" ")
    print(f"{len(found)}; the true offset is known to {unsure:.1f} ms", flush=True)


def measured(browser, what: str, fast: float, lopsided_ms: float, silent: bool) -> None:
    """One stretch."""
    from pacer.screens.screenconnection import Limits
    from tests.screens import realclock
    from tests.screens.hall import hall
    from tests.screens.relay import jitter, relay

    rng = random.Random(7)
    with (
        hall(limits=Limits(a_second=100.0)) as screens,
        relay(screens.server.port, jitter(rng, lopsided_ms), jitter(rng)) as between,
        realclock.page_by(browser, between.port, screens.code, fast=fast, every_ms=EVERY_MS),
    ):
        zero_ms = screens.driver.run.begun.boot_ms
        realclock.exchanged(browser, EXCHANGES)
        offset, unsure = realclock.offset_ms(browser)
        found = realclock.found(browser, zero_ms, offset)
        told(what, [one for one in found if one.exchanges > 20], unsure)
        if silent:
            between.silent = True
            time.sleep(60)
            alone = realclock.found(browser, zero_ms, offset)
            told("  the last second of 60 s of nothing", alone[-27:], unsure)
            told("  all of it", alone, unsure)


def main() -> None:
    """Measure and print."""
    from tests.screens.conftest import opened

    browser = opened()
    try:
        measured(browser, "alike", 0.0, 0, False)
        measured(browser, "lopsided by 30 ms", 0.0, 30, False)
        measured(browser, "50 ppm fast", 50e-6, 0, True)
    finally:
        browser.quit()


if __name__ == "__main__":
    main()
