"""Stroke rate by taps, with the set's target and a soft tick at that rate; a counted length. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable

from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.placeleaf import CHOOSE, PlaceLeaf, swimmer_ways
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.numberpad import Pad, digit_keys, erase_key, point_key, pressed
from pacer.language import tr, tr_n
from pacer.plan.decimals import decimals
from pacer.plan.model import Stroke
from pacer.session.journal.recordentries import LengthCounted, Rated
from pacer.session.records.ratetargets import Target, target
from pacer.session.records.strokefigures import TIMED_CYCLES, Length, counted, rated, rating
from pacer.show.measure.presstime import BOUNCE_MS, LAST_STROKE_MS
from pacer.show.wording.commonkeys import SAVE
from pacer.show.wording.viewtext import nth

FORGET_MS = 30_000  #: a start of three cycles whose end was never tapped

ONE_ARM = (Stroke.BREAST, Stroke.FLY)  #: one stroke makes a cycle
KINDS = {2: tr("Free, back"), 1: tr("Breast, fly")}  #: what is swum, by strokes per cycle


def rate_ways(entry: Rated) -> tuple[str, ...]:
    """A rate, its spread and how many cycles, the longest way first."""
    found = rating(entry)
    if found is None:
        return (tr("no rate"),)
    many = tr_n("{n} cycle", "{n} cycles", found.cycles)
    rate, least, most = (decimals(each) for each in (found.rate, found.least, found.most))
    spread = [tr("{least} to {most}", least=least, most=most)] if found.least != found.most else []
    a_minute = tr("{rate} cycles a minute", rate=rate)
    return (", ".join([a_minute, *spread, many]), ", ".join([rate, *spread]), rate)


def target_ways(found: Target) -> tuple[str, ...]:
    """The stroke rate that the set asks of the lane's leader at this distance."""
    wanted, now = found.wanted, (2 * found.rate + 1) // 2
    if wanted.start == wanted.end:
        return (tr("target {now}", now=now),)
    when = tr("now") if found.swimming else tr("first")
    return tr("target {now} {when}, {start} to {end}", now=now, when=when, start=wanted.start, end=wanted.end), tr(
        "target {now} {when}", now=now, when=when
    )


def length_ways(found: Length, unit: str) -> tuple[str, ...]:
    """What a counted length shows, the longest way first."""
    length = tr("{length} {unit} a cycle", length=decimals(found.length, 2), unit=unit)
    index, total = (
        tr("stroke index {index}", index=decimals(found.index, 2)),
        tr("time + strokes {seconds_and_strokes}", seconds_and_strokes=decimals(found.seconds_and_strokes)),
    )
    short = f"{decimals(found.length, 2)} {unit}, {index}, {total}"
    return (
        tr(
            "{length}, {index}, {total}, {rate} cycles a minute",
            length=length,
            index=index,
            total=total,
            rate=decimals(found.rate),
        ),
        f"{length}, {index}, {total}",
        short,
        f"{length}, {total}",
        length,
    )


