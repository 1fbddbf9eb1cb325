"""The pool view's header: the pace clock, time in the session, section and title, when everybody is out."""

from __future__ import annotations

from kivy.graphics import InstructionGroup

from pacer.face.kit.ink import Box, Digits, Plate, Words, digits_width, line_box
from pacer.face.kit.textures import font_size, measure
from pacer.language import tr
from pacer.show.measure.fitting import Item, filled
from pacer.show.measure.poollayout import Header
from pacer.show.measure.theme import Theme
from pacer.show.view.viewvalues import PoolNow
from pacer.show.wording.viewtext import clock_ways, say


class HeaderPart:
    """Draws the header of a pool view into `box`, with characters `unit` high."""

    def __init__(self, canvas, box: Box, header: Header, unit: float, theme: Theme):
        self.group = InstructionGroup()
        canvas.add(self.group)
        self.box, self.header, self.unit, self.theme = box, header, unit, theme
        self.plate, self.warning = Plate(self.group), Plate(self.group)
        self.clock = Digits(self.group, "clock")
        self.session = Digits(self.group, "session")
        self.session_word, self.label, self.section, self.title, self.out, self.spare, self.whose, self.whose_below = (
            Words(self.group, name)
            for name in (
                "session",
                tr("session label"),
                "section",
                "title",
                "out",
                "spare",
                tr("whose clock"),
                tr("whose clock"),
            )
        )
        self.said: tuple | None = None
        self.flashing: bool | None = None
        self.pad = 0.5 * unit
        self.upper, self.lower = box.y + header.upper, box.y + header.lower
        cap = header.clock_cap + unit
        self.clock_box = Box(box.x + self.pad, self.lower, digits_width(":88", font_size(cap)), cap)
        self.clock.lay(self.clock_box, cap, theme.ink, up="bottom")

    def show(self, view: PoolNow) -> None:
        """Draw it."""
        said = (
            view.session_label,
            view.section,
            view.title,
            view.out,
            view.spare,
            view.over,
            view.whose,
            len(view.session),
            view.session[:1].isdigit(),
        )
        if said != self.said:
            self.said = said
            (self._write_one if self.header.rows == 1 else self._write_two)(view)
        self.clock.show(view.clock)
        if said[-1]:
            self.session.show(view.session)
        if view.flash != self.flashing:
            self.flashing = view.flash
            theme, box = self.theme, self.box
            self.plate.put(
                box._replace(width=self.clock_box.right + self.pad - box.x), theme.ink if view.flash else theme.ground
            )
            self.clock.tint(theme.ground if view.flash else theme.ink)

    def _line(
        self,
        words: Words,
        text: str,
        x: float,
        base: float,
        width: float,
        *,
        strong: bool = False,
        across: str = "left",
        ink=None,
    ) -> None:
        """A line of the header. Leaves out what there is no room for."""
        if not text or measure(text, self.unit, strong) > width + 0.5:
            words.clear()
            return
        theme = self.theme
        words.put(
            text,
            line_box(x, base, width, self.unit),
            self.unit,
            self.unit,
            ink or (theme.ink if strong else theme.dim),
            bold=strong,
            across=across,
        )

    def _time(self, view: PoolNow, x: float, base: float, room: float) -> float:
        """The time in the session, or a word instead, if there is `room`; returns its width."""
        unit = self.unit
        if view.session[:1].isdigit():
            wide = digits_width(view.session, font_size(unit))
            self.session.lay(Box(x, base, wide + 1, unit), unit, self.theme.ink, up="bottom")
            self.session_word.clear()
            return wide
        self.session.show("")
        wide = measure(view.session, unit, True)
        self._line(self.session_word, view.session, x, base, room, strong=True)
        return wide if self.session_word.ink else 0

    def _write_one(self, view: PoolNow) -> None:
        unit, base = self.unit, self.lower
        right, left = self.box.right - self.pad, self.clock_box.right + 1.1 * unit
        for words in (self.label, self.title, self.whose_below):
            words.clear()
        label = 0 if view.begun else measure(view.session_label, unit) + 0.4 * unit
        time = (
            digits_width(view.session, font_size(unit))
            if view.session[:1].isdigit()
            else measure(view.session, unit, True)
        )
        section = measure(view.section, unit, True)
        items = (
            Item("out", (view.out,), 0, True),
            Item("whose", clock_ways(view.whose), 2 if view.over else 1),
            Item("spare", view.spare, 1 if view.over else 2),
        )
        room = right - left - label - time - unit
        found = filled(items, room - section - unit, unit, unit, measure)
        if view.over and "spare" not in found:  # being over matters more than the place in the plan
            wider = filled(items, room, unit, unit, measure)
            found = wider if "spare" in wider else found
        whose = found.get("whose", "")
        self._line(self.whose, whose, self.clock_box.right + 0.4 * unit, base, right)
        left += measure(whose, unit) + 0.4 * unit if whose else 0
        if label:
            self._line(self.label, view.session_label, left, base, label)
        left += label
        left += self._time(view, left, base, right - left) + unit
        end, ink = right, self._ink_of(view)
        for words, name in ((self.spare, "spare"), (self.out, "out")):
            text = found.get(name, "")
            wide = measure(text, unit, name == "out")
            self._line(words, text, right - wide, base, wide, strong=name == "out", ink=ink)
            right -= wide + (unit if text else 0)
        self._warn(view, right + unit, end)
        self._line(self.section, view.section, left, base, right - left, strong=True)

    def _write_two(self, view: PoolNow) -> None:
        unit, upper, lower, box = self.unit, self.upper, self.lower, self.box
        left, right = self.clock_box.right + 1.1 * unit, box.right - self.pad
        spare = self._spare(view, right - left)
        wide, ink = max(measure(view.out, unit, True), measure(spare, unit)), self._ink_of(view)
        self._line(self.out, view.out, right - wide, upper, wide, strong=True, across="right", ink=ink)
        self._line(self.spare, spare, right - wide, lower, wide, across="right", ink=ink)
        self._warn(view, right - wide, right)
        right -= wide + 1.1 * unit
        left = self._write_whose(view, left, right)
        time = self._time(view, left, lower, right - left)
        title = measure(view.title, unit)
        labels = (view.session_label, say("session")) if view.begun else (view.session_label,)
        room = right - left - (0 if self.header.rows == 3 else title + 1.1 * unit)
        label = next((way for way in labels if measure(way, unit) <= room), labels[-1])
        self._line(self.label, label, left, upper, right - left)
        left += max(measure(label, unit), time) + 1.1 * unit
        if self.header.rows == 2:
            self._line(self.section, view.section, left, lower, right - left, strong=True)
            self._line(self.title, view.title, left, upper, right - left)
            return
        third, left, right = box.y + self.header.third, box.x + self.pad, box.right - self.pad
        section = min(measure(view.section, unit, True), right - left)
        if not self.whose.ink:  # there was no room beside the clock: put it below
            way = next(
                (way for way in clock_ways(view.whose) if left + measure(way, unit) + unit + section <= right), ""
            )
            self._line(self.whose, way, left, third, measure(way, unit))
            left += measure(way, unit) + unit if way else 0
        self._line(self.section, view.section, left, third, section, strong=True)
        self._line(self.title, view.title, left + section + unit, third, right - left - section - unit)

    def _ink_of(self, view: PoolNow):
        return self.theme.flip_ink if view.over else None

    def _warn(self, view: PoolNow, left: float, right: float) -> None:
        """Put a warning background under what is over the booking."""
        if view.over:
            by = 0.3 * self.unit
            low = self.box.y if self.header.rows < 3 else self.lower - 0.45 * self.unit
            self.warning.put(Box(left - by, low, right - left + 2 * by, self.box.top - low), self.theme.flip)
        else:
            self.warning.hide()

    def _spare(self, view: PoolNow, room: float) -> str:
        """What is said about the booking, if time, section and whose clock it is fit beside it."""
        unit = self.unit
        time = (
            digits_width(view.session, font_size(unit))
            if view.session[:1].isdigit()
            else measure(view.session, unit, True)
        )
        label = measure(say("session") if view.begun else view.session_label, unit)
        section, whose = 0.0, 0.0  # these have a row of their own
        if self.header.rows == 2:
            section = measure(view.section, unit, True) + 1.1 * unit
            whose = max(measure(word, unit) for word in clock_ways(view.whose)[0].split(" ")) + 0.6 * unit
        left = room - max(time, label) - section - whose - 2.2 * unit
        return next(
            (way for way in view.spare if measure(way, unit) <= left),
            view.spare[-1] if view.spare and view.over else "",
        )

    def _write_whose(self, view: PoolNow, left: float, right: float) -> float:
        """Whose clock it is, in two words above each other beside the clock, if that leaves room for time and section.

        Returns where to continue.
        """
        unit, words = self.unit, clock_ways(view.whose)[0].split(" ")
        wide = max(measure(word, unit) for word in words)
        label = measure(say("session") if view.begun else view.session_label, unit)
        section = measure(view.section, unit, True) if self.header.rows == 2 else 0
        fits = len(words) == 2 and left + wide + label + section + 2.2 * unit <= right
        for piece, word, base in zip((self.whose, self.whose_below), words, (self.upper, self.lower)):
            self._line(piece, word if fits else "", left - 0.5 * unit, base, wide)
        return left + wide + 0.6 * unit if fits else left

    def drawn(self) -> list:
        """Its words: for tests."""
        return [
            self.clock,
            self.session,
            self.session_word,
            self.label,
            self.section,
            self.title,
            self.out,
            self.spare,
            self.whose,
            self.whose_below,
        ]
