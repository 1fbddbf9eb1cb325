"""Shares of a set: stretches that fill each repeat, and kinds of repeats that take turns."""

from __future__ import annotations

from collections.abc import Callable

from pacer.plan.model import IM_SEQUENCE, Stroke
from pacer.plan.parts.bitkinds import Kind
from pacer.plan.parts.cursor import FAR, Cursor
from pacer.plan.parts.partvalues import Share, Swim
from pacer.plan.words.linepatterns import SHORT_POOL
from pacer.plan.words.sayings import SAYINGS
from pacer.plan.words.vocabulary import LINE_WORDS

_JOINTS = (Kind.SLASH, Kind.COMMA, Kind.PLUS, Kind.THEN, Kind.DASH)
_WORDS = (Kind.WORK, Kind.SAID, Kind.WORD, Kind.GEAR)
MOST_SHARE_WORDS = 6

Found = tuple[str, int]


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


def _opened(line: Cursor) -> bool:
    """Go past `as`, a colon and an opening bracket; whether there is a bracket."""
    line.skip(Kind.AS, Kind.COLON, Kind.DASH, Kind.COMMA, Kind.STOP)
    if line.sees(0, Kind.ALTERNATE) and line.sees(1, *FAR):
        line.at += 1
    if line.sees(0, Kind.LEFT):
        line.at += 1
        line.skip(Kind.AS)
        return True
    return False


def _closed(line: Cursor, bracket: bool) -> bool:
    """Go past the closing bracket, if there must be one; whether it is there."""
    if not bracket:
        return True
    line.at += 1
    return line.sees(-1, Kind.RIGHT)


def _words(line: Cursor, most: int = MOST_SHARE_WORDS) -> Share:
    """The words of a share: work, and what else is said."""
    share, start, first = Share(), line.at, 0
    while (bit := line.bit()) is not None and line.at - start < most:
        by = bit.kind is Kind.BY and line.sees(1, Kind.WORD)  # arms by the sides
        if bit.kind not in (*_WORDS, Kind.RELATION) and not by:
            break
        if bit.kind is Kind.WORK and not first or bit.kind is Kind.SAID and not first and not share.work:
            share.work.append(bit.says or bit.text)
        elif bit.word == "ACTIVITY" and first and not share.work and line.at - first < 2:  # front scull
            share.work.append(bit.says or bit.text)
            share.words, first = line.between(first - 1, line.at), 0
        elif not first and share.words:
            break
        elif not first:
            first = line.at + 1
        line.at += 1
    if first:
        share.words = line.between(first - 1, line.at)
    return share


def _said(share: Share, swim: Swim) -> str:
    """A share's words in the notation; words that nobody knows are a drill's name if nothing else is said."""
    words = share.words.replace('"', "''")
    work = share.work or ([swim.work["ACTIVITY"]] if "ACTIVITY" in swim.work and words else ["drill"] if words else [])
    return " ".join([*work, *([f'"{words}"'] if words else [])])


def _lengths(line: Cursor, swim: Swim) -> Found | None:
    """`25 fast / 25 easy`, `as 50 drill 50 swim`, `(25K hard + 25K ez)`: lengths that fill a repeat."""
    if not swim.far:
        return None
    start = line.at
    bracket = _opened(line)
    opened = line.at > start and not (swim.work and line.sees(-1, Kind.COMMA))  # 75 back, 50 breast, 25 fly
    found: list[Share] = []
    while (bit := line.bit()) is not None and bit.kind in FAR and 5 <= bit.number < swim.far:
        line.at += 1
        share = _words(line)
        share.number = bit.number
        found.append(share)
        if sum(each.number for each in found) >= swim.far:
            break
        here = line.at
        line.skip(*_JOINTS)
        if not line.sees(0, *FAR) or line.sees(1, Kind.TIMES):
            line.at = here
            break
    total = sum(each.number for each in found)
    if len(found) < 2 or swim.far % total or not (swim.often or opened) or not all(_said(each, swim) for each in found):
        return None
    if not _closed(line, bracket):
        return None
    return "as " + " / ".join(f"{each.number} {_said(each, swim)}" for each in found), line.at


def _odd_even(line: Cursor, swim: Swim) -> Found | None:
    """`odds fast, evens easy`."""
    bracket = _opened(line)
    if swim.often < 2 or not line.sees(0, Kind.ODD):
        return None
    line.at += 1
    line.skip(Kind.COLON)
    odd = _words(line)
    line.skip(*_JOINTS)
    if not line.sees(0, Kind.EVEN):
        return None
    line.at += 1
    line.skip(Kind.COLON)
    even = _words(line)
    if not (_said(odd, swim) and _said(even, swim) and _closed(line, bracket)):
        return None
    return f"odd {_said(odd, swim)} / even {_said(even, swim)}", line.at


