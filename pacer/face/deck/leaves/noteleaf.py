"""Notes and quick marks about a lane, a swimmer, a line; heads in and out of the water. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace

from pacer.face.deck.leaves.leaf import TAKE_BACK, Deck, Leaf
from pacer.face.deck.leaves.placeleaf import PlaceLeaf, who_ways
from pacer.face.deck.leaves.tileaction import TileAction, action_of
from pacer.face.deck.leaves.wordleaf import WordLeaf
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.numberpad import DIGITS, Pad, pressed
from pacer.language import tr
from pacer.session.journal.recordentries import HeadsCounted, Noted
from pacer.session.records.headsandfeedback import heads
from pacer.session.running.countchanges import line_in_hand
from pacer.session.storage.datafolder import home
from pacer.show.drive.pressproposal import Proposal
from pacer.show.drive.quickmarks import (
    MOST_MARK_LETTERS,
    MOST_MARKS,
    marks_from_text,
    read_marks,
    text_from_marks,
    write_marks,
)
from pacer.show.measure.presstime import SAME_MARK_MS
from pacer.show.wording.viewtext import nth


class NotesLeaf(Leaf):
    """Quick marks, one press each, and a written word.

    About the chosen lane, one of its swimmers, its set, or the session.
    """

    follows = True

    undoes = (Noted,)

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self._hand = deck.hand
        self.place: int | None = None
        self.lined = False
        self.marks = read_marks(home())

    @property
    def title(self) -> str:
        """Of which lane."""
        return tr("Notes, {lane_name}", lane_name=self.deck.lane_name())

    def note(self) -> tuple[str, ...]:
        """What the marks are about."""
        if self.deck.hand is None:
            return tr("about the whole session"), tr("about the session")
        about = self.deck.lane_name() if self.place is None else nth(self.place)
        line = self._line_said() if self.lined else ""
        return (
            (tr("about {about}, {line}", about=about, line=line), tr("about {about}, this set", about=about))
            if line
            else (tr("about {about}", about=about),)
        )

    def _line(self) -> tuple[int | None, int | None]:
        """Section and line that the chosen lane is on; None if there is none."""
        found = (
            None
            if self.deck.hand is None
            else line_in_hand(self.driver.run.timeline.tracks[self.deck.hand], self.at_ms, just_swum=True)
        )
        return (None, None) if found is None else (found.section, found.laneline.number)

    def _line_said(self) -> str:
        section, line = self._line()
        return (
            ""
            if section is None
            else tr(
                "{name} set {line}",
                name=self.driver.run.timeline.plan.sections[section].name or tr("section"),
                line=line,
            )
        )

    def stamp(self) -> Hashable:
        """What a mark would be about, and the marks."""
        if self._hand != self.deck.hand:
            self._hand, self.place = self.deck.hand, None
        return self._hand, self.place, self.lined, self.marks, self.deck.has_record

    def long_presses(self) -> frozenset[str]:
        """The key that undoes."""
        return frozenset((TAKE_BACK,))

    def ask(self, name: str) -> Proposal:
        """What it would do."""
        return self.deck.ask_back_here()

    def build(self, column: Column, upright: bool) -> None:
        """What it is about, a word, and the marks."""
        about = (
            ()
            if self.deck.hand is None
            else (
                Cell("who", who_ways(self.place), look="lit"),
                Cell("line", (tr("This set"),), look="lit" if self.lined else "key"),
            )
        )
        column.keys(*about, Cell("write", (tr("Type a note"), tr("Type"))), self.deck.take_back_cell(), across=4)
        column.flow(
            *(Cell(str(TileAction("mark", number)), (mark,)) for number, mark in enumerate(self.marks)),
            Cell("marks", (tr("Edit quick notes"),), colour="dim"),
        )

    def press(self, name: str) -> None:
        """Note a mark, or open the leaf that asks for more."""
        deck = self.deck
        match name:
            case "who":
                deck.open(PlaceLeaf(deck, self._who, self.place, whole=True))
            case "line":
                self.lined = not self.lined
            case "write":
                deck.open(WordLeaf(deck, self.title, self._noted, note=self.note()))
            case "marks":
                deck.open(MarksLeaf(deck, self))
            case _:
                self._noted(self.marks[action_of(name).first])

    def _who(self, place: int | None) -> None:
        self.place = place

    def _noted(self, text: str) -> None:
        if not text:
            return
        section, line = self._line() if self.lined else (None, None)
        entry = Noted(self.at_ms, text, self.deck.hand, self.place, section, line)
        before = self.driver.journal[-1] if self.driver.journal else None
        if (
            isinstance(before, Noted)
            and entry.at_ms - before.at_ms < SAME_MARK_MS
            and replace(before, at_ms=entry.at_ms) == entry
        ):
            return
        told = self.driver.append(entry)
        about = (
            ""
            if self.deck.hand is None
            else f"{self.deck.lane_name()}: "
            if self.place is None
            else f"{nth(self.place)}, {self.deck.lane_name()}: "
        )
        self.deck.tell(*(told or (f"{about}{text}", text, tr("noted"))))
        if not told:
            self.deck.took_down(entry, text, tr("the note"))


class MarksLeaf(Leaf):
    """The coach's own list of marks: tap one to change or delete it, or add one."""

    follows = True

    title = tr("Quick notes")

    def __init__(self, deck: Deck, notes: NotesLeaf):
        super().__init__(deck)
        self._notes = notes

    def note(self) -> tuple[str, ...]:
        """What a tap does."""
        return tr("tap one to change it"), tr("tap to change")

    def stamp(self) -> Hashable:
        """The marks."""
        return self._notes.marks

    def build(self, column: Column, upright: bool) -> None:
        """A key for one more, and the marks."""
        marks = self._notes.marks
        column.row(Cell("more", (tr("Add a quick note"),), look="main", able=len(marks) < MOST_MARKS))
        column.flow(*(Cell(str(TileAction("mark", number)), (mark,)) for number, mark in enumerate(marks)))

    def press(self, name: str) -> None:
        """Change a mark, or add one."""
        marks = self._notes.marks
        if name == "more":
            if len(marks) >= MOST_MARKS:
                self.deck.tell(tr("{most_marks} quick notes at most", most_marks=MOST_MARKS), tr("no room for more"))
                return
            self.deck.open(
                WordLeaf(
                    self.deck, tr("Add a quick note"), lambda text: self._change(None, text), most=MOST_MARK_LETTERS
                )
            )
            return
        number = action_of(name).first
        self.deck.open(
            WordLeaf(
                self.deck,
                tr("This mark"),
                lambda text: self._change(number, text),
                text=marks[number],
                note=(tr("Leave empty to delete"), tr("Leave empty to delete")),
                most=MOST_MARK_LETTERS,
            )
        )

    def _change(self, number: int | None, text: str) -> None:
        """Replace mark `number` with `text`, or add it at the end."""
        marks = list(self._notes.marks)
        marks[len(marks) if number is None else number : len(marks) if number is None else number + 1] = [text]
        self._notes.marks = marks_from_text(text_from_marks(marks))
        told = write_marks(home(), self._notes.marks)
        if told:
            self.deck.tell(told)


