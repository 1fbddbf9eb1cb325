"""Reads each term of a line by itself: what else is wrong with a line whose reading stopped at its first mistake.

The terms of a set line are its set and its details; those of a section's line are its name and its details. Each is
read alone, so that a mistake in one says nothing about another. A term with a known mistake is not read again, except
after a misspelt word whose meaning is clear. A line that cannot be cut with certainty, because a bracket or a quote is
open, is not cut: a mistake reported late does less harm than a false one.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import pairwise

from pacer.plan.cutting.linecutter import tokens_of
from pacer.plan.cutting.ordermistakes import Misspelt, Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.cutting.wordreader import opens_detail
from pacer.plan.model import Section
from pacer.plan.notation.linemeaning import LineMeaning
from pacer.plan.notation.linevalues import trees_in
from pacer.plan.notation.parser import tree_of
from pacer.plan.notation.sectionmeaning import SectionMeaning
from pacer.plan.regex import regex
from pacer.plan.words.ownwords import OwnWords
from pacer.plan.words.vocabulary import DETAILS, GEAR_WORDS, LINE_WORDS

_MARKS = regex(
    rf"""(?P<cue>"[^"]*"|[“„”][^“”]*[“”])|(?P<open>[(\[{{])|(?P<close>[)\]}}])|(?P<comma>,)\s*|(?P<slash>/)
    |(?<!\S)(?P<word>{"|".join(word for word in DETAILS if word != "by")})(?![\w'’-])""",
    re.VERBOSE | re.IGNORECASE,
)
_OPENING = regex(rf"(?:{'|'.join(word for word in DETAILS if word != 'by')})\b", re.IGNORECASE)
_BODY = regex(r"\b(?:as|odd|in\s+turn|repeats?)\b|\(", re.IGNORECASE)
_BETWEEN_WORDS = regex(r"[\s,/+()]")
_WORK = ("ACTIVITY", "STROKE", "EFFORT", "NAME", "CUE")


def further_mistakes(code: str, start: int, own: OwnWords, known: Sequence[Mistake]) -> list[Mistake]:
    """What else is wrong with a set line that begins at `start`, besides the `known` mistakes."""
    words = tuple(word.casefold() for word in (*GEAR_WORDS, *own.gear))
    cuts = _cuts(code, start, words)
    if cuts is None or cuts and not code[start : cuts[0]].strip():  # `rest 1:00` alone is a break
        return []
    found = list(known)
    bounds = [start, *cuts, len(code.rstrip())]
    for place, (first, last) in enumerate(pairwise(bounds)):
        text, read = code[:last], partial(_of_detail if place else _of_line, start=first, own=own)
        stops = read(text)
        more = _behind(text, read, stops) or (() if place else _of_segments(text, first, own))
        found += _apart([*stops, *more], found)
    return found[len(known) :]


def one_a_word(code: str, mistakes: Sequence[Mistake]) -> list[Mistake]:
    """The mistakes of a line, only the first in each word (`0:1r`): correcting it may remove the others."""
    kept: list[Mistake] = []
    for mistake in sorted(mistakes, key=lambda mistake: mistake.start):
        if not kept or _BETWEEN_WORDS.search(code, kept[-1].end, mistake.start):
            kept.append(mistake)
    return kept


def further_in_section(code: str, at: int, number: int, known: Sequence[Mistake], own: OwnWords) -> list[Mistake]:
    """What else is wrong with the details after a section's name, which ends at `at`."""
    commas = [match.start() for match in _MARKS.finditer(code, at) if match["comma"]]
    found = list(known)
    if not _balanced(code[at:]):
        return []
    for first, last in zip(commas, [*commas[1:], len(code.rstrip())]):
        if any(first <= mistake.start < last or mistake.start < first < mistake.end for mistake in found):
            continue
        tokens, mistakes = tokens_of(code[:last], first, own, section=True)
        found += mistakes or _of_section(tokens, last, number)
    return found[len(known) :]


def _cuts(code: str, start: int, gear: tuple[str, ...]) -> list[int] | None:
    """The places where the details of a line begin, outside cues and brackets; None if that is not certain."""
    if not _balanced(code[start:]):
        return None
    depth, cuts, taken = 0, [], -1
    for match in _MARKS.finditer(code, start):
        depth += bool(match["open"]) - bool(match["close"])
        if depth:
            continue
        if match["comma"] and _OPENING.match(code, match.end()):
            cuts.append(match.start())
            taken = match.end()
        elif (
            match["word"]
            and match.start() != taken
            and opens_detail(LINE_WORDS[match["word"].casefold()][0], code, match.end(), gear)
        ):
            cuts.append(match.start())
    return cuts


def _balanced(text: str) -> bool:
    """Whether every bracket and every quote in a text is closed."""
    depth = 0
    for match in re.finditer(r'"[^"]*"|[“„”][^“”]*[“”]|[("“„”)]', text):
        if len(match[0]) == 1:
            depth += 1 if match[0] in "([{" else -1 if match[0] in ")]}" else 99
        if not 0 <= depth < 99:
            return False
    return depth == 0


def _apart(mistakes: Iterable[Mistake], found: Sequence[Mistake]) -> list[Mistake]:
    """The mistakes at places where nothing is found yet."""
    return [one for one in mistakes if not any(one.start < other.end and other.start < one.end for other in found)]


def _wrong(read: Callable[[], object], meaning: LineMeaning | SectionMeaning) -> list[Mistake]:
    """What a reading finds wrong: the mistake that stops it, or all that it notes."""
    try:
        read()
    except Mistake as mistake:
        return [mistake]
    return meaning.mistakes


def _of_line(text: str, start: int, own: OwnWords) -> list[Mistake]:
    """What is wrong with a set without its details."""
    tokens, mistakes = tokens_of(text, start, own)
    return mistakes or _of_work(tokens, len(text), own)


def _of_work(tokens: list[Token], end: int, own: OwnWords) -> list[Mistake]:
    meaning = LineMeaning(1, own)
    return _wrong(lambda: meaning.items(tree_of(tokens, end)), meaning)


def _of_section(tokens: list[Token], end: int, number: int) -> list[Mistake]:
    meaning = SectionMeaning(number)
    return _wrong(lambda: meaning.section(Section("", ()), tree_of(tokens, end, "section")), meaning)


def _of_detail(text: str, start: int, own: OwnWords) -> list[Mistake]:
    """What is wrong with one detail, whatever line it belongs to."""
    tokens, mistakes = tokens_of(text, start, own)
    meaning = LineMeaning(1, own)

    def read() -> None:
        tree = tree_of([_some_distance(start), *tokens], len(text))
        meaning.details(trees_in(trees_in(tree)[0]), False)

    return mistakes or _wrong(read, meaning)


def _of_segments(text: str, start: int, own: OwnWords) -> Iterator[Mistake]:
    """What is wrong with the work of single segments, if the line has any."""
    body = _BODY.search(text, start)
    if body is None:
        return
    slashes = [match.start() for match in _MARKS.finditer(text, body.end()) if match["slash"]]
    for first, last in zip([body.start(), *slashes], [*slashes, len(text)]):
        tokens, mistakes = tokens_of(text[:last], first, own)
        work = [token for token in tokens if token.type in _WORK]
        if mistakes:
            yield from mistakes
        elif work and not any(token.type == "_PLUS" for token in tokens):
            yield from _of_work([_some_distance(first), *work], last, own)


def _behind(text: str, read: Callable[[str], list[Mistake]], stops: Sequence[Mistake]) -> list[Mistake]:
    """The further misspelt words of a term, if the term can be read once each is replaced by its clear meaning."""
    found, moved = list(stops[:1]), 0
    while found and isinstance(wrong := found[-1], Misspelt):
        start, end = wrong.start + moved, wrong.end + moved
        text = text[:start] + wrong.meant + text[end:]
        moved += len(wrong.meant) - (end - start)
        later = min(read(text), key=lambda mistake: mistake.start, default=None)
        if later is None:
            return found[1:]
        if later.start < start + len(wrong.meant):
            break
        found.append(
            later.earlier(moved)
            if isinstance(later, Misspelt)
            else Mistake(later.start - moved, later.end - moved, later.message, later.hint)
        )
    return []


def _some_distance(at: int) -> Token:
    return Token("NUMBER", "100", 100, at, at)
