"""Shares of a set's repeats: ranges of them, so many of each, some of them by their numbers."""

from __future__ import annotations

import re

from pacer.plan.model import IM_SEQUENCE
from pacer.plan.parts.bitkinds import NUMBERS, Bit, Kind
from pacer.plan.parts.cursor import Cursor
from pacer.plan.parts.partvalues import Share, Swim
from pacer.plan.parts.sharewords import IN_ORDER, JOINTS, Found, closed, opened, share_said, words_of

MOST_NUMBER = 25  #: numbers of repeats are lower


def ranges(line: Cursor, swim: Swim) -> Found | None:
    """`1-4 kick, 5-8 swim`, `#1 fly #2 back`: ranges that cover the repeats."""
    bracket = opened(line)
    found: list[tuple[int, int, Share]] = []
    expected = 1
    while (bit := line.bit()) is not None and bit.kind in (Kind.RANGE, Kind.NUMBER) and bit.number == expected:
        line.at += 1
        line.skip(Kind.COLON)
        share = words_of(line, most=8)
        if not share_said(share, swim):
            return None
        found.append((bit.number, bit.last or bit.number, share))
        expected = found[-1][1] + 1
        if expected > swim.often:
            break
        line.skip(*JOINTS)
    if len(found) < 2 or expected != swim.often + 1 or not closed(line, bracket):
        return None
    return repeats_said(found, swim), line.at


def repeats_said(found: list[tuple[int, int, Share]], swim: Swim) -> str:
    said = (
        f"{a}-{b} {share_said(share, swim)}" if b > a else f"{a} {share_said(share, swim)}" for a, b, share in found
    )
    return f"repeats {' / '.join(said)}"


def named_often(line: Cursor, swim: Swim) -> Found | None:
    """`catch up x2, single arm x2, swim x 2`: that many repeats of each in a row."""
    bracket = opened(line)
    found: list[tuple[int, int, Share]] = []
    while True:
        share = words_of(line)
        if not share_said(share, swim) or not line.sees(0, Kind.TIMES) or not line.sees(1, Kind.NUMBER):
            break
        first = found[-1][1] + 1 if found else 1
        found.append((first, first + line.bits[line.at + 1].number - 1, share))
        line.at += 2
        if not line.sees(0, *JOINTS):
            break
        line.skip(*JOINTS)
    if len(found) > 1 and swim.plural and not swim.often:  # 25s: catch up x2, fists x2
        swim.often = found[-1][1]
    if len(found) < 2 or found[-1][1] != swim.often or not closed(line, bracket):
        return None
    return repeats_said(found, swim), line.at


def of_each(line: Cursor, swim: Swim) -> Found | None:
    """`4 of each IMO`, `2 of each stroke`: that many repeats of each stroke, in the order of an IM."""
    bracket = opened(line)
    each = _number_of_each(line)
    if not each or 4 * each != swim.often:
        return None
    line.skip(Kind.COMMA, words=("stroke", "one", "in", "im order", "imo", "of", "the", "4", "strokes"))
    if not closed(line, bracket):
        return None
    if each == 1:
        return "IM order", line.at
    return _so_many_of_each(each, [Share(work=[stroke]) for stroke in IM_SEQUENCE], swim), line.at


def _number_of_each(line: Cursor) -> int:
    """Go past `2 of each`; the number, 0 if that is not said."""
    bit = line.bit()
    if bit is None or bit.kind is not Kind.NUMBER or not (line.says(1, "each") or line.says(2, "each")):
        return 0
    line.at += 1
    line.skip(words=("of", "each"))
    return bit.number


def _so_many_of_each(each: int, shares: list[Share], swim: Swim) -> str:
    return repeats_said([(each * place + 1, each * place + each, share) for place, share in enumerate(shares)], swim)


