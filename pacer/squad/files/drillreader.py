"""Read the drill book's file: TOML to a `DrillBook`, or a list of everything that is wrong with it.

It is beside the squad's reader because both report where in a TOML text a problem is.
"""

from __future__ import annotations

from pacer.language import tr
from pacer.plan.filetext import text_from_bytes
from pacer.plan.library.drillbook import Drill, DrillBook, same_name
from pacer.plan.problem import Unreadable
from pacer.squad.files.tomldocument import Document, Table

KEYS = ("name", "also", "focus", "how", "look-for", "faults", "gear", "easier", "harder")
MAX_DRILLS = 500
MAX_EXPLANATION = 240  #: characters of an explanation
MAX_LIST = 12  #: entries of a list
_HINTS = {
    "look_for": tr("write look-for"),
    "look": tr("write look-for"),
    "fault": 'faults = ["…"]',
    "names": 'also = ["…"]',
    "description": 'how = "…"',
}


def drills_from_bytes(data: bytes) -> DrillBook:
    """The book in a file. Raises Unreadable with every problem."""
    return read_drills(text_from_bytes(data, tr("drill book")))


def read_drills(text: str) -> DrillBook:
    """The book that a TOML text describes. Raises Unreadable with every problem.

    >>> read_drills('[[drill]]\\nname = "catch-up"\\nhow = "One hand waits."').drills[0].name
    'catch-up'
    """
    document = Document(text)
    root = document.root
    root.known(tr("a drill book"), ("drill",), {"drills": tr("each drill begins with [[drill]]")})
    drills = [(table, _drill(table)) for table in root.tables("drill", tr("[[drill]]"))]
    if len(drills) > MAX_DRILLS:
        root.problem(
            "drill",
            tr("{drills} drills are too many; the limit is {max_drills}", drills=len(drills), max_drills=MAX_DRILLS),
        )
    read = [(table, drill) for table, drill in drills if drill is not None]
    _check_names(read)
    if document.problems:
        raise Unreadable(document.problems)
    return DrillBook(tuple(drill for _, drill in read))


def _drill(table: Table) -> Drill | None:
    table.known(tr("a drill"), KEYS, _HINTS)
    name = table.text("name", "catch-up")
    how = table.text("how", tr("One hand waits in front until the other lies beside it."), MAX_EXPLANATION)
    for key in ("name", "how"):
        if key not in table:
            called = tr("the drill {name}", name=name) if name else tr("a drill")
            table.problem(
                None, tr("{called} has no {key}", called=called, key=key), tr('for example: {key} = "…"', key=key)
            )
    also = table.texts("also", tr("catch up"))
    look_for = table.texts("look-for", tr("the kick never stops"), MAX_EXPLANATION, MAX_LIST)
    faults = table.texts("faults", tr("no roll: kick on the side again"), MAX_EXPLANATION, MAX_LIST)
    gear = table.texts("gear", "fins")
    focus, easier, harder = (table.text(key, tr("single arm")) or "" for key in ("focus", "easier", "harder"))
    if not name or not how:
        return None
    return Drill(name, how, also, focus, look_for, faults, gear, easier, harder)


def _check_names(read: list[tuple[Table, Drill]]) -> None:
    """Report names that two drills share, and easier or harder forms that are not in the book."""
    first: dict[str, Drill] = {}
    for table, drill in read:
        for place, name in enumerate(drill.names):
            other = first.setdefault(same_name(name), drill)
            if other is not drill:
                path = ("also", place - 1) if place else ("name",)
                message = tr("“{name}” is also a name of {drill}", name=name, drill=other.name)
                table.document.problem((*table.path, *path), message, tr("delete it here"))
    book = DrillBook(tuple(drill for _, drill in read))
    for table, drill in read:
        for key, name in (("easier", drill.easier), ("harder", drill.harder)):
            if name and book.drill(name) is None:
                meant = book.near(name)
                table.problem(
                    key,
                    tr("no drill in this book is called “{name}”", name=name),
                    tr("did you mean {meant}?", meant=meant) if meant else "",
                )
