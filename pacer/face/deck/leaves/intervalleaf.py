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
from pacer.show.drive.deckchanges import sets_ahead
from pacer.show.drive.pressproposal import Proposal
from pacer.show.wording.settext import line_words


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
        """Of which set, and for how long."""
        found = sets_ahead(self.driver, self.deck.lanes)
        tracks = self.driver.run.timeline.tracks
        ways = {line_words(one.laneline, tracks[lane].repeats_of(one)) for lane, (one, _) in found.items()}
        if len(ways) != 1:
            return tr("each lane's set, from now on"), tr("from now on")
        if all(later for _, later in found.values()):
            return *(tr("next set: {set}", set=way) for way in ways.pop()), tr("the next set")
        return *(tr("{set}, from now on", set=way) for way in ways.pop()), tr("from now on")

    def _fresh(self) -> Pad:
        """A pad that begins with the lanes' interval, if they share one."""
        return Pad(tr("From now on"), next(iter(found)) if len(found := self._intervals()) == 1 else None, step=5_000)

    def _intervals(self) -> set[int]:
        found = [one.laneline.intervals for one, _ in sets_ahead(self.driver, self.deck.lanes).values()]
        return {intervals[0] for intervals in found if intervals}

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