class RateLeaf(Leaf):
    """One large key: tapped once a cycle, or at the start and the end of three."""

    follows = True

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self.lane, self.place, self.cycles = deck.hand, 0, 1
        self.taps: tuple[int, ...] = ()
        self.kept: Rated | None = None  # what was saved last, shown until the next tap

    @property
    def title(self) -> str:
        """Of which lane."""
        return tr("Stroke rate") if self.deck.hand is None else tr("Rate, {lane_name}", lane_name=self.deck.lane_name())

    def note(self) -> tuple[str, ...]:
        """The target, else what to do."""
        if self.deck.hand is None:
            return CHOOSE
        found = self._target()
        return (
            target_ways(found)
            if found is not None
            else (tr("tap once a stroke cycle, always at the same point"), tr("tap once a cycle"))
        )

    def _target(self) -> Target | None:
        return None if self.deck.hand is None else target(self.driver.run.timeline.tracks[self.deck.hand], self.at_ms)

    def _ticks(self) -> bool:
        return self.deck.hand is not None and self.deck.acts.sounds.tick_lane == self.deck.hand

    def stamp(self) -> Hashable:
        """What was tapped, and what can be chosen."""
        return self.deck.hand, self.place, self.cycles, self.taps, self.kept, self._ticks(), self._target() is not None

    def frame(self) -> None:
        """Save the taps when tapping has ended, or another lane is chosen."""
        if self.deck.hand != self.lane:
            self._keep()
            self.lane, self.place, self.kept = self.deck.hand, 0, None
        elif self.taps:
            idle_ms = self.at_ms - self.taps[-1]
            if idle_ms >= (LAST_STROKE_MS if self.cycles == 1 else FORGET_MS):
                self._keep()

    def leave(self) -> None:
        """Lose no taps."""
        self._keep()

    def _entry(self) -> Rated | None:
        """What the taps so far come to."""
        if self.lane is None or len(self.taps) < 2:
            return None
        return rated(self.lane, self.taps, swimmer=self.place, cycles=self.cycles)

    def _keep(self) -> None:
        """Save the taps, if they come to anything."""
        entry, self.taps = self._entry(), ()
        if entry is None:
            return
        told = self.driver.append(entry)
        self.kept = entry
        if not told:
            self.deck.took_down(
                entry, *(tr("stroke rate {way}", way=way) for way in rate_ways(entry)[:1]), tr("stroke rate")
            )
        self.deck.tell(
            *(told or tuple(tr("saved, {nth}: {way}", nth=nth(self.place), way=way) for way in rate_ways(entry)))
        )

    def build(self, column: Column, upright: bool) -> None:
        """The reading, the key to tap, and what can be chosen."""
        if self.deck.hand is None:
            return
        found = rating(entry) if (entry := self._entry() or (None if self.taps else self.kept)) is not None else None
        many = "" if found is None else tr_n("{n} cycle", "{n} cycles", found.cycles)
        spread = "" if found is None or found.least == found.most else f"{decimals(found.least)}–{decimals(found.most)}"
        column.row(
            Cell(
                "",
                ("–" if found is None else decimals(found.rate),),
                look="plain",
                scale=1.6,
                across="left",
                share=0.95,
            ),
            Cell("", (spread,), label=(many,), look="plain", bold=False, across="left", share=1.25),
            Cell("keep", (SAVE,), able=self._entry() is not None, share=0.9),
        )
        column.row(Cell("tap", self._tap_ways(), look="main", scale=1.3), height=1.4 * column.target)
        ticks = self._ticks()
        cells = (
            Cell("who", swimmer_ways(self.place)),
            Cell(
                "cycles",
                (tr("Time 3 cycles"), tr("3 cycles"))
                if self.cycles == 1
                else (tr("Each cycle"), tr("Time each cycle")),
                share=1.6,
            ),
            Cell("length", (tr("Count strokes"), tr("Strokes")), share=1.1),
            Cell(
                "tick",
                (tr("Beep at target rate"), tr("Tempo beep"), tr("Beep")),
                share=1.1,
                look="lit" if ticks else "key",
                able=ticks or self._target() is not None,
            ),
        )
        if upright:
            column.row(*cells)
        else:
            column.grid([cell._replace(share=1.0) for cell in cells], 2)

    def _tap_ways(self) -> tuple[str, ...]:
        if self.cycles == 1:
            return (tr("Tap once a cycle"),)
        return (tr("Tap to end 3 cycles"),) if self.taps else (tr("Tap to start 3 cycles"),)

    def press(self, name: str) -> None:
        """Tap, choose."""
        match name:
            case "tap":
                self._tap(self.deck.pressed_ms())
            case "keep":
                if self._entry() is None and self.kept is None:
                    self.deck.tell(tr("tap at least twice first"), tr("tap first"))
                self._keep()
            case "who":
                self.deck.open(PlaceLeaf(self.deck, self._who, self.place))
            case "cycles":
                self._keep()
                self.cycles = TIMED_CYCLES if self.cycles == 1 else 1
            case "length":
                self.deck.open(LengthLeaf(self.deck, self.place))
            case "tick":
                self._tick()

    def _tap(self, at_ms: int) -> None:
        if self.lane is None or (self.taps and at_ms - self.taps[-1] < BOUNCE_MS):
            return
        self.taps += (at_ms,)
        if self.cycles > 1 and len(self.taps) == 2:
            self._keep()

    def _who(self, place: int | None) -> None:
        self._keep()
        self.place, self.kept = place or 0, None

    def _tick(self) -> None:
        """Turn the lane's tick on or off."""
        deck = self.deck
        if self._ticks():
            deck.acts.sounds.tick_lane = None
        elif self._target() is None:
            deck.tell(tr("this set has no target rate"), tr("no target rate"))
        else:
            deck.acts.sounds.tick_lane = deck.hand
            deck.tell(
                tr("beeps while the leader of {lane_name} swims", lane_name=deck.lane_name()),
                tr("beeps for {lane_name}", lane_name=deck.lane_name()),
            )


