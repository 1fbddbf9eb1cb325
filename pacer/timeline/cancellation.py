"""Cancel long work at its next step when nobody waits for it any more.

    with while_wanted(lambda: not answered):
        totals(plan, squad)         # raises GivenUp soon after `answered`

Outside such a block a step costs next to nothing and never raises.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import local


class GivenUp(Exception):
    """The work is not wanted any more."""


class _Asked(local):
    wanted: Callable[[], bool] | None = None


_asked = _Asked()


@contextmanager
def while_wanted(wanted: Callable[[], bool]) -> Iterator[None]:
    """Cancel this thread's work inside the block, with GivenUp, once `wanted()` is false."""
    before, _asked.wanted = _asked.wanted, wanted
    try:
        yield
    finally:
        _asked.wanted = before


def step() -> None:
    """Mark a step of long work; steps should be at most a few milliseconds apart."""
    if _asked.wanted is not None and not _asked.wanted():
        raise GivenUp
