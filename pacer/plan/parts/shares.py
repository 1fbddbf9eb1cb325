"""Shares of a set: stretches that fill each repeat, and kinds of repeats that take turns."""

from __future__ import annotations

from collections.abc import Callable

from pacer.plan.model import IM_SEQUENCE, Stroke
from pacer.plan.parts.bitkinds import Kind
from pacer.plan.parts.cursor import FAR, Cursor
from pacer.plan.parts.partvalues import Share, Swim
from pacer.plan.parts.repeatshares import (
    MOST_NUMBER,
    listed_of_each,
    named_often,
    of_each,
    ranges,
    repeats_said,
    so_many_in_order,
    some_of_them,
)
from pacer.plan.parts.sharewords import (
    IN_ORDER,
    JOINTS,
    MOST_SHARE_WORDS,
    WORDS,
    Found,
    by_length,
    closed,
    effort_of_all,
    opened,
    share_said,
    slashed,
    words_of,
)
from pacer.plan.words.linepatterns import SHORT_POOL
from pacer.plan.words.sayings import SAYINGS
from pacer.plan.words.vocabulary import LINE_WORDS


def shares_at(line: Cursor, swim: Swim) -> Found | None:
    """The shares that begin here, in the notation, and the place after them; None if there are none."""
    here = line.at
    for find in _FINDERS:
        made = find(line, swim)
        line.at = here
        if made:
            return made
    return None


def fills_again(swim: Swim, often: int) -> bool:
    """Whether what is said of a set fills it that many times: `400 as 100 swim 100 pull x 2`, `8 x 50 IM order x 2`."""
    if (
        swim.often == 4 * often
        and LINE_WORDS.get(swim.work.get("STROKE", "").casefold(), ("", ""))[1] == Stroke.IM_ORDER
    ):
        return True
    if not swim.shares.startswith("as ") or swim.often or not swim.far:
        return False
    total = sum(int(each.split()[0]) for each in swim.shares.removeprefix("as ").split(" / "))
    return total * often == swim.far


def _lengths(line: Cursor, swim: Swim) -> Found | None:
    """`25 fast / 25 easy`, `as 50 drill 50 swim`, `(25K hard + 25K ez)`: lengths that fill a repeat."""
    if not swim.far:
        return None
    start = line.at
    bracket = opened(line)
    marked = line.at > start and not (swim.work and line.sees(-1, Kind.COMMA))  # 75 back, 50 breast, 25 fly
    found: list[Share] = []
    marked = line.skip(words=IN_ORDER) or marked  # 1st 25 kick 2nd 25 swim
    while (bit := line.bit()) is not None and bit.kind in FAR and 5 <= bit.number < swim.far:
        line.at += 1
        share = words_of(line)
        share.number = bit.number
        found.append(share)
        if sum(each.number for each in found) >= swim.far:
            break
        here = line.at
        line.skip(*JOINTS, words=IN_ORDER)
        if not line.sees(0, *FAR) or line.sees(1, Kind.TIMES):
            line.at = here
            break
    total = sum(each.number for each in found)
    if (
        len(found) < 2
        or swim.far % total
        or not (swim.often or marked)
        or not all(share_said(each, swim) for each in found)
    ):
        return None
    if not closed(line, bracket):
        return None
    return "as " + " / ".join(f"{each.number} {share_said(each, swim)}" for each in found), line.at


def _odd_even(line: Cursor, swim: Swim) -> Found | None:
    """`odds fast, evens easy`."""
    bracket = opened(line)
    if swim.often < 2 or not line.sees(0, Kind.ODD):
        return None
    line.at += 1
    line.skip(Kind.COLON)
    odd = words_of(line)
    line.skip(*JOINTS)
    if not line.sees(0, Kind.EVEN):
        return None
    line.at += 1
    line.skip(Kind.COLON)
    even = words_of(line)
    if not (share_said(odd, swim) and share_said(even, swim) and closed(line, bracket)):
        return None
    return f"odd {share_said(odd, swim)} / even {share_said(even, swim)}", line.at


