"""A line written on the sheet during a session.

The system's own keyboard, which would cover STOP ALL, stays away.
"""

from __future__ import annotations

from collections.abc import Sequence

from kivy.core.window import Window
from kivy.utils import platform

from pacer.face.editor.writingpane import WritingPane
from pacer.face.kit.keycodes import BACKSPACE, DELETE, ENTERS, ESCAPE, LEFT, RIGHT
from pacer.face.tiles.page import SOFT


class SheetLine(WritingPane):
    """A single line, written with the sheet's own keys or a plugged-in keyboard."""

    def on_focus(self, instance, focus: bool) -> None:
        """Listen to a keyboard.

        On a tablet, without requesting one: the tablet would show its own.
        """
        if platform not in SOFT:
            super().on_focus(instance, focus)
            return
        (Window.bind if focus else Window.unbind)(on_key_down=self._on_plugged_in)
        self._draw_later()

    def _on_plugged_in(
        self, _window, code: int, _scancode: int = 0, text: str | None = "", modifiers: Sequence[str] = ()
    ) -> bool:
        if code == ESCAPE:
            self.leave()
        elif code in ENTERS:
            self.enter()
        elif code in (BACKSPACE, DELETE):
            self.draft.erase(-1 if code == BACKSPACE else 1)
            self.edited()
        elif code in (LEFT, RIGHT):
            self.draft.go(self.draft.beside(1 if code == RIGHT else -1))
            self.went()
        elif text and text.isprintable():
            self.write(text.upper() if "shift" in modifiers else text)
        return True
