"""What the sheet shows: a leaf, and the stack of leaves that the coach has opened. No Kivy."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from pacer.face.tiles.column import Cell
from pacer.language import tr
from pacer.plan.sentence import capitals
from pacer.plan.times import SECOND_MS
from pacer.session.journal.entries import Change, TakenBack
from pacer.session.journal.recordentries import Withdrawn
from pacer.session.records.entrytext import names_of
from pacer.session.running.presses import withdraw
from pacer.show.drive.deckchanges import Doubts
from pacer.show.drive.driver import Driver
from pacer.show.drive.pressproposal import Proposal
from pacer.show.measure.messagetime import SHEET_MS
from pacer.show.measure.presstime import ASK_MS, OLDEST_FINGER_MS
from pacer.show.wording.commonkeys import UNDO
from pacer.show.wording.undotext import undoing_record

if TYPE_CHECKING:
    from pacer.face.clock.sound import Sounds
    from pacer.face.tiles.column import Column
    from pacer.plan.text.textbuffer import TextBuffer
    from pacer.screens.screensonoff import ScreenSwitch
    from pacer.session.journal.entries import Entry, Lanes
    from pacer.session.journal.recordentries import Record

T = TypeVar("T")

LOOKED_AT = 50  #: the latest entries in which a change is looked for: more than are made while it is said

TAKE_BACK = "take back record"  #: the tile that undoes the last record

#: Answers a tile, by name: a long press shows the answer first and does it when let go.
NOTHING = Proposal(None, (tr("nothing to do here"),))


class Leaf:
    """One leaf. A subclass gives `title`, `build`, `press` and, for tiles to hold down, `long_presses` and `ask`."""

    #: Whether it switches to another lane whose number is tapped: what only records does. Else the lane's keys are
    #: shown, so that no key that changes the session is where another one was.
    follows = False
    undoes: tuple[type, ...] = ()  #: the kinds of records that its Undo undoes: those that are made or shown there
    draft: TextBuffer | None = None  #: a line to write in, above the tiles; Enter presses `do`

    def __init__(self, deck: Deck):
        self.deck = deck
        self._known: dict[Callable, tuple[tuple, Any]] = {}

    @property
    def title(self) -> str:
        """What it is about, at its head."""
        return ""

    @property
    def driver(self) -> Driver:
        """The session."""
        return self.deck.driver

    @property
    def at_ms(self) -> int:
        """Session time."""
        return self.driver.at_ms() or 0

    @property
    def about(self) -> int | None:
        """The lane that is framed meanwhile, None for none: the chosen one."""
        return self.deck.hand

    def go_to(self, lane: int) -> bool:
        """Switch to another lane whose number is tapped after the session; returns whether it does."""
        return False

    def of_journal(self, make: Callable[[tuple], T]) -> T:
        """What `make` finds in the journal; worked out once per new entry, so that every frame may ask."""
        journal = self.driver.journal
        known = self._known.get(make)
        if known is None or known[0] is not journal:
            known = self._known[make] = journal, make(journal)
        return known[1]

    def note(self) -> tuple[str, ...]:
        """What there is to know, in several ways, the longest first."""
        return ("",)

    def frame(self) -> None:
        """Another frame while it is on top: for leaves that change by themselves."""

    def stamp(self) -> Hashable:
        """What is shown depends on this: when it changes, the leaf is built again. Asked in every frame."""
        return None

    def long_presses(self) -> frozenset[str]:
        """Names of the tiles to keep pressed, because they change the session."""
        return frozenset()

    def build(self, column: Column, upright: bool) -> None:
        """Put the leaf's tiles into `column`."""
        raise NotImplementedError

    def press(self, name: str) -> None:
        """Do what a tile does that need not be kept pressed."""

    def ask(self, name: str) -> Proposal:
        """What a tile that is kept pressed would do."""
        return NOTHING

    def is_beside(self, name: str) -> bool:
        """Whether a tile that is kept pressed changes nothing in the journal: `press` does it then."""
        return False

    def doubts(self, name: str, proposal: Proposal) -> tuple[str, ...]:
        """What to say before its proposal is done, so that it has to be pressed twice; () if once is enough."""
        return ()

    def done(self, name: str) -> None:
        """Called after its proposal was done."""

    def leave(self) -> None:
        """Called when it leaves the sheet."""


