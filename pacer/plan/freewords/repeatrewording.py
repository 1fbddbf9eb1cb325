"""Ways to say how each repeat of a set is swum, or each stretch of it, that need other words in the notation.

Like those of setrewording.py, they are tried only on lines that cannot be read as they are.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise, takewhile

from pacer.plan.regex import regex
from pacer.plan.words.labels import all_work
from pacer.plan.words.sayings import SAYINGS
from pacer.plan.words.vocabulary import ASKED, LINE_WORDS

_CLOCK = r"(?:\d{1,2}[:.][0-5]\d|:[0-5]\d|\d{2,3}(?!\d|\s*(?:m|x|×)))"
#: The head of a set: how often and how far; a single swim has no count.
_SET = regex(
    r"(?P<n>\d{1,2})\s*[x×]\s*(?P<far>\d{2,4})(?:\s?m\b)?(?!\d|[.:]\d)|(?P<once>\d{3,4})(?:\s?m\b)?(?!\d|[.:]\d)", re.I
)
#: `1-3 desc, 4-6 desc`; `desc 1-3, 4-6`.
_RANGE = r"\d{1,2}\s?[-–]\s?\d{1,2}"
_JOINT = r"\s*(?:[,;/&+]|\band\b)?\s*"
_DESCENDS = regex(rf"{_RANGE}\s+(?:desc\w*|d)\b(?:{_JOINT}{_RANGE}\s+(?:desc\w*|d)\b)+", re.I)
_DESCENDS_AHEAD = regex(rf"\bdesc\w*\s+{_RANGE}(?:{_JOINT}(?:desc\w*\s+)?{_RANGE}(?!\s+[^\W\d]))+", re.I)
#: `4 fly 4 bk 4 br 4 fr`
_WORD = r"[^\W\d_](?:[^\W\d_]|['’-](?=[^\W\d_]))*\.?"
#: `odds free on 3:00 / evens back on 3:20`; `1,3,5 free on 3:00, 2,4,6 back on 3:20`.
_ODD = r"(?:odds?|1\s*,\s*3(?:\s*,\s*\d{1,2})*|1\s*(?:&|and|\+)\s*3)"
_EVEN = r"(?:evens?|2\s*,\s*4(?:\s*,\s*\d{1,2})*|2\s*(?:&|and|\+)\s*4)"
_OWN_TIMES = regex(
    rf"[\s,:;(]*(?P<odd>{_ODD})\s*[:=]?\s+(?P<a>(?:{_WORD}\s+)*?)(?P<s>on|off|@|rest|ri?)\s*(?P<t>{_CLOCK})(?:\s*s(?:ecs?)?\b)?"
    rf"\s*[,/;&]?\s*(?:and\s+)?(?P<even>{_EVEN})\s*[:=]?\s+(?P<b>(?:{_WORD}\s+)*?)(?P=s)\s*(?P<u>{_CLOCK})(?:\s*s(?:ecs?)?\b)?\)?",
    re.I,
)
#: `as 75 steady 25 hard`, `(25 drill of choice, 25 smooth)`, `75 perfect + 25 kick on back`
_STRETCH = regex(
    rf"(?P<far>\d{{2,3}})\s?m?\s+(?P<words>(?!x\b){_WORD}(?:\s+(?!on\s*:?\d|rest\b|then\b|and\b){_WORD})*)", re.I
)
_BETWEEN = regex(r"\s*(?:[,/+&]|\band\b|\bthen\b)?\s*", re.I)
_AS = regex(
    r"[\s,:;=–-]*(?:\b(?:as|of|with|alternat\w*|alt|done\s+as|in)\b\s*:?)?\s*(?P<open>[(\[])?\s*(?=\d{2,3}\s?m?\s+[^\W\d])",
    re.I,
)
#: `as 15 m fly, rest free`
_REMAINDER = regex(
    rf"[\s,:–—-]*\(?\s*(?:as\s+|with\s+)?(?:(?:the\s+)?(?:1st|first)\s+)?(?P<far>\d{{1,3}})\s?m?\s+(?P<a>{_WORD}(?:\s+{_WORD})?)[\s,/+&]+(?:and\s+|then\s+)?(?:the\s+)?"
    rf"(?:rest|remainder|balance)\s+(?:is\s+|all\s+|as\s+)?(?P<b>{_WORD}(?:\s+{_WORD})?)\)?(?=\s*(?:$|[,;]|on\b|off\b|@|rest\b))",
    re.I,
)
#: `2 each stroke, IM order`; `IM order, 2 of each`
_EACH = regex(
    r"(?P<n>\d)\s+(?:of\s+)?each(?:\s+stroke)?[\s,]*(?:in\s+)?(?:IM|i\.m\.?)\s+order|(?:IM|i\.m\.?)\s+order[\s,(]*(?P<m>\d)\s+(?:of\s+)?each(?:\s+stroke)?\)?"
    r"|(?P<k>\d)\s+of\s+each\s+stroke",
    re.I,
)
_STROKES = ("fly", "back", "breast", "free")
_ODD_IS = regex(r"\b(odds?|evens?)\s*=\s*", re.I)
_THROUGHOUT = regex(r"(?<=rest)\s+(?:throughout|all\s+(?:the\s+way\s+)?through)\b", re.I)
#: `w/ 20`: a rest
_WITH_REST = regex(r"\b(?:w/|with)\s*(:?\d{1,2}(?:\s*(?:s|secs?|seconds?)\b)?)(?=\s*(?:$|[,;)]))", re.I)
_TRIAL = regex(
    r"(?P<trial>tt|time\s+trial|test\s+swim|timed)\s*:?\s+(?P<set>(?:\d{1,2}\s*[x×]\s*)?\d{2,4}\s?m?)(?P<more>\b.*)",
    re.I,
)
_ONE_WORK = regex(r"((?:[^\W\d_]+\s+)+)(\d{2,4})(?:\s?m\b)?", re.I)
_WORK_FIRST = regex(r"(?:(?:[^\W\d_]+\s+)+\d{2,4}(?:\s?m\b)?[\s,/+]*){2,}", re.I)
_VALUE = (
    r"(?P<value>(?:[^\W\d_]+\s+){0,2}?(?:on|off|@|hold|rest)\s*(?:the\s+)?"
    r"(?:(?:css|base)\s*[+-]\s*:?\d{1,2}|\d{0,2}[:.]\d\d|\d{2,3}))(?!\w)"
)
_RANGED = regex(rf"#?\s*(?P<n>\d{{1,2}})\s?[-–]\s?#?(?P<last>\d{{1,2}})\s*[:=]?\s+{_VALUE}", re.I)
_SHARED = regex(rf"(?<![\w:.–-])(?P<n>\d{{1,2}})\s*[x×]?\s+{_VALUE}", re.I)
#: `4 x 50 each of: fist, catch-up, long dog`
_EACH_OF = regex(
    r"(?P<n>\d)\s*[x×]\s*(?P<far>\d{2,3})\s?m?\s+(?:of\s+)?(?:each(?:\s+of)?|of\s+each)(?!\s+stroke)\s*[:–-]?\s+(?P<names>[^\d:]+?)"
    r"(?P<behind>\s*,?\s+(?:on|off|rest|ri?|@|:?\d).*)?",
    re.I,
)
#: `12.5`, half a length
_HALF = regex(
    r"(?<![\d:.@])(?<!\bon\s)(?<!\brest\s)(?<!\boff\s)(?P<far>1[0-9]|2[0-9]|3[0-9])\.5\s?m?(?![\w:.])(?!\s*(?:s|secs?|min\w*|k|%|x)\b)",
    re.I,
)
#: `3 x 200 - target = 400 pace`: a pace that is named after a race is for the swimmers.
_PACE = regex(
    r"[\s,–-]*\b(?P<all>(?:(?:target|goal|aim)\s*[=:]?\s*\d{2,4}\s?m?|(?:(?:target|goal|aim|hold|at)\s*[=:]?\s*)?\d{3,4}\s?m?\s+IM)\s+(?:race\s+)?pace)\b",
    re.I,
)


_WORDS_OF = rf"{_WORD}(?:\s+{_WORD}){{0,3}}?"
#: `1 x 25 each stroke not free`, `2 x 50 of each stroke`.
_STROKES_EACH = regex(
    r"(?:(?P<n>\d{1,2})\s*[x×]\s*)?(?P<far>\d{2,3})\s?m?\s+(?:(?:of|on|in)\s+)?each\s+stroke(?P<but>[\s,(]*(?:(?:but\s+)?not|except|bar|no|without|apart\s+from)\s+(?:fs|fc|fr|free(?:style)?|front\s*crawl)\)?)?(?P<more>.*)",
    re.IGNORECASE,
)
#: `8 x 25: 2 x front scull, 2 x doggy paddle, 2 x fists, 2 x swim 20 s`
_NAMED = rf"\d{{1,2}}\s*[x×]\s*{_WORDS_OF}"
_NAMED_SHARES = regex(
    rf"(?P<n>\d{{1,2}})\s*[x×]\s*(?P<far>\d{{2,3}})\s?m?\s*[:,;(–-]*\s*(?:as\s+)?(?P<all>{_NAMED}(?:\s*[,/+;&]\s*(?:and\s+|then\s+)?{_NAMED})+)\)?(?=\s*(?:$|[,;]|:?\d|on\b|off\b|rest\b|@))(?P<more>.*)",
    re.IGNORECASE,
)
_NAMED_SHARE = regex(rf"(?P<n>\d{{1,2}})\s*[x×]\s*(?P<work>{_WORDS_OF})(?=\s*(?:$|[,/+;&]))", re.IGNORECASE)


def descents(text: str) -> tuple[str, list[str]]:
    """`1-3 desc, 4-6 desc`: equal shares, one after the other, descend again by themselves."""
    for pattern in (_DESCENDS, _DESCENDS_AHEAD):
        if match := pattern.search(text):
            ranges = [tuple(map(int, re.findall(r"\d+", each))) for each in re.findall(_RANGE, match[0])]
            size = ranges[0][1] - ranges[0][0] + 1
            if size > 1 and all(pair == (1 + size * at, size * (at + 1)) for at, pair in enumerate(ranges)):
                return f"{text[: match.start()]}descend 1-{size}{text[match.end() :]}", []
    return text, []


def own_times(text: str) -> tuple[str, list[str]]:
    """`odds free on 3:00 / evens back on 3:20`: pairs of repeats, each with its own interval."""
    head = _SET.match(text)
    match = _OWN_TIMES.match(text, head.end()) if head else None
    if head is None or match is None or not head["n"] or int(head["n"]) % 2:
        return text, []
    for said, first in ((match["odd"], 1), (match["even"], 2)):
        numbers = [int(number) for number in re.findall(r"\d+", said)]
        if numbers and numbers != list(range(first, int(head["n"]) + 1, 2)):
            return text, []
    if text[match.end() :].strip(" ,."):
        return text, []
    opens = "on" if match["s"].casefold() in ("on", "off", "@") else "rest"
    one, other = (f"{head['far']} {match[work]}{opens} {match[time]}" for work, time in (("a", "t"), ("b", "u")))
    return f"{int(head['n']) // 2} x ({one} + {other})", []


def stretches(text: str) -> tuple[str, list[str]]:
    """`4 x 100 kick, as 75 steady 25 hard`: stretches that fill each repeat, with the words of each."""
    head = _SET.match(text)
    if head is None:
        return text, []
    far = int(head["far"] or head["once"])
    for opened in _AS.finditer(text, head.end()):
        lead = text[head.end() : opened.start()].strip(" ,:;–-")
        if lead and not all_work(lead):
            continue
        found, at = _run(text, opened.end(), far)
        total = sum(length for length, _ in found)
        if len(found) < 2 or far % total:
            continue
        behind = text[at:]
        if opened["open"]:
            if behind.lstrip()[:1] not in (")", "]"):
                continue
            behind = behind.lstrip()[1:]
        if re.match(r"\s*(?:[x×]\s*\d|[/&]|\+(?!\s*:?\d+\s*(?:s|secs?|\"|$|,)))", behind):
            continue
        if head["once"] and not opened[0].strip():  # 300 swim 200 legs 100 heads up
            continue
        works = [_swum(words, lead) for _, words in found]
        if not all(works):
            continue
        made = [f"{length} {work}" for (length, _), work in zip(found, works)]
        return f"{head[0]} ({' / '.join(made)}), {behind.lstrip(' ,')}".rstrip(" ,"), []
    return text, []


def _run(text: str, at: int, far: int) -> tuple[list[tuple[int, str]], int]:
    """The stretches from a place on, up to those that fill a repeat, and where they end."""
    found: list[tuple[int, str]] = []
    while match := _STRETCH.match(text, at):
        found.append((int(match["far"]), match["words"]))
        at = match.end()
        if sum(length for length, _ in found) >= far:
            break
        at = _BETWEEN.match(text, at).end()  # type: ignore[union-attr]
    return found, at


def _swum(words: str, lead: str) -> str:
    """A stretch's words: those that are work, with the work said before all stretches, and the others in quotes.

    "" if the words can mean several things.
    """
    said = words.split()
    known = said if SAYINGS.fullmatch(words) else [*takewhile(_kind, said)]
    if any(word.casefold() in ASKED for word in said):
        return ""
    mine = {_kind(word) for word in known}
    own = [word for word in lead.split() if _kind(word) not in mine]
    if not known and len(said) > 1 and said[-1].casefold() == "drill":  # fist drill
        return " ".join([*own, "drill", *said[:-1]])
    left = " ".join(said[len(known) :])
    return " ".join([*own, *known, *([f'"{left}"'] if left else [])])


def remainder(text: str) -> tuple[str, list[str]]:
    """`10 x 50 as 15 m fly, rest free`: a stretch of each repeat, and what is left of it."""
    head = _SET.match(text)
    match = _REMAINDER.match(text, head.end()) if head else None
    far = int(head["far"] or head["once"]) if head else 0
    if head is None or match is None or not 0 < int(match["far"]) < far:
        return text, []
    if not all(all_work(match[work]) or SAYINGS.fullmatch(match[work]) for work in "ab"):
        return text, []
    first, left = f"{match['far']} {match['a']}", f"{far - int(match['far'])} {match['b']}"
    return f"{head[0]} ({first} / {left}), {text[match.end() :].lstrip(' ,')}".rstrip(" ,"), []


def each_stroke(text: str) -> tuple[str, list[str]]:
    """`8 x 50 drill/swim, 2 of each stroke`: fly, back, breast, free, that many of each."""
    head, match = _SET.match(text), _EACH.search(text)
    if head is None or match is None or not head["n"]:
        return text, []
    each = int(match["n"] or match["m"] or match["k"])
    if int(head["n"]) != 4 * each:
        return text, []
    before, behind = text[head.end() : match.start()].strip(" ,:;("), text[match.end() :].lstrip(" ,")
    work, _, details = before.partition(",")
    parts = [part.strip() for part in re.split(r"/", re.sub(r"\s+by\s+\d+s?$", "", work.strip()))]
    if not all(part and all_work(part) and _kind(part.split()[0]) != "STROKE" for part in parts) and work:
        return text, []
    far, said = int(head["far"]), []
    if len(parts) > 1 and far % len(parts):
        return text, []
    for place, stroke in enumerate(_STROKES):
        span = f"{each * place + 1}-{each * (place + 1)}" if each > 1 else f"{place + 1}"
        if len(parts) > 1:
            said.append(f"{span} ({' / '.join(f'{far // len(parts)} {part} {stroke}' for part in parts)})")
        else:
            said.append(f"{span} {work.strip()} {stroke}")
    whole = (f"{head[0]} repeats {' / '.join(said)}", details.strip(), behind)
    return ", ".join(each_ for each_ in whole if each_), []


def marked(text: str) -> tuple[str, list[str]]:
    """`odd=kick even=swim`, `w/ 20`, `TT 400`, `Swim 200 Kick 100`: each in the notation's order."""
    text = _ODD_IS.sub(lambda found: f"{found[1]} ", text)
    text = _THROUGHOUT.sub("", text)
    text = _WITH_REST.sub(lambda found: f"rest {found[1]}", text)
    if match := _TRIAL.fullmatch(text):
        text = " ".join(match[part].strip() for part in ("set", "trial", "more")).strip()
    if _WORK_FIRST.fullmatch(text) and all(map(all_work, re.findall(r"[^\W\d_]+", text))):
        text = ", ".join(f"{far} {' '.join(work.split())}" for work, far in _ONE_WORK.findall(text))
    return text, []


