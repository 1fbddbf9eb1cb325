"""`pacer next`: the next page of a series, drafted from its last session, every step told."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from pacer.cli.inputoutput import FINE, STOPPED, UNREADABLE, CommandEnded, json_option, print_json
from pacer.cli.seriescommand import day_of, named, view_here
from pacer.language import tr
from pacer.plan.library.shelf import Shelf, ShelfTrouble
from pacer.review.series.nextpage import NextPage, NoDraft
from pacer.session.storage.store import StoreTrouble
from pacer.shippedfiles import PLANS
from pacer.show.after.seriesview import SeriesView

FORMAT = "pacer-next/1"


def add_next(command: Callable[..., argparse.ArgumentParser]) -> None:
    """Add the command and its options."""
    told = tr("draft the next plan of a series from its last session; nothing is written without --write")
    made = command("next", next_of_series, told, plan=None, squad=False)
    made.add_argument(
        "name", metavar="NAME", nargs="*", help=tr("a series, or the title of one of its plans (the last one swum)")
    )
    made.add_argument("--without", metavar="N", type=int, action="append", default=[], help=tr("leave step N out"))
    made.add_argument("--write", action="store_true", help=tr("save it among this device's plans"))
    made.add_argument("--day", metavar="YYYY-MM-DD", help=tr("what is due on that day (today)"))
    json_option(made)


def next_of_series(options: argparse.Namespace) -> int:
    """Print the page, and its steps to standard error; put it on the shelf if asked to."""
    today = day_of(options.day)
    view = view_here(tr("pacer next"))
    try:
        page = view.next_page(_session(view, " ".join(options.name)), today)
    except (NoDraft, StoreTrouble) as trouble:
        raise CommandEnded(tr("pacer next: {trouble}", trouble=trouble), STOPPED) from None
    wrong = [number for number in options.without if not 1 <= number <= len(page.steps)]
    if wrong:
        raise CommandEnded(
            tr(
                "--without {wrong}: there is no such step\nhint: steps go from 1 to {steps}",
                wrong=wrong[0],
                steps=len(page.steps),
            ),
            UNREADABLE,
        )
    without = frozenset(options.without)
    written = _write(Path(view.ledger.store.folder), page.text(without)) if options.write else None
    if options.json:
        print_json(_json(page, without, written))
        return FINE
    for number, step in enumerate(page.steps, 1):
        print(
            tr("{number}. {step} (left out)", number=number, step=step.text)
            if number in without
            else f"{number}. {step.text}",
            file=sys.stderr,
        )
    for note in page.notes:
        print(note, file=sys.stderr)
    if not page.steps:
        print(tr("This session calls for no changes."), file=sys.stderr)
    sys.stdout.write(page.text(without) if written is None else f"{written}\n")
    return FINE


def _session(view: SeriesView, name: str) -> int:
    if name:
        number = view.last_session(named(view, name, tr("pacer next")))
        if number is None:
            raise CommandEnded(tr("pacer next: no session of “{name}” has been swum yet", name=name), STOPPED)
        return number
    last = [number for one in view.series if (number := view.last_session(one)) is not None]
    if not last:
        raise CommandEnded(tr("pacer next: no session of a series has been swum yet"), STOPPED)
    return max(last)


def _write(folder: Path, text: str) -> Path:
    try:
        card = Shelf(folder, sorted(PLANS.glob("*.txt"))).add(text)
    except ShelfTrouble as trouble:
        raise CommandEnded(tr("pacer next: {trouble}", trouble=trouble), UNREADABLE) from None
    return folder / "plans" / f"{card.name}.txt"


def _json(page: NextPage, without: frozenset[int], written: Path | None) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "steps": [
            {"step": number, "text": step.text, "left_out": number in without}
            for number, step in enumerate(page.steps, 1)
        ],
        "notes": list(page.notes),
        "plan": page.text(without),
        "new_lines": [number for number, line in enumerate(page.lines(without), 1) if line.new],
        "written": None if written is None else str(written),
    }
