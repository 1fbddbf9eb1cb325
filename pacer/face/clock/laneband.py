"""One lane in the pool view.

Number, state and count-down on the deck; distance, ribbon, cue and swimmers in the water.
"""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import InstructionGroup

from pacer.face.clock.bandlayout import BAR, deck_boxes, state_boxes, water_boxes
from pacer.face.clock.ribbon import Ribbon
from pacer.face.clock.ropesandswimmers import Swimmers
from pacer.face.kit.background import Ground
from pacer.face.kit.ink import NOWHERE, Box, Digits, Plate, StateShape, Words, digits_width, line_box
from pacer.face.kit.textures import font_size, measure
from pacer.show.measure.fitting import FOOT, LINE, PITCH
from pacer.show.measure.legibility import DRY
from pacer.show.measure.poolrows import Rows
from pacer.show.measure.theme import Theme
from pacer.show.view.bandpriority import BOLD, GAP, MARK, present_ways, rows_of, says_name, whole_repeat
from pacer.show.view.viewvalues import STOP, Band, BandText
from pacer.show.wording.viewtext import say

BESIDE = 0.6  #: the share of a single row that a forecast needs beside what is done, which else makes way for it


class BandPart:
    """Draws a `Band` into `box`; its leftmost `deck` pixels are the deck."""

    def __init__(self, canvas, box: Box, deck: float, rows: Rows, theme: Theme, widest: str = "88"):
        self.group = InstructionGroup()
        canvas.add(self.group)
        self.box, self.rows, self.theme, self.widest = box, rows, theme, widest
        self.deck_box = Box(box.x, box.y, deck, box.height)
        self.water = Box(box.x + deck, box.y, box.width - deck, box.height)
        self.deck = Ground(self.group)
        self.edge = Plate(self.group)
        self.shape = StateShape(self.group)
        self.number = Words(self.group, "number")
        self.word = Words(self.group, "state")
        self.count = Digits(self.group, "count")
        self.mark = Words(self.group, "mark")
        self.leaves = Words(self.group, "leaves")
        self.cells: dict[str, Words] = {}
        self.ribbon = Ribbon(self.group)
        self.swum = Digits(self.group, "swum", bold=False)
        self.warning = StateShape(self.group)
        self.swimmers = Swimmers(self.group)
        self.board = Plate(self.group)
        self.forecast = Words(self.group, "forecast")
        self.foretold: tuple[str, ...] = ()  #: ways to say what becomes of the lane
        self.covers: tuple[Box, ...] = ()
        self.text: BandText | None = None
        self.counting: bool | str | None = (
            False  #: whether the count-down needs the room of the mark; "anew": write everything again
        )
        self.swimming = False
        self._lay_water()
        self.laid = deck_boxes(box, self.deck_box, rows, widest, self.bases[0])

    # -- layout --------------------------------------------------------------------------------

    def _lay_water(self) -> None:
        rows, box, water = self.rows, self.box, self.water
        laid = water_boxes(box, water, rows)
        self.swimmers.lay(
            water.x + 2,
            water.right - 0.3 * rows.unit,
            laid.out_y,
            laid.back_y,
            (round(rows.dart * 1.7), round(rows.dart)),
            self.theme.swimmer,
        )
        self.ribbon_box, self.bases = laid.ribbon, laid.bases
        left, wide = laid.ribbon.x, laid.ribbon.width
        self.left, self.wide = left, wide
        self.rooms = (wide,) * len(self.bases) + (
            wide if rows.ribbon else 0.0,
        )  #: how much of it each row and the ribbon have

    @property
    def beside(self) -> Box:
        """Where something may cover the water for a while without taking room from the words for what is done.

        The lower row, or the end of the only one. Swimmers pass above and below it.
        """
        unit, water, swimmers = self.rows.unit, self.water, self.swimmers
        if len(self.bases) > 1:
            low = self.bases[-1] - (FOOT + 0.03) * unit
            return Box(self.left, low, water.right - self.left, (LINE + 0.06) * unit)
        low = swimmers.out_y + swimmers.size[1]
        left = self.left + self.least + GAP * unit
        return Box(left, low, water.right - left, (swimmers.back_y if self.rows.strips > 1 else water.top) - low)

    @property
    def least(self) -> float:
        """The width of what is done now or next, said as short as possible; a next repeat of several parts whole, if
        the water is wide enough: a part of it reads as another set.
        """
        text, unit = self.text, self.rows.unit
        if text is None:
            return 0.0
        said = present_ways(text, lambda _words: True)[0]
        least = measure(said[0] if said else text.distance, unit, not said) + 2
        whole = whole_repeat(text)
        wide = measure(f"{text.distance}:", unit, True) + GAP * unit + measure(whole, unit, False) + 2 if whole else 0.0
        return max(least, wide) if wide <= self.wide else least

    @property
    def words_end(self) -> float:
        """Where the words end for all that is done, written with nothing over the water; its end while the lane says
        what becomes of it. A cue and the elapsed time are the first to go.
        """
        text, unit = self.text, self.rows.unit
        if text is None:
            return self.left
        labelled = self.rows.ribbon == "labels" and bool(text.ribbon)
        if self.foretold or labelled:
            return self.water.right
        rows = rows_of(text, (self.wide,) * len(self.bases), unit, measure, labelled)
        ends = [
            sum(
                measure(said, unit, item in BOLD) + (GAP + MARK * (item == "tight")) * unit
                for item, said in row.items()
                if item not in ("cue", "swum")
            )
            for row in rows
        ]
        return min(self.water.right, self.left + max(ends, default=0.0))

    def keep_clear(self, boxes: Sequence[Box]) -> None:
        """From now on no row and no ribbon goes under `boxes`; one that has no room beside them is left out."""
        unit, covers = self.rows.unit, tuple(boxes)
        if covers != self.covers:
            self.covers = covers
            if self.foretold:
                self.counting = "anew"

        def room(low: float, top: float) -> float:
            right = self._free_until(low, top)
            free = right - GAP * unit - self.left
            return self.wide if right >= self.water.right else free if free > 2 * unit else 0.0

        rooms = (
            *(room(base, base + unit) for base in self.bases),
            room(self.ribbon_box.y, self.ribbon_box.top) if self.rows.ribbon else 0.0,
        )
        if rooms != self.rooms:
            self.rooms, self.counting = rooms, "anew"

    def _free_until(self, low: float, top: float) -> float:
        """Where what covers the water between two heights begins; the end of the water if nothing does."""
        inside = [box.x for box in self.covers if box.y < top and box.top > low and box.x < self.water.right]
        return min(inside, default=self.water.right)

    # -- what becomes of the lane ---------------------------------------------------------------------

    def foretell(self, ways: tuple[str, ...]) -> None:
        """From now on say what becomes of the lane, below or beside what is done; (): nothing."""
        if ways != self.foretold:
            self.foretold, self.counting = ways, "anew"

    @property
    def _stops(self) -> bool:
        """Whether its swimmers are told to stop: that is always said, in words as large as there is room for."""
        return self.text is not None and self.text.state == STOP

    @property
    def _keeps_present(self) -> bool:
        """Whether the only row has room for what is done and a forecast."""
        free = self.wide - self.least - GAP * self.rows.unit
        if free >= BESIDE * self.wide or not self._stops or not self.foretold:
            return free >= BESIDE * self.wide
        return measure(self.foretold[-1], DRY * self.rows.unit, True) + self.rows.unit <= free

    def _foretell(self) -> None:
        """In characters of a size that is read with a finger on the glass, clear of what covers the water."""
        if not self.foretold:
            self.forecast.clear()
            self.board.put(NOWHERE, self.theme.ground)
            return
        unit, floor = self.rows.unit, self.rows.unit * DRY
        low, gap = self.swimmers.out_y + self.swimmers.size[1], 0.15 * unit
        if len(self.bases) > 1:
            left, top = self.left, self.bases[0] - FOOT * unit - gap
        else:
            left = self.left + (self.least + GAP * unit if self._keeps_present else 0.0)
            top = self.swimmers.back_y if self.rows.strips > 1 else self.water.top
        ways = self.foretold
        if len(self.bases) == 1 and self._stops and not self._keeps_present and self.text is not None:
            ways = tuple(f"{self.text.distance}, {way}" for way in ways)
        right = min(self._free_until(low, top), self.water.right) - gap
        box = Box(left, low, right - left, top - low)
        lines = int((box.height / floor - LINE) / PITCH) + 1
        fits = box.width > 0 and lines > 0 and measure(ways[-1], floor, True) <= box.width
        if not fits:
            self.forecast.clear()
            self.board.put(NOWHERE, self.theme.ground)
            return
        inner = box.inset(0.3 * unit, 0)
        self.forecast.put(ways, inner, unit, floor, self.theme.ink, bold=True, lines=lines)
        wide = self.forecast.width + 0.6 * unit
        self.board.put(box._replace(width=wide), self.theme.ground)

    # -- words --------------------------------------------------------------------------------------

    def show(self, band: Band) -> None:
        """Draw it; what has not changed is not drawn again."""
        text = band.text
        counting = (
            len(band.count) > (4 if self.rows.deck_rows == 1 else 5) if band.count else None
        )  # longer ones need the room of the mark
        fresh = text is not self.text or counting is not self.counting
        if fresh:
            self.text, self.counting = text, counting
            self._write(text)
        self.count.show(band.count)
        if text.lit >= 0 and (band.places or fresh):  # everything that glides, in any lane, moves in the same frames
            self.ribbon.show(band.done)
        if self.swimming:
            self.swum.show(band.swum)
        if band.places:
            self.swimmers.show(band.places)

    def _write(self, text: BandText) -> None:
        theme, unit = self.theme, self.rows.unit
        flip = text.state in ("ready", "go")
        state = theme.colour(text.state)
        ink, dim = (theme.on_state, theme.on_state) if flip else (theme.ink, theme.dim)
        if flip:
            self.deck.put(self.deck_box, state)
        else:
            self.deck.put(NOWHERE, state)
        self.edge.put(self.laid.edge, state)
        self.number.put(text.lane, self.laid.number, self.laid.number_cap, unit, ink, bold=True, across="middle")
        alone = self.counting is None and not text.clock and not text.leave_label
        shape, word = state_boxes(self.box, self.laid, self.rows, alone)
        self.shape.put(text.shape, shape, ink)
        roomy = self.laid.word.width >= measure(text.word, unit, True)
        if roomy and not (self.counting and self.rows.deck_rows == 1):
            self.word.put(text.word, word, unit, unit, ink, bold=True)
        else:
            self.word.clear()
        self._mark(text, dim)
        self._leaves(text, dim)
        self._count(ink)
        if self.rows.ribbon and text.ribbon and self.rooms[-1] and not self.foretold:
            self.ribbon.put(
                text,
                self.ribbon_box._replace(width=self.rooms[-1]),
                theme,
                unit,
                min(self.ribbon_box.height, BAR * unit),
                self.rows.ribbon == "labels" and self.rooms[-1] == self.wide,
            )
        else:
            self.ribbon.hide()
        self._row(text)
        self._foretell()

    def _mark(self, text: BandText, dim) -> None:
        unit, three = self.rows.unit, self.rows.deck_rows == 3
        if not text.clock:
            ways = (text.leave_label, say("finish short")) if text.leave_label == say("finish") else text.leave_label
            self.mark.put(ways, self.laid.wait, unit, unit, dim)
        elif self.counting and not three:
            self.mark.clear()
        elif three:
            self.mark.put(
                (f"{text.leave_label} {text.clock}", f"{say('at')} {text.clock}", text.clock),
                self.laid.mark,
                unit,
                unit,
                dim,
            )
        else:
            self.mark.put(text.clock, self.laid.mark, unit, unit, dim, bold=True, across="right")

    def _leaves(self, text: BandText, dim) -> None:
        """A label above the mark, or before it, if there is room."""
        unit, box = self.rows.unit, self.laid.word
        if self.laid.at is not None and self.mark.ink and text.clock:
            self.leaves.put(say("at"), self.laid.at, unit, unit, dim)
            return
        left = box.x + (measure(text.word, unit, True) + 0.5 * unit if self.word.ink else 0)
        wide = next(
            (wide for way in (text.leave_label, say("at")) if (wide := measure(way, unit)) <= box.right - left), 0
        )
        if self.rows.deck_rows != 2 or not self.mark.ink or not text.clock or not wide:
            self.leaves.clear()
            return
        way = text.leave_label if measure(text.leave_label, unit) == wide else say("at")
        self.leaves.put(way, line_box(box.right - wide, box.y + FOOT * unit, wide + 1, unit), unit, unit, dim)

    def _count(self, ink) -> None:
        box = self.laid.count_down
        if self.counting and self.rows.deck_rows < 3:
            alone = self.rows.deck_rows == 1 and not self.word.ink
            left = self.laid.shape.right + 0.4 * self.rows.unit if alone else box.x
            box = Box(left, box.y, self.laid.mark.right - left, box.height)
        self.count.lay(box, self.laid.count_cap, ink, "right" if self.rows.deck_rows == 1 else "left", "bottom")

    def _row(self, text: BandText) -> None:
        unit, labelled = self.rows.unit, self.ribbon.labelled and says_name(text, self.ribbon.labels)
        for cell in self.cells.values():
            cell.clear()
        self.warning.hide()
        self.swimming = False
        rooms = self.rooms[:-1]
        if self.foretold:
            rooms = (
                (rooms[0], *(0.0 for _ in rooms[1:]))
                if len(rooms) > 1
                else ((min(rooms[0], self.least) if self._keeps_present else 0.0),)
            )
        rows = rows_of(text, rooms, unit, measure, labelled)
        spare = 0.0
        if min(rooms) == self.wide:
            # The rows' unused height is spread above and below.
            rows = [row for row in rows if row]
            spare = (len(self.bases) - len(rows)) * (self.bases[0] - self.bases[-1]) / max(1, len(self.bases) - 1) / 2
        for row, base, wide in zip(rows, self.bases, rooms):
            self._line(row, base - spare, wide)
        if not self.swimming:
            self.swum.show("")

    def _line(self, row: dict[str, str], base: float, room: float) -> None:
        """Write a row from left to right, a cue at its right end."""
        unit, theme, left = self.rows.unit, self.theme, self.left
        for item, said in row.items():
            bold = item in BOLD
            wide = measure(said, unit, bold)
            if item == "cue" and len(row) > 1:
                left = self.left + room - wide
            if item == "swum":
                self._swum(self._cell("swum"), left, base)
            else:
                if item == "tight":
                    self.warning.put("warning", Box(left, base, unit, unit), theme.ink)
                    left += MARK * unit
                ink = theme.ink if item in ("distance", "present", "detail", "tight", "cue") else theme.dim
                self._cell(item).put(said, line_box(left, base, wide + 1, unit), unit, unit, ink, bold=bold)
            left += wide + GAP * unit

    def _swum(self, cell: Words, left: float, base: float) -> None:
        unit, theme = self.rows.unit, self.theme
        label = say("swum")
        wide = measure(label, unit)
        cell.put(label, line_box(left, base, wide + 1, unit), unit, unit, theme.dim)
        self.swum.lay(
            Box(left + measure(f"{label} ", unit), base, digits_width("88:88", font_size(unit)), unit),
            unit,
            theme.dim,
            "left",
            "bottom",
        )
        self.swimming = True

    def _cell(self, name: str) -> Words:
        found = self.cells.get(name)
        if found is None:
            found = self.cells[name] = Words(self.group, name)
        return found

    def drawn(self) -> list:
        """Its words: for tests."""
        return [
            self.number,
            self.word,
            self.count,
            self.leaves,
            self.mark,
            self.swum,
            *self.cells.values(),
            *self.ribbon.drawn(),
            self.forecast,
        ]
