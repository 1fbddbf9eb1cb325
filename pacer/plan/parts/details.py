"""What is said of a set after its distance: interval, rest, target time, gear, a trend."""

from __future__ import annotations

import re
from itertools import pairwise

from pacer.plan.parts.bitkinds import Bit, Kind
from pacer.plan.parts.cursor import BREAKS, CLOCK, FAR, Cursor
from pacer.plan.parts.heads import LEAST_ALONE
from pacer.plan.parts.partvalues import Pause, Swim
from pacer.plan.regex import regex
from pacer.plan.words.linepatterns import QUICKEST

#: Words that say that a rest is after each length.
_AFTER_EACH = regex(r"\b(?:each|every)\s+(?:end|length|one|time|wall)\b", re.IGNORECASE)
SLOWEST_INTERVAL = 4  #: seconds for a metre: what is slower is no interval
_CHANGED = ("minus", "plus", "drop", "lose")  #: words in front of a time that changes another
_COMPARED = ("faster", "slower", "quicker", "better", "worse", "more", "less")
LEAST_PAUSE = 10  #: seconds; fewer are no rest after a set
_EACH = ("one", "length", "rep", "round", "the", "set", "them", "swim", "each", "50", "100")
_LEFT = ("left", "remaining")
#: Words for some of the rounds.
_SOME = ("first", "last", "final", "1st", "2nd", "3rd", "4th", "second", "third", "fourth")
_OF_THEM = ("one", "ones", "time", "rep", "reps")
_NO_TIME = ("pace", "speed", "max", "effort", "rate", "spm", "%")


def detail(line: Cursor, swim: Swim, related: bool, noted: bool = False) -> bool | None:
    """Read the detail that begins here, if one does. None: a rest after the set begins here instead.

    `related`: a word came after which a time alone says nothing about the set; `noted`: other words are right in front.
    """
    bit = line.bit()
    assert bit is not None
    here = line.at
    found: bool | None = False
    match bit.kind:
        case Kind.ON | Kind.AT:
            found = not (noted and _of_distance(line)) and _interval(line, swim)
        case Kind.REST:
            line.at += 1
            line.skip(Kind.COLON, words=("of", "a", "the", "for", "=", "each", "end", "at", "wall", "every"))
            found = _rest(line, swim, bare=True)
        case Kind.PLUS if swim.often < 2 and line.sees(1, Kind.SECONDS) and line.sees(2, Kind.PLUS):
            found = None
        case Kind.PLUS:
            line.at += 1
            found = _rest(line, swim, bare=True) if line.sees(0, *CLOCK) or short_number(line, 0) else False
        case Kind.SECONDS | Kind.TIME if line.says(1, *_COMPARED):  # each one 2 secs faster
            found = False
        case Kind.SECONDS | Kind.TIME if line.sees(1, Kind.REST, Kind.BETWEEN) or not (
            related or line.says(-1, *_CHANGED) or noted and (bit.kind is Kind.TIME or swim.on or swim.rest)
        ):
            found = _time(line, swim, bit)
        case Kind.NUMBER if (
            line.sees(1, Kind.REST)
            and bit.number < 100
            and not (bit.number % 25 == 0 and line.bits[here + 1].text == "R")
        ):
            found = _rest(line, swim, bare=True)
        case Kind.WITH:
            line.at += 1
            line.skip(words=("a", "the", "an"))
            if line.sees(0, Kind.GEAR):
                return True
            found = _time(line, swim, line.bits[line.at]) if line.sees(0, *CLOCK) else False
        case Kind.GEAR:
            found = _gear(line, swim, bit)
        case Kind.TREND:
            found = _trend(line, swim, bit)
        case Kind.RANGE if line.sees(1, Kind.TREND):
            swim.trend = f"{line.bits[here + 1].text} {bit.says}"
            line.at += 2
            found = True
        case Kind.HOLD if line.sees(1, Kind.TIME) and not swim.hold:
            swim.hold = line.bits[here + 1].says
            line.at += 2
            found = True
        case Kind.LANES:
            found = _lanes(line, swim, bit)
    if not found:
        line.at = here
    return found


