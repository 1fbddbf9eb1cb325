"""Where a set begins: its count and its distance, a ladder, lengths of the pool."""

from __future__ import annotations

import re

from pacer.plan.parts.bitkinds import Bit, Kind
from pacer.plan.parts.cursor import BREAKS, CLOCK, FAR, Cursor
from pacer.plan.parts.partvalues import Swim

LEAST_ALONE = 25  #: the shortest distance that a number alone can be
_COUNTING = (Kind.TIMES, Kind.LENGTHS)
LADDER = 3  #: how many times as far the longest distance of a ladder is that goes only one way
MOST_ROUNDS, MOST_LENGTHS, MOST_COUNTED = 40, 80, 200
_USUAL = re.compile(r"\d*(?:25|50|75|00)$")
#: Words after a number that make it say something about other distances.
_ABOUT = (
    "pace", "speed", "mark", "to", "am", "pm", "strokes", "stroke", "kicks", "pool", "or", "people", "swimmers", "race",
    "breaths",
)  # fmt: skip
_NEGATED = (
    "no",
    "not",
    "or",
    "per",
    "from",
    "to",
    "until",
    "first",
    "last",
    "next",
    "than",
    "every",
    "each",
    "about",
    "over",
    "under",
    "at",
    "incl",
    "including",
    "inc",
    "middle",
)


def rounds_head(line: Cursor) -> tuple[int, bool] | None:
    """How often rounds are swum that begin here, and whether in brackets; goes past it. None: there are none."""
    bit = line.bit()
    if (
        bit is not None
        and bit.kind is Kind.TIMES
        and line.sees(1, Kind.NUMBER)
        and line.sees(2, Kind.COLON, Kind.LEFT, Kind.DASH)
    ):
        often, bracket = line.bits[line.at + 1].number, line.sees(2, Kind.LEFT)
        if 1 < often <= MOST_ROUNDS:  # x2: 100 kick, 100 swim
            line.at += 3
            return often, bracket
    if bit is None or bit.kind is not Kind.NUMBER or not 1 < bit.number <= MOST_ROUNDS:
        return None
    here, ahead = line.at, 1
    if line.sees(ahead, Kind.TIMES, Kind.ROUNDS):
        opened = line.sees(ahead, Kind.ROUNDS)
        ahead += 1
        while line.sees(ahead, Kind.COLON, Kind.DASH, Kind.ROUNDS) or line.says(
            ahead, "of", "through", "thru", "these"
        ):
            ahead, opened = ahead + 1, True
        if line.sees(ahead, Kind.LEFT):
            line.at += ahead + 1
            return bit.number, True
        line.at += ahead
        begins = opened and head(line, 25) is not None
        line.at = here + ahead if begins else here
        return (bit.number, False) if begins else None
    return None


