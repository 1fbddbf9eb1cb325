"""Between sections: what comes next, to read out, and the count-down to it."""

from __future__ import annotations

from kivy.graphics import InstructionGroup

from pacer.face.clock.runningview import RunningView
from pacer.face.kit.ink import Box, Digits, Plate, Words
from pacer.face.kit.textures import measure
from pacer.show.measure.fitting import LINE, lines_height
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import Theme
from pacer.show.view.changeoverrows import gap_above, indent_of, told_rows
from pacer.show.wording.changeovertext import Changeover
from pacer.show.wording.viewtext import clock_ways, say


class ChangeoverView(RunningView):
    """Draws a `pacer.show.wording.changeovertext.Changeover`. No lane can be chosen here."""

    def laid_out(self, view: Changeover) -> _Face:
        """The page and the count-down."""
        return _Face(self.canvas, self.clear, self.theme, self.glass)


class _Face:
    """The section on one side, its count-down on the other (below it, on a tall screen)."""

    def __init__(self, canvas, box: Box, theme: Theme, glass: Glass):
        self.group = InstructionGroup()
        canvas.add(self.group)
        self.theme, self.glass, self.unit = theme, glass, glass.unit_px(box.width, box.height)
        unit = self.unit
        if box.width >= box.height:
            side = Box(box.right - 0.36 * box.width, box.y, 0.36 * box.width, box.height)
            page = Box(box.x, box.y, box.width - side.width, box.height)
        else:
            side = Box(box.x, box.y, box.width, 0.3 * box.height)
            page = Box(box.x, side.top, box.width, box.height - side.height)
        self.side = side
        self.page = page.inset(0.8 * unit, 0.6 * unit)
        self.plate = Plate(self.group)
        self.label = Words(self.group, "label")
        self.name = Words(self.group, "name", 2)
        self.rounds = Words(self.group, "rounds")
        self.count_label = Words(self.group, "count label")
        self.count = Digits(self.group, "count-down", 1)
        self.starts = Words(self.group, "starts", 2)
        self.now_label = Words(self.group, "now label")
        self.clock = Digits(self.group, "now", 2)
        self.gear_plate = Plate(self.group)
        self.gear = Words(self.group, "gear")
        self.bars: list[Plate] = []
        self.texts: list[Words] = []
        self.body = InstructionGroup()
        self.group.add(self.body)
        self.said: tuple | None = None
        self.lined: tuple | None = None

    def show(self, view: Changeover) -> None:
        lined = (view.label, view.name, view.rounds, view.cue, view.lines, view.gear)
        if lined != self.lined:
            self.lined = lined
            self._page(view)
        said = (view.count_label, view.starts, view.inverted, bool(view.count), view.by_lane, view.whose)
        if said != self.said:
            self.said = said
            self._count(view)
        self.count.show(view.count)
        self.clock.show(view.clock)

    def _count(self, view: Changeover) -> None:
        theme, unit, side = self.theme, self.unit, self.side
        ground, ink, dim = (theme.deck, theme.ink, theme.dim)
        if view.inverted:
            ground, ink = theme.flip, theme.flip_ink
            dim = ink
        self.plate.put(side, ground)
        inner = side.inset(0.7 * unit, 0.6 * unit)
        line = LINE * unit
        if side.width > 1.6 * side.height:
            big, rest = inner.part(0, 0.62), inner.part(0.66, 1)
        else:
            # As high as four characters that fill the width, so that the size does not change under a minute.
            high = min(0.5 * inner.height, 0.345 * inner.width + line + 0.5 * unit)
            big = inner._replace(y=inner.top - high, height=high)
            rest = inner._replace(height=inner.height - high - 0.6 * unit)
        self.count_label.put(view.count_label, big._replace(y=big.top - line, height=line), unit, unit, dim)
        count = big._replace(height=big.height - line - 0.3 * unit)
        self.count.lay(count, min(count.height, 0.33 * count.width), ink, "left", "bottom")
        half = rest.height / 2
        said = say("by lane") if view.by_lane else view.starts
        self.starts.put(
            said if view.count else view.starts,
            Box(rest.x, rest.y + half, rest.width, half),
            min(2.2 * unit, half / LINE),
            unit,
            ink,
            bold=True,
            lines=2,
        )
        self.now_label.put(clock_ways(view.whose)[-1], Box(rest.x, rest.y, 0.62 * rest.width, half), unit, unit, dim)
        left = rest.x + self.now_label.width + 0.6 * unit
        self.clock.lay(
            Box(left, rest.y, rest.right - left, half),
            min(half * 0.8, 2.2 * unit),
            ink,
            "right" if side.height > side.width else "left",
        )

    # -- the page -------------------------------------------------------------------------------------

    def _page(self, view: Changeover) -> None:
        theme, unit, page = self.theme, self.unit, self.page
        line = LINE * unit
        self.label.put(view.label, page._replace(y=page.top - line, height=line), unit, unit, theme.dim)
        high = min(2.9 * unit, 0.16 * page.height)
        name = Box(page.x, page.top - line - high, page.width, high)
        rounds = next((way for way in view.rounds if measure(way, unit) <= 0.5 * page.width), view.rounds[-1])
        wide = min(0.5 * page.width, measure(rounds, unit) + 1 if rounds else 0)
        self.name.put(
            view.name,
            name._replace(width=name.width - wide - unit),
            min(2 * unit, high / LINE),
            unit,
            theme.ink,
            bold=True,
        )
        self.rounds.put(rounds, Box(name.right - wide, name.y, wide, high), unit, unit, theme.ink, across="right")
        top, bottom = name.y - 0.2 * unit, page.y
        if view.gear:
            said = f"{say('fetch')}  {view.gear}"
            lines = 1 if measure(said, unit, True) <= page.width - unit else 2
            gear = Box(page.x, page.y, page.width, lines_height(lines, unit) + 0.5 * unit)
            self.gear_plate.put(gear, theme.colour("rest"))
            self.gear.put(
                (said, view.gear),
                gear.inset(0.5 * unit, 0.1 * unit),
                unit,
                unit,
                theme.on_state,
                bold=True,
                lines=lines,
            )
            bottom = gear.top + 0.5 * unit
        else:
            self.gear_plate.hide()
            self.gear.clear()
        self._lines(view, Box(page.x, bottom, page.width, top - bottom))

    def _lines(self, view: Changeover, box: Box) -> None:
        unit, rows = told_rows(view, box.width, box.height, self.unit, measure)
        theme, top, bars = self.theme, box.top, 0
        for number, row in enumerate(rows):
            indent = box.x + indent_of(row.depth) * unit
            high = lines_height(row.lines, unit)
            top -= gap_above(row.kind) * unit
            if number == len(self.texts):
                self.texts.append(Words(self.body, "line"))
            self.texts[number].put(
                row.ways,
                Box(indent, top - high, box.right - indent, high),
                unit,
                unit,
                theme.dim if row.kind == "detail" else theme.ink,
                bold=row.kind == "head",
                up="top",
                lines=row.lines,
            )
            if row.kind == "head":
                if bars == len(self.bars):
                    self.bars.append(Plate(self.body))
                self.bars[bars].put(Box(box.x, top - high, max(3, 0.14 * unit), high), theme.colour("swim"))
                bars += 1
            top -= high
        for words in self.texts[len(rows) :]:
            words.clear()
        for bar in self.bars[bars:]:
            bar.hide()

    def drawn(self) -> list:
        return [
            self.label,
            self.name,
            self.rounds,
            self.count_label,
            self.count,
            self.starts,
            self.now_label,
            self.clock,
            self.gear,
            *self.texts,
        ]
