"""The totals of a plan as tiles: the session against its booking, then a table of its lanes."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.kit.textures import measure
from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.tiles.column import ROW
from pacer.face.tiles.table import GAP, Head, Line, least_wide, table_tiles
from pacer.face.tiles.tile import Text, Tile
from pacer.language import tr, tr_n
from pacer.plan.sentence import capitals
from pacer.plan.times import whole_up
from pacer.show.wording.totalstext import summary
from pacer.timeline.summary.totals import LaneTotal, Totals

__all__ = ["ROW", "lane_words", "totals_tiles"]

MOST_CHOSEN = 3  #: up to this many counts chosen by the fit have a column each


def lane_words(lane: LaneTotal) -> tuple[str, str, str]:
    """A lane in words: its number, distance, end."""
    return str(lane.lane), f"{lane.distance:,}", whole_up(lane.end_ms)


def totals_tiles(
    totals: Totals | None, unread: int, x: float, width: float, cap: float, stale: bool = False, top: float = 0.0
) -> list[Tile]:
    """A heading and the table, from `top` down. `stale` totals, for an earlier text, are dim."""
    over = totals is not None and (totals.over_ms > 0 or totals.stops)
    ways, row = capitals(summary(totals, unread)), round(ROW * cap)
    rows = min(2, len(rows_of(ways[0], width, cap, True)))
    colour = "dim" if stale else "warn" if over else "ink"
    heading = Text(ways, (0, 0, width, rows * row), bold=True, colour=colour, lines=rows, up="top")
    tiles = [Tile("", x, top, width, rows * row, (heading,), "plain")]
    if totals is not None and totals.lanes:
        tiles += lane_tiles(totals, x, tiles[-1].bottom + 0.3 * row, width, cap, stale)
    return tiles


def lane_tiles(
    totals: Totals,
    x: float,
    top: float,
    width: float,
    cap: float,
    stale: bool = False,
    swimmers: Sequence[int] = (),
    bases: Sequence[str] = (),
) -> list[Tile]:
    """The lanes as a table, with each one's base and how many `swimmers` it has; in two halves if there is room.

    The lowest tile comes last: what follows goes below it.
    """
    heads, lines = _table(totals, stale, swimmers, bases, apart=True)
    wide = _width(heads, lines, cap)
    if wide > width:
        heads, lines = _table(totals, stale, swimmers, bases, apart=False)
        if _width(heads, lines, cap) > width:  # the headings are on the page as well
            heads, lines = _table(totals, stale, (), bases, apart=False)
    across = 2 if len(lines) > 3 and 2 * wide + 3 * GAP * cap <= width else 1
    down = -(-len(lines) // across)
    share = (width - (across - 1) * 2 * GAP * cap) / across
    tiles: list[Tile] = []
    for column in range(across):
        part = lines[column * down : (column + 1) * down]
        tiles += table_tiles(heads, part, x + column * (share + 2 * GAP * cap), top, share, cap)
    return sorted(tiles, key=lambda tile: tile.bottom)


def lanes_wide(totals: Totals, swimmers: Sequence[int], bases: Sequence[str], cap: float) -> float:
    """The least width of that table with everything on it."""
    return _width(*_table(totals, False, swimmers, bases, apart=True), cap)


def _table(
    totals: Totals, stale: bool, swimmers: Sequence[int], bases: Sequence[str], apart: bool
) -> tuple[list[Head], list[Line]]:
    named = list(dict.fromkeys(what for lane in totals.lanes for what, _ in lane.chosen))
    apart = apart and 0 < len(named) <= MOST_CHOSEN
    heads = [Head(tr("lane"), "left", bold=True)]
    heads += [Head(tr("base"))] if bases else []
    heads += [Head(tr("swimmers"))] if swimmers else []
    heads += [Head(totals.unit), Head(tr("lasts"))]
    heads += [Head(_chosen_head(what)) for what in named] if apart else []
    if named and not apart:
        heads.append(Head(tr("rounds"), "left", grows=True))
    lines = []
    for place, lane in enumerate(totals.lanes):
        late = totals.limit_ms is not None and lane.end_ms > totals.limit_ms
        chosen = dict(lane.chosen)
        counts = [_count_said(what, chosen[what]) if what in chosen else "–" for what in named] if apart else []
        said = (f"{count} {what}" if what.startswith("x") else f"{what} {count}" for what, count in lane.chosen)
        rest = [", ".join(said)] if named and not apart else []
        number, distance, finish = lane_words(lane)
        before = (number, *([bases[place]] if bases else []), *([str(swimmers[place])] if swimmers else []), distance)
        cells, end = (*before, finish, *counts, *rest), len(before)
        colours = tuple("dim" if stale else "warn" if late and cell == end else "" for cell in range(len(cells)))
        lines.append(Line(cells, colours))
    return heads, lines


def _chosen_head(what: str) -> str:
    """What is counted: rounds of a section, or repeats of a set (`x 100`)."""
    return tr("repeats") if what.startswith("x") else what


def _count_said(what: str, count: int) -> str:
    """How often: `4 rounds`, or `3 x 50`."""
    return f"{count} {what}" if what.startswith("x") else tr_n("{n} round", "{n} rounds", count)


def _width(heads: Sequence[Head], lines: Sequence[Line], cap: float) -> float:
    columns = [
        least_wide(head, lines, place, cap)
        if head.grows
        else max(measure(head.text, cap), *(measure(line.cells[place], cap, head.bold) for line in lines))
        for place, head in enumerate(heads)
    ]
    return sum(columns) + GAP * cap * (len(columns) - 1)