class HeadsLeaf(Leaf):
    """How many go into the water and come out of it: a tap for each head, or typed."""

    follows = True

    title = tr("Head count")

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self.pad = Pad("", None, time=False, step=1)

    def note(self) -> tuple[str, ...]:
        """How many swimmers the lanes have."""
        count = sum(len(lane.swimmers) for lane in self.driver.run.timeline.squad.lanes)
        return tr("{count} expected in the lanes", count=count), tr("{count} expected", count=count)

    def stamp(self) -> Hashable:
        """The count and what was saved."""
        return self.pad, self.of_journal(heads)

    def build(self, column: Column, upright: bool) -> None:
        """First the difference, then the count, then what it is for."""
        counted = self.of_journal(heads)
        if counted.warning:
            column.say(counted.warning, bold=True, colour="warn", most=3)
            column.skip(0.5)
        able = not self.pad.wrong
        less = Cell("pad less", ("–",), scale=1.6, able=bool(self.pad.typed or self.pad.value))
        value = Cell("", (self.pad.shown or "0",), look="plain", scale=1.6, colour="ink" if self.pad.shown else "dim")
        more = Cell("pad more", ("+",), scale=1.6, look="main", share=1.2)
        rub = Cell("pad rub", (tr("Erase"),))
        ends = [
            Cell(
                name,
                (tr("Save: {word}", word=word), word),
                label=(
                    "–" if before is None else tr("saved: {before}", before=before),
                    "–" if before is None else f"{before}",
                ),
                able=able,
                share=share,
            )
            for name, word, before, share in (
                ("into", tr("Went in"), counted.into, 1.5),
                ("out", tr("Came out"), counted.out, 1.7),
            )
        ]
        digits = [Cell(f"pad {digit}", (digit,)) for digit in DIGITS]
        if upright:
            column.row(less, value._replace(share=0.8), more, *ends)
            column.grid([*digits, Cell(look="plain"), rub], 6)
        else:
            column.row(less, value, more)
            column.row(rub, *ends)
            column.grid(digits, 5)

    def press(self, name: str) -> None:
        """Count, type, save."""
        if name.startswith("pad "):
            self.pad = pressed(self.pad, name.removeprefix("pad "))
            return
        if self.pad.wrong:
            self.deck.tell(tr("type the number first"))
            return
        count = self.pad.number or 0
        told = self.driver.append(HeadsCounted(self.at_ms, count, name == "into"))
        if not told:
            self.pad = Pad("", None, time=False, step=1)
        self.deck.tell(
            *(told or (tr("{count} went in", count=count) if name == "into" else tr("{count} came out", count=count),))
        )