def short_number(line: Cursor, ahead: int) -> bool:
    """Whether the number that many bits ahead is a rest after a plus: too short to swim, or nothing is said of it."""
    bit = line.bit(ahead)
    if bit is None or bit.kind is not Kind.NUMBER or bit.number % LEAST_ALONE == 0 and line.sees(ahead + 1, Kind.RIGHT):
        return False
    return bit.number < 60 and line.part_ends(ahead + 1)


def pause(line: Cursor) -> Pause | None:
    """The rest on its own that begins here, if one does."""
    here = line.at
    line.skip(*BREAKS)
    then = line.sees(-1, Kind.THEN)
    said = line.skip(Kind.REST, words=("take", "a", "have", "extra", "another", "then")) or then
    if bit := line.bit():
        said = said or line.sees(1, Kind.REST, Kind.BETWEEN) or line.says(1, "off")
        long = bit.kind is Kind.SECONDS and seconds_of(bit.says) >= LEAST_PAUSE
        if bit.kind in CLOCK and (said or long):
            line.at += 1
            _between(line)
            line.skip(words=("off",))
            return Pause(bit.says)
    line.at = here
    return None


def values(line: Cursor, bare: bool) -> list[str]:
    """The times here, one for each lane. `bare`: a number alone is seconds, or minutes and seconds without a sign."""
    found: list[str] = []
    while bit := line.bit():
        if bit.kind in CLOCK:
            found.append(bit.says)
        elif bare and _can_be_time(bit) and not line.sees(1, Kind.TIMES):
            found.append(time_of(bit.number))
        else:
            break
        line.at += 1
        next_ = line.bit(1)
        if not line.sees(0, Kind.SLASH) or next_ is None or line.sees(2, Kind.WORK, Kind.TIMES):
            break
        per = next_.number == 100 and next_.start == line.bits[line.at].end  # 1:35/100
        if per or next_.kind not in CLOCK and not (bare and _can_be_time(next_)):
            break
        line.at += 1
    return found


def _can_be_time(bit: Bit) -> bool:
    """Whether a number alone can be a time: seconds, or minutes and seconds without a sign."""
    if bit.kind is Kind.FAR:
        return bit.text[-1:] in "sS" and bit.number <= 90
    return bit.kind is Kind.NUMBER and 3 <= bit.number <= 959


def time_of(number: int) -> str:
    """Seconds, or minutes and seconds written without a sign: 55, 130."""
    if number > 100 and number % 100 < 60:
        return f"{number // 100}:{number % 100:02d}"
    return clock(number)


def clock(seconds: int) -> str:
    """Seconds as a time."""
    return f"{seconds // 60}:{seconds % 60:02d}"


def seconds_of(time: str) -> float:
    """The seconds of `1:30`, `0:20` or `1:02.5`."""
    minutes, _, seconds = time.rpartition(":")
    return 60 * int(minutes or 0) + float(seconds)


def _of_distance(line: Cursor) -> bool:
    """Whether `every` is about a distance: `change leader every 50`."""
    far = line.bit(1)
    return line.says(0, "every", "on the") and far is not None and far.kind in (Kind.NUMBER, Kind.FAR)


def _interval(line: Cursor, swim: Swim) -> bool:
    line.skip(Kind.ON, Kind.AT, Kind.COLON, words=("the", "a", "every"))
    found = values(line, bare=True)
    if not found and line.says(0, "minute", "min"):  # on the minute
        found = ["1:00"]
        line.at += 1
    if (
        not found
        or swim.on
        or line.says(0, *_NO_TIME)
        or line.says(1, "rate")
        or line.sees(0, Kind.WORK)
        and line.bits[line.at].word != "EFFORT"
        and len(found) == 1
        and ":" not in line.bits[line.at - 1].text
    ):
        return False
    each = line.sees(0, Kind.SLASH) or line.says(0, "per")
    if each and line.says(1, "100", "100m") and len(found) == 1:
        found = [f"{found[0]} per 100"]
        line.at += 2
    swim.on = found
    if line.sees(0, Kind.DASH) and line.sees(1, Kind.TIME):  # on 2:15-2:30
        swim.notes.append(line.between(line.at - 1, line.at + 2))
        line.at += 2
    return True


