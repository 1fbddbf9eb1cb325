"""The drill book on the tablet: all drills, one drill's fields, add and delete; the last change can be undone.

A book that came from another tablet and differs is shown beside it: its drills can be taken over, or the book hidden.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from pacer.disk import reason_of
from pacer.face.kit.textures import measure
from pacer.face.pages.askingpage import AskingPage
from pacer.face.tiles.board import Board
from pacer.face.tiles.column import ROW, Cell, Column
from pacer.face.tiles.page import PageKey
from pacer.face.tiles.tile import cards_across
from pacer.language import tr, tr_n
from pacer.plan.library.drillbook import Drill
from pacer.plan.problem import Unreadable
from pacer.show.measure.typesizes import TITLE
from pacer.show.wording.commonkeys import UNDO
from pacer.squad.files.drillwriter import with_drill
from pacer.squad.register.drillfile import DrillFile
from pacer.squad.register.otherdrillbooks import OtherBook, hide_book, other_books, show_book, with_drills

#: The fields: what they are called on the drill, on its page, and what is asked.
FIELDS = (
    ("name", tr("Name"), tr("What is the drill called?")),
    ("also", tr("Other names"), tr("Other names, with semicolons between them")),
    ("focus", tr("Focus"), tr("What is it for?")),
    ("how", tr("How"), tr("How is it swum? One or two sentences for the swimmers")),
    ("look_for", tr("Look for"), tr("What to look for, with semicolons between the points")),
    ("faults", tr("Common faults"), tr("Common faults and what helps, with semicolons between them")),
    ("gear", tr("Gear"), tr("Gear, with semicolons between the pieces")),
    ("easier", tr("Easier drill"), tr("Which drill in the book is easier?")),
    ("harder", tr("Harder drill"), tr("Which drill in the book is harder?")),
)
SENTENCES = 3  #: rows of the line that a field is written in
MANY = ("also", "look_for", "faults", "gear")  #: fields that are lists


class DrillBookPage(AskingPage):
    """Edits the book of `drills`. `on_close()` leads away."""

    def __init__(
        self,
        drills: DrillFile,
        *,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(close=on_close, **kwargs)
        self.drills = drills
        self.at: int | None = None  #: the open drill, by its place in the book
        self.undoing: list[Callable[[], object]] = []  #: what undoes each change
        self.other = ""  #: the open book of another tablet, by its file's name
        self.board = Board(self.press)

    # -- what is shown ------------------------------------------------------------------------------------

    @property
    def readable(self) -> bool:
        """Whether the tablet's own book can be changed: one with errors is left alone."""
        return not self.drills.told

    def keys(self) -> Sequence[PageKey]:
        """What there is to do."""
        if self.typing:
            return self.answers()
        undo = PageKey("undo", UNDO, bool(self.undoing))
        if (other := self._other()) is not None:
            every = PageKey("take", tr("Add missing drills"), self.readable and bool(other.new), main=True)
            return every, PageKey("hide", tr("Hide this book")), undo
        if self.at is not None:
            return PageKey("delete", tr("Delete drill"), self.readable), undo
        return PageKey("add", tr("Add drill"), self.readable, main=True), undo

    def lay_page(self) -> None:
        """All drills, one of them, or what is asked."""
        column = self.column(self.width)
        if self.typing:
            self.asking_tiles(column)
        elif (other := self._other()) is not None:
            self._say_other(column, other)
        elif self.at is None:
            self._say_book(column)
        else:
            self._say_drill(column, self.drills.book.drills[self.at])
        self.show_board(self.board, self.x, self.width, column.tiles)
        self.boards = [self.board]
        self.lay_field()

    def _say_book(self, column: Column) -> None:
        column.say(tr("Drill book"), bold=True, scale=TITLE)
        for said in self.drills.told:
            column.say(said, colour="warn")
        if not self.drills.own:
            column.say(tr("These are sample drills. Change one and the book is yours."), colour="dim")
        for one in self._others():
            column.say(tr("The import brought another drill book: {what}.", what=_what(one)), colour="warn")
            column.row(Cell(f"other {one.name}", (tr("Open the other book"),)), Cell(look="plain"))
        column.skip(0.4)
        drills = self.drills.book.drills
        if not drills:
            column.say(tr("No drills yet."))
        across = cards_across(column.width, self.cap)
        cells = [
            Cell(f"drill {at}", (drill.name,), below=(drill.focus or tr("no focus"),), across="left")
            for at, drill in enumerate(drills)
        ]
        column.grid(cells, across)

    def _say_other(self, column: Column, other: OtherBook) -> None:
        column.say(tr("The other tablet's drill book"), bold=True, scale=TITLE)
        column.say(tr("Tap a drill to add it to your book. Hide this book when you have what you want."), colour="dim")
        if not other.new and not other.differ:
            column.skip(0.4)
            column.say(tr("All of its drills are in your book."))
        for drill in other.new:
            column.skip(0.4)
            column.row(Cell(f"take {drill.name}", (drill.name,), label=(tr("not in yours"),), across="left"))
            column.say(drill.how)
        for ours, drill in other.differ:
            column.skip(0.4)
            column.row(Cell(f"take {drill.name}", (drill.name,), label=(tr("differs from yours"),), across="left"))
            for name, words, _ in FIELDS:
                mine, its = _written(ours, name), _written(drill, name)
                if mine != its:
                    column.say(tr("{field}: {its}", field=words, its=its or "–"))
                    column.say(tr("Yours: {mine}", mine=mine or "–"), colour="dim")

    def _say_drill(self, column: Column, drill: Drill) -> None:
        column.say(drill.name, bold=True, scale=TITLE)
        column.say(tr("Tap a field to change it."), colour="dim")
        column.skip(0.4)
        said = max(measure(words, column.cap, True) for _, words, _ in FIELDS) + 2 * column.inset + 1
        keys = max(0.3 * column.width, min(0.5 * column.width, said))
        for name, words, _ in FIELDS:
            value = _written(drill, name)
            column.row(Cell(f"field {name}", (words,), share=1.0, across="left", width=keys))
            top, x, wide = column.top, column.x, column.width
            column.x, column.width = x + keys + 2 * column.gap, wide - keys - 2 * column.gap
            column.top = column.tiles[-1].top + (column.tiles[-1].height - round(ROW * column.cap)) / 2  # on its line
            column.say(value or "–", colour="ink" if value else "dim")
            column.x, column.width, column.top = x, wide, max(top, column.top + column.gap)

    # -- what is done -----------------------------------------------------------------------------------------

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        if self.press_typing(name):
            return
        what, _, rest = name.partition(" ")
        match what:
            case "leave":
                self.back()
                return
            case "drill":
                self.at = int(rest)
                self.board.scroller.to(0)
            case "field" if self.at is not None:
                self._ask_field(self.drills.book.drills[self.at], rest)
                return
            case "add":
                self._ask_new()
                return
            case "other":
                self.other = rest
                self.board.scroller.to(0)
            case "take" if (other := self._other()) is not None:
                drills = [*other.new, *(drill for _, drill in other.differ if drill.name == rest)]
                self._take([drill for drill in drills if drill.name == rest] if rest else other.new)
            case "hide" if self.other:
                self._hide_other()
            case "delete" if self.at is not None:
                name = self.drills.book.drills[self.at].name
                if self._change(self.at, None):
                    self.at = None
                    self.tell(tr("{name} deleted. Undo brings it back.", name=name))
            case "undo":
                self._undo()
        self.lay_out()

    def _ask_field(self, drill: Drill, name: str) -> None:
        if not self.readable:
            self.tell(*self.drills.told)
            return
        asked = next(question for field, _, question in FIELDS if field == name)
        self.ask_text(asked, _written(drill, name), lambda text: self._keep_field(drill, name, text), rows=SENTENCES)

    def _keep_field(self, drill: Drill, name: str, text: str) -> bool:
        said = " ".join(text.split())
        value: str | tuple[str, ...] = said
        if name in MANY:
            value = tuple(filter(None, (part.strip() for part in said.split(";"))))
        assert self.at is not None
        values: dict[str, Any] = {name: value}
        changed = replace(drill, **values)
        if changed == drill:
            return True
        old, new = drill.name, changed.name
        if old != new and any(old in (one.easier, one.harder) for one in self.drills.book.drills):
            changed = replace(changed, also=tuple(dict.fromkeys((*changed.also, old))))  # others lead to it by that
        return self._change(self.at, changed)

    def _ask_new(self) -> None:
        def named(text: str) -> bool:
            name = " ".join(text.split())
            if not name:
                self.tell(tr("A drill needs a name."))
                return False
            if self.drills.book.drill(name) is not None:
                self.tell(tr("“{name}” is in the book already.", name=name))
                return False
            self.ask_text(
                tr("How is {name} swum? One or two sentences for the swimmers", name=name),
                "",
                lambda how: made(name, how),
                rows=SENTENCES,
            )
            return False

        def made(name: str, how: str) -> bool:
            at = len(self.drills.book.drills)
            if not self._change(at, Drill(name, " ".join(how.split()))):
                return False
            self.at = at
            return True

        self.ask_text(tr("What is the drill called?"), "", named)

    # -- the book of another tablet ---------------------------------------------------------------------------

    def _others(self) -> tuple[OtherBook, ...]:
        return other_books(self.drills.path.parent, self.drills.book)

    def _other(self) -> OtherBook | None:
        """The other book that is open."""
        return next((one for one in self._others() if one.name == self.other), None) if self.other else None

    def _take(self, taken: Sequence[Drill]) -> None:
        if self._write(lambda text: with_drills(text, taken)):
            names = ", ".join(one.name for one in taken)
            self.tell(tr("Added to your book: {names}. Undo removes what was added.", names=names))

    def _hide_other(self) -> None:
        folder = self.drills.path.parent
        try:
            away = hide_book(folder, self.other)
        except OSError as error:
            self.tell(tr("The drill book can't be saved: {reason}", reason=reason_of(error)))
            return
        self.undoing.append(partial(show_book, folder, away))
        self.other = ""
        self.tell(tr("The other book is hidden. Undo brings it back."))

    # -- writing --------------------------------------------------------------------------------------------------

    def _change(self, at: int, drill: Drill | None) -> bool:
        """Write the book with one drill changed."""
        return self._write(lambda text: with_drill(text, at, drill))

    def _write(self, changed: Callable[[str], tuple[str, bool]]) -> bool:
        """Write the book as it is `changed`, and say what is wrong where that can't be."""
        before = self.drills.text if self.drills.own else None
        try:
            text, kept = changed(self.drills.text)
            self.drills.write(text)
        except Unreadable as error:
            problem = error.problems[0]
            self.tell(problem.said, problem.message)
            return False
        except OSError as error:
            self.tell(tr("The drill book can't be saved: {reason}", reason=reason_of(error)))
            return False
        self.undoing.append(partial(self.drills.put_back, before))
        if not kept:
            self.tell(tr("Saved. Comments in the file could not be kept; Undo brings them back."))
        return True

    def _undo(self) -> None:
        if not self.undoing:
            self.tell(tr("nothing to undo"))
            return
        undo = self.undoing.pop()
        try:
            undo()
        except OSError as error:
            self.undoing.append(undo)
            self.tell(tr("The drill book can't be saved: {reason}", reason=reason_of(error)))
            return
        if self.at is not None and self.at >= len(self.drills.book.drills):
            self.at = None
        self.tell(tr("Undone"))

    def step_back(self) -> None:
        """From a drill, from the book."""
        if self.at is not None or self.other:
            self.at, self.other = None, ""
            self.board.scroller.to(0)
            self.lay_out()
        else:
            self.close()


def _what(other: OtherBook) -> str:
    """What another book has that ours lacks."""
    new, differ = len(other.new), len(other.differ)
    parts = [tr_n("{n} drill you don't have", "{n} drills you don't have", new)] if new else []
    parts += [tr_n("{n} drill that differs", "{n} drills that differ", differ)] if differ else []
    return ", ".join(parts) or tr("yours has all of its drills")


def _written(drill: Drill, name: str) -> str:
    value = getattr(drill, name)
    return value if isinstance(value, str) else "; ".join(value)