class LengthLeaf(Leaf):
    """Strokes counted over a distance, and the time for it, typed one after another."""

    FIELDS = ("strokes", "distance", "time")

    def __init__(self, deck: Deck, place: int):
        super().__init__(deck)
        self._hand, self.place = deck.hand, place
        self._begin()

    def _begin(self) -> None:
        """Start with nothing counted; the distance is the pool's length."""
        length = self.driver.run.timeline.plan.pool.length
        self.field = "strokes"
        self.pads = {
            "strokes": Pad("strokes", None, time=False),
            "distance": Pad("distance", round(length), time=False),
            "time": Pad("time", None),
        }
        self.per_cycle = self._per_cycle()

    def _per_cycle(self) -> int:
        """Two strokes make a cycle, in breaststroke and butterfly one: as the leader swims now."""
        if self._hand is None:
            return 2
        track = self.driver.run.timeline.tracks[self._hand]
        index = track.index_at(self.at_ms)
        if index < 0:
            return 2
        works = track.pass_at(index).laneline.shapes[track.repeat_in_line(index)].works
        return 1 if all(work.stroke in ONE_ARM for work in works) else 2

    @property
    def title(self) -> str:
        """Whose."""
        return (
            tr("Strokes, {lane_name}", lane_name=self.deck.lane_name())
            if self._hand is None
            else tr("Strokes, {lane_name}, {nth}", lane_name=self.deck.lane_name(), nth=nth(self.place))
        )

    def note(self) -> tuple[str, ...]:
        """The result so far."""
        if self.deck.hand is None:
            return CHOOSE
        wrong = self.pads[self.field].wrong
        if wrong and self.pads[self.field].typed:
            return (wrong,)
        entry = self._entry()
        found = None if entry is None else counted(entry)
        return (
            (tr("enter strokes and time"), tr("strokes and time")) if found is None else length_ways(found, self._unit)
        )

    def stamp(self) -> Hashable:
        """Everything typed, and for whom."""
        if self.deck.hand != self._hand:
            self._hand, self.place = self.deck.hand, 0
            self._begin()
        return self._hand, self.place, self.field, self.per_cycle, tuple(self.pads.values())

    def _entry(self) -> LengthCounted | None:
        if self._hand is None or any(pad.wrong or not pad.number for pad in self.pads.values()):
            return None
        strokes, distance, time_ms = (self.pads[name].number or 0 for name in self.FIELDS)
        return LengthCounted(self.at_ms, self._hand, strokes, distance, time_ms // 10, self.per_cycle, self.place)

    def build(self, column: Column, upright: bool) -> None:
        """The three values, and the pad for the highlighted one."""
        if self.deck.hand is None:
            return
        fields = [
            Cell(
                name,
                (self._shown(name),),
                label=(name,),
                look="lit" if name == self.field else "key",
                share=0.65 + len(name) / 14,  # as wide as its name needs
            )
            for name in self.FIELDS
        ]
        cycle, take = (
            Cell("cycle", (KINDS[self.per_cycle],), lines=2, share=1.1),
            Cell("do", (SAVE,), look="main", able=self._entry() is not None, share=0.85),
        )
        share = 1.0 if upright else 0.7
        point, rub, digits = point_key(self.pads[self.field], share), erase_key(share), digit_keys()
        if upright:
            column.row(*fields, cycle, take)
            column.grid([*digits[:5], point, *digits[5:], rub], 6)
        else:
            column.row(*fields)
            column.grid(digits, 5)
            column.row(cycle, point, rub, take)

    def _shown(self, name: str) -> str:
        shown = self.pads[name].shown or "–"
        return f"{shown} {self._unit}" if name == "distance" else shown

    def press(self, name: str) -> None:
        """Choose a value, type, save."""
        if name in self.FIELDS:
            self.field = name
        elif name == "cycle":
            self.per_cycle = 3 - self.per_cycle
        elif name == "do":
            self._take()
        elif name.startswith("pad "):
            self.pads[self.field] = pressed(self.pads[self.field], name.removeprefix("pad "))

    def _take(self) -> None:
        entry = self._entry()
        length = None if entry is None else counted(entry)
        if entry is None or length is None:
            self.deck.tell(tr("enter strokes, distance and time first"), tr("enter all three first"))
            return
        told = self.driver.append(entry)
        ways = length_ways(length, self._unit)
        self.deck.tell(
            *(
                told
                or (
                    tr("saved, {nth}: {way}", nth=nth(self.place), way=ways[0]),
                    tr("saved: {way}", way=ways[1]),
                    *ways[1:],
                )
            )
        )
        if not told:
            self._begin()

    @property
    def _unit(self) -> str:
        return str(self.driver.run.timeline.plan.pool.unit)