def _rest(line: Cursor, swim: Swim, bare: bool) -> bool | None:
    """Take a rest, unless the set has an interval or a rest: then it is a rest after the set."""
    start = line.at
    found = values(line, bare)
    if not found:
        return False
    found = _for_each(line, swim, found)
    _between(line)
    return _rested(line, swim, found, start)


def _for_each(line: Cursor, swim: Swim, found: list[str]) -> list[str]:
    """The rests after all of a repeat if they are said for a part of it: `5 secs per 50`."""
    far = line.bit(1)
    if not line.says(0, "per") or far is None or far.kind not in FAR or far.number < LEAST_ALONE:
        return found
    if not swim.ladder and swim.far and swim.far % far.number == 0:
        line.at += 2
        return [clock(int(seconds_of(each) * swim.far / far.number)) for each in found]
    if swim.ladder and len(found) == 1 and all(each % far.number == 0 for each in swim.ladder):
        line.at += 2
        swim.per = far.number
    return found


def _rested(line: Cursor, swim: Swim, found: list[str], start: int) -> bool | None:
    if swim.on or swim.rest:
        return None
    swim.rest = found
    if swim.lengths > 1 and not swim.often and _AFTER_EACH.search(line.between(max(start - 4, 0), line.at)):
        swim.far, swim.often = swim.far // swim.lengths, swim.lengths
    ranged = [
        bit.text
        for bit in line.bits[start : line.at]
        if bit.kind is Kind.SECONDS and ("-" in bit.text or "–" in bit.text)
    ]
    swim.notes += ranged
    return True


def _time(line: Cursor, swim: Swim, bit: Bit) -> bool | None:
    """A time alone: a rest if it is said in seconds or is too short to swim in, else the interval."""
    start = line.at
    found = values(line, bare=False)
    if line.says(0, *_LEFT) or line.says(0, "to") and line.says(1, "go"):  # with 10 min left
        return False
    if line.sees(0, Kind.ON) and not line.sees(1, Kind.NUMBER, *CLOCK) and not (swim.on or swim.rest):  # 6 min cycle
        line.at += 1
        swim.on = found
        return True
    each = line.says(0, "each") and bool(swim.far) and seconds_of(bit.says) >= QUICKEST * swim.far
    between = _between(line) and not each
    if each and not (swim.on or swim.rest):  # 8 x 50, 1:00 each
        swim.on = found
        return True
    found = _for_each(line, swim, found)
    short = bool(swim.far) and seconds_of(bit.says) < QUICKEST * swim.far
    if between or bit.kind is Kind.SECONDS or short or not swim.far or swim.on or swim.rest:
        return _rested(line, swim, found, start)
    swim.on = found
    return True


def _between(line: Cursor) -> bool:
    """Go past words that say that a rest is between the repeats; whether there were any."""
    found = False
    while line.sees(0, Kind.BETWEEN, Kind.REST) or found and line.says(0, *_EACH) and not line.sees(1, Kind.TIMES):
        found = True
        line.at += 1
    return found


def _of_some(line: Cursor) -> bool:
    """Whether words in front are about only some of the rounds: `2nd round buoy & paddles`."""
    back = -1
    while (bit := line.bit(back)) is not None and bit.kind not in (Kind.COMMA, Kind.STOP, Kind.RIGHT, Kind.THEN):
        if bit.text.casefold() in _SOME:
            return line.sees(back + 1, Kind.ROUNDS, Kind.NUMBER, Kind.WITH, Kind.GEAR) or line.says(back + 1, *_OF_THEM)
        back -= 1
    return False


