"""Cuts a coach's line into bits: numbers, times, words of work, words for an interval or a rest, all other words."""

from __future__ import annotations

import re
from collections.abc import Callable

from pacer.plan.parts.bitkinds import LETTERS, MEANT, NUMBERS, SPELT, WORDS, Bit, Kind, short_for
from pacer.plan.regex import regex
from pacer.plan.words.linepatterns import KICKS, OWN_STROKE
from pacer.plan.words.sayings import PLACE, SAYINGS
from pacer.plan.words.vocabulary import Phrases, key_of, near

_SPELT = "|".join(sorted(NUMBERS, key=len, reverse=True))
_UNIT = r"(?:m|mtrs?|met(?:re|er)s?|y|yds?|yards?)"
_MINUTES = r"(?:mins?|minutes?)\b\.?"
_SECONDS = r"(?:s|secs?|seconds?)\b\.?"
_SECONDS_SPELT = r"(?:secs?|seconds?)\b\.?"
_FIFTIES = {"twenty-fives": 25, "twenty fives": 25, "fifties": 50, "seventy-fives": 75, "hundreds": 100}
_LANES = (
    r"(?:lanes?\s*|lns?\s*|(?-i:L))\d{1,2}"
    r"(?:\s*(?:-|–|/|&|,|\+|to|and)\s*\d{1,2}(?!\d|:\d|\s*[x×]))*"
    r"(?:\s+\d(?=\s+(?:on|@|off)))*(?!\d|:\d|\s*[x×])"
)
_MEANT = "|".join(word.replace(" ", r"\s+") for word in MEANT if word != "race") + r"|race(?=[!\s]+\d)"
_BITS = regex(
    rf"""
    (?P<quote>"[^"]*"|“[^”]*”)
  | (?P<percent>\d{{1,3}}(?:\s?[-–]\s?\d{{1,3}})?\s?(?:%|per\s?cent\b))
  | (?P<half>(?:an?\s+)?half\s+(?:an?\s+)?(?:{_MINUTES}|hour\b))
  | (?P<aminute>(?:an?|one)\s+(?:{_MINUTES}|hour\b)(?:\s+and\s+a\s+half\b)?)
  | (?P<hundred>(?:(?:{_SPELT})\s+)?hundred(?:\s+and\s+fifty)?\b)
  | (?P<fifties>{"|".join(re.escape(word) for word in _FIFTIES)})\b
  | (?P<halves>(?:\d|two|three|four|five)\s+and\s+a\s+half\s+{_MINUTES})
  | (?P<spelt>(?:{_SPELT}|thirty|forty|forty-five|forty\s+five)\s+{_SECONDS_SPELT})
  | (?P<prime>\d{{1,2}}\s?['’′]\s?\d{{2}}(?:["”″]|''|’’)?(?!\d) | \d{{1,2}}(?:["”″]|''|’’) | \d{{1,2}}['’′](?!\w))
  | (?P<secrange>\d{{1,2}}\s*(?:[-–]|\bto\b)\s*\d{{1,2}}\s*{_SECONDS})
  | (?P<lanes>{_LANES})
  | (?P<named>(?:groups?|gr?p)\s+(?-i:[A-Z])\b|(?-i:[A-D](?=\s+(?:only|do|does|swims?)\s)))
  | (?P<group>(?-i:[A-D])(?=\s*:?\s+(?:on\b|@|:?\d)|\s*:?\s?\d:|\s+same))
  | (?P<clock>(?<![\d:])\d{{0,2}}:[0-5]\d(?:\.\d)?(?!\d|:\d))
  | (?P<reps>(?:25|50|75)\s?['’]?s\b(?=\s*(?:[x×*]\s*\d|:)) | (?<=\ball\s)(?:25|50|75)\s?['’]?s\b)
  | (?P<both>\d{{1,2}}(?:m|\s*(?:mins?|minutes?)\s*)[0-5]\d(?:\s*{_SECONDS})?(?!\w))
  | (?P<seconds>\d{{1,3}}\s*{_SECONDS}(?!/))
  | (?P<minutes>\d{{1,3}}(?:\.5)?\s*{_MINUTES})
  | (?P<range>\#?\d{{1,2}}\s*(?:[-–]|\bto\b)\s*\#?\d{{1,2}}(?![\w:.%]))
  | (?P<thousands>[1-9],\d[05]0(?!\d|,\d)(?:\s?{_UNIT}\b)?)
  | (?P<plural>(?:\d{{0,2}}(?:25|50|75|00))\s?['’]?s\b(?!/))
  | (?P<far>\d{{2,4}}\s?{_UNIT}(?![\w/]))
  | (?P<dotted>(?<![\d.])\d{{1,2}}\.[0-5]\d(?!\d|\.\d))
  | (?P<number>\#?\d+(?!\.\d))
  | (?P<joined>\d+[.,]\d+)
  | (?P<test>(?-i:T)(?=\d{{3,4}}(?!\d)))
  | (?P<own>(?:\#|no\.?\s?)1\b(?!\s*[-–:]|.*\#\s?2))
  | (?P<with>in(?=\s+(?:your\s+)?(?:fins|flippers|paddles|pads)\b)|w\.(?=\s?[^\W\d])|w\s?/(?!\s?(?:[oud]|up|dn?)\b))
  | (?P<rests>(?!(?-i:R)[1-4](?![\d:]))(?:r|ri|rest)(?=[:\d]))
  | (?P<times>[x×*✕](?=\s*[\d({{\[]|\s*$|\s*[,.;:)\]}}–-]|\s+[^\W\d]))
  | (?P<at>@)
  | (?P<meant>(?:{_MEANT})\b)
  | (?P<couple>a\s+(?:couple|pair)\s+of\b)
  | (?P<legs>(?:kick(?:s|ing)?\s+)?
      (?:(?:dolphin|flutter|whip)(?:\s+(?:kick(?:s|ing)?|legs))?|frog\s+(?:kick(?:s|ing)?|legs))\b)
  | (?P<word>[^\W\d_][\w/]*(?:['’\-‑][^\W\d_]\w*)*\.?(?<!\.)|[^\W\d_][\w/]*(?:['’\-‑][^\W\d_]\w*)*)
  | (?P<left>[(\[{{]) | (?P<right>[)\]}}])
  | (?P<plus>[+&]) | (?P<slash>/) | (?P<comma>[,;|]) | (?P<dash>\s[-–—]+\s|[-–—→]|->|=>|\.\.+|>(?!\d))
  | (?P<colon>[:=]) | (?P<stop>[.!?]) | (?P<strange>\S)
    """,
    re.VERBOSE | re.IGNORECASE,
)
_GROUP_AT = regex(r"(?<![\w'’])([A-D])(?=\s*:?\s+(?:on\b|@|:?\d)|\s*:?\s?\d:|\s+same)")
#: What a number that is spelt out counts.
_COUNTED = regex(
    r"\s+(?:(?:[^\W\d]+\s+){0,2}?(?:lengths?|lths?|lgths?|laps?)|[x×]|times|rounds?|lots\s+of|goes|fifties|hundreds|(?:of\s+)?each"
    r"|\d{2,3}s?)\b",
    re.IGNORECASE,
)
#: `walk back`: the way to the start.
_WAY_BACK = regex(
    r"(?:walk|paddle|jog|float|come|run|climb|ride|way|head|and|swim(?=\s+back\s+(?:easy|ez|slow)))\s+back\b",
    re.IGNORECASE,
)
_ROUND = regex(r"R[1-4](?![\d:])")
_TAIL = regex(r"[^\W\d_]+")
_PHRASES = Phrases(WORDS)


