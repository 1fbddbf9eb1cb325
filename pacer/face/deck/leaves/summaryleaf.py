"""After the session.

Two or three presses a lane, so that a session without a single time is recorded too; and the head count out of the
water. No Kivy.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import replace
from typing import Any

from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.tileaction import TileAction, action_of
from pacer.face.tiles.column import Cell, Column
from pacer.language import tr
from pacer.session.journal.recordentries import Amount, Feel, LaneSummed
from pacer.session.records.headsandfeedback import heads, summaries

AMOUNTS: dict[str, tuple[Any, ...]] = {
    "amount as": (Amount.AS_WRITTEN, tr("Swam as planned"), tr("As planned"), tr("Planned")),
    "amount less": (Amount.LESS, tr("Swam less")),
    "amount more": (Amount.MORE, tr("Swam more")),
}
FEELS: dict[str, tuple[Any, ...]] = {
    "feel well": (Feel.WELL, tr("Went well"), tr("Well")),
    "feel so": (Feel.SO_SO, tr("So-so")),
    "feel bad": (Feel.BADLY, tr("Went badly"), tr("Badly")),
}
AGAIN: dict[str, tuple[Any, ...]] = {
    "again yes": (True, tr("Do it again")),
    "again no": (False, tr("Don't do it again"), tr("Not again")),
}


NOTHING_SAID = LaneSummed(0, 0)

#: The three questions: to each answer's key what it is and its words, the longest first.
_QUESTIONS: tuple[Mapping[str, tuple[Any, ...]], ...] = (AMOUNTS, FEELS, AGAIN)


class SummaryLeaf(Leaf):
    """How much of the plan a lane did, how it went, whether to repeat it.

    Each tap is saved; the third answer moves on to the next lane.
    """

    follows = True

    @property
    def title(self) -> str:
        """Which lane."""
        return tr("How was lane {number}?", number=self._number(self.lane))

    def _number(self, lane: int) -> int:
        return self.driver.run.timeline.lanes[lane].number

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self.lane = deck.hand if deck.hand is not None else self._next(-1)

    @property
    def about(self) -> int:
        """The lane that is asked about."""
        return self.lane

    def go_to(self, lane: int) -> bool:
        """Ask about another lane."""
        self.lane = lane
        return True

    def answers(self, lane: int) -> LaneSummed:
        """The answers for a lane."""
        return self.of_journal(summaries).get(lane, NOTHING_SAID)

    def _next(self, lane: int) -> int:
        """The first lane after `lane` without answers; the lane itself if all others have them."""
        count = len(self.driver.run.timeline.tracks)
        others = (each % count for each in range(lane + 1, lane + 1 + count) if each % count != lane)
        return next((each for each in others if not self.answers(each).enough), max(0, lane))

    def note(self) -> tuple[str, ...]:
        """That heads differ, what is still to be answered, or how many lanes are still to come."""
        if self.of_journal(heads).warning:
            return tr("Head counts differ. Check the water first."), tr("Check the water")
        of = len(self.driver.run.timeline.tracks)
        said = sum(self.answers(lane).enough for lane in range(of))
        if said == of:
            return tr("All done"), tr("all done")
        answers = self.answers(self.lane)
        name = tr("lane {number}", number=self._number(self.lane))
        if answers.enough:
            return (
                tr("{name} saved, {said} of {of} lanes done", name=name, said=said, of=of),
                tr("{name} saved", name=name),
                tr("{name} saved", name=name),
            )
        if answers.amount is not None:
            return tr("saved; how did it go?"), tr("how did it go?")
        if answers.feel is not None:
            return tr("saved; how far did they swim?"), tr("how far did they swim?")
        return tr("{said} of {of} lanes done", said=said, of=of), tr("{said} of {of} done", said=said, of=of)

    def stamp(self) -> Hashable:
        """The answers."""
        return self.lane, self.answers(self.lane), len(self.driver.journal)

    def build(self, column: Column, upright: bool) -> None:
        """The three questions, the heads, and the lanes before and after."""
        counted, count = self.of_journal(heads), len(self.driver.run.timeline.tracks)
        amounts, feels, agains = (
            self._cells(ways, said) for ways, said in zip(_QUESTIONS, _three(self.answers(self.lane)))
        )
        out = Cell(
            "heads",
            (tr("Count heads"), tr("Count"))
            if counted.out is None
            else (tr("{out} came out", out=counted.out), tr("{out} out", out=counted.out)),
            look="main" if counted.warning else "key",
            share=1.5,
            lines=2,
        )
        before, after = (
            (self._lane_cell(lane, count) for lane in (self.lane - 1, self.lane + 1)) if count > 1 else ((), ())
        )
        column.row(*amounts)
        if upright:
            column.row(*feels, out)
            column.row(*agains, *before, *after)
        else:
            column.row(*feels)
            column.row(*agains)
            column.row(*before, *after, out)

    def _lane_cell(self, lane: int, count: int) -> tuple[Cell, ...]:
        """A key for another lane; its place stays empty before the first and after the last."""
        if not 0 <= lane < count:
            return (Cell(look="plain", share=1.1),)
        return (Cell(str(TileAction("lane", lane)), (tr("Lane {number}", number=self._number(lane)),), share=1.1),)

    @staticmethod
    def _cells(ways: Mapping[str, tuple[Any, ...]], chosen: object) -> list[Cell]:
        return [
            Cell(
                name, tuple(words), look="lit" if chosen is value else "key", share=1 + _longest(words[-1]) / 8, lines=2
            )
            for name, (value, *words) in ways.items()
        ]

    def press(self, name: str) -> None:
        """Answer one of the three, choose a lane, or count heads."""
        if name == "heads":
            from pacer.face.deck.leaves.noteleaf import HeadsLeaf

            self.deck.open(HeadsLeaf(self.deck))
            return
        if (action := action_of(name)).what == "lane":
            self.lane = action.first
            return
        before = self.answers(self.lane)
        if name in AMOUNTS:
            said = replace(before, amount=AMOUNTS[name][0])
        elif name in FEELS:
            said = replace(before, feel=FEELS[name][0])
        else:
            said = replace(before, again=AGAIN[name][0])
        if said != before:
            self._say(said, None in _three(before))

    def _say(self, said: LaneSummed, first: bool) -> None:
        """Save an answer; when the third one is first given, go to the next lane."""
        told = self.driver.append(replace(said, at_ms=self.at_ms, lane=self.lane))
        if told:
            self.deck.tell(*told)
        elif first and None not in _three(said):
            self.lane = self._next(self.lane)


def _three(said: LaneSummed) -> tuple:
    return said.amount, said.feel, said.again


def _longest(text: str) -> int:
    """How long the longest word is, for a key of two lines."""
    return max(map(len, text.split()))
