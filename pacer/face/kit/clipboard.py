"""The device's clipboard, if there is one."""

from __future__ import annotations

import logging

from pacer.language import tr

#: What is said if it can't be read, the longest way first.
UNREADABLE = tr("The clipboard can't be read on this tablet."), tr("clipboard not readable")

log = logging.getLogger(__name__)


def copied(text: str) -> bool:
    """Put a text on the clipboard; returns whether that worked."""
    try:
        from kivy.core.clipboard import Clipboard

        Clipboard.copy(text)
    except Exception:  # each platform raises its own; writing continues
        log.exception("The clipboard takes no text")
        return False
    return True


def pasted() -> str | None:
    """The text on the clipboard, "" if there is none, None if the clipboard cannot be read."""
    try:
        from kivy.core.clipboard import Clipboard

        return Clipboard.paste() or ""
    except Exception:
        log.exception("The clipboard cannot be read")
        return None
