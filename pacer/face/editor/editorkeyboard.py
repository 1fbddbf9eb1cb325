"""A keyboard that writes into a page: letters, and the keys that move, erase and command."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from kivy.core.window import Window

from pacer.plan.text.textbuffer import Spot, TextBuffer
from pacer.show.editing.pagelayout import Paper


class Typed(Protocol):
    """What a keyboard writes into. Commands are methods by name, such as `undo` and `paste`."""

    draft: TextBuffer
    focus: bool
    single: bool
    height: float
    leave: Callable[[], None]

    @property
    def paper(self) -> Paper:
        """The text as it is laid out."""

    def write(self, text: str) -> None:
        """Write at the cursor."""

    def enter(self) -> None:
        """A new line, or the end of writing."""

    def indent(self, step: int) -> None:
        """Move lines to the right or left."""

    def edited(self) -> None:
        """The draft was changed."""

    def went(self) -> None:
        """The cursor was moved."""


class EditorKeyboard:
    """Has the keyboard for `page` from `begin` to `end`, or until somebody else requests it.

    `want_x`: the horizontal position that the cursor keeps while it moves up and down; None: where it is.
    """

    def __init__(self, page: Typed):
        self.page = page
        self.want_x: float | None = None
        self._keyboard: Any = None

    def begin(self) -> None:
        """Request the keyboard."""
        self._keyboard = Window.request_keyboard(self._gone, self.page, "text", False)
        self._keyboard.bind(on_key_down=self.on_key, on_textinput=self.on_text)

    def end(self) -> None:
        """Release it, if it has not gone."""
        if self._keyboard is not None:
            self._unbound().release()

    def _gone(self) -> None:
        if self._keyboard is not None:
            self._unbound()
        self.page.focus = False

    def _unbound(self) -> Any:
        keyboard, self._keyboard = self._keyboard, None
        keyboard.unbind(on_key_down=self.on_key, on_textinput=self.on_text)
        return keyboard

    def on_text(self, _keyboard: Any, text: str) -> bool:
        """Letters are typed."""
        text = "".join(char for char in text if char.isprintable())
        if text:
            self.page.write(text)
        return True

    def on_key(self, _keyboard: Any, keycode: tuple[int, str], _text: str, modifiers: list[str]) -> bool:
        """A key goes down; returns whether it was for the page."""
        page, name, shift = self.page, keycode[1], "shift" in modifiers
        ctrl = "ctrl" in modifiers or "meta" in modifiers
        if name == "escape":
            page.leave()
        elif ctrl and name in _COMMANDS:
            getattr(page, _COMMANDS[name] if not (shift and name == "z") else "redo")()
        elif name in _STEPS:
            self._go(_STEPS[name](page, ctrl), shift)
        elif name in ("up", "down", "pageup", "pagedown"):
            self._go_rows(
                {"up": -1, "down": 1}.get(name) or self._page_rows() * (1 if name == "pagedown" else -1), shift
            )
        elif name in ("backspace", "delete"):
            page.draft.erase(-1 if name == "backspace" else 1, ctrl)
            self.want_x = None
            page.edited()
        elif name in ("enter", "numpadenter"):
            page.enter()
        elif name == "tab" and not page.single:
            page.indent(-1 if shift else 1)
        else:
            return name == "tab" and not page.single
        return True

    def _go(self, spot: Spot, choosing: bool) -> None:
        self.page.draft.go(spot, choosing)
        self.want_x = None
        self.page.went()

    def _go_rows(self, rows: int, choosing: bool) -> None:
        page = self.page
        if self.want_x is None:
            self.want_x = page.paper.place_of(page.draft.cursor)[0]
        page.draft.go(page.paper.beside(page.draft.cursor, rows, self.want_x), choosing)
        page.went()

    def _page_rows(self) -> int:
        return max(1, int(self.page.height / self.page.paper.pitch) - 1)


#: Keys with ctrl, and the method of the page that each calls.
_COMMANDS = {"z": "undo", "y": "redo", "a": "choose_all", "c": "copy", "x": "cut", "v": "paste", "#": "toggle_comment"}
_STEPS: dict[str, Callable[[Typed, bool], Spot]] = {
    "left": lambda page, word: page.draft.beside(-1, word),
    "right": lambda page, word: page.draft.beside(1, word),
    "home": lambda page, all_: Spot(0, 0) if all_ else page.paper.row_ends(page.draft.cursor)[0],
    "end": lambda page, all_: page.draft.end if all_ else page.paper.row_ends(page.draft.cursor)[1],
}
