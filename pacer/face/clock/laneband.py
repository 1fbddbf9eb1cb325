"""One lane in the pool view.

Number, state and count-down on the deck; distance, ribbon, cue and swimmers in the water.
"""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import InstructionGroup

from pacer.face.clock.ribbon import Ribbon
from pacer.face.clock.water import Swimmers
from pacer.face.kit.background import Ground
from pacer.face.kit.ink import NOWHERE, Box, Digits, Plate, StateShape, Words, digits_width, line_box
from pacer.face.kit.textures import font_size, measure
from pacer.show.measure.fitting import FOOT, LINE
from pacer.show.measure.poollayout import Rows
from pacer.show.measure.theme import Theme
from pacer.show.view.bandtext import BOLD, GAP, MARK, present_ways, rows_of, says_name
from pacer.show.view.viewvalues import Band, BandText
from pacer.show.wording.viewtext import say

BAR, SLIM = 0.34, 0.2  #: height of a ribbon without words, in character heights


def deck_width(width: float, rows: Rows, height: float, widest: str) -> float:
    """Width of the deck part of a band; `widest` is the widest of the lanes' numbers."""
    if rows.deck_rows == 1:
        return _one_row(width, rows, widest)[0]
    unit = rows.unit
    number = number_width(rows, height, widest)
    shape = 1.45 * unit
    mark = measure(":88", unit, True)
    word = max(measure(say(name), unit, True) for name in ("ready", "held"))
    low = digits_width("8:88", font_size(count_cap(rows, height))) + 0.7 * unit
    low = low + mark if rows.deck_rows == 2 else max(low, measure(f"{say('leaves at')} :88", unit))
    return min(number + max(shape + word, low) + 1.3 * unit, 0.5 * width)


def _one_row(width: float, rows: Rows, widest: str) -> tuple[float, bool]:
    """Width of a deck of one row, and whether it says `at` before the clock reading to leave at.

    More than ten minutes ahead, nobody needs that reading: the count-down takes its room.
    """
    unit = rows.unit
    narrow = number_width(rows, unit, widest) + 3.45 * unit + digits_width("8:88", font_size(unit))
    narrow += measure(":88", unit, True)
    wide = narrow + max(measure(say(name), unit, True) for name in ("ready", "held")) + 0.4 * unit
    beside_sheet = 0.56 if width < 21 * unit else 0.0  # elsewhere a time on its lane needs the room
    for way, says, most in ((wide, True, 0.53), (wide, False, 0.53), (narrow, True, beside_sheet)):
        whole = way + (at_width(unit) if says else 0)
        if whole < most * width:
            return whole, says
    return min(narrow, 0.62 * width), False


def at_width(unit: float) -> float:
    """Width of `at` before a clock reading, with the gap before it."""
    return measure(say("at"), unit) + 0.5 * unit


def number_cap(rows: Rows, height: float) -> float:
    """Character height of the lane's number."""
    return rows.unit if rows.deck_rows == 1 else min(0.4 * height, 2.4 * rows.unit)


def number_width(rows: Rows, height: float, widest: str) -> float:
    """Width reserved for the lane's number."""
    return measure(widest if rows.deck_rows == 1 else "88", number_cap(rows, height), True) + 0.6 * rows.unit


