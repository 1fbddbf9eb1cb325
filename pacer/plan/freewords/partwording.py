"""Ways to say of which parts a repeat is made, or what each of a few repeats is, that need other words in the notation.

Like those of rewording.py, they are tried only on lines that cannot be read as they are.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from pacer.plan.regex import regex
from pacer.plan.words.labels import all_work, kind_of_work
from pacer.plan.words.linepatterns import LEAST_LENGTH, OWN_STROKE
from pacer.plan.words.sayings import SAYINGS

_HEAD = regex(r"(?P<n>\d{1,2})\s*[x×]\s*(?P<far>\d{2,4})(?:\s?m\b)?(?!\d|[.:]\d)", re.IGNORECASE)
_ENDS = r"(?=\s*(?:$|[,;)]|\b(?:on|off|every|rest|ri?)\s*:?\d|@))"
#: `1,3,5 No1 100%, 2,4,6 FC 90%`
_BY_NUMBER = regex(
    rf"[\s,.;:(]*(?<!\d)1\s*,\s*3(?:\s*,\s*\d{{1,2}})*\s*[:=]?\s+(?P<a>[^\d,;/][^,;/]*?)\s*[,;/]\s*(?<!\d)2\s*,\s*4(?:\s*,\s*\d{{1,2}})*"
    rf"\s*[:=]?\s+(?P<b>[^\d,;/()][^,;/()]*?)\)?{_ENDS}",
    re.IGNORECASE,
)
#: `odds fast 15`: the first metres of the repeats.
_PARTLY = regex(
    r"\b(?P<who>odds?|evens?)\s+(?P<work>[^\W\d_]+)\s+(?P<far>1\d|2\d)(?P<half>\.5)?\s?m?(?=\s*(?:[,/;)]|$|(?:odds?|evens?|and|on|rest)\b))",
    re.IGNORECASE,
)
#: `Broken 100 x 2: 50+25+25, 10" at walls`; `100 broken @ 50s, 10s rest`
_BROKEN = regex(r"\bbroken\b", re.IGNORECASE)
_ONE_FAR = regex(
    r"(?:(?P<n>\d{1,2})\s*[x×]\s*)?(?:broken\s+)?(?P<far>\d{3,4})(?:'?s|\s?m)?\b(?:\s*[x×]\s*(?P<m>\d{1,2})\b)?",
    re.IGNORECASE,
)
_ADDED = regex(r"\(?(?<![\d:.])\d{2,3}\s*([+/,-])\s*\d{2,3}(?:\s*\1\s*\d{2,3})*(?![\d:.])\)?")
_SO_MANY = regex(r"(?P<k>\d)\s*[x×]\s*(?P<far>\d{2,3})(?!\d)", re.IGNORECASE)
_BROKEN_AT = regex(
    r"(?:@|at|by|every|into|in)\s*(?:the\s+|each\s+|every\s+)?(?P<far>\d{2,3})(?:'?s|\s?m)?(?![\w:.])", re.IGNORECASE
)
_PAUSE = regex(
    r"(?:(?:for|with|w/|rest|ri?)\s*)*:?(?P<s>\d{1,2})\s*(?:seconds?|secs?|s|\"|'')(?!\w)"
    r"(?:\s*(?:rest|ri?|stops?|pause)\b)?(?:\s*(?:at|on|between|after)\s+(?:the\s+|each\s+|every\s+)?(?:walls?|each|50s?|25s?|100s?)?)?",
    re.IGNORECASE,
)
#: `4 x 25 scull: front, mid, feet first, choice`
_LISTED = regex(
    r"(?P<lead>(?:.*[,;+]\s+)?)(?P<n>\d{1,2})\s*[x×]\s*(?P<far>\d{2,3})\s?m?\s*(?P<work>drills?|sculls?|sculling|kick)?\s*(?:[:–]|\s-)\s*"
    r"(?P<list>[^\d,:;()][^,:;()]*(?:,\s*(?:and\s+)?(?:(?:\d-){2,}\d|[^\d,:;()][^\d,:;()]*))+)"
    r"(?P<behind>\s*,?\s*(?:\b(?:on|off|every|rest|ri?)\s*:?\d|@|:?\d{1,2}\s*s).*)?",
    re.IGNORECASE,
)
#: `sprint 25, easy 25, x 8`
_TIMES_ALL = regex(
    r"(?P<parts>[^\d,+/()x×]*\d{2,3}(?![\d:.])(?:[^\d,+/()x×]|x(?=\w))*(?:\s*[,+/]\s*[^\d,+/()x×]*\d{2,3}(?![\d:.])[^\d,+/()x×]*)+?)[\s,]*[x×]\s*(?P<n>\d{1,2})(?![\d:.])(?P<rest>.*)",
    re.IGNORECASE,
)
#: `200 as 50 free 50 back x 2`: the parts come that many times.
_FILLS = regex(
    r"(?P<set>(?:\d{1,2}\s*[x×]\s*)?(?P<far>\d{3,4})\s*m?\s*(?:as|of|:|=)\s*(?P<parts>[^x×:@]*?))\s*[x×]\s*(?P<n>\d{1,2})(?![\d:])",
    re.IGNORECASE,
)


def odds_and_evens(text: str) -> tuple[str, list[str]]:
    """`6 x 50 dive. 1,3,5 fly, 2,4,6 free`: the odd ones and the even ones."""
    match = _BY_NUMBER.search(text)
    if match is None or _HEAD.match(text) is None:
        return text, []
    return f"{text[: match.start()].rstrip(' .,')}, odd {match['a']} / even {match['b']}{text[match.end() :]}", []


def partly(text: str) -> tuple[str, list[str]]:
    """`odds fast 15, evens build`: that many metres, the rest as usual."""
    head, match = _HEAD.match(text), _PARTLY.search(text)
    if head is None or match is None or not kind_of_work(match["work"]) or int(head["far"]) <= int(match["far"]):
        return text, []
    rest = int(head["far"]) - int(match["far"])
    said = f"{match['who']} {match['far']} {match['work']} / {rest} swim"
    return f"{text[: match.start()]}{said}{text[match.end() :]}", [f"{match['far']}.5 m"] if match["half"] else []


def broken(text: str) -> tuple[str, list[str]]:
    """`Broken 100 x 2: 50 + 25 + 25, 10" at walls`: its parts with a rest after each."""
    far = _ONE_FAR.search(text) if _BROKEN.search(text) else None
    if far is None:
        return text, []
    left = f"{text[: far.start()]} ; {text[far.end() :]}"
    whole, often = int(far["far"]), int(far["n"] or far["m"] or 1)
    if (added := _ADDED.search(left)) and sum(map(int, re.findall(r"\d+", added[0]))) == whole:
        parts, said = list(map(int, re.findall(r"\d+", added[0]))), added
    elif (many := _SO_MANY.search(left)) and int(many["k"]) * int(many["far"]) == whole:
        parts, said = [int(many["far"])] * int(many["k"]), many
    elif (at := _BROKEN_AT.search(left)) and whole % int(at["far"]) == 0 and int(at["far"]) < whole:
        parts, said = [int(at["far"])] * (whole // int(at["far"])), at
    else:
        return text, []
    left = f"{left[: said.start()]} ; {left[said.end() :]}"
    pause = _PAUSE.search(left)
    left = _BROKEN.sub(" ", f"{left[: pause.start()]} ; {left[pause.end() :]}") if pause else left
    if pause is None or re.search(r"\d", left):
        return text, []
    work = _work_in(left)
    more = " ".join(word for word in re.sub(r"[;:,.()]+", " ", left).split() if word not in work)
    note = f'"broken {whole}{", " if more else ""}{more}"'
    work = ["IM order" if word.casefold() == "im" and len(parts) == 4 else word for word in work]  # a stroke each
    how, rest = "".join(f" {word}" for word in work), f"rest {pause['s']} s"
    if len({*parts}) == 1:
        inside = f"{len(parts)} x {parts[0]}{how}, {rest} {note}"
    else:
        inside = " + ".join(f"{part}{how}, {rest}" for part in parts) + f" {note}"
    return f"{often} x ({inside})" if often > 1 or len({*parts}) > 1 else inside, []


def _work_in(words: str) -> list[str]:
    """The work that words name, with the nearest for a race's pace and for each swimmer's own stroke."""
    work = [word for word in re.findall(r"[^\W\d_][\w'’./-]*", words) if kind_of_work(word)]
    kinds = {kind_of_work(word) for word in work}
    if "EFFORT" not in kinds and re.search(r"\brace\s+pace\b", words, re.IGNORECASE):
        work.append("fast")
    if "STROKE" not in kinds and OWN_STROKE.search(words):
        work.append("choice")
    return work


def named_in_turn(text: str) -> tuple[str, list[str]]:
    """`4 x 25 scull: front, mid, feet first, choice`: each repeat has its own name."""
    match = _LISTED.fullmatch(text.rstrip(" .!"))
    names = [re.sub(r"^and\s+", "", name.strip()) for name in match["list"].split(",")] if match else []
    if match is None or not names or int(match["n"]) % len(names) or any(len(name.split()) > 3 for name in names):
        return text, []
    named = (match["work"] or "").casefold()[:5].rstrip("s")
    known = [bool(all_work(name) or SAYINGS.fullmatch(name)) for name in names]
    if not named and not any(known) or named == "kick" and not all(known):
        return text, []
    if not named and not any(SAYINGS.fullmatch(name) or kind_of_work(name) == "ACTIVITY" for name in names):
        return text, []
    said, behind = [_named(name, named) for name in names], f" {match['behind'].strip()}" if match["behind"] else ""
    turns = " / ".join(f"{at} {each}" for at, each in enumerate(said, 1))
    if int(match["n"]) == len(names):
        return f"{match['lead']}{match['n']} x {match['far']} repeats {turns}{behind}", []
    turns = " / ".join(f"1 {each}" for each in said)
    return f"{match['lead']}{match['n']} x {match['far']} in turn {turns}{behind}", []


def _named(name: str, named: str) -> str:
    if named in ("scull", "kick"):
        return f"{named} {name}"
    if all_work(name) or SAYINGS.fullmatch(name):
        return name if kind_of_work(name) == "ACTIVITY" or not named else f"{named} {name}"
    return f"drill {name}"


def times_all(text: str) -> tuple[str, list[str]]:
    """`sprint 25, easy 25, x 8`: all of it that many times; `200 as 50 free 50 back x 2`: the parts fill it."""
    fills = _FILLS.match(text)
    if fills and sum(map(int, re.findall(r"\d+", fills["parts"]))) * int(fills["n"]) == int(fills["far"]):
        return f"{fills['set']}{text[fills.end() :]}", []
    match = _TIMES_ALL.fullmatch(text)
    fars = list(map(int, re.findall(r"\d+", match["parts"]))) if match else []
    if match is None or min(fars) < LEAST_LENGTH or re.search(r"[x×(]", match["rest"]):
        return text, []
    parts = re.split(r"\s*[,+/]\s*", match["parts"].strip(" ,"))
    said = " + ".join(_far_first(part) for part in parts)
    return f"{match['n']} x ({said}){match['rest']}", []


def _far_first(part: str) -> str:
    """A distance in front of its words: `sprint 25` as `25 sprint`."""
    far = re.search(r"\d+", part)
    if far is None or not far.start():
        return part
    return f"{far[0]} {part[: far.start()].strip()}{part[far.end() :]}"


PARTS_SAID: tuple[Callable[[str], tuple[str, list[str]]], ...] = (
    broken,
    odds_and_evens,
    partly,
    named_in_turn,
    times_all,
)
