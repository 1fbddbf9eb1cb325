"""Swimmers who join, get out, or move to another place or lane; a lane that joins another. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable

from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.newcomerleaf import NewcomerLeaf, gets_in_far, led_by
from pacer.face.deck.leaves.placeleaf import CHOOSE, LaneLeaf
from pacer.face.deck.leaves.tileaction import TileAction, action_of
from pacer.face.tiles.column import Cell, Column
from pacer.language import tr
from pacer.session.journal.entries import SwimmerChanged
from pacer.session.running import presses
from pacer.session.running.replay import apply
from pacer.session.running.swimmermoves import first_with_all
from pacer.session.running.undo import next_ms
from pacer.session.running.whereabouts import swims_by_number
from pacer.show.drive.pressproposal import Proposal
from pacer.show.wording.leavetext import when
from pacer.show.wording.viewtext import nth
from pacer.squad.trials.baseorigin import base_text


class SwimmersLeaf(LaneLeaf):
    """The leaving order of the chosen lane, and what can be done with the chosen swimmer.

    By place, not by name: the tablet is propped up where everybody can read it. Only who is added is chosen by name.
    """

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self.place = 0
        self._hand = deck.hand

    @property
    def title(self) -> str:
        """Of which lane."""
        lane = self.deck.hand
        return tr("In or out") if lane is None else tr("In or out, {lane_name}", lane_name=self.deck.lane_name())

    def stamp(self) -> Hashable:
        """The lane, its swimmers, the chosen one."""
        if self._hand != self.deck.hand:
            self._hand, self.place = self.deck.hand, 0
        return self.deck.hand, self.place, self._swimmers()

    def _swimmers(self) -> tuple:
        return () if self.deck.hand is None else self.driver.run.timeline.squad.lanes[self.deck.hand].swimmers

    def long_presses(self) -> frozenset[str]:
        """Everything except choosing."""
        lanes = range(len(self.driver.run.timeline.tracks))
        return frozenset({"out", "forward", "backward", *(str(TileAction("to", lane)) for lane in lanes)})

    def build(self, column: Column, upright: bool) -> None:
        """The actions, then the order: the order grows with each swimmer, and no action may move under a finger."""
        if self.deck.hand is None:
            return
        swimmers = self._swimmers()
        self.place = min(self.place, max(0, len(swimmers) - 1))
        able, lanes = bool(swimmers), self.driver.run.timeline.lanes
        actions = (
            Cell("out", (tr("Swimmer out"), tr("Gets out")), able=able),
            Cell("forward", (tr("Move up"),), able=self.place > 0),
            Cell("backward", (tr("Move down"),), able=self.place < len(swimmers) - 1),
            Cell("join", (tr("Add swimmer"), tr("Add one"))),
        )
        moves = tuple(
            Cell(
                str(TileAction("to", lane)),
                (tr("To lane {number}", number=other.number), tr("To {number}", number=other.number)),
                able=able,
            )
            for lane, other in enumerate(lanes)
            if lane != self.deck.hand
        )
        column.keys(*actions, across=4)  # in rows of their own, so that the order is seen below them
        column.keys(*moves, across=5 if upright or len(moves) == 5 and column.holds(5) else 4)
        column.keys(
            *(
                Cell(
                    str(TileAction("place", place)),
                    (f"{nth(place)} {base_text(swimmer.base, self.driver.run.timeline.plan.pool.unit)}", nth(place)),
                    look="lit" if place == self.place else "key",
                )
                for place, swimmer in enumerate(swimmers)
            ),
            across=6 if upright else 4,
        )

    def press(self, name: str) -> None:
        """Choose a swimmer, or who is added."""
        if name == "join":
            self.deck.open(NewcomerLeaf(self.deck))
            return
        self.place = action_of(name).first

    def ask(self, name: str) -> Proposal:
        """What it would do."""
        lane, place, driver = self.deck.hand, self.place, self.driver
        nobody = tr("no swimmer chosen")
        if lane is None:
            return Proposal(None, CHOOSE)
        if name == "out":
            proposal = driver.offer(lambda run, at_ms: presses.leave(run, at_ms, lane, place), nobody)
            return led_by(self._gets_out(place), proposal)
        to_lane = lane
        to_place: int | None = place - 1 if name == "forward" else place + 1
        if (action := action_of(name)).what == "to":
            to_lane, to_place = action.first, None
        elif to_place not in range(len(self._swimmers())):
            return Proposal(None, (tr("no such swimmer"),))
        proposal = driver.offer(
            lambda run, at_ms: presses.change_lane(run, at_ms, lane, place, to_lane, to_place), nobody
        )
        said = tr("{nth} to {to_place_nth}", nth=nth(place), to_place_nth=nth(to_place or 0))
        if to_place is not None:
            return led_by((said,), proposal)
        who = self._goes_to(place, proposal.entry)
        if gets_in_far(proposal, to_lane):
            where = tr("gets in at the far end")
            who = (f"{who[0]}, {where}", f"{who[-1]}, {where}")
        return led_by(who, proposal)

    def _gets_out(self, place: int) -> tuple[str, ...]:
        """A swimmer out, and if they swim at the moment, when: they are drawn and timed until they are home."""
        lane, said = self.deck.hand, tr("{nth} gets out", nth=nth(place))
        if lane is None or place >= len(swimmers := self._swimmers()):
            return (said,)
        swim = swims_by_number(self.driver.seen.timeline, lane, self.at_ms)[swimmers[place].number]
        if swim is None or swim.home_ms <= self.at_ms:
            return (said,)
        return (tr("{nth} swims this one home and gets out", nth=nth(place)),)

    def _goes_to(self, place: int, entry: object) -> tuple[str, ...]:
        """A swimmer to another lane, from which send-off on, and whether they swim home in the old lane first."""
        if not isinstance(entry, SwimmerChanged):
            return ()
        run, at_ms, to_lane = self.driver.run, self.at_ms, entry.to_lane
        told = {"nth": nth(place), "number": run.timeline.lanes[to_lane].number}
        after = apply(run, entry)
        leaves_ms = first_with_all(after, to_lane, at_ms)
        if leaves_ms is None:
            return (tr("{nth} to lane {number}", **told),)
        track, last = after.timeline.tracks[to_lane], len(after.timeline.squad.lanes[to_lane].swimmers) - 1
        index = track.index_at(leaves_ms)
        leaves = when(run, track.pass_at(index).leaves(index, last), at_ms)  # after the others of that lane
        if leaves_ms == next_ms(run.timeline.tracks[to_lane], at_ms):
            return tr("{nth} to lane {number}, leaves {when}", when=leaves, **told), tr(
                "{nth} to lane {number}", **told
            )
        return (
            tr("{nth} to lane {number}, swims back first, leaves {when}", when=leaves, **told),
            tr("{nth} to lane {number}, leaves {when}", when=leaves, **told),
            tr("{nth} to lane {number}", **told),
        )

    def done(self, name: str) -> None:
        """The swimmer who was moved stays chosen."""
        if name in ("forward", "backward"):
            self.place += 1 if name == "backward" else -1


class WithLeaf(Leaf):
    """From now on the chosen lane follows another lane's plan and send-offs."""

    @property
    def title(self) -> str:
        """Which lane."""
        return (
            tr("Join another lane")
            if self.deck.hand is None
            else tr("{lane_name} swims with:", lane_name=self.deck.lane_name().capitalize())
        )

    def note(self) -> tuple[str, ...]:
        """What to do first."""
        return CHOOSE if self.deck.hand is None else (tr("stays in its own lane"), tr("stays in its lane"), "")

    def stamp(self) -> Hashable:
        """The lane."""
        return self.deck.hand

    def _others(self) -> list[int]:
        return [lane for lane in range(len(self.driver.run.timeline.tracks)) if lane != self.deck.hand]

    def long_presses(self) -> frozenset[str]:
        """All of them."""
        return frozenset(str(TileAction("with", lane)) for lane in self._others())

    def build(self, column: Column, upright: bool) -> None:
        """The other lanes."""
        if self.deck.hand is not None:
            numbers = self.driver.run.timeline.lanes
            column.flow(
                *(
                    Cell(str(TileAction("with", lane)), (tr("Lane {number}", number=numbers[lane].number),))
                    for lane in self._others()
                )
            )

    def ask(self, name: str) -> Proposal:
        """What it would do."""
        lane, leader = self.deck.hand, action_of(name).first
        if lane is None:
            return Proposal(None, CHOOSE)
        run = self.driver.run
        why = tr("that lane has no send-off left to join")
        if leader in run.paused():
            why = tr("lane {number} is paused: resume it first", number=run.timeline.lanes[leader].number)
        return self.driver.offer(lambda run, at_ms: presses.join_lane(run, at_ms, lane, leader), why)
