"""A figure laid out for a size: what is drawn where, the same for the screen, for paper and for a file.

Lengths are in the caller's unit, from the lower left corner.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import NamedTuple

from pacer.show.figures.figure import Axis, Bar, Dot, Figure, Note, Tick

#: The width of a text with capitals of that height, bold or not.
WidthOf = Callable[[str, float, bool], float]

ROW = 1.7  #: height of a row of words, in capitals
TICKS = 2.3  #: height of the row of x's values, which leaves room for y's lowest one
FOOT = 0.45  #: from a row's lower edge to its base line
GAP = 0.6  #: between words, and between words and the thing they name
DOT = 0.42  #: radius of a dot
THIN, HEAVY = 0.1, 0.24  #: widths of lines
SWATCH = 1.6  #: width of a key's sample


class Block(NamedTuple):
    """A filled rectangle; `mark` is what it shows, None for a sample in the key."""

    x: float
    y: float
    width: float
    height: float
    fill: str
    mark: Bar | None = None


class Line(NamedTuple):
    """A line through points."""

    points: tuple[tuple[float, float], ...]
    width: float
    colour: str
    dashed: bool = False


class Blob(NamedTuple):
    """A dot, with `mark` as in `Block`."""

    x: float
    y: float
    radius: float
    fill: str
    shape: str
    mark: Dot | None = None

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """The shape's corners in radii from its middle; none for round ones."""
        return _CORNERS.get(self.shape, ())


#: Sized so that all shapes look equally large.
_CORNERS = {
    "square": ((-0.85, -0.85), (0.85, -0.85), (0.85, 0.85), (-0.85, 0.85)),
    "triangle": ((-1.05, -0.8), (1.05, -0.8), (0.0, 1.15)),
    "inverted": ((-1.05, 0.8), (1.05, 0.8), (0.0, -1.15)),
    "diamond": ((-1.2, 0.0), (0.0, -1.2), (1.2, 0.0), (0.0, 1.2)),
}


class Lettering(NamedTuple):
    """One line of words; `y` is their base line, `x` their beginning, end or middle."""

    text: str
    x: float
    y: float
    cap: float
    across: str = "left"
    colour: str = "ink"
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Drawing:
    """What is drawn: blocks first, then lines, blobs, letterings. `plot` is the data's area: x, y, width, height."""

    width: float
    height: float
    plot: tuple[float, float, float, float]
    blocks: tuple[Block, ...]
    lines: tuple[Line, ...]
    blobs: tuple[Blob, ...]
    letterings: tuple[Lettering, ...]

    def mark_at(self, x: float, y: float, reach: float) -> Bar | Dot | None:
        """What a touch there means: the nearest dot within `reach`, else the nearest bar of that row."""
        dots = [(hypot(blob.x - x, blob.y - y), blob.mark) for blob in self.blobs if blob.mark is not None]
        away, dot = min(dots, key=lambda found: found[0], default=(reach + 1, None))
        if away <= reach:
            return dot
        bars = [
            (max(block.x - x, x - block.x - block.width, 0.0), block.mark)
            for block in self.blocks
            if block.mark is not None and block.mark.said and block.y <= y <= block.y + block.height
        ]
        # If two are equally near, the later one, which is drawn on top.
        away, bar = min(reversed(bars), key=lambda found: found[0], default=(reach + 1, None))
        return bar if away <= reach else None