def own_details(text: str) -> tuple[str, list[str]]:
    """`20 x 50: #1-10 on 55, #11-20 on 50`, `10 x 400: 4 @ CSS+6, 6 @ CSS+5`: sets, each with its own value."""
    head = _SET.match(text)
    if head is None or not head["n"]:
        return text, []
    for pattern in (_RANGED, _SHARED):
        found = list(pattern.finditer(text, head.end()))
        if len(found) < 2 or text[head.end() : found[0].start()].strip(" :,;(–-"):
            continue
        if any(text[one.end() : two.start()].strip(" ,;/&") for one, two in pairwise(found)):
            continue
        counts = [int(each["last"]) - int(each["n"]) + 1 if pattern is _RANGED else int(each["n"]) for each in found]
        firsts = [1 + sum(counts[:at]) for at in range(len(counts))]
        if sum(counts) != int(head["n"]) or min(counts) < 1:
            continue
        if pattern is _RANGED and [int(each["n"]) for each in found] != firsts:
            continue
        behind = text[found[-1].end() :].strip(" ,)")
        times = [each["value"].casefold().split() for each in found]
        if len({*counts}) == 1 and all(len(said) == 2 and said[0] == "on" for said in times):
            return f"{head[0]} on {' then '.join(said[1] for said in times)} {behind}".strip(), []
        sets = [f"{n} x {head['far']} {each['value'].strip()}" for n, each in zip(counts, found)]
        return " + ".join(f"{each}, {behind}" if behind else each for each in sets), []
    return text, []


