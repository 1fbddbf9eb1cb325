"""The changes that a coach can make on deck.

Those made by one press, and the leaves that ask for more first. No Kivy.
"""

from __future__ import annotations

from collections.abc import Hashable

from pacer.face.deck.leaves.leaf import Leaf
from pacer.face.deck.leaves.leaftable import LEAVES, opened
from pacer.face.tiles.column import Cell, Column
from pacer.language import tr
from pacer.plan.decimals import decimals
from pacer.plan.times import text_from_ms, whole_down, whole_up
from pacer.session.journal.entries import Change
from pacer.session.records.entrytext import names_of
from pacer.session.running.runstate import Run
from pacer.show.drive.barkeychoice import LABELS
from pacer.show.drive.deckchanges import CHANGES, MATCHED, MOVES, PRESSES, last_time, proposed, undoes_last
from pacer.show.drive.pressproposal import Proposal
from pacer.show.wording.undotext import Undoing, undoing_change
from pacer.timeline.pacebasistext import base_said

LOOK_MS = 5_000  #: how often to look whether the last change can still be undone (our choice)


class ChangeLeaf(Leaf):
    """All that can be done with the chosen lane, or with all lanes: the usual first."""

    _looked: tuple[tuple[Run, int], Change | None] | None = None  #: when, of which run, the last change was looked up

    @property
    def title(self) -> str:
        """Which lanes; for a single lane also the pace that its numbers are based on."""
        name = self.deck.lane_name().capitalize()
        return name if self.deck.hand is None else f"{name}, {base_said(self.driver.run.timeline, self.deck.hand)}"

    def note(self) -> tuple[str, ...]:
        """A lane's predicted time beside its interval; for all lanes how to find out what a key would do."""
        if self.deck.hand is not None and (said := self._predicted(self.deck.hand)):
            return said
        return tr("Hold a button down to make the change"), tr("Hold a button down"), ""

    def _predicted(self, lane: int) -> tuple[str, ...]:
        """The time predicted for the current repeat, its interval, the rest that leaves, and the ratio to swimming."""
        track = self.driver.run.timeline.tracks[lane]
        index = track.index_at(self.at_ms)
        if index < 0:
            return ()
        line, repeat = track.pass_at(index).laneline, track.repeat_in_line(index)
        swims_ms = line.times(repeat, 0)[-1]
        swims = whole_up(swims_ms)
        if not line.intervals or repeat >= len(line.intervals) or line.own is not None:
            return tr("swims {distance} in {swims}", distance=line.shapes[repeat].distance, swims=swims), swims
        interval_ms = line.intervals[repeat]
        rest_ms = interval_ms - swims_ms
        told = {"swims": swims, "interval": text_from_ms(interval_ms)}
        said, short = tr("swims {swims}, leaves every {interval}", **told), tr("{swims} on {interval}", **told)
        if line.too_tight:
            return (
                tr("{said}: too tight. Use Delay send-off or Interval.", said=short),
                tr("{said}, too tight", said=short),
                short,
            )
        if rest_ms <= 0:
            return tr("{said}, no rest", said=said), said, short
        rest = tr("{said}, rest {rest}", said=said, rest=whole_down(rest_ms))
        return (
            tr("{rest} (rest to swim 1 to {swims})", rest=rest, swims=decimals(swims_ms / rest_ms)),
            rest,
            tr("{said}, rest {rest}", said=short, rest=whole_down(rest_ms)),
            short,
        )

    def stamp(self) -> Hashable:
        """The lane, and whether it is paused; for all lanes, whether only some are; and what Undo is about."""
        return self.deck.hand, self._waiting(), self._some_wait(), self._last_change(), last_time(self.driver)

    def _waiting(self) -> bool:
        run = self.driver.run
        return bool(set(run.paused()) & set(run.lanes(self.deck.lanes)))

    def _some_wait(self) -> bool:
        """Whether some of the lanes are paused, and others have still to swim."""
        tracks = self.driver.run.timeline.tracks
        return self._waiting() and any(track.paused_ms is None and self.at_ms < track.end_ms for track in tracks)

    def long_presses(self) -> frozenset[str]:
        """The changes made by one press."""
        return PRESSES

    def build(self, column: Column, upright: bool) -> None:
        """The usual changes and Undo first, then the rarer ones, in rows of what belongs together.

        What the bar offers for all lanes is not repeated here. While some lanes are paused and others go, it offers
        Pause, so Resume is here, in a row of its own: no other key moves.
        """
        across = 4 if upright else 3
        if self.deck.hand is None and not self.deck.one_lane and self._some_wait():
            column.keys(Cell("resume", self._labels("resume")), across=across)
        column.keys(*(Cell(name, self._labels(name)) for name in self._names(across)), across=across)

    def _names(self, across: int) -> tuple[str, ...]:
        """The keys of rows of that many; the first three rows are seen without scrolling."""
        moves, rounds = ("previous", "previous line", "next line"), ("one round fewer", "one round more")
        sets = ("section", "line out", "line in")
        if self.deck.hand is None:
            if across == 3:
                return (
                    *("late", "miss", "take back"),
                    *("fewer", "one more", "out"),
                    *sets,
                    *moves,
                    *(*rounds, "interval"),
                    "match",
                )
            return (
                *("late", "miss", "take back", "out"),
                *("fewer", "one more", *rounds),
                *(*sets, "interval"),
                *(*moves, "match"),
            )
        lead = "resume" if self._waiting() else "pause"
        whole, clock = ("out", ("match",)) if self.deck.one_lane else ("fill", ())  # Finish by is about all lanes
        records = ("times", "rate", "notes", "swimmers")
        if across == 3:
            return (
                *(lead, "next", "take back"),
                *("late", "miss", whole),
                *("fewer", "one more", "times"),
                *records[1:],
                *moves,
                *(*rounds, "interval"),
                *sets,
                *("with", *clock),
            )
        return (
            *(lead, "next", whole, "take back"),
            *("late", "miss", "fewer", "one more"),
            *records,
            *(*moves, "with"),
            *(*sets, "interval"),
            *(*rounds, *clock),
        )

    def _labels(self, name: str) -> tuple[str, ...]:
        if name == "resume" and self.deck.hand is None and not self.deck.one_lane:
            return (tr("Resume all"), *LABELS["resume"])
        if name == "take back":
            return self._undo_ways()
        if name in CHANGES:
            return CHANGES[name].labels
        if name in MOVES:
            return (MOVES[name][0],)
        if name in LEAVES:
            return (LEAVES[name].label,)
        return (tr("Full screen"),) if name == "fill" else LABELS[name]

    def _undo_ways(self) -> tuple[str, ...]:
        """What the last change or time was, and whose: maybe another lane's. Not if Undo would undo an older change."""
        if (time := last_time(self.driver)) is not None:
            return Undoing(time, (time.lane,), (tr("time"),)).ways(names_of(self.driver.run.timeline))
        last = self._last_change()
        undoing = None if last is None else undoing_change(last)
        return CHANGES["take back"].labels if undoing is None else undoing.ways(names_of(self.driver.run.timeline))

    def _last_change(self) -> Change | None:
        """The last change; None if there is none, or it can no longer be undone. Looked up every few seconds, not at a
        mark of the clock.
        """
        run, at_ms = self.driver.run, self.at_ms
        now = run, (at_ms + LOOK_MS // 2) // LOOK_MS
        if self._looked is None or self._looked[0][0] is not run or self._looked[0][1] != now[1]:
            self._looked = now, run.by if run.by is not None and undoes_last(run, at_ms) else None
        return self._looked[1]

    def ask(self, name: str) -> Proposal:
        """What one press would do."""
        return proposed(self.driver, name, self.deck.lanes)

    def doubts(self, name: str, proposal: Proposal) -> tuple[str, ...]:
        """An old change that the key does not name."""
        unnamed = name == "take back" and len(self._undo_ways()) == 1
        return self.deck.doubts.of(self.driver, proposal) if unnamed else ()

    def done(self, name: str) -> None:
        """Confirm a sync."""
        if name == "match":
            self.deck.tell(*MATCHED)

    def press(self, name: str) -> None:
        """Open another leaf, or show the lane on the full screen."""
        if name == "fill":
            self.deck.acts.fill()
        else:
            self.deck.open(opened(self.deck, name))
