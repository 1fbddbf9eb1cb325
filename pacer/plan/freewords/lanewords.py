"""Words in a set that say what some lanes or groups swim instead: each of them gets a set of its own.

`5 x 200, rest 0:30 (lane 2: 150s, lane 1: 100s)` becomes a set for all but lanes 1 and 2, one for lane 2 and one for
lane 1. What cannot be told apart with certainty is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pacer.plan.freewords.grouptimes import clock
from pacer.plan.freewords.notedline import solved
from pacer.plan.freewords.wordsbelow import sets_in
from pacer.plan.model import ALL_BUT, ByLane, FixedInterval, Group, Interval, SetLine, lane_label
from pacer.plan.notation.pagelines import LABELLED
from pacer.plan.notation.workmeaning import joined
from pacer.plan.regex import regex
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.standardform import groups_said, item_rows, write_line
from pacer.plan.times import ms_from_text
from pacer.plan.words.countedwords import counted
from pacer.plan.words.labels import groups_of
from pacer.plan.words.vocabulary import GEAR_WORDS, LINE_WORDS

_VERB = r"(?:do(?:es|ing)?|swims?|just|only|takes?|to|are|is|goes|go|gets?|have|has)"
#: Whom a part of a line is for.
_WHO = (
    r"(?P<numbered>(?:lanes?|lns?|l)\s?\d{1,2}(?:\s*(?:[-–/&+]|,(?=\s*\d+\s*[:,&)])|and)\s*(?:l(?:ane|n)?\s?)?\d{1,2}(?!\d|[:.]\d))*)"
    r"|(?P<speed>(?:top|fast(?:er|est)?|slow(?:er|est)?|bottom)\s+(?:lanes?|groups?|end)\b)"
    r"|(?P<group>(?:groups?|grps?|gps?|gr)\s?(?:\d|(?-i:[A-Z]))(?!\w))"
    r"|(?P<lane>[A-F])\s+(?:lanes?|group)(?!\s?\d(?!\d?:\d\d|\d?\s+only\b))"
    r"|(?P<letters>(?-i:[A-F](?:\s*[&+/]\s*[A-F])*)(?!\w))"
    r"|(?P<short>(?-i:[A-Z]{2,4}s?)(?!\w))"
    r"|(?P<others>(?:everyone|everybody|all)\s+else\b|(?:the\s+)?others\b|the\s+rest\b(?!\s*\d)|rest\s+of\s+(?:you|us|them|the\s+\w+))"
)
_CLAUSE = regex(
    rf"(?:^|(?P<open>[(\[])\s*|[,;/.]\s+|[,;]|\s/\s*|\s{{2,}}|\s[-–—]+\s+|\band\s+|\bbut\s+|\s(?={_VERB}?\bl(?:ane|n)\s?\d))(?:for\s+)?(?:{_WHO})"
    rf"(?P<then>\s*[:=–-]\s*|\s+{_VERB}\b|\s+(?=[\d:@+]|on\b|off\b|with\b|w/|no\b|skip|miss|fins|rest\b|r\d|pull\b|kick\b))",
    re.IGNORECASE,
)
#: `A only 6 x 100 …`, `breast only - 8 x 25 kick`, in front of all that they swim.
_ONLY = regex(
    rf"(?:{_WHO}|(?P<stroke>[^\W\d_]+))\s+only\b\s*[-–—:,]*\s*(?=\d)",
    re.IGNORECASE,
)
#: Capitals that are no group.
_NO_GROUP = regex(
    r"ri|s[rp]|rp|hr|pbs?|rpe|css|tt|[ap]m|min|max|secs?|dps|hu|uw|rds|sets?|all|odds?|evens?|en|ae|ez|wu|cd|if|ok|no|and|or|the|then|go|off",
    re.IGNORECASE,
)
_TIME = r"(?:\d{1,2}[:.][0-5]\d|:[0-5]\d)"
_VALUES = (
    (
        "out",
        regex(r"(?:skip|miss|sit\s+out|leave\s+out|rest)\b(?!\s*:?\d)(?:\s+(?:it|this|these|that|the\s+set))?", re.I),
    ),
    (
        "rest",
        regex(
            rf"(?:\+|(?:rest|ri|r)\s*:?\s*)(?P<time>{_TIME}|\d{{1,2}})(?:\s*(?:s|secs?|seconds?))?(?:\s+rest)?(?!\w)"
            rf"|(?P<behind>{_TIME}|\d{{1,2}})\s*(?:s|secs?|seconds?)?\s+(?:rest|ri|r)\b",
            re.I,
        ),
    ),
    (
        "count",
        regex(
            rf"(?P<n>\d{{1,2}})(?!\d|[:.]\d|\s*(?:s\b|secs?\b|m\b|min|%|\"|'|/|x|×))(?:\s+(?:of\s+(?:them|these|those)|reps?|only|times))?"
            rf"(?:\s*,?\s*(?:on|off|@|every)\s*(?P<on>{_TIME}|\d{{2,3}})(?!\w))?",
            re.I,
        ),
    ),
    ("far", regex(r"(?P<far>\d{2,4})\s*(?:m|'?s)?(?![\w:.])(?!\s*(?:sec|rest))", re.I)),
    ("on", regex(rf"(?:(?:on|off|@|every|go\s+on)\s*(?:the\s+)?)?(?P<time>{_TIME})(?!\w)", re.I)),
    ("on", regex(r"(?:on|off|@|every)\s*(?P<time>\d{2,3})(?![\w:.])", re.I)),
)
#: A note after a set, before words about some lanes.
_ONE_NOTE = regex(r'(?P<set>[^"“”]*?)\s*"(?P<cue>[^"]*)"(?P<behind>[^"“”]*)')
#: `L3 6, L4 5, all on 1:15`
_ALL_SAME = regex(r"\s*[,;–-]\s*(?:all|everyone)\s+(?P<detail>(?:on|off|@|rest|ri?)\s*:?\d[\w:.]*)\s*$", re.IGNORECASE)
#: What the others swim is a set of its own.
_OTHERS_SET = regex(r"\s*(?:\d{1,2}\s*[x×*]\s*\d|\d{3,4}\b)")
#: `miss the last 4`
_FEWER = regex(r"(?:skip|miss|leave\s+out)\s+(?:the\s+)?(?:last|first|final)\s+(\d{1,2})", re.IGNORECASE)
_ONLY_SO_MANY = regex(r"\d{1,2}\s+only\b", re.IGNORECASE)
_OUT = regex(r"(?:skip|miss)\b", re.IGNORECASE)
_SET = regex(r"\d{1,2}\s*[x×*]\s*\d")
#: `if you're in the slow lane make them 150s`
_IN_LANE = regex(
    r"^(?:if\s+(?:you(?:'re|\s+are)|ur)\s+in\s+|(?:those|anyone|people|swimmers)\s+in\s+)(?:the\s+|a\s+)?(?P<speed>slow(?:er|est)?|fast(?:er|est)?)\s+(?:lanes?|group)\s*,?\s*"
    r"(?:(?:please\s+)?(?:make|do|swim)\s+)?(?:(?:them|it|these)\s+)?",
    re.IGNORECASE,
)
_MADE = regex(r"(?:(?:make|do|swim)\s+)?(?:(?:them|it|these)\s+)?(?P<far>\d{2,4})\s*(?:m|'?s)?", re.IGNORECASE)
LEAST_FAR = 25  #: a smaller number is how often
MOST_TIMES = 3  #: a distance that is longer than this many of the others' is a total


@dataclass(frozen=True, slots=True)
class _Clause:
    """What some swim instead: their labels (none: all others), and the words about it."""

    groups: tuple[str, ...]
    said: str


def lanes_apart(source: str, pool: str, live: LivePage) -> list[str]:
    """The sets that a line says for different lanes, each with its label; none if it is not about some lanes.

    >>> lanes_apart("5 x 200 r:30 (ln 2: 150s)", "pool: 25 m", LivePage())
    ['all but lane 2: 5 x 200 free, rest 0:30', 'lane 2: 5 x 150 free, rest 0:30']
    """
    text, cue = source.strip(), ""
    if (noted := _ONE_NOTE.fullmatch(text)) and "/" not in noted["set"]:
        text, cue = f"{noted['set']}{noted['behind']}", noted["cue"]
    if '"' in text or "“" in text or not re.search(r"\d", text):
        return []
    shared = _ALL_SAME.search(text)
    main, own, clauses = _parted(text[: shared.start()] if shared else text)
    if clauses and clauses[0].groups and not own and not re.search(r"\d", main):  # Kick - L1/2 8x50, L3 6
        main, own, clauses = f"{main.strip(' :-–')} {clauses[0].said}".strip(), clauses[0].groups, clauses[1:]
        main = f"{main}, {shared['detail']}" if shared and clauses else ""
    elif shared:
        main = ""
    line = _read(main, pool, live)
    if line is None or line.time_ms is not None or not own and not clauses:
        return []
    line = replace(line, cue=joined([each for each in (cue, line.cue) if each]))
    found: list[tuple[tuple[str, ...], SetLine]] = []
    named = [*own]
    for clause in clauses:
        other = _varied(line, main, clause.said, pool, live, whole=bool(own))
        if other is None:
            return []
        named += [group for group in clause.groups if group not in named]
        if isinstance(other, SetLine):
            found.append((clause.groups, other))
    if not own and (whole := _by_number(line, found)):
        return [write_line(whole)]
    but = tuple(f"{ALL_BUT}{group}" for group in named)
    rows = [(own or but, line), *((groups or but, other) for groups, other in found)]
    lines = [groups_said(groups) + write_line(each) for groups, each in rows]
    return [] if not named or live.would([pool, *(f"  {each}" for each in lines)]).problems else lines


def shorter_for(rows: Sequence[str], words: str, pool: str, live: LivePage) -> list[str]:
    """The lines of rounds for all but some lanes, and for those with another distance; [] if words say no such.

    The distance is that of the longest sets: `slow lanes: 150s` below `4 rounds` of 200 and 50.
    """
    main, own, clauses = _parted(_by_speed(words))
    plan = live.would([pool, *rows]).plan
    items = plan.sections[-1].items if plan and plan.sections else ()
    match = _MADE.fullmatch(clauses[0].said) if len(clauses) == 1 and not main and not own else None
    if (
        match is None
        or not items
        or not clauses[0].groups
        or not all(isinstance(each, (Group, SetLine)) for each in items)
    ):
        return []
    sets = [each for each in sets_in(items) if each.distance is not None and len(each.distance.entries) == 1]
    if not sets or len(sets) != len(list(sets_in(items))):
        return []
    longest = max(each.distance.entries[0] for each in sets if each.distance)
    far = int(match["far"])
    if far == longest or far % LEAST_FAR or far > MOST_TIMES * longest:
        return []
    groups = clauses[0].groups
    but = tuple(f"{ALL_BUT}{group}" for group in groups)
    made = [replace(each, groups=but) for each in items if isinstance(each, (Group, SetLine))]
    made += [
        replace(_shorter(each, longest, far), groups=groups) for each in items if isinstance(each, (Group, SetLine))
    ]
    lines = [line for each in made for line in item_rows(each, "  ")]
    return [] if live.would([pool, *lines]).problems else lines


def _shorter(item: Group | SetLine, longest: int, far: int) -> Group | SetLine:
    """A set with another distance if it has the longest; rounds with those in them."""
    if isinstance(item, Group):
        inner = (_shorter(each, longest, far) if isinstance(each, (Group, SetLine)) else each for each in item.items)
        return replace(item, items=tuple(inner))
    same = item.distance is not None and item.distance.entries == (longest,)
    return replace(item, distance=ByLane((far,))) if same else item


def _by_speed(text: str) -> str:
    """`if you're in the slow lane make them 150s` as `slow lanes: 150s`."""
    return _IN_LANE.sub(lambda found: f"{found['speed']} lanes: ", text.strip(" .!"), count=1)


def _by_number(line: SetLine, found: Sequence[tuple[tuple[str, ...], SetLine]]) -> SetLine | None:
    """The set with the intervals of all lanes from lane 1 on, if they are all that differs; otherwise None."""
    if line.interval is not None or line.rest_ms is not None:
        return None
    entries: dict[str, Sequence[tuple[Interval, ...]]] = {}
    for groups, other in found:
        if other.interval is None or len(other.interval.entries) != 1 or replace(other, interval=None) != line:
            return None
        entries.update(dict.fromkeys(groups, other.interval.entries))
    lanes = [lane_label(number) for number in range(1, len(entries) + 1)]
    if len(entries) < 2 or set(lanes) != set(entries):
        return None
    return replace(line, interval=ByLane(tuple(entries[lane][0] for lane in lanes)))


def _parted(text: str) -> tuple[str, tuple[str, ...], list[_Clause]]:
    """What all swim or the first ones named, those, and what others swim instead."""
    own: tuple[str, ...] = ()
    if (only := _ONLY.match(text)) and (groups := _named(only)):
        own, text = groups, text[only.end() :]
    found = [match for match in _CLAUSE.finditer(text) if match.start() or not own]
    found = [match for match in found if _named(match) or match["others"] and _OTHERS_SET.match(text, match.end())]
    main, clauses, close = text[: found[0].start()] if found else text, [], -1
    for match, after in zip(found, [*found[1:], None]):
        if match["open"]:
            close = min((at for at in (text.find(sign, match.end()) for sign in ")]") if at >= 0), default=-1)
        end = after.start() if after else len(text)
        if match.end() <= close < end:  # what follows the bracket is said of all
            main, end = f"{main} {text[close + 1 : end]}", close
        said = text[match.end() : end].strip(" ,;.)]–-")
        clauses.append(_Clause(_named(match), f"rest {said}" if "take" in match["then"].casefold() else said))
    return main.strip(" ,;/-–("), own, clauses


def _named(match: re.Match[str]) -> tuple[str, ...]:
    """The labels of those whom a part of a line names; none if it names nobody."""
    kinds = match.groupdict()
    if said := kinds["numbered"]:
        return groups_of(re.sub(r"^l(?:anes?|ns?)?\s?", "lanes ", said, flags=re.IGNORECASE)) or ()
    if said := kinds["speed"]:
        return ("fast lanes",) if said[:1].casefold() in "tf" else ("slow lanes",)
    if said := kinds["group"]:
        last = said[-1]
        return (f"group{last}",) if last.isdigit() else (last,)
    if said := kinds["lane"]:
        return (said.upper(),)
    if said := kinds["letters"]:
        return tuple(re.findall("[A-F]", said))
    if said := kinds["short"]:
        known = _NO_GROUP.fullmatch(said) or said.casefold() in LINE_WORDS or said.casefold() in GEAR_WORDS
        return () if known else (said,)
    if said := kinds.get("stroke") or "":
        type_, stroke = LINE_WORDS.get(said.casefold(), ("", None))
        return (f"{stroke}-swimmers",) if type_ == "STROKE" else ()
    return ()


def _read(text: str, pool: str, live: LivePage) -> SetLine | None:
    """The one set that a text says; None if it says anything else."""
    plan = live.would([pool, f"  {solved(text, pool, live) or text}"]).plan
    items = plan.sections[0].items if plan and plan.sections else ()
    only = items[0] if len(items) == 1 else None
    return only if isinstance(only, SetLine) and not only.groups else None


def _varied(line: SetLine, main: str, said: str, pool: str, live: LivePage, whole: bool) -> SetLine | tuple | None:
    """A set as some swim it; () if they do not swim it at all, None if that is not clear."""
    if whole or _SET.match(said):
        return _read(said, pool, live)
    if (fewer := _FEWER.fullmatch(said)) and isinstance(line.count, ByLane):
        left = max(line.count.entries) - int(fewer[1])
        return replace(line, count=ByLane((left,))) if left > 0 and len(line.count.entries) == 1 else None
    for kind, pattern in _VALUES:
        match = pattern.match(said)
        if match is None or (made := _with_value(line, kind, match)) is None:
            continue
        if not isinstance(made, SetLine):
            return None if re.search(r"\d|round", said[match.end() :]) else made
        words = said[match.end() :].strip(" ,;.–-")
        if counted(words) or re.search(r"\d[:.]\d\d", words):
            return None
        return replace(made, cue=joined([each for each in (made.cue, words) if each]))
    other = _read(f"{main}, {said}", pool, live)
    return None if other is None or replace(other, cue="") == replace(line, cue="") else other


def _with_value(line: SetLine, kind: str, match: re.Match[str]) -> SetLine | tuple | None:
    """A set with another value; None if it cannot have that."""
    if kind == "out":
        return ()
    if kind == "rest":
        said = match["time"] or match["behind"]
        return replace(line, interval=None, rest_ms=ByLane((_ms(said),)))
    if kind == "on":
        return replace(line, rest_ms=None, interval=ByLane(((FixedInterval(_ms(match["time"])),),)))
    if kind == "count":
        number = int(match["n"])
        if not 0 < number < LEAST_FAR or line.count is None:
            return None
        made = replace(line, count=ByLane((number,)))
        return (
            replace(made, rest_ms=None, interval=ByLane(((FixedInterval(_ms(match["on"])),),))) if match["on"] else made
        )
    far = int(match["far"])
    if line.distance is None or far < LEAST_FAR or far % LEAST_FAR or far > MOST_TIMES * max(line.distance.entries):
        return None
    return replace(line, distance=ByLane((far,)))


def _ms(said: str) -> int:
    return ms_from_text(clock(said))


def about_lanes(text: str) -> bool:
    """Whether a line only says how some swim the set above: `B lane: 8 only, on 3:00`, `lane 3 do 4`."""
    text = _by_speed(text)
    match = _CLAUSE.match(text)
    if match is None or not _named(match) or match["letters"] and match["then"].strip() in (":", "-", ""):
        return False
    said = text[match.end() :].strip()
    verb = match["then"].strip(" :=–-")
    return bool(
        re.fullmatch(rf"(?:(?:on|off|@|go\s+on)\s*)?(?:the\s+)?{_TIME}\W*", said, re.IGNORECASE)
        or _ONLY_SO_MANY.match(said)
        or _OUT.match(said)
        or match["speed"]
        and _MADE.fullmatch(said.strip(" .!"))
        or verb
        and re.match(r"\d{1,2}(?![\dx×:.])(?!\s*[x×])", said)
    )


def lanes_apart_on(lines: Sequence[str], at: int, live: LivePage) -> list[str]:
    """The lines in the place of line `at` of a page if it says what different lanes swim; none if it does not help."""
    source = lines[at]
    indent = source[: len(source) - len(source.lstrip())]
    if not indent or LABELLED.match(source.lstrip()):
        return []
    pool = next((line for line in lines if line.startswith("pool:")), "pool: 25 m")
    return [f"{indent}{each}" for each in lanes_apart(source, pool, live)]