class DeckActs(Protocol):
    """What the leaves act through: the sheet, and the shell around it."""

    @property
    def sounds(self) -> Sounds:
        """The session's sound."""

    @property
    def switch(self) -> ScreenSwitch:
        """What turns lane screens on."""

    @property
    def touched_ms(self) -> int:
        """When the screen was last touched, on the driver's clock."""

    def chosen(self) -> int | None:
        """The chosen lane, None for all."""

    def fill(self) -> None:
        """Show the chosen lane on the full screen."""

    def close(self) -> None:
        """Remove the sheet."""

    def opened(self) -> None:
        """A leaf was put on the sheet."""

    def changed(self, proposal: Proposal) -> None:
        """A change was made."""

    def took_down(self, entry: Record, ways: tuple[str, ...]) -> None:
        """A record was made that can be undone; `ways` say which."""


class Deck:
    """The leaves of one session: those opened, the last on top, and what the sheet's note says."""

    def __init__(self, driver: Driver, acts: DeckActs):
        self.driver, self.acts = driver, acts
        self.doubts = Doubts()  #: of the Undo of something old
        self._record: tuple[Record, tuple[str, ...]] | None = None  # the last record that can be undone, and its words
        self.leaves: list[Leaf] = []
        self.asked: Proposal | None = None  #: of the tile being pressed
        self._told: tuple[tuple[str, ...], int, int | None] | None = None  # what, until when, and of which lane
        self._did: Entry | Record | None = None  # of which change that is said
        self.changed = 0  #: goes up whenever the sheet has to be built again

    @property
    def hand(self) -> int | None:
        """The chosen lane; the only one if there is only one."""
        return 0 if self.one_lane else self.acts.chosen()

    @property
    def one_lane(self) -> bool:
        """Whether there is only one lane: it fills the screen anyway."""
        return len(self.driver.run.timeline.tracks) == 1

    @property
    def lanes(self) -> Lanes:
        """The chosen lane, as journal entries name it; None for all."""
        return None if self.hand is None else (self.hand,)

    @property
    def leaf(self) -> Leaf:
        """The leaf on top."""
        return self.leaves[-1]

    def lane_name(self) -> str:
        """`lane 4`, or `all lanes`."""
        return (
            tr("all lanes")
            if self.hand is None
            else tr("lane {number}", number=self.driver.run.timeline.lanes[self.hand].number)
        )

    # -- leaves ----------------------------------------------------------------------------------------

    def open(self, leaf: Leaf) -> None:
        """Put a leaf on top."""
        self.leaves.append(leaf)
        self._anew()
        self.acts.opened()

    def back(self) -> None:
        """Remove the leaf on top; the last one removes the sheet too."""
        self.leaves.pop().leave()
        self._anew()
        if not self.leaves:
            self.acts.close()

    def clear(self) -> None:
        """Remove all leaves."""
        while self.leaves:
            self.leaves.pop().leave()
        self._anew()

    def _anew(self) -> None:
        self.asked = self._told = None
        self.changed += 1

    # -- words ------------------------------------------------------------------------------------------

    def tell(self, *ways: str) -> None:
        """Say something in the sheet's note for a while."""
        self._told, self._did = (ways, self.driver.now_ms() + SHEET_MS, self.hand), None
        self.changed += 1

    def note(self) -> tuple[tuple[str, ...], bool]:
        """What the note says, and whether it answers the coach."""
        if self.asked is not None:
            return capitals(self.asked.ways), True
        told = self._told
        if told is not None and self.driver.now_ms() < told[1] and told[2] == self.hand and not self._is_past():
            return capitals(told[0]), True
        return capitals(self.leaf.note()), False

    def _is_past(self) -> bool:
        """Whether the session was changed again, or something undone, since the change that was said to be done."""
        if self._did is None:
            return False
        last = self.driver.journal[-LOOKED_AT:]
        places = [place for place, entry in enumerate(last) if entry is self._did]
        return bool(places) and any(
            isinstance(entry, Change | TakenBack | Withdrawn) for entry in last[places[0] + 1 :]
        )

    def stamp(self) -> Hashable:
        """What the sheet shows depends on it."""
        return self.changed, self.hand, self.note(), self.leaf.stamp()

    def press(self, name: str) -> None:
        """A tile was pressed that need not be held down: what was said of the tiles as they were is out of date."""
        self._told = None
        self.leaf.press(name)
        self.changed += 1

    # -- records -----------------------------------------------------------------------------------------------

    def took_down(self, entry: Record, *ways: str) -> None:
        """A record was made that the next press can undo; `ways` say which."""
        self._record = entry, ways
        self.acts.took_down(entry, ways)

    @property
    def has_record(self) -> bool:
        """Whether there is a record to undo on the leaf in front: of its kind, and of its lane."""
        if self._record is None or not isinstance(self._record[0], self.leaf.undoes):
            return False
        return self.hand is None or self._whose() is None or self.hand in (self._whose() or ())

    def _whose(self) -> Lanes:
        """The lanes that the last record is about; None for all."""
        return None if self._record is None else undoing_record(self._record[0], self.driver.journal, ()).lanes

    def take_back_cell(self) -> Cell:
        """The key that undoes the last record of the leaf."""
        return Cell(TAKE_BACK, (UNDO,), able=self.has_record)

    def ask_back_here(self) -> Proposal:
        """What that key would do."""
        return self.ask_back() if self.has_record else Proposal(None, (tr("nothing to undo"),))

    def ask_back(self) -> Proposal:
        """What undoing the last record would do, wherever it was made."""
        driver, record = self.driver, self._record
        entry = None if record is None else withdraw(driver.journal, record[0], driver.at_ms() or 0)
        if record is None or entry is None:
            return Proposal(None, (tr("nothing to undo"),))
        ways, lanes = [tr("undo “{way}”", way=way) for way in record[1]], self._whose()
        if lanes is not None and (self.hand is None or self.hand not in lanes):
            whose = names_of(driver.run.timeline).of(lanes)
            ways = [*(tr("undo, {whose}: “{way}”", whose=whose, way=way) for way in record[1]), *ways]
        return Proposal(entry, tuple(ways), driver.now_ms(), driver.run)

    def take_back(self) -> tuple[str, ...]:
        """Undo it at once. Returns what the coach has to be told; () if all is well."""
        told = self.driver.do(self.ask_back())
        if not told:
            self._record = None
            self.changed += 1
        return told

    # -- long presses ------------------------------------------------------------------------------------------

    def ask(self, name: str) -> None:
        """A tile is being pressed: say what it would do."""
        self.asked = self.leaf.ask(name)

    def renew(self, name: str) -> None:
        """It is still being pressed: update what it would do before that goes out of date."""
        if self.asked is not None and self.driver.now_ms() - self.asked.asked_ms >= ASK_MS:
            self.ask(name)

    def let_go(self, name: str = "") -> None:
        """It was let go too soon: keep what it would do on the screen."""
        asked, self.asked = self.asked, None
        if asked is None or asked.entry is None and not self.leaf.is_beside(name):
            self.tell(tr("Hold down"))
        else:
            self.tell(*(tr("{way} – hold down", way=way) for way in asked.ways), tr("Hold down"))

    def do(self, name: str) -> None:
        """It was pressed until full: do what was read, at the current instant if that comes to the same."""
        leaf, asked, self.asked = self.leaf, self.asked, None
        if leaf.is_beside(name):
            leaf.press(name)
            self.changed += 1
            return
        if asked is None or asked.entry is None:
            self.tell(*(asked or NOTHING).ways)
            self.acts.changed(asked or NOTHING)  # Undo would be about something older
            return
        fresh = leaf.ask(name)
        chosen = fresh if fresh.ways == asked.ways else asked
        told = leaf.doubts(name, chosen) or self.driver.do(chosen)
        if told:
            self.tell(*told)
        else:
            self._told = None
            self.acts.changed(chosen)
            leaf.done(name)
            if isinstance(chosen.entry, Withdrawn):
                self._record = None
                self.tell(tr("undone"))
            elif self._told is None:  # it has said nothing itself; it may have left the sheet
                self.tell(*map(_done, chosen.ways), tr("done"))
                self._did = chosen.entry
            self.changed += 1

    def pressed_ms(self) -> int:
        """Session time at which the finger that presses a tile came down.

        Anything timed counts from there. With a keyboard, now.
        """
        driver = self.driver
        ago = driver.now_ms() - self.acts.touched_ms
        return (driver.at_ms() or 0) - (ago if ago < OLDEST_FINGER_MS else 0)

    def second(self) -> int:
        """Whole seconds of the session, for leaves whose words change with them."""
        return (self.driver.at_ms() or 0) // SECOND_MS


def _done(way: str) -> str:
    """What was done, in words that said what would be.

    >>> _done("lane 4 leaves :10"), _done("undoes “lane 4: pause”: leaves :10")
    ('done: lane 4 leaves :10', 'undone “lane 4: pause”: leaves :10')
    """
    return (
        tr("undone {way}", way=way.removeprefix("undoes ")) if way.startswith("undoes ") else tr("done: {way}", way=way)
    )
