"""Another interval for the current set, from now on. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace

from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.padtiles import typed_tiles
from pacer.face.tiles.column import Column
from pacer.face.tiles.numberpad import Pad, pressed
from pacer.language import tr
from pacer.plan.times import text_from_ms
from pacer.session.running import presses
from pacer.session.running.countchanges import line_in_hand
from pacer.show.drive.pressproposal import Proposal


class IntervalLeaf(Leaf):
    """A pad for the interval, and what it would do."""

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self._hand = deck.hand
        self.pad = self._fresh()

    @property
    def title(self) -> str:
        """For which lanes."""
        return tr("Interval, {lane_name}", lane_name=self.deck.lane_name())

    def note(self) -> tuple[str, ...]:
        """For how long."""
        return tr("the set they are swimming, from now on"), tr("from now on")

    def _fresh(self) -> Pad:
        """A pad that begins with the lanes' interval, if they share one."""
        return Pad(tr("From now on"), next(iter(found)) if len(found := self._intervals()) == 1 else None, step=5_000)

    def _intervals(self) -> set[int]:
        run = self.driver.run
        found = (line_in_hand(run.timeline.tracks[lane], self.at_ms, ahead=True) for lane in run.lanes(self.deck.lanes))
        return {one.laneline.intervals[0] for one in found if one is not None and one.laneline.intervals}

    def stamp(self) -> Hashable:
        """The pad, and the lanes."""
        if self._hand != self.deck.hand:
            self._hand, self.pad = self.deck.hand, self._fresh()
        return self.pad

    def long_presses(self) -> frozenset[str]:
        """Only the key that does it."""
        return frozenset({"do"})

    def build(self, column: Column, upright: bool) -> None:
        """The pad, and a key to do it."""
        typed_tiles(self.pad, column, upright, tr("Change"))

    def press(self, name: str) -> None:
        """A key of the pad."""
        self.pad = pressed(self.pad, name.removeprefix("pad "))

    def ask(self, name: str) -> Proposal:
        """What the interval would do."""
        pad = self.pad
        interval_ms = 0 if pad.wrong else pad.number
        if not interval_ms:
            return Proposal(None, (pad.wrong or tr("an interval is at least one second"),))
        proposal = self.driver.offer(
            lambda run, at_ms: presses.change_interval(run, at_ms, interval_ms, self.deck.lanes),
            tr("no set is running"),
        )
        if proposal.entry is None:
            return proposal
        every = tr("every {interval}", interval=text_from_ms(interval_ms))
        return replace(proposal, ways=(*(f"{every}; {way}" for way in proposal.ways), *proposal.ways))
