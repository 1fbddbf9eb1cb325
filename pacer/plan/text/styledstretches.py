"""Cut a line of the page into stretches by their kind, to style the page while the coach types."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from pacer.plan.cutting.linecutter import tokens_of
from pacer.plan.cutting.token import Token
from pacer.plan.notation.pagelines import KEY, row_of
from pacer.plan.regex import regex
from pacer.plan.text.livepage import COMMENT, CUE, HEADER, LINE, SECTION
from pacer.plan.words.ownwords import NO_WORDS, OwnWords, own_words

_NAME = regex(r"[^,\"“„”]*")
_WORK = {"ACTIVITY", "STROKE", "EFFORT"}
_MARKS = {"_SLASH", "_COMMA", "_NEXT", "_COLON", "_DASH", "_PLUS", "_LEFT", "_RIGHT", "_X"}
#: Words before a time, and what may be among its values: a number there is seconds.
_TIMED = {"ON", "REST", "HOLD", "APART"}
_VALUES = {"NUMBER", "TIME", "BASE", "LABEL", "PER_100", "_SLASH", "_THEN"}


class Stretch(NamedTuple):
    """Columns `start` to `end` (from 0) of a line, and what they hold.

    `kind`: section, key, value, number, time, work, detail, group, cue, comment, mark; plain if it is none of them.
    """

    start: int
    end: int
    kind: str


@lru_cache(4096)
def stretches(source: str, what: str, at: int = 0, own: OwnWords | tuple[str, ...] = NO_WORDS) -> tuple[Stretch, ...]:
    """The stretches of a line, which together cover all of it.

    `what` is the line's kind as `livepage` found it, `at` the column at which its set begins.

    >>> [each.kind for each in stretches("  4 x 100, on 1:40", "line") if each.kind != "plain"]
    ['number', 'mark', 'number', 'mark', 'detail', 'time']
    """
    row = row_of(1, source, what == HEADER)
    found: list[Stretch] = []
    if what == HEADER and (match := KEY.match(row.code, row.start)):
        found.append(Stretch(row.start, match.end(1) + row.code[match.end(1) :].index(":") + 1, "key"))
        found.append(Stretch(match.end(), len(row.code), "value"))
    elif what == SECTION:
        match = _NAME.match(row.code)
        name = match[0] if match else ""
        found.append(Stretch(0, len(name), "section"))
        found += _of_tokens(tokens_of(row.code, len(name), own_words(own), section=True)[0])
    elif what == LINE:
        start = max(at, row.start)
        if start > row.start:
            found.append(Stretch(row.start, len(row.code[:start].rstrip()), "group"))
        found += _of_tokens(tokens_of(row.code, start, own_words(own))[0])
    elif what == CUE:
        found += _of_tokens(tokens_of(row.code, row.start)[0])
    if row.comment is not None:
        found.append(Stretch(len(row.code), len(source), "comment"))
    elif what == COMMENT:
        found = [Stretch(0, len(source), "comment")]
    return tuple(_filled(found, len(source)))


def _of_tokens(tokens: list[Token]) -> list[Stretch]:
    made: list[Stretch] = []
    in_gear = timed = False
    for token in sorted((token for token in tokens if token.end > token.start), key=lambda token: token.start):
        kind = _kind(token.type)
        timed = token.type in _TIMED or timed and token.type in _VALUES
        if timed and kind == "number":
            kind = "time"
        if token.type in ("WITH", "_AND", "GEAR"):
            in_gear = True
        elif kind in ("mark", "detail", "cue"):
            in_gear = False
        if made and made[-1].start == token.start:
            continue
        made.append(Stretch(token.start, token.end, "detail" if in_gear else kind))
    return made


def _kind(type_: str) -> str:
    if type_ in ("NUMBER", "TIME", "CUE"):
        return type_.lower()
    if type_ in _WORK or type_ == "NAME":
        return "work"
    if type_ == "NOTE":
        return "cue"
    if type_ == "RANGE":
        return "number"
    return "group" if type_ == "LABEL" else "mark" if type_ in _MARKS else "detail"


def _filled(found: list[Stretch], length: int) -> list[Stretch]:
    """The stretches, with the gaps between them filled by plain ones."""
    made, at = [], 0
    for stretch in found:
        if stretch.start > at:
            made.append(Stretch(at, stretch.start, "plain"))
        if stretch.end > stretch.start:
            made.append(stretch)
        at = max(at, stretch.end)
    if at < length:
        made.append(Stretch(at, length, "plain"))
    return made
