"""Reads what a line counts and nothing else: the last resort, so that an answer never loses metres.

`flarb 4 x 50 kick, flarb 10 x 100 on 1:30` is two sets whatever the other words mean. Each set keeps the work, the
interval and the rest right after it; all other words become the note.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from pacer.plan.regex import regex
from pacer.plan.words.countedwords import counted, likely_swum
from pacer.plan.words.vocabulary import LINE_WORDS

Reads = Callable[[str], bool]

_SET = regex(
    r"(?<![\w.:/+-])(?<!\bas\s)(?<!\bor\s)(?<!\bof\s)(?<!=\s)(?<!\bthan\s)(?<!\bincl\s)(?<!\bincluding\s)"
    r"(?P<n>\d{1,3})\s*[x×*]\s*(?P<far>\d{2,4})(?:\s?m\b|['’]?s\b)?(?![\d.:%])",
    re.IGNORECASE,
)
_ONCE = regex(
    r"(?<![\w.:/+-])(?P<far>25|50|75|[1-9]\d?(?:00|25|50|75))(?:\s?m\b)?(?=[kpds]\b|(?!\w))(?![.:%]|\s*(?:[x×*]|secs?\b|mins?\b))",
    re.IGNORECASE,
)
#: Details of a set in a bracket: what they count is part of it.
_ASIDE = regex(r"(?<![x×*])(?<![x×*]\s)\([^()]*\)")
_PARTS = regex(r"\s*[,+;]\s*|\s+/\s+|\s+then\s+", re.IGNORECASE)
#: Words of a bracket whose distances are parts of one swim.
_SHARED = regex(r"\b(?:as|by|first|last|mid\w*|each|of|no|not|or)\b", re.IGNORECASE)
_QUOTED = regex(r"(?m:^\s*#.*)|\"[^\"]*\"|“[^“”]*”")
_ROUNDS = regex(
    r"(?P<lead>[^\d]*)(?P<n>\d{1,2})\s*[x×]\s*[({\[](?P<inner>[^(){}\[\]]+)[)}\]](?P<tail>.*)", re.IGNORECASE
)
_CLOCK = r"(?:\d{1,2}[:.][0-5]\d|:[0-5]\d)"
_SECONDS = r"(?:s|secs?|seconds?|mins?|minutes?|''|\")"
_INTERVAL = regex(
    rf"(?:@|\b(?:on|off|every|leaving)\b)\s*(?:the\s+)?(?P<time>{_CLOCK}|\d{{2,3}})(?![\w:./])", re.IGNORECASE
)
_REST = regex(
    rf"(?:(?:\b(?:rest|ri?)|\+)\s*:?(?P<a>{_CLOCK}|\d{{1,3}}\s*{_SECONDS}?)|(?P<b>{_CLOCK}|\d{{1,3}}\s*{_SECONDS})\s*(?:rest|ri?)?)(?![\w:./])",
    re.IGNORECASE,
)
_ENDS = " ,;:-–—/.!+&"
_KINDS = ("ACTIVITY", "STROKE", "EFFORT")


def counted_metres(text: str) -> int:
    """The distance of the sets that a text counts outside its notes, each count times its distance.

    >>> counted_metres('flarb 4 x 50 kick, flarb 10 x 100 on 1:30 "2 x 200"')
    1200
    """
    text = _QUOTED.sub(" ", text)
    rounds = _ROUNDS.search(text)
    if rounds and _ROUNDS.search(rounds["tail"]):
        return 0
    if rounds:
        inner = rounds["inner"]
        inside = _sum(inner) or (0 if _SHARED.search(inner) else sum(map(_far_of, _PARTS.split(inner.strip()))))
        return _sum(rounds["lead"]) + int(rounds["n"]) * inside + _sum(rounds["tail"])
    return _sum(text)


def _sum(text: str) -> int:
    first = _SET.search(text)
    if first is None:
        return 0
    behind = _ASIDE.sub(" ", text[first.end() :])
    return sum(int(each["n"]) * int(each["far"]) for each in (first, *_SET.finditer(behind)))


def _far_of(part: str) -> int:
    far = _ONCE.match(part)
    return int(far["far"]) if far else 0


def least_metres(text: str) -> int:
    """The least that a line can be meant to swim: its counted sets, or else its one distance if it is likely swum."""
    if metres := counted_metres(text):
        return metres
    bare = _QUOTED.sub(" ", text)
    match = counted(bare) if likely_swum(bare) else None
    far = _ONCE.match(bare, match.start()) if match else None
    return int(far["far"]) if far else 0


def plainly(text: str, reads: Reads) -> str:
    """The sets that a line counts, in order, with its other words as their note; "" if it counts none.

    `reads` says whether a text can be read as a line.
    """
    said = [quote.strip('"“”# ') for quote in _QUOTED.findall(text)]
    text = _QUOTED.sub(" ", text)
    rounds = _ROUNDS.fullmatch(text.strip())
    if rounds and not _SET.search(rounds["lead"]):
        parts = [_sets(part, reads) for part in _PARTS.split(rounds["inner"].strip())]
        inner = " + ".join(each for sets, _ in parts for each in sets)
        inside = [rounds["lead"], *(note for _, notes in parts for note in notes)]
        tail, left = _details(rounds["tail"])
        ways = [(f" + {tail}", left)] if tail.startswith("rest") else []
        for behind, words in [*ways, ("", rounds["tail"])] if inner else ():
            note = _note([*inside, words, *said])
            made = f"{rounds['n']} x ({inner}{note}{behind})"
            if reads(made):
                return made
        return ""
    sets, notes = _sets(text, reads)
    note = _note([*notes, *said])
    return next((made for joint in (", ", " + ") if sets and reads(made := joint.join(sets) + note)), "")


def _note(words: list[str]) -> str:
    """The note that some words make."""
    note = ", ".join(dict.fromkeys(each for each in map(_tidied, words) if each))
    return f' "{note}"' if note else ""


def _sets(text: str, reads: Reads) -> tuple[list[str], list[str]]:
    """The sets of a text, and the words that are none of them."""
    found = [*_SET.finditer(text)] or [*_ONCE.finditer(text)][:1]
    starts = [*(match.start() for match in found), len(text)]
    sets, notes = [], [text[: starts[0]]]
    for match, end in zip(found, starts[1:]):
        head = f"{match['n']} x {match['far']}" if "n" in match.re.groupindex else match["far"]
        behind = text[match.end() : end]
        work, words = _work(behind)
        times, left = _details(words)
        worked, timed = f"{head} {work}".strip(), f", {times}" if times else ""
        ways = [(worked + timed, left), (worked, words), (head + timed, f"{work} {left}"), (head, behind)]
        made, note = next((way for way in ways if reads(way[0])), ("", ""))
        if not made:
            return [], []
        sets.append(made)
        notes.append(note)
    return sets, notes


def _work(words: str) -> tuple[str, str]:
    """The stroke, activity and effort at the beginning of some words, each at most once, and the words after them."""
    found: dict[str, str] = {}
    left = words
    while word := re.match(r"\s*([^\W\d_][\w/.]*?)(?=[\s,;.)]|$)", left):
        kind = LINE_WORDS.get(word[1].casefold(), ("",))[0]
        if kind not in _KINDS or kind in found:
            break
        found[kind] = word[1]
        left = left[word.end() :]
    return " ".join(found.values()), left


def _details(words: str) -> tuple[str, str]:
    """The interval or rest that some words have, and the words without it."""
    for pattern, value in ((_INTERVAL, "on"), (_REST, "rest")):
        if match := pattern.search(words):
            time = next(each for each in match.groups() if each)
            time = f"{time} s" if time.isdigit() and value == "rest" else time
            return f"{value} {time}", f"{words[: match.start()]},{words[match.end() :]}"
    return "", words


def _tidied(words: str) -> str:
    words = re.sub(r"[()\[\]{}\"“”]", " ", words)
    parts = (part.strip(_ENDS) for part in re.split(r"\s*,\s*", " ".join(words.split())))
    return ", ".join(part for part in parts if part)
