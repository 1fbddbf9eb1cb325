"""Beginning a session that is kept, and carrying on with one that was broken off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import Ended, Entry, TakenBack
from pacer.session.journal.recordentries import Record
from pacer.session.running.run import REOPEN_MS, replay
from pacer.session.storage.keeper import Keeper, begin, carry_on
from pacer.session.storage.kept import Listed, session_of
from pacer.session.storage.recovery import Recovery, recover
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timesource import Now, now
from pacer.timeline.layout import Timeline


@dataclass(frozen=True, slots=True)
class Opened:
    """A session to run: its timeline, the journal so far, who keeps it, and what the coach should be told first.

    `recovery`: how it was found, None for a new one. Whoever opens it closes `keeper`.
    """

    timeline: Timeline
    journal: tuple[Entry | Record, ...]
    keeper: Keeper
    told: tuple[str, ...] = ()
    recovery: Recovery | None = None


def open_new(
    store: Store, timeline: Timeline, plan_text: str | None = None, *, clock: Callable[[], Now] = now
) -> Opened:
    """Keep a new session. Never fails: where nothing can be kept it is run all the same, and `told` says why.

    Run the timeline that is given back: it is the one that will be found again.
    """
    told: tuple[str, ...] = ()
    try:
        told = store.open()
    except StoreTrouble as trouble:
        told = (f"{trouble} Nothing is saved until that is fixed; the clock runs on.",)
    session = session_of(timeline, plan_text)
    return Opened(session.timeline(), (), begin(store, session, clock=clock), told)


def running(store: Store) -> Listed | None:
    """The session to ask about at the start: the last one, if it was begun and not ended. Raises StoreTrouble."""
    latest = next(iter(store.sessions()), None)
    return latest if latest is not None and latest.begun_ms is not None and latest.ended_ms is None else None


def reopens(store: Store, instant: Now) -> Listed | None:
    """The session that was ended last, where that was not long ago and no other was begun since.

    Raises StoreTrouble.
    """
    latest = next((one for one in store.sessions() if one.begun_ms is not None), None)
    if latest is None or latest.ended_ms is None or not 0 <= instant.wall_ms - latest.ended_ms <= REOPEN_MS:
        return None
    return latest


def reopen(store: Store, number: int, *, clock: Callable[[], Now] = now) -> Opened:
    """Resume a session that was ended, as if it had never stopped.

    Raises as `open_again` does, and StoreTrouble where it is too late.
    """
    found = reopens(store, clock())
    if found is None or found.number != number:
        raise StoreTrouble(
            f"Too late to resume session {number}: it ended more than {REOPEN_MS // MINUTE_MS} min ago, or another "
            "began."
        )
    keeper, kept = carry_on(store, number, clock=clock)
    try:
        run = replay(kept.session.timeline(), kept.journal)
        if not isinstance(run.by, Ended) or run.ended_ms is None:
            raise StoreTrouble(f"Session {number} can't be resumed.")
        keeper.append(TakenBack(run.ended_ms))
    finally:
        written = keeper.close()
    if not written:
        raise StoreTrouble(f"Session {number} can't be resumed: that could not be saved. {keeper.trouble}".strip())
    return open_again(store, number, clock=clock)


def open_again(store: Store, number: int | None = None, *, clock: Callable[[], Now] = now) -> Opened:
    """Carry on with a session, by default the last one where that was not ended or can be resumed, at the second where
    it would have been.

    Raises StoreTrouble where there is none or another pacer has it, Unreadable or CannotRun where its plan is not run
    any more.
    """
    told = store.open()
    if number is None:
        listed = running(store)
        if listed is None and (ended := reopens(store, clock())) is not None:
            return reopen(store, ended.number, clock=clock)
        if listed is None:
            raise StoreTrouble("No session is running.")
        number = listed.number
    keeper, kept = carry_on(store, number, clock=clock)
    try:
        timeline = kept.session.timeline()
        recovery = recover(kept, clock(), timeline)
        if recovery is None:
            raise StoreTrouble(
                f"Session {number} is over." if kept.listed.ended_ms is not None else f"Session {number} never began."
            )
    except BaseException:
        keeper.close()
        raise
    keeper.append(recovery.entry)
    if recovery.doubtful:
        told += ("The time of day has changed since. If the tablet was restarted, check the session against a clock.",)
    return Opened(timeline, (*kept.journal, recovery.entry), keeper, told + kept.lost, recovery)


def end_again(store: Store, number: int, *, clock: Callable[[], Now] = now) -> None:
    """A session that was broken off is over, at the second where it would have been. Raises as `open_again` does."""
    opened = open_again(store, number, clock=clock)
    assert opened.recovery is not None, "a session that is opened again has one"
    opened.keeper.append(Ended(opened.recovery.at_ms))
    if not opened.keeper.close():
        raise StoreTrouble(f"That session {number} is over could not be saved. {opened.keeper.trouble}".strip())
