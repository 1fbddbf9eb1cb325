"""After the session: three presses a lane, so that one without a single time is a record too; and the heads that came out. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable

from pacer.face.column import Cell, Column
from pacer.face.deck.leaf import Deck, Leaf
from pacer.session.notes import heads, summaries
from pacer.session.records import Amount, Feel, LaneSummed

AMOUNTS = {"amount as": (Amount.AS_WRITTEN, "As written"), "amount less": (Amount.LESS, "Less"), "amount more": (Amount.MORE, "More")}
FEELS = {"feel well": (Feel.WELL, "Well"), "feel so": (Feel.SO_SO, "So-so"), "feel bad": (Feel.BADLY, "Badly")}
AGAIN = {"again yes": (True, "Again"), "again no": (False, "Not again")}


class SumLeaf(Leaf):
    """How much of what was written a lane did, how it went, whether the same again. The third press keeps it and goes to the next lane."""

    @property
    def title(self) -> str:
        """Which lane."""
        return f"How did lane {self._number(self.lane)} go?"

    def _number(self, lane: int) -> int:
        return self.driver.run.timeline.lanes[lane].number

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self.lane = 0
        self.amount: Amount | None = None
        self.feel: Feel | None = None
        self.again: bool | None = None
        self._take_up(deck.hand if deck.hand is not None else self._next(-1))

    def _next(self, lane: int) -> int:
        """The first lane after `lane` that was not summed up yet; the lane itself where all others were."""
        done, count = self.of_journal(summaries), len(self.driver.run.timeline.tracks)
        others = (each % count for each in range(lane + 1, lane + 1 + count) if each % count != lane)
        return next((each for each in others if each not in done), max(0, lane))

    def _take_up(self, lane: int) -> None:
        """Go on with a lane, from what was said of it before."""
        self.lane = lane
        before = self.of_journal(summaries).get(lane)
        self.amount, self.feel, self.again = (None, None, None) if before is None else (before.amount, before.feel, before.again)

    def note(self) -> tuple[str, ...]:
        """How many lanes are still to be asked about, or that heads differ."""
        if self.of_journal(heads).warning:
            return "count heads again", "heads differ"
        of, said = len(self.driver.run.timeline.tracks), len(self.of_journal(summaries))
        if said == of:
            return "all is said", "all said"
        return f"{said} of {of} lanes said", f"{said} of {of} said"

    def stamp(self) -> Hashable:
        """What was said."""
        return self.lane, self.amount, self.feel, self.again, len(self.driver.journal)

    def build(self, column: Column, upright: bool) -> None:
        """The three questions, the heads, and the lanes before and after."""
        counted, count = self.of_journal(heads), len(self.driver.run.timeline.tracks)
        amounts, feels, agains = self._cells(AMOUNTS, self.amount), self._cells(FEELS, self.feel), self._cells(AGAIN, self.again)
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
            self._take_up(int(name.removeprefix("lane ")))
            return
        before = self.of_journal(summaries).get(self.lane)
        if name in AMOUNTS:
            self.amount = AMOUNTS[name][0]
        elif name in FEELS:
            self.feel = FEELS[name][0]
        else:
            self.again = AGAIN[name][0]
        if self.amount is not None and self.feel is not None and self.again is not None:
            self._keep(before is None)

    def _keep(self, first: bool) -> None:
        """Keep what was said; the first time, the next lane is asked about."""
        lane = self.lane
        told = self.driver.append(LaneSummed(self.at_ms, lane, self.amount, self.feel, self.again))
        if told:
            self.deck.tell(*told)
            return
        if first:
            self._take_up(self._next(lane))
        said = f"lane {self._number(lane)} is kept"
        self.deck.tell(said if self.lane == lane else f"{said}. How did lane {self._number(self.lane)} go?")