def drawn(
    figure: Figure,
    width: float,
    height: float,
    cap: float,
    width_of: WidthOf,
    *,
    bare: bool = False,
    keys: bool = True,
) -> Drawing:
    """Lay a figure out for a size, with words whose capitals are `cap` high; `bare` leaves all words out."""
    if bare:
        return _marks(figure, width, height, (0, 0, width, height), cap, ())
    row, gap = ROW * cap, GAP * cap
    foot_rows = _foot_rows(figure, width, cap, width_of, keys)
    ticked = bool(figure.x.ticks)
    left = max([width_of(tick.text, cap, False) for tick in figure.y.ticks], default=0) + gap
    last = max([width_of(tick.text, cap, False) for tick in figure.x.ticks[-1:]], default=0) / 2
    right = max(last, *[width_of(t.label, cap, False) + gap for t in figure.traces if t.label], cap)
    heads, head_rows = _heads(figure, left, width - left - right, width, cap, width_of)
    top = (head_rows + bool(figure.y.name)) * row + (0 if head_rows else 0.6 * cap)
    bottom = len(foot_rows) * row + ticked * TICKS * cap
    plot = (left, bottom, max(1.0, width - left - right), max(1.0, height - top - bottom))
    letterings = [*_ticks(figure, plot, cap, width_of)]
    letterings += [head._replace(y=plot[1] + plot[3] + head.y * row + FOOT * cap) for head in heads]
    if figure.y.name:
        letterings.append(Lettering(_named(figure.y), 0, height - row + FOOT * cap, cap, colour="dim"))
    blocks: list[Block] = []
    blobs: list[Blob] = []
    for number, (words, samples, dots) in enumerate(reversed(foot_rows)):
        base = number * row + FOOT * cap
        letterings += [one._replace(y=base) for one in words]
        blocks += [one._replace(y=base + one.y) for one in samples]
        blobs += [one._replace(y=base + cap / 2) for one in dots]
    letterings += _labels(figure, plot, cap)
    made = _marks(figure, width, height, plot, cap, tuple(letterings))
    return Drawing(width, height, plot, (*made.blocks, *blocks), made.lines, (*made.blobs, *blobs), made.letterings)


def height_for(rows: int, cap: float, row_height: float) -> float:
    """The height of a strip of that many lanes, each `row_height` high, with two heads, ticks and one row of keys."""
    return rows * row_height + 4 * ROW * cap + TICKS * cap


def _named(axis: Axis) -> str:
    return f"{axis.name}, {axis.unit}" if axis.unit else axis.name


def _marks(
    figure: Figure,
    width: float,
    height: float,
    plot: tuple[float, float, float, float],
    cap: float,
    letterings: tuple[Lettering, ...],
) -> Drawing:
    left, bottom, wide, high = plot

    def place(x: float, y: float) -> tuple[float, float]:
        return left + figure.x.share(x) * wide, bottom + figure.y.share(y) * high

    def block(bar: Bar) -> Block:
        (x0, y0), (x1, y1) = place(bar.left, bar.low), place(bar.right, bar.high)
        return Block(min(x0, x1), min(y0, y1), abs(x1 - x0), abs(y1 - y0), bar.fill, bar)

    return Drawing(
        width,
        height,
        plot,
        tuple(block(bar) for bar in (*figure.grounds, *figure.bars)),
        (
            *_grid(figure, plot, cap),
            *(
                Line(
                    tuple(place(x, y) for x, y in trace.points),
                    (HEAVY if trace.heavy else THIN) * cap,
                    trace.colour,
                    trace.dashed,
                )
                for trace in figure.traces
            ),
        ),
        tuple(Blob(*place(dot.x, dot.y), DOT * cap, dot.fill, dot.shape, dot) for dot in figure.dots),
        letterings,
    )


def _grid(figure: Figure, plot: tuple[float, float, float, float], cap: float) -> Iterator[Line]:
    left, bottom, wide, high = plot
    for tick in figure.y.ticks if figure.grid else ():
        y = bottom + figure.y.share(tick.at) * high
        yield Line(((left, y), (left + wide, y)), THIN * cap, "grid")


