"""Asks what the columns of somebody else's file mean, one after another."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.page import PageKey
from pacer.language import tr
from pacer.plan.sentence import capital
from pacer.show.measure.typesizes import TITLE
from pacer.show.wording.commonkeys import CANCEL, UNDO
from pacer.squad.files.csvcolumns import SKIP, Kind
from pacer.squad.files.csvcolumns import Column as Asked


class ColumnQuestions:
    """Asks about `columns` of a file of a kind; `answers` are by the names of the columns.

    `more` are meanings for a rule of the kind, with their words.
    """

    def __init__(self, kind: Kind, columns: Sequence[Asked], more: Sequence[tuple[str, str]] = ()):
        self.kind, self.columns = kind, tuple(columns)
        self.choices = (*kind.meanings.items(), *more, (SKIP, tr("nothing: leave it out")))
        self.answers: dict[str, str] = {}

    @property
    def done(self) -> bool:
        """Whether all are answered."""
        return len(self.answers) == len({column.name for column in self.columns})

    def keys(self) -> Sequence[PageKey]:
        """Undo and Cancel."""
        return PageKey("column back", UNDO, bool(self.answers)), PageKey("leave it", CANCEL)

    def say(self, column: Column) -> None:
        """The question and its answers."""
        asked = self._asked()
        at = len(self.answers) + 1
        column.say(tr("What does “{name}” mean?", name=asked.name), bold=True, scale=TITLE, most=2)
        samples = ", ".join(asked.samples)
        column.say(
            tr(
                "pacer doesn't know this column ({at} of {columns}) and will remember your answer.",
                at=at,
                columns=len(self.columns),
            ),
            colour="dim",
        )
        column.say(tr("In it: {samples}", samples=samples) if samples else tr("It is empty."))
        column.skip(0.6)
        across = max(1, min(3, int(column.width / (24 * column.cap))))
        column.grid(
            [Cell(f"means {meaning}", (capital(said),), across="left") for meaning, said in self.choices],
            across,
        )

    def _asked(self) -> Asked:
        return next(column for column in self.columns if column.name not in self.answers)

    def press(self, name: str) -> bool:
        """Take an answer, or undo the last one; False if the key is neither."""
        if name == "column back":
            if self.answers:  # a second touch can come before the key is drawn dim
                self.answers.popitem()
        elif name.startswith("means "):
            self.answers[self._asked().name] = name.removeprefix("means ")
        else:
            return False
        return True
