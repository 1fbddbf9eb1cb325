"""Pages filled from the top down: what belongs together stays together, and no word is cut off.

Heights are in mm. A page is made of pieces; a block of them that does not fit on this page goes onto the next one
whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from pacer.language import tr
from pacer.paper.letterwidths import spelt, width_of
from pacer.paper.papersize import MARGIN_MM, Bookmark, Page, PaperSize
from pacer.show.figures.drawing import Block, Drawing, Lettering, Line
from pacer.show.measure.legibility import character_mm
from pacer.show.measure.wordwrap import wrapped_words

#: Capitals of what is read in the hand: 16 minutes of arc at half a metre (ISO 9241-303, NUREG-0700: the least).
HAND_CAP = character_mm(0.5, 16)
ROW = 1.65  #: height of a row, in capitals
FOOT = 0.45  #: from a row's lower edge to its base line, in capitals
THIN = 0.2  #: width of a line
FOOT_GAP = 0.2  #: between the page and its foot, in rows


class Piece(NamedTuple):
    """Something with a height that can be put on a page: `put(page, left, top)`."""

    height: float
    put: Callable[[Page, float, float], None]


class Cell(NamedTuple):
    """One text in a row: beginning at `x`, ending there, or around it."""

    x: float
    text: str
    across: str = "left"
    bold: bool = False
    colour: str = "ink"


def gap(height: float) -> Piece:
    """Empty space of that height."""
    return Piece(height, lambda page, left, top: None)


def row(cells: Iterable[Cell], cap: float, ground: str = "", width: float = 0) -> Piece:
    """Texts side by side; the caller makes sure that they fit. `ground` fills that much of the row."""
    kept, high = tuple(cells), ROW * cap

    def put(page: Page, left: float, top: float) -> None:
        if ground:
            page.blocks.append(Block(left, top - high, width, high, ground))
        page.letterings += [
            Lettering(spelt(one.text), left + one.x, top - high + FOOT * cap, cap, one.across, one.colour, one.bold)
            for one in kept
            if one.text
        ]

    return Piece(high, put)


def words(
    text: str,
    width: float,
    cap: float,
    *,
    bold: bool = False,
    colour: str = "ink",
    indent: float = 0,
    hang: float = 0,
) -> list[Piece]:
    """A text in as many rows as it needs, `indent` from the left; rows after the first `hang` further."""
    room = width - indent - hang
    rows = wrapped_words(spelt(text), room, lambda part: width_of(part, cap, bold), breaks=True)
    return [
        row([Cell(indent + (hang if number else 0), one, bold=bold, colour=colour)], cap)
        for number, one in enumerate(rows)
    ]


def rule(width: float, colour: str = "line") -> Piece:
    """A line across."""

    def put(page: Page, left: float, top: float) -> None:
        page.lines.append(Line(((left, top - 0.5), (left + width, top - 0.5)), THIN, colour))

    return Piece(1.0, put)


def bookmark(text: str) -> Piece:
    """An entry of the file's outline that leads to what comes next; nothing is printed."""
    return Piece(0, lambda page, left, top: page.bookmarks.append(Bookmark(text, top)))


def picture(drawing: Drawing) -> Piece:
    """A drawing."""
    return Piece(drawing.height, lambda page, left, top: page.put(drawing, left, top - drawing.height))


class Flow:
    """Fills pages of a size from the top down. `width` is the width between the margins.

    `repeated` is put on top of every page that begins while it is set, as a table's head is. `foot_rows`: the most rows
    that the foot may need.
    """

    def __init__(self, size: PaperSize, margin: float = MARGIN_MM, foot_cap: float = HAND_CAP, foot_rows: int = 2):
        self.size, self.margin, self.foot_cap = size, margin, foot_cap
        self.foot = (foot_rows + FOOT_GAP) * ROW * foot_cap
        self.width = size.width - 2 * margin
        self.pages: list[Page] = []
        self.repeated: tuple[Piece, ...] = ()
        self._top = 0.0

    @property
    def high(self) -> float:
        """The height that a page holds, repeated pieces included."""
        return self.size.height - 2 * self.margin - self.foot

    def block(self, pieces: Sequence[Piece]) -> None:
        """Add pieces that stay together. A block higher than a page continues on the next ones."""
        height = sum(piece.height for piece in pieces)
        if not self.pages or (height > self._left() and not self._empty()):
            self.new_page()
        for piece in pieces:
            if piece.height > self._left() and not self._empty():
                self.new_page()
            piece.put(self.pages[-1], self.margin, self._top)
            self._top -= piece.height

    def new_page(self) -> None:
        """Begin another page."""
        self.pages.append(Page(self.size))
        self._top = self._began = self.size.height - self.margin
        for piece in self.repeated:
            piece.put(self.pages[-1], self.margin, self._top)
            self._top -= piece.height
        self._began = self._top

    def _left(self) -> float:
        return self._top - self.margin - self.foot if self.pages else 0

    def _empty(self) -> bool:
        return self._top == self._began

    def finished(self, foot: str, page_said: str = tr("page {at} of {of}")) -> list[Page]:
        """The pages, each with its foot: `foot` at the left, the page number at the right."""
        cap = self.foot_cap
        for at, page in enumerate(self.pages, 1):
            number = page_said.format(at=at, of=len(self.pages))
            room = self.width - width_of(number, cap) - 3 * cap
            said = wrapped_words(spelt(foot), room, lambda part: width_of(part, cap), breaks=True)
            base = self.margin + (len(said[:2]) - 1) * ROW * cap
            page.lines.append(
                Line(((self.margin, base + ROW * cap), (self.margin + self.width, base + ROW * cap)), THIN, "line")
            )
            for down, one in enumerate(said[:2]):
                page.letterings.append(Lettering(one, self.margin, base - down * ROW * cap, cap, colour="dim"))
            page.letterings.append(Lettering(number, self.margin + self.width, base, cap, "right", "dim"))
        return self.pages
