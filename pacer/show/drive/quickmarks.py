"""A coach's own quick marks, saved in the app's folder beside the settings: one a line, readable by anyone. No Kivy."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from pacer.disk import reason_of, write_whole
from pacer.language import tr

FILE_NAME = "marks.txt"

#: The first quick marks; every coach has their own list.
MARKS = (
    tr("good"),
    tr("long strokes"),
    tr("rushed"),
    tr("head"),
    tr("hips"),
    tr("timing"),
    tr("breathing"),
    tr("tired"),
    tr("not enough rest"),
    tr("stopped early"),
    tr("do again"),
    tr("have a word"),
)

MOST_MARKS = 24
MOST_MARK_LETTERS = 20


def marks_from_text(text: str) -> tuple[str, ...]:
    """Quick marks from a text with one on each line; repeated ones count once, `#` begins a comment.

    >>> marks_from_text("good\\n# mine\\n  late  catch \\ngood")
    ('good', 'late catch')
    """
    rows = [" ".join(row.split("#")[0].split())[:MOST_MARK_LETTERS].strip() for row in text.splitlines()]
    return tuple(dict.fromkeys(row for row in rows if row))[:MOST_MARKS]


def text_from_marks(marks: Iterable[str]) -> str:
    """The text that reads as these marks."""
    return "".join(f"{mark}\n" for mark in marks)


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
