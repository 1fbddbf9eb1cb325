"""The dial: the same instant as a sweeping hand.

Its rim is a rope of sixty floats; each lane's next send-off is pinned to it.
"""

from __future__ import annotations

from functools import lru_cache
from math import cos, pi, sin

from kivy.graphics import Color, InstructionGroup, Line, Mesh, PopMatrix, PushMatrix, Rotate, SmoothEllipse
from kivy.graphics.texture import Texture

from pacer.face.clock.diallayout import DialBoxes, chips_around, dial_boxes
from pacer.face.clock.runningview import RunningView
from pacer.face.kit.ink import Box, Digits, Plate, RoundPlate, StateShape, Words, digits_width, line_box
from pacer.face.kit.quads import Quads, covered
from pacer.face.kit.textures import font_size, measure
from pacer.show.measure.fitting import FOOT, LINE
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import Theme
from pacer.show.view.viewvalues import Band, BandText, DialNow, Mark
from pacer.show.wording.viewtext import clock_ways, say

NUMERALS = 5  #: seconds from one numeral to the next

FLOAT_PX = 32  #: diameter of a float in its texture
FLOAT_ROOM = 1.25  #: side of that texture relative to it, with room for a soft edge


@lru_cache(1)
def _float() -> Texture:
    """A float of the rim, for any size: sixty of them take two draw calls."""
    side = round(FLOAT_PX * FLOAT_ROOM)
    return covered(side, side, lambda x, y: FLOAT_PX / 2 - ((x - side / 2) ** 2 + (y - side / 2) ** 2) ** 0.5 + 0.5)


class DialView(RunningView):
    """Draws a `pacer.show.view.viewvalues.DialNow`. A tap on a lane's row chooses it."""

    def on_touch_down(self, touch):
        """Choose the lane under the finger."""
        if super().on_touch_down(touch):
            return True
        for index, row in enumerate(self.face.rows if self.face else ()):
            if row.box.x <= touch.x < row.box.right and row.box.y <= touch.y < row.box.top:
                self.dispatch("on_lane", index)
                return True
        return False

    def shape_of(self, view: DialNow) -> int:
        """The number of lanes."""
        return len(view.bands)

    def laid_out(self, view: DialNow) -> _Face:
        """Rim, hand and rows."""
        boxes = dial_boxes(self.clear, self.glass, len(view.bands), self.corner)
        return _Face(self.canvas, boxes, self.theme, self.glass)