def _ranges(line: Cursor, swim: Swim) -> Found | None:
    """`1-4 kick, 5-8 swim`, `#1 fly #2 back`: ranges that cover the repeats."""
    bracket = _opened(line)
    found: list[tuple[int, int, Share]] = []
    expected = 1
    while (bit := line.bit()) is not None and bit.kind in (Kind.RANGE, Kind.NUMBER) and bit.number == expected:
        line.at += 1
        line.skip(Kind.COLON)
        share = _words(line, most=8)
        if not _said(share, swim):
            return None
        found.append((bit.number, bit.last or bit.number, share))
        expected = found[-1][1] + 1
        if expected > swim.often:
            break
        line.skip(*_JOINTS)
    if len(found) < 2 or expected != swim.often + 1 or not _closed(line, bracket):
        return None
    return _repeats(found, swim), line.at


def _repeats(found: list[tuple[int, int, Share]], swim: Swim) -> str:
    said = (f"{a}-{b} {_said(share, swim)}" if b > a else f"{a} {_said(share, swim)}" for a, b, share in found)
    return f"repeats {' / '.join(said)}"


def _alternating(line: Cursor, swim: Swim) -> Found | None:
    """`alt free/back`, `free/back alternate lengths`: repeats or lengths take turns."""
    bracket = _opened(line)
    first = line.sees(0, Kind.ALTERNATE)
    line.at += first
    found = _slashed(line, swim)
    if not first:
        if not line.sees(0, Kind.ALTERNATE):
            return None
        line.at += 1
    if len(found) < 2:
        return None
    _effort_of_all(found, swim)
    by = _by_length(line)
    if not by and line.sees(0, Kind.LENGTHS) and swim.far > SHORT_POOL:
        line.at += 1
        by = SHORT_POOL
    line.skip(Kind.LENGTHS, words=("reps",))
    if not by and swim.often < 2 and swim.far > SHORT_POOL:
        by = SHORT_POOL
    if not _closed(line, bracket):
        return None
    said = [_said(each, swim) for each in found]
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


def _effort_of_all(found: list[Share], swim: Swim) -> None:
    """An effort in front of the other words of the first share is that of all: `easy back / free`."""
    first = found[0].work
    effort = first[0].casefold() if len(first) > 1 else ""
    if LINE_WORDS.get(effort, ("",))[0] == "EFFORT" and not any(
        LINE_WORDS.get(word.casefold(), ("",))[0] == "EFFORT" for each in found[1:] for word in each.work
    ):
        swim.work.setdefault("EFFORT", first.pop(0))


def _by_length(line: Cursor) -> int:
    """The distance after `by`; 0 if there is none."""
    if line.sees(0, Kind.BY) and line.sees(1, *FAR):
        line.at += 2
        return line.bits[line.at - 1].number
    if line.sees(0, Kind.BY) and line.sees(1, Kind.LENGTHS):
        line.at += 2
        return SHORT_POOL
    return 0


def _slashed(line: Cursor, swim: Swim) -> list[Share]:
    """Kinds of work between strokes or `and`; a small number begins a drill's name: `6 kick switch`."""
    found: list[Share] = []
    while True:
        start = line.at
        numbered = line.sees(0, Kind.NUMBER) and line.bits[start].number < 20
        line.at += numbered
        share = _words(line)
        if numbered:  # 6 kick switch, but not 4 easy
            named = any(each.word != "EFFORT" for each in line.bits[start + 1 : line.at])
            share = Share(words=line.between(start, line.at)) if named else Share()
        if not _said(share, swim) or found and all(bit.kind is Kind.GEAR for bit in line.bits[start : line.at]):
            line.at = start - (bool(found) and not numbered)
            return found
        found.append(share)
        if line.sees(0, Kind.PLUS) and not share.work:  # strokes + secs = score
            return found
        small = line.sees(1, Kind.NUMBER) and line.bits[line.at + 1].number < 20
        if not (line.sees(0, Kind.SLASH, Kind.PLUS) and (line.sees(1, *_WORDS) or small)):
            return found
        line.at += 1


def _by(line: Cursor, swim: Swim) -> Found | None:
    """`6 kick switch / catch up / swim by 25`; without `by` if the shares are lengths of the repeat."""
    bracket = _opened(line)
    found = _slashed(line, swim)
    if len(found) < 2 or not swim.far:
        return None
    _effort_of_all(found, swim)
    if len(found) == 4 and "IM" in found[0].work:  # IM kick / drill / swim / swim
        found[0].work.remove("IM")
        for share, stroke in zip(found, IM_SEQUENCE):
            share.work.append(stroke)
    by = _by_length(line)
    if not by and swim.far % len(found) == 0 and (bracket or swim.far == SHORT_POOL * len(found)):
        by = swim.far // len(found)
    if not by or swim.far % (by * len(found)) or not _closed(line, bracket):
        return None
    return "as " + " / ".join(f"{by} {_said(each, swim)}" for each in found), line.at


def _pairs(line: Cursor, swim: Swim) -> Found | None:
    """`fl/bk, bk/br, br/fr, fr/fl by 25`: each repeat its own strokes."""
    bracket = _opened(line)
    found: list[list[Share]] = []
    while pair := _slashed(line, swim):
        found.append(pair)
        if not line.sees(0, Kind.COMMA):
            break
        line.at += 1
    by = _by_length(line)
    if len(found) < 2 or len(found) != swim.often or any(len(pair) < 2 for pair in found):
        return None
    by = by or swim.far // len(found[0])
    if any(len(pair) * by != swim.far for pair in found) or not _closed(line, bracket):
        return None
    said = (" / ".join(f"{by} {_said(each, swim)}" for each in pair) for pair in found)
    return "repeats " + " / ".join(f"{place} ({pair})" for place, pair in enumerate(said, start=1)), line.at