def _ticks(
    figure: Figure, plot: tuple[float, float, float, float], cap: float, width_of: WidthOf
) -> Iterator[Lettering]:
    """The axes' values: all that have room, else every second, third and so on."""
    left, bottom, wide, high = plot

    def across(tick: Tick) -> tuple[float, float]:
        return left + figure.x.share(tick.at) * wide, width_of(tick.text, cap, False) + GAP * cap

    def up(tick: Tick) -> tuple[float, float]:
        return bottom + figure.y.share(tick.at) * high, 1.2 * cap

    for tick in thinned(figure.x.ticks, across):
        yield Lettering(tick.text, across(tick)[0], bottom - TICKS * cap + FOOT * cap, cap, "middle", "dim")
    for tick in thinned(figure.y.ticks, up):
        yield Lettering(tick.text, left - GAP * cap, up(tick)[0] - cap / 2, cap, "right", "dim")


def thinned(ticks: Sequence[Tick], room: Callable[[Tick], tuple[float, float]]) -> Sequence[Tick]:
    """Every tick, or every second, third …, so that none touches the next; `room` gives a tick's middle and size."""
    for step in range(1, len(ticks) + 1):
        kept = ticks[::step]
        places = sorted(room(tick) for tick in kept)
        if all(there - here >= (size + other) / 2 for (here, size), (there, other) in pairwise(places)):
            return kept
    return ticks[:1]


def _heads(
    figure: Figure, left: float, wide: float, width: float, cap: float, width_of: WidthOf
) -> tuple[list[Lettering], int]:
    """The words above the plot, in row `y`: in two rows if one is too narrow, left out if two are."""
    ends = [0.0, 0.0]
    made = []
    for head in figure.heads:
        takes = width_of(head.text, cap, False)
        at = min(left + figure.x.share(head.x) * wide, width - takes)
        row = next((row for row in (0, 1) if ends[row] <= at), None)
        if row is not None:
            ends[row] = at + takes + GAP * cap
            made.append(Lettering(head.text, at, row, cap))
    return made, 2 if ends[1] else 1 if ends[0] else 0


def _labels(figure: Figure, plot: tuple[float, float, float, float], cap: float) -> Iterator[Lettering]:
    left, bottom, wide, high = plot
    for trace in figure.traces:
        if trace.label:
            x, y = trace.points[-1]
            at = left + figure.x.share(x) * wide, bottom + figure.y.share(y) * high
            yield Lettering(trace.label, at[0] + 0.4 * cap, at[1] - cap / 2, cap, colour="dim")
    for note in figure.notes:
        yield _note(note, figure, plot, cap)


def _note(note: Note, figure: Figure, plot: tuple[float, float, float, float], cap: float) -> Lettering:
    left, bottom, wide, high = plot
    x, y = left + figure.x.share(note.x) * wide, bottom + figure.y.share(note.y) * high - cap / 2
    return Lettering(
        note.text, x + {"left": 0.4, "right": -0.4}.get(note.across, 0) * cap, y, cap, note.across, "ink", note.strong
    )


def _foot_rows(figure: Figure, width: float, cap: float, width_of: WidthOf, keys: bool) -> list[tuple]:
    """Rows below the plot, from the top down: the keys from the left; at the right end of the first row, what x is."""
    rows: list[tuple[list[Lettering], list[Block], list[Blob]]] = []
    named = _named(figure.x) if figure.x.name else ""
    at, room = 0.0, width
    if named:
        room = width - width_of(named, cap, False) - 2 * GAP * cap
        rows.append(([Lettering(named, width, 0, cap, "right", "dim")], [], []))
    for key in figure.keys if keys else ():
        takes = SWATCH * cap + GAP * cap + width_of(key.text, cap, False)
        if not rows or (at and at + takes > room):
            rows.append(([], [], []))
            at, room = 0.0, width
        words, samples, dots = rows[-1]
        if key.shape == "line":
            samples.append(Block(at, cap / 2, SWATCH * cap, HEAVY * cap, key.fill))
        elif key.shape:
            dots.append(Blob(at + SWATCH * cap / 2, 0, DOT * cap, key.fill, key.shape))
        else:
            samples.append(Block(at, 0, SWATCH * cap, cap, key.fill))
        words.append(Lettering(key.text, at + (SWATCH + GAP) * cap, 0, cap))
        at += takes + 2 * GAP * cap
    return rows
