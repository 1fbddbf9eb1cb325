"""Open plyer's facades quietly; no other module imports plyer."""

from __future__ import annotations

import contextlib
import io
import logging
import sys
from typing import Any

log = logging.getLogger(__name__)


#: plyer has no types: facades differ in what they have, and a call may fail in any way.
Facade = Any


def open_facade(name: str) -> Facade | None:
    """plyer's facade `name` (`"audio"`, `"battery"`, ...), or None if this device has none.

    Call it on the thread on which the app starts: on Android only that thread finds the app's
    own classes, and plyer looks them up when a facade is first accessed. If plyer cannot load a
    facade, that access prints a traceback and returns its empty base; both are hidden from the
    coach.
    """
    try:
        with contextlib.redirect_stderr(io.StringIO()):
            import plyer

            facade = getattr(plyer, name)
            module = facade.__class__.__module__
    except Exception:  # each platform raises its own errors
        log.exception("plyer's %s cannot be opened", name)
        return None
    return None if module.startswith("plyer.facades") else facade


def leave_java() -> None:
    """Call this last on a thread that may have called a facade: Android requires it."""
    if jnius := sys.modules.get("jnius"):
        with contextlib.suppress(Exception):
            jnius.detach()
