"""The layout of a page that is being written: lines wrapped into rows, notes below their lines. No Kivy.

Lengths are pixels; heights count down from the top of the page. Lines and columns count from 0. A note says something
about a line, and offers its fixes as chips to tap.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import NamedTuple

from pacer.plan.sentence import capital
from pacer.plan.text.fixes import Fix
from pacer.plan.text.styledstretches import Stretch
from pacer.plan.text.textbuffer import Spot
from pacer.show.measure.fitting import PITCH

#: Width of a word or a space as drawn, regular or bold: letters drawn together are closer than one by one.
Advance = Callable[[str, bool], float]

HANG = 2.4  #: how far the second and later rows of a line are indented, in character heights
BOLD = {"section", "number"}  #: kinds of stretches that are written bold

_WORDS = re.compile(r"\S+|\s")


class NoteRow(NamedTuple):
    """A row of a note: its text, and whether it is part of the hint."""

    text: str
    hint: bool


class Chip(NamedTuple):
    """A fix to tap: its distance from the left edge and top of its note, and its rows of text if it needs more than
    one.
    """

    fix: Fix
    x: float
    top: float
    width: float
    height: float
    rows: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Note:
    """Something said about a line: an error, or a check of that `weight` (0 is the worst).

    A note that is not `open` is only a mark beside its line.
    """

    weight: int
    message: str
    hint: str = ""
    fixes: tuple[Fix, ...] = ()
    lanes: str = ""
    mistake: bool = False
    open: bool = True

    @property
    def said(self) -> str:
        """The message, after the lanes that it is about."""
        return capital(f"{self.lanes}: {self.message}" if self.lanes else self.message)


class LaidNote(NamedTuple):
    """A note in place: its distance from the top of its line."""

    note: Note
    top: float
    height: float
    rows: tuple[NoteRow, ...]
    chips: tuple[Chip, ...]


class LaidLine(NamedTuple):
    """A line of the page: the columns of its rows, where each column begins (from the row's left edge), and its notes.

    `edges[c]` is the width of all that is before column c.
    """

    rows: tuple[tuple[int, int], ...]
    edges: tuple[float, ...]
    notes: tuple[LaidNote, ...]
    height: float


class Paper:
    """The page laid out for a width.

    `cap` is the character height, `target` the least side of a chip and `gap` the least between two.
    """

    def __init__(self, advance: Advance, cap: float, width: float, target: float, gap: float):
        self.advance, self.cap, self.width = advance, cap, width
        self.target, self.gap = target, gap
        self.pitch = round(PITCH * cap)
        self.hang = HANG * cap
        self.lines: list[LaidLine] = []
        self.tops: list[float] = [0.0]  #: of each line, then of the end of the page
        self._keys: list[tuple] = []  #: what each line's layout depends on
        self._kept: dict[tuple, LaidLine] = {}

    def lay(
        self,
        texts: Sequence[str],
        stretches_of: Callable[[int], tuple[Stretch, ...]],
        notes: Mapping[int, Sequence[Note]],
    ) -> None:
        """Lay the page out; unchanged lines keep their layout."""
        before = self._keys
        keys, made = [], []
        for number, text in enumerate(texts):
            key = (text, stretches_of(number), tuple(notes.get(number, ())))
            keys.append(key)
            if number < len(before) and before[number] == key:
                made.append(self.lines[number])
            else:
                made.append(self._kept.get(key) or self._kept.setdefault(key, self._laid(*key)))
        if keys != before:
            self._kept = dict(zip(keys, made))
        self._keys, self.lines = keys, made
        self.tops = [0.0, *accumulate(line.height for line in made)]

    @property
    def height(self) -> float:
        """Of the whole page."""
        return self.tops[-1]

    # -- a line -----------------------------------------------------------------------------------

    def _laid(self, text: str, stretches: tuple[Stretch, ...], notes: tuple[Note, ...]) -> LaidLine:
        edges = self._edges((text[start:end], kind in BOLD) for start, end, kind in stretches)
        rows = wrapped(text, edges, self.width, self.hang)
        top: float = len(rows) * self.pitch
        laid = []
        for note in notes:
            if note.open:
                laid.append(self._laid_note(note, top))
                top += laid[-1].height
        return LaidLine(rows, edges, tuple(laid), top)

    def _laid_note(self, note: Note, top: float) -> LaidNote:
        rows = [NoteRow(row, False) for row in self._rows_of(note.said)]
        if note.hint and not (note.fixes and note.mistake):
            rows += [NoteRow(row, True) for row in self._rows_of(note.hint)]
        high, chips = 0.3 * self.cap + len(rows) * self.pitch, []
        x = 0.0
        for fix in note.fixes:
            inner = self._note_width - 2 * self.cap
            texts = self._rows_of(fix.says, inner)
            wide = max(self.target, max(map(self._width_of, texts)) + 2 * self.cap)
            if x and x + wide > self._note_width:
                x, high = 0.0, high + self.target + self.gap
            tall = max(self.target, (len(texts) + 0.4) * self.pitch)
            chips.append(Chip(fix, x, high, wide, tall, texts))
            x += wide + self.gap
        if chips:
            high = max(chip.top + chip.height for chip in chips)
        return LaidNote(note, top, high + 0.5 * self.cap, tuple(rows), tuple(chips))

    @property
    def _note_width(self) -> float:
        return self.width - self.hang

    def _width_of(self, text: str) -> float:
        return self._edges([(text, False)])[-1]

    def _rows_of(self, text: str, width: float = 0) -> tuple[str, ...]:
        edges = self._edges([(text, False)])
        return tuple(text[start:end].strip() for start, end in wrapped(text, edges, width or self._note_width, 0.0))

    def _edges(self, pieces: Iterable[tuple[str, bool]]) -> tuple[float, ...]:
        """Where each column begins, for bold and regular pieces; each word is drawn from its own beginning."""
        advance, edges = self.advance, [0.0]
        for piece, bold in pieces:
            for _, start, end in words_of(piece):
                left = edges[-1]
                edges += [left + advance(piece[start:column], bold) for column in range(start + 1, end + 1)]
        return tuple(accumulate(edges, max))

    # -- positions to spots and back ------------------------------------------------------------------

    def row_of(self, spot: Spot) -> int:
        """The row of its line that holds a spot."""
        rows = self.lines[spot.line].rows
        return max(0, bisect_right(rows, spot.column, key=lambda row: row[0]) - 1)

    def row_left(self, row: int) -> float:
        """Where row `row` of a line begins."""
        return self.hang if row else 0.0

    def place_of(self, spot: Spot) -> tuple[float, float]:
        """Left edge and top of the cursor at a spot."""
        laid, row = self.lines[spot.line], self.row_of(spot)
        start = laid.rows[row][0]
        x = self.row_left(row) + laid.edges[spot.column] - laid.edges[start]
        return x, self.tops[spot.line] + row * self.pitch

    def line_at(self, down: float) -> int:
        """The line at that height, or the nearest."""
        return min(max(bisect_right(self.tops, down) - 1, 0), len(self.lines) - 1)

    def spot_at(self, x: float, down: float) -> Spot:
        """The spot nearest to a position; on a note, the end of its line."""
        line = self.line_at(down)
        laid = self.lines[line]
        row = int((down - self.tops[line]) // self.pitch)
        if row >= len(laid.rows):
            return Spot(line, laid.rows[-1][1])
        row = max(0, row)
        return Spot(line, self._column_at(line, row, x))

    def _column_at(self, line: int, row: int, x: float) -> int:
        laid = self.lines[line]
        start, end = laid.rows[row]
        x += laid.edges[start] - self.row_left(row)
        column = min(max(bisect_right(laid.edges, x) - 1, start), end)
        if column < end and x - laid.edges[column] > laid.edges[column + 1] - x:
            column += 1
        # The end of a wrapped row is the beginning of the next one.
        return min(column, end - 1) if row < len(laid.rows) - 1 and end > start else column

    def beside(self, spot: Spot, rows: int, x: float) -> Spot:
        """The spot `rows` rows below (negative: above), nearest to `x`."""
        line, row = spot.line, self.row_of(spot) + rows
        while row < 0 and line > 0:
            line -= 1
            row += len(self.lines[line].rows)
        while row >= len(self.lines[line].rows) and line < len(self.lines) - 1:
            row -= len(self.lines[line].rows)
            line += 1
        if row < 0:
            return Spot(line, 0)
        if row >= len(self.lines[line].rows):
            return Spot(line, self.lines[line].rows[-1][1])
        return Spot(line, self._column_at(line, row, x))

    def row_ends(self, spot: Spot) -> tuple[Spot, Spot]:
        """Beginning and end of the row that holds a spot."""
        laid, row = self.lines[spot.line], self.row_of(spot)
        start, end = laid.rows[row]
        return Spot(spot.line, start), Spot(spot.line, end if row == len(laid.rows) - 1 else max(start, end - 1))


def words_of(text: str) -> Iterator[tuple[str, int, int]]:
    """The words of a text and the spaces between them, one by one, each with its columns.

    >>> [word for word, _, _ in words_of("4 x  100")]
    ['4', ' ', 'x', ' ', ' ', '100']
    """
    return ((match[0], *match.span()) for match in _WORDS.finditer(text))


def wrapped(text: str, edges: Sequence[float], width: float, hang: float) -> tuple[tuple[int, int], ...]:
    """The columns of the rows that a line needs: after spaces, and inside words only where one is too long for a row.

    Rows after the first begin `hang` further right. Spaces at the end of a row may stand out of it.

    >>> wrapped("4 x 100 free", range(13), 8, 2)
    ((0, 8), (8, 12))
    """
    rows, start, limit = [], 0, width
    last = len(text)
    while edges[last] - edges[start] > limit:
        most = bisect_right(edges, edges[start] + max(limit, 0)) - 1
        end = most
        while end > start and not text[end - 1].isspace() and not (end < last and text[end].isspace()):
            end -= 1
        while end < last and text[end].isspace():
            end += 1
        if (
            end <= start
            or not text[start:end].strip()
            and end < last
            and most > end
            and _too_long(text, edges, end, width - hang)
        ):
            end = max(most, start + 1)
        if end >= last:
            break
        rows.append((start, end))
        start, limit = end, width - hang
    rows.append((start, last))
    return tuple(rows)


def _too_long(text: str, edges: Sequence[float], start: int, width: float) -> bool:
    """Whether the word that begins there is too wide for a row of its own."""
    end = next((at for at in range(start, len(text)) if text[at].isspace()), len(text))
    return edges[end] - edges[start] > width