def each_of(text: str) -> tuple[str, list[str]]:
    """`4 x 50 each of: fist, catch-up`: that many repeats of each drill."""
    match = _EACH_OF.fullmatch(text)
    names = (
        [name.strip() for name in re.split(r"\s*[,/]\s*|\s+and\s+", match["names"]) if name.strip()] if match else []
    )
    if match is None or len(names) < 2 or any(re.search(r"\d", name) for name in names):
        return text, []
    often, made = int(match["n"]), []
    for at, name in enumerate(names):
        work = name if all_work(name) or SAYINGS.fullmatch(name) else f"drill {name}"
        made.append(f"{often * at + 1}-{often * (at + 1)} {work}" if often > 1 else f"{at + 1} {work}")
    behind = f", {match['behind'].strip(' ,')}" if match["behind"] else ""
    return f"{often * len(names)} x {match['far']} repeats {' / '.join(made)}{behind}", []


def of_each_stroke(text: str) -> tuple[str, list[str]]:
    """`1 x 25 each stroke not free`: fly, back and breast, that many times each."""
    match = _STROKES_EACH.fullmatch(text)
    if match is None:
        return text, []
    often = int(match["n"] or 1)
    strokes = ("fly", "back", "breast") if match["but"] else ("fly", "back", "breast", "free")
    said = [
        f"{often * at + 1}-{often * (at + 1)} {stroke}" if often > 1 else f"{at + 1} {stroke}"
        for at, stroke in enumerate(strokes)
    ]
    more = match["more"].strip(" ,;")
    notes = [match["but"].strip(" ,()")] if match["but"] else []
    if form := re.search(r"[\s,]*\b(?:(?:good|nice)\s+)?(?:form|technique)\b", f" {more}", re.IGNORECASE):
        notes.append(form[0].strip(" ,"))
        more = f" {more}".replace(form[0], "", 1).strip(" ,")
    return f"{often * len(strokes)} x {match['far']} repeats {' / '.join(said)}" + (f", {more}" if more else ""), notes


