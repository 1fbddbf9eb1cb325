"""Times that a coach enters after a session: typed on its timeline, or from a file. No Kivy."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.problem import Unreadable
from pacer.plan.text.standardform import write_line
from pacer.review.enter.enteredtimes import begin_without, entering, keep, ran_without, rows_without, undoing
from pacer.review.enter.placedtimes import Placed, PlacedTime, SetKey, place_times, set_name, timed_swims
from pacer.review.enter.timesfile import TIMES, TimesFile, read_times
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.swum.sessionreview import Review, review_of
from pacer.review.swum.swims import Swum
from pacer.session.journal.recordentries import BY_HAND, FROM, Corrected, Touched
from pacer.session.storage.savedsession import KeptSession, session_of
from pacer.session.storage.store import Store, StoreTrouble
from pacer.show.drive.tablettime import zone_of
from pacer.squad.register.columnmemory import ColumnMemory
from pacer.squad.squad import Squad
from pacer.timeline.findings import CannotRun
from pacer.timeline.timeline import Timeline


class SetRow(NamedTuple):
    """A set of a lane: its key, what it is called, how many of its times there are, of how many."""

    key: SetKey
    text: str
    times: int
    of: int


class SwimmerRow(NamedTuple):
    """A swimmer on a set: their name or place, and their swims in order."""

    who: int
    name: str
    swims: tuple[Swum, ...]


class EnteringTimes:
    """Times entered into session `number` of `store`; `wall_ms()` is now. Raises StoreTrouble."""

    def __init__(self, store: Store, number: int, wall_ms: Callable[[], int]):
        self.store, self.number, self.wall_ms = store, number, wall_ms
        self.memory = ColumnMemory(store.folder)
        self.kept: KeptSession
        self.review: Review
        self.swims: tuple[Swum, ...] = ()
        self.read()

    def read(self) -> None:
        """Read the session again. Raises StoreTrouble."""
        self.kept = self.store.session(self.number)
        try:
            self.review = review_of(self.kept)
        except (Unreadable, CannotRun):
            raise StoreTrouble(tr("This version can't run the session's plan: no times can be entered.")) from None
        self.swims = timed_swims(self.review)

    # -- what there is ------------------------------------------------------------------------------------

    @property
    def lanes(self) -> tuple[int, ...]:
        """The lanes (by index) that swam."""
        return tuple(sorted({swim.lane for swim in self.swims}))

    def sets(self, lane: int) -> tuple[SetRow, ...]:
        """A lane's sets, in their order."""
        found: dict[SetKey, list[Swum]] = {}
        for swim in self.swims:
            if swim.lane == lane:
                found.setdefault((swim.section, swim.line), []).append(swim)
        return tuple(
            SetRow(key, self._text(key, swims[0]), sum(swim.time_ms is not None for swim in swims), len(swims))
            for key, swims in sorted(found.items())
        )

    def all_sets(self) -> tuple[tuple[SetKey, str], ...]:
        """The sets that any lane swam and that can be timed, with what they are called."""
        first: dict[SetKey, Swum] = {}
        for swim in self.swims:
            first.setdefault((swim.section, swim.line), swim)
        return tuple((key, self._text(key, swim)) for key, swim in sorted(first.items(), key=lambda row: row[0]))

    def _text(self, key: SetKey, swim: Swum) -> str:
        return ReviewNames(self.review).set(*key, " ".join(write_line(swim.laneline.line).split()))

    def rows(self, lane: int, key: SetKey) -> tuple[SwimmerRow, ...]:
        """The swimmers of a lane on a set."""
        found: dict[int, list[Swum]] = {}
        for swim in self.swims:
            if swim.lane == lane and (swim.section, swim.line) == key:
                found.setdefault(swim.who, []).append(swim)
        called = ReviewNames(self.review, names=True)
        return tuple(
            SwimmerRow(who, called.short(who), tuple(sorted(swims, key=lambda swim: swim.left_ms)))
            for who, swims in sorted(found.items(), key=lambda row: (row[1][0].place, row[0]))
        )

    def after(self, lane: int, key: SetKey, swim: Swum) -> Swum | None:
        """The swim to type next: the next swimmer's on the same repeat, then the first of the next repeat."""
        rows = self.rows(lane, key)
        order = [
            row.swims[repeat]
            for repeat in range(max(len(row.swims) for row in rows))
            for row in rows
            if repeat < len(row.swims)
        ]
        at = next(at for at, one in enumerate(order) if (one.who, one.left_ms) == (swim.who, swim.left_ms))
        return next((one for one in order[at + 1 :] if one.time_ms is None), None)

    @property
    def without_pacer(self) -> bool:
        """Whether the session ran without pacer."""
        return ran_without(self.kept)

    # -- actions --------------------------------------------------------------------------------------------

    def enter(self, swim: Swum, time_cs: int | None) -> None:
        """Keep a typed time of a swim; None deletes the one that is there. Raises StoreTrouble."""
        if time_cs is None:
            at_ms = self.kept.lines[-1].entry.at_ms
            entries: tuple[Touched | Corrected, ...] = (
                (Corrected(at_ms, swim.entry, None, BY_HAND),) if swim.entry else ()
            )
        else:
            entries = entering(self.kept, [PlacedTime(swim, time_cs)], BY_HAND, correct=True).entries
        if entries:
            keep(self.store, self.kept, entries, self.wall_ms())
            self.read()

    @property
    def can_undo(self) -> bool:
        """Whether something was typed that is not undone."""
        return bool(undoing(self.kept))

    def undo(self) -> int:
        """Undo what was typed last; how many times that was. Raises StoreTrouble."""
        entries = undoing(self.kept)
        if entries:
            keep(self.store, self.kept, entries, self.wall_ms())
            self.read()
        return len(entries)

    # -- from a file ------------------------------------------------------------------------------------------

    def times_in(self, data: bytes) -> TimesFile:
        """The times of a file. Raises Unreadable, and UnknownColumns where the coach has to be asked first."""
        return read_times(data, self.memory.known(TIMES))

    def place(self, file: TimesFile, key: SetKey) -> Placed:
        """Where they belong; those that say no set are of set `key`."""
        return place_times(self.review, file, set_name(self.review, key))

    def take(self, placed: Placed, name: str) -> tuple[int, int]:
        """Keep what was placed from a file of that name: how many are new, and how many differ from what is there.

        Those stay as they are. Raises StoreTrouble.
        """
        made = entering(self.kept, placed.times, FROM + name)
        if made.entries:
            keep(self.store, self.kept, made.entries, self.wall_ms())
            self.read()
        return len(made.entries), made.other

    def learn(self, answers: Mapping[str, str]) -> None:
        """Remember what columns mean. Raises OSError."""
        self.memory.learn(TIMES, answers)


def session_without(store: Store, timeline: Timeline, plan_text: str, begun_ms: int) -> int:
    """Put a session into the log that ran without pacer, as it was written. Its number. Raises StoreTrouble."""
    session = session_of(timeline, plan_text)
    return begin_without(store, rows_without(session, session.timeline(), begun_ms, zone_of(begun_ms), BY_HAND))


def timeline_of(plan_text: str, squad: Squad) -> Timeline:
    """The session of a plan with those who were there. Raises Unreadable, CannotRun."""
    from pacer.plan.notation.planreader import read_plan
    from pacer.timeline.summary.planned import planned

    return planned(read_plan(plan_text, squad.words), squad)[0]
