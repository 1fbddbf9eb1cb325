"""Finish by a time of day: the rest fitted again, with what it costs. No Kivy.

The fit may take longer than a frame, so it is worked out on another thread: until it is done the last answer stays, or
`…`.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace

from pacer.face.deck.leaves.addsetleaf import LineOutLeaf
from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.tileaction import TileAction, action_of
from pacer.face.tiles.column import Cell, Column
from pacer.language import tr
from pacer.plan.sentence import capital, sentence
from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import Refitted
from pacer.session.records.overrun import Remedy, over_ms, pressed
from pacer.session.running import presses
from pacer.session.running.finish import finish_ms
from pacer.session.running.runstate import Run
from pacer.show.drive.asidethread import Answers
from pacer.show.drive.deckchanges import CHANGES, offered
from pacer.show.drive.pressproposal import Proposal
from pacer.show.wording.forecasttext import finish_at
from pacer.show.wording.overruntext import finish_ways, remedy_ways
from pacer.timeline.findings import CannotRun
from pacer.timeline.fit.fitcounts import Fit
from pacer.timeline.fit.mostdistance import missed_said

STEPS = (-5, -1, 1, 5)
WORKING = ("…",)
SHORTER, SKIP = ("fewer", "one round fewer"), "line out"  #: what can be left out where no count can be chosen


class FinishLeaf(Leaf):
    """The time to finish by, and what that costs."""

    title = tr("Finish by")

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self._fits: Answers[Fit | CannotRun] = Answers("fit")
        self._helps: tuple[Remedy, ...] = ()
        self._cost: tuple[int | None, tuple[str, ...]] = (None, ())
        self.out_ms = self._first()

    def _first(self) -> int:
        """The time shown first.

        The planned end, which costs nothing, or the end of the booking if that is earlier.
        """
        run, end_ms = self.driver.run, self._end_ms()
        booking_ms = run.timeline.plan.booking_ms
        latest_ms = run.out_ms or booking_ms
        if latest_ms is not None and end_ms > latest_ms:
            return self._whole(latest_ms)
        whole_ms = self._whole(end_ms + MINUTE_MS - 1)
        return whole_ms if booking_ms is None or end_ms > booking_ms else min(whole_ms, self._whole(booking_ms))

    def _end_ms(self) -> int:
        """The planned end, as the top line has it: while all are paused, if they are resumed now."""
        return finish_ms(self.driver.run, self.at_ms)

    @property
    def _by_ms(self) -> int:
        """By when all have to be out: in the minute to which the pool is booked, the booking's end."""
        booking_ms = self.driver.run.timeline.plan.booking_ms
        return self.out_ms if booking_ms is None or self._whole(booking_ms) != self.out_ms else booking_ms

    def _whole(self, ms: int) -> int:
        """That session time at a whole minute of the day, rounded down."""
        begun = self.driver.run.begun
        wall_ms = ms if begun is None else begun.wall_ms + ms
        return ms - wall_ms % MINUTE_MS

    def note(self) -> tuple[str, ...]:
        """The finish as planned."""
        over = over_ms(self.driver.run, self.driver.seen, self.at_ms)
        if over:
            return finish_ways(self.driver.run, over)
        run, seen = self.driver.run, self.driver.seen
        now, going = (finish_at(run, finish_ms(each, self.at_ms)) for each in (run, seen))
        if going != now:
            return tr("as planned: finish {now}; at this pace: {going}", now=now, going=going), tr(
                "plan: finish {now}", now=now
            )
        return tr("as planned: finish {now}", now=now), tr("plan: finish {now}", now=now)

    def stamp(self) -> Hashable:
        """The time chosen, and what its cost depends on."""
        return self.out_ms, id(self.driver.run), self.deck.second(), self._fits.count, self._remedies()

    def long_presses(self) -> frozenset[str]:
        """The key that does it, and what would help."""
        return frozenset(
            {"do", *SHORTER, *(str(TileAction("remedy", place)) for place in range(len(self._remedies())))}
        )

    def _remedies(self) -> tuple[Remedy, ...]:
        """What would bring back a finish that runs over the booking; while that is worked out, the last result."""
        found = self.driver.remedies()
        if found is not None:
            self._helps = found
        return self._helps

    def build(self, column: Column, upright: bool) -> None:
        """The time, steps, and a key to do it; where that would do nothing, what else can go."""
        proposal = self.ask("do")
        able = proposal.entry is not None or proposal.ways == WORKING
        column.row(
            Cell("", (finish_at(self.driver.run, self.out_ms),), look="plain", scale=1.6, across="left"),
            Cell("do", (tr("Make it fit"),), look="main" if able else "key", able=able),
        )
        column.row(
            *(
                Cell(
                    str(TileAction("step", by)),
                    (
                        tr("–{by} min", by=abs(by)) if by < 0 else tr("+{by} min", by=abs(by)),
                        f"{'–' if by < 0 else '+'}{abs(by)}",
                    ),
                )
                for by in STEPS
            )
        )
        for text in self._costs(proposal):
            column.say(text, colour="dim")
        for place, remedy in enumerate(self._remedies()):
            ways = tuple(capital(way) for way in remedy_ways(self.driver.run, remedy))
            column.row(Cell(str(TileAction("remedy", place)), ways))
        if not able and self.out_ms < self._end_ms():
            names = [name for name in SHORTER if offered(self.driver, name, self.deck.lanes).entry is not None]
            column.row(*(Cell(name, CHANGES[name].labels) for name in names), Cell(SKIP, (tr("Skip a set"),)))

    def _costs(self, proposal: Proposal) -> tuple[str, ...]:
        """What the chosen time would cost; while that is worked out, the last answer for that time."""
        said = proposal.ways
        if said != WORKING:
            self._cost = self.out_ms, tuple(sentence(part) for part in said[0].split("; "))
        return self._cost[1] if self._cost[0] == self.out_ms else WORKING

    def press(self, name: str) -> None:
        """Choose another time, or a set to skip."""
        if name == SKIP:
            self.deck.open(LineOutLeaf(self.deck))
            return
        made = self.out_ms + action_of(name).first * MINUTE_MS
        if made > self.at_ms:
            self.out_ms = made

    def ask(self, name: str) -> Proposal:
        """What the fit does; nothing until it is ready. Of the others, what they do."""
        if name in SHORTER:
            return offered(self.driver, name, self.deck.lanes)
        if action_of(name).what == "remedy":
            press = self._remedies()[action_of(name).first].press
            return self.driver.offer(
                lambda run, at_ms: pressed(run, at_ms, press), tr("nothing left to change"), tr("nothing")
            )
        missed: list[int] = []

        def refitted(run: Run, at_ms: int) -> Refitted | None:
            rest = presses.rest_to_fit(run, at_ms)
            chosen = self._chosen(run, rest)
            if chosen is None:
                return None
            if chosen.missed is not None:
                missed.append(chosen.missed)
            return presses.finish_by(run, at_ms, self._by_ms, rest.leave_ms, chosen)

        proposal = self.driver.offer(refitted, *WORKING)
        if proposal.entry is None or not missed:
            return proposal
        unit = str(self.driver.run.timeline.plan.pool.unit)
        more = missed_said(missed[0], unit).replace("; ", ", ")
        return replace(proposal, ways=tuple(f"{way}; {more}" for way in proposal.ways) + proposal.ways)

    def _chosen(self, run: Run, rest: presses.Rest) -> Fit | None:
        """The fit of the rest, None while it is worked out. Raises CannotRun as the fit does."""
        out_ms, where = self._by_ms, tuple(sorted(rest.entries.items()))

        def work() -> Fit | CannotRun:
            try:
                return presses.fitted(run, rest, out_ms)
            except CannotRun as refusal:
                return refusal

        found = self._fits.ask((out_ms, id(run), where), work)
        if isinstance(found, CannotRun):
            raise found
        return found

    def leave(self) -> None:
        """Drop the fit: nobody needs it any more."""
        self._fits.drop()
