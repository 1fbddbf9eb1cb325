"""Keep the comments of a squad's file when the file is written again.

A comment belongs to the line that it is on or above: a lane, one of its swimmers, a key. If that line is gone, the
comment moves above the next line that is still there, or to the end. No comment is lost, and no value changes.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import NamedTuple

#: Which line it is: the tables around it, each numbered among those of its name, and its key ("" for a table's header).
Place = tuple[tuple[tuple[str, int], ...], str]


class _Row(NamedTuple):
    """A line of the file: its place (None if it is empty or only a comment), its text, and the comment on it."""

    place: Place | None
    text: str
    comment: str


def with_comments(text: str, old: str) -> str:
    """Add the comments of `old`, the file before, to `text`, the file that `write_squad` has just written.

    >>> print(with_comments('name = "B"\\n', '# ours\\nname = "A"  # for now\\n'), end="")
    # ours
    name = "B"  # for now
    """
    if "#" not in old:
        return text
    new = list(_rows(text))
    there = {row.place: at for at, row in enumerate(new) if row.place is not None}
    above: dict[int, list[str]] = {}
    beside: dict[int, list[str]] = {}
    waiting: list[str] = []
    for row in _rows(old):
        if row.place is None:
            waiting += [row.comment] if row.comment else []
        elif row.place in there:
            at = there[row.place]
            above.setdefault(at, []).extend(waiting)
            waiting = []
            if row.comment:
                beside.setdefault(at, []).append(row.comment)
        elif row.comment:
            waiting.append(row.comment)
    made = []
    for at, row in enumerate(new):
        indent = row.text[: len(row.text) - len(row.text.lstrip())]
        made += [f"{indent}{comment}" for comment in above.get(at, ())]
        made.append("  ".join([row.text, *beside.get(at, ())]))
    made += waiting
    whole = "\n".join(made) + "\n"
    return whole if _same(whole, text) else text  # the old file is laid out in a way that this module cannot follow


def _same(one: str, other: str) -> bool:
    try:
        return tomllib.loads(one) == tomllib.loads(other)
    except tomllib.TOMLDecodeError:
        return False


def _rows(text: str) -> Iterator[_Row]:
    """The file's lines, one by one. The lines of a value that spans several lines have no place."""
    tables: tuple[tuple[str, int], ...] = ()
    counts: dict[tuple[tuple[tuple[str, int], ...], str], int] = {}
    for line in text.splitlines():
        said, comment = _parted(line)
        word = said.strip()
        if word.startswith("["):
            many, names = word.startswith("[["), word.strip("[] ").split(".")
            above = tables[: len(names) - 1] if len(names) > 1 else ()
            if many:
                counts[above, names[-1]] = counts.get((above, names[-1]), 0) + 1
            tables = (*above, (names[-1], counts.get((above, names[-1]), 0) if many else 0))
            yield _Row((tables, ""), said, comment)
        elif "=" in word:
            yield _Row((tables, word.partition("=")[0].strip().strip("\"'")), said, comment)
        else:
            yield _Row(None, said, comment)


def _parted(line: str) -> tuple[str, str]:
    """Split a line into its text and its comment."""
    quote = ""
    for at, letter in enumerate(line):
        if quote:
            if letter == quote and (quote == "'" or line[at - 1] != "\\"):
                quote = ""
        elif letter in "\"'":
            quote = letter
        elif letter == "#":
            return line[:at].rstrip(), line[at:].rstrip()
    return line.rstrip(), ""