def listed_of_each(line: Cursor, swim: Swim) -> Found | None:
    """`scull, fist, catch up, 6 kick switch (2 of each)`: that many repeats of each."""
    bracket = opened(line)
    found: list[Share] = []
    while True:
        start = line.at
        share = words_of(line)
        if line.at > start and line.says(0, "#1"):  # scull #1
            share.words, line.at = f"{share.words} #1".strip(), line.at + 1
        if not share_said(share, swim):
            return None
        found.append(share)
        if not line.sees(0, Kind.COMMA, Kind.SLASH):
            break
        line.at += 1
    inside = line.sees(0, Kind.LEFT)
    line.skip(Kind.LEFT, Kind.COMMA, Kind.DASH)
    each = _number_of_each(line)
    if not each or len(found) < 2 or each * len(found) != swim.often or not closed(line, inside or bracket):
        return None
    return _so_many_of_each(each, found, swim), line.at


def so_many_in_order(line: Cursor, swim: Swim) -> Found | None:
    """`first 4 kick, second 4 swim`, `4 x kick, 4 x swim`: that many repeats of each, one after the other."""
    bracket = opened(line)
    found: list[tuple[int, int, Share]] = []
    done, marked, end = 0, False, line.at
    while True:
        marked = line.skip(words=IN_ORDER) or marked
        bit = line.bit()
        if bit is None or bit.kind is not Kind.NUMBER or not 0 < bit.number < MOST_NUMBER:
            break
        line.at += 1
        marked = line.skip(Kind.TIMES) or marked
        share = words_of(line)
        if not share_said(share, swim):
            return None
        found.append((done + 1, done + bit.number, share))
        done, end = done + bit.number, line.at
        line.skip(*JOINTS)
    line.at = end
    if len(found) < 2 or not marked or done != swim.often or not closed(line, bracket):
        return None
    return repeats_said(found, swim), line.at


def some_of_them(line: Cursor, swim: Swim) -> Found | None:
    """`#3 and #6 fast`, `fast on 3 + 6`, `last two fast`: the other repeats are swum as the set says."""
    bracket = opened(line)
    share = Share()
    if line.sees(0, Kind.WORK, Kind.SAID):
        share = words_of(line)
        if share.words or not line.sees(0, Kind.ON):
            return None
        line.at += 1
    numbers = _numbers(line, swim)
    if not numbers:
        return None
    share = share if share.work else words_of(line)
    if not share.work or not closed(line, bracket):
        return None
    others = Share(work=[*swim.work.values()] or ["swim"])
    each = numbers[0]
    if each > 1 and numbers == [*range(each, swim.often + 1, each)]:
        return f"in turn {each - 1} {share_said(others, swim)} / 1 {share_said(share, swim)}", line.at
    places: list[tuple[int, int, Share]] = []
    for number in range(1, swim.often + 1):
        own = share if number in numbers else others
        if places and places[-1][2] is own:
            places[-1] = (places[-1][0], number, own)
        else:
            places.append((number, number, own))
    return repeats_said(places, swim), line.at


def _place(bit: Bit) -> int:
    """The number of a repeat: `#3`, `3`, `3rd`; 0 if it is none."""
    ordinal = re.fullmatch(r"(\d{1,2})(?:st|nd|rd|th)", bit.text, re.IGNORECASE)
    return int(ordinal[1]) if ordinal else bit.number if bit.kind is Kind.NUMBER else 0


def _numbers(line: Cursor, swim: Swim) -> list[int]:
    """The repeats that are named here, at least two of them or one with its sign; [] if none are."""
    if line.says(0, "last", "final", "first") and line.says(1, "two", "three", "four"):
        often = NUMBERS[line.bits[line.at + 1].text.casefold()]
        first = line.says(0, "first")
        line.at += 2
        some = range(1, often + 1) if first else range(swim.often - often + 1, swim.often + 1)
        return [*some] if often < swim.often else []
    found: list[int] = []
    signed = line.skip(words=("no", "nos", "number", "numbers", "reps", "rep"))
    while (bit := line.bit()) is not None and 0 < (number := _place(bit)) <= swim.often:
        signed = signed or bit.text.startswith("#")
        found.append(number)
        line.at += 1
        after = line.bit(1)
        if not line.sees(0, Kind.PLUS, Kind.COMMA) or after is None or not _place(after):
            break
        line.at += 1
    rising = bool(found) and found == sorted({*found}) and (len(found) > 1 or signed)
    return found if rising and len(found) < swim.often and found[-1] < MOST_NUMBER else []
