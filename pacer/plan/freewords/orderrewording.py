"""Ways to say a set in another order than the notation's: what all of a bracket shares after it, the count last.

Like those of rewording.py, they are tried only on lines that cannot be read as they are.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from pacer.plan.regex import regex
from pacer.plan.words.linepatterns import NUMBERS
from pacer.plan.words.sayings import SAYINGS
from pacer.plan.words.vocabulary import LINE_WORDS

_UNIT = r"(?:s|secs?|seconds?|mins?|minutes?|''?|\"|r(?:est)?\b)"
_TIME = rf"(?:\d{{0,2}}:\d\d|\d{{1,3}}\s*{_UNIT})(?:\s*(?:rest|r|ri)\b)?"
_LADDER = r"\d{2,4}(?:\s*[-–,/]\s*|\s+)\d{2,4}(?:(?:\s*[-–,/]\s*|\s+)\d{2,4})+(?![\d:.]|\s*[x×])"
#: `2 x (4 x 100) free on 1:45, 1 min between`: one set in a bracket, its details after it.
_BRACKET = regex(
    r"(?P<n>\d{1,2})\s*[x×]\s*[(\[]\s*(?P<inner>\d{1,2}\s*[x×]\s*\d{2,4}(?:\s+[^\W\d_]+)?|"
    + _LADDER
    + r")\s*[)\]](?P<tail>.*)",
    re.IGNORECASE,
)
#: `two lots of 4 x 50 hard, 2 min in the middle`, as if it were a bracket.
_LOTS = regex(
    r"(?P<n>\d{1,2}|two|three|four|five)\s+(?:lots|sets|blocks|goes)\s+of\s+(?P<set>\d{1,2}\s*[x×]\s*\d{2,4})(?!\d)",
    re.IGNORECASE,
)
#: `12 x 100 as 3 sets of 4`
_IN_SETS = regex(
    r"(?P<n>\d{1,2})\s*[x×]\s*(?P<far>\d{2,4})\s?m?\s*,?\s+(?:(?:as|in|done\s+as)\s+)?(?P<k>\d)\s+(?:sets|lots|blocks)\s+of\s+(?P<m>\d{1,2})(?!\d|\s*[x×])",
    re.IGNORECASE,
)
#: `Go through 3 times: 100 swim, 50 kick`
_THROUGH = regex(
    r"(?:(?:go|swim|do|work|all|repeat)\s+)*(?:(?:this|these|it|the\s+following)\s+)?(?:through\s+)?(?P<n>\d{1,2}|two|three|four|five|twice)\s*(?:times|x|rounds)?(?:\s+(?:through|thru|of))*\s*[:–-]\s*(?P<parts>\d{2,4}\s?m?\s+[^\W\d][^():]*)",
    re.IGNORECASE,
)
#: `400 as 4 x 100, 5 s rest`
_AS_SETS = regex(
    r"(?:1\s*[x×]\s*)?(?P<far>\d{3,4})\s?m?\s*(?P<work>(?:[^\W\d]+\s+)*?)(?:(?:done|swum|split|broken)\s+)*(?:as|into)\s+(?P<n>\d{1,2})\s*[x×]\s*(?P<each>\d{2,4})(?![\d:])(?P<more>.*)",
    re.IGNORECASE,
)
_AT_WALL = regex(
    r"[\s,]*(?:with\s+|w/\s*)?(?P<time>:?\d{1,2}\s*(?:s|secs?|seconds?|''))\s*(?:rest\s+)?(?:at|on)\s+(?:each|every|the)\s+wall",
    re.IGNORECASE,
)
#: `200 + 4 x 50 kick + 200, all 15 s rest`
_ALL_REST = regex(rf"[\s,;]*\ball\s+(?:with\s+|on\s+)?(?P<time>{_TIME})\s*(?:rest|ri?)?\W*$", re.IGNORECASE)
_SETS = r"(?:sets?|rounds?|rds?|blocks?|lots|series|the\s+two|them)"
#: `1 min between`, `40 s b/w blocks`, among the details after a bracket.
_BETWEEN = regex(
    rf"[\s,.;+&]*(?:and\s+)?(?:take\s+|with\s+|rest\s+)?(?:extra\s+)?(?P<time>{_TIME})\s*(?:extra\s+)?(?:(?:in\s+)?(?:between|btwn|betw|btw|b/w|after)(?:\s+(?:each|every|the))?(?:\s+{_SETS})?|in\s+the\s+middle|half\s?way)\s*(?=[,.;]|$)",
    re.IGNORECASE,
)
#: `1st set steady, 2nd strong`, among them.
_OF_SETS = regex(
    rf"(?P<first>\b(?:1st|first)\s+(?:{_SETS}|one)\s+(?P<a>[^\W\d_]+))[\s,;/]+(?:and\s+)?(?:2nd|second)\s+(?:(?:{_SETS}|one)\s+)?(?P<b>[^\W\d_]+)(?=\s*(?:[,.;]|$))",
    re.IGNORECASE,
)
#: `50 100 150 100 50 free, 15" going up, 20" coming down`: a ladder with a rest for each side.
_TWO_RESTS = regex(
    rf"(?P<ladder>{_LADDER})(?P<work>[^\d,;]*?)[\s,;]*(?:\brest\s+)?(?P<up>{_TIME})\s*(?:rest\s+)?(?:going\s+|on\s+the\s+way\s+|for\s+the\s+way\s+)?up\W+(?:and\s+)?(?:rest\s+)?(?P<down>{_TIME})\s*(?:rest\s+)?(?:coming\s+|going\s+|on\s+the\s+way\s+)?(?:back\s+)?down\b(?P<more>.*)",
    re.IGNORECASE,
)
_WORD = r"[^\W\d_](?:[^\W\d_]|['’-](?=[^\W\d_]))*"
_WORDS = rf"{_WORD}(?:\s+{_WORD}){{0,3}}?"
#: `25 fast 25 slow x 4`, `100 swim + 50 kick x 3`: how often all of it is swum comes last.
_BEHIND = regex(
    rf"(?P<parts>\d{{2,3}}\s?m?\s+{_WORDS}(?:\s*[/+,&]?\s*(?:and\s+|then\s+|into\s+)?\d{{2,3}}\s?m?\s+{_WORDS})+)\s*[,;]?\s*[x×]\s*(?P<n>\d{{1,2}})(?!\s*[x×]|[\d:])(?P<more>.*)",
    re.IGNORECASE,
)
_PART = regex(rf"(?P<far>\d{{2,3}})\s?m?\s+(?P<work>{_WORDS})(?=\s*(?:$|[/+,&]|and\b|then\b|into\b|\d))", re.IGNORECASE)
#: `6-1-6 x 4 (50s, …), …`, `fists x 6 (25s)`: a drill's name, how often, and how far in the bracket.
_NAMED = regex(
    r"(?P<name>[^,;()\"]*[^\s,;()\"x×\d:.][^,;()\"x×]*?|\d+(?:-\d+){2,})\s*[x×]\s*(?P<n>\d{1,2})\s*\(\s*(?P<far>\d{2,3})'?s?\s*m?(?P<in>\s*[,;]?[^()]*)\)(?P<more>.*)",
    re.IGNORECASE,
)
#: `4 x 100 at 60, 70, 80, 90%`: an effort for each in turn.
_PERCENTS = regex(
    r"[\s,]*(?:\b(?:increasing|rising)\s+)?(?:\befforts?\s*:?\s*)?(?:@|\bat\b)?\s*(?P<all>\d{2}\s*%?(?:(?:\s*[,/]\s*\d{2,3}\s*%?)+|(?:\s*[–-]\s*\d{2,3}\s*%?){2,})(?<=%))(?:\s+efforts?)?",
    re.IGNORECASE,
)
#: `alternating 1 kick 3 swim`
_TURNS = regex(rf"\balt(?:ernat\w*)?\s+(?=[1-9]\s+{_WORD}\s*[,/]?\s*(?:and\s+|then\s+)?[1-9]\s+{_WORD})", re.IGNORECASE)
#: `10 x 1 min hard 1 min easy`
_TWO_TIMED = regex(
    r"(?P<n>\d{1,2})\s*[x×]\s*(?P<t>\d{1,2}\s*(?:mins?|minutes?|secs?|seconds?))\s+(?P<a>[^\W\d]+)\s*[,/+&]?\s*(?:and\s+|then\s+)?(?P<u>\d{1,2}\s*(?:mins?|minutes?|secs?|seconds?))\s+(?P<b>[^\W\d]+)(?P<more>\W.*|)",
    re.IGNORECASE,
)
#: `Try a 50! x2, don't race it`: words, a distance, how often.
_TRIED = regex(
    r"(?P<words>(?:[^\W\d_][\w'’]*\s+){1,4}?)(?:(?:an?|one|the)\s+)?(?P<far>25|50|75|[1-9]\d?(?:00|25|50|75))\s?m?[!.,]*\s*[x×]\s*(?P<n>\d{1,2})(?!\s*[x×]|[\d:])(?P<more>.*)",
    re.IGNORECASE,
)
#: `Float on your back 1 min, then 2 lengths anything`: something for a time, then a set.
_FIRST_TIMED = regex(
    r"(?P<words>[^\W\d_][^\d,;:()\"]*?)[\s,]+(?:for\s+|about\s+)?(?P<time>\d{1,2}\s*(?:mins?|minutes?|secs?|seconds?))(?:\s*[,;.]\s*|\s+)(?:and\s+)?(?:then\s+)?(?:do\s+|swim\s+)?(?P<set>\d{2}.*|\d{1,2}\s*(?:[x×]\s*\d|lengths?\b).*)",
    re.IGNORECASE,
)
_TALK = regex(r"(?:talk|chat|drink|water|stretch|explain|listen|demo|toilet|get\s+(?:out|your))\b", re.IGNORECASE)
_SET = regex(r"(?P<n>\d{1,2})\s*[x×]\s*(?P<far>\d{2,4})", re.IGNORECASE)


def inner_details(text: str) -> tuple[str, list[str]]:
    """`2 x (4 x 100) free on 1:45, 1 min between`: the details are for what is in the bracket."""
    text = _LOTS.sub(
        lambda found: f"{NUMBERS.get(found['n'].casefold(), found['n'])} x ({found['set']})", text, count=1
    )
    if (apart := _IN_SETS.match(text)) and int(apart["k"]) * int(apart["m"]) == int(apart["n"]):
        text = f"{apart['k']} x ({apart['m']} x {apart['far']}){text[apart.end() :]}"
    match = _BRACKET.fullmatch(text)
    if match is None or not match["tail"].strip(" ,."):
        return text, []
    tail, behind = match["tail"], ""
    if between := _BETWEEN.search(tail):
        tail = f"{tail[: between.start()]} {tail[between.end() :]}"
        behind = f" + rest {_plain_time(between['time'])}"
    count, sets = int(match["n"]), []
    if (own := _OF_SETS.search(tail)) and count == 2 and all(_kind(own[each]) == "EFFORT" for each in "ab"):
        tail, sets = f"{tail[: own.start()]} {tail[own.end() :]}", [own["a"], own["b"]]
    tail = re.sub(r"^[\s,]*(?:all\s+)?(?:at\s+)?", "", tail.strip(" ,.;"), flags=re.IGNORECASE)
    inner = f"{match['inner']} {tail}".strip()
    if re.search(r"[()\[\]]", inner):
        return text, []
    if sets:  # each is swum once, with the rest between them
        one, two = (f"{match['inner']} {effort} {tail}".strip() for effort in sets)
        return f"{one}{behind} + {two}", []
    return f"{match['n']} x ({inner}{behind})", []


def times_through(text: str) -> tuple[str, list[str]]:
    """`Go through 3 times: 100 swim, 50 kick, 25 sprint`"""
    match = _THROUGH.fullmatch(text)
    parts = [part.strip() for part in re.split(r"\s*[,+;]\s*(?=\d)", match["parts"])] if match else []
    if match is None or len(parts) < 2:
        return text, []
    count = "2" if match["n"].casefold() == "twice" else str(NUMBERS.get(match["n"].casefold(), match["n"]))
    return f"{count} x ({' + '.join(parts)})", []


def as_sets(text: str) -> tuple[str, list[str]]:
    """`400 as 4 x 100, 5 s rest`: what it comes to is said first."""
    match = _AS_SETS.fullmatch(text)
    if match is None or int(match["n"]) * int(match["each"]) != int(match["far"]):
        return text, []
    more = _AT_WALL.sub(lambda found: f", rest {found['time']}", match["more"])
    lead = f"{match['work'].strip()} " if match["work"] else ""
    return f"{match['n']} x {match['each']} {lead}{more.strip(' ,') if not more.startswith(',') else more}", [
        f"{match['far']} as"
    ]


def rest_of_all(text: str) -> tuple[str, list[str]]:
    """`200 + 4 x 50 kick + 200, all 15 s rest`: each of the sets has it."""
    match = _ALL_REST.search(text)
    parts = re.split(r"\s*[+,;]\s*(?=\d)", text[: match.start()]) if match else []
    if match is None or len(parts) < 2 or re.search(r"[()\[\]:@]|\b(?:on|rest)\b", text[: match.start()]):
        return text, []
    return " + ".join(f"{part}, rest {_plain_time(match['time'])}" for part in parts), []


def two_rests(text: str) -> tuple[str, list[str]]:
    """`50 100 150 100 50, 15" going up, 20" coming down`: two ladders, each with its rest."""
    match = _TWO_RESTS.fullmatch(text)
    if match is None:
        return text, []
    steps = [int(step) for step in re.findall(r"\d+", match["ladder"])]
    top = steps.index(max(steps)) + 1
    if not 1 < top < len(steps):
        return text, []
    sides = ((steps[:top], match["up"]), (steps[top:], match["down"]))
    made = [
        f"{' - '.join(map(str, side))} {match['work'].strip()}".strip() + f", rest {_plain_time(rest)}"
        for side, rest in sides
    ]
    more = match["more"].strip(" ,.;")
    return " + ".join(made), [more] if more else []


def count_last(text: str) -> tuple[str, list[str]]:
    """`25 fast 25 slow x 4`: the parts of each repeat if they are lengths, otherwise sets in rounds."""
    match = _BEHIND.fullmatch(text)
    if match is None:
        return text, []
    parts = [(int(part["far"]), part["work"].strip()) for part in _PART.finditer(match["parts"])]
    total = sum(far for far, _ in parts)
    works = all(_kind(work.split()[0]) or SAYINGS.fullmatch(work) for _, work in parts)
    if len(parts) < 2 or not works or sum(map(int, re.findall(r"\d+", match["parts"]))) != total:
        return text, []
    more = match["more"].strip(" ,;–-")
    behind = f", {more}" if more else ""
    if total <= 100 and len({far for far, _ in parts}) == 1:
        return f"{match['n']} x {total} ({' / '.join(f'{far} {work}' for far, work in parts)}){behind}", []
    return f"{match['n']} x ({' + '.join(f'{far} {work}' for far, work in parts)}){behind}", []


def in_turn(text: str) -> tuple[str, list[str]]:
    """`16 x 50 alternating 1 kick 3 swim`, `4 x 100 at 60, 70, 80, 90%`, `10 x 1 min hard 1 min easy`."""
    if match := _TWO_TIMED.fullmatch(text):
        both = (f"{match['t']} {match['a']}", f"{match['u']} {match['b']}")
        if all(_kind(match[name]) for name in "ab"):
            return f"{match['n']} x ({' + '.join(both)}){match['more']}", []
    text = _TURNS.sub("", text)
    percents = _PERCENTS.search(text)
    if percents is None or not _SET.search(text[: percents.start()]):
        return text, []
    return f"{text[: percents.start()]}{text[percents.end() :]}", [percents[0].strip(" ,")]


#: `4 x 50 (…)`: the number is no part of a name such as 6-1-6.
_COUNT_LAST = regex(r"(?<![\d-])\d{1,2}\s*$")


def drill_counted(text: str) -> tuple[str, list[str]]:
    """`fists x 6 (25s), 15 s`: that many repeats of a drill."""
    match = _NAMED.fullmatch(text)
    if match is None or not match["name"].strip(" :-") or _COUNT_LAST.search(match["name"]):
        return text, []
    name = match["name"].strip(" :-–")
    inside = match["in"].strip(" ,;")
    known = _kind(name.split()[0]) or SAYINGS.fullmatch(name)
    down = re.fullmatch(
        r"(?:as\s+)?(?:\d+\s+)?drill\s*(?:down|out|up|/)\s*(?:\d+\s+)?swim(?:\s+(?:back|home))?", inside, re.IGNORECASE
    )
    halves = re.fullmatch(r"as\s+\d+\s+drill\s*/\s*\d+\s+swim", inside, re.IGNORECASE)
    work = name if known else f"drill {name}"
    far = int(match["far"])
    more = match["more"].strip(" ,")
    details = f", {more}" if more else ""
    if (down or halves) and far % 2 == 0:
        return f"{match['n']} x {far} ({far // 2} {work} / {far // 2} swim){details}", []
    inside = f", {inside}" if inside else ""
    return f"{match['n']} x {far} {work}{inside}{details}", []


def tried(text: str) -> tuple[str, list[str]]:
    """`Try a 50! x 2`: words in front of a distance, and how often after it."""
    match = _TRIED.fullmatch(text)
    if match is None or any(_kind(word) for word in match["words"].split()):
        return text, []
    more = match["more"].strip(" ,!.")
    return f"{match['n']} x {match['far']}" + (f", {more}" if more else ""), [match["words"].strip()]


def timed_first(text: str) -> tuple[str, list[str]]:
    """`Float on your back 1 min, then 50 easy`: a time without a distance, and a set."""
    match = _FIRST_TIMED.fullmatch(text)
    if match is None:
        return text, []
    words = match["words"].strip()
    if words.casefold().startswith(("rest", "stop", "break")):
        return text, []
    if _TALK.match(words):
        return f'rest {match["time"]} "{words}" + {match["set"]}', []
    if SAYINGS.fullmatch(words) or any(_kind(word) == "ACTIVITY" for word in words.split()):
        return f"{match['time']} {words} + {match['set']}", []
    return f'{match["time"]} choice "{words}" + {match["set"]}', []


def counts_last(text: str) -> bool:
    """Whether a line says a set with words first and its count after them, or something timed and then a set.

    >>> counts_last("fists x 6 (25s), 15 s"), counts_last("elbows high x 3")
    (True, False)
    """
    return any(rule(text)[0] != text for rule in (timed_first, drill_counted, tried, times_through))


def _kind(word: str) -> str:
    kind = LINE_WORDS.get(word.casefold().rstrip("."), ("",))[0]
    return kind if kind in ("ACTIVITY", "STROKE", "EFFORT") else ""


def _plain_time(said: str) -> str:
    """A rest without its word after it: `15 s rest` as `15 s`; a bare prime of minutes is kept."""
    return re.sub(r"\s*(?:rest|ri?)$", "", said.strip(), flags=re.IGNORECASE)


def primes_in(text: str) -> str:
    """A line with seconds as `15''`, so that no sign after a number is taken for a quote."""
    parts = text.split('"')
    if len(parts) < 2:
        return text
    made, inside = parts[0], False
    for part in parts[1:]:
        seconds = not inside and made[-1:].isdigit()
        inside = inside if seconds else not inside
        made += ("''" if seconds else '"') + part
    return made


SETS_SAID: tuple[Callable[[str], tuple[str, list[str]]], ...] = (
    timed_first,
    inner_details,
    times_through,
    as_sets,
    rest_of_all,
    two_rests,
    drill_counted,
    in_turn,
    count_last,
    tried,
)