def head(line: Cursor, pool: int) -> Swim | None:
    """The set whose count and distance begin here; goes past them. `pool` is its length, for lengths."""
    bit = line.bit()
    if bit is None or bit.kind not in (*FAR, *CLOCK) or bit.text.startswith("#"):
        return None
    if line.sees(-1, Kind.BY, Kind.AT, Kind.HOLD, Kind.ON, Kind.REST, Kind.TIMES) or line.says(-1, *_NEGATED):
        return None
    per = line.sees(-1, Kind.SLASH) and line.bits[line.at - 1].end == bit.start
    if per and (line.sees(-2, Kind.SECONDS) or line.says(-2, "s", "sec", "secs")):  # 5 sec/100 quicker
        return None
    if (ladder := _ladder(line)) is not None:
        return ladder
    if bit.kind is Kind.NUMBER and line.sees(1, Kind.TIMES):
        return _counted(line, bit.number, pool)
    if bit.kind is Kind.NUMBER and 1 < bit.number < LEAST_ALONE and (swim := _joined(line, bit.number)) is not None:
        return swim
    if bit.kind is Kind.NUMBER and bit.number <= MOST_LENGTHS and (swim := _lengths(line, bit.number, pool)):
        return swim
    least = min(pool, LEAST_ALONE)
    whole = bool(_USUAL.match(str(bit.number))) or bit.number % pool == 0 and bit.number >= least
    usual = bit.kind is Kind.FAR or bit.kind is Kind.NUMBER and bit.number >= least and whole
    if (
        not usual
        or line.says(1, *_ABOUT)
        or line.says(2, "pace")
        or line.sees(1, Kind.TOTAL, Kind.REST)
        or line.sees(-1, Kind.TOTAL)
    ):
        return None
    line.at += 1
    plural = bit.kind is Kind.FAR and bit.text[-1:] in "sS"
    if plural and line.sees(0, Kind.TIMES) and line.sees(1, Kind.NUMBER) and not line.sees(2, Kind.TIMES):
        line.at += 2
        return Swim(line.bits[line.at - 1].number, bit.number)
    more = line.bit(1)
    glued = line.sees(0, Kind.DASH) and bit.end == line.bits[line.at].start
    if bit.number < 1000 and glued and more is not None and more.kind is Kind.NUMBER and _USUAL.match(str(more.number)):
        line.at += 2  # 100-200: the one or the other
        return Swim(0, bit.number, notes=[line.between(line.at - 3, line.at)])
    return Swim(0, bit.number, plural=plural)


def _joined(line: Cursor, often: int) -> Swim | None:
    """A count and a distance without a sign for times: `4 50s`, `6 by 25`, `8 of 50`, `6 fast 25s`."""
    ahead, swim = 1, Swim(often)
    before = line.bit(-1)
    apart = before is None or before.kind in BREAKS and before.kind is not Kind.SLASH or before.word == "STROKE"
    by = apart and (line.sees(1, Kind.BY) or line.says(1, "of", "lots"))
    while ahead < 3 and line.sees(ahead, Kind.WORK) and not by:
        bit = line.bits[line.at + ahead]
        swim.work[bit.word] = bit.says or bit.text
        ahead += 1
    far = line.bit(ahead + by)
    if far is None or not (far.kind is Kind.FAR and (by or ahead == 1 or far.text[-1:] in "sS") or by and _fits(far)):
        return None
    line.at += ahead + by + 1
    swim.far = far.number
    return swim


def _fits(far: Bit) -> bool:
    """Whether a number is a distance as pools have them."""
    return far.kind is Kind.NUMBER and far.number >= LEAST_ALONE and bool(_USUAL.match(str(far.number)))


def _lengths(line: Cursor, number: int, pool: int) -> Swim | None:
    """`10 lengths`, `six easy lengths of`: a distance in lengths of the pool."""
    ahead, swim = 1, Swim(0, number * pool)
    if line.lengths and line.sees(-1, *BREAKS) and line.sees(1, Kind.WORK):  # 6 lengths front crawl, 2 back
        line.at += 1
        return Swim(0, number * pool, lengths=number)
    while ahead < 3 and line.sees(ahead, Kind.WORK, Kind.WORD):
        bit = line.bits[line.at + ahead]
        if bit.kind is Kind.WORK:
            swim.work[bit.word] = bit.says or bit.text
        ahead += 1
    if not line.sees(ahead, Kind.LENGTHS):
        return None
    line.at += ahead + 1
    if line.says(-1, "lap", "laps"):  # there and back
        number, swim.far = 2 * number, 2 * swim.far
    line.skip(words=("of",))
    line.lengths, swim.lengths = True, number
    return swim


def count_after(line: Cursor, noted: bool) -> int:
    """The count that comes here after a set's words, `six times` or `x 6`; 0 if none does. The cursor stays."""
    if line.sees(0, Kind.NUMBER) and line.sees(1, Kind.TIMES) and line.part_ends(2):
        return line.bits[line.at].number
    plain = not noted and not line.sees(-1, Kind.SAID)
    opens = line.sees(2, *FAR, *_COUNTING) or line.sees(2, Kind.LEFT) and line.sees(3, *FAR)
    if plain and line.sees(0, Kind.TIMES) and line.sees(1, Kind.NUMBER) and not opens:
        return line.bits[line.at + 1].number
    return 0


