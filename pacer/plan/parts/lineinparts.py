"""A coach's line, read part by part, where that leaves less to its note than another reading does."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from pacer.plan.notation.pagelines import LABELLED
from pacer.plan.parts.bitkinds import Bit, Kind
from pacer.plan.parts.bits import bits_of
from pacer.plan.parts.details import time_of
from pacer.plan.parts.partreader import UNMISTAKABLE, PartReader
from pacer.plan.parts.partvalues import Rounds, Swim
from pacer.plan.parts.partwriter import written
from pacer.plan.regex import regex
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.standardform import write_plan
from pacer.plan.words.labels import groups_of
from pacer.plan.words.sayings import SAYINGS
from pacer.plan.words.vocabulary import LINE_WORDS

_NOTE = regex(r"(?m:^\s*#.*)|\"[^\"]*\"")
_POOL = regex(r"pool:\s*(\d+)")
#: A piece of a phrase that a reading has torn apart.
_TORN = regex(
    r"(?:.*\s)?(?:on|at|hold|of|as|incl|including|to|for|by|with|from|and|or|the|in)|(?:a|an|per)\s+(?:lengths?|lap|rep|repeat|round)|one|last|final|(?:first|last|final|\d(?:st|nd|rd|th))\s+(?:one|round|time)|\W+|\W*\d+\W*|[^\W\d]",
    re.IGNORECASE,
)
#: `scull #1`: a note of its own.
_NUMBERED_ONE = regex(r'"#\d"')
#: A distance that is the sum of those after it.
_PARTED = regex(r"\s*\d+(?:\s\w+)* as \d")
#: Who swims it is not clear.
_ELSE = regex(r"\b(?:others|else|instead)\b", re.IGNORECASE)
#: A count that depends on the time, and relays: what swimmers do is not what a set says.
_OTHERWISE = regex(
    r"\b(?:if\s+(?:there['’]?s\s+|there\s+is\s+|we\s+have\s+|you\s+have\s+)?time|relays?\b.*\b(?:medley|IM))\b",
    re.IGNORECASE,
)
_RESTS = regex(r"\b(?:rest|ri?)\s+(\d?\d?):(\d\d)(?!\s*/)", re.IGNORECASE)
_DIGIT = regex(r"\d")
#: Words about what only some swim, or only if.
_ONLY_IF = regex(
    r"\b(?:if|unless|miss|anyone|otherwise|homework|next\s+(?:wk|week|time|session)|target|goal|total|instead|until|till|per|else|others)\b|[=?]",
    re.IGNORECASE,
)
#: A number, or what is said in its place.
_NUMBERED = regex(
    r"\d|hundred|fift(?:y|ies)|\b(?:two|three|four|five|six|seven|eight|nine|ten|twelve|twenty)\b", re.IGNORECASE
)
MOST_BITS = 80
MOST_BITS_LED = 7  #: bits in front of a set that is said in words
#: Words in front of a set that do not take it back.
_LEADS = ("for", "your", "you", "about", "around", "roughly", "after", "that", "it", "so")


def in_parts(text: str, pool: str, live: LivePage) -> str:
    """A line's text in the notation, read part by part; most often one line, "" if it counts nothing.

    `pool` is the plan's line about the pool.

    >>> in_parts("8x50 choppy kick, get tall, 20s, then 2 min", "pool: 25 m", LivePage())
    '8 x 50 kick, rest 0:20 "choppy kick, get tall" + rest 2:00'
    """

    def reads(line: str) -> bool:
        reading = live.would([pool, f"  {line}"])
        return not reading.problems and bool(reading.plan and reading.plan.sections[0].items)

    length = _POOL.match(pool)
    reader = PartReader(text, int(length[1]) if length else 25)
    several = any(bit.kind is Kind.LANES for bit in reader.line.bits) and bool(_ELSE.search(text))
    if len(reader.line.bits) > MOST_BITS or several or _OTHERWISE.search(text):
        return ""
    return "\n".join(written(reader.read(), reads))


def counts_a_set(text: str, pool: int = 25) -> bool:
    """Whether words count a set, with at most a few other words in front of it.

    >>> counts_a_set("Main bit is 10 hundreds easy"), counts_a_set("next week 4 x 100")
    (True, False)
    """
    if not _NUMBERED.search(text):
        return False
    reader = PartReader(text, pool)
    first = next(iter(reader.read()), None)
    if (
        first is None
        or len(reader.led) > MOST_BITS_LED
        or any(bit.kind is Kind.RELATION and bit.text.casefold() not in _LEADS for bit in reader.led)
    ):
        return False
    if isinstance(first, Rounds):
        return True
    if not isinstance(first, Swim):
        return False
    if any(bit.kind is Kind.LANES for bit in reader.led[1:]) or any("/" in bit.text for bit in reader.led):
        return False
    if reader.led and reader.led[0].kind is Kind.LANES:
        return first.often > 1
    many = first.often > 1 and first.far >= 15
    said = first.work or first.on or first.rest or len(reader.led) <= 1
    alone = first.far >= 100 and first.far % 50 == 0 and bool(said) and not any(map(_DIGIT.search, first.notes))
    head = reader.line.bits[len(reader.led) : len(reader.led) + 5]
    lengths = bool(first.far) and any(bit.kind is Kind.LENGTHS for bit in head)
    return many or alone or lengths or bool(first.ladder or first.far_by_lane)


def extra_for_lanes(text: str) -> bool:
    """Whether words say what some lanes swim besides what all swim.

    >>> extra_for_lanes("Lane 1 only extra 100 f/c"), extra_for_lanes("Lane 1 only 6 x 100")
    (True, False)
    """
    reader = PartReader(text)
    swum = [part for part in reader.read() if isinstance(part, Swim) and part.lanes]
    led = {bit.text.casefold() for bit in reader.led}
    own = "only" in led and all(part.work and not part.often for part in swum)  # its own distance and stroke
    return bool(swum) and (own or bool(led & {"extra", "also", "another", "additional"}))


def surely_swum(text: str) -> bool:
    """Whether words count a set that all swim, whatever else happens.

    >>> surely_swum("Main bit is 10 hundreds easy"), surely_swum("10 hundreds easy if you miss it")
    (True, False)
    """
    return counts_a_set(text) and not _ONLY_IF.search(text)


def rest_said(text: str) -> str:
    """A line that says that all rest for a time, in the notation; "" for other lines.

    >>> rest_said("Have a drink, take a minute and a half")
    'rest 1:30 "Have a drink, take a minute and a half"'
    """
    bits = bits_of(text)
    times = [place for place, bit in enumerate(bits) if bit.kind in (Kind.TIME, Kind.SECONDS)]
    if len(times) != 1 or any(bit.kind in (Kind.NUMBER, Kind.FAR, Kind.WORK, Kind.RELATION) for bit in bits):
        return ""
    before = bits[times[0] - 1].text.casefold() if times[0] else ""
    said = text.replace('"', "''")
    return f'rest {bits[times[0]].says} "{said}"' if before in ("take", "have", "rest") else ""


def line_in_parts(lines: Sequence[str], at: int, live: LivePage) -> str:
    """Line `at` of a plan read part by part, with its indent and its lanes; "" if that can't be written."""
    source = lines[at]
    if not source.startswith(" "):
        return ""
    label = LABELLED.match(source.lstrip())
    lead = source[: len(source) - len(source.lstrip())]
    if label and groups_of(label[1]) and sum(bit.kind is Kind.LANES for bit in bits_of(source)) > 1:
        made = in_parts(source.strip(), next((line for line in lines if line.startswith("pool:")), "pool: 25 m"), live)
        if "\n" in made:
            return "\n".join(f"{lead}{line}" for line in made.split("\n"))
    lead += label[0] if label and groups_of(label[1]) is not None else ""
    pool = next((line for line in lines if line.startswith("pool:")), "pool: 25 m")
    made = in_parts(source[len(lead) :], pool, live)
    if not made or "\n" not in made:
        return f"{lead}{made}" if made else ""
    indent = source[: len(source) - len(source.lstrip())]
    return "" if lead != indent else "\n".join(f"{indent}{line}" for line in made.split("\n"))


