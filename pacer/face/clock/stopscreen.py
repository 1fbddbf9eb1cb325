"""What fills the screen while everything is stopped."""

from __future__ import annotations

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import ColorProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from pacer.face.kit.textures import font_size, measure
from pacer.show.measure.theme import STOP_GROUND, STOP_INK
from pacer.show.wording.viewtext import WORDS, clock_ways

Builder.load_file(str(Path(__file__).with_suffix(".kv")))


class StopScreen(Widget):
    """Fills the screen above the bar while everything is stopped; the pace clock stays readable."""

    title = StringProperty(WORDS["all stopped"])
    clock = StringProperty()
    whose = StringProperty()
    ground = ColorProperty(STOP_GROUND)
    ink = ColorProperty(STOP_INK)
    title_size = NumericProperty(40)
    clock_size = NumericProperty(40)
    whose_size = NumericProperty(20)

    def show(self, clock: str, whose: str = "own") -> None:
        """Show the pace clock's reading, and below it whose clock that is."""
        self.clock, self.whose = clock, clock_ways(whose)[0]

    def lay_out(self) -> None:
        """Make the words as large as they fit."""
        for name, text, share in (
            ("title_size", self.title, 0.4),
            ("clock_size", ":88", 0.3),
            ("whose_size", clock_ways("wall")[0], 0.05),
        ):
            cap = min(self.height * share, self.width * 0.9 * 100 / measure(text, 100, True))
            setattr(self, name, font_size(cap))

    def on_touch_down(self, touch) -> bool:
        """Nothing below can be touched."""
        return self.collide_point(*touch.pos)
