"""`pacer enter`: times that were taken without pacer, from a CSV file."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from pacer.cli.columnoptions import add_columns, read_asking
from pacer.cli.inputoutput import (
    FINE,
    STOPPED,
    UNREADABLE,
    CommandEnded,
    bytes_of,
    instant_of,
    plan_and_squad,
    read_named,
    say_squad,
    timeline_for,
)
from pacer.language import tr, tr_n
from pacer.plan.filetext import text_from_bytes
from pacer.plan.problem import Unreadable
from pacer.session.journal.recordentries import FROM
from pacer.session.storage.savedsession import KeptSession, session_of
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timesource import wall_ms
from pacer.show.drive.tablettime import zone_of
from pacer.squad.refusal import Refused
from pacer.timeline.findings import CannotRun


def add_enter(command: Callable[..., argparse.ArgumentParser]) -> None:
    """Add the command and its options."""
    from pacer.review.enter.timesfile import TIMES

    told = tr("enter times that were taken without pacer, from a CSV file, into a session of the log or a new one")
    made = command("enter", enter, told, plan=None)
    made.add_argument("times", metavar="TIMES", nargs="?", help=tr("the CSV file, - for standard input"))
    made.add_argument("--session", metavar="N", type=int, help=tr("the logged session that the times belong to"))
    made.add_argument("--plan", metavar="PLAN", help=tr("the plan of a session that ran without pacer"))
    made.add_argument(
        "--at", metavar="'YYYY-MM-DD HH:MM'", help=tr("when that session started, by this device's clock")
    )
    made.add_argument("--set", metavar="SET", default="", help=tr("which set, for times that don't say: 'Main set 2'"))
    made.add_argument("--partly", action="store_true", help=tr("enter the times that fit, and leave out the rest"))
    made.add_argument("--correct", action="store_true", help=tr("replace the log's time where yours differs"))
    made.add_argument("--undo", metavar="N", type=int, help=tr("undo the last entry of times into this session"))
    add_columns(made, TIMES)


def enter(options: argparse.Namespace) -> int:
    """Enter times, or undo that."""
    store = Store()
    try:
        for told in store.open():
            print(told, file=sys.stderr)
        if options.undo is not None:
            return _undo(store, options.undo)
        return _enter(store, options)
    except StoreTrouble as trouble:
        raise CommandEnded(tr("pacer enter: {trouble}", trouble=trouble), STOPPED) from None


def _enter(store: Store, options: argparse.Namespace) -> int:
    # Imported only here: no other command has to wait for it.
    from pacer.review.enter.enteredtimes import begin_without, entering, keep
    from pacer.review.enter.placedtimes import place_times, set_named
    from pacer.review.enter.timesfile import TIMES, read_times
    from pacer.review.swum.sessionreview import review_of

    if not options.times:
        raise CommandEnded(tr("pacer enter: name the CSV file with the times"), UNREADABLE)
    if (options.session is None) == (options.plan is None) or bool(options.plan) != bool(options.at):
        raise CommandEnded(tr("pacer enter: say which session: --session N, or --plan PLAN with --at"), UNREADABLE)
    said = tr("standard input") if options.times == "-" else options.times
    data = read_named(lambda: bytes_of(options.times), said)
    source = FROM + (tr("standard input") if options.times == "-" else Path(options.times).name)
    kept = store.session(options.session) if options.session is not None else _new(options, source)
    try:
        review = review_of(kept)
        if options.set:
            set_named(review, options.set)
    except (Unreadable, CannotRun):
        raise CommandEnded(
            tr("pacer enter: this version can't run the plan of session {session}", session=options.session), STOPPED
        ) from None
    except Refused as wrong:
        raise CommandEnded(tr("--set: {message}: {hint}", message=wrong.message, hint=wrong.hint), UNREADABLE) from None
    file = read_asking(options, TIMES, said, lambda known: read_times(data, known))
    placed = place_times(review, file, options.set)
    if placed.problems:
        print(Unreadable(list(placed.problems)).text(said), file=sys.stderr)
        if not options.partly:
            raise CommandEnded(tr("Nothing was entered. --partly enters the rest."), UNREADABLE)
    made = entering(kept, placed.times, source, options.correct)
    number = kept.listed.number
    if options.session is None:
        number = begin_without(store, _rows(options, source), made.entries)
    elif made.entries:
        keep(store, kept, made.entries, wall_ms())
    told = [tr("session {number}: {times} entered", number=number, times=_times(len(made.entries)))]
    told += [tr("{same} there already", same=made.same)] if made.same else []
    told += [tr("{other} left as the log has them (--correct changes them)", other=made.other)] if made.other else []
    print(", ".join(told))
    return FINE


def _new(options: argparse.Namespace, source: str) -> KeptSession:
    from pacer.review.enter.enteredtimes import kept_from

    return kept_from(_rows(options, source))


def _rows(options: argparse.Namespace, source: str):
    """The session that ran without pacer."""
    from pacer.review.enter.enteredtimes import rows_without

    begun_ms = instant_of(options.at)
    plan, squad = plan_and_squad(options)
    say_squad(squad)
    timeline = timeline_for(plan, squad)
    session = session_of(timeline, text_from_bytes(bytes_of(options.plan)))
    return rows_without(session, session.timeline(), begun_ms, zone_of(begun_ms), source)


def _undo(store: Store, number: int) -> int:
    from pacer.review.enter.enteredtimes import keep, undoing

    kept = store.session(number)
    entries = undoing(kept)
    if not entries:
        raise CommandEnded(tr("pacer enter: nothing left to undo in session {number}", number=number), STOPPED)
    keep(store, kept, entries, wall_ms())
    print(tr("session {number}: {times} undone", number=number, times=_times(len(entries))))
    return FINE


def _times(count: int) -> str:
    return tr_n("{n} time", "{n} times", count)