def instead(lines: Sequence[str], at: int, live: LivePage, offered: str) -> str:
    """Line `at` of a plan read part by part, if that is better than the reading that is `offered`; "" if it is not."""
    made = line_in_parts(lines, at, live)
    if not made:
        return ""
    pool = next((line for line in lines if line.startswith("pool:")), "pool: 25 m")
    one, other = (live.would([pool, *(f"  {line.strip()}" for line in text.split("\n"))]) for text in (made, offered))
    noted = one.plan is None or any(row.lstrip().startswith('"') for row in write_plan(one.plan).split("\n"))
    whole = not noted and "@" not in lines[at]  # the other one is asked about again
    if not better(made, "" if whole and other.problems else offered, lines[at]):
        return ""
    if one.plan is None or other.plan is None or other.problems or _words(made) < _words(offered):
        return made
    same = (_NOTE.sub("", write_plan(plan)).split() for plan in (one.plan, other.plan))
    return "" if next(same) == next(same) else made


def better(made: str, offered: str, source: str) -> bool:
    """Whether a reading of a line has as many of its numbers and its work in their places as the one that is offered.

    >>> better('4 x 50, rest 0:30 "golf"', '4 x 50 "golf, +30"', "4 x 50 golf +30")
    True
    """
    if not made or made.strip() == offered.strip() or _torn(made, source):
        return False
    if not re.search(r"\d", _NOTE.sub(" ", offered)):  # nothing is swum
        return True
    if _PARTED.match(made) and " + " in offered and not _noted(made, source)[0]:  # not 400 and 4 x 100
        return True
    if _RESTS.search(made) and _invented(offered, source) and not _invented(made, source):
        return True
    left = _noted(offered, source)
    if "broken" in source.casefold() and left[0] <= 1 and not left[1]:
        return False
    return (*_noted(made, source), _words(made)) <= (*left, _words(offered))


