"""Long work that nobody waits for any more gives up at its next step.

    with while_wanted(lambda: not answered):
        totals(plan, squad)         # raises GivenUp soon after `answered`

Outside of such a block a step costs next to nothing and never raises.
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
    """What this thread does inside gives up, with GivenUp, once `wanted()` is false."""
    before, _asked.wanted = _asked.wanted, wanted
    try:
        yield
    finally:
        _asked.wanted = before


def step() -> None:
    """A step of work that may take long: a few milliseconds lie between two at most."""
    if _asked.wanted is not None and not _asked.wanted():
        raise GivenUp
