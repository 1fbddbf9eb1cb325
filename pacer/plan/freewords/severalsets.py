"""Several sets on a line, or in a bracket, and segments between commas: they are told apart, then solved one by one."""

from __future__ import annotations

import re
from collections.abc import Callable

from pacer.plan.freewords.setrewording import timed_work
from pacer.plan.regex import regex

Solve = Callable[[str], str]
Reads = Callable[[str], bool]

_REPEAT = regex(r"^\d{1,2}\s*[x×]\s*(\d{2,4})\b", re.IGNORECASE)
_PART = regex(r"(\d{1,3})\s*m?\s+(?![x×]\s*\d)[^\W\d]", re.IGNORECASE)


def filled(pieces: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """The pieces of a line, with distances that fill the repeat put together as its segments."""
    first = _REPEAT.match(pieces[0][1]) if pieces else None
    for start in range(1, len(pieces)) if first else ():
        total = 0
        for end in range(start, len(pieces)):
            part = _PART.match(pieces[end][1])
            total += int(part[1]) if part else 0
            if part is None or first is None or total > int(first[1]):
                break
            if total == int(first[1]) and end > start:
                segments = " / ".join(piece.strip(" ,;:-–—/.!") for _, piece in pieces[start : end + 1])
                return [pieces[0], (" ", f"as {segments}"), *pieces[1:start], *pieces[end + 1 :]]
    return pieces


_INSIDE = regex(
    r"(?P<lead>[^\d]*)(?P<n>\d{1,2})\s*[x×]\s*[({\[](?P<parts>[^()\[\]{}]*)[)}\]](?P<tail>.*)", re.IGNORECASE
)
_TIMED = regex(
    r"(?P<lead>(?:[^\W\d_]+\s+)*)(?P<time>\d{1,3}\s*(?:s|secs?|seconds?|mins?))\s+(?P<words>[^\d]+)", re.IGNORECASE
)


def several_said(text: str) -> bool:
    """Whether a line has two sets with // between."""
    return "//" in text


def bracket_said(text: str) -> bool:
    """Whether a line is a bracket with sets in it."""
    return bool(_INSIDE.fullmatch(text.strip()))


def in_bracket(text: str, solve: Solve, reads: Reads) -> str:
    """A bracket whose parts are solved one by one: `4 x (eggbeater 30s hands out, 25 sprint) rest 45s`."""
    match = _INSIDE.fullmatch(text)
    parts = re.split(r"\s*[,/+]\s*", match["parts"].strip()) if match else []
    if match is None or match["lead"].strip() or len(parts) < 2:
        return ""
    made, timed = [], False
    for part in parts:
        one = _TIMED.fullmatch(part)
        if one and re.fullmatch(r"(?:rest|ri?|break|recovery)\b", one["words"].strip(), re.IGNORECASE):
            made.append(f"rest {one['time']}")
            continue
        if one:
            work, notes = timed_work(one["lead"], one["words"])
            said, timed = f"{one['time']} {work}" + (f' "{", ".join(notes)}"' if notes else ""), True
        else:
            said = solve(part)
        if not said or not said[0].isdigit() and not said.startswith("rest "):
            return ""
        made.append(said)
    tail = match["tail"].strip(" ,")
    inside = f"{' + '.join(made)} + {tail})" if timed and tail else f"{' + '.join(made)}) {tail}"
    whole = f"{match['n']} x ({inside}".strip()
    return whole if reads(whole) else ""


#: Where the next of several sets begins on a line, and rounds in front of them all.
_NEXT_SET = regex(
    r"\s*//\s*|;\s+(?=\d)|[,.]?\s+then\s+(?=\d)|[,.]\s+(?=\d{1,2}\s*[x×]\s*\d)|\s{2,}(?=\d{1,2}\s*[x×]\s*\d)|\s+\+\s+(?=\d)",
    re.IGNORECASE,
)
_ROUNDS_FIRST = regex(r"\d{1,2}\s*(?:rds?|rounds?|times|[x×])\s*(?:of\b)?\s*:?\s+(?=\d)", re.IGNORECASE)


def several(text: str, solve: Solve, reads: Reads) -> str:
    """Several sets on a line, each solved by itself; "" if one of them cannot be."""
    rounds = _ROUNDS_FIRST.match(text)
    lead = rounds[0] if rounds else ""
    parts = [part for part in _NEXT_SET.split(text[len(lead) :]) if part.strip()]
    if len(parts) < 2 or re.search(r"[()\[\]]", text):
        return ""
    made = [solve(part) for part in parts]
    if not all(each and each[0].isdigit() for each in made):
        return ""
    whole = f"{re.sub(r'[x×:]', ' ', lead).strip().split(' ')[0]} rounds " if lead else ""
    said = whole + " + ".join(made)
    return said if reads(said) else ""
