"""Words for the shares of a set: each share's work, and what else is said of it."""

from __future__ import annotations

from pacer.plan.parts.bitkinds import Kind
from pacer.plan.parts.cursor import FAR, Cursor
from pacer.plan.parts.partvalues import Share, Swim
from pacer.plan.words.linepatterns import SHORT_POOL
from pacer.plan.words.vocabulary import LINE_WORDS

JOINTS = (Kind.SLASH, Kind.COMMA, Kind.PLUS, Kind.THEN, Kind.DASH)
WORDS = (Kind.WORK, Kind.SAID, Kind.WORD, Kind.GEAR)
MOST_SHARE_WORDS = 6
IN_ORDER = ("first", "1st", "second", "2nd", "third", "3rd", "next", "last", "then", "final")

Found = tuple[str, int]  #: shares in the notation, and the place after them


def opened(line: Cursor) -> bool:
    """Go past `as`, a colon and an opening bracket; whether there is a bracket."""
    line.skip(Kind.AS, Kind.COLON, Kind.DASH, Kind.COMMA, Kind.STOP)
    if line.sees(0, Kind.ALTERNATE) and line.sees(1, *FAR):
        line.at += 1
    if line.sees(0, Kind.LEFT):
        line.at += 1
        line.skip(Kind.AS)
        return True
    return False


def closed(line: Cursor, bracket: bool) -> bool:
    """Go past the closing bracket, if there must be one; whether it is there."""
    if not bracket:
        return True
    line.at += 1
    return line.sees(-1, Kind.RIGHT)


def words_of(line: Cursor, most: int = MOST_SHARE_WORDS) -> Share:
    """The words of a share: work, and what else is said."""
    share, start, first = Share(), line.at, 0
    while (bit := line.bit()) is not None and line.at - start < most:
        by = bit.kind is Kind.BY and line.sees(1, Kind.WORD)  # arms by the sides
        if bit.kind not in (*WORDS, Kind.RELATION) and not by or line.says(0, *IN_ORDER) and line.sees(1, *FAR):
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


def share_said(share: Share, swim: Swim) -> str:
    """A share's words in the notation; words that nobody knows are a drill's name if nothing else is said."""
    words = share.words.replace('"', "''")
    work = share.work or ([swim.work["ACTIVITY"]] if "ACTIVITY" in swim.work and words else ["drill"] if words else [])
    return " ".join([*work, *([f'"{words}"'] if words else [])])


def effort_of_all(found: list[Share], swim: Swim) -> None:
    """An effort in front of the other words of the first share is that of all: `easy back / free`."""
    first = found[0].work
    effort = first[0].casefold() if len(first) > 1 else ""
    if LINE_WORDS.get(effort, ("",))[0] == "EFFORT" and not any(
        LINE_WORDS.get(word.casefold(), ("",))[0] == "EFFORT" for each in found[1:] for word in each.work
    ):
        swim.work.setdefault("EFFORT", first.pop(0))


def by_length(line: Cursor) -> int:
    """The distance after `by`; 0 if there is none."""
    if line.sees(0, Kind.BY) and line.sees(1, *FAR):
        line.at += 2
        return line.bits[line.at - 1].number
    if line.sees(0, Kind.BY) and line.sees(1, Kind.LENGTHS):
        line.at += 2
        return SHORT_POOL
    return 0


def slashed(line: Cursor, swim: Swim, turns: bool = False) -> list[Share]:
    """Kinds of work between strokes or `and`; a small number begins a drill's name: `6 kick switch`."""
    found: list[Share] = []
    while True:
        start = line.at
        numbered = line.sees(0, Kind.NUMBER) and line.bits[start].number < 20
        line.at += numbered
        share = words_of(line)
        if numbered:  # 6 kick switch, but not 4 easy
            named = any(each.word != "EFFORT" for each in line.bits[start + 1 : line.at])
            share = Share(words=line.between(start, line.at)) if named else Share()
        if not share_said(share, swim) or found and all(bit.kind is Kind.GEAR for bit in line.bits[start : line.at]):
            line.at = start - (bool(found) and not numbered)
            return found
        found.append(share)
        if line.sees(0, Kind.PLUS) and not share.work:  # strokes + secs = score
            return found
        if turns and len(found) == 1 and line.sees(0, Kind.COMMA) and line.sees(1, Kind.WORK):  # alternate kick, swim
            line.at += 1
            continue
        small = line.sees(1, Kind.NUMBER) and line.bits[line.at + 1].number < 20
        if not (line.sees(0, Kind.SLASH, Kind.PLUS) and (line.sees(1, *WORDS) or small)):
            return found
        line.at += 1
