"""Stopwatches on deck: as many as wanted, beside the session and without effect on it. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable

from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.placeleaf import place_cells, place_of, swimmers_of
from pacer.face.deck.leaves.tileaction import action_of
from pacer.face.tiles.column import Cell, Column
from pacer.language import tr, tr_n
from pacer.session.journal.recordentries import Press, Watched
from pacer.session.records.touches import tenths
from pacer.session.records.watches import Watch, filed, pressed, watches
from pacer.show.measure.presstime import BOUNCE_MS
from pacer.show.wording.commonkeys import SAVE

SPLITS = 2  #: how many of a stopped watch's last splits are shown


def reading(time_cs: int) -> str:
    """What a watch shows: tenths, rounded down."""
    return tenths(time_cs // 10 * 10)


class WatchLeaf(Leaf):
    """Every watch, running or stopped. A tap on the reading of a running one takes a split.

    After `Stop`, `Save` takes its place, which loses nothing: a press doubled by a wet screen must not clear what was
    just stopped.
    """

    follows = True

    title = tr("Stopwatches")

    def note(self) -> tuple[str, ...]:
        """That they are separate from the session."""
        return tr("not part of the session"), tr("separate")

    def _watches(self) -> tuple[Watch, ...]:
        return self.of_journal(watches)

    def stamp(self) -> Hashable:
        """What was pressed; tenths while one runs."""
        found = self._watches()
        return len(self.driver.journal), self.at_ms // 100 if any(watch.running for watch in found) else None

    def build(self, column: Column, upright: bool) -> None:
        """A key to start another, and a row for each."""
        column.row(Cell("start", (tr("Start a stopwatch"),), look="main"))
        for watch in self._watches():
            shown = reading(watch.reading_cs(self.at_ms))
            many = len(watch.splits_ms)
            said: tuple[str, ...]
            if watch.running:
                said = (
                    tr("watch {number}, split {many}", number=watch.number, many=many + 1),
                    tr("split {many}", many=many + 1),
                )
                cells = (
                    Cell(f"split {watch.number}", (shown,), label=said, scale=1.1, share=1.6),
                    Cell(f"stop {watch.number}", (tr("Stop"),)),
                )
            else:
                said = (tr("watch {number}", number=watch.number),)
                cells = (
                    Cell("", (shown,), label=said, scale=1.1, share=1.6, look="plain"),
                    Cell(f"file {watch.number}", (SAVE,)),
                )
            column.row(*cells)

    def press(self, name: str) -> None:
        """Start, split, stop, at the instant the finger came down."""
        if name == "start":
            numbers = {watch.number for watch in self._watches()}
            self._do(next(number for number in range(1, len(numbers) + 2) if number not in numbers), Press.START)
            return
        what, number, _ = action_of(name)
        if what == "file":
            self.deck.open(FileLeaf(self.deck, number))
        else:
            self._do(number, Press(what))

    def _do(self, number: int, press: Press) -> None:
        at_ms = self.deck.pressed_ms()
        before = next((entry for entry in reversed(self.driver.journal) if isinstance(entry, Watched)), None)
        if (
            before is not None
            and before.press is press
            and at_ms - before.at_ms < BOUNCE_MS
            and (press is Press.START or before.watch == number)
        ):
            return
        entry = Watched(at_ms, number, press)
        watch = next((watch for watch in self._watches() if watch.number == number), Watch(number))
        told = self.driver.append(entry)
        if not told and press is Press.SPLIT:
            after = pressed(watch, entry)
            told = tuple(
                tr("watch {number}: {reading}{lap}", number=number, reading=reading(after.times_cs()[-1]), lap=lap)
                for lap in (f" ({reading(after.laps_cs()[-1])})", "")
            )
        if told:
            self.deck.tell(*told)


class FileLeaf(Leaf):
    """A stopped watch: its times, and the lane to save them for."""

    follows = True

    def __init__(self, deck: Deck, number: int):
        super().__init__(deck)
        self.number = number
        self._since_ms = self.at_ms

    @property
    def title(self) -> str:
        """Which watch."""
        many = len(self._watch.splits_ms)
        if not many:
            return tr("Watch {number}", number=self.number)
        return tr_n("Watch {number}, {n} split", "Watch {number}, {n} splits", many, number=self.number)

    @property
    def _watch(self) -> Watch:
        return next((watch for watch in self.of_journal(watches) if watch.number == self.number), Watch(self.number))

    def note(self) -> tuple[str, ...]:
        """What to choose."""
        return tr("Save for which lane?"), tr("which lane?")

    def stamp(self) -> Hashable:
        """The chosen lane and the watch."""
        return self.deck.hand, self._watch

    def build(self, column: Column, upright: bool) -> None:
        """The times at each split and between splits, then lanes, or the swimmers of the chosen lane."""
        hand, watch, across = self.deck.hand, self._watch, 6 if upright else 4
        times, laps = watch.times_cs(), watch.laps_cs()
        said = [
            reading(time) if len(times) == 1 else f"{reading(time)} ({reading(lap)})" for time, lap in zip(times, laps)
        ]
        for text in said[-SPLITS:] or [reading(0)]:
            column.say(text, bold=True, scale=1.2, most=1)
        column.skip(0.5)
        if hand is not None:
            column.keys(
                *(cell._replace(look="key") for cell in place_cells(swimmers_of(self.deck, hand), None, True)),
                across=across,
            )
        else:
            column.keys(
                *(
                    Cell(f"lane {lane}", (tr("Lane {number}", number=each.number),))
                    for lane, each in enumerate(self.driver.run.timeline.lanes)
                ),
                across=across,
            )
        column.row(Cell("run", (tr("Restart"),)), Cell("clear", (tr("Clear"),)))

    def press(self, name: str) -> None:
        """Save it, restart it, or clear it."""
        deck = self.deck
        if self.at_ms - self._since_ms < BOUNCE_MS:
            return
        if name in ("run", "clear"):
            told = self.driver.append(
                Watched(deck.pressed_ms(), self.number, Press.START if name == "run" else Press.CLEAR)
            )
            said = (
                tr("watch {number} running", number=self.number)
                if name == "run"
                else tr("watch {number} cleared", number=self.number),
            )
        else:
            lane, place = (deck.hand, place_of(name)) if name.startswith("place ") else (action_of(name).first, None)
            entry = None if lane is None else filed(self._watch, self.at_ms, lane, place)
            if entry is None:
                deck.tell(tr("nothing timed yet"))
                return
            told = self.driver.append(entry)
            number = self.driver.run.timeline.lanes[entry.lane].number
            said = (
                tr("saved for lane {number}", number=number)
                if place is None
                else tr("saved for lane {number}, swimmer {place}", number=number, place=place + 1),
            )
        if not told:
            deck.back()
        deck.tell(*(told or said))
