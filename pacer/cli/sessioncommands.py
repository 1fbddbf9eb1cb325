"""The commands that run a session, resume one, and show the log."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from pacer.cli.inputoutput import (
    FINE,
    STOPPED,
    UNREADABLE,
    CommandEnded,
    book_here,
    bytes_of,
    finding_text,
    plan_and_squad,
    print_json,
    read_named,
    say_squad,
    squad_of,
    timeline_for,
)
from pacer.cli.printednames import masked_json, printed_here
from pacer.language import tr
from pacer.plan.filetext import text_from_bytes
from pacer.plan.notation.planreader import pool_from_text, read_line
from pacer.plan.planlabels import labels_of
from pacer.plan.problem import Unreadable
from pacer.plan.words.ownwords import NO_WORDS
from pacer.review.season.ledger import forget_sums
from pacer.review.sessionlog import list_json, list_text, log_order, session_json, session_text
from pacer.session.storage.deleting import delete
from pacer.session.storage.hiding import hide, show_again
from pacer.session.storage.recovery import Recovery
from pacer.session.storage.startandresume import SessionToRun, end_again, open_again, open_new, reopens
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timesource import now
from pacer.squad.defaultsquad import default_squad
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.summary.planned import all_findings

if TYPE_CHECKING:
    from pacer.cli.textscreens import TextScreens
    from pacer.show.drive.driver import Driver

#: How long an entry may take to reach the disk before the coach is told that it is not saved yet.
TEXT_PATIENCE_S = 2.0


def run(options: argparse.Namespace) -> int:
    """`pacer run`: a plan, a quick set, or the session that is running."""
    store = Store()
    found = None if options.new else _running(store)
    if not options.plan and not options.line:
        if found is None:
            raise CommandEnded(
                tr('pacer run: name a plan or a quick set: pacer run --line "10 x 100 free on 1:40"'), UNREADABLE
            )
        if _carries_on(found, options.text):
            return _open(_again(store, found[0]), (), options)
        raise CommandEnded(tr("pacer run: name a plan or a quick set to start another session"), STOPPED)
    if options.line:
        squad = squad_of(options.squad) if options.squad else None
        pool = read_named(lambda: pool_from_text(options.pool), "--pool")
        plan = read_named(lambda: read_line(options.line, pool, squad.words if squad else NO_WORDS), "--line")
        squad = squad or default_squad(labels_of(plan))
    else:
        plan, squad = plan_and_squad(options)
    timeline = timeline_for(plan, squad)
    lost = "" if options.new or found is not None else _no_way_back(store)
    if lost and _asks(options.text):
        print(lost, file=sys.stderr)
        if not _yes(tr("Start it? yes, or no:") + " ", tr("pacer resume resumes the other one")):
            raise CommandEnded(tr("pacer resume resumes the other one"), STOPPED)
        lost = ""
    if found is not None:
        if _carries_on(found, options.text):
            return _open(_again(store, found[0]), (), options)
        _end(store, found[0])
    elif options.new and (left := _running(store)) is not None:
        _end(store, left[0])
    say_squad(squad)
    worth = all_findings(timeline)
    for finding in worth:
        if finding.severity <= Severity.WRONG:
            print(finding_text(finding, options.plan or "--line"), file=sys.stderr)
    written = None if options.line or options.plan == "-" else text_from_bytes(bytes_of(options.plan))
    name = "" if options.line or options.plan == "-" else Path(options.plan).stem
    opened = open_new(store, timeline, written, name=name)
    return _open(replace(opened, told=(*opened.told, lost) if lost else opened.told), worth, options)


# -- an interrupted session ------------------------------------------------------------------------------------


def _running(store: Store) -> tuple[int, Recovery] | None:
    """The session that was running when this device went off; None if there is none, or it is long over."""
    from pacer.show.drive.preparation import broken_off

    try:
        found = broken_off(store, now())
    except (StoreTrouble, Unreadable, CannotRun):
        return None  # a new session can still be run; it says what is wrong with the store
    return None if found is None or found[1].over else found


def _no_way_back(store: Store) -> str:
    """That the session that ended last can't be resumed once another starts; "" if it can't be anyway."""
    from pacer.show.wording.recoverytext import no_way_back

    instant = now()
    try:
        ended = reopens(store, instant)
    except StoreTrouble:
        return ""
    return "" if ended is None else no_way_back(ended, instant.wall_ms)


def _asks(text: bool) -> bool:
    """Whether somebody at a terminal can answer, and the session would begin there at once."""
    from pacer.face.kit.kivysetup import has_screen

    return sys.stdin.isatty() and (text or not has_screen())


def _yes(question: str, without_answer: str) -> bool:
    """Ask until the answer is yes or no."""
    while True:
        print(question, end="", file=sys.stderr, flush=True)
        answer = sys.stdin.readline()
        if not answer:
            raise CommandEnded(f"\n{without_answer}", STOPPED)
        said = answer.strip().casefold()
        if said and ("yes".startswith(said) or "no".startswith(said)):
            return "yes".startswith(said)


def _carries_on(found: tuple[int, Recovery], text: bool) -> bool:
    """Whether to resume it: the coach is asked in the terminal. Without a terminal, the window resumes it and says so;
    the text form ends and says what to type.
    """
    from pacer.face.kit.kivysetup import has_screen
    from pacer.show.wording.recoverytext import recall_words

    if not sys.stdin.isatty() and not text and has_screen():
        return True
    for heading, words in recall_words(found[1]):
        print(f"{heading}. {words}", file=sys.stderr)
    if not sys.stdin.isatty():
        raise CommandEnded(tr("pacer resume resumes it; pacer run --new ends it and starts another"), STOPPED)
    return _yes(tr("yes (resume) or no (end it):") + " ", tr("pacer resume resumes it"))


def _again(store: Store, number: int) -> SessionToRun:
    try:
        return open_again(store, number)
    except (StoreTrouble, Unreadable, CannotRun) as trouble:
        raise CommandEnded(
            tr("{trouble}\npacer run --new starts another session anyway", trouble=trouble), STOPPED
        ) from None


def _end(store: Store, number: int) -> None:
    """End it, if that can be saved; the new session runs in any case."""
    try:
        end_again(store, number)
    except (StoreTrouble, Unreadable, CannotRun) as trouble:
        print(trouble, file=sys.stderr)


def resume(_options: argparse.Namespace) -> int:
    """`pacer resume`: resume in the terminal."""
    try:
        opened = open_again(Store())
    except (StoreTrouble, Unreadable, CannotRun) as trouble:
        raise CommandEnded(tr("pacer resume: {trouble}", trouble=trouble), STOPPED) from None
    return _run_in_text(opened)


# -- in the window, or as text -------------------------------------------------------------------------------------


def _open(opened: SessionToRun, found: tuple[Finding, ...], options: argparse.Namespace) -> int:
    """Open the app on a session, or run it as text if asked to or if there is no screen."""
    from pacer.face.kit.kivysetup import has_screen, why_none

    text = options.text
    if not text and not has_screen():
        print(why_none())
        text = True
    return _run_in_text(opened, options.screens) if text else _run_on_glass(opened, found, options.screens)


def _run_on_glass(opened: SessionToRun, found: tuple[Finding, ...], screens: bool) -> int:
    from pacer.face.window.kivyapp import run_app
    from pacer.show.drive.journalwriter import OnDisk
    from pacer.show.wording.recoverytext import running_again

    plan, told = opened.timeline.plan, opened.told
    if opened.recovery is not None:
        told, found = (running_again(opened.recovery, plan.title), *told), ()
    try:
        run_app(
            plan,
            opened.timeline.squad,
            findings=found,
            timeline=opened.timeline,
            store=OnDisk(opened.keeper),
            journal=opened.journal,
            told=told,
            screens=screens,
        )
    finally:
        opened.keeper.close()
    return FINE


def _run_in_text(opened: SessionToRun, screens: bool = False) -> int:
    """Run a session in the terminal and keep its journal; a press is on disk before it is reported."""
    from pacer.cli.textform import run_in_text
    from pacer.show.drive.driver import Driver
    from pacer.show.drive.journalwriter import OnDisk

    for told in opened.told:
        print(told, file=sys.stderr)
    driver = Driver(opened.timeline, store=OnDisk(opened.keeper, TEXT_PATIENCE_S, wait=True), journal=opened.journal)
    beside = _screens(driver, opened.keeper.store.folder, screens)
    try:
        run_in_text(driver, beside=beside)
    except KeyboardInterrupt:
        print(tr("The session is still running. To resume it: pacer resume"))
    finally:
        if not opened.keeper.close():
            print(tr("not everything was saved: {trouble}", trouble=opened.keeper.trouble), file=sys.stderr)
    return FINE


def _screens(driver: Driver, folder: Path, wanted: bool) -> TextScreens | None:
    """Lane screens if they are wanted, or were on when the session was broken off."""
    from pacer.screens.screensfile import were_on

    if not wanted and not were_on(folder, driver.number):
        return None
    from pacer.cli.textscreens import TextScreens  # brings the server along

    return TextScreens(driver, folder, sys.stdout, book_here(quiet=True))


# -- the log
# ------------------------------------------------------------------------------------------------------------


def log(options: argparse.Namespace) -> int:
    """`pacer log`: the sessions, or one of them; hides one, shows it again, or deletes it."""
    store = Store()
    if (options.hide or options.show or options.delete) and options.session is None:
        raise CommandEnded(tr("pacer log: say which session, by its number"), UNREADABLE)
    try:
        for told in store.open():
            print(told, file=sys.stderr)
        if options.hide or options.show:
            (hide if options.hide else show_again)(store, options.session)
        if options.delete:
            delete(store, options.session)
            forget_sums(store)
            print(
                tr(
                    "Session {session} is deleted for good. Tablets that import this one's archive delete "
                    "it too; files that were exported before still have it.",
                    session=options.session,
                )
            )
        elif options.session is None:
            sessions = log_order(store.sessions(options.hidden))
            printed = printed_here(store, options.names)
            sessions = tuple(replace(one, title=printed(one.title)) for one in sessions)
            print_json(list_json(sessions)) if options.json else print(list_text(sessions))
        elif options.hide:
            print(
                tr(
                    "Session {session} is hidden and left out of all totals. pacer log {session} --show shows it.",
                    session=options.session,
                )
            )
        else:
            kept = store.session(options.session)
            printed = printed_here(store, options.names, [kept])
            if options.json:
                print_json(masked_json(session_json(kept, names=options.names), printed))
            else:
                print(printed(session_text(kept, names=options.names)))
    except StoreTrouble as trouble:
        raise CommandEnded(tr("pacer log: {trouble}", trouble=trouble), STOPPED) from None
    return FINE
