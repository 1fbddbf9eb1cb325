"""The session that the face drives: its journal, the run that the journal makes, and what a press would do.

Every action has two steps: asking for it gives a `Proposal` that says what will happen (`leaves :35`), and `do` makes
exactly that happen. Nothing here knows Kivy; the clocks are passed in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Protocol, TypeVar

from pacer.language import tr
from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import Begun, Entry, Lanes, Matched, Stopped, Unit
from pacer.session.poolclock import WallTop
from pacer.session.running import presses
from pacer.session.running.replay import Run, apply, replay
from pacer.session.timesource import boot_id, boot_ms, boot_ns, wall_ms
from pacer.show.drive.ending import Ending
from pacer.show.drive.pressproposal import Proposal
from pacer.show.drive.sessionstart import SessionStart
from pacer.show.drive.takentimes import TakenTimes
from pacer.timeline.findings import CannotRun
from pacer.timeline.timeline import Timeline

if TYPE_CHECKING:
    from pacer.session.journal.recordentries import Record
    from pacer.session.records.overrun import Remedy
    from pacer.session.records.touches import TakenTime
    from pacer.session.running.outlook import Outlook
    from pacer.show.drive.overrunnews import OverrunNews
    from pacer.signal.clipschedule import Wanted
    from pacer.squad.squad import Absent


#: A proposal older than this is asked for again: what it says may no longer be true.
PROPOSAL_HOLDS_MS = 1_000


E = TypeVar("E", bound=Entry)

#: Asks about an entry given to the store: "" once it is safe, None before that, a reason if it takes too long.
Kept = Callable[[], str | None]


class Store(Protocol):
    """Keeps the journal on disk. It may have a `number`: the session's in the store."""

    def append(self, entry: Entry | Record) -> Kept | None:
        """Accept `entry` for saving; None if it is already safe. Raises OSError if it cannot be saved."""


