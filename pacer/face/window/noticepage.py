"""A page of text for the coach: the cautions, lines to confirm. On as many pages as it needs at a readable size."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

from kivy.lang import Builder
from kivy.properties import ColorProperty, StringProperty
from kivy.uix.label import Label
from kivy.uix.widget import Widget

from pacer.face.kit.textures import NAME, font_size, measure
from pacer.language import tr
from pacer.show.measure.wordwrap import wrapped_words

Builder.load_file(str(Path(__file__).with_suffix(".kv")))

PITCH = 1.75  #: from row to row, in character heights
ABOVE = 0.9  #: extra space above a heading
EDGE_MM = 4.0
CLOCK = 2.8  #: the clock's line, in character heights


class Row(NamedTuple):
    """A row of a page: its text, and its distance from the page's top to the foot of its line in character heights."""

    text: str
    heading: bool
    below: float


def rows_from(
    paragraphs: Sequence[tuple[str, str]], width: float, height: float, width_of: Callable[[str, bool], float]
) -> tuple[tuple[Row, ...], ...]:
    """Pages of rows from `(heading, text)` paragraphs.

    Words are wrapped into `width` pixels; `height` is in character heights.

    A paragraph that fits a page is not broken; if one is, its heading is never alone at a page's foot.
    """
    pages: list[list[Row]] = [[]]
    below = 0.0
    for heading, text in paragraphs:
        rows = [(row, True) for row in wrapped_words(heading, width, lambda t: width_of(t, True))] if heading else []
        headed = len(rows)
        body = [(row, False) for row in wrapped_words(text, width, lambda t: width_of(t, False))]
        whole = ABOVE + PITCH * (headed + len(body))
        if pages[-1] and below + whole > height >= whole:
            pages.append([])
            below = 0.0
        rows += body
        for number, (row, is_heading) in enumerate(rows):
            lead = ABOVE if number == 0 and pages[-1] else 0.0
            needs = lead + PITCH * (headed + 1 if number == 0 and headed else 1)
            if pages[-1] and below + needs > height:
                pages.append([])
                below = lead = 0.0
            below += lead + PITCH
            pages[-1].append(Row(row, is_heading, below))
    return tuple(tuple(page) for page in pages)


class Notice(Widget):
    """Paragraphs on pages over the whole of its size. `page` of `pages`; drawn by `show`."""

    ground = ColorProperty((0, 0, 0))
    clock = StringProperty()

    def __init__(self, paragraphs: Sequence[tuple[str, str]], **kwargs):
        super().__init__(**kwargs)
        self.paragraphs = tuple(paragraphs)
        self.page = 0
        self.clocked = False  #: whether a line at the top is reserved for the clock
        self.clock_label = Label(font_name=NAME, bold=True)
        self._pages: tuple[tuple[Row, ...], ...] = ((),)

    @property
    def pages(self) -> int:
        """How many pages there are."""
        return len(self._pages)

    @property
    def last(self) -> bool:
        """Whether the last page is shown."""
        return self.page >= self.pages - 1

    def lay_out(self, theme, cap: float, px_per_mm: float, *, clock: bool = False) -> None:
        """Lay the text out again for the current size, and draw the current page.

        `clock`: reserve a line for the clock.
        """
        edge = EDGE_MM * px_per_mm
        self._theme, self._cap, self._edge, self.clocked = theme, cap, edge, clock
        self._head = CLOCK * cap if clock else 0
        self._pages = rows_from(
            self.paragraphs,
            self.width - 2 * edge,
            (self.height - 2 * edge - self._head) / cap - PITCH,
            lambda text, bold: measure(text, cap, bold),
        )
        self.show(min(self.page, self.pages - 1))

    def show(self, page: int) -> None:
        """Draw a page."""
        self.page = page
        self.clear_widgets()
        self.ground = self._theme.ground
        if self.clocked:
            self.clock_label.color = (*self._theme.ink, 1)
            self.add_widget(self.clock_label)
            self.on_clock()
        for row in self._pages[page]:
            self._write(row.text, row.heading, self.top - self._edge - self._head - row.below * self._cap)
        if self.pages > 1:
            label = self._write(
                tr("{page} of {pages}", page=page + 1, pages=self.pages), False, self.y + self._edge * 0.6
            )
            label.right = self.right - self._edge

    def _write(self, text: str, heading: bool, y: float) -> Label:
        label = Label(
            text=text,
            font_name=NAME,
            bold=heading,
            font_size=font_size(self._cap),
            color=(*(self._theme.ink if heading else self._theme.dim), 1),
        )
        label.texture_update()
        label.size = label.texture_size
        label.pos = (self.x + self._edge, y)
        self.add_widget(label)
        return label

    def on_clock(self, *_args) -> None:
        """Write the clock."""
        label = self.clock_label
        room = self.width - 2 * self._edge
        wide = measure(self.clock, 1.5 * self._cap, True)
        label.font_size = font_size(1.5 * self._cap * min(1, room / wide if wide else 1))
        label.text = self.clock
        label.texture_update()
        label.size = label.texture_size
        label.pos = (self.x + self._edge, self.top - self._edge - self._head + 0.6 * self._cap)

    def on_touch_down(self, touch) -> bool:
        """Nothing below can be touched."""
        return self.collide_point(*touch.pos)
