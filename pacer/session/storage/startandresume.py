"""Start a session that is saved, and resume one that was interrupted."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from pacer.language import tr
from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import Ended, Entry, TakenBack
from pacer.session.journal.recordentries import Record
from pacer.session.running.replay import REOPEN_MS, replay
from pacer.session.storage.keeper import Keeper, begin, carry_on
from pacer.session.storage.recovery import Recovery, recover
from pacer.session.storage.savedsession import Listed, session_of
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timesource import Now, now
from pacer.squad.squad import Absent
from pacer.timeline.timeline import Timeline


@dataclass(frozen=True, slots=True)
class SessionToRun:
    """A session to run: its timeline, the journal so far, its keeper, and what to tell the coach first.

    `recovery`: how it was found, None for a new session. `absent`: who of the squad was absent at its start. The
    caller must close `keeper`.
    """

    timeline: Timeline
    journal: tuple[Entry | Record, ...]
    keeper: Keeper
    told: tuple[str, ...] = ()
    recovery: Recovery | None = None
    absent: tuple[Absent, ...] = ()


def open_new(
    store: Store,
    timeline: Timeline,
    plan_text: str | None = None,
    *,
    name: str = "",
    absent: Iterable[Absent] = (),
    clock: Callable[[], Now] = now,
) -> SessionToRun:
    """Save a new session. Never fails: if it cannot be saved, it runs anyway, and `told` says why.

    A plan without a title is called `name`, as on the shelf. `absent`: who of the squad is not here.

    Run the timeline in the result: it is the one that will be found again.
    """
    told: tuple[str, ...] = ()
    try:
        told = store.open()
    except StoreTrouble as trouble:
        told = (tr("{trouble} The clock keeps running, but nothing is saved until that is fixed.", trouble=trouble),)
    session = session_of(timeline, plan_text, name, absent)
    return SessionToRun(session.timeline(), (), begin(store, session, clock=clock), told, absent=session.absentees)


def running(store: Store) -> Listed | None:
    """The session to ask about at the app's start: the last one, if it has not ended. Raises StoreTrouble."""
    latest = next(iter(store.sessions()), None)
    return latest if latest is not None and latest.begun_ms is not None and latest.ended_ms is None else None


def reopens(store: Store, instant: Now) -> Listed | None:
    """The session that ended last, if that was not long ago and no other has started since.

    Raises StoreTrouble.
    """
    latest = next((one for one in store.sessions() if one.begun_ms is not None), None)
    if latest is None or latest.ended_ms is None or not 0 <= instant.wall_ms - latest.ended_ms <= REOPEN_MS:
        return None
    return latest


def reopen(store: Store, number: int, *, clock: Callable[[], Now] = now) -> SessionToRun:
    """Open a session that was ended, with all lanes paused since its end.

    Raises as `open_again` does, and StoreTrouble if it is too late.
    """
    found = reopens(store, clock())
    if found is None or found.number != number:
        raise StoreTrouble(
            tr(
                "Too late to resume session {number}: it ended more than {reopen_ms} min ago, or another has started.",
                number=number,
                reopen_ms=REOPEN_MS // MINUTE_MS,
            )
        )
    keeper, kept = carry_on(store, number, clock=clock)
    try:
        run = replay(kept.session.timeline(), kept.journal)
        if not isinstance(run.by, Ended) or run.ended_ms is None:
            raise StoreTrouble(tr("Session {number} can't be resumed.", number=number))
        keeper.append(TakenBack(run.ended_ms, stopped=True, again=True))
    finally:
        written = keeper.close()
    if not written:
        raise StoreTrouble(
            tr(
                "Session {number} can't be resumed: saving failed. {trouble}", number=number, trouble=keeper.trouble
            ).strip()
        )
    return open_again(store, number, clock=clock)


def open_again(store: Store, number: int | None = None, *, clock: Callable[[], Now] = now) -> SessionToRun:
    """Resume a session as if it had never stopped; by default the last one, if it has not ended.

    If the last one has ended but can be resumed, as `reopen` does.

    Raises StoreTrouble if there is none or another pacer has it open, Unreadable or CannotRun if this version cannot
    run its plan.
    """
    told = store.open()
    if number is None:
        listed = running(store)
        if listed is None and (ended := reopens(store, clock())) is not None:
            return reopen(store, ended.number, clock=clock)
        if listed is None:
            raise StoreTrouble(tr("No session is running."))
        number = listed.number
    keeper, kept = carry_on(store, number, clock=clock)
    try:
        timeline = kept.session.timeline()
        recovery = recover(kept, clock(), timeline)
        if recovery is None:
            raise StoreTrouble(
                tr("Session {number} is over.", number=number)
                if kept.listed.ended_ms is not None
                else tr("Session {number} never started.", number=number)
            )
    except BaseException:
        keeper.close()
        raise
    keeper.append(recovery.entry)
    if recovery.doubtful:
        told += (
            tr("The time of day has changed since. If the tablet was restarted, check that the session time is right."),
        )
    journal = (*kept.journal, recovery.entry)
    return SessionToRun(timeline, journal, keeper, told + kept.lost, recovery, kept.session.absentees)


def end_again(store: Store, number: int, *, clock: Callable[[], Now] = now) -> None:
    """End an interrupted session, at the second at which it would be now. Raises as `open_again` does."""
    opened = open_again(store, number, clock=clock)
    assert opened.recovery is not None, "a session that is opened again has one"
    opened.keeper.append(Ended(opened.recovery.at_ms))
    if not opened.keeper.close():
        raise StoreTrouble(
            tr(
                "The end of session {number} could not be saved. {trouble}",
                number=number,
                trouble=opened.keeper.trouble,
            ).strip()
        )
