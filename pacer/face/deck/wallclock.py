"""Matching the clock on the wall: one tap as its hand passes the top. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable

from pacer.face.column import Cell, Column
from pacer.face.deck.leaf import Leaf
from pacer.face.readings import clock_reading
from pacer.session.phase import matched


class WallClockLeaf(Leaf):
    """A large key to tap, and the reading that follows from it."""

    title = "Wall clock"

    def note(self) -> tuple[str, ...]:
        """What it does."""
        return "no send-off moves", ""

    def stamp(self) -> Hashable:
        """The reading goes on."""
        return self.deck.second(), self.driver.run.phase_ms

    def build(self, column: Column, upright: bool) -> None:
        """The reading, and the key."""
        column.say(f"pacer reads {clock_reading(self.at_ms, self.driver.run.phase_ms)}", bold=True, scale=1.5)
        column.skip()
        column.row(Cell("top", ("The hand passes the top: now", "Top: now"), lines=2, look="main"), height=2 * column.target)
        column.say("Every clock reading follows.", colour="dim")

    def press(self, name: str) -> None:
        """The top was passed. It moves nothing, so it need not be held."""
        told = self.driver.append(matched(self.at_ms))
        self.deck.tell(*(told or ("the readings follow the wall",)))
