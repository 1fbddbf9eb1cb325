"""A coach's own quick marks, saved in the app's folder beside the settings: one a line, readable by anyone. No Kivy."""

from __future__ import annotations

from pathlib import Path

from pacer.disk import reason_of, write_whole
from pacer.language import tr
from pacer.session.records.notes import MARKS, marks_from_text, text_from_marks

FILE_NAME = "marks.txt"


def read_marks(folder: Path) -> tuple[str, ...]:
    """The marks saved in `folder`; the default ones if there are none or they cannot be read."""
    try:
        return marks_from_text((folder / FILE_NAME).read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError):
        return MARKS


def write_marks(folder: Path, marks: tuple[str, ...]) -> str:
    """Save `marks` in `folder`, whole or not at all; returns a sentence if that failed, else "". Never raises."""
    try:
        write_whole(folder / FILE_NAME, text_from_marks(marks).encode())
    except OSError as error:
        return tr("The quick notes could not be saved: {reason}.", reason=reason_of(error))
    return ""
