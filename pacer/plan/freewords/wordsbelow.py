"""Words below a set that change it, or say that it is swum again in another way."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from pacer.plan.freewords.grouptimes import clock
from pacer.plan.freewords.notedline import solved
from pacer.plan.model import Activity, Break, ByLane, Effort, FixedInterval, Group, Item, SetLine, Stroke, Work
from pacer.plan.notation.workmeaning import joined
from pacer.plan.regex import regex
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.standardform import item_rows
from pacer.plan.times import ms_from_text
from pacer.plan.words.vocabulary import GEAR_WORDS, LINE_WORDS, key_of

_SAME = regex(
    r"(?:and\s+)?(?:(?:the\s+)?same|repeat|again|ditto|as\s+above|do\s+(?:it|that|this)\s+again)\b"
    r"(?:\s+(?:again|set|thing|as\s+(?:above|before)|the\s+above|above|that|it|but))*\s*[,:–-]*\s*",
    re.IGNORECASE,
)
#: Words about some lanes, about some rounds, or about another set.
_SOME = regex(r"\b(?:R\d|L\d|lanes?|ln|rounds?|rds?|groups?|again|instead|same)\b", re.IGNORECASE)
_CUT = regex(r"\s*[,;]\s+|\s+(?:but|and|then)\s+|\s{2,}|\s+(?=(?:with|w/|on|off|rest|x\s?\d)\b)", re.IGNORECASE)
_GEAR = "|".join(sorted(map(re.escape, GEAR_WORDS), key=len, reverse=True))
_WITH = regex(rf"(?:with|w/|in|add|using|wearing)?\s*(?:the\s+)?({_GEAR})(?:\s+on)?", re.IGNORECASE)
_WITHOUT = regex(rf"(?:no|without|w/o|minus)\s+(?:the\s+)?({_GEAR})", re.IGNORECASE)
_LEFT_OUT = regex(r"(?:skip|no|without|miss|leave\s+out)\s+(?:the\s+)?([^\W\d_]+)", re.IGNORECASE)
_TIMES = regex(
    r"(?:only\s+|just\s+)?(?:[x×]\s?(\d{1,2})|(\d{1,2})\s?(?:[x×]|times|rounds?|rds?)|(once)|(twice))(?:\s+only)?",
    re.IGNORECASE,
)
_CLOCK = r"(?:\d{1,2}[:.][0-5]\d|:[0-5]\d|\d{2})"
_ON = regex(rf"(?:on|off|@|every)\s*({_CLOCK})", re.IGNORECASE)
_REST = regex(rf"(?:rest|r|ri)\s*:?\s*({_CLOCK})", re.IGNORECASE)
_ALL = regex(r"(?:all|as|now)\s+", re.IGNORECASE)


def changed(line: str, words: str, pool: str, live: LivePage) -> str:
    """A set with the words below it that change how it is swum; "" if they do not.

    >>> changed("8 x 50 free, on 1:00", "stroke on the evens", "pool: 25 m", LivePage())
    '8 x 50 odd free / even choice "stroke", on 1:00'
    """
    said = words.strip(" .!*-")
    if _SOME.search(said):
        return ""
    before = _only(line, pool, live)
    made = solved(f"{line.strip()}, {said}", pool, live) or f"{line.strip()}, {said}"
    after = _only(made, pool, live)
    if before is None or after is None or bare(before) == bare(after):
        return ""
    kept = {*re.findall(r"\w+", said.casefold())}
    if re.search(r"\d", joined([after.cue])) and any(
        word.isdigit() for word in kept & {*re.findall(r"\d+", after.cue)}
    ):
        return ""
    return "\n".join(item_rows(replace(after, span=None), ""))


def _only(line: str, pool: str, live: LivePage) -> SetLine | None:
    reading = live.would([pool, f"  {line.strip()}"])
    items = reading.plan.sections[0].items if reading.whole and reading.plan and reading.plan.sections else ()
    return items[0] if len(items) == 1 and isinstance(items[0], SetLine) else None


def bare(line: SetLine) -> SetLine:
    parts = tuple(
        replace(part, segments=tuple(replace(segment, cue="") for segment in part.segments))
        for part in line.pattern.parts
    )
    return replace(line, cue="", pattern=replace(line.pattern, parts=parts))


def again(rows: Sequence[str], words: str, pool: str, live: LivePage) -> list[str]:
    """What is swum if words below the last set or rounds of `rows` say that it is the same again; [] if they do not.

    >>> again(["  4 x 50 kick, on 1:10"], "same w/ fins", "pool: 25 m", LivePage())
    ['  4 x 50 kick, on 1:10, with fins']
    """
    lead = _SAME.match(words.strip())
    reading = live.would([pool, *rows]) if lead else None
    if lead is None or reading is None or not reading.whole or reading.plan is None or not reading.plan.sections:
        return []
    items: tuple[Item, ...] = tuple(item for item in reading.plan.sections[-1].items if not isinstance(item, Break))[
        -1:
    ]
    notes: list[str] = []
    clear = re.search(r"again|repeat|ditto|above", lead[0], re.IGNORECASE) or not words.strip()[lead.end() :]
    for piece in _CUT.split(words.strip()[lead.end() :]):
        said = piece.strip(" .!()")
        if said and (made := changed_by(items, said)) is not None:
            items, clear = made, lead
        elif said:
            notes.append(said)
    if not clear:  # same number of kicks every time
        return []
    if notes and items:
        items = (*items[:-1], _cued(items[-1], ", ".join(notes)))
    return [row for item in items for row in item_rows(item, "  ")]


def changed_by(items: tuple[Item, ...], said: str) -> tuple[Item, ...] | None:
    """The items as some words say; None if the words say something else."""
    if match := _WITHOUT.fullmatch(said):
        gear = GEAR_WORDS[key_of(match[1])]
        had = any(gear in each.gear for each in sets_in(items))
        return _each(items, lambda each: replace(each, gear=tuple(g for g in each.gear if g != gear))) if had else None
    if match := _WITH.fullmatch(said):
        gear = GEAR_WORDS[key_of(match[1])]
        return _each(items, lambda each: replace(each, gear=tuple(dict.fromkeys([*each.gear, gear]))))
    if match := _TIMES.fullmatch(said):
        count = 1 if match[3] else 2 if match[4] else int(match[1] or match[2])
        return _times(items, count)
    if match := _ON.fullmatch(said):
        interval = ByLane(((FixedInterval(ms_from_text(clock(match[1]))),),))
        return _each(items, lambda each: replace(each, interval=interval, rest_ms=None))
    if match := _REST.fullmatch(said):
        rest = ByLane((ms_from_text(clock(match[1])),))
        return _each(items, lambda each: replace(each, rest_ms=rest, interval=None))
    type_, value = LINE_WORDS.get(key_of(_ALL.sub("", said)), ("", None))
    if type_ in ("ACTIVITY", "STROKE", "EFFORT"):
        return _each(items, lambda each: _swum(each, value))
    if match := _LEFT_OUT.fullmatch(said):
        type_, value = LINE_WORDS.get(key_of(match[1]), ("", None))
        if type_ == "ACTIVITY" and any(_activity(each) is value for each in sets_in(items)):
            return _without(items, value)
    return None


def rows_again(items: Iterable[Item], pool: str, live: LivePage, indent: str) -> list[str]:
    """Items as lines of the plan; [] if they cannot be read again."""
    rows = [row for each in items for row in item_rows(each, indent)]
    return rows if rows and not live.would([pool, *rows]).problems else []


def sets_in(items: Sequence[Item]) -> Iterator[SetLine]:
    """The sets among items, those in rounds too."""
    for item in items:
        if isinstance(item, Group):
            yield from sets_in(item.items)
        elif isinstance(item, SetLine):
            yield item


def _each(items: tuple[Item, ...], change) -> tuple[Item, ...]:
    return tuple(
        replace(item, items=_each(item.items, change))
        if isinstance(item, Group)
        else change(item)
        if isinstance(item, SetLine)
        else item
        for item in items
    )


def _times(items: tuple[Item, ...], count: int) -> tuple[Item, ...]:
    """The items that many times: instead of the rounds that they had, or in rounds of their own."""
    if len(items) == 1 and isinstance(items[0], Group):
        return items[0].items if count == 1 else (replace(items[0], rounds=ByLane((count,))),)
    return items if count == 1 else (Group(ByLane((count,)), items),)


def _swum(line: SetLine, value: object) -> SetLine:
    """A set with another activity, stroke or effort, if all of it is the same work; otherwise as it is."""
    segments = line.pattern.parts[0].segments
    if len(line.pattern.parts) != 1 or len(segments) != 1:
        return line
    work = segments[0].work
    if isinstance(value, Activity):
        stroke = Stroke.FREE if value is Activity.SWIM else None
        work = Work(value, stroke, work.effort)
    elif isinstance(value, Stroke):
        work = replace(work, stroke=value)
    elif isinstance(value, Effort):
        work = replace(work, effort=value)
    part = replace(line.pattern.parts[0], segments=(replace(segments[0], work=work),))
    return replace(line, pattern=replace(line.pattern, parts=(part,)))


def _activity(line: SetLine) -> Activity:
    return line.pattern.parts[0].segments[0].work.activity


def _without(items: tuple[Item, ...], value: object) -> tuple[Item, ...]:
    kept: list[Item] = []
    for item in items:
        if isinstance(item, Group):
            if inner := _without(item.items, value):
                kept.append(replace(item, items=inner))
        elif not (isinstance(item, SetLine) and _activity(item) is value):
            kept.append(item)
    return tuple(kept)


def _cued(item: Item, words: str) -> Item:
    if isinstance(item, Group):
        return replace(item, items=(*item.items[:-1], _cued(item.items[-1], words)))
    return replace(item, cue=joined([each for each in (item.cue, words) if each]))
