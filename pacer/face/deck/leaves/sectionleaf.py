"""Start a section now, at the next :00, or at a time of day. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable

from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.tileaction import TileAction, action_of
from pacer.face.tiles.column import Cell, Column
from pacer.language import tr
from pacer.session.running import presses
from pacer.session.running.instant import lane_states
from pacer.show.drive.pressproposal import Proposal
from pacer.show.drive.sessionstart import EARLIER, LATER, StartTime
from pacer.show.drive.tablettime import has_passed, next_time_of_day

WHEN = ("now", "top", "time")


class SectionsLeaf(Leaf):
    """Which section, and when."""

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self.section = self._following()
        self.start = StartTime(self.driver)

    @property
    def title(self) -> str:
        """For which lanes."""
        return tr("Start a section, {lane_name}", lane_name=self.deck.lane_name())

    def _following(self) -> int:
        """The section after the one that most lanes are in."""
        run = self.driver.run
        sections = [
            track.pass_at(state.index if state.index >= 0 else 0).section
            for track, state in zip(run.timeline.tracks, lane_states(run.timeline, self.at_ms))
            if track.sendoffs
        ]
        here = max(sections, key=sections.count, default=-1)
        return min(here + 1, len(run.timeline.plan.sections) - 1)

    def stamp(self) -> Hashable:
        """What is chosen."""
        return self.section, str(self.start)

    def long_presses(self) -> frozenset[str]:
        """When it starts."""
        return frozenset(WHEN)

    def build(self, column: Column, upright: bool) -> None:
        """The sections, then when."""
        sections = self.driver.run.timeline.plan.sections
        column.flow(
            *(
                Cell(
                    str(TileAction("section", n)),
                    (section.name or tr("Section {number}", number=n + 1),),
                    look="lit" if n == self.section else "key",
                )
                for n, section in enumerate(sections)
            )
        )
        column.skip()
        column.flow(
            Cell("now", (tr("Now"),)),
            Cell("top", (tr("At next :00"),)),
            Cell("time", (tr("At {start}", start=self.start),)),
            Cell("earlier", (EARLIER,)),
            Cell("later", (LATER,)),
        )

    def press(self, name: str) -> None:
        """Choose."""
        if name in ("earlier", "later"):
            self.start.step(1 if name == "later" else -1)
        else:
            self.section = action_of(name).first

    def ask(self, name: str) -> Proposal:
        """What the start would do."""
        section, lanes = self.section, self.deck.lanes
        if name == "now":
            return self.driver.offer(lambda run, at_ms: presses.start_section(run, at_ms, section, lanes))
        if name == "top":
            return self.driver.offer(lambda run, at_ms: presses.start_section_at_top(run, at_ms, section, lanes))
        now_ms = self.driver.wall_ms()
        wall_ms = next_time_of_day(now_ms, *self.start.hour_minute())
        if has_passed(now_ms, wall_ms):
            return Proposal(None, (tr("{start} has passed", start=self.start),))
        return self.driver.offer(
            lambda run, at_ms: presses.start_section_at(run, at_ms, section, wall_ms, lanes),
            tr("{start} is too soon", start=self.start),
        )
