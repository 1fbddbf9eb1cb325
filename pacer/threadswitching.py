"""How soon one of the app's threads gives way to another."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator

SWITCH_S = 0.001  #: a busy thread goes on for so long while another waits; Python's usual 5 ms is a third of a frame


@contextlib.contextmanager
def short_turns() -> Iterator[None]:
    """Let threads take turns that often meanwhile."""
    usual_s = sys.getswitchinterval()
    sys.setswitchinterval(min(usual_s, SWITCH_S))
    try:
        yield
    finally:
        sys.setswitchinterval(usual_s)
