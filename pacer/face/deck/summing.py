"""After the session: two or three presses a lane, so that one without a single time is a record too; and the heads that came out. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable
from typing import NamedTuple

from pacer.face.column import Cell, Column
from pacer.face.deck.leaf import Deck, Leaf
from pacer.session.notes import heads, summaries
from pacer.session.records import Amount, Feel, LaneSummed

AMOUNTS = {"amount as": (Amount.AS_WRITTEN, "As written"), "amount less": (Amount.LESS, "Less"), "amount more": (Amount.MORE, "More")}
FEELS = {"feel well": (Feel.WELL, "Well"), "feel so": (Feel.SO_SO, "So-so"), "feel bad": (Feel.BADLY, "Badly")}
AGAIN = {"again yes": (True, "Again"), "again no": (False, "Not again")}


class Answers(NamedTuple):
    """What was touched for a lane; None where nothing was yet."""

    amount: Amount | None = None
    feel: Feel | None = None
    again: bool | None = None

    @property
    def enough(self) -> bool:
        """Whether that is kept: the third question may stay open."""
        return self.amount is not None and self.feel is not None

    def lacks(self) -> tuple[str, ...]:
        """What has still to be said for it to be kept, the longest way first; () where that is nothing, or nothing was touched."""
        if self.enough or self == NOTHING_SAID:
            return ()
        if self.amount is None:
            return ("how much is missing" if self.feel is not None else "how much and how it went are missing"), "say how much", "not kept yet"
        return "how it went is missing", "say how it went", "not kept yet"


NOTHING_SAID = Answers()


class SumLeaf(Leaf):
    """How much of what was written a lane did, how it went, whether the same again.

    The first two are kept as soon as both are there, and anew with each touch after that; the third goes on to the next lane.
    """

    @property
    def title(self) -> str:
        """Which lane."""
        return f"How did lane {self._number(self.lane)} go?"

    def _number(self, lane: int) -> int:
        return self.driver.run.timeline.lanes[lane].number

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self._touched: dict[int, Answers] = {}      # what was touched on this leaf, by lane
        self.lane = deck.hand if deck.hand is not None else self._next(-1)

    def answers(self, lane: int) -> Answers:
        """What was said of a lane, here or before."""
        if lane in self._touched:
            return self._touched[lane]
        before = self.of_journal(summaries).get(lane)
        return NOTHING_SAID if before is None else Answers(before.amount, before.feel, before.again)

    def _next(self, lane: int) -> int:
        """The first lane after `lane` that was not summed up yet; the lane itself where all others were."""
        count = len(self.driver.run.timeline.tracks)
        others = (each % count for each in range(lane + 1, lane + 1 + count) if each % count != lane)
        return next((each for each in others if not self.answers(each).enough), max(0, lane))

    def lost(self) -> tuple[str, ...]:
        """That a lane's answers are not kept, and why, in several ways; () where all are."""
        for lane, answers in self._touched.items():
            if lacks := answers.lacks():
                name = f"lane {self._number(lane)}"
                return f"{name} is not kept: {lacks[0]}", f"{name} is not kept", f"{name} not kept"
        return ()

    def note(self) -> tuple[str, ...]:
        """That heads differ, what is not kept, that the lane is, or how many lanes are still to be asked about."""
        if self.of_journal(heads).warning:
            return "count heads again", "heads differ"
        if lacking := self.answers(self.lane).lacks() or self.lost():
            return lacking
        of = len(self.driver.run.timeline.tracks)
        said = sum(self.answers(lane).enough for lane in range(of))
        if said == of:
            return "all is said", "all said"
        if self.answers(self.lane).enough:
            name = f"lane {self._number(self.lane)}"
            return f"{name} is kept, {said} of {of} lanes said", f"{name} is kept", f"{name} kept"
        return f"{said} of {of} lanes said", f"{said} of {of} said"

    def stamp(self) -> Hashable:
        """What was said."""
        return self.lane, self.answers(self.lane), len(self.driver.journal)

    def build(self, column: Column, upright: bool) -> None:
        """The three questions, the heads, and the lanes before and after."""
        counted, count = self.of_journal(heads), len(self.driver.run.timeline.tracks)
        amounts, feels, agains = (self._cells(ways, said) for ways, said in zip((AMOUNTS, FEELS, AGAIN), self.answers(self.lane)))
        out = Cell("heads", ("Heads out",) if counted.out is None else (f"{counted.out} out",), look="main" if counted.warning else "key", share=1.5)
        before, after = ((), ())
        if count > 1:
            before, after = ((Cell(f"lane {lane}", (f"Lane {self._number(lane)}",), share=1.1),) for lane in ((self.lane - 1) % count, (self.lane + 1) % count))
        if upright:
            column.row(*amounts)
            column.row(*feels, out)
            column.row(*before, *agains, *after)
        else:
            column.row(*amounts)
            column.row(*feels)
            column.row(*agains)
            column.row(*before, out, *after)

    @staticmethod
    def _cells(ways: dict, chosen: object) -> list[Cell]:
        return [Cell(name, (word,), look="lit" if chosen is value else "key", share=1 + len(word) / 12) for name, (value, word) in ways.items()]

    def press(self, name: str) -> None:
        """Say one of the three, choose a lane, or count heads."""
        if name == "heads":
            from pacer.face.deck.noting import HeadsLeaf

            self.deck.open(HeadsLeaf(self.deck))
            return
        if name.startswith("lane "):
            self.lane = int(name.removeprefix("lane "))
            return
        before = self.answers(self.lane)
        if name in AMOUNTS:
            said = before._replace(amount=AMOUNTS[name][0])
        elif name in FEELS:
            said = before._replace(feel=FEELS[name][0])
        else:
            said = before._replace(again=AGAIN[name][0])
        if said != before:
            self._say(said, None in before)

    def _say(self, said: Answers, first: bool) -> None:
        """Take an answer, and keep what is enough; once the third is there for the first time, the next lane is asked about."""
        if said.enough:
            told = self.driver.append(LaneSummed(self.at_ms, self.lane, *said))
            if told:
                self.deck.tell(*told)
                return
        self._touched[self.lane] = said
        if first and None not in said:
            self.lane = self._next(self.lane)
