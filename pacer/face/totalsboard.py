"""The totals of a plan as tiles: the session against its booking, then each lane with its hour as a strip of water."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.board import Bar, Text, Tile
from pacer.face.text import measure
from pacer.plan.header import long_text
from pacer.plan.times import text_from_ms
from pacer.timeline.totals import LaneTotal, Totals

ROW = 1.62           #: height of a row of words, in character heights
STRIP = 0.34         #: height of a lane's strip, in character heights
GAP = 1.0            #: between two columns of words


def summary(totals: Totals | None, unread: int = 0) -> tuple[str, ...]:
    """The whole session in a few words, the longest way first; `unread` lines are not in it.

    >>> summary(Totals("m", (LaneTotal(1, 2200, 3_456_770),), 3_456_770, 3_600_000))[0]
    'out 57:37 of 60 min, 2:23 spare'
    """
    if totals is None:
        return ("nothing to swim yet",)
    if totals.stops:
        return ("cannot be run",)
    without = "" if not unread else f"without {unread} line{'s' if unread > 1 else ''}: "
    out = f"out {said(totals.end_ms)}"
    if totals.limit_ms is None:
        return (f"{without}{out}, no booking", f"{without}{out}", out)
    if totals.over_ms:
        over = f"{said(totals.over_ms)} over"
        return (f"{without}{out} of {long_text(totals.limit_ms)}, {over}", f"{without}{out}, {over}", f"{out}, {over}", over)
    spare = f"{text_from_ms((totals.limit_ms - totals.end_ms) // 1000 * 1000)} spare"
    return (f"{without}{out} of {long_text(totals.limit_ms)}, {spare}", f"{without}{out}, {spare}", f"{out}, {spare}", spare)


def said(ms: int) -> str:
    """A time in whole seconds, a begun one counting."""
    return text_from_ms(-(-ms // 1000) * 1000)


def lane_words(lane: LaneTotal) -> tuple[str, str, str, tuple[str, ...]]:
    """A lane in words: its number, distance, end, and what the fit gives it (the longest way first)."""
    chosen = tuple(f"{what} {count}" if what.startswith("x") else f"{what} ×{count}" for what, count in lane.chosen)
    short = "×" + "·".join(str(count) for _, count in lane.chosen) if lane.chosen else ""
    return str(lane.lane), f"{lane.distance:,}", said(lane.end_ms), (", ".join(chosen), short) if short else ("",)


def totals_tiles(totals: Totals | None, unread: int, width: float, cap: float, padding: float, most: float) -> list[Tile]:
    """The tiles that fit into `width`: a heading, and the lanes in as many columns as there is room for.

    Where all of it would be higher than `most`, the heading alone.
    """
    row = round(ROW * cap)
    over = totals is not None and (totals.over_ms > 0 or totals.stops)
    heading = Text(summary(totals, unread), (padding, 0, width - 2 * padding, row), bold=True, colour="warn" if over else "ink")
    tiles = [Tile("", 0, 0, width, row, (heading,), "plain")]
    if totals is None or not totals.lanes:
        return tiles
    words = [lane_words(lane) for lane in totals.lanes]
    parts = [max(measure(word[place], cap, place == 0) for word in words) for place in range(3)]
    short = max(measure(word[3][-1], cap) for word in words)
    least = sum(parts) + short + (3 if short else 2) * GAP * cap + 2 * padding
    columns = max(1, int(width / least))
    rows = -(-len(words) // columns)
    high = row + round(STRIP * cap)
    if row + rows * high > most:
        return tiles
    wide = width / columns
    hour = max(totals.limit_ms or 0, totals.end_ms)
    for number, (lane, word) in enumerate(zip(totals.lanes, words)):
        across, down = divmod(number, rows)
        tiles.append(_lane_tile(lane, word, parts, totals, hour, (across * wide, row + down * high, wide, high), cap, padding))
    return tiles


def _lane_tile(lane: LaneTotal, word, parts: Sequence[float], totals: Totals, hour: int, place, cap: float, padding: float) -> Tile:
    x, top, width, height = place
    row, gap = round(ROW * cap), GAP * cap
    texts, left = [], padding
    late = totals.limit_ms is not None and lane.end_ms > totals.limit_ms
    for number in range(3):
        texts.append(Text((word[number],), (left, 0, parts[number] + 2, row), bold=number == 0, across="left" if number == 0 else "right",
                          colour="warn" if late and number == 2 else "ink"))
        left += parts[number] + gap
    if word[3][0]:
        room = width - padding - left
        fits = next((way for way in word[3] if measure(way, cap) <= room), word[3][-1])
        texts.append(Text((fits,), (left, 0, max(room, 1), row), colour="dim"))
    strip = (padding, row, width - 2 * padding, round(STRIP * cap) * 0.7)
    bars = [Bar(strip, "water")]
    if hour:
        bars.append(Bar((strip[0], strip[1], strip[2] * lane.end_ms / hour, strip[3]), "float_" if late else "swim"))
    return Tile("", x, top, width, height, tuple(texts), "plain", True, tuple(bars))
