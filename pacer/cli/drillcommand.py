"""`pacer drills`: the drill book, or one drill of it; and the book of another tablet beside it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from dataclasses import asdict

from pacer.cli.inputoutput import (
    FINE,
    STOPPED,
    UNREADABLE,
    CommandEnded,
    book_here,
    bytes_of,
    json_option,
    print_json,
    read_named,
)
from pacer.disk import reason_of
from pacer.language import tr
from pacer.plan.library.drillbook import Drill, same_name
from pacer.plan.problem import Unreadable
from pacer.session.storage.datafolder import home
from pacer.shippedfiles import DRILLS
from pacer.show.wording.drilltext import book_text, drill_text
from pacer.squad.files.drillreader import drills_from_bytes
from pacer.squad.register.drillfile import DrillFile
from pacer.squad.register.otherdrillbooks import hide_book, other_books, with_drills

FORMAT = "pacer-drills/1"


def add_drills(command: Callable[..., argparse.ArgumentParser]) -> None:
    """Add the command and its options."""
    made = command("drills", drills, tr("show the drill book, or one drill from it"), plan=None, squad=False)
    made.add_argument("name", metavar="NAME", nargs="*", help=tr("one of a drill's names"))
    made.add_argument("--book", metavar="FILE", help=tr("use another drill book: a TOML file"))
    made.add_argument(
        "--take", action="store_true", help=tr("add NAME, or every drill you don't have, from the other tablet's book")
    )
    made.add_argument("--hide-other", action="store_true", help=tr("hide the other tablet's book"))
    json_option(made)


def drills(options: argparse.Namespace) -> int:
    """List the book, or show one drill."""
    if options.take or options.hide_other:
        return _other_book(" ".join(options.name), options.take, options.hide_other)
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
        for other in other_books(home(), book) if not options.book else ():
            named = [drill.name for drill in (*other.new, *(drill for _, drill in other.differ))]
            print(
                tr(
                    "another tablet's book, {file}, has drills you don't have, or that differ from yours: {names}; "
                    "see --take, --hide-other",
                    file=f"{other.name}.toml",
                    names=", ".join(named) or tr("none"),
                ),
                file=sys.stderr,
            )
    return FINE


def _other_book(name: str, take: bool, hide: bool) -> int:
    """Take drills over from another tablet's book, and hide that book."""
    kept = DrillFile(home(), DRILLS)
    if kept.told:
        raise CommandEnded("\n".join(kept.told), UNREADABLE)
    others = other_books(home(), kept.book)
    if not others:
        raise CommandEnded(tr("pacer drills: there is no drill book of another tablet"), STOPPED)
    taken: list[Drill] = []
    if take:
        for one in others:
            both = [*one.new, *(drill for _, drill in one.differ)]
            taken += [drill for drill in both if same_name(name) in map(same_name, drill.names)] if name else one.new
        if name and not taken:
            raise CommandEnded(tr("pacer drills: the other book has no “{name}” of its own", name=name), STOPPED)
    try:
        if taken:
            kept.write(with_drills(kept.text, taken)[0])
            print(tr("added: {names}", names=", ".join(drill.name for drill in taken)))
        for one in others if hide else ():
            hide_book(home(), one.name)
            print(tr("hidden: {file}", file=f"{one.name}.toml"))
    except Unreadable as error:
        raise CommandEnded(error.text(kept.path.name), UNREADABLE) from None
    except OSError as error:
        raise CommandEnded(tr("pacer drills: can't be saved: {reason}", reason=reason_of(error)), STOPPED) from None
    return FINE
