"""`pacer drills`: the drill book, or one drill of it."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import asdict

from pacer.cli.inputoutput import FINE, STOPPED, CommandEnded, book_here, bytes_of, print_json, read_named
from pacer.language import tr
from pacer.show.wording.drilltext import book_text, drill_text
from pacer.squad.files.drillreader import drills_from_bytes

FORMAT = "pacer-drills/1"


def add_drills(command: Callable[..., argparse.ArgumentParser]) -> None:
    """Add the command and its options."""
    made = command("drills", drills, tr("the drill book, or one drill of it"), plan=None, squad=False)
    made.add_argument("name", metavar="NAME", nargs="*", help=tr("one of a drill's names"))
    made.add_argument("--book", metavar="FILE", help=tr("another drill book's TOML file"))
    made.add_argument("--json", action="store_true", help=tr("as one JSON object"))


def drills(options: argparse.Namespace) -> int:
    """List the book, or show one drill."""
    book = book_here()
    if options.book:
        book = read_named(lambda: drills_from_bytes(bytes_of(options.book)), options.book)
    name = " ".join(options.name)
    found = book.drill(name) if name else None
    if name and found is None:
        meant = book.near(name)
        hint = tr("\nhint: did you mean {meant}?", meant=meant) if meant else tr("\nhint: pacer drills lists them all")
        raise CommandEnded(tr("pacer drills: the drill book has no “{name}”{hint}", name=name, hint=hint), STOPPED)
    shown = book.drills if found is None else (found,)
    if options.json:
        print_json({"format": FORMAT, "drills": [asdict(drill) for drill in shown]})
    else:
        print(book_text(book) if found is None else drill_text(found))
    return FINE
