"""A line written on the sheet in the middle of a session: the system's own keyboard, which would lie over STOP ALL, stays away."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.core.window import Window
from kivy.utils import platform

from pacer.face.writing import WritingPane

#: Where asking for the keyboard brings up one on the glass.
SOFT = ("android", "ios")

_NAMES = {8: "backspace", 13: "enter", 271: "numpadenter", 27: "escape", 127: "delete", 275: "right", 276: "left", 278: "home", 279: "end"}


class KeyedLine(WritingPane):
    """A single line that the sheet's own keys write into, and a keyboard that is plugged in."""

    def on_focus(self, instance, focus: bool) -> None:
        """Listen to a keyboard. On a tablet that is done without asking for one, since the tablet would draw its own."""
        if platform not in SOFT:
            super().on_focus(instance, focus)
            return
        (Window.bind if focus else Window.unbind)(on_key_down=self._on_plugged_in)
        self._draw_later()

    def _on_plugged_in(self, _window, code: int, _scancode: int = 0, text: str | None = "", modifiers: Sequence[str] = ()) -> bool:
        command = not {"ctrl", "meta", "alt"}.isdisjoint(modifiers)
        if code in _NAMES or command:
            return self._on_key(None, (code, _NAMES.get(code, text or "")), text or "", list(modifiers))
        return self._on_text(None, (text or "").upper() if "shift" in modifiers else text or "")
