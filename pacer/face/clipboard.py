"""The device's clipboard, where there is one."""

from __future__ import annotations


def copied(text: str) -> bool:
    """Put a text on the clipboard; whether that worked."""
    try:
        from kivy.core.clipboard import Clipboard

        Clipboard.copy(text)
    except Exception:      # whatever a platform's clipboard raises, writing goes on
        return False
    return True


def pasted() -> str:
    """The text on the clipboard, "" where there is none."""
    try:
        from kivy.core.clipboard import Clipboard

        return Clipboard.paste() or ""
    except Exception:
        return ""
