"""An external keyboard: space pauses and resumes, arrows move, digits choose a lane, Tab and Enter go through all
keys.

Escape and Back never end a session.

A key that stays down acts once. A change of the session is shown on the bar as it is done.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kivy.core.window import Window

from pacer.face.kit import focus
from pacer.face.kit.keycodes import ARROWS, DIGITS, DOWN, ENTERS, ESCAPE, LEFT, RIGHT, SPACE, TAB, UP
from pacer.face.window.shell import Shell
from pacer.language import tr
from pacer.session.journal.entries import Lanes

if TYPE_CHECKING:
    from pacer.face.tiles.board import Board

DIGITS_MS = 1_000  #: two digits within this are one number

#: What is said when something would close the app during a session, the longest way first.
STILL_RUNNING = (tr("A session is running: end it first"), tr("end the session first"), tr("end it first"))

_MOVES = {LEFT: "previous", UP: "previous", RIGHT: "next", DOWN: "next"}


class Keyboard:
    """Listens to the window for one shell, until closed."""

    def __init__(self, shell: Shell):
        self.shell = shell
        self._down: set[int] = set()
        self._typed = (0, -DIGITS_MS)
        Window.bind(on_key_down=self._on_down, on_key_up=self._on_up)

    def close(self) -> None:
        """Stop listening."""
        Window.unbind(on_key_down=self._on_down, on_key_up=self._on_up)

    def _on_up(self, _window, code: int, *_args) -> None:
        self._down.discard(code)

    def _on_down(self, _window, code: int, _scancode: int = 0, _text: str = "", modifiers: Sequence[str] = ()) -> bool:
        if self.shell.sheet is not None and self.shell.sheet.writing:
            return False  # the keys go to the field
        if code in self._down:
            return True
        self._down.add(code)
        self.shell.wake()
        if code == ESCAPE:
            return self._escape()
        if code == TAB:
            focus.step(self._places(), -1 if "shift" in (modifiers or ()) else 1)
        elif code in ENTERS:
            self._press_focus()
        elif code in ARROWS and (board := self._focused()) is not None:
            board.move_focus(*ARROWS[code])
        elif code == SPACE:
            lanes = self._lanes()
            paused = self.shell.bar.moment.paused if lanes is None else lanes[0] in self.shell.driver.run.paused()
            self._act("resume" if paused else "pause")
        elif code in _MOVES:
            self._act(_MOVES[code])
        elif code in DIGITS:
            self._digit(DIGITS[code])
        else:
            return False
        return True

    def _act(self, name: str) -> None:
        """Do it at once: a key on a keyboard is a deliberate press, never splashed water."""
        proposal = self.shell.ask(name, self._lanes())
        if proposal.entry is None:
            self.shell.bar.tell(*proposal.ways)
            return
        if self.shell.act(name, proposal):
            self.shell.bar.tell(*proposal.ways, for_ms=2_000)

    # -- the focus: through the bar's keys, then the sheet's tiles --------------------------------------------

    def _places(self) -> list:
        sheet = self.shell.sheet
        return [self.shell.bar, *(() if sheet is None else sheet.boards)]

    def _focused(self) -> Board | None:
        """The board of the sheet with the focus."""
        return next((board for board in self._places()[1:] if board.focus and board.tile(board.focus)), None)

    def _press_focus(self) -> None:
        sheet, bar = self.shell.sheet, self.shell.bar
        if sheet is not None and sheet.press_focus():
            return
        key = bar.press_focus()
        if key is not None:
            self._act(key.name)

    def _lanes(self) -> Lanes:
        """The chosen lane; None for all."""
        return None if self.shell.hand is None else (self.shell.hand,)

    def _digit(self, digit: int) -> None:
        number, typed_ms = self._typed
        now_ms = self.shell.driver.now_ms()
        number = number * 10 + digit if now_ms - typed_ms < DIGITS_MS else digit
        self._typed = (number, now_ms)
        lanes = [lane.number for lane in self.shell.driver.run.timeline.lanes]
        for wanted in (number, digit):
            if wanted in lanes:
                self.shell.choose_lane(lanes.index(wanted))
                return

    def _escape(self) -> bool:
        """Go one step towards the pool view; from there close the app, but never a running session."""
        shell = self.shell
        if shell.back():
            return True
        if shell.driver.running:
            shell.bar.tell(*STILL_RUNNING)
        else:
            shell.close()
        return True
