"""Rounds that lanes or groups swim a different number of times: `3 rounds (lanes 4+5 two rounds)`."""

from __future__ import annotations

import re

from pacer.plan.parts.bitkinds import Kind
from pacer.plan.parts.bits import bits_of
from pacer.plan.words.labels import groups_of

_AROUND = (Kind.LEFT, Kind.RIGHT, Kind.COMMA, Kind.COLON, Kind.SLASH, Kind.DASH, Kind.THEN, Kind.PLUS)
_FILLERS = ("of", "do", "does", "for", "only", "just", "thru", "thro", "through")
_BEHIND_X = re.compile(r"\bx\s?(\d{1,2})(?!\d)", re.IGNORECASE)
HIGHEST_LANE = 20


def by_number(first: str, own: dict[str, str]) -> str:
    """A value for each lane up to the last that is named, in the notation: `first` for lanes without their own.

    "" if the lanes have no numbers.

    >>> by_number("3", {"lanes 4, 5": "2"})
    '3 / 3 / 3 / 2 / 2'
    """
    values: dict[int, str] = {}
    for label, value in own.items():
        for group in groups_of(label) or ("",):
            number = group.removeprefix("lane ")
            if not number.isdigit() or not 0 < int(number) <= HIGHEST_LANE:
                return ""
            values[int(number)] = value
    lanes = [values.get(lane, first) for lane in range(1, max(values, default=0) + 1)]
    return " / ".join(lanes) if all(lanes) else ""


def rounds_by_lane(text: str) -> str:
    """The counts of a line that only says how often each lane swims what is below it; "" for other lines.

    >>> rounds_by_lane("3X lanes 1-4 (2X lanes 5-6)"), rounds_by_lane("A 4 rnds, B 3 rnds of:")
    ('3 / 3 / 3 / 3 / 2 / 2', 'A 4 / B 3')
    >>> rounds_by_lane("3 rounds (lns 4+5 two rounds)"), rounds_by_lane("3 rounds")
    ('3 / 3 / 3 / 2 / 2', '')
    """
    bits, at = bits_of(_BEHIND_X.sub(r"\1x", text)), 0
    first, label, own = "", "", dict[str, str]()
    number = ""
    while at < len(bits):
        bit = bits[at]
        if bit.kind is Kind.LEFT:
            first, number = first or number, ""
        elif bit.kind is Kind.LANES:
            if number and not label:
                own[bit.says], number = number, ""
            else:
                label = bit.says
        elif bit.kind is Kind.NUMBER and at + 1 < len(bits) and bits[at + 1].kind in (Kind.TIMES, Kind.ROUNDS):
            first, number = (first or number), str(bit.number)
            if label:
                own[label], label, number = number, "", ""
            at += 1
        elif bit.kind not in _AROUND and bit.text.casefold() not in _FILLERS:
            return ""
        at += 1
    first = first or number
    if not own or label:
        return ""
    if all(re.fullmatch("[A-Z]", group) for group in own) and len(own) > 1:
        return " / ".join(f"{group} {value}" for group, value in own.items())
    return by_number(first, own)
