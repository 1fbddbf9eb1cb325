"""Read the content of an archive. Anything that pacer would not write is refused with a sentence."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pacer.language import tr
from pacer.plan.problem import Unreadable
from pacer.review.exports.archivecontent import (
    BARE,
    DELETED,
    KINDS,
    SESSION_FORMAT,
    SUFFIXES,
    VERSION_HEADS,
    VERSIONS,
    TabletTexts,
)
from pacer.review.exports.archivezip import BadArchive, files_of
from pacer.review.exports.calendarfile import LAST_MS
from pacer.review.exports.textcounts import Count, TextKey, Texts, name_key, with_plain_counts
from pacer.session.journal.entries import Begun, CarriedOn
from pacer.session.journal.jsonlines import BadLine, entry_from_line, line_from_entry
from pacer.session.storage.sessionmerge import KeptRows, Row
from pacer.squad.files.drillreader import read_drills
from pacer.squad.files.squadreader import read_squad

MOST_TEXT = 1024 * 1024  #: bytes of a plan, a squad or a drill book
MOST_TITLE = 1_000  #: letters of a session's title
READ: dict[str, Callable[[str], object]] = {"plans": str, "squads": read_squad, "drills": read_drills}
_MARK = re.compile("[0-9a-f]{8}")
_ZONE = re.compile(r"([+-](0\d|1\d):[0-5]\d)?")


@dataclass(frozen=True, slots=True)
class Archive:
    """The content of an archive: sessions, those that were deleted, and texts by their names."""

    sessions: tuple[KeptRows, ...]
    texts: TabletTexts
    names: bool
    deleted: frozenset[str] = frozenset()


def read_archive(data: bytes) -> Archive:
    """Read an archive. Raises BadArchive."""
    files, about = files_of(data)
    shown: dict[str, dict[str, str]] = {kind: {} for kind in KINDS}
    hidden: dict[str, dict[str, str]] = {kind: {} for kind in KINDS}
    sessions = []
    for path, content in sorted(files.items()):
        folder, _, name = path.rpartition("/")
        stem, _, suffix = name.rpartition(".")
        place = hidden if folder.startswith("hidden/") else shown
        kind = folder.removeprefix("hidden/")
        if (kind in ("plans", "squads") or folder == "hidden/drills") and f".{suffix}" == SUFFIXES[kind]:
            place[kind][stem] = _checked(path, _text(path, content), READ[kind])
        elif not folder and stem.startswith("drills") and suffix == "toml":
            shown["drills"][stem] = _checked(path, _text(path, content), read_drills)
        elif (folder, suffix) == ("sessions", "json"):
            sessions.append(_session(path, content))
    counts = _counts(files.get(VERSIONS, b""))
    texts = TabletTexts(
        *(with_plain_counts(Texts(shown[kind], hidden[kind], counts[kind]), bare) for kind, bare in zip(KINDS, BARE))
    )
    return Archive(tuple(sessions), texts, about.get("names") is True, _deleted(files.get(DELETED, b"")))


def _counts(content: bytes) -> dict[str, dict[TextKey, Count]]:
    """The counts of texts, by kind."""
    made: dict[str, dict[TextKey, Count]] = {kind: {} for kind in KINDS}
    try:
        rows = list(csv.reader(io.StringIO(_text(VERSIONS, content), newline=""), strict=True))
        if rows and tuple(rows[0]) != VERSION_HEADS:
            raise ValueError(tr("its head"))
        for kind, name, mark, state, words, now in rows[1:]:
            if name != name_key(name) or not _MARK.fullmatch(mark) or now not in ("", name_key(now)):
                raise ValueError(tr("a name and a mark"))
            made[kind][TextKey(name, mark)] = Count(_small(state), _small(words), now)
    except (ValueError, KeyError, csv.Error):
        raise BadArchive(tr("{versions} is damaged, or not from pacer", versions=VERSIONS)) from None
    return made


def _small(number: str) -> int:
    if not re.fullmatch(r"[0-9]{1,6}", number):
        raise ValueError(tr("a count"))
    return int(number)


def _deleted(content: bytes) -> frozenset[str]:
    """The marks of deleted sessions."""
    marks = _text(DELETED, content).split()
    if not all(re.fullmatch("[0-9a-f]{64}", mark) for mark in marks):
        raise BadArchive(tr("{deleted} is damaged, or not from pacer", deleted=DELETED))
    return frozenset(marks)


def _text(path: str, content: bytes) -> str:
    if len(content) > MOST_TEXT:
        raise BadArchive(tr("{path} is longer than a megabyte", path=path))
    try:
        return content.decode()
    except UnicodeDecodeError:
        raise BadArchive(tr("{path} is not text", path=path)) from None


def _checked(path: str, text: str, read: Callable[[str], object]) -> str:
    try:
        read(text)
    except Unreadable as error:
        first = error.problems[0]
        raise BadArchive(
            tr("{path}, line {line}: {message}", path=path, line=first.line, message=first.message)
        ) from None
    return text


def _session(path: str, content: bytes) -> KeptRows:
    try:
        told = json.loads(content)
        if told["format"] != SESSION_FORMAT:
            raise BadArchive(
                tr(
                    "{path} is of the format {format}, this version reads {session_format}",
                    path=path,
                    format=str(told["format"])[:40],
                    session_format=SESSION_FORMAT,
                )
            )
        return _rows(told["session"])
    except BadArchive:
        raise
    except BadLine as wrong:
        raise BadArchive(tr("{path}: an entry can't be read: {wrong}", path=path, wrong=wrong)) from None
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        raise BadArchive(tr("{path} is not a session as pacer writes it", path=path)) from None


def _rows(told: dict[str, Any]) -> KeptRows:
    counts = [[_whole(c["section"]), _count(c["line"]), [_whole(n) for n in c["lanes"]]] for c in told["counts"]]
    rows, last = [], 0
    for one in told["journal"]:
        number = _whole(one["number"])
        if number <= last:
            raise ValueError(tr("entries in order"))
        last = number
        entry = entry_from_line(json.dumps(one["entry"], ensure_ascii=False))
        if isinstance(entry, Begun | CarriedOn):
            _instant(entry.wall_ms)
        if isinstance(entry, Begun) and not _ZONE.fullmatch(entry.zone):
            raise ValueError(tr("a time zone"))
        rows.append(Row(number, _instant(one["written_ms"]), str(one["entry"]["kind"]), line_from_entry(entry)))
    texts = [told[key] for key in ("title", "pool", "plan", "squad")]
    if not all(isinstance(text, str) for text in texts):
        raise TypeError("texts")
    title, pool, plan, squad = texts
    if max(len(title), len(pool)) > MOST_TITLE or not (title + pool).isprintable():
        raise ValueError(tr("a title"))
    if max(len(plan), len(squad)) > MOST_TEXT:
        raise ValueError(tr("a plan and a squad"))
    return KeptRows(title, pool, told["squad_assumed"] is True, json.dumps(counts), plan, squad, tuple(rows))


def _whole(value: object) -> int:
    if type(value) is not int or abs(value) >= 2**62:
        raise TypeError(tr("a whole number"))
    return value


def _instant(value: object) -> int:
    """Wall time in ms, within what a calendar can say."""
    if not 0 <= _whole(value) <= LAST_MS:
        raise ValueError(tr("an instant"))
    return _whole(value)


def _count(value: object) -> int | None:
    return None if value is None else _whole(value)
