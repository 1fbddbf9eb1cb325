"""This tablet's drill book: one text file beside the plans; the demo's book until the club has its own."""

from __future__ import annotations

import os
from pathlib import Path

from pacer.disk import reason_of, write_whole
from pacer.language import tr
from pacer.plan.filetext import text_from_bytes
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.plan.problem import Unreadable
from pacer.squad.files.drillreader import drills_from_bytes, read_drills

NAME = "drills.toml"


class DrillFile:
    """The book in `folder`; `demo` is the file to use while there is none.

    `book` holds the drills, `text` the file as it is written, `told` the problems with it, in sentences. A file that
    cannot be read stays as it is, and the demo's book is used meanwhile.
    """

    def __init__(self, folder: Path, demo: Path):
        self.path, self.demo = Path(folder) / NAME, Path(demo)
        self.book: DrillBook = EMPTY_BOOK
        self.text = ""
        self.told: tuple[str, ...] = ()
        self.read()

    @property
    def own(self) -> bool:
        """Whether the tablet has its own book."""
        return os.path.exists(self.path)

    def read(self) -> None:
        """Read the file again."""
        self.told = ()
        if self.own:
            try:
                data = self.path.read_bytes()
                self.text = text_from_bytes(data, tr("drill book"))
                self.book = drills_from_bytes(data)
                return
            except OSError as error:
                self.told = (
                    tr(
                        "The drill book can't be opened: {reason}. Using the demo drills for now.",
                        reason=reason_of(error),
                    ),
                )
            except Unreadable as error:
                first = error.problems[0]
                self.told = (
                    tr(
                        "The drill book, line {line}: {message}. Using the demo drills for now.",
                        line=first.line,
                        message=first.message,
                    ),
                )
        try:
            data = self.demo.read_bytes()
            self.book = drills_from_bytes(data)
            if not self.own:
                self.text = text_from_bytes(data, tr("drill book"))
        except (OSError, Unreadable):
            self.book = EMPTY_BOOK

    def write(self, text: str) -> None:
        """Replace the text. Raises Unreadable if it is not a drill book, OSError if it cannot be written."""
        book = read_drills(text)
        write_whole(self.path, text.encode())
        self.book, self.text, self.told = book, text, ()

    def put_back(self, text: str | None) -> None:
        """Undo a change: the text as it was before; None: the tablet had no book of its own. Raises OSError."""
        if text is None:
            self.path.unlink(missing_ok=True)
        else:
            write_whole(self.path, text.encode())
        self.read()
