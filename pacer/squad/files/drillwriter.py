"""Change one drill in the book's file; all else in it stays as it is written, comments too.

A drill's part of the file goes from its `[[drill]]` to the next one. A comment between two drills belongs to the first,
and stays when that drill is changed or deleted.
"""

from __future__ import annotations

from collections.abc import Sequence

from pacer.plan.library.drillbook import Drill, DrillBook
from pacer.squad.files.drillreader import read_drills
from pacer.squad.files.tomlcomments import with_comments
from pacer.squad.files.tomlsyntax import quoted

HEADER = "[[drill]]"


def write_drill(drill: Drill) -> str:
    """A drill as TOML.

    >>> print(write_drill(Drill("catch-up", "One hand waits.", ("catch up",))), end="")
    [[drill]]
    name = "catch-up"
    also = ["catch up"]
    how = "One hand waits."
    """
    rows = [HEADER, f"name = {quoted(drill.name)}"]
    rows += [f"also = {_list(drill.also)}"] if drill.also else []
    rows += [f"focus = {quoted(drill.focus)}"] if drill.focus else []
    rows.append(f"how = {quoted(drill.how)}")
    for key, many in (("look-for", drill.look_for), ("faults", drill.faults), ("gear", drill.gear)):
        rows += [f"{key} = {_list(many)}"] if many else []
    for key, one in (("easier", drill.easier), ("harder", drill.harder)):
        rows += [f"{key} = {quoted(one)}"] if one else []
    return "\n".join(rows) + "\n"


def with_drill(text: str, at: int, drill: Drill | None) -> tuple[str, bool]:
    """The book's text with another drill at a place (from 0; after the last: a new one), or without that drill (None).

    And whether all comments are kept. Raises Unreadable if the book would then be wrong.
    """
    book = read_drills(text)
    drills = list(book.drills)
    drills[at : at + 1] = [] if drill is None else [drill]
    parts = _parts(text)
    if len(parts) - 1 == len(book.drills):
        made = "".join(_changed(parts, at, drill))
        if _is(made, drills):
            return made, True
    whole = "\n".join(map(write_drill, drills))
    read_drills(whole)  # says what is wrong with it
    return whole, "#" not in text


def _changed(parts: Sequence[str], at: int, drill: Drill | None) -> list[str]:
    made = list(parts)
    if at + 1 == len(parts) and drill is not None:
        made[-1] = made[-1].rstrip("\n") + "\n" if made[-1].strip() else made[-1]
        return [*made, "\n" if made[-1].strip() else "", write_drill(drill)]
    old = made[at + 1]
    if drill is None:
        kept = [row for row in old.splitlines() if row.lstrip().startswith("#")]
        made[at + 1] = "".join(f"{row}\n" for row in kept) + ("\n" if kept else "")
        return made
    tail = old[len(old.rstrip()) :] or "\n"
    made[at + 1] = with_comments(write_drill(drill), old).rstrip() + tail
    return made


def _parts(text: str) -> list[str]:
    """What is before the first drill, then each drill's part."""
    parts = [""]
    for line in text.splitlines(keepends=True):
        if line.strip().startswith(HEADER):
            parts.append("")
        parts[-1] += line
    return parts


def _is(text: str, drills: Sequence[Drill]) -> bool:
    """Whether a text has just these drills. Raises Unreadable if they cannot be a book."""
    return read_drills(text).drills == DrillBook(tuple(drills)).drills


def _list(many: Sequence[str]) -> str:
    return f"[{', '.join(map(quoted, many))}]"
