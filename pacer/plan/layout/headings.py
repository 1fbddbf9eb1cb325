"""The names of sections on a pasted page, and what follows them on their lines."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from pacer.plan.layout.pagetotals import LEAST_TOTAL, SET_LIKE
from pacer.plan.layout.roundsaid import COUNT, count_of
from pacer.plan.model import Effort
from pacer.plan.regex import regex
from pacer.plan.words.labels import kind_of_work
from pacer.plan.words.vocabulary import GEAR_WORDS, key_of

#: Short forms of section names.
_SHORT = (
    r"[wscd]\s?[/'-]?\s?(?:up|down|dn)|w(?:a?rm|m)[\s-]?up|(?:sw(?:im)?|wm|cl)\.?[\s-]+(?:dn|down)|w\s?[/-]\s?u|w\.?\s?u\.?|wup|m\s?/\s?s|m\.?s\.?|[csw]\s?[/-]\s?d|[csw]\.?d\.?"
    r"|p\s?/\s?s|[kpds]s"
)
#: The number or the letter of one of several sections.
_OF_SEVERAL = (
    r"(?:\s*\#?\s*(?:[1-9](?!\d)|[A-D])\b(?!\s*(?:[x×*]|:(?!\s*\d{1,2}\s*[x×])|rounds?|rds?|times|sets|min)))?"
)
_KNOWN = regex(
    rf"""(?P<name>
      (?:gentle\s+|easy\s+)? (?:warm|cool|swim|loosen|wind) [\s-]? (?:up|down|off|ing\s+(?:up|down))\b (?:\s+set)?
    | (?:{_SHORT})(?![\w'/.])
    | (?:pre|post)[\s-]?(?:set|main)\b (?:\s+set)? {_OF_SEVERAL} | (?:pre|post)(?=\s*:|\s+\d|$)
    | main\b (?:\s+(?:set|course|block|event|part))? {_OF_SEVERAL}
    | (?:[a-z][a-z'’/-]*\s+){{0,3}} (?:sets?|block|section|part|series)\b
        (?:\s*\#?\s*(?:\d{{1,2}}|[A-D])\b(?!\s*[x×*]\s*\d|\s*m\b))?
    | down(?=\s*:|\s+\d|$) | activation | preparation | technique(?:\s+work)? | skills?(?:\s+work)?
    | intro(?:duction)? | finisher | games? | relays?
    )""",
    re.IGNORECASE | re.VERBOSE,
)
#: Names of sections that, if a set follows, say what the set is.
_WORK = regex(
    r"(?P<name>kick(?:ing)?|pull(?:ing)?|drills?|swim|sprints?|scull(?:ing)?|free(?:style)?|back(?:stroke)?"
    r"|breast(?:stroke)?"
    r"|fly|butterfly|im|legs|arms|fins|speed|aerobic|threshold|endurance|recovery|test|turns|starts|dives|stroke)",
    re.IGNORECASE,
)
#: The number of a section that is named after its work: `Kick 2:`.
_ONE_OF = regex(r"\s*\#?[1-9]\s*:")
_ROUNDS = regex(rf"[,(\[-]*\s*{COUNT}\s*[)\]]*\s*[:.]?", re.IGNORECASE)
_TIME = regex(r"[,(\[-]*\s*(?:for\s+)?(?P<n>\d{1,3})\s*(?:min(?:ute)?s?\.?|'|mn)\s*[)\]]*\s*[:.]?", re.IGNORECASE)
_RESTED = regex(r"\s*(?:rest|break|recovery|r\b|(?:in\s+)?(?:between|btwn|betw|btw)|after\s+each)", re.IGNORECASE)
_IF_TIME = regex(r"[,(\[-]*\s*(?:optional|if\s+time(?:\s+(?:allows|permits))?)\s*[)\]]*\s*[:.]?", re.IGNORECASE)
_SET_LIKE = regex(r"\d\s*[x×*]\s*\d|^\w+\s+\d{2,4}\b|\b\d{2,4}\s*m?\b", re.IGNORECASE)
_WITH = regex(r"\s*(?:[&+/]|\b(?:and|with|w/|in|on)(?=\s))\s*|\s+", re.IGNORECASE)
#: A total between a name and its sets: `Warm-up (700): 400 swim, …`, `Main set 1600m: 8 x 100, …`.
_TOTAL_AHEAD = regex(
    r"(?P<name>[^\W\d][^\d:()\[\]]{0,24}?(?:\s\#?\d(?!\d))?)\s*(?:[,:=–-]\s*)?"
    r"(?:(?P<left>[(\[])\s*)?(?:=|~|≈|about|approx\.?|ca?\.|total:?)?\s*"
    r"(?:(?P<n>\d{1,2}[,.]\d{3}|\d{3,5})\s*(?:m|mtrs?|met(?:re|er)s?|yds?|yards?)?|(?P<k>\d{1,2}(?:\.\d{1,2})?)\s*k(?:m|ms)?)"
    r"(?:\s*(?P<said>tot(?:al)?|ish|in\s+all))?\s*(?(left)[)\]])(?(left)\s*[:=–-]?\s*|(?:\s*[:=]\s*|\s+[–-]?\s*))"
    r"(?P<sets>\S.*)",
    re.IGNORECASE,
)
#: What no set is counted by: times, rates, and what stands in brackets after a set.
_UNCOUNTED = regex(
    r"\d*:\d\d|@\s*:?\d+|\b(?:on|off|rest|ri?|every|rate|to|hold)\s*:?\d+|\d+\s*(?:s|secs?|seconds?|mins?|minutes?|%)(?!\w)"
    r"|\bas\s[^,;]*|(?<![x×*]\s)(?<![x×*])[(\[{][^()\[\]{}]*[)\]}]",
    re.IGNORECASE,
)
_COUNTED_BRACKET = regex(r"(\d+)\s*[x×*]\s*[(\[{]([^()\[\]{}]*)[)\]}]", re.IGNORECASE)
LEAST_UNCOUNTED = 25  #: a smaller number without a count is no distance
_SEPARATOR = regex(r"\s*(?:[:=]|\s-|,|\)(?=\s|$)|\.(?=\s|$))?\s*(.*)", re.DOTALL)


@dataclass(slots=True)
class Heading:
    """A section's name, its details, and the rest of its line."""

    name: str
    details: list[str] = field(default_factory=list)
    minutes: int = 0
    rest: str = ""


def known_heading(text: str) -> Heading | None:
    """The section whose name a line begins with, if it is one of the names that everybody uses.

    >>> known_heading("Main set (3 rounds): 4 x 100")
    Heading(name='Main set', details=['3 rounds'], minutes=0, rest='4 x 100')
    """
    if match := re.match(r"(?P<n>\d{1,2})\s*[x×]\s*(?=main|set\b)", text, re.IGNORECASE):
        inner = known_heading(text[match.end() :])
        if inner:
            inner.details.append(f"{match['n']} rounds")
        return inner
    match = _KNOWN.match(text)
    if match is None:
        return None
    apart = re.match(r"\s*(?:$|[:,(\[.]|-\s)", text[match.end() :])
    heading = _rest_of(Heading(_name(match["name"])), text[match.end() :])
    return (
        heading
        if apart or heading.minutes or not re.match(r"[^\W\d]", heading.rest) or _SET_LIKE.search(heading.rest)
        else None
    )


def total_ahead(text: str) -> tuple[int, str] | None:
    """The total between a line's name and its sets, and the line without it; None if there is no such total.

    >>> total_ahead("Warm-up (700): 400 swim, 200 kick, 100 drill")
    (700, 'Warm-up: 400 swim, 200 kick, 100 drill')
    >>> total_ahead("Main set 1600m: 8 x 100 on 1:40, 4 x 200")
    (1600, 'Main set: 8 x 100 on 1:40, 4 x 200')
    >>> total_ahead("Main set 400: 200 easy")
    """
    match = _TOTAL_AHEAD.fullmatch(text)
    if match is None:
        return None
    total = int(re.sub(r"[,.]", "", match["n"])) if match["n"] else round(1000 * float(match["k"]))
    name, sets, marked = match["name"].rstrip(), match["sets"], bool(match["left"] or match["said"])
    if total >= LEAST_TOTAL and match["left"] and not re.search(r"\d", sets) and kind_of_work(sets.split()[0]):
        return total, f"{name}: {total} {sets}"  # Warm-up (400): easy choice
    sure = marked and SET_LIKE.search(sets) or (marked or known_heading(name)) and comes_to(sets) == total
    if total < LEAST_TOTAL or not sure or not re.match(r"[\d({\[]", sets):
        return None
    return total, f"{name}: {sets}"


def comes_to(text: str) -> int:
    """The distance of the sets of a line, as far as it can be seen from its numbers alone.

    >>> comes_to("8 x 50 as 25 kick 25 swim r15, 2 x (100 + 50), 200 easy")
    900
    """
    while match := _COUNTED_BRACKET.search(text):
        text = f"{text[: match.start()]} {int(match[1]) * comes_to(match[2])} {text[match.end() :]}"
    text = _UNCOUNTED.sub(" ", text)
    sets = re.findall(r"(?<![\d.])(?:(\d{1,3})\s*[x×*]\s*)?(\d+)", text, re.IGNORECASE)
    return sum(int(often or 1) * int(far) for often, far in sets if often or int(far) >= LEAST_UNCOUNTED)


def heading_of(text: str, marked: bool = False, leads: bool = False, apart: bool = True) -> Heading | None:
    """The section that a line may name, None if it cannot be one.

    `marked`: the page formats it as a heading. `leads`: sets follow below it; if it is also `apart` from the lines
    above, any few words will do.

    >>> heading_of("Engine room:", leads=True)
    Heading(name='Engine room', details=[], minutes=0, rest='')
    """
    if (leads or marked) and _names_work(text.rstrip(" :")):
        return Heading(_name(text))
    work = _WORK.match(text)
    if work and (leads or marked) and re.fullmatch(r"\s*:?", text[work.end() :]):
        return Heading(_name(work["name"]))
    if work and (leads or marked) and not _ONE_OF.fullmatch(text, work.end()):
        behind = _rest_of(Heading(_name(work["name"])), text[work.end() :])
        return behind if behind.details and not behind.rest else None
    bare = text.rstrip(" :")
    words = re.fullmatch(r"[^\W\d_][^,;:\"“”#]*", bare)
    named = marked or text.endswith(":") or (bare.isupper() and len(bare) > 2)
    if (
        words
        and len(bare.split()) <= 6
        and (named or leads and apart)
        and not re.search(r"[.!?]$|\d\s*[x×]\s*\d", bare)
    ):
        return Heading(_name(bare)) if named or len(bare.split()) <= 4 else None
    return None


def _names_work(words: str) -> bool:
    """Whether words say only what is swum: `Back kick`, `Kick and pull`, `Kick with fins`."""
    kinds = [kind_of_work(word) or ("GEAR" if key_of(word) in GEAR_WORDS else "") for word in _WITH.split(words)]
    return all(kinds) and bool({"ACTIVITY", "STROKE"} & {*kinds})


def _rest_of(heading: Heading, rest: str) -> Heading:
    """Rounds, times and efforts after a section's name, and what is left."""
    while rest:
        rest = _SEPARATOR.sub(r"\1", rest, count=1)
        if match := _ROUNDS.match(rest):
            count = count_of(match)
            heading.details.append(f"{count} round{'' if count == '1' else 's'}")
        elif (match := _TIME.match(rest)) and not _RESTED.match(rest, match.end()):
            heading.minutes = int(match["n"])
        elif match := _IF_TIME.match(rest):
            heading.details.append("if time")
        elif (match := re.match(r"\(?([a-z]+)\)?\s*:?$", rest, re.IGNORECASE)) and _is_effort(match[1]):
            heading.details.append(match[1].casefold())
        else:
            break
        rest = rest[match.end() :]
    heading.rest = rest.strip()
    return heading


def _is_effort(word: str) -> bool:
    return word.casefold() in {effort.value for effort in Effort}


def _name(name: str) -> str:
    """A section's name, without the signs around it."""
    return " ".join(name.strip(" :-").split())
