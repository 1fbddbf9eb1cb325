"""The strip of all lanes along the foot of the page being written, with the current line highlighted."""

from __future__ import annotations

from collections.abc import Callable

from kivy.graphics import InstructionGroup
from kivy.uix.widget import Widget

from pacer.face.editor.pageresults import WorkedOut
from pacer.face.figures.figureview import FigureView
from pacer.face.kit.ink import Box, Plate, Words
from pacer.face.kit.textures import measure
from pacer.language import tr
from pacer.show.figures.drawing import thinned
from pacer.show.figures.figure import Axis, Bar, Figure
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import Theme
from pacer.show.measure.typesizes import SMALL
from pacer.squad.squad import Squad

ROW = 1.05  #: height of a lane's row, in character heights
LEAST_ROW = 0.85  #: the same with many lanes
MANY = 8
AXIS = 1.5  #: of the row of minutes
KEYS = 1.5  #: of the row that explains the fills


class EditorStrip(Widget):
    """`touched(lane, line)` is called with the place of the lane, and the page's line that it swims there, if any."""

    def __init__(self, touched: Callable[[int, int | None], None], **kwargs):
        super().__init__(**kwargs)
        self.touched = touched
        self.view, self.key = FigureView(bare=True), FigureView(bare=True)
        self.words: list[Words] = []
        self._group = InstructionGroup()
        self._worked: WorkedOut | None = None
        self._shown: tuple = ()
        self._lanes = 1
        self._down: tuple[float, float] | None = None
        self.canvas.before.add(self._group)
        self.add_widget(self.view)
        self.add_widget(self.key)

    @staticmethod
    def height_for(lanes: int, cap: float) -> float:
        """Its height for that many lanes."""
        return round((ROW if lanes < MANY else LEAST_ROW) * cap) * lanes + round(AXIS * cap) + round(KEYS * cap)

    def drawn(self) -> list[Words]:
        """Everything written on it."""
        return [words for words in self.words if words.ink]

    def show(
        self, worked: WorkedOut, lane: int, line: int, squad: Squad, theme: Theme, glass: Glass, cap: float
    ) -> None:
        """Show the result; the chosen lane is marked, the parts of the strip that belong to the page's line `line` are
        lit.
        """
        self._worked, self._lanes = worked, len(squad.lanes)
        figure = worked.figure if self.height > 2 else None
        lit = worked.spots.get(line) if figure is not None else None
        numbers = tuple(str(each.number) for each in squad.lanes)
        shown = (id(worked.figure), lane, numbers, theme.name, cap, *self.pos, *self.size)
        if shown != self._shown:
            self._shown = shown
            self._draw(numbers, lane, theme, cap, figure)
        for view in (self.view, self.key):
            view.look(theme, cap)
        self.view.show(figure, lit)
        if figure is None:
            self.key.show(None)

    def _draw(self, numbers: tuple[str, ...], lane: int, theme: Theme, cap: float, figure: Figure | None) -> None:
        group = self._group
        group.clear()
        self.words = []
        if figure is None:
            self.view.size = (1, 1)
            return
        small, keys = SMALL * cap, round(KEYS * cap)
        axis = round(AXIS * cap) + keys
        left = max(measure(tr("Lane {number}", number=number), small, True) for number in numbers) + 1.6 * cap
        right = 1.2 * cap
        row = (self.height - axis) / len(numbers)
        view = self.view
        view.pos, view.size = (self.x + left, self.y + axis), (max(1.0, self.width - left - right), self.height - axis)
        for place, number in enumerate(numbers):
            box = Box(self.x, self.top - (place + 1) * row, left, row)
            if place == lane:
                Plate(group).put(Box(self.x, box.y, self.width, row), theme.water)
            self._write(
                tr("Lane {number}", number=number) if place == lane else number,
                box.inset(0.8 * cap, 0),
                small,
                theme,
                place == lane,
                "right",
            )
        across = view.width

        def place_of(tick):
            return view.x + figure.x.share(tick.at) * across, measure(tick.text, small) + 1.5 * small

        unit = f" {figure.x.unit}" if figure.x.unit else ""
        for tick in thinned(figure.x.ticks, place_of):
            middle, wide = place_of(tick)
            text = tick.text + (unit if tick is figure.x.ticks[-1] else "")
            wide = measure(text, small) + 2
            low = min(max(self.x, middle - wide / 2), self.right - wide - 0.4 * cap)
            self._write(text, Box(low, self.y + keys, wide, axis - keys), small, theme, False, "middle", dim=True)
        self._draw_keys(figure, small, theme, left, keys)

    def _draw_keys(self, figure: Figure, small: float, theme: Theme, left: float, high: float) -> None:
        """What each fill means, in a row along the foot."""
        key = self.key
        key.pos, key.size = (self.x + left, self.y), (max(1.0, self.width - left), high)
        at, bars, low = 0.0, [], (1 - small / high) / 2
        for each in figure.keys:
            bars.append(Bar(at, at + 2.2 * small, low, 1 - low, each.fill))
            at += 2.8 * small
            wide = measure(each.text, small) + 2
            self._write(each.text, Box(key.x + at, self.y, wide, high), small, theme, False, "left", dim=True)
            at += wide + 1.6 * small
        key.show(Figure("", "", Axis(0, key.width), Axis(0, 1), bars=tuple(bars)) if bars else None)

    def _write(self, text: str, box: Box, cap: float, theme: Theme, bold: bool, across: str, dim: bool = False) -> None:
        words = Words(self._group, "strip")
        words.put((text,), box, cap, cap, theme.dim if dim or not bold else theme.ink, bold=bold, across=across)
        self.words.append(words)

    def on_touch_down(self, touch) -> bool:
        """A finger on a lane's row."""
        if not self.collide_point(*touch.pos) or self.height < 2 or touch.is_mouse_scrolling:
            return False
        touch.grab(self)
        self._down = touch.pos
        return True

    def on_touch_up(self, touch) -> bool:
        """It is lifted where it came down: choose that lane, and that line."""
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        down, self._down = self._down, None
        if down is None or self._worked is None or not self._shown:
            return True
        row = self.view.height / self._lanes
        lane = min(self._lanes - 1, max(0, int((self.top - down[1]) / row)))
        self.touched(lane, self._line_at(*down))
        return True

    def _line_at(self, x: float, y: float) -> int | None:
        mark = self.view.mark_at(x, y, 0.6 * self.view.cap)
        if not isinstance(mark, Bar):
            return None
        spots = self._worked.spots if self._worked is not None else {}
        wanted = (mark.spot.section, mark.spot.line)
        return next((line for line, spot in spots.items() if (spot.section, spot.line) == wanted), None)
