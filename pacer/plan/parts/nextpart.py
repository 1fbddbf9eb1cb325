"""Where the next part of a line begins."""

from __future__ import annotations

import re

from pacer.plan.parts.bitkinds import Kind
from pacer.plan.parts.cursor import BREAKS, CLOCK, FAR, Cursor
from pacer.plan.parts.details import short_number
from pacer.plan.parts.heads import LEAST_ALONE, head, rounds_head
from pacer.plan.parts.partvalues import Swim
from pacer.plan.regex import regex

LEAST_TOLD = 100  #: what a lane swims instead of a counted set; less is its interval or its count
_COUNT_FIRST = regex(
    r"^\W*(?:[x×]\s?(?P<a>\d{1,2})|(?P<b>\d{1,2})\s?[x×])\)?[\s:–-]+(?=\d{2,4}\s*(?:m\b|[^\W\d]))", re.IGNORECASE
)


def distance_first(line: Cursor) -> Cursor:
    """The line, with its distance first if it is said last: `fists x2, catch up x2, all 25s`."""
    if len(line.bits) < 4 or line.bits[-2].text.casefold() != "all" or line.bits[-1].kind is not Kind.FAR:
        return line
    if any(bit.kind in FAR and bit.number >= LEAST_ALONE for bit in line.bits[:-2]):
        return line
    said = line.text[: line.bits[-2].start].rstrip(" ,;-–—(")
    return Cursor(f"{line.bits[-1].number}s {said}")


def count_first(text: str) -> str:
    """A line that begins with its count, with a sign for times behind it: `x6 50m kick`, `(6x) 50 kick`."""
    return _COUNT_FIRST.sub(lambda match: f"{match['a'] or match['b']} x ", text, count=1)


def next_begins(line: Cursor, pool: int, swim: Swim, noted: bool) -> bool:
    """Whether the next part begins here, after signs that join sets; the cursor stays."""
    here = line.at
    timed = swim.on or swim.rest or line.sees(0, Kind.SLASH) and line.sees(1, Kind.LANES)
    joined = line.skip(Kind.COMMA, Kind.PLUS, Kind.THEN, Kind.STOP, Kind.DASH, *([Kind.SLASH] if timed else []))
    plus = joined and line.sees(-1, Kind.PLUS)
    try:
        if rounds_head(line) is not None:
            return True
        if plus and short_number(line, 0):
            return False
        if (
            line.sees(0, Kind.LANES)
            and _by_lanes_ahead(line, swim)
            and (joined or swim.lanes and line.sees(2, Kind.TIMES))
        ):
            return True
        if joined:
            here_now = line.at
            while (
                line.sees(0, Kind.WORK, Kind.SAID, Kind.WORD)
                or line.sees(0, Kind.NUMBER)
                and line.bits[line.at].text[0] == "#"
            ) and line.at < here_now + 5:
                line.at += 1
            if not (line.sees(0, Kind.NUMBER) and line.sees(1, Kind.TIMES)):
                line.at = here_now
                line.skip(Kind.WORK)
        first = line.bit()
        start = line.at
        if first is None or first.kind in CLOCK:
            return False
        if head(line, pool) is None:
            return False
        if line.at - start > 1:
            return True
        if first.kind is Kind.FAR and first.text[-1:] in "sS" and not (line.sees(0, Kind.WORK, Kind.COLON)):
            return False
        if joined and (first.kind is Kind.FAR or first.number >= 50):
            return True
        said = line.sees(0, Kind.WORK, Kind.SAID, Kind.GEAR)
        alone = not swim.often and first.number >= 100  # 200 free 200 rev IM 200 kick
        return said and (alone or not noted) or not noted and line.sees(0, Kind.WORD) and line.sees(1, Kind.WORK)
    finally:
        line.at = here


def _by_lanes_ahead(line: Cursor, swim: Swim) -> bool:
    ahead = 1
    while line.sees(ahead, Kind.COLON, Kind.WORK, Kind.SAID):
        ahead += 1
    far = line.bit(ahead)
    if far is None or far.kind not in FAR:
        return False
    return not swim.often or far.number >= LEAST_TOLD or line.sees(ahead + 1, Kind.TIMES)


def broken_pieces(line: Cursor, pool: int, swim: Swim) -> bool:
    """Whether the pieces of a broken swim begin here: they come to its distance."""
    if "broken" not in [word.casefold() for word in swim.said]:
        return False
    here = line.at
    line.skip(*BREAKS)
    ladder = head(line, pool)
    line.at = here
    return ladder is not None and sum(ladder.ladder) == swim.far
