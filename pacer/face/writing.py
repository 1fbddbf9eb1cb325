"""The text of a plan on glass: painted by us, written in by finger and keyboard, read anew with every key.

Only the rows that can be seen are painted. What is wrong is underlined where it is, with its sentence and its fixes below;
checks stand below their line where they are open, and as a mark beside it where they are not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from pathlib import Path

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.graphics import Color, InstructionGroup, Rectangle, ScissorPop, ScissorPush
from kivy.lang import Builder
from kivy.properties import BooleanProperty, ColorProperty, ObjectProperty
from kivy.uix.widget import Widget

from pacer.face.board import round_frame
from pacer.face.clipboard import copied, pasted
from pacer.face.ink import Box, Frame, Plate, StateShape, Words
from pacer.face.legibility import Glass
from pacer.face.pageinks import ink_of
from pacer.face.paper import BOLD, Chip, LaidNote, Note, Paper
from pacer.face.scroller import Scroller
from pacer.face.text import TextureStore, below_base, font_size, measure
from pacer.face.theme import DARK, Theme
from pacer.plan.draft import Draft, Spot
from pacer.plan.fixes import Fix
from pacer.plan.live import SECTION, LiveReading, Reading
from pacer.plan.stretches import Stretch, stretches

GUTTER_MM = 7.0       #: left of the text, for marks
MARGIN_MM = 2.5
SLOP_MM = 3.0
LONG_PRESS_S = 0.5
STORE_BYTES = 8 * 1024 * 1024

Builder.load_file(str(Path(__file__).with_suffix(".kv")))

#: Marks beside a line, by the weight of the worst that is said about it; a mistake has a broad one of its own.
MARKS = {0: "pause", 1: "arrow", 2: "arrow", 3: "ring", 4: "dots"}


@lru_cache(4096)
def _advance(char: str, size: int, bold: bool) -> float:
    return measure(char, size * 0.75, bold)


class WritingPane(Widget):
    """A draft, painted. `focus`: whether keys write into it.

    `changed()` is called after every edit, `moved()` when only the cursor has moved, `apply(fix)` when a chip is touched,
    `leave()` when escape is pressed, `done()` on enter where the draft is a `single` line.
    """

    ground = ColorProperty((0, 0, 0))
    theme: Theme = ObjectProperty(DARK)
    glass: Glass = ObjectProperty(Glass())
    focus = BooleanProperty(False)

    def __init__(self, draft: Draft, live: LiveReading | None = None, *, single: bool = False,
                 changed: Callable[[], None] = lambda: None, moved: Callable[[], None] = lambda: None,
                 apply: Callable[[Fix], None] = lambda fix: None, leave: Callable[[], None] = lambda: None,
                 done: Callable[[], None] = lambda: None, **kwargs):
        super().__init__(**kwargs)
        self.draft, self.live, self.single = draft, live, single
        self.changed, self.moved, self.apply, self.leave, self.done = changed, moved, apply, leave, done
        self.cap = 1.0
        self.reading = live.read(draft.lines) if live else _unread(draft)
        self.notes: Mapping[int, Sequence[Note]] = {}
        self.underlined: Mapping[int, Sequence[tuple[int, int]]] = {}
        self.paper: Paper | None = None
        self.scroller = Scroller(lambda: self._draw_later())
        self.hint = ""                     #: shown while nothing is written
        self._store = TextureStore(STORE_BYTES)
        self._group = InstructionGroup()
        self.canvas.add(self._group)
        self._words: list[Words] = []
        self._draw_later = Clock.create_trigger(self._draw, -1)
        self._keyboard = None
        self._want_x: float | None = None
        self._touch: object | None = None
        self._down = (0.0, 0.0)
        self._choosing: tuple[Spot, Spot] | None = None
        self._long = None
        self._pressed_chip: Chip | None = None
        self.bind(pos=lambda *_: self._draw_later(), size=lambda *_: self.lay_out())

    # -- layout -----------------------------------------------------------------------------------------

    @property
    def gutter(self) -> float:
        """Width of the strip left of the text."""
        return (MARGIN_MM if self.single else GUTTER_MM) * self.glass.px_per_mm

    def lay_out(self) -> None:
        """Lay everything out anew: after the size, the theme or the character height has changed."""
        self.ground = self.theme.deck
        mm = self.glass.px_per_mm
        size = font_size(self.cap)
        width = max(4 * self.cap, self.width - self.gutter - MARGIN_MM * mm)
        self.paper = Paper(lambda char, bold: _advance(char, size, bold), self.cap, width, 15 * mm, 3 * mm)
        self.lay()
        self.reveal()

    def lay(self) -> None:
        """Lay out what has changed."""
        if self.paper is None:
            return
        kinds, starts = self.reading.kinds, self.reading.starts
        gear = self.live.gear if self.live else ()
        texts = self.draft.lines

        def stretches_of(number: int) -> tuple[Stretch, ...]:
            if self.live is None:
                return (Stretch(0, len(texts[number]), "plain"),) if texts[number] else ()
            return stretches(texts[number], kinds[number], starts[number], gear)

        self.paper.lay(texts, stretches_of, self.notes)
        self.scroller.limit(self.paper.height + (0 if self.single else self.paper.pitch), self.height)
        self._draw_later()

    def reveal(self) -> None:
        """Bring the cursor into view, and what is said about its line where there is room."""
        if self.paper is None:
            return
        pitch, line = self.paper.pitch, self.draft.cursor.line
        _, top = self.paper.place_of(self.draft.cursor)
        foot = self.paper.tops[line + 1]
        bottom = foot if foot - top <= self.height - pitch else top + pitch
        self.scroller.show(max(0, top - 0.4 * pitch), bottom + 0.2 * pitch, self.height)
        self._draw_later()

    def caret(self) -> Box:
        """Where the cursor is in the window."""
        x, top = self.paper.place_of(self.draft.cursor)
        return Box(self.x + self.gutter + x, self.top - self.lead - (top - self.scroller.offset) - self.paper.pitch, max(2, 0.12 * self.cap), self.paper.pitch)

    @property
    def lead(self) -> float:
        """Room above the text: a single line stands in the middle."""
        return max(0.0, (self.height - self.paper.pitch) / 2) if self.single else 0.0

    def _read(self) -> None:
        self.reading = self.live.read(self.draft.lines) if self.live else _unread(self.draft)

    def edited(self) -> None:
        """The draft was changed: read it, lay it out, paint it soon."""
        self._read()
        self.changed()
        self.lay()
        self.reveal()

    def went(self) -> None:
        """The cursor was moved."""
        self.moved()
        self.lay()
        self.reveal()

    # -- painting -----------------------------------------------------------------------------------------

    def drawn(self) -> list[Words]:
        """The words of notes that are in view."""
        return [words for words in self._words if words.ink]

    def visible(self) -> range:
        """The lines that can be seen."""
        offset = self.scroller.offset
        return range(self.paper.line_at(offset), self.paper.line_at(offset + self.height) + 1)

    def _draw(self, *_) -> None:
        if self.paper is None or not self.paper.lines:
            return
        group = self._group
        group.clear()
        self._words = []
        x, y = self.to_window(self.x, self.y)
        group.add(ScissorPush(x=int(x), y=int(y), width=max(1, int(self.width + 0.5)), height=max(1, int(self.height + 0.5))))
        chosen = self.draft.chosen
        for line in self.visible():
            top = self.top - self.lead - self.paper.tops[line] + self.scroller.offset
            self._draw_line(group, line, top, chosen)
        if self.hint and self.draft.lines == [""]:
            words = Words(group, "hint")
            words.put((self.hint,), Box(self.x + self.gutter, self.top - self.lead - self.paper.pitch, self.paper.width, self.paper.pitch), self.cap, self.cap, self.theme.dim)
        if self.focus and chosen is None:
            Plate(group).put(self.caret().inset(0, 0.12 * self.cap), self.theme.colour("flip"))
        group.add(ScissorPop())
        if self.focus:
            Frame(group).put(Box(self.x, self.y, self.width, self.height), self.theme.colour("flip"), max(2, 0.4 * self.glass.px_per_mm))

    def _draw_line(self, group, line: int, top: float, chosen) -> None:
        paper, laid, theme = self.paper, self.paper.lines[line], self.theme
        pitch, left = paper.pitch, self.x + self.gutter
        high = len(laid.rows) * pitch
        if self.reading.kinds[line] == SECTION:
            Plate(group).put(Box(self.x, top - high, self.width, high), theme.water)
        said = self.notes.get(line, ())
        if said:
            self._draw_mark(group, min(said, key=lambda note: (not note.mistake, note.weight)), top)
        for row, (start, end) in enumerate(laid.rows):
            foot = top - (row + 1) * pitch
            x0 = left + paper.row_left(line, row) - laid.edges[start]
            if chosen:
                self._draw_chosen(group, line, start, end, row, x0, foot, chosen)
            for from_, to in self.underlined.get(line, ()):
                if from_ < max(end, start + 1) and to > start or from_ >= end and row == len(laid.rows) - 1:
                    a, b = laid.edges[min(max(from_, start), len(laid.edges) - 1)], laid.edges[min(to, end)]
                    b = max(b, a + 0.6 * self.cap)
                    Plate(group).put(Box(x0 + a, foot + 0.06 * self.cap, b - a, max(2, 0.13 * self.cap)), theme.float_)
            self._draw_row(group, line, start, end, x0, foot)
        for note in laid.notes:
            self._draw_note(group, note, top)

    def _draw_row(self, group, line: int, start: int, end: int, x0: float, foot: float) -> None:
        laid, size = self.paper.lines[line], font_size(self.cap)
        text = self.draft.lines[line]
        base = round(foot + (self.paper.pitch - self.cap) / 2 + 0.04 * self.cap)
        for colour, bold, from_, to in self._runs(line, start, end):
            words = text[from_:to]
            bare = words.strip()
            if not bare:
                continue
            from_ += len(words) - len(words.lstrip())
            texture = self._store.texture(bare, size, bold)
            group.add(Color(*colour))
            group.add(Rectangle(texture=texture, size=texture.size, pos=(round(x0 + laid.edges[from_]), base - below_base(size))))

    def _runs(self, line: int, start: int, end: int) -> Iterator[tuple[tuple, bool, int, int]]:
        """Stretches of a row that are painted alike: colour, bold or not, columns."""
        text = self.draft.lines[line]
        if self.live is None:
            yield (*self.theme.ink, 1), False, start, end
            return
        for from_, to, kind in stretches(text, self.reading.kinds[line], self.reading.starts[line], self.live.gear):
            a, b = max(from_, start), min(to, end)
            if a < b:
                yield (*ink_of(kind, self.theme), 1), kind in BOLD, a, b

    def _draw_chosen(self, group, line, start, end, row, x0, foot, chosen) -> None:
        (first, from_), (last, to) = chosen
        if not first <= line <= last:
            return
        laid = self.paper.lines[line]
        a = max(start, from_) if line == first else start
        b = min(end, to) if line == last else end
        if a > end or b < start:
            return
        more = 0.4 * self.cap if line < last and row == len(laid.rows) - 1 else 0
        Plate(group).put(Box(x0 + laid.edges[a], foot, laid.edges[max(a, b)] - laid.edges[a] + more, self.paper.pitch), self.theme.colour("swim"), 0.45)

    def _draw_mark(self, group, note: Note, top: float) -> None:
        side = 0.8 * self.cap
        box = Box(self.x + (self.gutter - side) / 2, top - (self.paper.pitch + side) / 2, side, side)
        colour = self.theme.float_ if note.mistake or note.weight <= 2 else self.theme.dim
        if note.mistake:
            Plate(group).put(Box(self.x, top - self.paper.pitch, 0.5 * self.cap, self.paper.pitch), colour)
        else:
            StateShape(group).put(MARKS[note.weight], box, colour)

    def _draw_note(self, group, laid: LaidNote, top: float) -> None:
        theme, paper = self.theme, self.paper
        left, upper = self.x + self.gutter + paper.hang, top - laid.top
        strong = laid.note.mistake or laid.note.weight <= 2
        Plate(group).put(Box(left - 0.9 * self.cap, upper - laid.height + 0.2 * self.cap, 0.22 * self.cap, laid.height - 0.4 * self.cap),
                         theme.float_ if strong else theme.line)
        for number, row in enumerate(laid.rows):
            box = Box(left, upper - 0.3 * self.cap - (number + 1) * paper.pitch, paper.width - paper.hang, paper.pitch)
            self._write(group, "note", row.text, box, theme.dim if row.hint else theme.ink)
        for chip in laid.chips:
            box = Box(left + chip.x, upper - chip.top - chip.height, chip.width, chip.height)
            lit = chip == self._pressed_chip
            Plate(group, round_=True).put(box, theme.flip if lit else theme.water, radius=2 * self.glass.px_per_mm)
            if not lit:
                round_frame(group, box, theme.float_, max(1, 0.3 * self.glass.px_per_mm), 2 * self.glass.px_per_mm)
            foot = box.y + (box.height + len(chip.rows) * paper.pitch) / 2
            for number, row in enumerate(chip.rows):
                self._write(group, "chip", row, Box(box.x + 0.4 * self.cap, foot - (number + 1) * paper.pitch, box.width - 0.8 * self.cap, paper.pitch),
                            theme.flip_ink if lit else theme.ink, across="middle")

    def _write(self, group, name: str, text: str, box: Box, colour, across: str = "left") -> None:
        words = Words(group, name)
        words.put((text,), box, self.cap, self.cap, colour, across=across)
        self._words.append(words)

    # -- fingers -----------------------------------------------------------------------------------------------

    def _inside(self, touch) -> tuple[float, float]:
        return touch.x - self.x - self.gutter, self.top - self.lead - touch.y + self.scroller.offset

    def on_touch_down(self, touch) -> bool:
        """A finger comes down: to put the cursor somewhere, to scroll, to touch a chip, or, held, to choose words."""
        if not self.collide_point(*touch.pos) or self.paper is None:
            return False
        if touch.is_mouse_scrolling:
            self.scroller.to(self.scroller.offset + 3 * self.paper.pitch * (1 if touch.button == "scrollup" else -1))
            return True
        if self._touch is not None:
            return True
        touch.grab(self)
        self._touch, self._down, self._choosing = touch.uid, touch.pos, None
        self._pressed_chip = self.paper.chip_at(*self._inside(touch))
        self.scroller.start(touch.y)
        if self._pressed_chip is None:
            spot = self.paper.spot_at(*self._inside(touch))
            self._long = Clock.schedule_once(lambda _dt: self._choose(spot), LONG_PRESS_S)
        self._draw_later()
        return True

    def _choose(self, spot: Spot) -> None:
        """A finger has stayed: choose the word below it, and more as it is drawn on."""
        self._long = None
        self.scroller.hold()
        self.draft.choose_word(spot)
        self._choosing = self.draft.chosen or (spot, spot)
        self.focus = True
        self.went()

    def on_touch_move(self, touch) -> bool:
        """It is drawn: words are chosen, or the page moves."""
        if touch.grab_current is not self or touch.uid != self._touch:
            return False
        if self._choosing:
            first, last = self._choosing
            spot = self.paper.spot_at(*self._inside(touch))
            self.draft.anchor = last if spot < first else first
            self.draft.cursor = spot if spot < first else max(spot, last)
            self.went()
            return True
        slop = SLOP_MM * self.glass.px_per_mm
        if max(abs(touch.x - self._down[0]), abs(touch.y - self._down[1])) > slop:
            self._forget_press()
        self.scroller.drag(touch.y)
        return True

    def _forget_press(self) -> None:
        if self._long is not None:
            self._long.cancel()
            self._long = None
        self._pressed_chip, self._down = None, (-1e9, -1e9)
        self._draw_later()

    def on_touch_up(self, touch) -> bool:
        """It is lifted: where it came down, if it stayed there."""
        if touch.grab_current is not self or touch.uid != self._touch:
            return False
        touch.ungrab(self)
        self._touch = None
        if self._choosing:
            self._choosing = None
            return True
        self.scroller.stop(touch.y)
        stayed, chip = self._down != (-1e9, -1e9), self._pressed_chip
        self._forget_press()
        if not stayed:
            return True
        self.scroller.hold()
        if chip is not None:
            self.apply(chip.fix)
            return True
        if touch.is_double_tap:
            self.draft.choose_word(self.paper.spot_at(*self._inside(touch)))
        else:
            self.draft.go(self.paper.spot_at(*self._inside(touch)))
        self._want_x = None
        self.focus = True
        self.went()
        return True

    # -- keys -----------------------------------------------------------------------------------------------------

    def on_focus(self, _instance, focus: bool) -> None:
        """Ask for the keyboard, or let it go."""
        if focus:
            self._keyboard = Window.request_keyboard(self._keyboard_gone, self, "text", False)
            self._keyboard.bind(on_key_down=self._on_key, on_textinput=self._on_text)
        elif self._keyboard is not None:
            keyboard, self._keyboard = self._keyboard, None
            keyboard.unbind(on_key_down=self._on_key, on_textinput=self._on_text)
            keyboard.release()
        self._draw_later()

    def _keyboard_gone(self) -> None:
        if self._keyboard is not None:
            self._keyboard.unbind(on_key_down=self._on_key, on_textinput=self._on_text)
            self._keyboard = None
        self.focus = False

    def write(self, text: str, back: int = 0) -> None:
        """Write as if it had been typed; the cursor then goes `back` characters."""
        if self.single:
            text = " ".join(text.split("\n"))
        self.draft.write(text)
        if back:
            self.draft.go(Spot(self.draft.cursor.line, self.draft.cursor.column - back))
        self._want_x = None
        self.edited()

    def _on_text(self, _keyboard, text: str) -> bool:
        text = "".join(char for char in text if char.isprintable())
        if text:
            self.write(text)
        return True

    def _on_key(self, _keyboard, keycode: tuple[int, str], _text: str, modifiers: list[str]) -> bool:
        name, shift = keycode[1], "shift" in modifiers
        ctrl = "ctrl" in modifiers or "meta" in modifiers
        if name == "escape":
            self.leave()
        elif ctrl and name in _COMMANDS:
            getattr(self, _COMMANDS[name] if not (shift and name == "z") else "redo")()
        elif name in _STEPS:
            self._go(_STEPS[name](self, ctrl), shift)
        elif name in ("up", "down", "pageup", "pagedown"):
            self._go_rows({"up": -1, "down": 1}.get(name) or self._page_rows() * (1 if name == "pagedown" else -1), shift)
        elif name in ("backspace", "delete"):
            self.draft.erase(-1 if name == "backspace" else 1, ctrl)
            self._want_x = None
            self.edited()
        elif name in ("enter", "numpadenter"):
            self.enter()
        elif name == "tab" and not self.single:
            self.indent(-1 if shift else 1)
        else:
            return name == "tab" and not self.single
        return True

    def enter(self) -> None:
        """A new line, or the end of writing where there is but one."""
        if self.single:
            self.done()
            return
        self.draft.enter()
        self._want_x = None
        self.edited()

    def indent(self, step: int) -> None:
        """Move lines to the right or left."""
        if step > 0 and self.draft.chosen is None and self.draft.lines[self.draft.cursor.line].strip() == "":
            self.draft.write("  ")
        else:
            self.draft.indent(step)
        self.edited()

    def undo(self) -> None:
        """Take the last change back."""
        if self.draft.undo():
            self.edited()

    def redo(self) -> None:
        """Make it again."""
        if self.draft.redo():
            self.edited()

    def choose_all(self) -> None:
        """Choose everything."""
        self.draft.choose_all()
        self.went()

    def copy(self) -> None:
        """Copy what is chosen."""
        if self.draft.chosen_text:
            copied(self.draft.chosen_text)

    def cut(self) -> None:
        """Copy what is chosen and erase it."""
        if self.draft.chosen_text:
            self.copy()
            self.draft.write("")
            self.edited()

    def paste(self) -> None:
        """Write what was copied."""
        text = pasted()
        if text:
            self.write(text)
            self.draft.settle()

    def toggle_comment(self) -> None:
        """Make remarks of lines, or lines of remarks."""
        self.draft.toggle_comment()
        self.edited()

    def _go(self, spot: Spot, choosing: bool) -> None:
        self.draft.go(spot, choosing)
        self._want_x = None
        self.went()

    def _go_rows(self, rows: int, choosing: bool) -> None:
        if self._want_x is None:
            self._want_x = self.paper.place_of(self.draft.cursor)[0]
        self.draft.go(self.paper.beside(self.draft.cursor, rows, self._want_x), choosing)
        self.went()

    def _page_rows(self) -> int:
        return max(1, int(self.height / self.paper.pitch) - 1)


#: Keys with ctrl, and the method each calls.
_COMMANDS = {"z": "undo", "y": "redo", "a": "choose_all", "c": "copy", "x": "cut", "v": "paste", "#": "toggle_comment"}
_STEPS: dict[str, Callable[[WritingPane, bool], Spot]] = {
    "left": lambda pane, word: pane.draft.beside(-1, word),
    "right": lambda pane, word: pane.draft.beside(1, word),
    "home": lambda pane, all_: Spot(0, 0) if all_ else pane.paper.row_ends(pane.draft.cursor)[0],
    "end": lambda pane, all_: pane.draft.end if all_ else pane.paper.row_ends(pane.draft.cursor)[1],
}


def _unread(draft: Draft) -> Reading:
    count = len(draft.lines)
    return Reading(None, (), ("plain",) * count, (0,) * count)
