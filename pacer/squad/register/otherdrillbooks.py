"""Drill books that came from another tablet and differ from this one's: what they have, taking it over, hiding them."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from pacer.plan.library.drillbook import Drill, DrillBook
from pacer.plan.problem import Unreadable
from pacer.plan.textmark import place_for
from pacer.squad.files.drillreader import drills_from_bytes, read_drills
from pacer.squad.files.drillwriter import with_drill
from pacer.squad.files.withoutnames import drills_without_comments
from pacer.squad.register.drillfile import NAME

AWAY = "drills-put-away"  #: the folder of hidden drill books


class OtherBook(NamedTuple):
    """Another drill book: its file's name, the drills that ours lacks, and those that differ, each with ours first."""

    name: str
    new: tuple[Drill, ...]
    differ: tuple[tuple[Drill, Drill], ...]


def other_books(folder: Path, book: DrillBook) -> tuple[OtherBook, ...]:
    """The readable drill books in a tablet's folder beside its own `book`."""
    stem, suffix = NAME.split(".")
    made = []
    for path in sorted(folder.glob(f"{stem}-*.{suffix}")):
        try:
            drills = drills_from_bytes(path.read_bytes()).drills
        except (OSError, Unreadable):
            continue
        both = [(book.drill(drill.name), drill) for drill in drills]
        new = tuple(drill for ours, drill in both if ours is None)
        made.append(
            OtherBook(path.stem, new, tuple((ours, drill) for ours, drill in both if ours not in (None, drill)))
        )
    return tuple(made)


def with_drills(text: str, taken: Sequence[Drill]) -> tuple[str, bool]:
    """A book's text with drills of another book, each instead of ours of that name; and whether all comments are kept.

    An easier or harder drill that is in neither is left out. Raises Unreadable if the book would not be right then.
    """
    all_kept = True
    for linked in (False, True):  # a drill can lead to one that comes after it
        for drill in taken:
            book = read_drills(text)
            easier, harder = (one if linked and book.drill(one) else "" for one in (drill.easier, drill.harder))
            ours, made = book.drill(drill.name), replace(drill, easier=easier, harder=harder)
            if ours != made:
                at = len(book.drills) if ours is None else book.drills.index(ours)
                text, kept = with_drill(text, at, made)
                all_kept = all_kept and kept
    return text, all_kept


def hide_book(folder: Path, name: str) -> str:
    """Hide another drill book, and return its name among the hidden ones. Raises OSError."""
    return _moved(folder / f"{name}.toml", folder / AWAY)


def show_book(folder: Path, name: str) -> str:
    """Undo that. Raises OSError."""
    return _moved(folder / AWAY / f"{name}.toml", folder)


def _moved(path: Path, folder: Path) -> str:
    folder.mkdir(parents=True, exist_ok=True)
    made = place_for(path, folder / path.name, drills_without_comments)
    os.rename(path, made)
    return made.stem