class Driver(SessionStart, Ending):
    """One session in progress. Lanes are indexes in the squad's order; None means all of them."""

    def __init__(
        self,
        timeline: Timeline,
        *,
        now_ms: Callable[[], int] = boot_ms,
        wall_ms: Callable[[], int] = wall_ms,
        boot: Callable[[], str] = boot_id,
        store: Store | None = None,
        journal: Iterable[Entry | Record] = (),
        absent: Sequence[Absent] = (),
    ):
        self._now_ms, self._wall_ms, self._boot, self._store = now_ms, wall_ms, boot, store
        self.absent = tuple(absent)  #: who of the squad was absent when the session was started
        self.journal: tuple[Entry | Record, ...] = tuple(journal)
        self.run = replay(timeline, self.journal)
        self.matched = any(map(_matches, self.journal))  #: whether the session is synced to the pool clock
        self.top: WallTop | None = None  #: when the pool clock was seen to pass :00, in this session or an earlier one
        self.keep_top: Callable[[WallTop], None] = lambda top: None  #: called when that was seen again
        self.on_their_way: list[tuple[Entry | Record, Kept]] = []
        self._times = TakenTimes()
        self._overrun_news: OverrunNews | None = None
        self._asked: tuple[Run, Run, Run] | None = None

    # -- the state of the session ----------------------------------------------------------------

    def now_ms(self) -> int:
        """The time source's current instant."""
        return self._now_ms()

    def exact_ms(self) -> float:
        """The same with its fraction, if the time source has one: for other devices' clocks to go by."""
        return boot_ns() / 1e6 if self._now_ms is boot_ms else float(self._now_ms())

    def at_ms(self) -> int | None:
        """Session time now, negative before the session's zero; None before a start was set."""
        return None if self.run.begun is None else self.run.at_ms(self._now_ms())

    def wall_ms(self) -> int:
        """The current time of day, UTC."""
        return self._wall_ms()

    def clock_ms(self, now_ms: int) -> int:
        """What the pace clock shows at `now_ms`.

        Session time. Before a start is set, the pool clock; if that is not known, the clock is off and shows :00.
        """
        if self.run.begun is not None:
            return self.run.at_ms(now_ms)
        top = self._known_top(now_ms)
        return 0 if top is None else top.phase_ms(now_ms)

    def whose(self, now_ms: int) -> str:
        """Which clock that is: `wall` (the pool clock), `own` (the app clock), or `off`."""
        if self.run.begun is not None:
            return "wall" if self.matched else "own"
        return "off" if self._known_top(now_ms) is None else "wall"

    @property
    def boot(self) -> str:
        """What names the start of the machine that the time source counts from."""
        return self._boot()

    @property
    def number(self) -> int | None:
        """The session's number in the store; None while it is not there."""
        return getattr(self._store, "number", None)

    @property
    def ended(self) -> bool:
        """Whether the session was ended."""
        return self.run.ended_ms is not None

    @property
    def running(self) -> bool:
        """Whether a start is set and the session has neither been ended nor reached its last touch."""
        at_ms = self.at_ms()
        return at_ms is not None and not self.ended and (at_ms < self.run.timeline.end_ms or bool(self.run.paused()))

    # -- what an action would do -------------------------------------------------------------------

    def offer(self, make: Callable[[Run, int], Entry | None], *nothing: str) -> Proposal:
        """What the entry made by `make(run, at_ms)` would do. If it makes none, `nothing` says why."""
        from pacer.show.wording.forecasttext import ways_of  # not needed for the first picture

        at_ms = self._session_ms()
        if at_ms is None:
            return self._no_session()
        try:
            entry = make(self._by_times, at_ms)
        except CannotRun as refusal:
            return self._nothing(refusal.findings[0].message)
        if entry is None:
            return self._nothing(*nothing)
        told = self._told(entry)
        ways = ways_of(told, at_ms)
        return self._propose(entry, *ways, told=told) if told.changes else self._nothing(*ways)

    def _offer_in_words(
        self,
        make: Callable[[Run, int], E | None],
        words: Callable[[Run, Outlook], tuple[str, ...]],
        *nothing: str,
    ) -> Proposal:
        """The same, worded by `words(run, outlook)`."""
        at_ms = self._session_ms()
        if at_ms is None:
            return self._no_session()
        entry = make(self._by_times, at_ms)
        if entry is None:
            return self._nothing(*nothing)
        told = self._told(entry)
        if told.refused or not told.changes and told.run.ended_ms == self.run.ended_ms:  # an end is one at any time
            from pacer.show.wording.forecasttext import ways_of

            return self._nothing(*ways_of(told, at_ms))
        return self._propose(entry, *words(self.run, told), told=told)

    def _told(self, entry: Entry, run: Run | None = None) -> Outlook:
        """What an entry would do to the run, or to another; metres and the finish go by the times, as on the screen."""
        from pacer.session.running.outlook import outlook  # not needed for the first picture

        return outlook(run or self.run, entry, self._expected if self.times else lambda run: run)

    def _expected(self, run: Run) -> Run:
        """A run that may come, as it would be seen."""
        from pacer.session.records.expectedtimes import expected, paces

        return self.seen if run is self.run else expected(run, paces(run, self.times))

    @property
    def _by_times(self) -> Run:
        """The run to make an entry of: lanes leave again when they are back by their times, too.

        One and the same until either changes: what is worked out aside is asked for again by it.
        """
        run, seen = self.run, self.seen
        if seen is run:
            return run
        if self._asked is None or self._asked[0] is not run or self._asked[1] is not seen:
            self._asked = run, seen, replace(run, by_times=seen.timeline)
        return self._asked[2]

    def pause(self, lanes: Lanes = None) -> Proposal:
        """Pause the lanes from now on."""
        from pacer.show.wording.pressedtext import held_ways  # not needed for the first picture

        return self._offer_in_words(
            lambda run, at_ms: presses.pause(run, at_ms, lanes),
            held_ways,
            tr("nothing left to pause"),
            tr("nothing"),
        )

    def resume(self, lanes: Lanes = None) -> Proposal:
        """Let paused lanes leave at the next mark of the clock that gives them notice."""
        from pacer.show.wording.pressedtext import resumed_ways  # not needed for the first picture

        return self._offer_in_words(
            lambda run, at_ms: presses.resume(run, at_ms, lanes),
            resumed_ways,
            tr("no lane is paused"),
        )

    def stop_all(self) -> Proposal:
        """Pause every lane at once; also after the end, while it can be resumed: swimmers may still be out."""
        at_ms = self.at_ms() if self.reopens else self._session_ms()
        return (
            self._no_session() if at_ms is None else self._propose(Stopped(at_ms, again=True), tr("all lanes paused"))
        )

    def move(self, unit: Unit, step: int, lanes: Lanes = None) -> Proposal:
        """Send the lanes to the next (`step` 1) or previous (-1) repeat, line or section."""
        from pacer.show.wording.pressedtext import moved_ways  # not needed for the first picture

        where = tr("after") if step > 0 else tr("before")
        return self._offer_in_words(
            lambda run, at_ms: presses.move(run, at_ms, unit, step, lanes),
            moved_ways,
            tr("no {unit} {where} this one", unit=unit.said, where=where),
            tr("nothing {where}", where=where),
            tr("nothing"),
        )

    # -- doing it ------------------------------------------------------------------------------------

    def do(self, proposal: Proposal) -> tuple[str, ...]:
        """Make happen what `proposal` said, and return what the coach has to be told, the longest way first: () if all
        is well.

        A proposal that is too old, or made before the session changed, is not done.
        """
        if proposal.entry is None:
            return proposal.ways
        if proposal.run is not self.run or self.on_their_way or self._now_ms() - proposal.asked_ms > PROPOSAL_HOLDS_MS:
            return tr("The session moved on. Press again."), tr("press again")
        return self.append(proposal.entry)

    def append(self, entry: Entry | Record) -> tuple[str, ...]:
        """Save `entry`; it counts once it is on disk, which `settle` checks.

        Returns what the coach has to be told, as `do` does.

        An entry that could not be saved does not count, except stop all: that always counts, and at once.
        """
        kept = None
        if self._store is not None:
            try:
                kept = self._store.append(entry)
            except OSError as error:
                reason = error.strerror or str(error)
                if not isinstance(entry, Stopped):
                    return (
                        tr("not saved ({reason}): nothing changed", reason=reason),
                        tr("not saved: nothing changed"),
                        tr("nothing changed"),
                    )
                self._count(entry)
                return (
                    tr("all lanes paused, but not saved ({reason})", reason=reason),
                    tr("all lanes paused, not saved"),
                    tr("not saved"),
                )
        if isinstance(entry, Stopped):
            for earlier, _ in self.on_their_way:
                self._count(earlier)
            self.on_their_way.clear()
            self._count(entry)
        else:
            self.on_their_way.append((entry, kept or _safe))
        return self._settle()

    def settle(self) -> tuple[str, ...]:
        """Apply the entries that have reached the disk meanwhile, in order, and return what to tell the coach.

        Called once a frame. A late entry counts too, and the coach is told. A finish that runs over the booking is
        told once.
        """
        return self._settle() or self._told_of_overrun()

    def _settle(self) -> tuple[str, ...]:
        told: tuple[str, ...] = ()
        while self.on_their_way:
            entry, kept = self.on_their_way[0]
            late = kept()
            if late is None:
                break
            if late:
                told = (
                    tr("done, but not saved yet ({late})", late=late),
                    tr("done, but not saved yet"),
                    tr("not saved yet"),
                )
            del self.on_their_way[0]
            self._count(entry)
        return told

    @property
    def overrun_news(self) -> OverrunNews:
        """What the times taken predict; created when there are times, after the first picture."""
        if self._overrun_news is None:
            from pacer.show.drive.overrunnews import OverrunNews

            self._overrun_news = OverrunNews()
        return self._overrun_news

    def _told_of_overrun(self) -> tuple[str, ...]:
        if not self.times or self.run.begun is None:
            return ()
        at_ms = self._session_ms()
        if at_ms is None or at_ms < 0:
            return ()
        return self.overrun_news.news(self.run, self.seen, self.times, at_ms)

    def remedies(self) -> tuple[Remedy, ...] | None:
        """What would bring back a finish that the times show to be over; () if it is not, None until worked out."""
        at_ms = self._session_ms()
        return () if at_ms is None else self.overrun_news.remedies(self.run, self.seen, self.times, at_ms)

    def _count(self, entry: Entry | Record) -> None:
        self.journal += (entry,)
        self.matched = self.matched or _matches(entry)
        self.run = apply(self.run, entry)
        if isinstance(entry, Matched) and self.run.begun is not None:
            self.see_top(self.run.begun.boot_ms - entry.phase_ms)

    def see_top(self, boot_ms: int) -> None:
        """The pool clock passes :00 at `boot_ms` of the clock that never jumps, or whole minutes from it."""
        now_ms = self._now_ms()
        self.top = WallTop(now_ms - (now_ms - boot_ms) % MINUTE_MS, self._boot())
        self.keep_top(self.top)

    # -- times ---------------------------------------------------------------------------------------

    @property
    def times(self) -> tuple[TakenTime, ...]:
        """The times taken so far, with corrections."""
        return self._times.of(self.journal)

    @property
    def seen(self) -> Run:
        """The run to draw: its swimmers are where their times put them. What happens next goes by `run`."""
        return self._times.seen(self.journal, self.run)

    def at_wall(self, at_ms: int) -> tuple[frozenset[int], ...]:
        """By lane, the swimmers (numbers) who have touched on the swim that the prediction has them on.

        () if no time was ever taken.
        """
        return self._times.at_wall(self.journal, self.run, at_ms)

    def wanted(self, lanes: Iterable[int] = ()) -> tuple[Wanted, ...]:
        """The instants of session time to count down to, as `heard.wanted` has them."""
        from pacer.show.drive.soundplan import wanted  # not needed for the first picture

        return wanted(self.run, self.journal, lanes)

    # -- the parts -----------------------------------------------------------------------------------

    def _session_ms(self) -> int | None:
        return None if self.ended else self.at_ms()

    def _known_top(self, now_ms: int) -> WallTop | None:
        return self.top if self.top is not None and self.top.holds(now_ms, self._boot()) else None

    def _propose(self, entry: Entry, *ways: str, told: Outlook | None = None) -> Proposal:
        return Proposal(entry, tuple(dict.fromkeys(ways)), self._now_ms(), self.run, told)

    def _nothing(self, *why: str) -> Proposal:
        return Proposal(None, why)

    def _no_session(self) -> Proposal:
        if not self.ended:
            return self._nothing(tr("no session has started"), tr("not started"))
        back = [tr("the session is over; press Resume session first")] if self.reopens else []
        return self._nothing(*back, tr("the session is over"), tr("it is over"))


def _matches(entry: Entry | Record) -> bool:
    """Whether `entry` syncs the session to the pool clock."""
    return isinstance(entry, Matched) or isinstance(entry, Begun) and entry.phase_ms is not None


def _safe() -> str:
    return ""