def bits_of(text: str) -> tuple[Bit, ...]:
    """The bits of a line.

    >>> [bit.kind.name for bit in bits_of("4x50 kick :40, R10")]
    ['NUMBER', 'TIMES', 'NUMBER', 'WORK', 'TIME', 'COMMA', 'REST', 'NUMBER']
    """
    found: list[Bit] = []
    at = 0
    while at < len(text):
        if text[at].isspace():
            at += 1
            continue
        bit = _said(text, at, found) or _cut(text, at, found)
        found.append(bit)
        at = bit.end
    return tuple(found)


def _said(text: str, at: int, found: list[Bit]) -> Bit | None:
    """A drill, an instruction or a position by its name, if one begins here."""
    if not text[at].isalnum() or at and text[at - 1].isalnum():
        return None
    if text[at].isdigit() and (not found or found[-1].kind in (Kind.TIMES, Kind.ON, Kind.AT, Kind.REST)):
        return None
    if (match := OWN_STROKE.match(text, at)) and " " in match[0]:  # any stroke you fancy
        return Bit(Kind.WORK, match[0], at, match.end(), "choice", word="STROKE")
    match = SAYINGS.match(text, at) or PLACE.match(text, at)
    if match and re.fullmatch(r"[\d-]+", match[0]) and any(int(each) > 9 for each in match[0].split("-")):
        return None  # a ladder
    return Bit(Kind.SAID, match[0], at, match.end()) if match else None


