"""A page that is being written, painted: only what can be seen, in the colours of what it means.

What is wrong is underlined where it is, with its sentence and its fixes below; checks stand below their line where they
are open, and as a mark beside it where they are not.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kivy.graphics import Color, InstructionGroup, Rectangle, ScissorPop, ScissorPush

from pacer.face.kit.ink import Box, Frame, Plate, RoundPlate, StateShape, Words
from pacer.face.kit.textures import TextureStore, below_base, font_size
from pacer.plan.text.livepage import SECTION
from pacer.plan.text.stretches import stretches
from pacer.show.editing.pagecolours import ink_of
from pacer.show.editing.pagelayout import BOLD, Chip, LaidNote, Note, words_of

if TYPE_CHECKING:
    from pacer.face.editor.writingpane import WritingPane

STORE_BYTES = 8 * 1024 * 1024

#: Marks beside a line, by the weight of the worst that is said about it; a mistake has a broad one of its own.
MARKS = {0: "pause", 1: "arrow", 2: "arrow", 3: "ring", 4: "dots"}


class PaperInk:
    """Paints `pane`. `words` are those of notes, `chips` the fixes that can be touched and where, as they were painted
    last.
    """

    def __init__(self, pane: WritingPane):
        self.pane = pane
        self.words: list[Words] = []
        self.chips: list[tuple[Box, Chip]] = []
        self.edits = 0  #: of the draft, as it was painted last
        self._store = TextureStore(STORE_BYTES)
        self._group = InstructionGroup()
        pane.canvas.add(self._group)

    def visible(self) -> range:
        """The lines that can be seen."""
        paper, offset = self.pane.paper, self.pane.scroller.offset
        return range(paper.line_at(offset), paper.line_at(offset + self.pane.height) + 1)

    def draw(self) -> None:
        """Paint everything anew."""
        pane = self.pane
        group = self._group
        group.clear()
        self.words, self.chips, self.edits = [], [], pane.draft.edits
        x, y = pane.to_window(pane.x, pane.y)
        group.add(
            ScissorPush(x=int(x), y=int(y), width=max(1, int(pane.width + 0.5)), height=max(1, int(pane.height + 0.5)))
        )
        chosen = pane.draft.chosen
        for line in self.visible():
            top = pane.top - pane.lead - pane.paper.tops[line] + pane.scroller.offset
            self._draw_line(group, line, top, chosen)
        if pane.hint and pane.draft.lines == [""]:
            words = Words(group, "hint")
            box = Box(pane.x + pane.gutter, pane.top - pane.lead - pane.paper.pitch, pane.paper.width, pane.paper.pitch)
            words.put((pane.hint,), box, pane.cap, pane.cap, pane.theme.dim)
        if pane.focus and chosen is None:
            Plate(group).put(pane.caret().inset(0, 0.12 * pane.cap), pane.theme.colour("flip"))
        mark = pane.scroller.mark(Box(pane.x, pane.y, pane.width, pane.height), pane.glass.px_per_mm)
        if mark is not None:
            RoundPlate(group).put(mark, pane.theme.dim, mark.width / 2)
        group.add(ScissorPop())
        if pane.focus:
            Frame(group).put(
                Box(pane.x, pane.y, pane.width, pane.height),
                pane.theme.colour("flip"),
                max(2, 0.4 * pane.glass.px_per_mm),
            )

    def _draw_line(self, group, line: int, top: float, chosen) -> None:
        pane, paper = self.pane, self.pane.paper
        laid, theme = paper.lines[line], pane.theme
        pitch, left = paper.pitch, pane.x + pane.gutter
        high = len(laid.rows) * pitch
        if pane.reading.kinds[line] == SECTION:
            Plate(group).put(Box(pane.x, top - high, pane.width, high), theme.water)
        said = pane.notes.get(line, ())
        if said:
            self._draw_mark(group, min(said, key=lambda note: (not note.mistake, note.weight)), top)
        for row, (start, end) in enumerate(laid.rows):
            foot = top - (row + 1) * pitch
            x0 = left + paper.row_left(line, row) - laid.edges[start]
            if chosen:
                self._draw_chosen(group, line, start, end, row, x0, foot, chosen)
            for from_, to in pane.underlined.get(line, ()):
                if from_ < max(end, start + 1) and to > start or from_ >= end and row == len(laid.rows) - 1:
                    a, b = laid.edges[min(max(from_, start), len(laid.edges) - 1)], laid.edges[min(to, end)]
                    b = max(b, a + 0.6 * pane.cap)
                    Plate(group).put(Box(x0 + a, foot + 0.06 * pane.cap, b - a, max(2, 0.13 * pane.cap)), theme.float_)
            self._draw_row(group, line, start, end, x0, foot)
        for note in laid.notes:
            self._draw_note(group, note, top)

    def _draw_row(self, group, line: int, start: int, end: int, x0: float, foot: float) -> None:
        pane = self.pane
        laid, size = pane.paper.lines[line], font_size(pane.cap)
        text = pane.draft.lines[line]
        base = round(foot + (pane.paper.pitch - pane.cap) / 2 + 0.04 * pane.cap)
        for colour, bold, from_, to in self._runs(line, start, end):
            group.add(Color(*colour))
            for word, at, _ in words_of(text[from_:to]):
                if not word.isspace():
                    texture = self._store.texture(word, size, bold)
                    group.add(
                        Rectangle(
                            texture=texture,
                            size=texture.size,
                            pos=(round(x0 + laid.edges[from_ + at]), base - below_base(size)),
                        )
                    )

    def _runs(self, line: int, start: int, end: int) -> Iterator[tuple[tuple, bool, int, int]]:
        """Stretches of a row that are painted alike: colour, bold or not, columns."""
        pane = self.pane
        text = pane.draft.lines[line]
        if pane.live is None:
            yield (*pane.theme.ink, 1), False, start, end
            return
        for from_, to, kind in stretches(text, pane.reading.kinds[line], pane.reading.starts[line], pane.live.gear):
            a, b = max(from_, start), min(to, end)
            if a < b:
                yield (*ink_of(kind, pane.theme), 1), kind in BOLD, a, b

    def _draw_chosen(self, group, line, start, end, row, x0, foot, chosen) -> None:
        pane = self.pane
        (first, from_), (last, to) = chosen
        if not first <= line <= last:
            return
        laid = pane.paper.lines[line]
        a = max(start, from_) if line == first else start
        b = min(end, to) if line == last else end
        if a > end or b < start:
            return
        more = 0.4 * pane.cap if line < last and row == len(laid.rows) - 1 else 0
        Plate(group).put(
            Box(x0 + laid.edges[a], foot, laid.edges[max(a, b)] - laid.edges[a] + more, pane.paper.pitch),
            pane.theme.colour("swim"),
            0.45,
        )

    def _draw_mark(self, group, note: Note, top: float) -> None:
        pane = self.pane
        side = 0.8 * pane.cap
        box = Box(pane.x + (pane.gutter - side) / 2, top - (pane.paper.pitch + side) / 2, side, side)
        colour = pane.theme.float_ if note.mistake or note.weight <= 2 else pane.theme.dim
        if note.mistake:
            Plate(group).put(Box(pane.x, top - pane.paper.pitch, 0.5 * pane.cap, pane.paper.pitch), colour)
        else:
            StateShape(group).put(MARKS[note.weight], box, colour)

    def _draw_note(self, group, laid: LaidNote, top: float) -> None:
        pane = self.pane
        theme, paper, cap, mm = pane.theme, pane.paper, pane.cap, pane.glass.px_per_mm
        left, upper = pane.x + pane.gutter + paper.hang, top - laid.top
        strong = laid.note.mistake or laid.note.weight <= 2
        Plate(group).put(
            Box(left - 0.9 * cap, upper - laid.height + 0.2 * cap, 0.22 * cap, laid.height - 0.4 * cap),
            theme.float_ if strong else theme.line,
        )
        for number, row in enumerate(laid.rows):
            box = Box(left, upper - 0.3 * cap - (number + 1) * paper.pitch, paper.width - paper.hang, paper.pitch)
            self._write(group, "note", row.text, box, theme.dim if row.hint else theme.ink)
        for chip in laid.chips:
            box = Box(left + chip.x, upper - chip.top - chip.height, chip.width, chip.height)
            self.chips.append((box, chip))
            lit = chip == pane.pressed
            RoundPlate(group).put(box, theme.flip if lit else theme.water, 2 * mm)
            if not lit:
                RoundPlate(group).put(box, theme.float_, 2 * mm, stroke=max(1, 0.3 * mm))
            foot = box.y + (box.height + len(chip.rows) * paper.pitch) / 2
            for number, row in enumerate(chip.rows):
                self._write(
                    group,
                    "chip",
                    row,
                    Box(box.x + 0.4 * cap, foot - (number + 1) * paper.pitch, box.width - 0.8 * cap, paper.pitch),
                    theme.flip_ink if lit else theme.ink,
                    across="middle",
                )

    def _write(self, group, name: str, text: str, box: Box, colour, across: str = "left") -> None:
        pane = self.pane
        words = Words(group, name)
        words.put((text,), box, pane.cap, pane.cap, colour, across=across)
        self.words.append(words)
