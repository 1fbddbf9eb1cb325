"""Who is added to a lane: one who got out, one who was absent, or somebody new. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace
from functools import partial

from pacer.face.deck.leaves.placeleaf import CHOOSE, LaneLeaf
from pacer.face.deck.leaves.tileaction import TileAction, action_of
from pacer.face.tiles.column import Cell, Column
from pacer.language import tr
from pacer.plan.decimals import half_up
from pacer.session.records.entrytext import clock
from pacer.session.running import presses
from pacer.session.running.stragglers import come_far
from pacer.session.running.whogotout import GotOut, came_late, got_out
from pacer.show.drive.pressproposal import Proposal
from pacer.show.wording.viewtext import nth
from pacer.squad.squad import Absent
from pacer.squad.trials.baseorigin import base_text


class NewcomerLeaf(LaneLeaf):
    """By name, for a coach who asks who comes: those who got out, the absent of the lane, the others, somebody new.

    The keys alone have names: what a press would do or has done is said by place, since it may be said elsewhere too.
    """

    @property
    def title(self) -> str:
        """To which lane."""
        if self.deck.hand is None:
            return tr("Add swimmer")
        return tr("Who joins {lane_name}?", lane_name=self.deck.lane_name())

    def stamp(self) -> Hashable:
        """The lane, and who can be added to it."""
        return self.deck.hand, self.driver.run.timeline.squad

    def _out(self) -> tuple[GotOut, ...]:
        """Who got out, the last one first."""
        return got_out(self.driver.run)[::-1]

    def _absent(self) -> list[tuple[int, Absent]]:
        """Who is absent, by their numbers: those of the lane, then the others."""
        came, hand = came_late(self.driver.run), self.deck.hand
        number = None if hand is None else self.driver.run.timeline.lanes[hand].number
        found = [(at, one) for at, one in enumerate(self.driver.absent) if one.name and at not in came]
        return sorted(found, key=lambda each: each[1].lane != number)

    def long_presses(self) -> frozenset[str]:
        """All of them."""
        back = [str(TileAction("back", one.number)) for one in self._out()]
        return frozenset({"new", *back, *(str(TileAction("absent", at)) for at, _ in self._absent())})

    def build(self, column: Column, upright: bool) -> None:
        """A key each."""
        if self.deck.hand is None:
            return
        lanes = self.driver.run.timeline.lanes
        cells = [
            Cell(
                str(TileAction("back", one.number)),
                (one.swimmer.name or tr("lane {number}", number=lanes[one.lane].number),),
                label=(tr("out at {clock}", clock=clock(one.at_ms)),),
            )
            for one in self._out()
        ]
        for at, one in self._absent():
            elsewhere = one.lane not in (None, lanes[self.deck.hand].number)
            whence = tr("absent, lane {number}", number=one.lane) if elsewhere else tr("absent")
            cells.append(Cell(str(TileAction("absent", at)), (one.name,), label=(whence,)))
        column.flow(*cells, Cell("new", (tr("Somebody new"),)))

    def ask(self, name: str) -> Proposal:
        """What it would do."""
        lane, driver = self.deck.hand, self.driver
        if lane is None:
            return Proposal(None, CHOOSE)
        action = action_of(name)
        there, unit = driver.run.timeline.squad.lanes[lane], driver.run.timeline.plan.pool.unit
        joins, base = partial(presses.join, lane=lane), there.base
        back = next((one for one in self._out() if action == TileAction("back", one.number)), None)
        late = next((one for at, one in self._absent() if action == TileAction("absent", at)), None)
        if back is not None:
            joins, base = partial(joins, back=back.number), back.swimmer.base
        elif late is not None:
            base_ms = None if late.base is None else half_up(late.base.per_100(unit))
            joins, base = partial(joins, name=late.name, absent=action.first, base_ms=base_ms), late.base or base
        told = {"nth": nth(len(there.swimmers)), "base": base_text(base, unit)}
        comes = tr("{nth} joins, base {base}", **told)
        if back is not None:
            comes = tr("comes back, {nth}, base {base}", **told)
        proposal = driver.offer(lambda run, at_ms: joins(run, at_ms))
        short = tr("{nth} joins", nth=told["nth"])
        if gets_in_far(proposal, lane):
            where = tr("gets in at the far end")
            return led_by((f"{comes}, {where}", f"{short}, {where}"), proposal)
        return led_by((comes, short), proposal)

    def done(self, name: str) -> None:
        """Back to the lane's order, where it is seen."""
        self.deck.back()


def gets_in_far(proposal: Proposal, lane: int) -> bool:
    """Whether who comes to the lane by a press first leaves from the far wall, where the others of the lane wait."""
    told = proposal.told
    if told is None or proposal.entry is None or told.was is None:
        return False
    return bool(come_far(told.was.timeline, told.run.timeline, lane, proposal.entry.at_ms))


def led_by(who: tuple[str, ...], proposal: Proposal) -> Proposal:
    """The same, led by who does what, the longest way first: never without what it costs the lanes."""
    if proposal.entry is None:
        return proposal
    return replace(proposal, ways=tuple(f"{one}; {way}" for one in who for way in proposal.ways))
