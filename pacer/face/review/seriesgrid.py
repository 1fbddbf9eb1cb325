"""A series as a grid of tiles: a row for each focus and drill, a column for each session, how much in each cell.

A filled block is what was swum, its height how much; an outline is what is planned. A bar before a name: it is due.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pacer.face.kit.textures import measure
from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.tiles.column import ROW, Column
from pacer.face.tiles.tile import Bar, Text, Tile
from pacer.language import listed, tr, tr_n
from pacer.plan.sentence import sentence
from pacer.plan.titles import titled
from pacer.review.series.seriesorder import SeriesPage
from pacer.review.series.seriestext import amount, day_short, due_said, short_title, shortest_title, visit_text
from pacer.review.series.visited import SeriesRow, SwumSession, Visited
from pacer.show.measure.typesizes import SMALL
from pacer.squad.squad import METRES_PER_YARD

LABEL = 19.0  #: width of a row's name, in character heights, if there is room
LABEL_SHARE = 0.4  #: its greatest share of the page's width
CELL = 6.4  #: width of a cell, in character heights
BLOCK = 1.3  #: width of a block
EDGE = 0.14  #: width of an outline's lines; a due row's bar is three times as wide

#: A column: a session that was swum, or a page still to come.
Col = SwumSession | SeriesPage


def columns_for(column: Column) -> int:
    """How many sessions are side by side."""
    return max(1, int((column.width - _label(column)) // (CELL * column.cap)))


def _label(column: Column) -> float:
    return min(LABEL * column.cap, LABEL_SHARE * column.width)


def columns_of(visited: Visited) -> tuple[Col, ...]:
    """All columns: what was swum, then what is to come."""
    return (*visited.sessions, *visited.coming)


def put_grid(column: Column, visited: Visited, shown: Sequence[Col], today: date, opened: str) -> None:
    """The grid with its headings first; the touched cell (`opened`) is shown in full below its row."""
    _heads(column, visited, shown, opened)
    most = max((_metres(one) for row in visited.rows if not row.is_focus for one in _far(row)), default=1)
    most_focus = max((_metres(one) for row in visited.rows if row.is_focus for one in _far(row)), default=1)
    for place, row in enumerate(visited.rows):
        _row(column, place, row, shown, today, opened, most_focus if row.is_focus else most)


def _far(row: SeriesRow) -> list[tuple[int, str]]:
    return [(visit.distance, visit.session.unit) for visit in row.visits.values()]


def _metres(far: tuple[int, str]) -> float:
    return far[0] * (1.0 if far[1] == "m" else float(METRES_PER_YARD))


def _places(column: Column, count: int) -> tuple[float, float]:
    """Where the first cell begins and how wide each is."""
    label = _label(column)
    return column.x + label, min(2 * CELL * column.cap, (column.width - label) / max(1, count))


def _heads(column: Column, visited: Visited, shown: Sequence[Col], opened: str) -> None:
    pitch, (left, wide) = round(ROW * column.cap), _places(column, len(shown))
    high = max(column.target, 3 * pitch)
    for at, one in enumerate(shown):
        title = short_title(one.title, visited.series.name)
        if isinstance(one, SwumSession):
            absent = visited.absent[one.number]
            name, when = f"session {one.number}", day_short(one.date)
            third = (tr_n("{n:,} absent", "{n:,} absent", len(absent)),) if absent else ("",)
        else:
            name, when, third = "", tr("planned"), ("",)
        ways = (title, shortest_title(title), title[: max(1, int(wide / column.cap / 0.8))])
        lit = name and name == opened
        texts = (
            Text((when,), (0, 0, wide, pitch), True, across="middle"),
            Text(ways, (0, pitch, wide, pitch), False, "ink" if lit else "dim", "middle"),
            Text(third, (0, 2 * pitch, wide, pitch), False, "ink" if lit else "dim", "middle"),
        )
        column.tiles.append(
            Tile(name, left + at * wide, column.top, wide, high, texts, "lit" if lit else "plain"),
        )
    column.top += high
    for one in shown:
        if isinstance(one, SwumSession) and opened == f"session {one.number}":
            column.skip(0.5)
            column.say(session_said(visited, one))
            column.skip(0.5)
    _rule(column)


def session_said(visited: Visited, session: SwumSession) -> str:
    """Which session it is, and who was absent."""
    absent = visited.absent[session.number]
    said = f"{titled(session.title)}, {day_short(session.date)}"
    if not absent:
        return sentence(tr("{said}: nobody was absent", said=said) if any(visited.absent.values()) else said)
    return sentence(
        tr_n(
            "{said}: {absent} was absent",
            "{said}: {absent} were absent",
            len(absent),
            said=said,
            absent=listed(list(absent)),
        )
    )


def _rule(column: Column) -> None:
    column.tiles.append(
        Tile("", column.x, column.top, column.width, 1, (), "plain", True, (Bar((0, 0, column.width, 1), "line"),))
    )
    column.top += 1


def _row(
    column: Column, place: int, row: SeriesRow, shown: Sequence[Col], today: date, opened: str, most: float
) -> None:
    cap, pitch = column.cap, round(ROW * column.cap)
    label, (left, wide) = _label(column), _places(column, len(shown))
    late = row.due.late_days(today)
    is_due = late is not None and late >= 0
    indent = 0.9 * cap if row.is_focus else 1.7 * cap
    room = label - indent - 0.5 * cap
    names = rows_of(row.name, room, cap, row.is_focus)
    high = max(column.target, (len(names) + 1) * pitch + 0.4 * cap)
    down = (high - (len(names) + 1) * pitch) / 2
    words = due_said(row, today)
    texts = (
        Text((row.name,), (indent, down, room, len(names) * pitch), row.is_focus, lines=len(names)),
        Text((words,), (indent, down + len(names) * pitch, room, pitch), is_due, "warn" if is_due else "dim"),
    )
    bars = (Bar((0, 0.15 * high, 3 * EDGE * cap, 0.7 * high), "ink"),) if is_due else ()
    column.tiles.append(Tile("", column.x, column.top, label, high, texts, "plain", True, bars))
    told = ""
    for at, one in enumerate(shown):
        x = left + at * wide
        if isinstance(one, SwumSession):
            visit = row.visits.get(one.number)
            if visit is None:
                continue
            name = f"cell {place} {one.number}"
            if name == opened:
                told = visit_text(row, visit)
            said = amount(visit.distance, visit.by_time_ms, one.unit)
            far = amount(visit.distance, 0, one.unit) if visit.distance else said
            ways = (said, far, far.rsplit(" ", 1)[0])
            missed = len(visit.missed)
            below = (tr("{missed} missed", missed=missed), f"−{missed}") if missed else ("",)
            share = _metres((visit.distance, one.unit)) / most if visit.distance else 0.0
            column.tiles.append(
                _cell(column, name, x, wide, high, ways, below, share, lit=name == opened),
            )
        elif one.key in row.planned:
            column.tiles.append(_outline(column, x, wide, high))
    column.top += high
    if told:
        column.skip(0.5)
        column.say(told)
        column.skip(0.5)
    _rule(column)


def _block(column: Column, wide: float, high: float, share: float) -> tuple[float, float, float, float]:
    """The place of a block in its cell: left, top, width, height."""
    cap = column.cap
    most = high - 0.7 * cap
    tall = max(0.25 * cap, share * most)
    return 0.5 * cap, high - 0.35 * cap - tall, min(BLOCK * cap, 0.25 * wide), tall


def _cell(
    column: Column,
    name: str,
    x: float,
    wide: float,
    high: float,
    ways: tuple[str, ...],
    below: tuple[str, ...],
    share: float,
    lit: bool,
) -> Tile:
    cap, pitch = column.cap, round(ROW * column.cap)
    box = _block(column, wide, high, share)
    left = box[0] + box[2] + 0.5 * cap
    room = wide - left
    down = (high - 2 * pitch) / 2 if below[0] else (high - pitch) / 2
    scale = 1.0 if measure(ways[1], cap, True) <= room else SMALL  # rather small than without its unit
    texts = [Text(ways, (left, down, room, pitch), True, cap=scale)]
    if below[0]:
        texts.append(Text(below, (left, down + pitch, room, pitch), False, "ink" if lit else "dim", cap=SMALL))
    bars = (Bar(box, "flip_ink" if lit else "ink"),)
    return Tile(name, x, column.top, wide, high, tuple(texts), "lit" if lit else "plain", True, bars)


def _outline(column: Column, x: float, wide: float, high: float) -> Tile:
    """What is planned: the column's heading says so."""
    left, top, across, tall = _block(column, wide, high, 0.5)
    edge = max(1.0, EDGE * column.cap)
    bars = (
        Bar((left, top, across, edge), "ink"),
        Bar((left, top + tall - edge, across, edge), "ink"),
        Bar((left, top, edge, tall), "ink"),
        Bar((left + across - edge, top, edge, tall), "ink"),
    )
    return Tile("", x, column.top, wide, high, (), "plain", True, bars)
