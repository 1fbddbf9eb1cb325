"""The pool view's header: the pace clock, time in the session, section and title, when everybody is out."""

from __future__ import annotations

from kivy.graphics import InstructionGroup

from pacer.face.clock.headerlayout import PAD, HeaderLines, HeaderWords, header_clock, header_lines
from pacer.face.kit.ink import Box, Digits, Plate, Words, line_box
from pacer.show.measure.poolrows import Header
from pacer.show.measure.theme import Theme
from pacer.show.view.viewvalues import PoolNow
from pacer.show.wording.viewtext import clock_ways, say

_NAMES = ("session word", "session label", "section", "title", "out", "spare", "whose", "whose below")
_CALLED = {"session word": "session", "whose": "whose clock", "whose below": "whose clock"}  #: for tests


class HeaderPart:
    """Draws the header of a pool view into `box`, with characters `unit` high."""

    def __init__(self, canvas, box: Box, header: Header, unit: float, theme: Theme):
        self.group = InstructionGroup()
        canvas.add(self.group)
        self.box, self.header, self.unit, self.theme = box, header, unit, theme
        self.plate, self.warning = Plate(self.group), Plate(self.group)
        self.clock = Digits(self.group, "clock")
        self.session = Digits(self.group, "session")
        self.words = {name: Words(self.group, _CALLED.get(name, name)) for name in _NAMES}
        self.said: tuple | None = None
        self.timed = False  #: the time in the session is shown
        self.flashing: bool | None = None
        self.clock_box = header_clock(box, header, unit)
        self.clock.lay(self.clock_box, self.clock_box.height, theme.ink, up="bottom")

    def show(self, view: PoolNow) -> None:
        """Draw it."""
        timed = view.session[:1].isdigit()
        said = HeaderWords(
            "0" * len(view.session) if timed else view.session,
            timed,
            view.session_label,
            say("session"),
            view.section,
            view.title,
            view.out,
            view.spare,
            view.over,
            view.begun,
            clock_ways(view.whose),
        )
        if said != self.said:
            self.said = said
            self._write(header_lines(self.box, self.header, self.unit, said._replace(session=view.session)))
        self.clock.show(view.clock)
        if self.timed:
            self.session.show(view.session)
        if view.flash != self.flashing:
            self.flashing = view.flash
            theme, box = self.theme, self.box
            self.plate.put(
                box._replace(width=self.clock_box.right + PAD * self.unit - box.x),
                theme.ink if view.flash else theme.ground,
            )
            self.clock.tint(theme.ground if view.flash else theme.ink)

    def _write(self, laid: HeaderLines) -> None:
        theme, unit = self.theme, self.unit
        lines = {line.name: line for line in laid.lines}
        for name, words in self.words.items():
            line = lines.get(name)
            if line is None:
                words.clear()
                continue
            ink = theme.flip_ink if line.flips and laid.warning else theme.ink if line.bold else theme.dim
            words.put(
                line.text,
                line_box(line.x, line.base, line.width, unit),
                unit,
                unit,
                ink,
                bold=line.bold,
                across=line.across,
            )
        self.timed = laid.time is not None
        if laid.time:
            self.session.lay(laid.time, unit, theme.ink, up="bottom")
        else:
            self.session.show("")
        if laid.warning:
            self.warning.put(laid.warning, theme.flip)
        else:
            self.warning.hide()

    def drawn(self) -> list:
        """Its words: for tests."""
        return [self.clock, self.session, *self.words.values()]
