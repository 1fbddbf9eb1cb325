"""Paper sizes, margins, and pages before they become paper: what is where, in mm from the lower left corner."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import NamedTuple

from pacer.show.figures.drawing import Blob, Block, Drawing, Lettering, Line
from pacer.show.measure.legibility import MM_PER_INCH


@dataclass(frozen=True, slots=True)
class PaperSize:
    """A sheet of paper, upright, in mm."""

    name: str
    width: float
    height: float

    @property
    def across(self) -> PaperSize:
        """The same sheet in landscape."""
        return replace(self, width=self.height, height=self.width)


#: ISO 216, and ANSI/ASME Y14.1 (8.5 by 11 inches).
A4 = PaperSize("a4", 210.0, 297.0)
LETTER = PaperSize("letter", 8.5 * MM_PER_INCH, 11 * MM_PER_INCH)

#: The margins on all four sides: of sheets for the hand, and of lane sheets, whose large characters need more room.
MARGIN_MM, LANE_MARGIN_MM = 14.0, 10.0


class Bookmark(NamedTuple):
    """An entry of a file's outline: its words, and how high on the page it leads to."""

    text: str
    y: float


@dataclass(slots=True)
class Page:
    """One page being filled. What is put on it first is drawn below later drawings of the same kind."""

    size: PaperSize
    blocks: list[Block] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    blobs: list[Blob] = field(default_factory=list)
    letterings: list[Lettering] = field(default_factory=list)
    bookmarks: list[Bookmark] = field(default_factory=list)

    def put(self, drawing: Drawing, x: float, y: float) -> None:
        """Put a drawing with its lower left corner there."""
        self.blocks += [one._replace(x=one.x + x, y=one.y + y) for one in drawing.blocks]
        self.lines += [one._replace(points=tuple((px + x, py + y) for px, py in one.points)) for one in drawing.lines]
        self.blobs += [one._replace(x=one.x + x, y=one.y + y) for one in drawing.blobs]
        self.letterings += [one._replace(x=one.x + x, y=one.y + y) for one in drawing.letterings]
