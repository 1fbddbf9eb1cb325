"""Times on deck: the latest ones, a time that a swimmer calls out, a correction. No Kivy.

Shown in tenths, stored in hundredths (World Aquatics SW 11).
"""

from __future__ import annotations

from collections.abc import Hashable
from itertools import islice

from pacer.face.deck.leaves.leaf import TAKE_BACK, Deck, Leaf
from pacer.face.deck.leaves.padtiles import short_pad_tiles
from pacer.face.deck.leaves.placeleaf import CHOOSE, PlaceLeaf, who_ways
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.numberpad import Pad, pressed
from pacer.language import tr
from pacer.session.journal.recordentries import Corrected, Touched
from pacer.session.records.touches import Swim, TakenTime, called, due, over, swim_of, tenths
from pacer.session.running.whereabouts import crew
from pacer.show.drive.pressproposal import Proposal
from pacer.show.wording.commonkeys import DELETE, SAVE
from pacer.show.wording.settext import line_words
from pacer.show.wording.touchtext import time_ways, value_ways
from pacer.show.wording.viewtext import nth, say

SHOWN = 12  #: how many of the latest times the sheet shows
REPEATS = 9  #: how many of the latest repeats a time may belong to


def which_ways(deck: Deck, found: Swim) -> tuple[str, ...]:
    """Which repeat a swim is: `repeat 3 of 4`; in a set of one, its distance."""
    track = deck.driver.run.timeline.tracks[found.lane]
    of = track.repeats_of(track.pass_at(found.index))
    if of == 1:
        return (str(found.distance),) if found.distance else (say("repeat", n=1, of=1),)
    return say("repeat", n=found.repeat, of=of), say("repeat short", n=found.repeat, of=of)


def set_ways(deck: Deck, found: Swim) -> tuple[str, ...]:
    """Which repeat of which set a swim is, the longest way first: `round 2, 4 × 50 kick, repeat 3 of 4`."""
    track = deck.driver.run.timeline.tracks[found.lane]
    each = track.pass_at(found.index)
    of, which = track.repeats_of(each), which_ways(deck, found)
    rounds = any(other.round > 1 for other in track.passes if other.section == each.section)
    round = [say("round open", n=each.round)] if rounds else []
    sets = line_words(each.laneline, of)
    if of == 1:  # the set's words have its distance
        return tuple(", ".join([*round, way]) for way in sets)
    told = [*((way, last) for last in which for way in sets[:-1]), *((sets[-1], last) for last in which)]
    return (*(", ".join([*round, *each]) for each in told), *which)


def taken_of(deck: Deck, lane: int, swimmer: int, left_ms: int) -> TakenTime | None:
    """This swim's time, None without one."""
    return next(
        (
            one
            for one in deck.driver.times
            if (one.touched.lane, one.touched.swimmer, one.touched.left_ms) == (lane, swimmer, left_ms)
        ),
        None,
    )


class TimesLeaf(Leaf):
    """The latest times of the chosen lane, or of all lanes, the newest first; tap one to correct it."""

    follows = True

    undoes = (Touched, Corrected)

    @property
    def title(self) -> str:
        """Of which lanes."""
        return tr("Times, {lane_name}", lane_name=self.deck.lane_name())

    def note(self) -> tuple[str, ...]:
        """What a tap does."""
        return (tr("tap a time to correct it"), tr("tap to correct")) if self._latest() else (tr("none taken yet"),)

    def stamp(self) -> Hashable:
        """The lane, and what was taken."""
        return self.deck.hand, len(self.driver.journal), self.deck.has_record

    def long_presses(self) -> frozenset[str]:
        """The key that undoes."""
        return frozenset((TAKE_BACK,))

    def ask(self, name: str) -> Proposal:
        """What it would do."""
        return self.deck.ask_back_here()

    def _latest(self) -> list[TakenTime]:
        hand = self.deck.hand
        return list(islice((one for one in reversed(self.driver.times) if hand in (None, one.touched.lane)), SHOWN))

    def build(self, column: Column, upright: bool) -> None:
        """A key for a called time, and the times."""
        column.keys(
            Cell("called", (tr("Enter a called time"), tr("Enter a time")), look="main"),
            self.deck.take_back_cell(),
            across=2,
        )
        run = self.driver.run
        for one in self._latest():
            entry = one.touched
            lane = tr("lane {number}", number=run.timeline.lanes[entry.lane].number)
            whose = [*([] if self.deck.hand is not None else [lane]), nth(entry.swimmer)]
            found = swim_of(run, entry)
            said = set_ways(self.deck, found) if found is not None else (tr("a time that was undone"), tr("undone"))
            column.row(
                Cell(
                    f"time {one.number}",
                    value_ways(run, entry, self.driver.times),
                    label=tuple(", ".join([*whose, way]) for way in said),
                    across="left",
                )
            )

    def press(self, name: str) -> None:
        """Type a time, or correct one."""
        if name == "called":
            self.deck.open(CalledLeaf(self.deck))
            return
        found = next((one for one in self.driver.times if f"time {one.number}" == name), None)
        if found is not None:
            self.deck.open(CorrectLeaf(self.deck, found.touched))


