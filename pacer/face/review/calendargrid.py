"""A month as a grid of tiles: what was swum has a filled block, what is planned its outline."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pacer.face.tiles.column import ROW, Column
from pacer.face.tiles.tile import Bar, Text, Tile
from pacer.language import tr
from pacer.review.season.calendardays import CalendarDay, CalendarEntry
from pacer.session.timezone import weekday_short
from pacer.show.measure.typesizes import SMALL

BLOCK, EDGE = 0.8, 0.14  #: of a block, in character heights: its side, and the lines of an outline
INSET = 0.4  #: from a day's edge to its words, in character heights
LEAST_ROWS = 3  #: rows of words in a day


def put_month(column: Column, weeks: Sequence[Sequence[CalendarDay]], today: date, opened: date | None) -> None:
    """The weeks below one another, as high as there is room for."""
    cap, pitch = column.cap, round(ROW * column.cap)
    wide = column.width / 7
    for at, day in enumerate(weeks[0]):
        text = Text((weekday_short(day.day),), (INSET * cap, 0, wide - INSET * cap, pitch), False, "dim")
        column.tiles.append(Tile("", column.x + at * wide, column.top, wide, pitch, (text,), "plain"))
    column.top += pitch
    least = max(column.target, LEAST_ROWS * pitch)
    high = max(least, (column.room - column.top - pitch - 2 * column.gap) / len(weeks))
    for week in weeks:
        for at, day in enumerate(week):
            lit = day.day == opened
            tile = _day(column, day, column.x + at * wide, wide, high, lit=lit, today=day.day == today)
            column.tiles.append(tile)
        rule = Bar((0, 0, column.width, 1), "line")
        column.tiles.append(Tile("", column.x, column.top, column.width, 1, (), "plain", True, (rule,)))
        column.top += high
    column.skip(0.5)
    _key(column, cap, pitch)


def _day(column: Column, day: CalendarDay, x: float, wide: float, high: float, *, lit: bool, today: bool) -> Tile:
    cap, pitch = column.cap, round(ROW * column.cap)
    inset, right = INSET * cap, wide - INSET * cap
    number = tr("{day}, today", day=day.day.day) if today else str(day.day.day)
    ink = "flip_ink" if lit else "ink"
    texts = [
        Text(
            (number, str(day.day.day)),
            (inset, 0, right - inset, pitch),
            today or bool(day.entries),
            "ink" if day.inside else "dim",
        )
    ]
    bars: list[Bar] = []
    top, left = float(pitch), inset + (BLOCK + 0.3) * cap
    each = max(1, int((high - pitch) // (pitch * max(1, len(day.entries)))))  # rows that each has
    for entry in day.entries:
        if top + pitch > high + 1:
            break
        bars += _block(entry, inset, top + (pitch - BLOCK * cap) / 2, cap, ink)
        beside, rows = left, each
        if entry.at and each > 2:  # the time has a row of its own, and the title all of the width below it
            texts.append(Text((entry.at,), (left, top, right - left, pitch), False, "ink", cap=SMALL))
            top, beside, rows = top + pitch, inset, each - 1
        last = entry.title.rsplit(" ", 1)[-1]
        ways = tuple(dict.fromkeys((entry.title, entry.at or f"… {last}", "…")))
        box = (beside, top, right - beside, rows * pitch)
        texts.append(Text(ways, box, False, "ink", lines=rows, cap=SMALL, up="top"))
        top += rows * pitch
    name = f"day {day.day.isoformat()}" if day.entries else ""
    return Tile(name, x, column.top, wide, high, tuple(texts), "lit" if lit else "plain", True, tuple(bars))


def _block(entry: CalendarEntry, left: float, top: float, cap: float, ink: str) -> list[Bar]:
    side = BLOCK * cap
    if entry.number is not None:
        return [Bar((left, top, side, side), ink)]
    edge = max(1.0, EDGE * cap)
    return [
        Bar((left, top, side, edge), ink),
        Bar((left, top + side - edge, side, edge), ink),
        Bar((left, top, edge, side), ink),
        Bar((left + side - edge, top, edge, side), ink),
    ]


def _key(column: Column, cap: float, pitch: int) -> None:
    """What the blocks mean."""
    swum, planned = CalendarEntry(date.min, "", "", 0), CalendarEntry(date.min, "", "")
    left = column.x
    for entry, word in ((swum, tr("swum")), (planned, tr("planned"))):
        bars = _block(entry, 0.0, (pitch - BLOCK * cap) / 2, cap, "ink")
        text = Text((word,), (1.2 * cap, 0, 7 * cap, pitch), False, "dim")
        column.tiles.append(Tile("", left, column.top, 9 * cap, pitch, (text,), "plain", True, tuple(bars)))
        left += 7 * cap
    column.top += pitch
