"""The pool view, the coach's: the pool seen from above, its lanes as bands between their ropes."""

from __future__ import annotations

from pathlib import Path

from kivy.graphics import InstructionGroup
from kivy.lang import Builder
from kivy.properties import ObjectProperty
from kivy.uix.widget import Widget

from pacer.face.band import Rows, rows_of
from pacer.face.fitting import LINE, Item, filled, quoted
from pacer.face.ink import Box, Digits, Frame, Plate, StateShape, Words, digits_width
from pacer.face.legibility import Glass
from pacer.face.text import font_size, measure
from pacer.face.theme import DARK, Theme
from pacer.face.view import Band, BandText
from pacer.face.view import PoolView as Shown
from pacer.face.water import Rope, Swimmers
from pacer.face.words import say

Builder.load_file(str(Path(__file__).with_suffix(".kv")))

ROPE_MM = 1.1     #: thickness of a rope
WALL_MM = 1.3     #: of the home wall; the far wall is half as thick


class PoolView(Widget):
    """Draws a `pacer.face.view.PoolView`: `show` it once a frame.

    A tap on a band sends `on_lane` with the lane's index. `near_wall` is the share of a length that the
    rope's end floats take.
    """

    theme: Theme = ObjectProperty(DARK)
    glass: Glass = ObjectProperty(Glass())

    def __init__(self, **kwargs):
        self.register_event_type("on_lane")
        super().__init__(**kwargs)
        self.view: Shown | None = None
        self.header: _Header | None = None
        self.bands: list[_Band] = []
        self._laid: tuple | None = None

    def on_lane(self, index: int) -> None:
        """A band was tapped."""

    def on_touch_down(self, touch):
        """Choose the lane under the finger."""
        if super().on_touch_down(touch):
            return True
        for index, band in enumerate(self.bands):
            if band.box.y <= touch.y < band.box.top and self.collide_point(*touch.pos):
                self.dispatch("on_lane", index)
                return True
        return False

    def show(self, view: Shown) -> None:
        """Draw `view`; what has not changed is not drawn again."""
        wanted = (tuple(self.pos), tuple(self.size), self.theme, self.glass, len(view.bands))
        if wanted != self._laid:
            self._laid = wanted
            self._lay(len(view.bands), view.near_wall)
        self.view = view
        self.header.show(view)
        for band, shown in zip(self.bands, view.bands):
            band.show(shown)

    def drawn(self) -> list:
        """Everything written, with its box and its ink: for tests."""
        return [piece for part in (self.header, *self.bands) if part for piece in part.drawn() if piece.ink]

    def _lay(self, lanes: int, near_wall: float) -> None:
        self.canvas.clear()
        unit = self.glass.coach_px
        header = _header_height(self.width, self.height, unit, lanes)
        box = Box(self.x, self.top - header[0], self.width, header[0])
        self.header = _Header(self.canvas, box, header[1], unit, self.theme)
        rope = max(5.0, self.glass.px(ROPE_MM))
        high = (self.height - header[0] - rope) / max(1, lanes)
        rows = rows_of(high - rope, unit, self.glass.px_per_mm)
        deck = _deck_width(self.width, rows, high - rope)
        self.bands = []
        for index in range(lanes):
            y = self.y + (lanes - 1 - index) * high
            band = Box(self.x, round(y + rope), self.width, round(y + high) - round(y + rope))
            self.bands.append(_Band(self.canvas, band, deck, rows, self.theme, self.glass, index))
        for index in range(lanes + 1):
            line = Rope(self.canvas)
            y = round(self.y + index * high)
            line.put(Box(self.x + deck, y, self.width - deck, rope), near_wall, self.theme.float_, self.theme.rope)
        for left, mm in ((self.x + deck - self.glass.px(WALL_MM), WALL_MM), (self.right - self.glass.px(WALL_MM / 2), WALL_MM / 2)):
            Plate(self.canvas).put(Box(left, self.y, self.glass.px(mm), self.height - header[0]), self.theme.rope)


def _header_height(width: float, height: float, unit: float, lanes: int) -> tuple[float, int]:
    """Height of the header and its rows: 1 where the bands need the room, 2, or 3 on a narrow glass."""
    two = 3.3 * unit
    if (height - two) / max(1, lanes) < 3.2 * unit:
        return 1.75 * unit, 1
    if width < 34 * unit:
        return two + LINE * unit * 1.1, 3
    return two, 2