def named_shares(text: str) -> tuple[str, list[str]]:
    """`8 x 25: 2 x front scull, 2 x fists, …`: that many repeats of each, drills by their names."""
    match = _NAMED_SHARES.fullmatch(text)
    if match is None:
        return text, []
    found = [(int(share["n"]), share["work"].strip()) for share in _NAMED_SHARE.finditer(match["all"])]
    if sum(n for n, _ in found) != int(match["n"]) or sum(map(int, re.findall(r"\d+", match["all"]))) != int(
        match["n"]
    ):
        return text, []
    said, first = [], 1
    for n, work in found:
        said.append(f"{first}-{first + n - 1} {_drill(work)}" if n > 1 else f"{first} {_drill(work)}")
        first += n
    more = match["more"].strip(" ,;")
    return f"{match['n']} x {match['far']} repeats {' / '.join(said)}" + (f", {more}" if more else ""), []


def _drill(work: str) -> str:
    """A name as the work of a part: `front scull` as `scull front`, names that nobody knows as drills."""
    words = work.split()
    if all(map(_kind, words)) or SAYINGS.fullmatch(work):
        return work
    known = [word for word in words if LINE_WORDS.get(word.casefold(), ("",))[0] == "ACTIVITY"]
    if len(known) == 1:
        return " ".join([known[0], *(word for word in words if word != known[0])])
    return f"drill {work}"


