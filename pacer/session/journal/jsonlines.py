"""Journal entries as lines of text and back: one JSON object each, readable by anyone.

    {"v": 1, "kind": "held", "at_ms": 70000, "lanes": [0]}

Fields with their default value are left out. `v` is the version of this format.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import MISSING, fields
from enum import StrEnum
from functools import cache
from types import NoneType, UnionType
from typing import Union, get_args, get_origin, get_type_hints

from pacer.language import tr
from pacer.session.journal import entries, recordentries
from pacer.session.journal.entries import Entry
from pacer.session.journal.recordentries import Record

VERSION = 1

#: The kinds of entry by their names in the file.
KINDS: dict[str, type] = {
    "begun": entries.Begun,
    "carried on": entries.CarriedOn,
    "matched": entries.Matched,
    "ended": entries.Ended,
    "taken back": entries.TakenBack,
    "held": entries.Paused,  # the word in all stores
    "stopped": entries.Stopped,
    "resumed": entries.Resumed,
    "moved": entries.Moved,
    "section set": entries.SectionSet,
    "left late": entries.LeftLate,
    "missed": entries.Missed,
    "count changed": entries.CountChanged,
    "interval changed": entries.IntervalChanged,
    "line put in": entries.LinePutIn,
    "line left out": entries.LineLeftOut,
    "swimmer joined": entries.SwimmerJoined,
    "swimmer left": entries.SwimmerLeft,
    "swimmer changed": entries.SwimmerChanged,
    "lane joined": entries.LaneJoined,
    "refitted": entries.Refitted,
    "touched": recordentries.Touched,
    "corrected": recordentries.Corrected,
    "withdrawn": recordentries.Withdrawn,
    "rated": recordentries.Rated,
    "length counted": recordentries.LengthCounted,
    "watched": recordentries.Watched,
    "watch filed": recordentries.WatchFiled,
    "noted": recordentries.Noted,
    "heads counted": recordentries.HeadsCounted,
    "lane summed": recordentries.LaneSummed,
    "hidden": recordentries.Hidden,
    "shown again": recordentries.ShownAgain,
    "put back": recordentries.PutBack,
    "left out": recordentries.LeftOut,
}
WORDS = {kind: word for word, kind in KINDS.items()}

#: Kinds that replay needs, because they steer the session.
STEERING = tuple(word for word, kind in KINDS.items() if kind in get_args(Entry))

_FIELDS = {kind: [(f.name, f.default) for f in fields(kind)] for kind in WORDS}
_encoder = json.JSONEncoder(ensure_ascii=False, separators=(", ", ": "))


class BadLine(ValueError):
    """A line is not an entry; the message says why."""


class NewerLine(BadLine):
    """A line has something that only a newer pacer knows."""


def line_from_entry(entry: Entry | Record) -> str:
    """The entry as one line.

    >>> line_from_entry(entries.Paused(70_000, (0,)))
    '{"v": 1, "kind": "held", "at_ms": 70000, "lanes": [0]}'
    """
    kind = type(entry)
    told = {"v": VERSION, "kind": WORDS[kind]}
    for name, default in _FIELDS[kind]:
        value = getattr(entry, name)
        if default is MISSING or value != default:
            told[name] = value
    return _encoder.encode(told)


def entry_from_line(line: str) -> Entry | Record:
    """The entry in a line. Raises BadLine.

    >>> entry_from_line('{"v": 1, "kind": "stopped", "at_ms": 7}')
    Stopped(at_ms=7, source='', act=None, again=False)
    """
    try:
        told = json.loads(line)
    except (ValueError, RecursionError):
        raise BadLine(tr("not JSON")) from None
    version = told.get("v") if isinstance(told, dict) else None
    if type(version) is int and version > VERSION:
        raise NewerLine(
            tr("it has version {version}, and this pacer reads up to version {known}", version=version, known=VERSION)
        )
    if version != VERSION:
        raise BadLine(tr("not an entry of version {version}", version=VERSION))
    word = told.get("kind")
    kind = KINDS.get(word) if isinstance(word, str) else None
    if kind is None:
        raise (NewerLine if isinstance(word, str) else BadLine)(tr("no kind of entry is called {word}", word=word))
    readers = _readers(kind)
    values = []
    known = 2
    for name, default in _FIELDS[kind]:
        if name in told:
            try:
                values.append(readers[name](told[name]))
            except ValueError as wrong:
                raise BadLine(f"{name} {wrong}") from None
            known += 1
        elif default is MISSING:
            raise BadLine(tr("{name} is missing", name=name))
        else:
            values.append(default)
    if known != len(told):
        raise NewerLine(tr("it has fields that this pacer does not know"))
    return kind(*values)


@cache
def _readers(kind: type) -> dict[str, Callable]:
    return {name: _reader(wanted) for name, wanted in get_type_hints(kind).items()}


def _reader(wanted) -> Callable:
    """The function that turns a JSON value into the annotated type.

    Lists become tuples, words their enums. It raises ValueError.
    """
    origin, inner = get_origin(wanted), get_args(wanted)
    if origin in (Union, UnionType):
        read = _reader(next(option for option in inner if option is not NoneType))
        return lambda value: None if value is None else read(value)
    if origin is tuple and inner[-1] is Ellipsis:
        read_each = _reader(inner[0])
        return lambda value: tuple([read_each(item) for item in _list(value)])
    if origin is tuple:
        each = [_reader(part) for part in inner]
        return lambda value: tuple([read(item) for read, item in zip(each, _list(value, len(each)))])
    if issubclass(wanted, StrEnum):
        return wanted
    said = {int: tr("a whole number"), str: tr("text"), bool: tr("true or false")}[wanted]

    def plain(value):
        if type(value) is not wanted:
            raise ValueError(tr("is not {said}", said=said))
        return value

    return plain


def _list(value, length: int | None = None) -> list:
    if not isinstance(value, list) or length not in (None, len(value)):
        raise ValueError(tr("is not a list") if length is None else tr("is not a list of {length}", length=length))
    return value