def _named_often(line: Cursor, swim: Swim) -> Found | None:
    """`catch up x2, single arm x2, swim x 2`: that many repeats of each in a row."""
    bracket = _opened(line)
    found: list[tuple[int, int, Share]] = []
    while True:
        share = _words(line)
        if not _said(share, swim) or not line.sees(0, Kind.TIMES) or not line.sees(1, Kind.NUMBER):
            break
        first = found[-1][1] + 1 if found else 1
        found.append((first, first + line.bits[line.at + 1].number - 1, share))
        line.at += 2
        if not line.sees(0, *_JOINTS):
            break
        line.skip(*_JOINTS)
    if len(found) > 1 and swim.plural and not swim.often:  # 25s: catch up x2, fists x2
        swim.often = found[-1][1]
    if len(found) < 2 or found[-1][1] != swim.often or not _closed(line, bracket):
        return None
    return _repeats(found, swim), line.at


def _turns(line: Cursor, swim: Swim) -> Found | None:
    """`1 fast 1 easy`, `4 dolphin / 4 flutter / 4 whip`: that many repeats of each."""
    bracket = _opened(line)
    found: list[Share] = []
    while (bit := line.bit()) is not None and bit.kind is Kind.NUMBER and 1 <= bit.number < 10:
        line.at += 1
        share = _words(line)
        if not _said(share, swim):
            return None
        share.number = bit.number
        found.append(share)
        here = line.at
        line.skip(*_JOINTS)
        if not line.sees(0, Kind.NUMBER) or line.sees(1, Kind.TIMES):
            line.at = here
            break
    turn = sum(each.number for each in found)
    if swim.plural and not swim.often and turn > 1:  # 25s: 4 catch-up 4 fist
        swim.often = turn
    if len(found) < 2 or swim.often < 2 or swim.often % turn or not _closed(line, bracket):
        return None
    if turn < swim.often and any(each.words for each in found):
        return None
    if turn == swim.often and turn > len(found):
        places, first = [], 1
        for each in found:
            places.append((first, first + each.number - 1, each))
            first += each.number
        return _repeats(places, swim), line.at
    return "in turn " + " / ".join(f"{each.number} {_said(each, swim)}" for each in found), line.at


def _there_and_back(line: Cursor, swim: Swim) -> Found | None:
    """`drill down, swim back`, `single arm out / 6-1-6 back`: one way and the other."""
    bracket = _opened(line)
    ends, start = (("down", "there", "up", "out"), ("back", "home")), line.at
    found: list[Share] = []
    for words in ends:
        first = line.at
        while not line.says(0, *words) and line.sees(0, *_WORDS, Kind.SLASH) and line.at - first < MOST_SHARE_WORDS:
            line.at += 1
        if not line.says(0, *words) or line.at == first:
            return None
        inner = Cursor(line.between(first, line.at))
        share = _words(inner)
        if not inner.ended or not share.work and not share.words:
            share = Share(words=line.between(first, line.at))
        if share.words and not share.work and (match := SAYINGS.fullmatch(share.words)) and match["drill"]:
            share = Share(work=["drill", share.words])
        found.append(share)
        line.at += 1
        if len(found) == 1:
            line.skip(*_JOINTS)
    by = SHORT_POOL if swim.far % (2 * SHORT_POOL) == 0 else swim.far // 2
    if line.at == start or not by or not _closed(line, bracket):
        return None
    return "as " + " / ".join(f"{by} {_said(each, swim)}" for each in found), line.at


def _of_each(line: Cursor, swim: Swim) -> Found | None:
    """`4 of each IMO`, `2 of each stroke`: that many repeats of each stroke, in the order of an IM."""
    bracket = _opened(line)
    if not line.sees(0, Kind.NUMBER) or 4 * line.bits[line.at].number != swim.often:
        return None
    each = line.bits[line.at].number
    line.at += 1
    if not line.skip(words=("of",)) and not line.says(0, "each") or not line.says(0, "each"):
        return None
    line.at += 1
    line.skip(Kind.COMMA, words=("stroke", "one", "in", "im order", "imo", "of", "the", "4", "strokes"))
    if not _closed(line, bracket):
        return None
    if each == 1:
        return "IM order", line.at
    order = [Share(work=[stroke]) for stroke in ("fly", "back", "breast", "free")]
    return _repeats(
        [(each * place + 1, each * place + each, share) for place, share in enumerate(order)], swim
    ), line.at


_FINDERS: tuple[Callable[[Cursor, Swim], Found | None], ...] = (
    _there_and_back, _of_each, _lengths, _odd_even, _ranges, _named_often, _pairs, _alternating, _by, _turns,
)  # fmt: skip
