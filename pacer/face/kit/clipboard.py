"""The device's clipboard, where there is one."""

from __future__ import annotations

import logging

log = logging.getLogger(__name__)


def copied(text: str) -> bool:
    """Put a text on the clipboard; whether that worked."""
    try:
        from kivy.core.clipboard import Clipboard

        Clipboard.copy(text)
    except Exception:  # each platform raises its own; writing goes on
        log.exception("The clipboard takes no text")
        return False
    return True


def pasted() -> str | None:
    """The text on the clipboard, "" where there is none, None where the clipboard cannot be read."""
    try:
        from kivy.core.clipboard import Clipboard

        return Clipboard.paste() or ""
    except Exception:
        log.exception("The clipboard cannot be read")
        return None