def count_cap(rows: Rows, height: float) -> float:
    """Character height of the count-down, with even space between the rows."""
    if rows.deck_rows == 1:
        return rows.unit
    room = height - (rows.deck_rows - 1) * rows.unit
    return min(0.62 * room, max(2.6 * rows.unit, 0.4 * height))


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
        self.text: BandText | None = None
        self.counting: bool | str | None = (
            False  #: whether the count-down needs the room of the mark; "anew": write everything again
        )
        self.swimming = False
        self._lay_water()
        self._lay_deck()

    # -- layout --------------------------------------------------------------------------------

    def _lay_water(self) -> None:
        rows, box, water, unit = self.rows, self.box, self.water, self.rows.unit
        right = water.right - 0.3 * unit
        left, wide = water.x + 0.5 * unit, right - water.x - 0.6 * unit
        edge = max(1.0, 0.12 * rows.dart)
        out_y, back_y = box.y + edge, box.top - edge - rows.dart
        low, high = out_y + rows.dart, back_y
        if rows.strips == 1:
            back_y, high = out_y, box.top - edge
        self.swimmers.lay(
            water.x + 2, right, out_y, back_y, (round(rows.dart * 1.7), round(rows.dart)), self.theme.swimmer
        )
        foot = {"labels": (LINE + 0.5) * unit, "bar": BAR * unit, "slim": SLIM * unit, "": 0.0}[rows.ribbon]
        if not rows.ribbon:
            # Parts of letters below the base line stay clear of swimmers, too.
            base = low + max(0.0, high - low - LINE * unit) / 2 + FOOT * unit
            self.ribbon_box, self.bases = Box(left, low, wide, 0), [base]
        else:
            # The space is even between capitals, not between lines: the eye does not count what hangs below a base
            # line.
            room = high - low - foot - rows.texts * unit
            air = min(0.62 * unit, max((0.46 if rows.strips > 1 else 0.43) * unit, room / (rows.texts + 1)))
            base = (
                low + max(0.0, room - rows.texts * air) / 3
            )  # most of what is left separates the words from those above them
            self.ribbon_box = Box(left, base, wide, foot)
            self.bases = [base + foot + air + line * (unit + air) for line in range(rows.texts)][::-1]
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
        """The width of what is done now or next, said as short as possible."""
        if self.text is None:
            return 0.0
        said = present_ways(self.text, lambda _words: True)[0]
        return measure(said[0] if said else self.text.distance, self.rows.unit, not said) + 2

    def keep_clear(self, boxes: Sequence[Box]) -> None:
        """From now on no row and no ribbon goes under `boxes`; one that has no room beside them is left out."""
        unit = self.rows.unit

        def room(low: float, top: float) -> float:
            right = min(
                (box.x for box in boxes if box.y < top and box.top > low and box.x < self.water.right),
                default=self.water.right,
            )
            free = right - GAP * unit - self.left
            return self.wide if right >= self.water.right else free if free > 2 * unit else 0.0

        rooms = (
            *(room(base, base + unit) for base in self.bases),
            room(self.ribbon_box.y, self.ribbon_box.top) if self.rows.ribbon else 0.0,
        )
        if rooms != self.rooms:
            self.rooms, self.counting = rooms, "anew"

    def _lay_deck(self) -> None:
        rows, unit, box = self.rows, self.rows.unit, self.deck_box
        self.at_box: Box | None = None
        edge = max(4.0, 0.24 * unit)
        self.edge_box = box._replace(width=edge)
        cap = number_cap(rows, box.height)
        base = self.bases[0] if rows.deck_rows == 1 else box.y + (box.height - cap) / 2
        self.number_cap = cap
        self.number_box = line_box(box.x + edge, base, number_width(rows, box.height, self.widest), cap)
        left, right = self.number_box.right + 0.25 * unit, box.right - 0.65 * unit
        mark = measure(":88", unit, True)
        self.count_cap = count_cap(rows, box.height)
        if rows.deck_rows == 1:
            count = digits_width("8:88", font_size(self.count_cap))
            at = at_width(unit) if _one_row(self.box.width, rows, self.widest)[1] else 0.0
            self.shape_box = Box(left, base, unit, unit)
            self.mark_box = line_box(right - mark, base, mark + 1, unit)
            self.at_box = line_box(self.mark_box.x + 0.1 * unit - at, base, at, unit) if at else None
            self.count_box = Box(right - mark - at - 0.4 * unit - count, base, count, self.count_cap)
            left += 1.45 * unit
            self.word_box = line_box(left, base, self.count_box.x - 0.3 * unit - left, unit)
            self.wait_box = line_box(self.count_box.x, base, right - self.count_box.x, unit)
            return
        lines = rows.deck_rows - 1
        air = (box.height - lines * unit - self.count_cap) / (lines + 2)
        base = box.y + air
        if rows.deck_rows == 3:
            self.mark_box = line_box(left, base, right - left, unit)
            base += unit + air
            self.count_box = Box(left, base, right - left, self.count_cap)
        else:
            self.mark_box = line_box(right - mark, base, mark + 1, unit)
            self.count_box = Box(left, base, right - mark - 0.4 * unit - left, self.count_cap)
        self.wait_box = line_box(left, self.count_box.y, right - left, unit)
        base += self.count_cap + air
        self.shape_box = Box(left, base, unit, unit)
        self.word_box = line_box(left + 1.4 * unit, base, right - left - 1.4 * unit, unit)

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
        self.edge.put(self.edge_box, state)
        self.number.put(text.lane, self.number_box, self.number_cap, unit, ink, bold=True, across="middle")
        alone = self.rows.deck_rows > 1 and self.counting is None and not text.clock and not text.leave_label
        up = self.box.y + (self.box.height - unit) / 2 - self.shape_box.y if alone else 0.0  # beside the number
        self.shape.put(text.shape, self.shape_box._replace(y=self.shape_box.y + up), ink)
        roomy = self.word_box.width >= measure(text.word, unit, True)
        if roomy and not (self.counting and self.rows.deck_rows == 1):
            self.word.put(text.word, self.word_box._replace(y=self.word_box.y + up), unit, unit, ink, bold=True)
        else:
            self.word.clear()
        self._mark(text, ink, dim)
        self._leaves(text, dim)
        self._count(ink)
        if self.rows.ribbon and text.ribbon and self.rooms[-1]:
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

    def _mark(self, text: BandText, ink, dim) -> None:
        unit, three = self.rows.unit, self.rows.deck_rows == 3
        if not text.clock:
            ways = (text.leave_label, say("finish short")) if text.leave_label == say("finish") else text.leave_label
            self.mark.put(ways, self.wait_box, unit, unit, dim)
        elif self.counting and not three:
            self.mark.clear()
        elif three:
            self.mark.put(
                (f"{text.leave_label} {text.clock}", f"{say('at')} {text.clock}", text.clock),
                self.mark_box,
                unit,
                unit,
                dim,
            )
        else:
            self.mark.put(text.clock, self.mark_box, unit, unit, dim, bold=True, across="right")

    def _leaves(self, text: BandText, dim) -> None:
        """A label above the mark, or before it, if there is room."""
        unit, box = self.rows.unit, self.word_box
        if self.at_box is not None and self.mark.ink and text.clock:
            self.leaves.put(say("at"), self.at_box, unit, unit, dim)
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
        box = self.count_box
        if self.counting and self.rows.deck_rows < 3:
            left = (
                self.shape_box.right + 0.4 * self.rows.unit if self.rows.deck_rows == 1 and not self.word.ink else box.x
            )
            box = Box(left, box.y, self.mark_box.right - left, box.height)
        self.count.lay(box, self.count_cap, ink, "right" if self.rows.deck_rows == 1 else "left", "bottom")

    def _row(self, text: BandText) -> None:
        unit, labelled = self.rows.unit, self.ribbon.labelled and says_name(text, self.ribbon.labels)
        for cell in self.cells.values():
            cell.clear()
        self.warning.hide()
        self.swimming = False
        rows = rows_of(text, self.rooms[:-1], unit, measure, labelled)
        spare = 0.0
        if min(self.rooms[:-1]) == self.wide:
            # The rows' unused height is spread above and below.
            rows = [row for row in rows if row]
            spare = (len(self.bases) - len(rows)) * (self.bases[0] - self.bases[-1]) / max(1, len(self.bases) - 1) / 2
        for row, base, wide in zip(rows, self.bases, self.rooms):
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
        label = say("swum short")
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
        ]
