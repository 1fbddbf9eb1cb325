"""Repeats by their number: `1st kick, 2nd pull`, `no. 1 easy, no. 5 flat out`, `1st and last kick, rest pull`."""

from __future__ import annotations

import re
from itertools import groupby

from pacer.plan.regex import regex
from pacer.plan.words.sayings import SAYINGS
from pacer.plan.words.vocabulary import LINE_WORDS

_HEAD = regex(r"(?P<n>\d{1,2})\s*[x×]\s*(?P<far>\d{2,4})(?:\s?m\b)?(?!\d|[.:]\d)", re.IGNORECASE)
_WORDS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6}
_ONE = (
    rf"(?:(?:\#|nos?\.?|numbers?|reps?)\s?\d{{1,2}}|\d{{1,2}}(?:st|nd|rd|th)|{'|'.join(_WORDS)}|last|final)(?![\w'’])"
)
_WORD = r"(?!on\s*:?\d|off\s*:?\d|rest\b|and\b|then\b)[^\W\d_](?:[^\W\d_]|['’-](?=[^\W\d_]))*"
_ITEM = regex(
    rf"(?:the\s+)?(?P<which>{_ONE}(?:\s*(?:,|&|\+|and)\s*(?:\#|no\.?)?\s?(?:{_ONE}|\d{{1,2}}(?![\w:])))*)(?:\s+(?:one|ones|rep|repeat|swim))?\s*(?:[=:–-]|is\b|are\b|as\b)?\s*"
    rf"(?!lengths?\b|half\b|laps?\b|rounds?\b|rds?\b|sets?\b|times?\b|lanes?\b|groups?\b|strokes?\s+(?:of|per)\b)(?P<work>{_WORD}(?:\s+{_WORD}){{0,3}})",
    re.IGNORECASE,
)
_OTHERS = regex(
    rf"(?:the\s+|all\s+)?(?:rest|others?|remaining|remainder|middle(?:\s+ones?)?)\s+(?:are\s+|is\s+|all\s+)?(?P<work>{_WORD}(?:\s+{_WORD})?)",
    re.IGNORECASE,
)
#: `25 R 25 L`, `25 right arm / 25 left arm`: sides, for the swimmers.
_SIDE = r"\d{2,3}\s?m?\s*(?:right|left|R|L)(?:\s+(?:arms?|hand|side|leg|only))*(?!\w)"
_SIDES = regex(rf"[\s:,(–-]*(?P<sides>{_SIDE}\s*(?:[,/+&]|and|then)?\s*{_SIDE})\s*\)?", re.IGNORECASE)
_STROKE = r"(?:free(?:style)?|fr|front\s*crawl|fc|fs|back(?:stroke)?|bk|breast(?:stroke)?|brs?|(?:butter)?fly|fl)"
#: `200 easy, mostly back`
_MOSTLY = regex(
    rf"[\s,]*\b(?P<all>(?:mostly|mainly|largely|preferably|ideally|pref)\s+(?P<stroke>{_STROKE}))(?![\w'’-])",
    re.IGNORECASE,
)
_JOINT = regex(r"\s*(?:[,;/.&+]|\band\b|\bthen\b)?\s*", re.IGNORECASE)


def in_ordinals(text: str) -> tuple[str, list[str]]:
    """A set whose repeats are said by their numbers, as ranges of repeats.

    >>> in_ordinals("3 x 200, 1st easy, 2nd steady, 3rd fast on 3:30")[0]
    '3 x 200 repeats 1 easy / 2 steady / 3 fast, on 3:30'
    """
    head = _HEAD.match(text)
    first = _ITEM.search(text, head.end()) if head else None
    if head is None or first is None:
        return text, []
    count, at, others = int(head["n"]), first.start(), ""
    said: dict[int, str] = {}
    items = 0
    while match := _ITEM.match(text, at):
        numbers = [_number(each, count) for each in re.findall(rf"{_ONE}|\d{{1,2}}", match["which"], re.IGNORECASE)]
        if not all(0 < number <= count for number in numbers) or any(number in said for number in numbers):
            return text, []
        said.update(dict.fromkeys(numbers, _work(match["work"])))
        items, end = items + 1, match.end()
        at = _JOINT.match(text, end).end()  # type: ignore[union-attr]
    if other := _OTHERS.match(text, at):
        others, end = _work(other["work"]), other.end()
    if items + bool(others) < 2 or all(work.startswith("swim ") for work in said.values()):
        return text, []
    works = [said.get(number, others or "swim") for number in range(1, count + 1)]
    parts, number = [], 1
    for work, run in groupby(works):
        last = number + len(list(run)) - 1
        parts.append(f"{number}-{last} {work}" if last > number else f"{number} {work}")
        number = last + 1
    between, behind = (each.strip(" ,;:.(–-") for each in (text[head.end() : first.start()], text[end:].lstrip(")")))
    return ", ".join(each for each in (f"{head[0]} repeats {' / '.join(parts)}", between, behind) if each), []


def _number(said: str, count: int) -> int:
    """The number of a repeat, 0 if that is not clear."""
    digits = re.search(r"\d+", said)
    word = said.casefold()
    return int(digits[0]) if digits else count if word in ("last", "final") else _WORDS.get(word, 0)


def _work(words: str) -> str:
    """Words as the work of a repeat; those that are none in quotes."""
    if SAYINGS.fullmatch(words) or all(map(_known, words.split())):
        return words
    known, left = [], words.split()
    while left and _known(left[0]):
        known.append(left.pop(0))
    for size in range(len(words.split()), 1, -1):  # flat out
        ahead = " ".join(words.split()[:size])
        if _known(ahead):
            known, left = [ahead], words.split()[size:]
            break
    return f'{" ".join(known) or "swim"} "{" ".join(left)}"' if left else " ".join(known)


def _known(word: str) -> bool:
    return LINE_WORDS.get(word.casefold(), ("",))[0] in ("ACTIVITY", "STROKE", "EFFORT")


def in_sides(text: str) -> tuple[str, list[str]]:
    """`single arm: 25 R 25 L`: the sides are for the swimmers."""
    match = _SIDES.search(text)
    if match is None or not match.start():
        return text, []
    behind = text[match.end() :].strip(" ,")
    return text[: match.start()] + (f", {behind}" if behind else ""), [" ".join(match["sides"].split())]


def mostly(text: str) -> tuple[str, list[str]]:
    """`200 easy, mostly back`"""
    match = _MOSTLY.search(text)
    head = re.match(r"(?:\d{1,2}\s*[x×]\s*)?\d{2,4}\s?m?(?:\s+|$)", text)
    if (
        match is None
        or head is None
        or any(
            LINE_WORDS.get(word.casefold(), ("",))[0] == "STROKE"
            for word in re.findall(r"[^\W\d_]+", text[: match.start()])
        )
    ):
        return text, []
    return f"{head[0].strip()} {match['stroke']} {text[head.end() : match.start()]}{text[match.end() :]}", [
        match["all"]
    ]