def _alternating(line: Cursor, swim: Swim) -> Found | None:
    """`alt free/back`, `free/back alternate lengths`: repeats or lengths take turns."""
    bracket = opened(line)
    first = line.sees(0, Kind.ALTERNATE)
    line.at += first
    found = slashed(line, swim, turns=first)
    if not first:
        if not line.sees(0, Kind.ALTERNATE):
            return None
        line.at += 1
    if len(found) < 2:
        return None
    effort_of_all(found, swim)
    by = by_length(line)
    if not by and line.sees(0, Kind.LENGTHS) and swim.far > SHORT_POOL:
        line.at += 1
        by = SHORT_POOL
    line.skip(Kind.LENGTHS, words=("reps",))
    if not by and swim.often < 2 and swim.far > SHORT_POOL:
        by = SHORT_POOL
    if not closed(line, bracket):
        return None
    said = [share_said(each, swim) for each in found]
    if by and swim.far and swim.far % by == 0 and (swim.far // by) >= len(found):
        shares = [
            said[place % len(said)]
            for place in range(len(said) if swim.far % (by * len(said)) == 0 else swim.far // by)
        ]
        return "as " + " / ".join(f"{by} {each}" for each in shares), line.at
    if len(said) == 2 and swim.often > 1:
        return f"odd {said[0]} / even {said[1]}", line.at
    if swim.often > 1 and swim.often % len(said) == 0:
        return "in turn " + " / ".join(f"1 {each}" for each in said), line.at
    return None


def _by(line: Cursor, swim: Swim) -> Found | None:
    """`6 kick switch / catch up / swim by 25`; without `by` if the shares are lengths of the repeat."""
    bracket = opened(line)
    found = slashed(line, swim)
    if len(found) < 2 or not swim.far:
        return None
    effort_of_all(found, swim)
    if len(found) == 4 and "IM" in found[0].work:  # IM kick / drill / swim / swim
        found[0].work.remove("IM")
        for share, stroke in zip(found, IM_SEQUENCE):
            share.work.append(stroke)
    by = by_length(line)
    often = line.bit(1)
    if not by and line.sees(0, Kind.TIMES) and often and often.number >= MOST_NUMBER:  # free/back x 50
        line.at, by = line.at + 2, often.number
    if not by and swim.far % len(found) == 0 and (bracket or swim.far == SHORT_POOL * len(found)):
        by = swim.far // len(found)
    if not by or swim.far % (by * len(found)) or not closed(line, bracket):
        return None
    return "as " + " / ".join(f"{by} {share_said(each, swim)}" for each in found), line.at


def _pairs(line: Cursor, swim: Swim) -> Found | None:
    """`fl/bk, bk/br, br/fr, fr/fl by 25`: each repeat its own strokes."""
    bracket = opened(line)
    found: list[list[Share]] = []
    while pair := slashed(line, swim):
        found.append(pair)
        if not line.sees(0, Kind.COMMA):
            break
        line.at += 1
    by = by_length(line)
    if len(found) < 2 or len(found) != swim.often or any(len(pair) < 2 for pair in found):
        return None
    by = by or swim.far // len(found[0])
    if any(len(pair) * by != swim.far for pair in found) or not closed(line, bracket):
        return None
    said = (" / ".join(f"{by} {share_said(each, swim)}" for each in pair) for pair in found)
    return "repeats " + " / ".join(f"{place} ({pair})" for place, pair in enumerate(said, start=1)), line.at


def _turns(line: Cursor, swim: Swim) -> Found | None:
    """`1 fast 1 easy`, `4 dolphin / 4 flutter / 4 whip`: that many repeats of each."""
    bracket = opened(line)
    found: list[Share] = []
    while (bit := line.bit()) is not None and bit.kind is Kind.NUMBER and 1 <= bit.number < 10:
        line.at += 1
        share = words_of(line)
        if not share_said(share, swim):
            return None
        share.number = bit.number
        found.append(share)
        here = line.at
        line.skip(*JOINTS)
        if not line.sees(0, Kind.NUMBER) or line.sees(1, Kind.TIMES):
            line.at = here
            break
    turn = sum(each.number for each in found)
    if swim.plural and not swim.often and turn > 1:  # 25s: 4 catch-up 4 fist
        swim.often = turn
    if len(found) < 2 or swim.often < 2 or swim.often % turn or not closed(line, bracket):
        return None
    if turn < swim.often and any(each.words for each in found):
        return None
    if turn == swim.often and turn > len(found):
        places, first = [], 1
        for each in found:
            places.append((first, first + each.number - 1, each))
            first += each.number
        return repeats_said(places, swim), line.at
    return "in turn " + " / ".join(f"{each.number} {share_said(each, swim)}" for each in found), line.at


def _there_and_back(line: Cursor, swim: Swim) -> Found | None:
    """`drill down, swim back`, `single arm out / 6-1-6 back`: one way and the other."""
    bracket = opened(line)
    ends, start = (("down", "there", "up", "out"), ("back", "home")), line.at
    found: list[Share] = []
    for words in ends:
        first = line.at
        while not line.says(0, *words) and line.sees(0, *WORDS, Kind.SLASH) and line.at - first < MOST_SHARE_WORDS:
            line.at += 1
        if not line.says(0, *words) or line.at == first:
            return None
        inner = Cursor(line.between(first, line.at))
        share = words_of(inner)
        if not inner.ended or not share.work and not share.words:
            share = Share(words=line.between(first, line.at))
        if share.words and not share.work and (match := SAYINGS.fullmatch(share.words)) and match["drill"]:
            share = Share(work=["drill", share.words])
        found.append(share)
        line.at += 1
        if len(found) == 1:
            line.skip(*JOINTS)
    by = SHORT_POOL if swim.far % (2 * SHORT_POOL) == 0 else swim.far // 2
    if line.at == start or not by or not closed(line, bracket):
        return None
    return "as " + " / ".join(f"{by} {share_said(each, swim)}" for each in found), line.at


_FINDERS: tuple[Callable[[Cursor, Swim], Found | None], ...] = (
    _there_and_back, of_each, listed_of_each, _lengths, _odd_even, ranges, named_often, _pairs, _alternating, _by,
    _turns, so_many_in_order, some_of_them,
)  # fmt: skip
