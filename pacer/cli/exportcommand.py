"""`pacer export`: what was swum, in open formats."""

from __future__ import annotations

import argparse
import contextlib
import json
import sys
from collections.abc import Callable
from pathlib import Path

from pacer.cli.inputoutput import (
    FINE,
    STOPPED,
    UNREADABLE,
    CommandEnded,
    instant_of,
    names_option,
    plan_and_squad,
    timeline_for,
    write_file,
)
from pacer.language import tr
from pacer.plan.filetext import text_from_bytes
from pacer.plan.problem import Unreadable
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timesource import wall_ms


def add_export(command: Callable[..., argparse.ArgumentParser]) -> None:
    """Add the command and its options."""
    told = tr("write what was swum, in open formats; swimmers' names only with --names")
    made = command("export", export, told, plan=None)
    made.add_argument("sessions", metavar="N", nargs="*", type=int, help=tr("only these sessions (all)"))
    made.add_argument(
        "--csv", metavar="FOLDER", help=tr("a CSV file for each table: sessions, sets, repeats, times, …")
    )
    made.add_argument("--json", metavar="FILE", help=tr("write all tables as one JSON object; - for standard output"))
    made.add_argument("--schema", action="store_true", help=tr("print the JSON's schema"))
    made.add_argument(
        "--ics", metavar="FILE", help=tr("a calendar of the sessions, of plans with a date, and of --plan")
    )
    made.add_argument("--plan", metavar="PLAN", help=tr("a plan for the calendar"))
    made.add_argument("--at", metavar="'YYYY-MM-DD HH:MM'", help=tr("when that plan is swum, by this device's clock"))
    made.add_argument("--archive", metavar="FILE", help=tr("everything, plans, squads and drills too, as one zip file"))
    names_option(made)


def export(options: argparse.Namespace) -> int:
    """Write the files asked for, and print where they are."""
    # Imported here so that no other command has to wait for it.
    from pacer.review.exports.csvfiles import csv_files
    from pacer.review.exports.exporttables import exported
    from pacer.review.exports.jsonexport import SCHEMA_FILE, export_json

    if options.schema:
        sys.stdout.write(SCHEMA_FILE.read_text(encoding="utf-8"))
        return FINE
    if not (options.csv or options.json or options.ics or options.archive):
        raise CommandEnded(tr("pacer export: say what to write: --csv, --json, --ics or --archive"), UNREADABLE)
    if bool(options.plan) != bool(options.at):
        raise CommandEnded(tr("pacer export: --plan and --at go together"), UNREADABLE)
    store = Store()
    try:
        for told in store.open():
            print(told, file=sys.stderr)
        numbers = options.sessions or sorted(listed.number for listed in store.sessions())
        sessions = [exported(store.session(number)) for number in numbers]
    except StoreTrouble as trouble:
        raise CommandEnded(tr("pacer export: {trouble}", trouble=trouble), STOPPED) from None
    if options.csv:
        for name, data in csv_files(sessions, options.names).items():
            write_file(Path(options.csv) / name, data)
    if options.json:
        text = json.dumps(export_json(sessions, options.names), ensure_ascii=False, indent=1) + "\n"
        _write_or_print(options.json, text)
    if options.ics:
        _write_or_print(options.ics, _calendar(options, sessions, Path(store.folder)))
    if options.archive:
        write_file(Path(options.archive), _archive(options, sessions, Path(store.folder)))
    return FINE


def _calendar(options: argparse.Namespace, sessions, folder: Path) -> str:
    from pacer.review.exports.archivecontent import known_of
    from pacer.review.exports.calendarfile import events_of, ics_text, plan_uid, planned_event, unnamed, unread_plans
    from pacer.review.exports.cancelledevents import with_cancelled
    from pacer.review.exports.lastexchange import plans_known_by
    from pacer.review.exports.tabletarchive import plan_cards, texts_of
    from pacer.review.exports.textcounts import name_key

    texts = texts_of(folder, lambda said: print(said, file=sys.stderr))
    known_by = plans_known_by(folder, texts.plans.shown)
    name = Path(options.plan).stem if options.plan else ""
    cards = [card for card in plan_cards(folder, texts.plans.shown) if card.name != name]  # that one has its day here
    plans = {one.kept.listed.number: one.kept.session.plan for one in sessions}
    events = events_of((one.kept.listed for one in sessions), cards, lambda numbers: plans, known_by)
    if options.plan:
        timeline = timeline_for(*plan_and_squad(options))
        uid = plan_uid(known_by.get(name, name_key(name)))
        events.append(planned_event(timeline, uid, instant_of(options.at), wall_ms()))
    known = known_of((one.kept for one in sessions), texts)
    events = unnamed(events, known)
    if not (options.plan or options.sessions):  # else it is not the whole calendar
        events = unnamed(with_cancelled(folder, events, wall_ms(), unread_plans(cards, known_by)), known)
    return ics_text(events)


def _archive(options: argparse.Namespace, sessions, folder: Path) -> bytes:
    from pacer.review.exports.archivecontent import held_back, known_of
    from pacer.review.exports.tabletarchive import export_archive, remember, texts_of
    from pacer.session.storage.deleting import deleted
    from pacer.show.after.tabletexports import stays_said

    texts = texts_of(folder, lambda said: print(said, file=sys.stderr))
    store = Store(folder)
    hidden = [] if options.sessions else [store.session(listed.number) for listed in store.sessions(hidden=True)]
    kept = [*(one.kept for one in sessions), *hidden]
    if not options.names:
        for said in stays_said(held_back(kept, texts, known_of(kept, texts))):
            print(said, file=sys.stderr)
    made = export_archive(kept, texts, options.names, deleted(store))
    with contextlib.suppress(OSError):  # then a later change is another version, and nothing is lost
        remember(folder, texts)
    return made


def texts_in(folder: Path, pattern: str) -> dict[str, str]:
    """The texts of a folder by name; says which cannot be read."""
    made = {}
    for path in sorted(folder.glob(pattern)):
        try:
            made[path.stem] = text_from_bytes(path.read_bytes())
        except (OSError, Unreadable):
            print(tr("{name} can't be read and was left out", name=path.name), file=sys.stderr)
    return made


def _write_or_print(name: str, text: str) -> None:
    if name == "-":
        sys.stdout.write(text)
    else:
        write_file(Path(name), text.encode())
