"""Several sets that a line says at once: one for each lane, each interval or each kind of work."""

from __future__ import annotations

import re
from collections.abc import Callable

from pacer.plan.parts.bits import Bit, Kind
from pacer.plan.parts.cursor import FAR, Cursor
from pacer.plan.parts.details import values
from pacer.plan.parts.heads import LEAST_ALONE, head
from pacer.plan.parts.partvalues import Part, Swim

Tail = Callable[[Swim], None]  #: reads what is said of a set after its distance
MOST_ALONE = 1000  #: distances of all groups that are as long are totals


def listed(line: Cursor, tail: Tail) -> list[Swim]:
    """`400/300/200/100 fc, ch, k, p`: as many distances as kinds of work."""
    here = line.at
    far: list[int] = []
    while line.sees(0, *FAR) and line.bits[line.at].number >= 25:
        far.append(line.bits[line.at].number)
        line.at += 1
        if not (line.sees(0, Kind.SLASH) and line.sees(1, *FAR)):
            break
        line.at += 1
    work: list[Bit] = []
    while len(far) > 2 and line.sees(0, Kind.WORK):
        work.append(line.bits[line.at])
        line.at += 1
        if not (line.sees(0, Kind.COMMA, Kind.SLASH) and line.sees(1, Kind.WORK)):
            break
        line.at += 1
    if len(far) < 3 or len(work) != len(far):
        line.at = here
        return []
    swims = [Swim(0, each, work={bit.word: bit.says or bit.text}) for each, bit in zip(far, work)]
    tail(swims[-1])
    for swim in swims[:-1]:
        swim.rest, swim.on = swims[-1].rest, swims[-1].on
    return swims


def by_lanes(line: Cursor, pool: int, tail: Tail) -> list[Swim]:
    """`A 500 B 400 C 300`, `A 8 B 6 x 25`, `A 5 x 250 B 5 x 200`: each group's own distance, count or set."""
    here = line.at
    found: list[str] = []
    while (
        line.sees(0, Kind.LANES)
        and line.bits[line.at].text.isalpha()
        and line.sees(1, *FAR)
        and not line.sees(2, Kind.TIMES)
    ):
        found.append(f"{line.bits[line.at].says} {line.bits[line.at + 1].number}")
        line.at += 2
        line.skip(Kind.COMMA, Kind.SLASH)
    counts = (
        bool(found)
        and line.sees(0, Kind.LANES)
        and line.sees(1, Kind.NUMBER)
        and line.sees(2, Kind.TIMES)
        and line.sees(3, *FAR)
    )
    if counts and len(found) > 0 and int(found[0].split()[1]) < 25:
        found.append(f"{line.bits[line.at].says} {line.bits[line.at + 1].number}")
        swim = Swim(far=line.bits[line.at + 3].number, often_by_lane=" / ".join(found))
        line.at += 4
        tail(swim)
        return [swim]
    far = [int(each.split()[1]) for each in found]
    if len(found) < 2 or min(far) < LEAST_ALONE or min(far) >= MOST_ALONE:
        line.at = here
        return _sets_by_lanes(line, pool, tail)
    swim = Swim(far_by_lane=" / ".join(found))
    tail(swim)
    return [swim]


def _sets_by_lanes(line: Cursor, pool: int, tail: Tail) -> list[Swim]:
    """`A 5 x 250 B 5 x 200`: a set for each group or lane."""
    here, found = line.at, list[Swim]()
    while line.sees(0, Kind.LANES):
        label, start = line.bits[line.at].says, line.at
        line.at += 1
        line.skip(Kind.COLON, words=("do", "does"))
        lead = list[Bit]()
        while line.sees(0, Kind.WORK, Kind.SAID):
            lead.append(line.bits[line.at])
            line.at += 1
        swim = head(line, pool)
        if swim is None or not swim.often:
            line.at = start
            break
        swim.work |= {each.word: each.says or each.text for each in lead if each.kind is Kind.WORK}
        swim.said += [each.says or each.text for each in lead if each.kind is Kind.SAID]
        swim.lanes = label
        tail(swim)
        found.append(swim)
        line.skip(Kind.COMMA, Kind.SLASH, Kind.STOP, Kind.PLUS)
    if len(found) < (1 if here and line.sees(here - line.at - 1, Kind.SLASH, Kind.COMMA, Kind.STOP) else 2):
        line.at = here
        return []
    return found


def each_on(line: Cursor, swim: Swim) -> list[Swim]:
    """`100s: 3 on 1:40, 2 on 1:30`: that many repeats on each interval."""
    if not swim.plural or swim.often:
        return []
    here, found = line.at, list[Swim]()
    line.skip(Kind.COLON, Kind.DASH, Kind.COMMA)
    while line.sees(0, Kind.NUMBER) and line.sees(1, Kind.ON, Kind.AT):
        often = line.bits[line.at].number
        line.at += 2
        on = values(line, bare=True)
        if len(on) != 1:
            break
        found.append(Swim(often, swim.far, work=dict(swim.work), on=on))
        line.skip(Kind.COMMA, Kind.PLUS, Kind.THEN)
    if len(found) < 2:
        line.at = here
        return []
    found[0].notes = swim.notes
    return found


def in_pieces(parts: list[Part], swim: Swim) -> None:
    """`400 as 4 x 100`, `broken 200: 4 x 50`: the pieces are what is swum."""
    match parts:
        case [*_, Swim(often=0) as whole] if (
            whole.far and swim.often and swim.often * swim.far == whole.far and not whole.shares
        ):
            broken = any(word.casefold() == "broken" for word in whole.said) or any(
                re.search(r"\b(?:broken|as)\b", note) for note in whole.notes
            )
            if broken:
                parts.pop()
                swim.work = {**whole.work, **swim.work}
                swim.notes += [" ".join([*whole.said, str(whole.far)]), *whole.notes]


def same_without(parts: list[Part], swim: Swim) -> None:
    """`2 x 25 kick with a float, then 2 x 25 no float`: the same work."""
    match parts:
        case [*_, Swim() as above] if not swim.work and any(
            each.casefold().startswith(("no ", "without ")) for each in (*swim.said, *swim.notes)
        ):
            swim.work = dict(above.work)