def counted_behind(line: Cursor) -> Swim | None:
    """`x3 (50m each)`, `x 4, 25m each`: a set whose distance is said last, after its words and its count."""
    if not (line.sees(0, Kind.TIMES) and line.sees(1, Kind.NUMBER)):
        return None
    here, often = line.at, line.bits[line.at + 1].number
    line.at += 2
    line.skip(Kind.LEFT, Kind.COMMA, Kind.DASH, Kind.COLON, words=("~", "about", "over", "of", "approx", "each", "all"))
    bit, bracket = line.bit(), line.sees(-1, Kind.LEFT) or line.sees(-2, Kind.LEFT)
    if bit is not None and bit.kind in FAR and 10 <= bit.number <= 100 and 1 <= often <= MOST_ROUNDS:
        line.at += 1
        each = line.skip(words=("each",))
        if bracket and line.sees(0, Kind.RIGHT, Kind.COMMA):
            return Swim(often, bit.number)
        if not bracket and bit.kind is Kind.FAR and (each or bit.text[-1] in "sS"):
            return Swim(often, bit.number)
    line.at = here
    return None


def _counted(line: Cursor, often: int, pool: int) -> Swim | None:
    """A set with a count in front; up to two words can come between the count and the distance."""
    if not 1 <= often <= MOST_COUNTED:
        return None
    here, words = line.at, 0
    while words < 2 and line.sees(2 + words, Kind.WORD, Kind.SAID, Kind.WORK):
        words += 1
    far = line.bit(2 + words)
    if far is None:
        return None
    swim = Swim(often)
    for bit in line.bits[here + 2 : here + 2 + words]:
        match bit.kind:
            case Kind.WORK:
                swim.work[bit.word] = bit.says or bit.text
            case Kind.SAID:
                swim.said.append(bit.says or bit.text)
            case _:
                swim.notes.append(bit.text)
    if far.kind is Kind.NUMBER and line.sees(3 + words, Kind.LENGTHS):
        line.at += 4 + words
        line.skip(words=("of",))
        swim.far = far.number * pool
    elif not words and far.kind is Kind.NUMBER and far.number < LEAST_ALONE <= often and _USUAL.match(str(often)):
        line.at += 3  # 50 x 6
        return Swim(far.number, often)
    elif far.kind in FAR and far.number >= 10:
        line.at += 3 + words
        swim.far = far.number
    elif far.kind in CLOCK and not words:
        line.at += 3
        swim.time = far.says
    else:
        return None
    return swim


def _up_and_down(found: list[int]) -> bool:
    """Whether distances neither only rise nor only fall."""
    return found not in (sorted(found), sorted(found, reverse=True))


def _ladder(line: Cursor) -> Swim | None:
    """`50 - 100 - 150`, `200, 150, 100, 50 free`, `25 50 75 100`: at least three distances."""
    found, ahead = [], 0
    joints = () if line.inside else (Kind.PLUS,)
    signs: set[Kind | None] = set()
    while line.sees(ahead, *FAR):
        number = line.bits[line.at + ahead].number
        if number < LEAST_ALONE or not _USUAL.match(str(number)):
            break
        found.append(number)
        ahead += 1
        if line.sees(ahead, Kind.COMMA, Kind.DASH, Kind.SLASH, *joints) and line.sees(ahead + 1, *FAR):
            signs.add(line.bits[line.at + ahead].kind)
            ahead += 1
        elif line.sees(ahead, *FAR):
            signs.add(None)
        else:
            break
    if Kind.SLASH in signs and not _up_and_down(found) and max(found) < LADDER * min(found):  # for each lane its own
        return None
    if len(found) < 3 or len(signs) > 1 or len({*found}) == 1 or line.sees(ahead, Kind.TIMES):
        return None
    line.at += ahead
    return Swim(ladder=tuple(found))