class _Face:
    """Rim, hand, pins and rows, laid out."""

    def __init__(self, canvas, boxes: DialBoxes, theme: Theme, glass: Glass):
        self.group = InstructionGroup()
        canvas.add(self.group)
        self.boxes, self.theme, self.glass = boxes, theme, glass
        self.rim = InstructionGroup()
        self.group.add(self.rim)
        self.numerals = [Words(self.group, "numeral", 2) for _ in range(60 // NUMERALS)]
        self.pins = InstructionGroup()
        self.group.add(self.pins)
        self.chips: list[tuple[RoundPlate, RoundPlate, Words]] = []  #: plate, what makes it hollow, lanes
        self.chip_group = InstructionGroup()
        self.group.add(self.chip_group)
        self._hand()
        self.hub = Digits(self.group, "clock", 2)
        self.session = Digits(self.group, "session")
        self.label = Words(self.group, "session label")
        self.section = Words(self.group, "section")
        self.whose = Words(self.group, "whose clock")
        self.rows = [_Row(self.group, box, boxes.unit, theme) for box in boxes.rows]
        self.hand = 0.0
        self.marks: tuple[Mark, ...] | None = None
        self.said: tuple | None = None
        self._draw_rim()

    # -- fixed parts ----------------------------------------------------------------------------

    def _draw_rim(self) -> None:
        boxes, theme = self.boxes, self.theme
        cx, cy = boxes.centre
        self.rim.add(Color(*theme.water))
        radius = boxes.radius
        self.rim.add(SmoothEllipse(pos=(cx - radius, cy - radius), size=(2 * radius, 2 * radius), segments=120))
        for colour, seconds in (
            (theme.float_, range(0, 60, 15)),
            (theme.rope, [second for second in range(60) if second % 15]),
        ):
            corners: list[float] = []
            for second in seconds:
                x, y = _at(boxes.centre, radius, second * 6)
                half = boxes.float_ * (1 if second % 5 == 0 else 0.55) / 2 * FLOAT_ROOM
                corners += (
                    x - half,
                    y - half,
                    0,
                    0,
                    x + half,
                    y - half,
                    1,
                    0,
                    x + half,
                    y + half,
                    1,
                    1,
                    x - half,
                    y + half,
                    0,
                    1,
                )
            Quads(self.rim).put(corners, _float(), colour)
        for number, words in enumerate(self.numerals):
            second = number * NUMERALS
            x, y = _at(boxes.centre, boxes.numeral_radius, second * 6)
            text = str(second or 60)
            wide, high = measure(text, boxes.numeral_cap, True) + 2, LINE * boxes.numeral_cap
            words.put(
                text,
                Box(x - wide / 2, y - high / 2, wide, high),
                boxes.numeral_cap,
                1,
                theme.ink,
                bold=True,
                across="middle",
            )

    def _hand(self) -> None:
        boxes, theme = self.boxes, self.theme
        cx, cy = boxes.centre
        group = InstructionGroup()
        self.group.add(group)
        group.add(PushMatrix())
        self.rotation = Rotate(angle=0, origin=(cx, cy), axis=(0, 0, 1))
        group.add(self.rotation)
        # The wake: where the hand was during the last seconds.
        steps, long = 14, boxes.hand_length * 0.98
        for i in range(steps):
            group.add(Color(*theme.float_, 0.34 * (1 - i / steps)))
            a, b = _at((cx, cy), long, -i * 2.2), _at((cx, cy), long, -(i + 1) * 2.2)
            group.add(Mesh(vertices=[cx, cy, 0, 0, *a, 0, 0, *b, 0, 0], indices=[0, 1, 2], mode="triangles"))
        # Broad as far as the numerals, a needle between them.
        half, tip, neck = boxes.hand_width / 2, cy + boxes.hand_length, cy + boxes.neck
        needle = max(1.5, 0.1 * half)
        group.add(Color(*theme.ink))
        group.add(
            Mesh(
                vertices=[
                    cx - half,
                    cy - 2.2 * half,
                    0,
                    0,
                    cx + half,
                    cy - 2.2 * half,
                    0,
                    0,
                    cx + half * 0.6,
                    neck - half,
                    0,
                    0,
                    cx,
                    neck,
                    0,
                    0,
                    cx - half * 0.6,
                    neck - half,
                    0,
                    0,
                ],
                indices=[0, 1, 2, 3, 4],
                mode="triangle_fan",
            )
        )
        group.add(
            Mesh(
                vertices=[
                    cx - needle,
                    neck - half,
                    0,
                    0,
                    cx + needle,
                    neck - half,
                    0,
                    0,
                    cx + needle,
                    tip,
                    0,
                    0,
                    cx - needle,
                    tip,
                    0,
                    0,
                ],
                indices=[0, 1, 2, 3],
                mode="triangle_fan",
            )
        )
        group.add(PopMatrix())
        group.add(Color(*theme.ink))
        group.add(SmoothEllipse(pos=(cx - 1.5 * half, cy - 1.5 * half), size=(3 * half, 3 * half)))

    # -- moving parts ------------------------------------------------------------------------------

    def show(self, view: DialNow) -> None:
        if view.hand != self.hand:  # setting the angle draws the picture again, even if it is the same
            self.hand = view.hand
            self.rotation.angle = -view.hand
        if view.marks != self.marks:
            self.marks = view.marks
            self._pin(view.marks)
        # Before the session's zero the label has the time to go, in words that change with it; after it digits count up
        # beside the label.
        said = (view.section, view.whose, view.session_label, len(view.session) if view.begun else view.session)
        if said != self.said:
            self.said = said
            self._write(view)
        self.hub.show(view.clock)
        if view.begun:
            self.session.show(view.session)
        for row, band in zip(self.rows, view.bands):
            row.show(band)

    def _write(self, view: DialNow) -> None:
        boxes, theme, unit = self.boxes, self.theme, self.boxes.unit
        self.hub.lay(boxes.clock, boxes.clock.height, theme.ink, "left")
        self.section.put(view.section, boxes.section, unit, unit, theme.ink, bold=True)
        self.whose.put(
            clock_ways(view.whose),
            boxes.whose,
            unit,
            unit,
            theme.dim,
            lines=2 if boxes.whose.height > LINE * unit else 1,
        )
        if view.begun:
            left = boxes.session.x + digits_width(view.session, font_size(unit)) + 0.4 * unit
            room = boxes.label._replace(x=left, width=boxes.label.right - left)
            ways = tuple(way for way in (view.session_label, say("session")) if measure(way, unit) <= room.width)
            self.label.put(ways or ("",), room, unit, unit, theme.dim)
            self.session.lay(
                boxes.session._replace(y=boxes.session.y + FOOT * unit, height=unit), unit, theme.ink, up="bottom"
            )  # on the label's base line
            return
        row = boxes.session._replace(width=boxes.label.right - boxes.session.x)
        self.label.put((f"{view.session_label} {view.session}", view.session), row, unit, unit, theme.dim)
        self.session.show("")

    def _pin(self, marks: tuple[Mark, ...]) -> None:
        boxes, theme = self.boxes, self.theme
        chips = chips_around(marks, boxes, measure)
        self.pins.clear()
        for chip in chips:
            colour = theme.colour(chip.colour)
            self.pins.add(Color(*colour))
            x, y = _at(boxes.centre, boxes.radius, chip.second * 6)
            size = boxes.float_ * 1.5
            self.pins.add(
                Line(
                    points=(x, y, chip.box.x + chip.box.width / 2, chip.box.y + chip.box.height / 2),
                    width=max(1.5, boxes.float_ * 0.14),
                )
            )
            self.pins.add(SmoothEllipse(pos=(x - size / 2, y - size / 2), size=(size, size)))
            if chip.later:  # hollow, as its chip is
                self.pins.add(Color(*theme.ground))
                self.pins.add(SmoothEllipse(pos=(x - size / 4, y - size / 4), size=(size / 2, size / 2)))
        while len(self.chips) < len(chips):
            group = self.chip_group
            self.chips.append((RoundPlate(group), RoundPlate(group), Words(group, "mark")))
        for number, (plate, hollow, words) in enumerate(self.chips):
            if number >= len(chips):
                plate.hide()
                hollow.hide()
                words.clear()
                continue
            chip, edge = chips[number], max(2.0, 0.14 * boxes.unit)
            plate.put(chip.box, theme.colour(chip.colour), radius=boxes.unit * 0.4)
            if chip.later:
                hollow.put(chip.box.inset(edge, edge), theme.ground, radius=boxes.unit * 0.4 - edge)
            else:
                hollow.hide()
            words.put(
                chip.text,
                chip.box.inset(0.25 * boxes.unit, 0.1 * boxes.unit),
                boxes.unit,
                boxes.unit,
                theme.ink if chip.later else theme.on_state,
                bold=True,
                across="middle",
                lines=chip.lines,
            )

    def drawn(self) -> list:
        return [
            *self.numerals,
            self.hub,
            self.session,
            self.label,
            self.section,
            self.whose,
            *(words for _, _, words in self.chips),
            *(piece for row in self.rows for piece in row.drawn()),
        ]


class _Row:
    """A lane beside the dial: number, state, count-down, the mark to leave on."""

    def __init__(self, group, box: Box, unit: float, theme: Theme):
        self.box, self.unit, self.theme = box, unit, theme
        self.plate = Plate(group)
        self.edge = Plate(group)
        self.shape = StateShape(group)
        self.number = Words(group, "number")
        self.count = Digits(group, "count")
        self.at, self.mark = Words(group, "at"), Words(group, "mark")
        self.text: BandText | None = None
        self.long = False  # hours to go take the mark's room
        self.short = True  # less than ten minutes leave some room

    def show(self, band: Band) -> None:
        long, short = len(band.count) > 5, len(band.count) < 5
        if band.text is not self.text or long is not self.long or short is not self.short:
            self.text, self.long, self.short = band.text, long, short
            self._write(band.text)
        self.count.show(band.count)

    def _write(self, text: BandText) -> None:
        box, unit, theme = self.box, self.unit, self.theme
        flip = text.state in ("ready", "go")
        state = theme.colour(text.state)
        ink = theme.on_state if flip else theme.ink
        self.plate.put(box, state if flip else theme.deck)
        self.edge.put(box._replace(width=max(4.0, 0.2 * unit)), state)
        number = measure("88", unit, True)
        left = box.x + 0.5 * unit
        base = box.y + (box.height - unit) / 2
        self.number.put(text.lane, line_box(left, base, number, unit), unit, unit, ink, bold=True, across="middle")
        left += number + 0.5 * unit
        self.shape.put(text.shape, Box(left, box.y + (box.height - unit) / 2, unit, unit), ink)
        left += 1.6 * unit
        right = box.right - 0.4 * unit
        if not text.clock:
            self.at.clear()
            self.mark.put(
                text.word, line_box(left, base, right - left, unit), unit, unit, ink, bold=True, across="right"
            )
            return
        mark = 0 if self.long else measure(":88", unit, True)
        dim = ink if flip else theme.dim
        self.mark.put(
            "" if self.long else text.clock, line_box(right - mark, base, mark + 1, unit), unit, unit, dim, bold=True
        )
        right -= mark
        wide, room = (
            measure(say("at"), unit),
            right - left - digits_width("8:88" if self.short else "88:88", font_size(unit)),
        )
        if mark and wide + 0.65 * unit <= room:  # the time to go must not run into the clock reading to leave at
            self.at.put(say("at"), line_box(right - 0.25 * unit - wide, base, wide + 1, unit), unit, unit, dim)
            right -= wide + 0.65 * unit
        else:
            self.at.clear()
            right -= min(1.1 * unit, max(0.4 * unit, room)) if mark else 0
        self.count.lay(Box(left, base, max(0, right - left), unit), unit, ink, "right", "bottom")

    def drawn(self) -> list:
        return [self.number, self.count, self.at, self.mark]


def _at(centre: tuple[float, float], radius: float, degrees: float) -> tuple[float, float]:
    """A point at a distance from the centre, clockwise from the top."""
    angle = degrees * pi / 180
    return centre[0] + radius * sin(angle), centre[1] + radius * cos(angle)