def _gear(line: Cursor, swim: Swim, bit: Bit) -> bool:
    if line.sees(-1, Kind.RELATION) or line.says(1, "ok", "optional", "or", "if", "for"):
        return False
    if _of_some(line):
        return False
    if bit.text.casefold() == "float" and not line.sees(-1, Kind.WITH) and swim.work.get("ACTIVITY") is None:
        return False
    swim.gear.append(bit.text)
    if "pull" in bit.text.casefold():
        swim.work.setdefault("ACTIVITY", "pull")
    line.at += 1
    if line.says(0, "on") and not line.sees(1, Kind.NUMBER, *CLOCK):  # fins on
        line.at += 1
    if line.sees(0, Kind.PLUS) and line.sees(1, Kind.GEAR):
        line.at += 1
    return True


def _trend(line: Cursor, swim: Swim, bit: Bit) -> bool:
    line.at += 1
    last = line.bit()
    if last is not None and last.kind is Kind.RANGE:
        line.at += 1
        swim.trend = f"{bit.text} {last.says}"
    elif last is not None and last.kind is Kind.NUMBER and 1 < last.number < LEAST_ALONE:
        line.at += 1
        swim.trend = f"{bit.text} 1-{last.number}"
    elif swim.often > 1:
        swim.trend = f"{bit.text} 1-{swim.often}"
    else:
        return False
    return True


def _lanes(line: Cursor, swim: Swim, bit: Bit) -> bool:
    """`lanes 4-5 on 0:40`, `(B 2:05)`: the value of some lanes."""
    line.at += 1
    line.skip(Kind.COLON)
    trial = Swim(swim.often, swim.far)
    line.skip(words=("does", "do", "only", "just", "swim", "swims"))
    if swim.often and line.sees(0, Kind.TIMES) and line.sees(1, Kind.NUMBER) and bit.says not in swim.by_lane:
        swim.by_lane[bit.says] = "often", str(line.bits[line.at + 1].number)
        line.at += 2
        return True
    if (
        line.sees(0, Kind.NUMBER)
        and swim.often
        and line.bits[line.at].number < swim.often * 2
        and line.part_ends(1)
        and bit.says not in swim.by_lane
    ):
        swim.by_lane[bit.says] = "often", str(line.bits[line.at].number)
        line.at += 1
        return True
    if line.sees(0, Kind.WORD) and len(line.bits[line.at].text) < 3 and line.sees(1, *CLOCK):  # L5 o 1.45
        line.at += 1
    said = line.bit()
    if (
        said is not None
        and swim.far
        and bit.says not in swim.by_lane
        and (line.part_ends(1) or line.sees(1, Kind.LANES))
    ):  # L1 50secs, L2 55
        time = said.says if said.kind in CLOCK else time_of(said.number) if said.kind is Kind.NUMBER else ""
        if time and QUICKEST * swim.far <= seconds_of(time) <= SLOWEST_INTERVAL * swim.far:
            swim.by_lane[bit.says] = "on", time
            line.at += 1
            return True
    if not line.sees(0, Kind.ON, Kind.AT, Kind.REST, *CLOCK) or not detail(line, trial, related=False):
        return False
    opens, found = ("on", trial.on) if trial.on else ("rest", trial.rest)
    if len(found) != 1 or bit.says in swim.by_lane:
        return False
    swim.by_lane[bit.says] = opens, found[0]
    return True


def interval_in(lead: list[Bit]) -> list[str]:
    """The interval in the words in front of a set: `all go on 4:00 - 5 x 250`."""
    for one, two in pairwise(lead):
        if one.kind in (Kind.ON, Kind.AT) and two.kind in CLOCK:
            return [two.says]
    return []


def timed_ahead(lead: list[Bit], swim: Swim) -> None:
    """Take the interval or the rest in front of a set, if nothing else is there: `on 1:00: 8 x 50`."""
    times = [bit for bit in lead if bit.kind in CLOCK]
    said = {bit.kind for bit in lead} - {*CLOCK, *BREAKS, Kind.BETWEEN}
    if len(times) != 1 or said not in ({Kind.ON}, {Kind.AT}, {Kind.REST}):
        return
    if said == {Kind.REST}:
        swim.rest, swim.on = [times[0].says], []
    else:
        swim.on = [times[0].says]
    lead.clear()
