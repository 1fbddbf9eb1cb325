"""Ways to say a set that need other words in the notation: how often a time is swum, two times in turn, about how far.

Each rule turns the text of a line into another one, and the words that it takes out into notes. They are tried only on
lines that cannot be read as they are.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from pacer.plan.freewords.numberedrepeats import in_ordinals, in_sides, mostly
from pacer.plan.freewords.orderrewording import SETS_SAID, counts_last
from pacer.plan.freewords.partwording import PARTS_SAID
from pacer.plan.freewords.repeatrewording import REPEATS_SAID
from pacer.plan.regex import regex
from pacer.plan.words.linepatterns import LEAST_LENGTH, NUMBERS
from pacer.plan.words.vocabulary import LINE_WORDS, key_of

_NUMBER = "|".join(word for word, number in NUMBERS.items() if 1 < number <= 20)
_SECONDS = r"\d{1,3}\s*(?:s|secs?|seconds?|mins?|minutes?|''?|\")"
#: `150ish`, `~150`, `about 200`, `100 or so`.
_ABOUT = regex(
    r"(?P<all>(?:(?:~|c\.|ca\.|approx\.?|about|around|roughly)\s*)(?P<a>\d{2,4})\b(?!\s*[x×:.'\"]|\s*(?:s|secs?|mins?)\b)"
    r"|\b(?P<b>\d{2,4})(?:\s?-?ish\b|\s+or\s+so\b))",
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
    r"(?:if\s+(?:there'?s\s+|you\s+have\s+|you'?ve\s+got\s+|we\s+have\s+)?(?:time|poss(?:ible)?)(?:\s+allows)?|time\s+permitting|optional|bonus)\s*[-–—:,]*\s+(?=\d)",
    re.IGNORECASE,
)
#: `4 x 50 prog 1-4`
_PROGRESSIVE = regex(r"\bprog(?:ressive|ressing|ress)?\.?\s+1\s*(?:-|–|to)\s*(?P<n>\d{1,2})\b", re.IGNORECASE)
#: `STARTS 6 dives to 15m`
_THINGS = regex(
    r"(?P<lead>(?:[^\W\d_]+\s+)?)(?P<n>\d{1,2})\s+(?P<what>dives|starts|sprints|breakouts|push\s?offs?)\s+(?:to|out\s+to|of|over)\s+(?P<far>\d{2})\s?m?\b",
    re.IGNORECASE,
)
#: `8 x 100 A / 6 x 100 B`, `400 (A) 300 (B)`: the sets of groups, with the groups after them.
_GROUP_SETS = regex(
    r"\d{1,2}\s*[x×]\s*\d{2,4}\s*\(?[A-F]\)?(?!\w)(?:\s*[/,]?\s*\d{1,2}\s*[x×]\s*\d{2,4}\s*\(?[A-F]\)?(?!\w))+"
)
_GROUP_SET = regex(r"(\d{1,2})\s*[x×]\s*(\d{2,4})\s*\(?([A-F])")
_GROUP_FARS = regex(r"\d{2,4}\s*\([A-F]\)(?:\s*[/,]?\s*\d{2,4}\s*\([A-F]\))+")
_GROUP_FAR = regex(r"(\d{2,4})\s*\(([A-F])\)")
#: `200 + 10 press-ups x 4`: how often all of it is done comes after what is not swum.
_DONE_TOO = regex(
    r"(?P<set>\d{2,4}(?![\d:])[^\d\"“”()+&,]*?)\s*(?:[+&,]|and|then)\s*(?P<words>\d{1,2}\s+(?!(?:s|secs?|seconds?|mins?|minutes?)\b)[^\W\d][^\d\"“”]*?)"
    r"\s*[x×]\s*(?P<n>\d{1,2})\s*",
    re.IGNORECASE,
)
#: Words before what is swum: `Start with an easy 300`, `Finish off with 4 x 25`, `then a steady 400`.
_LEAD = regex(
    r"(?:(?:(?:and|so|now|ok|okay|right|next|then|finally)\W+)*(?:(?:start(?:ing)?|begin(?:ning)?|finish(?:ing)?|end(?:ing)?|open(?:ing)?|kick\s+off)(?:\s+(?:off|up|out))?(?:\s+with|\s+on)?"
    r"|followed\s+by|(?:go\s+)?(?:straight\s+)?into|let'?s\s+do|do|we(?:'ll)?\s+do|(?:and|now|next|then|finally)))\b[\s:,]*"
    r"(?P<an>(?:an?|some|another|your)\s+)?(?P<how>(?:[^\W\d]+[\s,]+){0,3}?)(?=\d{1,2}\s*[x×*]\s*\d|(?:25|50|75|[1-9]\d?(?:00|25|50|75))(?![\w:.])"
    rf"|\d{{1,2}}\s*(?:mins?|minutes?|lengths?|laps?)\b|(?:{_NUMBER})\s+(?:\d{{2,3}}'?s)\b)",
    re.IGNORECASE,
)
#: `first length catch-up, second length crawl`: the two halves of each repeat.
_HALVES = regex(
    r"\s*[:,–-]?\s*(?:with\s+)?(?:the\s+)?(?:first|1st)\s+(?:length|half|(?P<far>\d{2,3}))\s+(?P<a>[^\W\d][^\d,;/()\"“”]*?)\s*(?:[,;/]|,?\s*\b(?:and|then)\b)\s*"
    r"(?:the\s+)?(?:second|2nd|next|last|other)\s+(?:length|half|\d{2,3})\s+(?P<b>[^\W\d][^\d,;/()\"“”]*?)(?=\s*(?:[,;(@]|$|\b(?:on|rest|off)\s*:?\d))",
    re.IGNORECASE,
)
_LOTS = regex(r"(?P<n>\d{1,2})\s+(?:lots\s+of|times)\s+(?=\d{2})", re.IGNORECASE)
_TO_LOOSEN = regex(r"\bto\s+loosen(?:\s+(?:off|up|down|out))?\b", re.IGNORECASE)
#: `6 x 15 m starts, swim back easy`: the way back of something shorter than a length.
_WAY_BACK = regex(
    r"(?:(?<=[,;(])\s*|(?=\b(?:dive|starts|breakouts)\b))(?P<words>(?:(?P<hard>(?:dive\s+)?starts|dives|breakouts)\b[\s,;&]*(?:and\s+)?)?(?:(?:easy|ez)\s+)?\b(?:swim|walk|jog|kick|paddle)\s+(?:(?:easy|ez)\s+)?back"
    r"(?:\s+(?:easy|ez|slow(?:ly)?|gently|relaxed|steady))?)(?=\s*(?:[,;)(@]|$|\b(?:on|rest|off)\s*:?\d))",
    re.IGNORECASE,
)
#: `400 mix back/breast by 50`
_MIX = regex(r"\bmix(?:ed|ing)?\s+(?:of\s+)?(?=[^\W\d_]+\s*/\s*[^\W\d_]+\s+by\s+\d)", re.IGNORECASE)
#: `100 back, 100 IM = 200`
_SO_LONG = regex(
    r"\s*,?\s+(?:with|w/|taking)\s*(?P<time>\d{1,2}\s?[-–]\s?\d{1,2}\s*(?:s|secs?|seconds?)\b)(?:\s+rest\b)?",
    re.IGNORECASE,
)
_COMES_TO = regex(r"\s*=\s*\d[\d,.]*\s*m?\s*$", re.IGNORECASE)
_JOINS = regex(r"(?:(?:finish(?:ing)?(?:\s+with)?|and|so|now|ok|okay|right|next|then|finally|do)\W*)*", re.IGNORECASE)
FAR_NEXT = regex(
    rf"\d{{1,2}}\s*[x×*]\s*\d{{2,4}}(?:'?s|m)?(?!\w)|\d{{1,2}}\s*(?:mins?|minutes?)\b|(?:{_NUMBER})\s+\d{{2,3}}'?s\b|\d{{2,4}}(?:'?s|m)?(?!\w)",
    re.IGNORECASE,
)
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


def leads_in(text: str) -> bool:
    """Whether a line says a set in a sentence, or counts it after its words.

    >>> leads_in("Start with an easy 300"), leads_in("Start with your strongest stroke")
    (True, False)
    """
    return _led_in(text)[0] != text or counts_last(text)


def without_total(text: str) -> tuple[str, str]:
    """A line without what its sets come to, and that.

    >>> without_total("200 back, 100 IM = 300")
    ('200 back, 100 IM', '= 300')
    """
    match = _COMES_TO.search(text)
    return (text[: match.start()], match[0].strip()) if match and match.start() else (text, "")


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
    known = ["ACTIVITY" if name in "sS" else LINE_WORDS.get(name.casefold(), ("",))[0] for name in names]
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


def _done_too(text: str) -> tuple[str, list[str]]:
    match = _DONE_TOO.fullmatch(text)
    if match is None or key_of(match["words"].split(maxsplit=1)[1]) in LINE_WORDS:
        return text, []
    return f"{match['n']} x {match['set']}", [match["words"]]


def _led_in(text: str) -> tuple[str, list[str]]:
    match = _LEAD.match(text)
    far = FAR_NEXT.match(text, match.end()) if match else None
    if match is None or far is None:
        return text, []
    words = re.findall(r"[^\W\d]+", match["how"])
    if any(LINE_WORDS.get(word.casefold(), ("",))[0] not in ("ACTIVITY", "STROKE", "EFFORT") for word in words):
        return text, []
    lead = re.sub(r"\W+(?:an?|some|another|your)?\W*$", "", text[: match.start("how")])
    notes = [] if _JOINS.fullmatch(lead) else [lead]
    return " ".join([far[0], *words, text[far.end() :].lstrip()]).replace(" ,", ","), notes


def _in_halves(text: str) -> tuple[str, list[str]]:
    text = _LOTS.sub(r"\g<n> x ", text)
    repeat = _REPEAT.search(text)
    match = _HALVES.search(text, repeat.end()) if repeat else None
    far = int(repeat["far"] or repeat["far2"]) if repeat else 0
    if match is None or far % 2 or match["far"] and 2 * int(match["far"]) != far:
        return text, []
    return f"{text[: match.start()]} {match['a']} / {match['b']} by {far // 2}{text[match.end() :]}", []


def _to_loosen(text: str) -> tuple[str, list[str]]:
    match = _TO_LOOSEN.search(text)
    return (f"{text[: match.start()]}easy{text[match.end() :]}", [match[0]]) if match else (text, [])


def _way_back(text: str) -> tuple[str, list[str]]:
    repeat = _REPEAT.search(text)
    match = _WAY_BACK.search(text, repeat.end()) if repeat else None
    if repeat is None or match is None or int(repeat["far"] or repeat["far2"]) > LEAST_LENGTH:
        return text, []
    hard = " sprint" if match["hard"] else ""
    return f"{text[: match.start()].rstrip(' ,;&(')}{hard}{text[match.end() :]}", [match["words"]]


def _mixed(text: str) -> tuple[str, list[str]]:
    return _MIX.sub("", text), [match[0].strip() for match in _MIX.finditer(text)]


def _about_so_long(text: str) -> tuple[str, list[str]]:
    """`with 5-10 secs rest`: two times, of which one is meant."""
    return _SO_LONG.sub(r", rest \g<time>", text), [match["time"] for match in _SO_LONG.finditer(text)]


_RULES: tuple[Callable[[str], tuple[str, list[str]]], ...] = (
    _about_so_long,
    _led_in,
    *SETS_SAID,
    in_sides,
    mostly,
    in_ordinals,
    _done_too,
    _in_halves,
    _to_loosen,
    _way_back,
    _mixed,
    *PARTS_SAID,
    *REPEATS_SAID,
    _if_time,
    _roughly,
    _progressive,
    _things,
    _of_groups,
    _work_and_rest,
    _held,
    _nowhere,
    _range_share,
    _names_listed,
)