def halves(text: str) -> tuple[str, list[str]]:
    """`8 x 12.5 sprint`: to the nearest metre, in turn below and above, so that two halves stay a whole."""
    found = list(_HALF.finditer(text))
    up = False
    for match in reversed(found):
        text = f"{text[: match.start()]}{int(match['far']) + up}{text[match.end() :]}"
        up = not up
    return text, list(dict.fromkeys(f"{match['far']}.5 m" for match in found))


def race_pace(text: str) -> tuple[str, list[str]]:
    """`3 x 200 IM on 3:30, target 400 IM pace`: whose pace that is, only the swimmers know."""
    match = _PACE.search(text)
    if match is None or not match.start():
        return text, []
    return f"{text[: match.start()]}{text[match.end() :]}", [" ".join(match["all"].split())]


def _kind(word: str) -> str:
    kind = LINE_WORDS.get(word.casefold().rstrip("."), ("",))[0] or LINE_WORDS.get(word.casefold(), ("",))[0]
    return kind if kind in ("ACTIVITY", "STROKE", "EFFORT") else ""


REPEATS_SAID: tuple[Callable[[str], tuple[str, list[str]]], ...] = (
    marked,
    halves,
    own_details,
    each_of,
    of_each_stroke,
    named_shares,
    descents,
    own_times,
    each_stroke,
    remainder,
    stretches,
    race_pace,
)
