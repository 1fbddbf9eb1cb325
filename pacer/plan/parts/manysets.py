"""Several sets that a line says at once: one for each lane, each interval or each kind of work."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from pacer.plan.parts.bitkinds import Bit, Kind
from pacer.plan.parts.cursor import CLOCK, FAR, Cursor
from pacer.plan.parts.details import clock, detail, seconds_of
from pacer.plan.parts.heads import LEAST_ALONE, head
from pacer.plan.parts.partvalues import Part, Rounds, Swim
from pacer.plan.words.sayings import PLACE

Tail = Callable[[Swim], None]  #: reads what is said of a set after its distance
_WORDS = (Kind.WORK, Kind.SAID, Kind.WORD)
LEAST_APART = 50  #: the longest distances between commas that are parts of one repeat
MOST_WORDS_APART = 4
MOST_ALONE = 1000  #: distances of all groups that are as long are totals


def listed(line: Cursor, tail: Tail) -> list[Swim]:
    """`400/300/200/100 fc, ch, k, p`: as many distances as kinds of work."""
    here = line.at
    far: list[int] = []
    while line.sees(0, *FAR) and line.bits[line.at].number >= 25:
        far.append(line.bits[line.at].number)
        line.at += 1
        if line.sees(0, Kind.SLASH, Kind.DASH, Kind.COMMA) and line.sees(1, *FAR):
            line.at += 1
    work: list[list[Bit]] = []
    apart = line.sees(1, Kind.COMMA, Kind.SLASH)
    while len(far) > 2 and line.sees(0, Kind.WORK):
        work.append([])
        while line.sees(0, Kind.WORK) and (apart or not work[-1]):
            work[-1].append(line.bits[line.at])
            line.at += 1
            apart = apart or line.sees(0, Kind.COMMA, Kind.SLASH) and len(work) == 1
        if line.sees(0, Kind.COMMA, Kind.SLASH) and line.sees(1, Kind.WORK):
            line.at += 1
    if len(far) < 3 or len(work) != len(far):
        line.at = here
        return []
    swims = [Swim(0, each, work={bit.word: bit.says or bit.text for bit in own}) for each, own in zip(far, work)]
    tail(swims[-1])
    last = swims[-1]
    for place, swim in enumerate(swims):
        swim.rest, swim.on = ([each[place]] if len(each) == len(swims) else each for each in (last.rest, last.on))
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


_BESIDE_PIECES = ("first", "next", "last", "then", "the", "middle", "final", "remaining", "#")


def pieces(line: Cursor, swim: Swim) -> list[Part]:
    """`1-4 pull on 2:45, 5-8 swim on 2:40`, `100s: 3 on 1:40, 2 on 1:30`: that many repeats on each interval."""
    here, found, done = line.at, list[Swim](), 0
    bracket = line.skip(Kind.COLON, Kind.DASH, Kind.COMMA, Kind.STOP, Kind.LEFT) and line.sees(-1, Kind.LEFT)
    while (piece := _piece(line, swim, done)) is not None:
        found.append(piece)
        done += piece.often
        line.skip(Kind.COMMA, Kind.PLUS, Kind.THEN, Kind.SLASH, Kind.DASH, Kind.STOP)
    again, left = divmod(swim.often or done, max(done, 1))
    if len(found) < 2 or left or not (swim.often or swim.plural) or swim.on or swim.rest:
        line.at = here
        return []
    line.skip(*([Kind.RIGHT] if bracket else []))
    found[0].notes = [*swim.notes, *found[0].notes]
    if again == 1 and _alike(found):  # one set whose interval changes on the way
        found[0].often, found[0].on = done, [" then ".join(each.on[0] for each in found)]
        return [found[0]]
    return [*found] if again == 1 else [Rounds(again, [*found])]


def _alike(found: list[Swim]) -> bool:
    """Whether sets differ in nothing but their intervals."""
    return all(len(each.on) == 1 and replace(each, on=[]) == replace(found[0], on=[]) for each in found)


def _piece(line: Cursor, swim: Swim, done: int) -> Swim | None:
    """That many repeats of a set, with an interval or a rest of their own; `done` are those before them."""
    start = line.at
    line.skip(words=_BESIDE_PIECES)
    bit = line.bit()
    if bit is not None and (bit.kind is Kind.RANGE and bit.number == done + 1 or bit.kind is Kind.NUMBER):
        often = bit.last - bit.number + 1 if bit.kind is Kind.RANGE else bit.number
        line.at += 1
        line.skip(Kind.COLON)
        piece = Swim(often, swim.far, work=dict(swim.work), said=list(swim.said))
        first = line.at
        while (bit := line.bit()) is not None and bit.kind in _WORDS and line.at - first < MOST_WORDS_APART:
            if bit.kind is Kind.WORK:
                piece.work[bit.word] = bit.says or bit.text
            else:
                piece.notes.append(bit.text)
            line.at += 1
        timed = line.sees(0, Kind.ON, Kind.AT, Kind.REST) or line.sees(0, *CLOCK)
        if often < LEAST_ALONE and timed and detail(line, piece, related=False):
            return piece
    line.at = start
    return None


def mirrored(line: Cursor, parts: list[Part]) -> Swim | None:
    """Add the way back through the same distances, if the line says `then back up`; return its last set."""
    match parts:
        case [*_, Swim(ladder=there) as ladder] if there:
            line.at += 1
            ladder.ladder = (*there, *there[-2::-1])
            return ladder
    run = [part for part in parts if isinstance(part, Swim) and part.far and not (part.often or part.lanes)]
    if len(run) < 2 or run != parts[-len(run) :]:
        return None
    line.at += 1
    here, said = line.at, list[int]()
    line.skip(Kind.COMMA, Kind.COLON, Kind.LEFT)
    while line.sees(0, *FAR):
        said.append(line.bits[line.at].number)
        line.at += 1
        line.skip(Kind.COMMA, Kind.SLASH, Kind.DASH, Kind.RIGHT)
    back = [replace(part, work=dict(part.work), notes=[], on=list(part.on), rest=list(part.rest)) for part in run[::-1]]
    if said != [part.far for part in back]:
        line.at = here if said != [part.far for part in back[1:]] else line.at
        back = back[1:]
    parts += back
    return back[-1]


def rests_apart(swim: Swim) -> list[Swim]:
    """The distances of a ladder as sets, each with its own rest: `rest 10 secs per 50`."""
    return [
        replace(swim, far=far, ladder=(), rest=[clock(int(seconds_of(swim.rest[0]) * far / swim.per))])
        for far in swim.ladder
    ]


def in_rounds(parts: list[Part], last: Swim, joined: bool) -> Rounds | None:
    """`100 swim 50 kick x 3`: the sets that are swum one after the other that many times; None if only the last is."""
    swims = [part for part in parts if isinstance(part, Swim) and not (part.often or part.lanes or part.on)]
    alike = {swim.far for swim in swims} == {last.far}
    if len(swims) != len(parts) or last.lanes or not (joined or alike and last.far <= LEAST_APART):
        return None
    for swim in swims:
        swim.rest = swim.rest or last.rest
    rounds = Rounds(last.often, [*swims, replace(last, often=0)])
    rounds.straight = alike and not last.rest
    if rounds.straight and last.on:  # 50 kick / 50 swim x 4 on 2:00
        rounds.on, rounds.parts = last.on[0], [*swims, replace(last, often=0, on=[])]
    return rounds


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


def same_work(swim: Swim, parts: list[Part], ahead: dict[str, str]) -> None:
    """Give a set about which nothing is said the work in front of the first: `pull 4x100, 4x50`."""
    first = parts[0]
    if not isinstance(first, Swim) or swim.lengths or swim.shares or not all(map(PLACE.fullmatch, swim.said)):
        return
    sides = "front" in first.notes and swim.work == {"STROKE": "back"}  # kick 4x25 front 4x25 back
    if ahead and (sides or not swim.work):
        swim.work = {**ahead, **swim.work}