def _cut(text: str, at: int, found: list[Bit]) -> Bit:
    match = _BITS.match(text, at)
    assert match is not None and match.lastgroup is not None
    said, group = match[0], match.lastgroup
    if group == "number" and said[0] == "#":
        return Bit(Kind.NUMBER, said, at, match.end(), "", int(said[1:]))
    numbers = [int(each) for each in re.findall(r"\d+", said)]
    counts = bool(found) and found[-1].kind is Kind.TIMES

    def bit(kind: Kind, says: str = "", number: int = 0, last: int = 0, word: str = "") -> Bit:
        return Bit(kind, said, at, match.end(), says, number, last, word)

    match group:
        case "half":
            return bit(Kind.SECONDS, "30:00" if "hour" in said.casefold() else "0:30")
        case "aminute":
            return bit(
                Kind.SECONDS, _clock((3600 if "hour" in said.casefold() else 60) * (3 if "half" in said else 2) // 2)
            )
        case "hundred":
            often = NUMBERS.get(said.split()[0].casefold(), 1)
            return bit(Kind.FAR, "", 100 * often + (50 if "fifty" in said.casefold() else 0))
        case "fifties":
            return bit(Kind.FAR, "", _FIFTIES[said.casefold()])
        case "halves":
            word = said.split()[0].casefold()
            return bit(Kind.SECONDS, _clock(60 * (NUMBERS.get(word) or int(word)) + 30))
        case "spelt":
            word = re.split(r"\s+(?=s)", said.casefold())[0].replace(" ", "-")
            return bit(Kind.SECONDS, _clock(NUMBERS.get(word) or {"thirty": 30, "forty": 40, "forty-five": 45}[word]))
        case "prime":
            minutes = re.match(r"\d+\s?['’′](?!['’])", said)
            both = (numbers[0], numbers[1] if len(numbers) > 1 else 0) if minutes else (0, numbers[0])
            return bit(Kind.TIME if minutes else Kind.SECONDS, _clock(60 * both[0] + both[1]))
        case "clock":
            return bit(Kind.TIME, said if said[0] != ":" else f"0{said}")
        case "dotted":
            return bit(Kind.TIME, said.replace(".", ":"))
        case "both":
            return bit(Kind.TIME, _clock(60 * numbers[0] + numbers[1]))
        case "seconds":
            return _seconds(bit, said, numbers[0], at, found)
        case "minutes":
            return bit(Kind.SECONDS, _clock(60 * numbers[0] + (30 if ".5" in said else 0)))
        case "range":
            if numbers[0] < numbers[1] <= 40 and not counts:
                return bit(Kind.RANGE, f"{numbers[0]}-{numbers[1]}", numbers[0], numbers[1])
            first = re.match(r"#?\d+", said)
            assert first is not None
            return Bit(Kind.NUMBER, first[0], at, at + first.end(), "", int(first[0].strip("#")))
        case "thousands":
            return bit(Kind.FAR, "", int("".join(map(str, numbers))))
        case "plural" | "far" | "reps":
            return bit(Kind.FAR, "", numbers[0])
        case "number":
            if (tail := _TAIL.match(text, match.end())) and not _known(tail[0]):  # 150ish
                return Bit(Kind.WORD, said + tail[0], at, tail.end())
            return bit(Kind.NUMBER, "", numbers[0])
        case (
            "with"
            | "rests"
            | "times"
            | "at"
            | "left"
            | "right"
            | "plus"
            | "slash"
            | "comma"
            | "dash"
            | "colon"
            | "stop"
            | "quote"
        ):
            return bit(Kind["REST" if group == "rests" else group.upper()])
        case "secrange" if counts or numbers[0] >= numbers[1]:  # x 8 - 20 secs
            return Bit(Kind.NUMBER, str(numbers[0]), at, at + len(str(numbers[0])), "", numbers[0])
        case "secrange":
            return bit(Kind.SECONDS, _clock(numbers[0]))
        case "lanes":
            return bit(
                Kind.LANES, re.sub(r"(?<=\d)\s+(?=\d)", ", ", re.sub(r"(?i)^(?:lanes?|lns?|l)\s*", "lanes ", said))
            )
        case "named":
            return bit(Kind.LANES, said[-1])
        case "group":
            several = len({*_GROUP_AT.findall(text)}) > 1
            return bit(Kind.LANES, said) if several else _word(text, at, found)
        case "test":
            return bit(Kind.SAID, "TT")
        case "own":
            return bit(Kind.WORK, "choice", word="STROKE")
        case "couple":
            return bit(Kind.NUMBER, "", 2)
        case "meant":
            meant = MEANT[" ".join(said.casefold().split())]
            return bit(Kind.WORK, meant, word=WORDS[meant][1])
        case "legs":
            stroke = next(KICKS[word] for word in KICKS if word in said.casefold())
            return bit(Kind.WORK, f"kick {stroke}", word="ACTIVITY")
        case "word":
            return _word(text, at, found)
    return bit(Kind.WORD)


def _seconds(bit: Callable[..., Bit], said: str, number: int, at: int, found: list[Bit]) -> Bit:
    """`20s` is a time, `50s` are swum unless a word before them says otherwise, `200 s` is 200 swim."""
    told = found and (found[-1].kind in (Kind.REST, Kind.ON, Kind.AT) or found[-1].kind is Kind.PLUS and number < 50)
    several = number >= 50 or not found or found[-1].kind in (Kind.NUMBER, Kind.TIMES)
    if said[-1] in "sS" and not said[-2].isalpha() and not told and number % 25 == 0 and several:
        digits = len(str(number))
        return (
            bit(Kind.FAR, "", number)
            if said[digits].isalpha()
            else Bit(Kind.NUMBER, said[:digits], at, at + digits, "", number)
        )
    return bit(Kind.SECONDS, _clock(number), number)


def _word(text: str, at: int, found: list[Bit]) -> Bit:
    """A word, or the longest phrase that is known."""
    one = re.compile(r"[^\W\d_]+(?:[/'’\-‑][^\W\d_]\w*)*").match(text, at)
    assert one is not None
    first = re.match(r"[^\W\d_]+", one[0])
    assert first is not None
    for key in dict.fromkeys((one[0].casefold(), first[0].casefold())):
        if match := _PHRASES.match(key, text, at):
            kind, word = WORDS.get(key_of(match[0]), WORDS.get(" ".join(match[0].casefold().split()), (Kind.WORD, "")))
            if kind is not Kind.WORD:
                return Bit(kind, match[0], at, match.end(), word=word)
    for end in (one.end(), first.end() + at):
        said = text[at:end]
        if (
            _WAY_BACK.match(text, at)
            or _WAY_BACK.match(text, found[-1].start if found else at)
            and said.casefold() == "back"
        ):
            return Bit(Kind.WORD, said, at, end)
        if said == "L" and found and found[-1].kind is Kind.NUMBER and found[-1].number < 25:
            return Bit(Kind.LENGTHS, said, at, end)
        if said == "R" and (numbered := _ROUND.match(text, at)):  # R3, the third round
            return Bit(Kind.WORD, numbered[0], at, numbered.end())
        if said in LETTERS:
            return Bit(Kind.WORK, said, at, end, *LETTERS[said])
        if said.casefold() in ("stroke", "str", "stk", "strk") and found and _is_choice(found[-1], text[end:]):
            return Bit(Kind.WORK, said, at, end, "choice", word="STROKE")
        if said.casefold() in NUMBERS and _COUNTED.match(text, end):
            return Bit(Kind.NUMBER, said, at, end, "", NUMBERS[said.casefold()])
        kind, word = WORDS.get(key_of(said), (Kind.WORD, ""))
        if kind is not Kind.WORD:
            return Bit(kind, said, at, end, word=word)
        if end != first.end() + at and ("/" in said or "-" in said):
            if "-" in said and not all(map(_known, said.split("-"))):  # pull-out
                return Bit(Kind.WORD, said, at, end)
            continue
        return _spelt(said, at)
    return Bit(Kind.WORD, one[0], at, one.end())


def _is_choice(before: Bit, behind: str) -> bool:
    """Whether the word stroke is each swimmer's own: `50 stroke`, `5-8 stroke`, `kick stroke`."""
    counted = before.kind in (Kind.NUMBER, Kind.FAR, Kind.RANGE, Kind.SLASH, Kind.RIGHT) or before.word == "ACTIVITY"
    return counted and not re.match(
        r"\s*(?:counts?|rates?|lengths?|correction|work|technique)\b", behind, re.IGNORECASE
    )


def _spelt(said: str, at: int) -> Bit:
    """A word that nobody knows: perhaps a misspelt stroke."""
    long = len(said) > 4 and not said.casefold().endswith(("er", "ers"))
    meant = long and near(said, SPELT, 0.85) or short_for(said)
    if not meant:
        return Bit(Kind.WORD, said, at, at + len(said))
    return Bit(Kind.WORK, said, at, at + len(said), meant, word=WORDS[meant][1])


def _known(word: str) -> bool:
    return word in LETTERS or word.casefold() in ("x", "l") or word.casefold() in WORDS


def _clock(seconds: int) -> str:
    return f"{seconds // 60}:{seconds % 60:02d}"