def _deck_width(width: float, rows: Rows, height: float) -> float:
    """Width of the part of a band that stands on the deck: number, state, count-down."""
    unit = rows.unit
    number = _number_width(rows, height)
    if rows.deck_rows == 1:
        shape = 1.5 * unit
        count = digits_width("88:88", font_size(unit))
        mark = measure(":88", unit, True)
        word = measure(say("ready"), unit, True)
        narrow = number + shape + count + mark + 2.2 * unit
        return narrow + word + 0.5 * unit if narrow + word < 0.42 * width else min(narrow, 0.6 * width)
    words = max(measure(say(name), unit, True) for name in ("ready", "held")) + 1.5 * unit
    mark = measure(f"{say('leaves at')} :88", unit, False)
    return min(number + max(words, mark) + 1.1 * unit, 0.46 * width)


def _number_width(rows: Rows, height: float) -> float:
    return measure("88", _number_cap(rows, height), True) + 0.5 * rows.unit


def _number_cap(rows: Rows, height: float) -> float:
    return rows.unit if rows.deck_rows == 1 else min(0.42 * height, 2.0 * rows.unit)


class _Header:
    """The pace clock's reading, time in the session, section and title, when everybody is out."""

    def __init__(self, canvas, box: Box, rows: int, unit: float, theme: Theme):
        self.group = InstructionGroup()
        canvas.add(self.group)
        self.box, self.rows, self.unit, self.theme = box, rows, unit, theme
        self.flashing: bool | None = None
        self.plate = Plate(self.group)
        self.clock = Digits(self.group, "clock")
        self.session = Digits(self.group, "session")
        self.label, self.section, self.title, self.out, self.spare = (
            Words(self.group, name) for name in ("session label", "section", "title", "out", "spare"))
        self.said: tuple | None = None
        self._lay()

    def _lay(self) -> None:
        box, unit, theme = self.box, self.unit, self.theme
        pad = 0.45 * unit
        line = LINE * unit * 1.1
        if self.rows == 1:
            rows = [Box(box.x, box.y, box.width, box.height)] * 2
            cap = unit * 1.15
        else:
            two = Box(box.x, box.top - 3.3 * unit, box.width, 3.3 * unit).inset(0, 0.28 * unit)
            rows = [two.row(0.5, 1), two.row(0, 0.5)]
            cap = min(2.2 * unit, two.height)
        self.pad, self.line = pad, line
        wide = digits_width(":88", font_size(cap))
        self.clock_box = Box(box.x + pad, rows[1].y, wide, rows[0].top - rows[1].y)
        self.clock.lay(self.clock_box, cap, theme.ink)
        self.upper, self.lower = rows
        self.left = self.clock_box.right + 1.1 * unit

    def show(self, view: Shown) -> None:
        said = (view.session_label, view.section, view.title, view.out, view.spare, len(view.session), view.session[:1].isdigit())
        if said != self.said:
            self.said = said
            self._write(view)
        self.clock.show(view.clock)
        if view.session[:1].isdigit():
            self.session.show(view.session)
        if view.flash != self.flashing:
            self.flashing = view.flash
            theme = self.theme
            self.plate.put(Box(self.box.x, self.box.y, self.clock_box.right + self.pad - self.box.x, self.box.height),
                           theme.ink if view.flash else theme.ground)
            self.clock.tint(theme.ground if view.flash else theme.ink)

    def _write(self, view: Shown) -> None:
        box, unit, theme, pad = self.box, self.unit, self.theme, self.pad
        right, left = box.right - pad, self.left
        digits = view.session[:1].isdigit()
        if self.rows == 1:
            out = filled((Item("out", (view.out,), 0, True), Item("spare", (view.spare,), 1)), 0.42 * box.width, unit, unit, measure)
            for words, name, bold, colour in ((self.spare, "spare", False, theme.dim), (self.out, "out", True, theme.ink)):
                text = out.get(name, "")
                wide = measure(text, unit, bold)
                words.put(text, Box(right - wide, box.y, wide, box.height), unit, unit, colour, bold=bold)
                right -= wide + (unit if text else 0)
            time = digits_width(view.session, font_size(unit)) if digits else measure(view.session, unit, True)
            self.label.put("", Box(left, box.y, 1, 1), unit, unit, theme.dim)
            if digits and not view.begun:
                wide = min(measure(view.session_label, unit), max(0, right - left - time - unit))
                self.label.put(view.session_label, Box(left, box.y, wide, box.height), unit, unit, theme.dim)
                left += self.label.width + 0.4 * unit
            self._time(view, Box(left, box.y, time, box.height), digits)
            left += time + 1.1 * unit
            self.section.put(view.section, Box(left, box.y, max(0, right - left), box.height), unit, unit, theme.ink)
            self.title.put("", Box(left, box.y, 0, 0), unit, unit, theme.dim)
            return
        wide = max(measure(view.out, unit, True), measure(view.spare, unit))
        wide = min(wide, 0.4 * box.width)
        self.out.put(view.out, Box(right - wide, self.upper.y, wide, self.upper.height), unit, unit, theme.ink, bold=True, across="right")
        self.spare.put(view.spare, Box(right - wide, self.lower.y, wide, self.lower.height), unit, unit, theme.dim, across="right")
        right -= wide + 0.9 * unit
        time = digits_width(view.session, font_size(unit)) if digits else measure(view.session, unit, True)
        labels = (view.session_label, say("session")) if view.begun else (view.session_label,)
        room = right - left if self.rows == 3 else 0.32 * box.width
        label = next((way for way in labels if measure(way, unit) <= room), labels[-1])
        wide = min(room, max(time, measure(label, unit)))
        self.label.put(label, Box(left, self.upper.y, wide, self.upper.height), unit, unit, theme.dim)
        self._time(view, Box(left, self.lower.y, max(wide, time), self.lower.height), digits)
        left += max(wide, time) + 1.1 * unit
        if self.rows == 3:
            low = Box(box.x + pad, box.y + 0.1 * unit, box.width - 2 * pad, self.line)
            section = min(measure(view.section, unit, True), low.width)
            self.section.put(view.section, low._replace(width=section), unit, unit, theme.ink, bold=True)
            rest = Box(low.x + section + unit, low.y, max(0, low.width - section - unit), low.height)
            title = view.title if measure(view.title, unit) <= rest.width else ""
            self.title.put(title, rest, unit, unit, theme.dim)
            return
        wide = max(0, right - left)
        self.section.put(view.section, Box(left, self.lower.y, wide, self.lower.height), unit, unit, theme.ink, bold=True)
        self.title.put(view.title, Box(left, self.upper.y, wide, self.upper.height), unit, unit, theme.dim)

    def _time(self, view: Shown, box: Box, digits: bool) -> None:
        # Words stand in for the time before the session has begun; they share one place with it.
        if digits:
            self.session.lay(box, self.unit, self.theme.ink)
        else:
            self.session.show("")

    def drawn(self) -> list:
        return [self.clock, self.session, self.label, self.section, self.title, self.out, self.spare]


