"""The comments of a squad's file, carried over when it is written anew.

A comment belongs to the line that it stands on or above: a lane, one of its swimmers, a key. Where that line is gone,
it goes above the next one that is still there, or to the end. None is lost, and what the file says is not touched.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import NamedTuple

#: Which line it is: the tables it is in, each counted among those of its name, and its key ("" for a table's head).
Place = tuple[tuple[tuple[str, int], ...], str]


class _Row(NamedTuple):
    """A line of the file: what it is (None: empty, or only a comment), itself, and the comment on it."""

    place: Place | None
    text: str
    comment: str


def with_comments(text: str, old: str) -> str:
    """`text`, a squad's file as `write_squad` gives it, with the comments of `old`, the file as it was.

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
    return whole if _same(whole, text) else text  # a file written in ways that are not known here


def _same(one: str, other: str) -> bool:
    try:
        return tomllib.loads(one) == tomllib.loads(other)
    except tomllib.TOMLDecodeError:
        return False


def _rows(text: str) -> Iterator[_Row]:
    """The file's lines, one by one; a value that goes over several lines is taken for lines of no place."""
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
    """A line without its comment, and the comment."""
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
