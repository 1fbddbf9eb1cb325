"""Tiles below one another: words in as many rows as they need, and rows of things to touch."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from pacer.face.kit.textures import measure
from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.tiles.tile import Bar, Text, Tile
from pacer.show.measure.fitting import lines_height

ROW = 1.62  #: height of a row of words, in character heights


class Cell(NamedTuple):
    """One thing in a row.

    `ways` to say it, a dim `label` above it, or words `below`, its `share` of the width or, with `least`, at least that
    many pixels.

    `look` and `able` as for a tile; without a name it cannot be pressed. `grip` draws three strokes: it can be
    dragged.
    """

    name: str = ""
    ways: tuple[str, ...] = ("",)
    share: float = 1.0
    label: tuple[str, ...] = ()
    look: str = "key"
    able: bool = True
    bold: bool = True
    colour: str = "ink"
    across: str = "middle"
    width: float = 0.0
    scale: float = 1.0
    grip: bool = False
    lines: int = 1
    below: tuple[str, ...] = ()


class Column:
    """Builds tiles downwards in a column of `width` from `x`.

    `top` is where the next one goes; `room` the height seen at once, if known.
    """

    def __init__(
        self,
        width: float,
        cap: float,
        padding: float,
        gap: float,
        target: float,
        *,
        x: float = 0.0,
        top: float = 0.0,
        room: float = 0.0,
    ):
        self.x, self.width, self.top, self.room = x, width, top, room
        self.cap, self.padding, self.gap, self.target = cap, padding, gap, target
        self.tiles: list[Tile] = []

    @property
    def inset(self) -> float:
        """Between a key's edge and words that begin at it."""
        return 2.2 * self.padding

    def skip(self, gaps: float = 1.0) -> None:
        """Leave space."""
        self.top += gaps * self.gap

    def say(
        self,
        text: str,
        *,
        bold: bool = False,
        colour: str = "ink",
        scale: float = 1.0,
        most: int = 99,
        name: str = "",
    ) -> Tile | None:
        """Words over the whole width, in as many rows as they need; beyond `most` rows they are said shorter."""
        if not text:
            return None
        text = " ".join(self._parts(word, scale, bold) for word in text.split(" "))
        rows = rows_of(text, self.width, self.cap * scale, bold)[:most]
        high = len(rows) * round(ROW * self.cap * scale)
        words = Text((text,), (0, 0, self.width, high), bold, colour, up="top", lines=len(rows), cap=scale)
        tile = Tile(name, self.x, self.top, self.width, high, (words,), "plain", heading=bold and not name)
        self.tiles.append(tile)
        self.top += high
        return tile

    def _parts(self, word: str, scale: float, bold: bool) -> str:
        """A word; one wider than the column (a path) in parts."""
        wide = measure(word, self.cap * scale, bold)
        if len(word) < 2 or wide <= self.width:
            return word
        step = max(1, int(len(word) * 0.9 * self.width / wide))
        return " ".join(word[start : start + step] for start in range(0, len(word), step))

    def row(self, *cells: Cell, height: float = 0.0, gap: float | None = None) -> list[Tile]:
        """Things side by side, at least a thumb high."""
        gap = self.gap if gap is None else gap
        labelled = any(cell.label or cell.below for cell in cells)
        pitch = round(ROW * self.cap)
        high = max(
            self.target,
            height,
            2 * pitch + self.padding if labelled else 0,
            *(cell.lines * pitch + self.padding for cell in cells),
        )
        fixed = sum(cell.width for cell in cells)
        shares = sum(cell.share for cell in cells if not cell.width) or 1.0
        room = self.width - gap * (len(cells) - 1) - fixed
        x, made = self.x, []
        for cell in cells:
            wide = cell.width or room * cell.share / shares
            made.append(self._tile(cell, x, wide, high, pitch))
            x += wide + gap
        self.tiles += made
        self.top += high + self.gap
        return made

    def flow(self, *cells: Cell) -> None:
        """Things side by side, in the fewest rows that have room for the shortest way to say each.

        They are columns of one width if all fit into that; else each row shares out what is left over, the last
        one no more of it than the others.
        """
        rows: list[list[Cell]] = [[]]
        used = 0.0
        for cell in cells:
            wide = min(self.width, self.least(cell))
            if rows[-1] and used + wide > self.width + 0.5:
                rows.append([])
                used = 0.0
            rows[-1].append(cell._replace(width=wide))
            used += wide + self.gap
        across = -(-len(cells) // len(rows))
        each = self._share(across)
        if all(cell.share == 1.0 and cell.width <= each for row in rows for cell in row):
            self.grid([cell._replace(width=each) for row in rows for cell in row], across)
            return
        grows = self.width
        for row in rows:
            spare = self.width - sum(cell.width for cell in row) - self.gap * (len(row) - 1)
            grows = min(grows, spare / sum(cell.share for cell in row))
            self.row(*(cell._replace(width=cell.width + grows * cell.share) for cell in row))

    def keys(self, *cells: Cell, across: int) -> None:
        """Things of one width in rows of at most `across`, each high enough for two lines.

        Fewer are side by side if one could not be said whole. If they have to be scrolled, only whole rows are seen at
        first.
        """
        while across > 1 and not all(self._whole(cell, self._share(across)) for cell in cells):
            across -= 1
        high = self._filling(max(self.target, lines_height(2, self.cap) + 1.5 * self.padding), -(-len(cells) // across))
        wide = self._share(across)
        for number, cell in enumerate(cells):
            right = number % across
            self.top += (high + self.gap) * (number > 0 and right == 0)
            self.tiles.append(self._tile(cell._replace(lines=2), self.x + right * (wide + self.gap), wide, high, 0))
        self.top += (high + self.gap) * bool(cells)

    def _share(self, across: int) -> float:
        """The width of each of so many things side by side."""
        return (self.width - self.gap * (across - 1)) / across

    def _whole(self, cell: Cell, width: float) -> bool:
        """Whether the shortest way to say a key is whole in two lines of that width."""
        rows = rows_of(cell.ways[-1], width - 2 * self.padding, self.cap, cell.bold)
        most = max((measure(row, self.cap, cell.bold) for row in rows), default=0.0)
        return len(rows) <= (1 if cell.label else 2) and most <= width - 2 * self.padding

    def holds(self, across: int) -> bool:
        """Whether that many keys side by side are wide enough for a wet thumb."""
        return self.width >= across * self.target + (across - 1) * self.gap

    def _filling(self, high: float, rows: int) -> float:
        """A row height, at least `high`, with which a whole number of `rows` fills the height seen.

        If less than a gap is left over, it stays free.
        """
        room = self.room - self.top + self.gap
        whole = int(room / (high + self.gap))
        return max(high, (room - self.gap) / whole - self.gap) if 0 < whole < rows else high

    def spread(self) -> None:
        """Move the rows seen at first apart, so that the next one begins below the edge and none is cut by it."""
        rows: list[tuple[float, float]] = []  # top and bottom
        for tile in sorted(self.tiles, key=lambda tile: tile.top):
            if rows and tile.top < rows[-1][1]:
                rows[-1] = rows[-1][0], max(rows[-1][1], tile.bottom)
            else:
                rows.append((tile.top, tile.bottom))
        whole = sum(bottom <= self.room for _, bottom in rows)
        if not 0 < whole < len(rows) or rows[whole][0] >= self.room:
            return
        spare, tops = self.room - rows[whole][0], [top for top, _ in rows]
        for place, tile in enumerate(self.tiles):
            row = min(bisect_right(tops, tile.top) - 1, whole)
            self.tiles[place] = tile._replace(top=tile.top + spare * row / whole)

    def least(self, cell: Cell) -> float:
        """The least width of a cell."""
        said = measure(cell.ways[-1], self.cap * cell.scale, cell.bold)
        above = measure(cell.label[-1], self.cap) if cell.label else 0
        return max(self.target, cell.width, said + 2 * self.padding + 1, above + 2 * self.padding + 1)

    def _tile(self, cell: Cell, x: float, width: float, height: float, pitch: float) -> Tile:
        pad = self.padding if cell.across != "left" else 0.0 if cell.look == "plain" else self.inset
        texts: list[Text] = []
        bars: tuple[Bar, ...] = ()
        if cell.label or cell.below:
            above = (height - 2 * pitch) / 2
            first, second = (above + pitch, above) if cell.label else (above, above + pitch)
            texts = [
                Text(cell.label or cell.below, (pad, second, width - 2 * pad, pitch), False, "dim", cell.across),
                Text(
                    cell.ways,
                    (pad, first, width - 2 * pad, pitch),
                    cell.bold,
                    cell.colour,
                    cell.across,
                    cap=cell.scale,
                ),
            ]
        elif cell.ways[0]:
            texts = [
                Text(
                    cell.ways,
                    (pad, 0, width - 2 * pad, height),
                    cell.bold,
                    cell.colour,
                    cell.across,
                    lines=cell.lines,
                    cap=cell.scale,
                )
            ]
        if cell.grip:
            bars = _grip(width, height, self.cap)
        return Tile(cell.name, x, self.top, width, height, tuple(texts), cell.look, cell.able, bars)

    def grid(self, cells: Sequence[Cell], across: int) -> None:
        """Cells in rows of `across`, all of one width."""
        for first in range(0, len(cells), across):
            row = list(cells[first : first + across])
            self.row(*row, *(Cell(look="plain") for _ in range(across - len(row))))


def _grip(width: float, height: float, cap: float) -> tuple[Bar, ...]:
    """Three strokes in the middle: the place to take hold of."""
    wide, thick, step = 1.1 * cap, 0.14 * cap, 0.42 * cap
    left, middle = (width - wide) / 2, (height - thick) / 2
    return tuple(Bar((left, middle + n * step, wide, thick), "dim") for n in (-1, 0, 1))
