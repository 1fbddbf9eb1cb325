"""The totals of a plan as tiles: the session against its booking, then each lane with its hour as a strip of water."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.kit.textures import measure
from pacer.face.kit.wrap import rows_of
from pacer.face.tiles.board import Bar, Text, Tile
from pacer.plan.times import whole_up
from pacer.show.wording.totalstext import span, summary
from pacer.timeline.summary.totals import LaneTotal, Totals

ROW = 1.62  #: height of a row of words, in character heights
STRIP = 0.34  #: height of a lane's strip, in character heights
GAP = 0.5  #: between two columns of words
#: What the bars are.
BARS_SAID = "Bars: how long each lane swims; amber is over the booking."


def lane_words(lane: LaneTotal) -> tuple[str, str, str, tuple[str, ...]]:
    """A lane in words: its number, distance, end, and what the fit gives it (the longest way first)."""
    chosen = tuple(f"{what} {count}" if what.startswith("x") else f"{what} ×{count}" for what, count in lane.chosen)
    short = "×" + "·".join(str(count) for _, count in lane.chosen) if lane.chosen else ""
    return str(lane.lane), f"{lane.distance:,}", whole_up(lane.end_ms), (", ".join(chosen), short) if short else ("",)


def totals_height(lanes: int, cap: float) -> float:
    """How high a heading of two rows and `lanes` lanes in one column with its head are."""
    return (3 + lanes) * round(ROW * cap) + lanes * round(STRIP * cap)


def totals_tiles(
    totals: Totals | None,
    unread: int,
    width: float,
    cap: float,
    padding: float,
    most: float,
    stale: bool = False,
    rows: int = 1,
) -> list[Tile]:
    """The tiles that fit into `width`.

    A heading of `rows` at most, and the lanes in as many columns as there is room for, each with a head that says what
    is what.

    Where that would be higher than `most` the lanes are said shorter, then without heads, and in the end together in
    the heading. `stale` totals, of an earlier text, are dim.
    """
    row = round(ROW * cap)
    over = totals is not None and (totals.over_ms > 0 or totals.stops)
    ways, lanes = summary(totals, unread), []
    rows = min(rows, len(rows_of(ways[0], width - 2 * padding, cap, True)))
    if totals is not None and totals.lanes:
        words = [lane_words(lane) for lane in totals.lanes]
        short, heads = [(*word[:3], ("",)) for word in words], ("lane", totals.unit, "out")
        for cells, said_above in ((words, heads), (short, heads), (words, ()), (short, ())):
            lanes = _lane_tiles(totals, cells, said_above, width, cap, padding, rows * row, stale)
            if lanes[-1].bottom <= most:
                break
        else:
            lanes = []
            ways = (*(f"{span(totals)}; {way}" for way in ways), *ways)
    colour = "dim" if stale else "warn" if over else "ink"
    heading = Text(ways, (padding, 0, width - 2 * padding, rows * row), bold=True, colour=colour, lines=rows)
    return [Tile("totals" if totals is not None else "", 0, 0, width, rows * row, (heading,), "plain"), *lanes]


def _lane_tiles(
    totals: Totals,
    words: Sequence[tuple],
    heads: Sequence[str],
    width: float,
    cap: float,
    padding: float,
    top: float,
    stale: bool,
) -> list[Tile]:
    """The lanes in columns, from the first down, below `heads` where there are any."""
    parts = [
        max(measure(word[place], cap, place == 0) for word in (*words, *([heads] if heads else ())))
        for place in range(3)
    ]
    short = max(measure(word[3][-1], cap) for word in words)
    least = sum(parts) + short + (3 if short else 2) * GAP * cap + 3 * padding
    columns = min(len(words), max(1, int(width / least)))
    rows = -(-len(words) // columns)
    columns = -(-len(words) // rows)  # no more than are filled, so that they share the whole width
    high, wide = round(ROW * cap) + round(STRIP * cap), width / columns
    tiles = [
        _head_tile(heads, parts, (across * wide, top, wide, round(ROW * cap)), cap, padding)
        for across in range(columns if heads else 0)
    ]
    top = tiles[-1].bottom if tiles else top
    for number, (lane, word) in enumerate(zip(totals.lanes, words)):
        across, down = divmod(number, rows)
        tiles.append(
            _lane_tile(lane, word, parts, totals, (across * wide, top + down * high, wide, high), cap, padding, stale)
        )
    return tiles


def _head_tile(heads: Sequence[str], parts: Sequence[float], place, cap: float, padding: float) -> Tile:
    """What the figures of a column are."""
    texts, left = [], padding
    for number, (head, wide) in enumerate(zip(heads, parts)):
        texts.append(Text((head,), (left, 0, wide + 2, place[3]), colour="dim", across="right" if number else "left"))
        left += wide + GAP * cap
    return Tile("", *place, tuple(texts), "plain")


def _lane_tile(
    lane: LaneTotal, word, parts: Sequence[float], totals: Totals, place, cap: float, padding: float, stale: bool
) -> Tile:
    x, top, width, height = place
    row, gap = round(ROW * cap), GAP * cap
    texts, left = [], padding
    late = totals.limit_ms is not None and lane.end_ms > totals.limit_ms
    for number in range(3):
        colour = "dim" if stale else "warn" if late and number == 2 else "ink"
        texts.append(
            Text(
                (word[number],),
                (left, 0, parts[number] + 2, row),
                bold=number == 0,
                across="left" if number == 0 else "right",
                colour=colour,
            )
        )
        left += parts[number] + gap
    if word[3][0]:
        room = width - padding - left
        fits = next((way for way in word[3] if measure(way, cap) <= room), word[3][-1])
        texts.append(Text((fits,), (left, 0, max(room, 1), row), colour="dim"))
    strip = (padding, row, width - 2 * padding, round(STRIP * cap) * 0.7)
    bars = [Bar(strip, "water")]
    if hour := max(totals.limit_ms or 0, totals.end_ms):
        bars.append(Bar((strip[0], strip[1], strip[2] * lane.end_ms / hour, strip[3]), "float_" if late else "swim"))
    return Tile("", x, top, width, height, tuple(texts), "plain", True, tuple(bars))
