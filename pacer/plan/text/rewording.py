"""Ways to say a set that need other words in the notation: how often a time is swum, two times in turn, about how far.

Each rule turns the text of a line into another one, and the words that it takes out into notes. They are tried only on
lines that cannot be read as they are.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from pacer.plan.regex import regex
from pacer.plan.text.repeatwording import REPEATS_SAID
from pacer.plan.words.vocabulary import LINE_WORDS

_SECONDS = r"\d{1,3}\s*(?:s|secs?|seconds?|mins?|minutes?|''?|\")"
#: `150ish`, `~150`, `about 200`, `100 or so`.
_ABOUT = regex(
    r"(?P<all>(?:(?:~|c\.|ca\.|approx\.?|about|around|roughly)\s*)(?P<a>\d{2,4})\b(?!\s*[x×:.'\"]|\s*(?:s|secs?|mins?)\b)"
    r"|\b(?P<b>\d{2,4})(?:\s?-?ish\b|\s+or\s+so\b))",
    re.IGNORECASE,
)
#: `eggbeater 6 x 30s hands out / 30s scull`.
_IN_TURN = regex(
    rf"(?P<lead>(?:[^\W\d_]+\s+)*)(?P<n>\d{{1,2}})\s*[x×]\s*(?P<t>{_SECONDS})\s+(?P<a>[^\d/,;()]+?)\s*/\s*(?P<u>{_SECONDS})"
    r"\s+(?P<b>[^\W\d_]+(?:\s[^\W\d_]+)*)",
    re.IGNORECASE,
)
#: `pairs, 20 on 20 off x 8`.
_ON_OFF = regex(
    r"(?P<lead>.*?)(?P<on>\d{1,3})\s*(?:s|secs?)?\s+on\s*[/,]?\s*(?P<off>\d{1,3})\s*(?:s|secs?)?\s+off\s*[x×]\s*(?P<n>\d{1,2})\b",
    re.IGNORECASE,
)
#: `back float 10 sec x 3`.
_HELD = regex(rf"(?P<lead>(?:[^\W\d_]+[\s,]+)+)(?P<t>{_SECONDS})\s*[x×]\s*(?P<n>\d{{1,2}})\b", re.IGNORECASE)
#: `10 x goal line to half and back, on :45`: a repeat without its distance.
_NOWHERE = regex(
    r"(?P<n>\d{1,2})\s*[x×]\s*(?P<words>[^\W\d_][^\d]*?)[\s,]+(?P<on>(?:on|off|@|every)\s*(?:\d{0,2}:\d\d|\d{2,3}))(?!\w)",
    re.IGNORECASE,
)
#: `2 x 100 back, double arm down / normal home`.
_HOME = regex(
    r"(?P<a>[^\W\d_][^\d/,;()]*?)\s+(?:down|out|up)\s*[/,]\s*(?P<b>[^\W\d_][^\d/,;()]*?)\s+(?:home|back)\b",
    re.IGNORECASE,
)
#: `5-8 first 25 hard`.
_RANGE_SHARE = regex(
    r"(?P<range>\d{1,2}\s?-\s?\d{1,2})\s+(?P<which>1st|first|last)\s+(?P<far>\d{2})\s+(?P<work>[^\W\d_]+)",
    re.IGNORECASE,
)
_REPEAT = regex(
    r"(?P<n>\d{1,2})\s*[x×]\s*(?P<far>\d{2,4})|(?P<far2>\d{2,4})'?s\s*[x×]\s*(?P<n2>\d{1,2})(?!\d)", re.IGNORECASE
)
#: `CU / SA / sw`: short names of drills, and work.
_NAMES = regex(r"(?<![\w/])(?P<list>[^\W\d_]{1,4}(?:\s*/\s*[^\W\d_]{1,5}){1,3})(?![\w/])(?!\s*by\b)")
_IF_TIME = regex(
    r"(?:if\s+(?:there'?s\s+)?(?:time|poss(?:ible)?)|time\s+permitting|optional|bonus)\s*[-–—:,]*\s+(?=\d)",
    re.IGNORECASE,
)
#: `4 x 50 prog 1-4`
_PROGRESSIVE = regex(r"\bprog(?:ressive|ressing|ress)?\.?\s+1\s*(?:-|–|to)\s*(?P<n>\d{1,2})\b", re.IGNORECASE)
#: `STARTS 6 dives to 15m`
_THINGS = regex(
    r"(?P<lead>(?:[^\W\d_]+\s+)?)(?P<n>\d{1,2})\s+(?P<what>dives|starts|sprints|breakouts|push\s?offs?)\s+(?:to|out\s+to)\s+(?P<far>\d{2})\s?m?\b",
    re.IGNORECASE,
)
#: `8 x 100 A / 6 x 100 B`, `400 (A) 300 (B)`: the sets of groups, with the groups behind them.
_GROUP_SETS = regex(
    r"\d{1,2}\s*[x×]\s*\d{2,4}\s*\(?[A-F]\)?(?!\w)(?:\s*[/,]?\s*\d{1,2}\s*[x×]\s*\d{2,4}\s*\(?[A-F]\)?(?!\w))+"
)
_GROUP_SET = regex(r"(\d{1,2})\s*[x×]\s*(\d{2,4})\s*\(?([A-F])")
_GROUP_FARS = regex(r"\d{2,4}\s*\([A-F]\)(?:\s*[/,]?\s*\d{2,4}\s*\([A-F]\))+")
_GROUP_FAR = regex(r"(\d{2,4})\s*\(([A-F])\)")
_COUNT = regex(r"(?P<n>\d{1,2})\s*[x×]\s*(?=\d)", re.IGNORECASE)


def reworded(text: str) -> tuple[str, list[str]]:
    """A line in other words, and the words that are notes now.

    >>> reworded("150ish easy"), reworded("back float 10 sec x3")
    (('150 easy', ['150ish']), ('3 x 10 sec choice', ['back float']))
    """
    notes: list[str] = []
    for rule in _RULES:
        text, more = rule(text)
        notes += more
    return text, notes


def _roughly(text: str) -> tuple[str, list[str]]:
    match = _ABOUT.search(text)
    if match is None or text[: match.start()].rstrip(" x×") and not re.search(r"[x×]\s*$", text[: match.start()]):
        return text, []
    return f"{text[: match.start()]}{match['a'] or match['b']}{text[match.end() :]}", [match["all"]]


def _progressive(text: str) -> tuple[str, list[str]]:
    return _PROGRESSIVE.sub(lambda found: f"descend 1-{found['n']}", text), []


def _things(text: str) -> tuple[str, list[str]]:
    match = _THINGS.match(text)
    if match is None:
        return text, []
    lead = match["lead"].strip()
    said = " ".join(match[0][len(match["lead"]) :].split())
    return f"{match['n']} x {match['far']} sprint{text[match.end() :]}", [lead, said] if lead else [said]


def _of_groups(text: str) -> tuple[str, list[str]]:
    if match := _GROUP_SETS.match(text):
        sets = _GROUP_SET.findall(match[0])
        counts = " / ".join(f"{group} {count}" for count, _, group in sets)
        fars = {far for _, far, _ in sets}
        far = fars.pop() if len(fars) == 1 else " / ".join(f"{group} {far}" for _, far, group in sets)
        return f"{counts} x {far}{text[match.end() :]}", []
    if match := _GROUP_FARS.match(text):
        said = " / ".join(f"{group} {far}" for far, group in _GROUP_FAR.findall(match[0]))
        return f"{said}{text[match.end() :]}", []
    return text, []


def _two_times(text: str) -> tuple[str, list[str]]:
    match = _IN_TURN.match(text)
    if match is None:
        return text, []
    first, second = (timed_work(match["lead"], match[name]) for name in "ab")
    both = f"{match['n']} x ({match['t']} {first[0]} + {match['u']} {second[0]})"
    return f"{both}{text[match.end() :]}", [*first[1], *second[1]]


def timed_work(lead: str, words: str) -> tuple[str, list[str]]:
    """What is swum for a time, and the words of it that are notes."""
    known = [
        word for word in words.split() if LINE_WORDS.get(word.casefold(), ("",))[0] in ("ACTIVITY", "STROKE", "EFFORT")
    ]
    if any(LINE_WORDS[word.casefold()][0] == "ACTIVITY" for word in known):
        return words, []
    return f"{lead.strip()} {' '.join(known)}".strip() or "choice", [] if len(known) == len(words.split()) else [words]


def _work_and_rest(text: str) -> tuple[str, list[str]]:
    match = _ON_OFF.match(text)
    if match is None:
        return text, []
    lead = match["lead"].strip(" ,:-–")
    return f"{match['n']} x {match['on']} s choice, rest {match['off']} s{text[match.end() :]}", [lead] if lead else []


def _held(text: str) -> tuple[str, list[str]]:
    match = _HELD.match(text)
    if match is None:
        return text, []
    lead = match["lead"].strip(" ,")
    kinds = {LINE_WORDS.get(word.casefold(), ("",))[0] for word in re.findall(r"[^\W\d_]+", lead)}
    if "ACTIVITY" in kinds:
        return f"{match['n']} x {match['t']} {lead}{text[match.end() :]}", []
    return f"{match['n']} x {match['t']} choice{text[match.end() :]}", [lead]


def _nowhere(text: str) -> tuple[str, list[str]]:
    match = _NOWHERE.match(text)
    if match is None:
        return text, []
    return f"{match['n']} x 25 choice {match['on']}{text[match.end() :]}", [" ".join(match["words"].split())]


def _there_and_back(text: str) -> tuple[str, list[str]]:
    repeat = _REPEAT.search(text)
    match = _HOME.search(text, repeat.end()) if repeat else None
    if repeat is None or match is None:
        return text, []
    out = match["a"]
    return f"{text[: match.start()]}{out} / {match['b']} by 25{text[match.end() :]}", []


def _range_share(text: str) -> tuple[str, list[str]]:
    repeat, match = _REPEAT.search(text), _RANGE_SHARE.search(text)
    far = int(repeat["far"] or repeat["far2"]) if repeat else 0
    if match is None or far <= int(match["far"]):
        return text, []
    parts = [f"{match['far']} {match['work']}", f"{far - int(match['far'])} swim"]
    said = " ".join(parts if match["which"].casefold() != "last" else parts[::-1])
    return f"{text[: match.start()]}{match['range']} {said}{text[match.end() :]}", []


def _names_listed(text: str) -> tuple[str, list[str]]:
    repeat, match = _REPEAT.search(text), _NAMES.search(text)
    far = int(repeat["far"] or repeat["far2"]) if repeat else 0
    names = re.split(r"\s*/\s*", match["list"]) if match else []
    known = [LINE_WORDS.get(name.casefold(), ("",))[0] for name in names]
    if (
        match is None
        or not far
        or far % len(names)
        or all(known)
        or not any(kind in ("ACTIVITY", "STROKE") for kind in known)
    ):
        return text, []
    said = " / ".join(name if kind else f"drill {name}" for name, kind in zip(names, known))
    return f"{text[: match.start()]}{said} by {far // len(names)}{text[match.end() :]}", []


def _if_time(text: str) -> tuple[str, list[str]]:
    match = _IF_TIME.match(text)
    if match is None:
        return text, []
    rest = text[match.end() :]
    count = _COUNT.match(rest)
    return (f"0 to {rest}" if count else f"0 to 1 x {rest}"), [text[: match.end()].strip(" -–—:,")]


_RULES: tuple[Callable[[str], tuple[str, list[str]]], ...] = (
    *REPEATS_SAID,
    _if_time,
    _roughly,
    _progressive,
    _things,
    _of_groups,
    _two_times,
    _work_and_rest,
    _held,
    _nowhere,
    _there_and_back,
    _range_share,
    _names_listed,
)
