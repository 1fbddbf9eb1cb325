"""Commands of keys and keyboard on a text being written: move lines, undo, copy, select."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from pacer.face.editor.editorkeyboard import EditorKeyboard
from pacer.face.kit.clipboard import UNREADABLE, copied, pasted
from pacer.language import tr
from pacer.plan.text.textbuffer import TextBuffer


class Commanded(Protocol):
    """What the commands need of a page being written; `tell(*ways)` gets what went wrong."""

    draft: TextBuffer
    typist: EditorKeyboard
    tell: Callable[..., None]

    def write(self, text: str) -> None:
        """Write at the cursor."""

    def edited(self) -> None:
        """The draft was changed."""

    def went(self) -> None:
        """The cursor was moved."""


class EditorCommands:
    """The commands, under the names that `editorkeyboard` and the keys of a page use."""

    def rub(self: Commanded) -> None:
        """Erase the selection, or the character before the cursor."""
        self.draft.erase(-1)
        self.typist.want_x = None
        self.edited()

    def indent(self: Commanded, step: int) -> None:
        """Move lines to the right or left."""
        if step > 0 and self.draft.chosen is None and self.draft.lines[self.draft.cursor.line].strip() == "":
            self.draft.write("  ")
        else:
            self.draft.indent(step)
        self.edited()

    def undo(self: Commanded) -> None:
        """Undo the last change."""
        if self.draft.undo():
            self.edited()

    def redo(self: Commanded) -> None:
        """Redo it."""
        if self.draft.redo():
            self.edited()

    def choose_all(self: Commanded) -> None:
        """Select everything."""
        self.draft.choose_all()
        self.went()

    def copy(self: Commanded) -> None:
        """Copy the selection."""
        if self.draft.chosen_text and not copied(self.draft.chosen_text):
            self.tell(tr("The clipboard doesn't work on this tablet."), tr("not copied"))

    def cut(self: Commanded) -> None:
        """Copy the selection and erase it."""
        if not self.draft.chosen_text:
            return
        if not copied(self.draft.chosen_text):  # then erase nothing: it would be lost
            self.tell(tr("The clipboard doesn't work on this tablet. Nothing was cut."), tr("not cut"))
            return
        self.draft.write("")
        self.edited()

    def paste(self: Commanded) -> None:
        """Write what was copied."""
        text = pasted()
        if text is None:
            self.tell(*UNREADABLE)
        elif text:
            self.write(text)
            self.draft.settle()

    def toggle_comment(self: Commanded) -> None:
        """Turn lines into comments, or back."""
        self.draft.toggle_comment()
        self.edited()
