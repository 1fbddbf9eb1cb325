"""plyer's facades, opened without noise; no other module imports plyer."""

from __future__ import annotations

import contextlib
import io
import logging
import sys
from typing import Any

log = logging.getLogger(__name__)


#: plyer has no types: what a facade has differs from one to the next, and a call may fail in any way.
Facade = Any


def open_facade(name: str) -> Facade | None:
    """plyer's `name` (`"audio"`, `"battery"`, ...), or None where this device has none.

    To be called on the thread that the app starts on: on Android a class of the app's own
    is found from there only, and plyer looks them up when a facade is first touched. The
    touch is where plyer prints a traceback if it cannot load one, and falls back to its
    empty base; both are kept from the coach.
    """
    try:
        with contextlib.redirect_stderr(io.StringIO()):
            import plyer

            facade = getattr(plyer, name)
            module = facade.__class__.__module__
    except Exception:  # each platform raises its own
        log.exception("plyer's %s cannot be opened", name)
        return None
    return None if module.startswith("plyer.facades") else facade


def leave_java() -> None:
    """To be called last on a thread that may have called a facade: Android wants it told."""
    if jnius := sys.modules.get("jnius"):
        with contextlib.suppress(Exception):
            jnius.detach()
