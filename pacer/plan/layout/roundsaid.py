"""How often lines of a page are swum, as coaches say it, and what they say about all of them after that."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from pacer.plan.parts.bitkinds import Kind
from pacer.plan.parts.bits import bits_of
from pacer.plan.parts.partreader import PartReader
from pacer.plan.parts.partvalues import Swim
from pacer.plan.parts.roundsbylane import rounds_by_lane
from pacer.plan.regex import regex
from pacer.plan.words.linepatterns import NUMBERS, REST_BETWEEN

_N = r"(?P<{0}>\d{{1,2}}(?:\s*(?:-|to)\s*\d{{1,2}})?|two|three|four|five|six|seven|eight|nine|ten)"
_THROUGH = r"(?:\s*thr(?:ough|u|o)\b|\s+(?:a)?round\b)"
_THESE = r"(?:\s*\b(?:of\s+)?(?:this|these|those|the\s+following)(?:\s+sets?)?)?"
#: `3 x`, `x 3 thro`, `3 rounds of`, `2 times through`; not the count of a set: `3 x 100`.
_ALL = (
    r"(?:(?:it|this|these|those|that|them|all|everything|thr(?:ough|u|o)|of|the\s+(?:lot|following|whole\s+(?:lot|thing|set)))"
    r"\s+)*"
)
COUNT = (
    rf"(?:(?:repeat|do|go|swim|run)\s+{_ALL}|all\s+)?(?:[x×]\s?{_N.format('a')}{_THROUGH}?"
    rf"|{_N.format('b')}\s*[x×](?:{_THROUGH}|(?=\s{{2,}}\d)|(?!\s*[\d({{\[]))"
    rf"|{_N.format('c')}\s*(?:rounds?|rn?ds?\b\.?|times|sets|goes|lots)(?:\s+of\b|{_THROUGH})?"
    rf"|(?P<e>twice|thrice){_THROUGH}?(?!\s+(?:a|per|each|every)\b)"
    rf"|{_N.format('d')}\s+of\s+(?=this\b|these\b|those\b|the\s+following\b)){_THESE}"
)
_COUNT = regex(COUNT, re.IGNORECASE)
#: `3x (Dev x2)`: no bracket with sets.
_BESIDE = regex(r"^(\d{1,2})\s*[x×](?:\s*thr(?:ough|u|o))?\s*\((?=[^\W\d])")
#: What stands before the count of a section's rounds: its name.
_HEADED = regex(rf"(?P<name>[^\W\d][^\d:;,]{{0,30}}?)\s*[:,(-]*\s*{COUNT}(?P<behind>.*)", re.IGNORECASE)
#: What is done so often without being a section: `blow bubbles x 5`.
_EXERCISES = regex(
    r"\b(?:blow\w*|bubbles?|push|jump\w*|bobs?|glides?|floats?|somersaults?|rolls?|tumbles?|handstands?|sit|press|pull[\s-]?ups?"
    r"|squats?|lunges?|burpees?|planks?|streamlines?|torpedo\w*|mushrooms?|spins?|climb\w*|dives?|sink\w*|fetch)\b",
    re.IGNORECASE,
)
#: `Main bit, all front crawl, go thru it 3 times:`
_SENTENCE = regex(
    rf"(?P<name>[^\W\d][^\d:;,.]{{0,30}}?)(?:\s*[,;.–-]+\s*(?P<words>[^\d:]*?))??[\s,;.–-]+"
    rf"(?=(?:go|do|swim|run|repeat)\s){COUNT}\s*[:.]?\s*",
    re.IGNORECASE,
)
_LANES_BEHIND = regex(r"[\s,;:(-]*(?:lanes?|lns?|L|gr(?:ou)?ps?|[A-D])(?![^\W\d_])", re.IGNORECASE)
#: A rest between rounds after the last set of them.
ROUNDS_REST = regex(rf"(?:^|[\s,;+]+)(?=[^\W\d]*\s?[\d:]){REST_BETWEEN.pattern}(?<=[^\W\d])(?<!each)$", re.IGNORECASE)
#: How often some swim it, who are no lanes: `Dev 2`, `juniors only 3`, `2 for the newer ones`.
_FOR_OTHERS = regex(
    r"(?:the\s+)?(?:[^\W\d]{2,}|(?-i:[A-F]))(?:\s+(?:lanes?|group|squad|team|do|does|only|just))*\s*[:=–-]?\s*x?\s?[1-9]\s?x?(?:\s+(?:rounds?|rds?|times))?"
    r"|(?:only\s+|just\s+)?[1-9]\s?x?\s+for\s+(?:the\s+)?[^\d]{1,24}\d?",
    re.IGNORECASE,
)
_SIGNS = " ,;:.-()"
MOST_NAME_WORDS = 4  #: words


def count_of(match: re.Match[str]) -> str:
    """The count that a match of `COUNT` says, in the notation."""
    if match["e"]:
        return {"twice": "2", "thrice": "3"}[match["e"].casefold()]
    said = match["a"] or match["b"] or match["c"] or match["d"]
    return str(NUMBERS.get(said.casefold(), re.sub(r"\s*(?:-|to)\s*", " to ", said)))


@dataclass(slots=True)
class ForAll:
    """What is said about all sets of some rounds: their gear, `time` (rest or interval), rest `between` rounds, words.

    `count` is the rounds' count, with its exceptions for lanes.
    """

    count: str
    gear: list[str] = field(default_factory=list)
    time: str = ""
    between: str = ""
    note: str = ""


def rounds_said(text: str) -> ForAll | None:
    """What a line says that says how often others are swum, and things about them all; None for other lines.

    >>> rounds_said("3 RDS w/ fins + paddles")
    ForAll(count='3', gear=['fins', 'paddles'], time='', between='', note='')
    >>> rounds_said("2 rounds, 1 min between rounds").between, rounds_said("3 x 100")
    ('1:00', None)
    """
    text = _BESIDE.sub(r"\1 rounds (", text.lstrip(_SIGNS))
    match = _COUNT.match(text)
    return None if match is None else for_all(count_of(match), text[match.end() :])


def headed_rounds(text: str) -> tuple[str, ForAll] | None:
    """The name and the rounds of a line that says nothing else: `CSS: 3 rounds of -`.

    >>> headed_rounds("Drills x 2 thro:")
    ('Drills', ForAll(count='2', gear=[], time='', between='', note=''))
    """
    match = _HEADED.fullmatch(text)
    if match is None or len(match["name"].split()) > MOST_NAME_WORDS or _EXERCISES.search(match["name"]):
        return None
    said = for_all(count_of(match), match["behind"])
    return None if said is None or said.note else (match["name"].strip(_SIGNS), said)


def rounds_in_words(text: str) -> tuple[str, str, str] | None:
    """The name, the rounds and the other words of a line that says in a sentence how often the sets below are swum.

    >>> rounds_in_words("Main bit, all front crawl, go thru it 3 times:")
    ('Main bit', '3', 'all front crawl')
    """
    match = _SENTENCE.fullmatch(text)
    if match is None or len(match["name"].split()) > MOST_NAME_WORDS:
        return None
    return match["name"].strip(_SIGNS), count_of(match), (match["words"] or "").strip(_SIGNS)


def for_all(count: str, behind: str) -> ForAll | None:
    """What is said after a count of rounds; None if that counts more sets.

    >>> for_all("2", " - L3&4 x1").count, for_all("2", ": 4 x 50")
    ('2 / 2 / 1 / 1', None)
    >>> for_all("3", " (Dev 2)").note
    'Dev 2'
    """
    said, tail = ForAll(count), behind.strip(_SIGNS)
    if not tail:
        return said
    if _LANES_BEHIND.match(behind) and (by_lane := rounds_by_lane(f"{count} rounds ({tail})")):
        said.count = by_lane
        return said
    if _FOR_OTHERS.fullmatch(tail):
        said.note = tail
        return said
    if between := REST_BETWEEN.fullmatch(tail):
        said.between = _clock(between["time"])
        said.note = between["words"].strip(_SIGNS)
        return said if said.between else None
    match PartReader(f"2 x 100 {tail}").read():
        case [Swim(often=2, far=100, shares="", hold="", trend="", by_lane={}) as swim] if not swim.work:
            said.gear, said.note = swim.gear, ", ".join([*swim.said, *swim.notes])
            said.time = f"on {swim.on[0]}" if swim.on else f"rest {swim.rest[0]}" if swim.rest else ""
            return None if re.search(r"\d", said.note) else said
    return None


_HEAD = regex(rf"(?P<sets>[(\[{{].*[)\]}}])\s*{COUNT}(?P<behind>.+)", re.IGNORECASE)


#: What stands between the sets of a bracket.
_JOINT = r"\s*(?:/\s+|[,;]\s*)(?=\d+\s*[x×]|\d{2,4}(?![\d:.]))"


def rounds_behind(text: str) -> str:
    """A bracket with its rounds and their exceptions after it, as rounds by lane; other texts as they are.

    >>> rounds_behind("[100 IM / 100 easy] x 2  - L3&4 x1")
    '2 / 2 / 1 / 1 x (100 IM + 100 easy)'
    """
    match = _HEAD.fullmatch(text)
    if match is None or "/" not in (said := for_all(count_of(match), match["behind"]) or ForAll("")).count:
        return text
    return f"{said.count} x ({re.sub(_JOINT, ' + ', match['sets'][1:-1].strip())})"


_MINUTES = regex(
    r"(?:(?<=\bwith\s)|(?<=\btake\s)|(?<=\brest\s)|^|(?<=,\s)|(?<=\())(?P<n>an?|one|two|three|half\s+a)\s+(?P<unit>minutes?|mins?)"
    r"(?P<wall>\s+(?:at|on|by)\s+the\s+wall)?(?=\W*$|\W*(?:rest|break|off|between|btwn|in\s+between|after\s+each|then|and\s+then)\b)",
    re.IGNORECASE,
)


def minutes_in_words(text: str) -> str:
    """A rest whose minutes are words, with a number.

    >>> minutes_in_words("a minute at the wall"), minutes_in_words("x2 with a minute between")
    ('1 minute rest', 'x2 with 1 minute between')
    """
    return _MINUTES.sub(_minutes, text)


def _minutes(found: re.Match[str]) -> str:
    number = {"a": "1", "an": "1", "one": "1", "two": "2", "three": "3"}.get(found["n"].casefold())
    return (f"{number} {found['unit']}" if number else "30 secs") + (" rest" if found["wall"] else "")


def rest_with_words(match: re.Match[str]) -> str:
    """The time of a rest between rounds, with the words that are said besides, such as `water`, as its note."""
    words = match["words"].strip(_SIGNS)
    return f'{match["time"]} "{words}"' if words else match["time"]


def has_gear(text: str) -> bool:
    """Whether gear is said in a text."""
    return any(bit.kind is Kind.GEAR for bit in bits_of(text))


def _clock(time: str) -> str:
    """`1 min` as a time of the notation; "" if it is none."""
    match PartReader(f"2 x 100 rest {time}").read():
        case [Swim(rest=[rest])]:
            return rest
    return ""
