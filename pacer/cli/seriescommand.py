"""`pacer series`: what each series has visited, what is due again, who missed what."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

from pacer.cli.exportcommand import texts_in
from pacer.cli.inputoutput import (
    FINE,
    STOPPED,
    UNREADABLE,
    CommandEnded,
    book_here,
    json_option,
    names_option,
    print_json,
)
from pacer.cli.printednames import masked_json, printed_here
from pacer.language import tr
from pacer.plan.library.plancards import card_of
from pacer.plan.library.shelf import AWAY, PLANS
from pacer.plan.problem import Unreadable
from pacer.review.season.ledger import Ledger
from pacer.review.series.seriesorder import Series
from pacer.review.series.seriestext import FORMAT, series_json, series_text
from pacer.session.storage.store import Store, StoreTrouble
from pacer.show.after.seriesview import SeriesView
from pacer.show.drive.preparation import Clocks
from pacer.show.drive.settings import read_settings
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import Squad


def add_series(command: Callable[..., argparse.ArgumentParser]) -> None:
    """Add the command and its options."""
    told = tr("show what each series has covered, what is due again, and how many missed it")
    made = command("series", series, told, plan=None, squad=False)
    made.add_argument("name", metavar="NAME", nargs="*", help=tr("a series, or the title of one of its plans (all)"))
    made.add_argument("--day", metavar="YYYY-MM-DD", help=tr("what is due on that day (today)"))
    names_option(made)
    json_option(made)


def series(options: argparse.Namespace) -> int:
    """Tell each series, or the one that was named."""
    today = day_of(options.day)
    view = view_here(tr("pacer series"))
    shown = view.series if not options.name else (named(view, " ".join(options.name), tr("pacer series")),)
    visited = [view.visited(one) for one in shown]
    printed = printed_here(view.ledger.store, options.names)
    if options.json:
        told = [series_json(one, today, names=options.names) for one in visited]
        print_json({"format": FORMAT, "day": today.isoformat(), "series": masked_json(told, printed)})
    elif not visited:
        print(tr("No series yet: give plans a focus, or say what they revisit."))
    else:
        texts = (series_text(one, today, view.gaps, names=options.names, printed=printed) for one in visited)
        print("\n\n\n".join(texts))
    return FINE


def day_of(text: str | None) -> date:
    """The day that was named, else today."""
    try:
        return date.fromisoformat(text or Clocks().day())
    except ValueError:
        raise CommandEnded(tr("--day: “{text}” is not a day: write 2026-03-05", text=text), UNREADABLE) from None


def view_here(what: str) -> SeriesView:
    """This device's series, all sessions read."""
    store = Store()
    folder = Path(store.folder)
    settings, told = read_settings(folder)
    if told:
        print(told, file=sys.stderr)
    cards = [card_of(name, text) for name, text in texts_in(folder / PLANS, "*.txt").items()]
    hidden = [card_of(name, text, away=True) for name, text in texts_in(folder / AWAY, "*.txt").items()]
    view = SeriesView(Ledger(store), cards, book_here(), settings.gaps, squads_in(folder), hidden)
    try:
        for said in store.open():
            print(said, file=sys.stderr)
        view.read_on()
    except StoreTrouble as trouble:
        raise CommandEnded(f"{what}: {trouble}", STOPPED) from None
    for said in view.ledger.told:
        print(said, file=sys.stderr)
    return view


def squads_in(folder: Path) -> list[Squad]:
    """The squads of a folder that can be read."""
    made = []
    for text in texts_in(folder / "squads", "*.toml").values():
        try:
            made.append(read_squad(text))
        except Unreadable:
            continue
    return made


def named(view: SeriesView, name: str, what: str) -> Series:
    """The series of that name, or the one that has a page of that title."""
    wanted = name.casefold()
    found = [one for one in view.series if one.name.casefold() == wanted]
    found += [one for one in view.series if wanted in one.keys]
    if not found:
        there = ", ".join(one.name for one in view.series)
        raise CommandEnded(
            tr("{what}: no series is called “{name}”\nhint: there is {names}", what=what, name=name, names=there)
            if there
            else tr("{what}: no series is called “{name}”\nhint: there is none yet", what=what, name=name),
            STOPPED,
        )
    return found[0]