def _invented(made: str, source: str) -> bool:
    """Whether a reading has a rest of which the line says nothing."""
    return not {f"{int(rest[1] or 0)}:{rest[2]}" for rest in _RESTS.finditer(made)} <= {*_found(source)[0]}


def _words(made: str) -> int:
    """How many words a reading has in its notes."""
    return sum(len(note.split()) for note in _NOTE.findall(made))


def _noted(made: str, source: str) -> tuple[int, bool, int, int]:
    """What a reading has in notes that the line has not: numbers, torn phrases, work, other words it knows."""
    own, note = (" ; ".join(_NOTE.findall(text)).replace('"', " ") for text in (source, made))
    numbers, work, known = _found(SAYINGS.sub(" ", note))
    has, worked, knew = _found(SAYINGS.sub(" ", own))
    plain = _NOTE.sub(" ", made)
    placed, _, _ = _found(plain)
    was, _, _ = _found(source)
    return (
        sum(n for number, n in (numbers - has).items() if placed[number] < min(was[number], 2) or not placed[number]),
        _torn(made, source),
        sum((work - worked).values()),
        known - knew,
    )


def _torn(made: str, source: str) -> bool:
    """Whether a note has pieces of phrases: a number alone, or words that want something after them."""
    was = {piece.strip() for note in _NOTE.findall(source) for piece in note.strip('"').split(",")}
    notes = (note for note in _NOTE.findall(made) if not _NUMBERED_ONE.fullmatch(note))
    pieces = {piece.strip() for note in notes for piece in note.strip('"').split(",")} - was
    return any(_TORN.fullmatch(piece) for piece in pieces)


def _found(text: str) -> tuple[Counter[str], Counter[str], int]:
    numbers: Counter[str] = Counter()
    work: Counter[str] = Counter()
    known = 0
    before: Bit | None = None
    for bit in bits_of(text):
        counted, before = before is not None and before.kind in (Kind.NUMBER, Kind.WORK), bit
        match bit.kind:
            case Kind.NUMBER | Kind.FAR if bit.number > 9:
                numbers[time_of(bit.number)] += 1
            case Kind.NUMBER | Kind.FAR | Kind.TIME | Kind.SECONDS | Kind.RANGE:
                numbers[bit.says or str(bit.number)] += 1
            case Kind.WORK if (
                bit.word == "ACTIVITY"
                and (bit.says or bit.text).casefold()[0] in "kpd"
                or bit.text.casefold().startswith("scull")
            ):
                work[(bit.says or bit.text).casefold()[0]] += 1
            case Kind.WORK if bit.word == "STROKE" and bit.text.casefold() in UNMISTAKABLE:
                work[str(LINE_WORDS.get(bit.text.casefold(), ("", ""))[1])] += 1
            case Kind.ALTERNATE | Kind.BY | Kind.ROUNDS:
                known += 1
            case Kind.LENGTHS if counted:  # not twice a length
                known += 1
    return numbers, work, known
