"""What a set asks of each lane, as the rows of a table whose columns are the lanes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.model import Group, Item, SetLine
from pacer.plan.times import text_from_ms, whole_down, whole_up
from pacer.timeline.laneline import LaneLine
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Pass

NOBODY = "–"  #: for a lane that does not swim the set


class LaneRow(NamedTuple):
    """A row: its heading, and one value for each lane."""

    head: str
    values: tuple[str, ...]


def passes_of(timeline: Timeline, section: int, number: int) -> tuple[tuple[Pass, ...], ...]:
    """For each lane its passes through a set of a section, in order."""
    return tuple(
        tuple(one for one in track.passes if one.section == section and one.laneline.number == number)
        for track in timeline.tracks
    )


def set_rows(passes: Sequence[tuple[Pass, ...]]) -> list[LaneRow]:
    """When each lane first leaves on a set, its repeats in a round, its interval, its leader's time and rest."""

    def values(said: Callable[[tuple[Pass, ...]], str]) -> tuple[str, ...]:
        return tuple(said(mine) if mine else NOBODY for mine in passes)

    rows = [
        LaneRow(tr("first leaves"), values(lambda mine: whole_down(mine[0].start_ms))),
        LaneRow(tr("repeats"), values(_repeats)),
        LaneRow(tr("every"), values(lambda mine: _every(mine[0].laneline))),
        LaneRow(tr("swims"), values(lambda mine: _span(_swims(mine[0].laneline), whole_up))),
        LaneRow(tr("rests"), values(lambda mine: _rests(mine[0].laneline))),
    ]
    return [one for one in rows if set(one.values) - ({NOBODY, ""} if one.head != "repeats" else {NOBODY, "1"})]


def _repeats(mine: tuple[Pass, ...]) -> str:
    """In one round; in each of them if they differ."""
    counts = [str(one.count) for one in mine]
    return counts[0] if len(set(counts)) == 1 else ", ".join(counts)


def _every(line: LaneLine) -> str:
    if line.own is not None:
        return tr("no rest") if line.count > 1 else ""
    return _span(line.intervals, text_from_ms) if line.count > 1 or line.line.interval is not None else ""


def _swims(line: LaneLine) -> list[int]:
    return [line.times(repeat, 0)[-1] for repeat in range(line.count)]


def _rests(line: LaneLine) -> str:
    if line.own is not None or (line.count < 2 and line.line.interval is None):
        return ""
    rests = [interval - swum for interval, swum in zip(line.intervals, _swims(line))]
    if min(rests) < 0:
        return tr("{rests} late", rests=whole_up(-min(rests)))
    return _span(rests, whole_down)


def _span(values: Iterable[int], text: Callable[[int], str]) -> str:
    """One value; or first to last, if they only rise or only fall; or least to greatest."""
    found = list(values)
    ordered = found if found == sorted(found) or found == sorted(found, reverse=True) else sorted(found)
    first, last = text(ordered[0]), text(ordered[-1])
    return first if first == last else f"{first}–{last}"


def numbered_items(items: Sequence[Item]) -> Iterator[tuple[int, int, Item]]:
    """Every item with how many rounds it is inside, and a set's number in its section."""
    number = 0

    def inside(items: Sequence[Item], depth: int) -> Iterator[tuple[int, int, Item]]:
        nonlocal number
        for item in items:
            number += isinstance(item, SetLine)
            yield depth, number, item
            if isinstance(item, Group):
                yield from inside(item.items, depth + 1)

    return inside(items, 0)
