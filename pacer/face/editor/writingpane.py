"""The text of a plan on the screen: painted by us, written with finger and keyboard, read again with every key."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from math import ceil

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ColorProperty, ObjectProperty
from kivy.uix.widget import Widget

from pacer.face.editor.editorcommands import EditorCommands
from pacer.face.editor.editorkeyboard import EditorKeyboard
from pacer.face.editor.pagepainter import Margin, PageLook, PagePainter
from pacer.face.editor.writingfinger import WritingFinger
from pacer.face.kit.background import keep_ground
from pacer.face.kit.ink import Box, Words
from pacer.face.kit.scroller import Scroller
from pacer.face.kit.textures import font_size, measure
from pacer.plan.text.fixes import Fix
from pacer.plan.text.livepage import LivePage, PageReading
from pacer.plan.text.styledstretches import Stretch, stretches
from pacer.plan.text.textbuffer import Spot, TextBuffer
from pacer.plan.words.ownwords import NO_WORDS
from pacer.shippedfiles import CAP
from pacer.show.editing.pagelayout import Note, Paper
from pacer.show.measure.keyrows import GAP_MM, TARGET_MM
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme

GUTTER_MM = 7.0  #: left of the text, for marks
MARGIN_MM = 2.5


@lru_cache(16384)
def _advance(text: str, size: int, bold: bool) -> float:
    return measure(text, size * CAP, bold)


class WritingPane(EditorCommands, Widget):
    """A draft, painted. `focus`: whether keys write into it.

    `changed()` is called after every edit, `moved()` when only the cursor has moved, `apply(fix)` when a chip is
    tapped, `leave()` on Escape, `done()` on Enter if the draft is a `single` line, `tell(*ways)` with what went wrong.
    With a `margin` the page is ruled, and has times in it. A slip may be laid over its foot (`slip`: that many pixels);
    the cursor stays above the highest there can be, so that no line moves for it (`spared`).
    """

    ground = ColorProperty((0, 0, 0))
    theme: Theme = ObjectProperty(DARK)
    glass: Glass = ObjectProperty(Glass())
    focus = BooleanProperty(False)

    def __init__(
        self,
        draft: TextBuffer,
        live: LivePage | None = None,
        *,
        single: bool = False,
        changed: Callable[[], None] = lambda: None,
        moved: Callable[[], None] = lambda: None,
        apply: Callable[[Fix], None] = lambda fix: None,
        leave: Callable[[], None] = lambda: None,
        done: Callable[[], None] = lambda: None,
        tell: Callable[..., None] = lambda *ways: None,
        **kwargs,
    ):
        super().__init__(**kwargs)
        keep_ground(self)
        self.draft, self.live, self.single = draft, live, single
        self.changed, self.moved, self.apply, self.leave, self.done = changed, moved, apply, leave, done
        self.tell = tell
        self.cap = 1.0
        self.reading = live.read(draft.lines) if live else _unread(draft)
        self.notes: Mapping[int, Sequence[Note]] = {}
        self.underlined: Mapping[int, Sequence[tuple[int, int]]] = {}
        self._laid: Paper | None = None  # None until it is laid out
        self.scroller = Scroller(lambda: self._draw_later())
        self.hint = ""  #: shown while the text is empty
        self.ink = PagePainter(self.canvas)
        self.margin: Margin | None = None
        self.slip = self.spared = 0.0
        self._draw_later = Clock.create_trigger(self._draw, -1)
        self._seen_through = 0.0  #: the height at the last layout
        self.typist = EditorKeyboard(self)
        self.finger = WritingFinger(self)
        self.bind(pos=lambda *_: self._draw_later(), size=lambda *_: self.lay_out())

    @property
    def paper(self) -> Paper:
        """The text as it is laid out."""
        assert self._laid is not None, "it has a size"
        return self._laid

    # -- layout -----------------------------------------------------------------------------------------

    @property
    def gutter(self) -> float:
        """Width of the strip left of the text."""
        if self.margin is not None:
            return self.margin.takes + 1.8 * self.cap
        return (MARGIN_MM if self.single else GUTTER_MM) * self.glass.px_per_mm

    @property
    def laid_out(self) -> bool:
        """Whether it has a size."""
        return self._laid is not None

    @property
    def clear(self) -> float:
        """The height that nothing is laid over."""
        return self.height - self.spared

    def lay_out(self) -> None:
        """Lay everything out again: after the size, the theme or the character height has changed."""
        self.ground = self.theme.ground if self.margin is not None else self.theme.deck
        mm = self.glass.px_per_mm
        size = font_size(self.cap)
        width = max(4 * self.cap, self.width - self.gutter - MARGIN_MM * mm)
        seen, line, was = self._in_hand()
        turned = self._laid is None or self._laid.width != width
        self._laid = Paper(
            lambda text, bold: _advance(text, size, bold),
            self.cap,
            width,
            TARGET_MM * self.glass.hands * mm,
            GAP_MM * self.glass.hands * mm,
        )
        self.lay()
        self._keep_in_hand(seen or turned, line, was)

    def lay_again(self) -> None:
        """Lay the notes out again, keeping in place what the coach is looking at, as far as possible."""
        if self._laid is not None:
            in_hand = self._in_hand()
            self.lay()
            self._keep_in_hand(*in_hand)

    def _in_hand(self) -> tuple[bool, int, float | None]:
        """Whether the cursor's line is in view.

        Also that line, or the first line in view if it is not; and the top of that line, None for a page without a
        layout.
        """
        paper, line, offset = self._laid, self.draft.cursor.line, self.scroller.offset
        if paper is None or line >= len(paper.lines):
            return True, line, None
        seen = paper.tops[line + 1] > offset and paper.tops[line] < offset + self._seen_through
        line = line if seen else paper.line_at(offset)
        return seen, line, paper.tops[line]

    def _keep_in_hand(self, seen: bool, line: int, was: float | None) -> None:
        now = self.paper.tops[min(line, len(self.paper.lines) - 1)]
        if was not in (None, now):
            self.scroller.to(self.scroller.offset + now - was)
        if seen:
            self.reveal()

    def lay(self) -> None:
        """Lay out what has changed."""
        if self._laid is None:
            return
        kinds, starts = self.reading.kinds, self.reading.starts
        gear = self.live.own if self.live else NO_WORDS
        texts = self.draft.lines

        def stretches_of(number: int) -> tuple[Stretch, ...]:
            if self.live is None:
                return (Stretch(0, len(texts[number]), "plain"),) if texts[number] else ()
            return stretches(texts[number], kinds[number], starts[number], gear)

        self.paper.lay(texts, stretches_of, self.notes)
        hidden = max(0.0, self.paper.height + (0 if self.single else self.paper.pitch) - self.clear)
        self.scroller.limit(self.clear + self._whole(hidden), self.clear)  # whole rows are hidden at its end, too
        self._seen_through = self.clear
        self._draw_later()

    def reveal(self) -> None:
        """Bring the cursor into view, and the notes on its line if there is room."""
        if self._laid is None:
            return
        pitch, line = self.paper.pitch, self.draft.cursor.line
        _, top = self.paper.place_of(self.draft.cursor)
        foot = self.paper.tops[line + 1]
        bottom = foot if foot - top <= self.clear - pitch else top + pitch
        self.scroller.show(max(0, top - 0.4 * pitch), bottom + 0.2 * pitch, self.clear)
        if not self.single:
            whole = self._whole(self.scroller.offset)  # no row is cut at the upper edge
            more = whole - pitch if whole > self.scroller.offset + 1 else whole
            self.scroller.to(more if bottom <= more + self.clear or whole > top else whole)
        self._draw_later()

    def turn(self, step: int) -> None:
        """Show the text above (-1) or below (1) what is seen, one row of which stays in sight."""
        rows = max(1, int(self.clear / self.paper.pitch) - 1)
        self.scroller.to(self.scroller.offset + step * rows * self.paper.pitch)
        self._draw_later()

    def _whole(self, height: float) -> float:
        """That height rounded up to whole rows."""
        return ceil(height / self.paper.pitch - 0.01) * self.paper.pitch

    def caret(self) -> Box:
        """Where the cursor is in the window."""
        x, top = self.paper.place_of(self.draft.cursor)
        return Box(
            self.x + self.gutter + x,
            self.top - self.lead - (top - self.scroller.offset) - self.paper.pitch,
            max(2, 0.12 * self.cap),
            self.paper.pitch,
        )

    @property
    def lead(self) -> float:
        """Space above the text: a single line, in however many rows, is in the middle."""
        return max(0.0, (self.height - max(self.paper.pitch, self.paper.height)) / 2) if self.single else 0.0

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
        return [words for words in self.ink.words if words.ink]

    def _draw(self, *_) -> None:
        if self._laid is not None and self.paper.lines:
            self.ink.draw(self._look(), self.to_window(self.x, self.y), self.draft.edits)

    def _look(self) -> PageLook:
        """What to show now."""
        box, mm = Box(self.x, self.y, self.width, self.height), self.glass.px_per_mm
        return PageLook(
            box,
            self.scroller.offset,
            self.lead,
            self.gutter,
            self.cap,
            mm,
            self.theme,
            self.paper,
            self.draft.lines,
            self.reading,
            self.live.own if self.live else None,
            self.notes,
            self.underlined,
            self.margin or Margin(self.gutter),
            ruled=self.margin is not None,
            here=self.draft.cursor.line,
            chosen=self.draft.chosen,
            caret=self.caret() if self.focus else None,
            pressed=self.finger.pressed,
            hint=self.hint,
            mark=self.scroller.mark(box, mm),
            more=(self.scroller.offset > 1, self._hides_below()),
            slip=self.slip,
        )

    # -- fingers -----------------------------------------------------------------------------------------------

    def _hides_below(self) -> bool:
        return self.paper.height - self.scroller.offset > self.height - self.slip + 0.5 * self.paper.pitch

    def inside(self, touch) -> tuple[float, float]:
        """Where a finger is in the text."""
        return touch.x - self.x - self.gutter, self.top - self.lead - touch.y + self.scroller.offset

    def draw_soon(self) -> None:
        """Paint before the next frame."""
        self._draw_later()

    def on_touch_down(self, touch) -> bool:
        """A finger comes down."""
        if not self.collide_point(*touch.pos) or self._laid is None:
            return False
        if touch.is_mouse_scrolling:
            self.scroller.to(self.scroller.offset + 3 * self.paper.pitch * (1 if touch.button == "scrollup" else -1))
        elif self.finger.down(touch):
            touch.grab(self)
        return True

    def on_touch_move(self, touch) -> bool:
        """It moves."""
        if touch.grab_current is not self or not self.finger.follows(touch):
            return False
        self.finger.move(touch)
        return True

    def on_touch_up(self, touch) -> bool:
        """It is lifted."""
        if touch.grab_current is not self or not self.finger.follows(touch):
            return False
        touch.ungrab(self)
        self.finger.up(touch)
        return True

    def on_parent(self, _instance, parent) -> None:
        """Removed from the page by another finger's key: a finger still on it means nothing any more."""
        if parent is None:
            self.finger.forget()

    # -- keys -----------------------------------------------------------------------------------------------------

    def on_focus(self, _instance, focus: bool) -> None:
        """Request the keyboard, or release it."""
        self.typist.begin() if focus else self.typist.end()
        self._draw_later()

    def write(self, text: str) -> None:
        """Write as if it had been typed."""
        if self.single:
            text = " ".join(text.split("\n"))
        self.draft.write(text)
        self.typist.want_x = None
        self.edited()

    def fix(self, fix: Fix) -> None:
        """Make a change that was offered; a cursor at its line's end stays at the end."""
        draft = self.draft
        line, column = draft.cursor
        below = len(draft.lines) - line
        at_end = column == len(draft.lines[line])
        if fix.also:
            draft.rewrite(fix.applied(draft.lines))
        else:
            draft.replace(fix.line, fix.start, fix.end, fix.text)
        if at_end:
            line = len(draft.lines) - below
            draft.go(Spot(line, len(draft.lines[line])))
        draft.settle()
        self.edited()

    def enter(self) -> None:
        """A new line, or, in a single line, the end of writing."""
        if self.single:
            self.done()
            return
        self.draft.enter()
        self.typist.want_x = None
        self.edited()


def _unread(draft: TextBuffer) -> PageReading:
    count = len(draft.lines)
    return PageReading(None, (), ("plain",) * count, (0,) * count)
