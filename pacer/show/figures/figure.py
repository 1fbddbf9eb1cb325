"""What a figure is: axes, and marks in the units of its data. Nothing here knows its size or how it is drawn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Tick(NamedTuple):
    """A value that an axis names."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class Axis:
    """One direction of a figure, from `low` at the left or bottom to `high`; `low` may be the greater of the two.

    `name` says what is measured, `unit` in what unit ("" for none).
    """

    low: float
    high: float
    ticks: tuple[Tick, ...] = ()
    name: str = ""
    unit: str = ""

    def share(self, value: float) -> float:
        """Where `value` is between `low` (0) and `high` (1).

        >>> Axis(0, 60).share(15), Axis(60, 0).share(15)
        (0.25, 0.75)
        """
        return (value - self.low) / (self.high - self.low)

    def value(self, share: float) -> float:
        """The value at that share: the reverse of `share`."""
        return self.low + share * (self.high - self.low)


class Spot(NamedTuple):
    """What a mark is about: lane and swimmer by index, section by index, the rest as a page counts, from 1.

    None if it is about more than one.
    """

    lane: int | None = None
    section: int | None = None
    line: int | None = None
    round: int | None = None
    repeat: int | None = None
    swimmer: int | None = None


class Bar(NamedTuple):
    """A filled rectangle. `fill` names its fill (`fills.py`); `said` is what a touch on it says."""

    left: float
    right: float
    low: float
    high: float
    fill: str
    said: str = ""
    spot: Spot = Spot()


class Dot(NamedTuple):
    """A point. `shape` is disc, square, triangle, diamond or inverted (a triangle), or `open`: a disc's outline."""

    x: float
    y: float
    fill: str
    shape: str = "disc"
    said: str = ""
    spot: Spot = Spot()


class Trace(NamedTuple):
    """A line through points, with `label` at its last point."""

    points: tuple[tuple[float, float], ...]
    colour: str
    dashed: bool = False
    label: str = ""
    heavy: bool = False


class Note(NamedTuple):
    """Words inside a figure that begin at a point (or end there: `across` is right)."""

    x: float
    y: float
    text: str
    across: str = "left"
    strong: bool = False


class Key(NamedTuple):
    """One entry of a figure's key: a fill, a dot's shape or a `line`, and what it means."""

    fill: str
    text: str
    shape: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure, however it is drawn.

    `grounds` lie under `bars`, traces and dots over both. `heads` are words above the plot, each beginning at a value
    of x. `words` say in plain sentences what the figure shows, for those who can't see it. `grid`: whether faint lines
    lead from y's values to the marks.
    """

    title: str
    words: str
    x: Axis
    y: Axis
    grounds: tuple[Bar, ...] = ()
    bars: tuple[Bar, ...] = ()
    traces: tuple[Trace, ...] = ()
    dots: tuple[Dot, ...] = ()
    heads: tuple[Note, ...] = ()
    notes: tuple[Note, ...] = ()
    keys: tuple[Key, ...] = ()
    grid: bool = False

    def check(self) -> None:
        """Assert that every mark lies within the axes."""
        for axis, values in (
            (self.x, [v for b in (*self.grounds, *self.bars) for v in (b.left, b.right)] + [d.x for d in self.dots]),
            (self.y, [v for b in (*self.grounds, *self.bars) for v in (b.low, b.high)] + [d.y for d in self.dots]),
        ):
            assert axis.low != axis.high
            assert all(-1e-9 <= axis.share(value) <= 1 + 1e-9 for value in values), "marks lie within the axes"
        assert all(bar.left < bar.right and bar.low < bar.high for bar in (*self.grounds, *self.bars))