class _Band:
    """One lane."""

    def __init__(self, canvas, box: Box, deck: float, rows: Rows, theme: Theme, glass: Glass, index: int):
        self.group = InstructionGroup()
        canvas.add(self.group)
        self.box, self.rows, self.theme = box, rows, theme
        self.deck_box = Box(box.x, box.y, deck, box.height)
        self.water = Box(box.x + deck, box.y, box.width - deck, box.height)
        Plate(self.group).put(self.water, theme.water_2 if index % 2 else theme.water)
        self.deck = Plate(self.group)
        self.edge = Plate(self.group)
        self.shape = StateShape(self.group)
        self.number = Words(self.group, "number")
        self.word = Words(self.group, "state")
        self.count = Digits(self.group, "count")
        self.mark = Words(self.group, "mark")
        self.cells: dict[str, Words] = {}
        self.pieces: list[tuple[Plate, Frame, Words]] = []
        self.progress = Plate(self.group)
        self.swimmers = Swimmers(self.group)
        self.text: BandText | None = None
        self.counting: bool | None = None
        self.track: Box | None = None
        self.done = -1
        self._lay()

    # -- where things are ----------------------------------------------------------------------

    def _lay(self) -> None:
        rows, box, unit = self.rows, self.box, self.rows.unit
        dart = (round(rows.dart * 1.7), round(rows.dart))
        pad = 0.5 * unit
        right = self.water.right - 0.25 * unit
        if rows.circle:
            edge = max(1, 0.12 * rows.dart)
            out_y, back_y = box.y + edge, box.top - edge - rows.dart
            inner = Box(self.water.x + pad, box.y + edge + rows.dart, right - self.water.x - pad - 0.25 * unit,
                        box.height - 2 * (edge + rows.dart))
        else:
            strip = box.height - LINE * unit
            out_y, back_y = box.y, box.y + max(rows.dart, strip - rows.dart)
            inner = Box(self.water.x + pad, box.y + strip, right - self.water.x - pad - 0.25 * unit, LINE * unit)
        self.swimmers.lay(self.water.x + 2, right, out_y, back_y, dart, self.theme.swimmer)
        foot = {"labels": (LINE + 0.45) * unit, "bar": 0.3 * unit, "": 0}[rows.ribbon]
        air = max(0, inner.height - foot - rows.texts * LINE * unit) / (rows.texts + 2 if rows.ribbon else rows.texts + 1)
        self.ribbon = Box(inner.x, inner.y + air, inner.width, foot)
        top = inner.top - air
        self.lines = []
        for _ in range(rows.texts):
            self.lines.append(Box(inner.x, top - LINE * unit, inner.width, LINE * unit))
            top -= LINE * unit + air * 0.6
        self._lay_deck()

    def _lay_deck(self) -> None:
        rows, unit, box = self.rows, self.rows.unit, self.deck_box
        edge = max(4.0, 0.22 * unit)
        self.edge_box = Box(box.x, box.y, edge, box.height)
        cap = _number_cap(rows, box.height)
        number = _number_width(rows, box.height)
        self.number_box = Box(box.x + edge, box.y, number, box.height)
        left = self.number_box.right + 0.25 * unit
        right = box.right - 0.35 * unit
        self.number_cap = cap
        wide = right - left
        if rows.deck_rows == 1:
            self.shape_box = Box(left, box.y + (box.height - unit) / 2, unit, unit)
            left += 1.45 * unit
            mark = measure(":88", unit, True)
            count = digits_width("88:88", font_size(unit))
            rest = right - left - mark - count - unit
            self.word_box = Box(left, box.y, rest, box.height) if rest > 2 * unit else None
            self.mark_box = Box(right - mark, box.y, mark, box.height)
            self.count_box = Box(self.mark_box.x - 0.5 * unit - count, box.y, count, box.height)
            self.count_cap = unit
            return
        line = LINE * unit
        count_rows = 1 if rows.deck_rows == 3 else 0
        air = 0.12 * unit
        upper = Box(left, box.top - line - air, wide, line)
        self.shape_box = Box(left, upper.y + 0.35 * unit, unit, unit)
        self.word_box = Box(left + 1.4 * unit, upper.y, wide - 1.4 * unit, line)
        if count_rows:
            self.mark_box = Box(left, box.y + air, wide, line)
            self.count_box = Box(left, self.mark_box.top, wide, upper.y - self.mark_box.top)
            self.count_cap = min(self.count_box.height * 0.96, 3 * unit)
        else:
            mark = measure(":88", unit, True)
            low = Box(left, box.y, wide, upper.y - box.y)
            self.mark_box = Box(right - mark, low.y, mark, low.height)
            self.count_box = Box(left, low.y, wide - mark - 0.5 * unit, low.height)
            self.count_cap = min(low.height * 0.8, 1.4 * unit)

    # -- what is said -------------------------------------------------------------------------------

    def show(self, band: Band) -> None:
        text = band.text
        if text is not self.text:
            self.text = text
            self._write(text, bool(band.count))
        elif bool(band.count) != self.counting:
            self._write(text, bool(band.count))
        self.count.show(band.count)
        if text.lit >= 0 and self.track is not None:
            piece = text.ribbon[text.lit]
            done = int(self.track.width * (piece.start + (piece.end - piece.start) * band.done))
            if done != self.done:
                self.done = done
                self.progress.put(self.track._replace(width=done), self.theme.ink)
        if band.places:
            self.swimmers.show(band.places)

    def _write(self, text: BandText, counting: bool) -> None:
        theme, unit = self.theme, self.rows.unit
        self.counting = counting
        flip = text.state in ("ready", "go")
        state = theme.colour(text.state)
        ground = state if flip else theme.deck
        ink, dim = (theme.on_state, theme.on_state) if flip else (theme.ink, theme.dim)
        self.deck.put(self.deck_box, ground)
        self.edge.put(self.edge_box, state)
        self.number.put(text.lane, self.number_box, self.number_cap, unit, ink, bold=True, across="middle")
        self.shape.put(text.shape, self.shape_box, ink)
        self._deck_words(text, counting, ink, dim)
        self._ribbon(text)
        self._row(text)

    def _deck_words(self, text: BandText, counting: bool, ink, dim) -> None:
        unit, rows = self.rows.unit, self.rows
        if self.word_box is not None:
            self.word.put(text.word, self.word_box, unit, unit, ink, bold=True)
        marks = (f"{text.leave_label} {text.clock}", text.clock) if text.clock else (text.leave_label,)
        if rows.deck_rows < 3:
            marks = (text.clock,)
        self.mark.put(marks, self.mark_box, unit, unit, dim if rows.deck_rows == 3 else ink, bold=rows.deck_rows < 3,
                      across="left" if rows.deck_rows == 3 else "right")
        across = "right" if rows.deck_rows == 1 else "left"
        self.count.lay(self.count_box, self.count_cap, ink, across)

    def _row(self, text: BandText) -> None:
        unit, theme = self.rows.unit, self.theme
        cue = quoted(text.cue)
        labelled = self.labelled
        present = tuple(f"{text.present} {way}" for way in text.doing) if text.present and text.doing[0] else ("",)
        items = [
            Item("distance", (text.distance,), 0, True),
            Item("repeat", text.repeat, 1),
            Item("round", text.round, 4),
            Item("present", ("",) if labelled else present, 2),
        ]
        places = {"distance": theme.ink, "repeat": theme.dim, "round": theme.dim, "present": theme.ink}
        line = self.lines[0]
        if len(self.lines) == 1:
            items.append(Item("cue", (cue,), 5 if labelled else 6))
        chosen = filled(items, line.width, unit, 0.75 * unit, measure)
        left = line.x
        for item in items:
            said = chosen.get(item.name, "")
            cell = self._cell(item.name)
            if not said:
                cell.clear()
                continue
            wide = measure(said, unit, item.bold)
            if item.name == "cue":
                cell.put(said, Box(line.right - wide, line.y, wide + 1, line.height), unit, unit, theme.ink)
                continue
            cell.put(said, Box(left, line.y, wide + 1, line.height), unit, unit, places[item.name], bold=item.bold)
            left += wide + 0.75 * unit
        if len(self.lines) > 1:
            self._cell("cue").put(cue, self.lines[1], unit, unit, theme.ink)

    def _cell(self, name: str) -> Words:
        found = self.cells.get(name)
        if found is None:
            found = self.cells[name] = Words(self.group, name)
        return found

    def _ribbon(self, text: BandText) -> None:
        box, theme, unit = self.ribbon, self.theme, self.rows.unit
        shown = text.ribbon if self.rows.ribbon else ()
        self.labelled = False
        self.done = -1
        self.progress.hide()
        self.progress.box = None
        self.track = None
        gap = max(2.0, 0.1 * unit)
        labels = self._labels(text, box, gap) if self.rows.ribbon == "labels" and len(shown) <= 24 else None
        if shown and labels is None:
            box = Box(box.x, box.y, box.width, min(box.height, 0.3 * unit))
        while len(self.pieces) < len(shown):
            self.pieces.append((Plate(self.group), Frame(self.group), Words(self.group, "segment")))
        state = theme.colour(text.state)
        for number, (plate, frame, words) in enumerate(self.pieces):
            if number >= len(shown):
                plate.hide()
                frame.hide()
                words.clear()
                continue
            piece = shown[number]
            spot = box.part(piece.start, piece.end)
            spot = Box(round(spot.x), spot.y, round(spot.right - (gap if piece.end < 1 else 0)) - round(spot.x), spot.height)
            lit = number == text.lit
            nexts = text.lit < 0 and number == 0
            if lit:
                plate.put(spot, state)
            else:
                plate.put(spot, theme.line, 0.35 if labels is None else 0.25)
            if nexts:
                frame.put(spot, state if theme.name == "dark" else theme.ink, max(2.0, 0.08 * unit))
            else:
                frame.hide()
            if labels is None:
                words.clear()
            else:
                words.put(labels[number], spot.inset(0.25 * unit, 0),
                          unit, unit, theme.on_state if lit else theme.ink if nexts else theme.dim, bold=lit or nexts)
        if shown:
            self.labelled = labels is not None
            self.track = Box(box.x, box.y, box.width, max(3.0, 0.14 * unit) if labels else box.height)

    def _labels(self, text: BandText, box: Box, gap: float) -> list[str] | None:
        """One way to say all segments, as long as fits every one of them; None where none does."""
        unit = self.rows.unit
        ribbon = text.ribbon
        for level in range(max((len(piece.labels) for piece in ribbon), default=0)):
            labels = [piece.labels[min(level, len(piece.labels) - 1)] for piece in ribbon]
            if all(measure(label, unit, True) <= (piece.end - piece.start) * box.width - gap - 0.5 * unit
                   for label, piece in zip(labels, ribbon)):
                if text.lit < 0 and labels:
                    longer = f"{text.present} {labels[0]}"
                    if measure(longer, unit, True) <= (ribbon[0].end - ribbon[0].start) * box.width - gap - 0.5 * unit:
                        labels[0] = longer
                return labels
        return None

    def drawn(self) -> list:
        return [self.number, self.word, self.count, self.mark, *self.cells.values(), *(words for _, _, words in self.pieces)]
