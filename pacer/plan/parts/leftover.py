"""A time in a set's notes that nothing else takes: its interval if it is long enough to swim in, otherwise its rest."""

from __future__ import annotations

from pacer.plan.parts.bitkinds import Bit, Kind
from pacer.plan.parts.bits import bits_of
from pacer.plan.parts.cursor import CLOCK, Cursor
from pacer.plan.parts.details import clock, seconds_of
from pacer.plan.parts.partvalues import Swim
from pacer.plan.parts.shares import shares_at
from pacer.plan.words.linepatterns import QUICKEST

#: Words beside a time that is neither.
_BEFORE = frozenset({
    "hold", "holding", "target", "aim", "goal", "pb", "drop", "minus", "plus", "first", "last", "final", "by",
    "in", "take", "took", "sub", "about", "hang", "float", "tread", "vertical", "-", "–", "<", ">", "=", "@",
})  # fmt: skip
_AFTER = frozenset({
    "faster", "slower", "quicker", "off", "pace", "per", "under", "over", "less", "more", "gap", "apart", "behind",
    "down", "each", "speed", "swim", "easy", "choice", "kick", "float", "of", "am", "pm", "left", "limit", "long",
    "/", "+", "late", "early", "ahead", "later", "max", "free", "mark",
})  # fmt: skip
LEAST_BRACKET_S, MOST_BRACKET_S = 10, 180  #: seconds that a number alone in a bracket can mean
REST_FROM = 2.2  #: seconds for a metre: what is said in minutes and is slower is a rest
SHORT = 2  #: letters of a mark in front of a time


def take_time(swim: Swim, first: int) -> None:
    """Give a set without an interval or a rest the one time in its notes: `o 1.30`, `(60)`, `- 15 secs`.

    `first` is the first note that is about the set itself.
    """
    far = max(swim.ladder, default=swim.far)
    if not far or swim.on or swim.rest or swim.hold or swim.pieces:
        return
    found = [
        (place, bits, at)
        for place, bits in enumerate(map(bits_of, swim.notes[first:]), start=first)
        for at in range(len(bits))
        if _is_time(bits, at, swim)
    ]
    if len(found) != 1:
        return
    place, bits, at = found[0]
    bit = bits[at]
    time = bit.says if bit.kind in CLOCK else clock(bit.number)
    slow = seconds_of(time) > REST_FROM * far
    if slow and (bit.kind is not Kind.SECONDS and swim.often < 2):  # a time of day
        return
    if seconds_of(time) >= QUICKEST * far and not (slow and bit.kind is Kind.SECONDS):
        swim.on = [time]
    else:
        swim.rest = [time]
    mark = (
        at - 1
        if at and bits[at - 1].kind is Kind.WORD and len(bits[at - 1].text) <= SHORT + (bit.kind is Kind.NUMBER)
        else at
    )
    note = swim.notes[place]
    swim.notes[place : place + 1] = [
        part.strip(" ,;") for part in (note[: bits[mark].start], note[bit.end :]) if part.strip(" ,;")
    ]
    _work_in_notes(swim, place)


def _is_time(bits: tuple[Bit, ...], at: int, swim: Swim) -> bool:
    """Whether a bit of a note can be the interval or the rest of a set."""
    bit = bits[at]
    if bit.kind is Kind.NUMBER and len(bits) == 1:  # (60)
        return (
            swim.often > 1 and LEAST_BRACKET_S <= bit.number <= MOST_BRACKET_S and bit.number != swim.often * swim.far
        )
    marked = at and bits[0].kind is Kind.WORD and len(bits[0].text) <= SHORT + 1 and len(bits) == 2
    if bit.kind is Kind.NUMBER and marked:  # O 60
        return swim.often > 1 and LEAST_BRACKET_S <= bit.number <= MOST_BRACKET_S
    if bit.kind not in CLOCK or bit.kind is Kind.SECONDS and (swim.often < 2 or len(bits) > 3):
        return False
    one, other = (bits[each] if 0 <= each < len(bits) else None for each in (at - 1, at + 1))
    if any(each.kind is Kind.RELATION or each.kind in CLOCK for each in bits if each is not bit):
        return False
    return not (one and one.text.casefold() in _BEFORE or other and other.text.casefold() in _AFTER)


def _work_in_notes(swim: Swim, place: int) -> None:
    """Read the words beside the time: they may say how the set is swum."""
    for note in swim.notes[place:]:
        line = Cursor(note)
        made = None if swim.shares else shares_at(line, swim)
        if made and made[1] == len(line.bits):
            swim.shares, swim.shares_said = made[0], note
        elif all(bit.kind is Kind.WORK and bit.word not in swim.work for bit in line.bits):
            swim.work |= {bit.word: bit.says or bit.text for bit in line.bits}
        else:
            continue
        swim.notes.remove(note)
