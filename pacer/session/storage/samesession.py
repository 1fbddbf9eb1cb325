"""The same session kept twice, on two tablets or in an archive: made one, whichever comes first.

Two are the same where plan, counts and journal agree as far as the shorter journal goes, names and notes left out of
the comparison. Of both the longer journal counts, and of every entry, and of the squad, what says more. So the result
is the same in any order. Journals that part ways are two sessions.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from typing import NamedTuple

from pacer.session.journal.recordentries import unnamed_source
from pacer.session.storage.kept import KeptSession
from pacer.squad.files.unnamed import without_names


class Row(NamedTuple):
    """An entry as it is kept."""

    number: int
    wall_ms: int
    kind: str
    line: str


@dataclass(frozen=True, slots=True)
class KeptRows:
    """A session as rows: what it was begun with, and its entries."""

    title: str
    pool: str
    assumed: bool
    counts: str
    plan: str
    squad: str
    rows: tuple[Row, ...]


def rows_of(kept: KeptSession) -> KeptRows:
    """A session's rows; entries that could not be read are not among them."""
    session = kept.session
    rows = tuple(Row(line.number, line.wall_ms, json.loads(line.text)["kind"], line.text) for line in kept.lines)
    return KeptRows(
        session.title, session.pool, session.assumed, session.counts_json(), session.plan, session.squad, rows
    )


def joined(one: KeptRows, other: KeptRows) -> KeptRows | None:
    """Both as one; None where they are two sessions."""
    if (one.plan, one.counts, one.assumed) != (other.plan, other.counts, other.assumed):
        return None
    if bool(one.rows) != bool(other.rows):
        return None
    if one.squad != other.squad and without_names(one.squad) != without_names(other.squad):
        return None
    made = []
    for mine, theirs in zip(one.rows, other.rows):
        if mine[:3] != theirs[:3] or (mine.line != theirs.line and unnamed(mine.line) != unnamed(theirs.line)):
            return None
        made.append(mine._replace(line=_more(mine.line, theirs.line)))
    longer = max(one.rows, other.rows, key=len)
    return replace(
        one,
        title=_more(one.title, other.title),
        pool=_more(one.pool, other.pool),
        squad=_more(one.squad, other.squad),
        rows=(*made, *longer[len(made) :]),
    )


def unnamed(line: str) -> str:
    """An entry's line without a swimmer's name and without a note's words and a file's name, which may hold one."""
    told = json.loads(line)
    told.pop("name", None)
    if told["kind"] == "noted":
        told["text"] = ""
    if "source" in told:
        told["source"] = unnamed_source(told["source"])
    return json.dumps(told, ensure_ascii=False)


def _more(one: str, other: str) -> str:
    """The text that says more: the longer; of two as long the later in the alphabet, so that the order never counts."""
    return max(one, other, key=lambda text: (len(text), text))
