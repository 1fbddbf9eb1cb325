"""Merge a session that was saved twice, on two tablets or in an archive, in either order.

Two are the same session if plan, counts and journal agree as far as the shorter journal goes, ignoring names, notes and
comments.
The result has the longer journal, and of each entry and of the squad the text that says more. So the order does not
matter. If the journals differ, they are two sessions.
"""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass, replace
from typing import NamedTuple

from pacer.plan.text.withoutcomments import without_comments
from pacer.session.journal.recordentries import unnamed_source
from pacer.session.storage.savedsession import KeptSession, Session
from pacer.session.storage.schema import JOURNAL
from pacer.squad.files.withoutnames import without_names


class Row(NamedTuple):
    """An entry as it is saved."""

    number: int
    wall_ms: int
    kind: str
    line: str


@dataclass(frozen=True, slots=True)
class KeptRows:
    """A session as rows: its start, and its entries."""

    title: str
    pool: str
    assumed: bool
    counts: str
    plan: str
    squad: str
    rows: tuple[Row, ...]


def with_rows(session: Session, rows: tuple[Row, ...]) -> KeptRows:
    """A session as rows of the store."""
    return KeptRows(
        session.title, session.pool, session.assumed, session.counts_json(), session.plan, session.squad, rows
    )


def rows_of(kept: KeptSession) -> KeptRows:
    """A session's rows, without entries that could not be read."""
    session = kept.session
    rows = tuple(Row(line.number, line.wall_ms, json.loads(line.text)["kind"], line.text) for line in kept.lines)
    return with_rows(session, rows)


def read_rows(connection: sqlite3.Connection, number: int, most: int = -1) -> KeptRows:
    """A session's rows from the store, with no more than its first `most` entries (-1: all)."""
    title, pool, assumed, counts, plan, squad = connection.execute(
        "select title, pool, assumed, counts, plan, squad from session where number = ?", (number,)
    ).fetchone()
    rows = connection.execute(f"{JOURNAL} limit ?", (number, most)).fetchall()
    return KeptRows(title, pool, bool(assumed), counts, plan, squad, tuple(Row(*row) for row in rows))


def joined(one: KeptRows, other: KeptRows) -> KeptRows | None:
    """Both merged into one; None if they are two sessions."""
    if (one.counts, one.assumed) != (other.counts, other.assumed):
        return None
    if one.plan != other.plan and without_comments(one.plan) != without_comments(other.plan):
        return None
    if bool(one.rows) != bool(other.rows):
        return None
    if one.squad != other.squad and without_names(one.squad) != without_names(other.squad):
        return None
    made = []
    for mine, theirs in zip(one.rows, other.rows):
        if mine[:3] != theirs[:3] or (mine.line != theirs.line and unnamed(mine.line) != unnamed(theirs.line)):
            return None
        made.append(mine._replace(line=more(mine.line, theirs.line)))
    longer = max(one.rows, other.rows, key=len)
    return replace(
        one,
        title=more(one.title, other.title),
        pool=more(one.pool, other.pool),
        plan=more(one.plan, other.plan),
        squad=more(one.squad, other.squad),
        rows=(*made, *longer[len(made) :]),
    )


def begun_of(one: KeptRows) -> int | None:
    """When a session began, in wall time; None if it never did."""
    return next((json.loads(row.line).get("wall_ms") for row in one.rows if row.kind == "begun"), None)


def unnamed(line: str) -> str:
    """An entry's line without a swimmer's name, and without a note's words and a file's name, which may contain one."""
    told = json.loads(line)
    told.pop("name", None)
    if told["kind"] == "noted":
        told["text"] = ""
    if "source" in told:
        told["source"] = unnamed_source(told["source"])
    return json.dumps(told, ensure_ascii=False)


def more(one: str, other: str) -> str:
    """The text that says more: the longer one; if equally long, the later one in the alphabet, whatever the order."""
    return max(one, other, key=lambda text: (len(text), text))
