"""The page on a slow network, by real sockets: its clock is as near the true one as it says.

How near that is: `test_linkscript` in simulated time, `tests/bench/bench_network.py` in long stretches of real time.
"""

from __future__ import annotations

import random

import pytest

from tests.screens import realclock
from tests.screens.hall import hall, until
from tests.screens.relay import jitter, relay

pytestmark = pytest.mark.real_clock


@pytest.mark.parametrize(("fast", "lopsided_ms"), [(50e-6, 0), (0.0, 30)])
def test_the_clock_is_as_near_as_it_says_and_alone_it_runs_on(chromium, fast, lopsided_ms):
    rng = random.Random(19)
    with (
        hall() as screens,
        relay(screens.server.port, jitter(rng, lopsided_ms), jitter(rng)) as between,
        realclock.page_by(chromium, between.port, screens.code, fast=fast, every_ms=110),
    ):
        zero_ms = screens.driver.run.begun.boot_ms
        realclock.exchanged(chromium, 40)
        offset, unsure = realclock.offset_ms(chromium)
        found = [one for one in realclock.found(chromium, zero_ms, offset) if one.exchanges > 16]
        assert unsure < 4 and len(found) > 30
        assert all(abs(one.error_ms) <= one.bound_ms + unsure for one in found)
        between.silent = True
        until(lambda: chromium.execute_script("return link.aloneSince") is not None)
        alone = realclock.found(chromium, zero_ms, offset)[5:]
        assert all(abs(one.error_ms) <= one.bound_ms + unsure for one in alone)
        between.silent = False
        until(lambda: chromium.execute_script("return link.aloneSince") is None)