class CalledLeaf(Leaf):
    """A pad for a time that a swimmer calls out. Begins with the swimmer who is due, and moves on to the next."""

    follows = True

    def __init__(self, deck: Deck):
        super().__init__(deck)
        self._hand = deck.hand
        self.swim: Swim | None = None
        self._chosen = False  # whether the coach chose a swimmer or a repeat
        self.pad = self._fresh()
        self._look()

    @staticmethod
    def _fresh() -> Pad:
        return Pad("", None)

    @property
    def title(self) -> str:
        """Of which lane."""
        return tr("Called time, {lane_name}", lane_name=self.deck.lane_name())

    def note(self) -> tuple[str, ...]:
        """The time expected for the swim."""
        if self.deck.hand is None:
            return CHOOSE
        found = self.swim
        if found is None:
            return tr("no timed repeat yet"), tr("nothing to time yet")
        if self.pad.typed and self.pad.wrong:
            return (self.pad.wrong,)
        predicted = tr("expected {predicted}", predicted=tenths(round(found.predicted_ms / 10)))
        meant = predicted if found.hold_ms is None else tr("hold {hold}", hold=tenths(round(found.hold_ms / 10)))
        ways = tr("called out by a swimmer or a helper; {meant}", meant=meant), meant
        return ways if found.hold_ms is None else (*ways, predicted)

    def stamp(self) -> Hashable:
        """The swim and the pad."""
        self._look()
        return self._hand, self.swim, self.pad

    def _look(self) -> None:
        """Show the swim that is due, until something is chosen or typed."""
        hand = self.deck.hand
        if hand != self._hand:
            self._hand, self.swim, self._chosen, self.pad = hand, None, False, self._fresh()
        if hand is None or self._chosen or self.pad != self._fresh():
            return
        driver = self.driver
        found = due(driver.run, driver.times, hand, self.at_ms)
        if found is not None or self.swim is None:
            self.swim = found or self._latest(0)

    def _latest(self, swimmer: int, index: int | None = None) -> Swim | None:
        """The swimmer's swim on repeat `index`; the latest if there is none, or if `index` is None."""
        if self._hand is None:
            return None
        run = self.driver.run
        who = crew(run.timeline, self._hand, self.at_ms)[swimmer : swimmer + 1]
        swims = [swim for number in who for swim in islice(over(run, self._hand, number, self.at_ms), REPEATS)]
        return next((each for each in swims if each.index == index), swims[0] if swims else None)

    def build(self, column: Column, upright: bool) -> None:
        """Who, which repeat, and the pad."""
        if self.swim is None:
            return
        lead = (
            Cell("who", who_ways(self.swim.swimmer), share=0.9),
            Cell("which", which_ways(self.deck, self.swim), share=1.4),
        )
        short_pad_tiles(
            self.pad, column, upright, lead, Cell("do", (SAVE,), share=1.4, look="main", able=not self.pad.wrong)
        )

    def press(self, name: str) -> None:
        """Choose, type, save."""
        if name == "who" and self.swim is not None:
            self.deck.open(PlaceLeaf(self.deck, self._who, self.swim.swimmer))
        elif name == "which" and self.swim is not None:
            self.deck.open(RepeatLeaf(self.deck, self, self.swim))
        elif name == "do":
            self._take()
        elif self.swim is not None:
            self.pad = pressed(self.pad, name.removeprefix("pad "))

    def _who(self, place: int | None) -> None:
        before = self.swim
        found = (
            None
            if self._hand is None or place is None
            else self._latest(place, None if before is None else before.index)
        )
        if found is None:
            self.deck.tell(tr("that swimmer has no repeat to time yet"), tr("nothing to time yet"))
        else:
            self.choose(found)

    def choose(self, found: Swim) -> None:
        """The time belongs to this swim."""
        self.swim, self._chosen = found, True

    def _take(self) -> None:
        """Save the time; a swim that already has one gets it corrected."""
        pad, found, at_ms = self.pad, self.swim, self.at_ms
        if pad.wrong or not pad.number or found is None:
            self.deck.tell(pad.wrong or tr("too short to be a time"))
            return
        time_cs, gone_ms = pad.number // 10, at_ms - found.left_ms
        if 10 * time_cs > gone_ms + 1_000:  # a second for a thumb on the pad
            gone = tenths(gone_ms // 10)
            self.deck.tell(
                tr("not yet: {nth} left {gone} ago", nth=nth(found.swimmer), gone=gone),
                tr("left {gone} ago", gone=gone),
            )
            return
        there = taken_of(self.deck, found.lane, found.swimmer, found.left_ms)
        entry = called(found, at_ms, time_cs)
        right = None if there is None else Corrected(at_ms, there.number, time_cs)
        told = self.driver.append(right or entry)
        self.deck.tell(*(told or time_ways(self.driver.run, entry, self.driver.times)))
        if told:
            return
        if right is not None:
            self.deck.took_down(right, *_put_right_ways(right, entry))
        self.pad = self._fresh()
        following = self._latest(found.swimmer + 1, found.index) if self._chosen else None
        self._chosen = following is not None and following.index == found.index
        self.swim = following if self._chosen else None
        self._look()


def _put_right_ways(right: Corrected, entry: Touched) -> tuple[str, ...]:
    """The correction: whose time is deleted, or what it is now."""
    if right.time_cs is None:
        return tr("{nth} {time} deleted", nth=nth(entry.swimmer), time=tenths(entry.time_cs)), tr("deleted")
    return tr("{nth} is {time}", nth=nth(entry.swimmer), time=tenths(right.time_cs)), tenths(right.time_cs)


class RepeatLeaf(Leaf):
    """The repeats that a called time may belong to, the latest first."""

    follows = True

    def __init__(self, deck: Deck, called_leaf: CalledLeaf, found: Swim):
        super().__init__(deck)
        self._called, self._swim = called_leaf, found
        self._swims = {
            f"swim {each.index}": each
            for each in islice(over(deck.driver.run, found.lane, found.who, self.at_ms), REPEATS)
        }

    @property
    def title(self) -> str:
        """Whose."""
        return tr("Which time, {nth}?", nth=nth(self._swim.swimmer))

    def note(self) -> tuple[str, ...]:
        """In which order."""
        return tr("newest first"), ""

    def build(self, column: Column, upright: bool) -> None:
        """A key for each."""
        chosen = self._swim.index
        cells = []
        for name, each in self._swims.items():
            ways = which_ways(self.deck, each)
            label = (str(each.distance),) if each.distance and len(ways) > 1 else ()
            cells.append(Cell(name, ways[-1:], label=label, look="lit" if each.index == chosen else "key"))
        column.grid(cells, 4 if upright else 3)

    def press(self, name: str) -> None:
        """Choose one."""
        self.deck.back()
        self._called.choose(self._swims[name])


class CorrectLeaf(Leaf):
    """A time that was taken: type the right one, or delete it."""

    def __init__(self, deck: Deck, touched: Touched):
        super().__init__(deck)
        self.touched = touched
        self._pad = self.pad = Pad("", (touched.time_cs + 5) // 10 * 100)

    @property
    def title(self) -> str:
        """Whose time."""
        entry = self.touched
        return tr(
            "Lane {number}, {nth}", number=self.driver.run.timeline.lanes[entry.lane].number, nth=nth(entry.swimmer)
        )

    def note(self) -> tuple[str, ...]:
        """What it says now."""
        if self.pad.typed and self.pad.wrong:
            return (self.pad.wrong,)
        return tuple(
            tr("saved: {way}", way=way) for way in value_ways(self.driver.run, self.touched, self.driver.times)
        )

    def stamp(self) -> Hashable:
        """The pad."""
        return self.pad

    def build(self, column: Column, upright: bool) -> None:
        """The pad, and a key to delete it."""
        lead = (Cell("strike", (DELETE,)),)
        short_pad_tiles(self.pad, column, upright, lead, Cell("do", (SAVE,), look="main", able=not self.pad.wrong))

    def press(self, name: str) -> None:
        """Type, correct, delete."""
        if name == "strike":
            self._correct(None)
        elif name == "do":
            pad = self.pad
            if pad.wrong or not pad.number:
                self.deck.tell(pad.wrong or tr("too short to be a time"))
            elif pad == self._pad:
                self.deck.back()
            else:
                self._correct(pad.number // 10)
        else:
            self.pad = pressed(self.pad, name.removeprefix("pad "))

    def _correct(self, time_cs: int | None) -> None:
        deck, entry = self.deck, self.touched
        found = taken_of(deck, entry.lane, entry.swimmer, entry.left_ms)
        right = None if found is None else Corrected(self.at_ms, found.number, time_cs)
        told = (tr("that time was deleted"),) if right is None else self.driver.append(right)
        if told or right is None:
            deck.tell(*told)
            return
        deck.back()
        deck.took_down(right, *_put_right_ways(right, entry))
        if deck.leaves:
            deck.tell(tr("deleted") if time_cs is None else tr("changed to {time}", time=tenths(time_cs)))
