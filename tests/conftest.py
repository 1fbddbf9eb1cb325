"""No test goes by chance, or by the clocks of the machine it runs on, unless it says so.

Hypothesis tries the same examples every time; `PACER_EXAMPLES=2000 python -m pytest TESTS` searches among new ones.
"""

from __future__ import annotations

import os
import signal
import time
import traceback

import pytest
from hypothesis import settings

from pacer.session import timesource

settings.register_profile("the same every time", derandomize=True, deadline=None)
settings.register_profile("search", max_examples=int(os.environ.get("PACER_EXAMPLES", "100")), deadline=None)
settings.load_profile("search" if "PACER_EXAMPLES" in os.environ else "the same every time")


def pytest_configure(config):
    if (
        signal.getsignal(signal.SIGINT) is signal.SIG_IGN
    ):  # a shell's background job: what tests start would ignore it too
        signal.signal(signal.SIGINT, signal.default_int_handler)
    config.addinivalue_line("markers", "real_clock: reads the machine's own clocks, and holds whatever they show")


class _Watched:
    """The module `time` as `pacer.session.timesource` sees it; it notes who reads a clock."""

    def __init__(self, reads: list[str]):
        self._reads = reads

    def __getattr__(self, name: str):
        if name in ("clock_gettime_ns", "monotonic_ns", "time_ns"):
            self._reads.append("".join(traceback.format_stack(limit=6)[:-1]))
        return getattr(time, name)


@pytest.fixture(autouse=True)
def no_real_clock(request, monkeypatch):
    """What holds at one uptime and one time of day need not hold at another.

    A test gives the app its clocks, or is marked `real_clock`.
    """
    reads: list[str] = []
    monkeypatch.setattr(timesource, "time", _Watched(reads))
    yield
    if reads and request.node.get_closest_marker("real_clock") is None:
        pytest.fail(
            f"the machine's own clock is read: give the app a clock, or mark the test with real_clock\n{reads[0]}"
        )
