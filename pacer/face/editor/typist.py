"""A keyboard that writes into a page: letters, and the keys that move, erase and command."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kivy.core.window import Window

from pacer.plan.text.draft import Spot

if TYPE_CHECKING:
    from pacer.face.editor.writingpane import WritingPane


class Typist:
    """Has the keyboard for `pane` from `begin` to `end`, or until somebody else asks for it.

    `want_x` is where the cursor wants to be across while it goes up and down, None where that is where it is.
    """

    def __init__(self, pane: WritingPane):
        self.pane = pane
        self.want_x: float | None = None
        self._keyboard = None

    def begin(self) -> None:
        """Ask for the keyboard."""
        self._keyboard = Window.request_keyboard(self._gone, self.pane, "text", False)
        self._keyboard.bind(on_key_down=self.on_key, on_textinput=self.on_text)

    def end(self) -> None:
        """Let it go, if it has not gone."""
        if self._keyboard is not None:
            keyboard = self._unbound()
            keyboard.release()

    def _gone(self) -> None:
        if self._keyboard is not None:
            self._unbound()
        self.pane.focus = False

    def _unbound(self):
        keyboard, self._keyboard = self._keyboard, None
        keyboard.unbind(on_key_down=self.on_key, on_textinput=self.on_text)
        return keyboard

    def on_text(self, _keyboard, text: str) -> bool:
        """Letters are typed."""
        text = "".join(char for char in text if char.isprintable())
        if text:
            self.pane.write(text)
        return True

    def on_key(self, _keyboard, keycode: tuple[int, str], _text: str, modifiers: list[str]) -> bool:
        """A key goes down; whether it was for the page."""
        pane, name, shift = self.pane, keycode[1], "shift" in modifiers
        ctrl = "ctrl" in modifiers or "meta" in modifiers
        if name == "escape":
            pane.leave()
        elif ctrl and name in _COMMANDS:
            getattr(pane, _COMMANDS[name] if not (shift and name == "z") else "redo")()
        elif name in _STEPS:
            self._go(_STEPS[name](pane, ctrl), shift)
        elif name in ("up", "down", "pageup", "pagedown"):
            self._go_rows(
                {"up": -1, "down": 1}.get(name) or self._page_rows() * (1 if name == "pagedown" else -1), shift
            )
        elif name in ("backspace", "delete"):
            pane.draft.erase(-1 if name == "backspace" else 1, ctrl)
            self.want_x = None
            pane.edited()
        elif name in ("enter", "numpadenter"):
            pane.enter()
        elif name == "tab" and not pane.single:
            pane.indent(-1 if shift else 1)
        else:
            return name == "tab" and not pane.single
        return True

    def _go(self, spot: Spot, choosing: bool) -> None:
        self.pane.draft.go(spot, choosing)
        self.want_x = None
        self.pane.went()

    def _go_rows(self, rows: int, choosing: bool) -> None:
        pane = self.pane
        if self.want_x is None:
            self.want_x = pane.paper.place_of(pane.draft.cursor)[0]
        pane.draft.go(pane.paper.beside(pane.draft.cursor, rows, self.want_x), choosing)
        pane.went()

    def _page_rows(self) -> int:
        return max(1, int(self.pane.height / self.pane.paper.pitch) - 1)


#: Keys with ctrl, and the method of the pane that each calls.
_COMMANDS = {"z": "undo", "y": "redo", "a": "choose_all", "c": "copy", "x": "cut", "v": "paste", "#": "toggle_comment"}
_STEPS: dict[str, Callable[[WritingPane, bool], Spot]] = {
    "left": lambda pane, word: pane.draft.beside(-1, word),
    "right": lambda pane, word: pane.draft.beside(1, word),
    "home": lambda pane, all_: Spot(0, 0) if all_ else pane.paper.row_ends(pane.draft.cursor)[0],
    "end": lambda pane, all_: pane.draft.end if all_ else pane.paper.row_ends(pane.draft.cursor)[1],
}
