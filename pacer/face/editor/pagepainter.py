"""Paints a page being written: only the visible part, ruled like paper, with times in its left margin.

Weight and position say what a word is: names and numbers are bold, words about the swim are dim. Colour is only for
errors, which are underlined in place; an open note is below its line, a closed one is a mark in the margin.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from kivy.graphics import Canvas, Color, InstructionGroup, Rectangle, ScissorPop, ScissorPush

from pacer.face.kit.ink import Arrow, Box, Frame, Plate, RoundPlate, StateShape, Words
from pacer.face.kit.textures import TextureStore, below_base, font_size
from pacer.plan.text.livepage import SECTION, PageReading
from pacer.plan.text.styledstretches import stretches
from pacer.plan.text.textbuffer import Spot
from pacer.plan.words.ownwords import OwnWords
from pacer.show.editing.margintimes import MarginTime
from pacer.show.editing.pagecolours import ink_of
from pacer.show.editing.pagelayout import BOLD, Chip, LaidNote, Note, Paper, words_of
from pacer.show.measure.theme import DARK, Theme

PAINTED_BYTES = 8 * 1024 * 1024
RULE = 0.55  #: how opaque the rules are

#: Marks beside a line, by the weight of its worst note; an error has a broad mark of its own.
MARKS = {0: "pause", 1: "arrow", 2: "arrow", 3: "ring", 4: "dots"}


@dataclass(frozen=True, slots=True)
class Margin:
    """The margin left of the text: `marks` wide for marks, then two columns of times that end at these distances.

    `times` are by line, from 0; `stale` ones are for an earlier text.
    """

    marks: float
    begins: float = 0.0
    takes: float = 0.0
    times: Mapping[int, MarginTime] = field(default_factory=dict)
    stale: bool = False


@dataclass(frozen=True, slots=True)
class PageLook:
    """Everything a page is painted from: positions, colours, contents.

    `gear` None: the text is not a plan, and all its words look alike. `caret` is None while nothing is being written.
    """

    box: Box
    offset: float
    lead: float
    gutter: float
    cap: float
    px_per_mm: float
    theme: Theme
    paper: Paper
    lines: Sequence[str]
    reading: PageReading
    gear: OwnWords | None
    notes: Mapping[int, Sequence[Note]]
    underlined: Mapping[int, Sequence[tuple[int, int]]]
    margin: Margin
    ruled: bool = False
    here: int = -1  #: the current line
    chosen: tuple[Spot, Spot] | None = None
    caret: Box | None = None
    pressed: Chip | None = None
    hint: str = ""
    mark: Box | None = None  #: shows which part of the page is seen
    more: tuple[bool, bool] = (False, False)  #: whether there is more above, and below
    slip: float = 0.0  #: this many pixels of its foot are under a slip


class PagePainter:
    """Paints on `canvas`. `words` are those of the notes; `chips` are the fixes to tap and their places, `turns` the
    marks that there is more and the way it is (-1: above), as painted last.
    """

    def __init__(self, canvas: Canvas):
        self.words: list[Words] = []
        self.chips: list[tuple[Box, Chip]] = []
        self.turns: list[tuple[Box, int]] = []
        self.edits = 0  #: the draft's edits when it was painted last
        self.theme = DARK
        self.look: PageLook  #: what was painted last
        self._store = TextureStore(PAINTED_BYTES)
        self._group = InstructionGroup()
        canvas.add(self._group)

    def draw(self, look: PageLook, corner: tuple[float, float], edits: int) -> None:
        """Paint everything again; `corner` is the page's lower left one in the window."""
        group, box, theme = self._group, look.box, look.theme
        group.clear()
        self.words, self.chips, self.turns, self.edits, self.look = [], [], [], edits, look
        x, y = corner
        group.add(
            ScissorPush(x=int(x), y=int(y), width=max(1, int(box.width + 0.5)), height=max(1, int(box.height + 0.5)))
        )
        if look.ruled:
            self._rule(group)
        for line in self._visible():
            self._draw_line(group, line, box.top - look.lead - look.paper.tops[line] + look.offset)
        if look.hint and list(look.lines) == [""]:
            words = Words(group, "hint")
            place = Box(box.x + look.gutter, box.top - look.lead - look.paper.pitch, look.paper.width, look.paper.pitch)
            words.put((look.hint,), place, look.cap, look.cap, theme.dim)
        if look.caret is not None and look.chosen is None:
            Plate(group).put(look.caret.inset(0, 0.12 * look.cap), theme.colour("flip"))
        if look.ruled:
            self._draw_more(group)
        elif look.mark is not None:
            RoundPlate(group).put(look.mark, theme.dim, look.mark.width / 2)
        group.add(ScissorPop())
        if look.caret is not None and not look.ruled:
            Frame(group).put(box, theme.colour("flip"), max(2, 0.4 * look.px_per_mm))

    def _visible(self) -> range:
        """The lines that can be seen."""
        look = self.look
        return range(look.paper.line_at(look.offset), look.paper.line_at(look.offset + look.box.height) + 1)

    def _rule(self, group: InstructionGroup) -> None:
        """Rules across, as far down as the page is seen, and one beside the margin."""
        look, box, pitch = self.look, self.look.box, self.look.paper.pitch
        colour, thin = look.theme.line, max(1, round(0.12 * look.px_per_mm))
        first = box.top - look.lead + look.offset % pitch
        for row in range(1, int(box.height / pitch) + 2):
            Plate(group).put(Box(box.x, first - row * pitch, box.width, thin), colour, RULE)
        Plate(group).put(Box(box.x + look.gutter - 0.6 * look.cap, box.y, 2 * thin, box.height), colour)

    def _draw_more(self, group: InstructionGroup) -> None:
        """A key with an arrow at the right of the first or last row if the page goes on there."""
        look, side = self.look, 0.8 * self.look.cap
        right, pitch = look.box.right - 1.2 * look.cap, look.paper.pitch
        foot = look.box.y + look.slip
        for there, middle, up in zip(look.more, (look.box.top - pitch / 2, foot + pitch / 2), (True, False)):
            if there:
                ground = Box(right - 1.3 * side, middle - pitch / 2 + 2, 1.6 * side, pitch - 4)
                RoundPlate(group).put(ground, look.theme.water, 0.3 * side)
                RoundPlate(group).put(ground, look.theme.line, 0.3 * side, stroke=max(1, 0.25 * look.px_per_mm))
                self.turns.append((ground, -1 if up else 1))
                Arrow(group).put(Box(right - side, middle - side / 2, side, side), look.theme.ink, up)

    def _draw_line(self, group: InstructionGroup, line: int, top: float) -> None:
        look = self.look
        paper, theme = look.paper, look.theme
        laid, pitch, left = paper.lines[line], paper.pitch, look.box.x + look.gutter
        if look.ruled and line == look.here:
            high = len(laid.rows) * pitch
            Plate(group).put(Box(look.box.x, top - high, look.gutter - 0.6 * look.cap, high), theme.water)
        if look.reading.kinds[line] == SECTION and not look.ruled:
            Plate(group).put(
                Box(look.box.x, top - len(laid.rows) * pitch, look.box.width, len(laid.rows) * pitch), theme.water
            )
        said = look.notes.get(line, ())
        if said:
            self._draw_mark(group, min(said, key=lambda note: (not note.mistake, note.weight)), top)
        time = look.margin.times.get(line)
        if time is not None:
            self._draw_times(group, time, top)
        for row, (start, end) in enumerate(laid.rows):
            foot = top - (row + 1) * pitch
            x0 = left + paper.row_left(row) - laid.edges[start]
            if look.chosen:
                self._draw_chosen(group, line, start, end, row, x0, foot)
            chosen = look.chosen is not None and look.chosen[0].line <= line <= look.chosen[1].line
            for from_, to in look.underlined.get(line, ()) if not chosen else ():  # it may be written over
                if from_ < max(end, start + 1) and to > start or from_ >= end and row == len(laid.rows) - 1:
                    a, b = laid.edges[min(max(from_, start), len(laid.edges) - 1)], laid.edges[min(to, end)]
                    b = max(b, a + 0.6 * look.cap)
                    Plate(group).put(Box(x0 + a, foot + 0.06 * look.cap, b - a, max(2, 0.13 * look.cap)), theme.float_)
            self.draw_row(group, line, start, end, x0, foot)
        for note in laid.notes:
            self._draw_note(group, note, top)

    def _draw_times(self, group: InstructionGroup, time: MarginTime, top: float) -> None:
        """When a line starts and how long it takes, each at the right end of its column."""
        look = self.look
        size = font_size(look.cap)
        base = round(top - look.paper.pitch + (look.paper.pitch - look.cap) / 2 + 0.04 * look.cap)
        colour = look.theme.dim if look.margin.stale or not time.section else look.theme.ink
        group.add(Color(*colour, 0.6 if look.margin.stale else 1))
        for text, right in ((time.begins, look.margin.begins), (time.takes, look.margin.takes)):
            texture = self._store.texture(text, size, time.section)
            place = round(look.box.x + right - texture.width), base - below_base(size)
            group.add(Rectangle(texture=texture, size=texture.size, pos=place))

    def draw_row(self, group: InstructionGroup, line: int, start: int, end: int, x0: float, foot: float) -> None:
        """Draw part of a line, its words by their weight."""
        look = self.look
        laid, size = look.paper.lines[line], font_size(look.cap)
        text = look.lines[line]
        base = round(foot + (look.paper.pitch - look.cap) / 2 + 0.04 * look.cap)
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

    def _runs(self, line: int, start: int, end: int) -> Iterator[tuple[tuple[float, ...], bool, int, int]]:
        """Parts of a row that look alike: colour, bold or not, columns."""
        look = self.look
        if look.gear is None:
            yield (*look.theme.ink, 1), False, start, end
            return
        kind_of, starts = look.reading.kinds[line], look.reading.starts[line]
        for from_, to, kind in stretches(look.lines[line], kind_of, starts, look.gear):
            a, b = max(from_, start), min(to, end)
            if a < b:
                yield (*ink_of(kind, look.theme), 1), kind in BOLD, a, b

    def _draw_chosen(
        self, group: InstructionGroup, line: int, start: int, end: int, row: int, x0: float, foot: float
    ) -> None:
        look = self.look
        if look.chosen is None:
            return
        (first, from_), (last, to) = look.chosen
        if not first <= line <= last:
            return
        laid = look.paper.lines[line]
        a = max(start, from_) if line == first else start
        b = min(end, to) if line == last else end
        if a > end or b < start:
            return
        more = 0.4 * look.cap if line < last and row == len(laid.rows) - 1 else 0
        Plate(group).put(
            Box(x0 + laid.edges[a], foot, laid.edges[max(a, b)] - laid.edges[a] + more, look.paper.pitch),
            look.theme.colour("swim"),
            0.45,
        )

    def _draw_mark(self, group: InstructionGroup, note: Note, top: float) -> None:
        look = self.look
        side, pitch = 0.8 * look.cap, look.paper.pitch
        box = Box(look.box.x + (look.margin.marks - side) / 2, top - (pitch + side) / 2, side, side)
        colour = look.theme.float_ if note.mistake or note.weight <= 2 else look.theme.dim
        if note.mistake:
            Plate(group).put(Box(look.box.x, top - pitch, 0.5 * look.cap, pitch), colour)
        else:
            StateShape(group).put(MARKS[note.weight], box, colour)

    def _draw_note(self, group: InstructionGroup, laid: LaidNote, top: float) -> None:
        look = self.look
        theme, paper, cap, mm = look.theme, look.paper, look.cap, look.px_per_mm
        left, upper = look.box.x + look.gutter + paper.hang, top - laid.top
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
            lit = chip == look.pressed
            RoundPlate(group).put(box, theme.flip if lit else theme.water, 2 * mm)
            if not lit:
                RoundPlate(group).put(box, theme.float_, 2 * mm, stroke=max(1, 0.3 * mm))
            foot = box.y + (box.height + len(chip.rows) * paper.pitch) / 2
            for number, words in enumerate(chip.rows):
                place = Box(box.x + 0.4 * cap, foot - (number + 1) * paper.pitch, box.width - 0.8 * cap, paper.pitch)
                self._write(group, "chip", words, place, theme.flip_ink if lit else theme.ink, across="middle")

    def _write(self, group: InstructionGroup, name: str, text: str, box: Box, colour, across: str = "left") -> None:
        words = Words(group, name)
        words.put((text,), box, self.look.cap, self.look.cap, colour, across=across)
        self.words.append(words)
