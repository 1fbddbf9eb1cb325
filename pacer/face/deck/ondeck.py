"""What the shell shows while the coach changes or records something: the sheet beside the view, and times on their
lanes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from pacer.face.clock.runningview import RunningView
from pacer.face.deck.deckhost import ShellForDeck
from pacer.face.deck.leaves.changeleaf import ChangeLeaf
from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.leaftable import opened
from pacer.face.deck.leaves.recordleaf import RecordLeaf
from pacer.face.deck.leaves.screensleaf import ScreensLeaf
from pacer.face.deck.sheet import Sheet
from pacer.face.deck.viewtags import Tags
from pacer.face.kit.ink import Box
from pacer.language import tr
from pacer.plan.decimals import decimals
from pacer.session.journal.recordentries import Rated, Record, Touched, Withdrawn
from pacer.session.records.entrytext import names_of
from pacer.session.records.headsandfeedback import summaries
from pacer.session.records.strokefigures import rating
from pacer.session.records.touches import Swim, due, touched
from pacer.show.drive.pressproposal import Proposal
from pacer.show.measure.keyrows import GAP_MM, TARGET_MM
from pacer.show.measure.messagetime import HINT_MS, SUM_UP_MS
from pacer.show.measure.presstime import CLOSED_MS
from pacer.show.wording.touchtext import time_ways
from pacer.show.wording.undotext import Undoing, undoing_record

if TYPE_CHECKING:
    from pacer.face.clock.sound import Sounds
    from pacer.screens.screensonoff import ScreenSwitch

ACROSS = 0.46  #: the sheet's share of the width, on a screen wider than high
UP = 0.5  #: its share of the height, on other screens
SUM_UP = (tr("How did it go?"),)

#: The leaves opened by keys of the bar.
FIRST: dict[str, type[Leaf]] = {"change": ChangeLeaf, "record": RecordLeaf, "screens": ScreensLeaf}


class OnDeck:
    """The sheet (None while there is none) and the tags of one running session."""

    def __init__(self, running: ShellForDeck):
        self.running = running
        self.deck = Deck(running.driver, self)
        self.sheet: Sheet | None = None
        self._shown = self._in_sight
        self._ended = running.driver.ended
        self._all_said: tuple[tuple, bool] = ((), False)  # a journal, and whether it has answers for every lane
        self._undoing: Undoing | None = None  # the record that the Undo key over the view is about
        self._over_ms: int | None = None  # since when the session is over, on the driver's clock
        self._closed: tuple[int, Sheet] | None = None  # the sheet that a key of the bar closed, and when
        self.tags = Tags(self, ground=(0, 0, 0, 0))
        running.add_widget(self.tags)
        self.lay_out()
        self.tags.dress(running.theme, running.glass)

    @property
    def view(self) -> RunningView | None:
        """The view in the window."""
        return self.running.view

    def now_ms(self) -> int:
        """The driver's clock."""
        return self.running.driver.now_ms()

    @property
    def _in_sight(self) -> tuple[str, int]:
        """The view in the window, and the lane that has it to itself."""
        return self.running.shown, self.running.lane if self.running.shown == "lane" else -1

    # -- the sheet ---------------------------------------------------------------------------------------

    def show(self, what: str) -> None:
        """Open the leaf of a key on the bar, or close the sheet if it shows that leaf.

        Changes from the bar are for all lanes.
        """
        made = FIRST[what]
        hand = None if what == "change" else self.running.hand
        same = self.deck.leaves and type(self.deck.leaves[0]) is made and hand == self.running.hand
        self._closed = (self.now_ms(), self.sheet) if same and self.sheet is not None else None
        self.put_away()
        if not same:
            self.running.take_in_hand(hand)
            self.open(made(self.deck))

    def show_lane(self) -> None:
        """Show what can be done with the chosen lane; an open leaf that only records switches to it, and says so."""
        if self.deck.leaves and not self.deck.leaf.follows:
            self.put_away_leaves()
        elif self.deck.leaves and not isinstance(self.deck.leaves[0], ChangeLeaf):
            self.deck.leaves[0] = ChangeLeaf(self.deck)  # Close leads to the lane's buttons
        if not self.deck.leaves:
            self.open(ChangeLeaf(self.deck))
        elif len(self.deck.leaves) > 1:
            now = tr("{title} now", title=self.deck.leaf.title)
            self.deck.tell(
                tr("{now}; press Close for its buttons", now=now),
                tr("{now}; Close first", now=now),
                now,
            )
        self._tick_sheet()

    def _tick_sheet(self) -> None:
        if self.sheet is not None:
            self.sheet.tick()

    def asks_about(self, lane: int) -> bool:
        """Whether the open leaf asks about one lane after another; then ask about this one."""
        asks = bool(self.deck.leaves) and self.deck.leaf.go_to(lane)
        if asks:
            self._tick_sheet()
        return asks

    def open(self, leaf: Leaf) -> None:
        """Put a leaf on the sheet."""
        self.deck.open(leaf)
        if self.sheet is None:
            self.sheet = Sheet(self.deck)
            self.running.add_widget(self.sheet)
            self.running.lay_out()
        self.sheet.tick()

    def back(self) -> None:
        """Go one leaf back."""
        self.deck.back()
        self._tick_sheet()

    def put_away_leaves(self) -> None:
        """Remove all leaves; the sheet stays."""
        self.deck.clear()

    def put_away(self) -> None:
        """Remove the sheet."""
        if self.sheet is not None:
            self.deck.clear()
            self.close()

    def meant_for_sheet(self, x: float, y: float) -> bool:
        """Whether a tap there was aimed at the sheet that has just closed; the coach is told."""
        since_ms, closed = self._closed or (0, None)
        if closed is None or self.sheet is not None or self.now_ms() - since_ms > CLOSED_MS:
            self._closed = None
            return False
        if not closed.collide_point(x, y):
            return False
        self.running.tell(tr("The buttons had just closed: tap again"), tr("tap again"), for_ms=HINT_MS)
        return True

    # -- what the leaves act through ---------------------------------------------------------------------

    @property
    def sounds(self) -> Sounds:
        """The session's sound."""
        return self.running.sounds

    @property
    def switch(self) -> ScreenSwitch:
        """What turns lane screens on."""
        return self.running.switch

    @property
    def touched_ms(self) -> int:
        """When the screen was last touched, on the driver's clock."""
        return self.running.touched_ms

    def chosen(self) -> int | None:
        """The chosen lane, None for all."""
        return self.running.chosen()

    def opened(self) -> None:
        """The lanes say no longer what the last press did: the coach has gone on."""
        self.running.foretelling.drop()

    def close(self) -> None:
        """Remove the sheet, whose last leaf has gone."""
        self.running.remove_widget(self.sheet)
        self.sheet = None
        self.running.take_in_hand(None)
        self.running.lay_out()

    def fill(self) -> None:
        """Show the chosen lane on the full screen."""
        lane = self.running.chosen()
        self.put_away()
        if lane is not None:
            self.running.fill(lane)

    # -- where the sheet is ------------------------------------------------------------------------------

    def left_of(self, whole: Box) -> Box:
        """The room above the bar that the sheet leaves to the view: left of it, or above it; or a strip for keys."""
        if self.sheet is None:
            return whole._replace(y=whole.y + self._strip, height=whole.height - self._strip)
        if self._upright(whole):
            high = round(UP * whole.height)
            return whole._replace(y=whole.y + high, height=whole.height - high)
        return whole._replace(width=whole.width - round(ACROSS * whole.width))

    @property
    def _strip(self) -> int:
        """The height below the view of keys that have no place over it."""
        return round((TARGET_MM + GAP_MM) * self.running.mm) if self.tags.wants_strip and self.sheet is None else 0

    @staticmethod
    def _upright(whole: Box) -> bool:
        return whole.height > whole.width

    def lay_out(self) -> None:
        """Lay out sheet and tags again."""
        running = self.running
        whole = running.room
        view = self.left_of(whole)
        self.tags.size_hint = (None, None)
        self.tags.strip = self._strip
        self.tags.pos, self.tags.size = (view.x, view.y - self._strip), (view.width, view.height + self._strip)
        self.tags.narrow = self.sheet is not None
        if self.sheet is not None:
            upright = self._upright(whole)
            self.sheet.size_hint = (None, None)
            self.sheet.pos = (whole.x, whole.y) if upright else (view.right, whole.y)
            self.sheet.size = (
                (whole.width, whole.height - view.height) if upright else (whole.right - view.right, whole.height)
            )
            self.sheet.lay_out(running.theme, running.glass, running.mm, upright)

    def frame(self, now_ms: int) -> None:
        """Keep both up to date; what was on a lane of one view is on no other view."""
        if self._in_sight != self._shown:
            self._shown = self._in_sight
            self.tags.leave_lanes()
        if self.running.driver.ended is not self._ended:
            self._ended = self.running.driver.ended
            if self._ended and self.deck.leaves and isinstance(self.deck.leaves[0], ChangeLeaf):
                self.put_away()  # there is nothing left to change
        if self._undoing is not None and self._is_past():
            self._offer_back(None)
        self.tags.tick(now_ms)
        self.tags.offer(SUM_UP if self._asks(now_ms) else ())
        if self.tags.strip != self._strip:
            self.running.lay_out()
        if self.sheet is not None:
            self.sheet.tick()
            if self.deck.leaves:
                self.running.frame_lane(self.deck.leaf.about)

    # -- after the session --------------------------------------------------------------------------------------

    def _asks(self, now_ms: int) -> bool:
        """Whether to ask over the view how it went.

        After the session has begun, and has run out or was ended, until every lane has its answers.
        """
        driver = self.running.driver
        if driver.running or (driver.at_ms() or -1) < 0:
            self._over_ms = None
        elif self._over_ms is None:
            self._over_ms = now_ms
        return (
            self._over_ms is not None
            and now_ms < self._over_ms + SUM_UP_MS
            and self.sheet is None
            and not driver.run.stopped
            and not self._is_all_said()
        )

    def _is_all_said(self) -> bool:
        driver = self.running.driver
        if self._all_said[0] is not driver.journal:
            said = summaries(driver.journal)
            self._all_said = (
                driver.journal,
                all(lane in said and said[lane].enough for lane in range(len(driver.run.timeline.tracks))),
            )
        return self._all_said[1]

    def sum_up(self) -> None:
        """Ask how it went."""
        self.put_away()
        self.open(opened(self.deck, "sum"))

    # -- undo --------------------------------------------------------------------------------------------------

    def changed(self, proposal: Proposal) -> None:
        """A change was made, which the bar's Undo can undo: nothing over the view offers that a second time."""
        self.running.foretelling.did(proposal)
        if isinstance(proposal.entry, Withdrawn):
            self.tags.leave_lanes(self.running.driver.journal[proposal.entry.entry - 1])
        self._offer_back(None)

    def took_down(self, entry: Record, ways: tuple[str, ...]) -> None:
        """A record was made that the next press undoes: a note, or a corrected or deleted time."""
        self._offer_back(undoing_record(entry, self.running.driver.journal, ways))

    def _offer_back(self, undoing: Undoing | None) -> None:
        """Offer to undo that over the view; None: nothing."""
        self._undoing = undoing
        if undoing is None:
            self.tags.changed(())
            return
        names = names_of(self.running.driver.run.timeline)
        lanes = range(len(names.lanes)) if undoing.lanes is None else undoing.lanes
        self.tags.changed(undoing.ways(names), lanes[0] if len(lanes) == 1 else None)

    def _is_past(self) -> bool:
        """Whether anything was pressed since the thing that can be undone."""
        last, undoing = self.running.driver.journal[-5:], self._undoing
        return (
            undoing is not None
            and bool(last)
            and last[-1] is not undoing.entry
            and any(entry is undoing.entry for entry in last)
        )

    def would_undo(self) -> tuple[str, ...]:
        """What comes back, said while the key is pressed."""
        return self.deck.ask_back().ways

    def tell_undo(self) -> None:
        """The same on the bar: over the lanes the key has no room for it."""
        self.running.tell(*self.would_undo())

    @property
    def asked(self) -> Proposal | None:
        """What the tile that is held down would do; None if none is."""
        return self.deck.asked

    def undo(self) -> None:
        """Undo it, and say so on the bar."""
        told = self.deck.take_back()
        self._offer_back(None)
        self.running.tell(*(told or (tr("undone"),)), for_ms=HINT_MS)

    # -- times ------------------------------------------------------------------------------------------------

    def due(self, lane: int) -> Swim | None:
        """The swim that a finger coming down now would end; None if nobody is due."""
        driver = self.running.driver
        at_ms = driver.at_ms()
        return None if at_ms is None or driver.ended else due(driver.run, driver.times, lane, at_ms)

    def arrival(self, lane: int) -> None:
        """A tap on a lane: the swimmer who is due touches."""
        driver = self.running.driver
        at_ms = driver.at_ms()
        if at_ms is None or driver.ended:
            return
        at_ms -= driver.now_ms() - self.running.touched_ms
        found = due(driver.run, driver.times, lane, at_ms)
        if found is None:
            self.tags.put(lane, (tr("nobody is due at the wall"), tr("nobody is due"), tr("nobody due")))
            return
        self._offer_back(None)
        entry = touched(found, at_ms)
        told = driver.append(entry)
        self.tags.put(lane, told or time_ways(driver.run, entry, driver.times), entry)

    def helped(self, entry: Touched | Rated, ways: tuple[str, ...]) -> None:
        """What a helper took: a time is on its lane and a tap corrects it, a stroke rate can be undone, as our own."""
        if isinstance(entry, Touched):
            self.tags.put(entry.lane, (*(f"{entry.source}: {way}" for way in ways), *ways), entry)
        elif (found := rating(entry)) is not None:
            self.deck.took_down(
                entry,
                tr("{source}: stroke rate {rate}", source=entry.source, rate=decimals(found.rate)),
                tr("stroke rate"),
            )

    def correct(self, entry: Touched) -> None:
        """Correct or delete a tapped time."""
        from pacer.face.deck.leaves.timeleaf import CorrectLeaf

        self.put_away()
        self.open(CorrectLeaf(self.deck, entry))
