"""What a screen sends, checked: everything that is not exactly a message of the protocol is refused."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from dataclasses import MISSING, dataclass, fields
from itertools import pairwise
from typing import Any

MOST_MESSAGE_BYTES = 4_096  #: of a message that comes in
MOST_STROKES = 64  #: of one stroke rate
VIEWS = ("lane", "dial", "pool")
_MOST_MS = 2**40  #: of any time: 34 years
_MOST_COUNT = 2**31


class BadMessage(ValueError):
    """It is no message of the protocol; the text says why."""


@dataclass(frozen=True, slots=True)
class Join:
    """A device wants to be a screen of a session: by the code, by the token that it was given, or by its key."""

    v: int
    device: str
    session: str
    code: str | None = None
    token: str | None = None
    mac: str | None = None


@dataclass(frozen=True, slots=True)
class Pick:
    """What a screen wants to show, and since which session time, if it knows."""

    lane: int
    view: str
    at_ms: int | None = None


@dataclass(frozen=True, slots=True)
class ClockAsked:
    """The first of four timestamps, and the screen's own bound on its clock's error."""

    t1_ms: float
    bound_ms: float | None = None


@dataclass(frozen=True, slots=True)
class SignedAct:
    """An act as it is sent: its text and what signs it."""

    body: str
    mac: str


@dataclass(frozen=True, slots=True)
class Act:
    """What a helper did, by the helper's own clock in session time."""

    n: int
    kind: str
    at_ms: int
    bound_ms: int
    lane: int | None = None
    marks_ms: tuple[int, ...] | None = None
    cycles: int = 1


Message = Join | Pick | ClockAsked | SignedAct


def message_of(text: str | bytes) -> Message:
    """The message that a frame holds. Raises BadMessage.

    >>> message_of('{"type": "pick", "lane": 2, "view": "dial"}')
    Pick(lane=2, view='dial', at_ms=None)
    """
    if not isinstance(text, str):
        raise BadMessage("not text")
    told = _object(text)
    kind = told.pop("type", None)
    if not isinstance(kind, str) or kind not in _MESSAGES:
        raise BadMessage("no message is of that type")
    return _MESSAGES[kind](told)


def act_of(body: str) -> Act:
    """The act that a signed text holds. Raises BadMessage."""
    act = _reader(Act, _ACT)(_object(body))
    if act.kind in ("touch", "rate") and act.lane is None:
        raise BadMessage("lane is missing")
    if (act.kind == "rate") != (act.marks_ms is not None):
        raise BadMessage("marks_ms belongs to a rate")
    return act


def _object(text: str) -> dict[str, Any]:
    if len(text.encode("utf-8", "surrogatepass")) > MOST_MESSAGE_BYTES:
        raise BadMessage("too long")
    try:
        told = json.loads(text, parse_constant=_refused)
    except (ValueError, RecursionError):
        raise BadMessage("not JSON") from None
    if not isinstance(told, dict):
        raise BadMessage("not an object")
    return told


def _refused(_name: str) -> None:
    raise ValueError


Check = Callable[[Any], Any]


def _reader(kind: type, checks: dict[str, Check]) -> Callable[[dict[str, Any]], Any]:
    """What makes one of `kind` of an object that has its fields, and no other, as `checks` want them."""

    def read(told: dict[str, Any]) -> Any:
        if not told.keys() <= checks.keys():
            raise BadMessage("it says more than the protocol knows")
        missing = [each.name for each in fields(kind) if each.default is MISSING and each.name not in told]
        if missing:
            raise BadMessage(f"{missing[0]} is missing")
        return kind(**{name: checks[name](value) for name, value in told.items()})

    return read


def _text(pattern: str) -> Check:
    wanted = re.compile(pattern)

    def check(value: Any) -> str:
        if not isinstance(value, str) or not wanted.fullmatch(value):
            raise BadMessage("a text is not as it should be")
        return value

    return check


def _whole(least: int, most: int) -> Check:
    def check(value: Any) -> int:
        if type(value) is not int or not least <= value <= most:
            raise BadMessage("a whole number is not as it should be")
        return value

    return check


def _ms(value: Any) -> float:
    if type(value) not in (int, float) or abs(value) > _MOST_MS or not math.isfinite(value):
        raise BadMessage("a time is not as it should be")
    return float(value)


def _ms_or_none(value: Any) -> float | None:
    return None if value is None else abs(_ms(value))


def _whole_or_none(value: Any) -> int | None:
    return None if value is None else _whole(-_MOST_MS, _MOST_MS)(value)


def _one_of(*words: str) -> Check:
    def check(value: Any) -> str:
        if value not in words:
            raise BadMessage("a word is not known")
        return value

    return check


def _marks(value: Any) -> tuple[int, ...]:
    if not isinstance(value, list) or not 2 <= len(value) <= MOST_STROKES:
        raise BadMessage("marks_ms is not as it should be")
    marks = tuple([_whole(-_MOST_MS, _MOST_MS)(mark) for mark in value])
    if any(after <= before for before, after in pairwise(marks)):
        raise BadMessage("marks_ms does not ascend")
    return marks


_HEX_16, _HEX_32, _HEX_64 = (_text(f"[0-9a-f]{{{count}}}") for count in (16, 32, 64))
_LANE = _whole(0, 99)
_ACT = {
    "n": _whole(1, _MOST_COUNT),
    "kind": _one_of("touch", "rate", "stop all"),
    "at_ms": _whole(-_MOST_MS, _MOST_MS),
    "bound_ms": _whole(0, _MOST_MS),
    "lane": _LANE,
    "marks_ms": _marks,
    "cycles": _whole(1, 10),
}
_MESSAGES = {
    "join": _reader(
        Join,
        {
            "v": _whole(1, _MOST_COUNT),
            "device": _HEX_16,
            "session": _HEX_32,
            "code": _text("[0-9]{6}"),
            "token": _HEX_32,
            "mac": _HEX_64,
        },
    ),
    "pick": _reader(Pick, {"lane": _LANE, "view": _one_of(*VIEWS), "at_ms": _whole_or_none}),
    "time": _reader(ClockAsked, {"t1_ms": _ms, "bound_ms": _ms_or_none}),
    "act": _reader(SignedAct, {"body": _text("[^\ud800-\udfff]{1,2048}"), "mac": _HEX_64}),  # what UTF-8 can say
}
