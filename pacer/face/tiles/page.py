"""What every page around the session shares: a bar of keys along its lower edge, messages, and a keyboard's keys.

A page knows nobody: the code that puts it in the window gives it the squad, the theme and the screen, and learns from
callbacks what the coach wants next.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.lang import Builder
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty
from kivy.uix.widget import Widget
from kivy.utils import platform

from pacer.face.kit import focus
from pacer.face.kit.eachframe import Frames
from pacer.face.kit.keycodes import ARROWS, ENTERS, ESCAPE, SPACE, TAB
from pacer.face.kit.textures import measure
from pacer.face.tiles.board import Board, Text, Tile
from pacer.face.tiles.column import Column
from pacer.face.tiles.field import Field
from pacer.face.tiles.footletters import FootLetters
from pacer.face.tiles.pagegrid import ZoomedPage
from pacer.face.tiles.pagekey import MORE, PageKey
from pacer.plan.sentence import capitals, sentences
from pacer.show.measure.keyrows import Placed, arrange
from pacer.show.measure.legibility import Glass
from pacer.show.measure.messagetime import PAGE_MS
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import SMALL
from pacer.show.wording import commonkeys
from pacer.show.wording.commonkeys import KEYBOARD

SOFT = ("android", "ios")  #: where the system shows a keyboard when something is written
MOST_KEY = 12.0  #: greatest width of a key that has room to grow, in character heights
LOADING_S = 1.0  #: how long it may take; after that there is none, as when one is plugged in

Builder.load_file(str(Path(__file__).with_suffix(".kv")))

CLOSE = PageKey("leave", commonkeys.CLOSE)  #: the way out: at the same place on every page


class Page(Frames, ZoomedPage):
    """A page over the whole of its size.

    A subclass gives `keys()`, `lay_page()` (its own children, above the bar) and `press(name)`; `boards` are those
    that a keyboard's focus goes through, the bar last. `covered` pixels at the foot are under the soft keyboard, or
    letters of our own. A page that lies `over` another paints its own background; else it shows the window's, which
    saves a third of a frame drawn in software.
    """

    ground = ColorProperty((0, 0, 0))
    over = BooleanProperty(False)
    covered = NumericProperty(0)

    def __init__(
        self, theme: Theme = DARK, glass: Glass | None = None, close: Callable[[], None] = lambda: None, **kwargs
    ):
        super().__init__(theme, glass, **kwargs)
        self.close = close
        self.bar = Board(self._press)
        self.boards: list[Board] = []
        self.bar_page, self._rows = 0, 1
        self.bar_pages: tuple[tuple[Placed[PageKey], ...], ...] = ()
        self._arranged: tuple = ()
        self._told: tuple[str, ...] = ()
        self._telling = None
        self.note = Board(self._press)  #: the message; on the page only meanwhile
        self.foot: FootLetters | None = None  #: letters of our own along the foot, while something is written with them
        self._in_vain = False  #: whether a soft keyboard was requested and none came
        self._waiting_for_keyboard = Clock.create_trigger(lambda _dt: self.no_keyboard_came(), LOADING_S)
        self.add_widget(self.bar)
        self.bind(pos=lambda *_: self.lay_out(), size=lambda *_: self.lay_out(), covered=lambda *_: self.lay_out())

    # -- given by each page -----------------------------------------------------------------------------------

    def keys(self) -> Sequence[PageKey]:
        """The current keys of the bar, the most needed first."""
        raise NotImplementedError

    def pinned(self) -> Sequence[PageKey]:
        """Keys that come first on every page of the bar."""
        return ()

    def lay_page(self) -> None:
        """Lay out what is above the bar: from `self.bar.top` to `self.top`."""
        raise NotImplementedError

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        raise NotImplementedError

    def back(self) -> None:
        """One step back: Escape, or the tablet's own key."""
        self.close()

    def fill_room(self, board: Board) -> None:
        """Put a board above the bar, over the whole width."""
        board.pos, board.size = (self.x, self.bar.top), (self.width, max(1, self.top - self.bar.top))

    # -- the bar ------------------------------------------------------------------------------------------------

    def bar_rows(self) -> int:
        """The greatest number of rows of keys on the bar."""
        return 2 if self.upright else 1

    def _rows_needed(self) -> int:
        """How many rows of keys the bar needs now."""
        pinned, most = tuple(self.pinned()), self.bar_rows()
        for rows in range(1, most):
            columns = [pinned[first : first + rows] for first in range(0, len(pinned), rows)]
            room = self.width - 2 * self.gap - sum(self._pin_wide(column) + self.gap for column in columns)
            if len(self._in_pages((room, rows * self.target + (rows - 1) * self.gap), rows)) <= 1:
                return rows
        return most

    def _in_pages(self, room: tuple[float, float], rows: int) -> tuple[tuple[Placed[PageKey], ...], ...]:
        """The keys on pages of the bar; unchanged keys stay where they were."""
        keys, cap = tuple(self.keys()), self.cap
        if not keys:
            return ()
        asked = keys, room, rows, cap, self.mm
        if (asked,) != self._arranged[:1]:
            most = MOST_KEY * cap
            pages = arrange(keys, MORE, lambda label: self._wide(label) + cap, room, self.mm, rows, most=most)
            if len(pages) > 1:  # rather tight than out of sight
                pages = arrange(keys, MORE, self._wide, room, self.mm, rows, most=most)
            self._arranged = asked, pages
        return self._arranged[1]

    def _pin_wide(self, pinned: Sequence[PageKey]) -> float:
        return max(self.target, max(self._wide(key.label) for key in pinned) + 4 * self.padding)

    def lay_at_zoom(self) -> None:
        """Lay everything out: bar, message and page."""
        if self.width < 2 or self.height < 2:
            return
        self.ground = self.theme.ground
        if self.parent is not None and not self.over:
            Window.clearcolor = self.ground
        for board in (*self.boards, self.bar):
            board.theme, board.glass = self.theme, self.glass
        if self.foot is not None:
            column = Column(self.width - 2 * self.gap, self.cap, 0.7 * self.padding, self.gap, self.target, x=self.gap)
            self.foot.theme, self.foot.glass, self.foot.pos = self.theme, self.glass, self.pos
            self.foot.lay_out(column, self.height)
            self.covered = self.foot.height
        rows = self._rows = self._rows_needed()
        self.bar.size = (self.width, rows * self.target + (rows + 1) * self.gap)
        self.bar.pos = (self.x, self.y + self.covered)
        self.show_bar()
        self.lay_page()

    def draw_up_bar(self, below: float, left: float = 0.0, right: float = 0.0) -> None:
        """Put the bar `below` pixels from the top, and in from the sides: keys that answer are near what is asked."""
        self.bar.size = (self.width - left - right, self.bar.height)
        self.bar.pos = (self.x + left, max(self.bar.y, self.top - below - self.bar.height))
        self.show_bar()

    def show_bar(self) -> None:
        """Lay out the bar's keys, and the message."""
        if self.width < 2 or self.height < 2:
            return
        gap, rows = self.gap, self._rows
        room = (self.bar.width - 2 * gap, self.bar.height - 2 * gap)
        pinned, tiles, left = tuple(self.pinned()), [], 0.0
        if pinned:
            below = min(rows, len(pinned))  # a single one is as high as the bar
            for first in range(0, len(pinned), below):
                column = pinned[first : first + below]
                wide, high = self._pin_wide(column), (room[1] - (len(column) - 1) * gap) / len(column)
                tiles += [  # the first in the lower corner
                    self._key_tile(key, gap + left, gap + (len(column) - 1 - up) * (high + gap), wide, high)
                    for up, key in enumerate(column)
                ]
                left += wide + gap
        self.bar_pages = self._in_pages((room[0] - left, room[1]), rows)
        self.bar_page %= max(1, len(self.bar_pages))
        for placed in self.bar_pages[self.bar_page] if self.bar_pages else ():
            tiles.append(
                self._key_tile(
                    placed.key,
                    gap + left + placed.x,
                    gap + room[1] - placed.y - placed.height,
                    placed.width,
                    placed.height,
                )
            )
        self.bar.show(tiles, self.cap, 0.5 * self.padding)
        if self._told:
            self.say_beside_keys(self.note, self._told, "told", self.bar_rows(), 4)

    def say_beside_keys(
        self, board: Board, ways: tuple[str, ...], name: str = "", rows: int = 1, lines: int = 2
    ) -> None:
        """Show words above the keys, or below them if there is room: no key is covered."""
        gap, wide, high = self.gap, self.bar.width - 2 * self.gap, rows * self.target
        below = self.bar.y - self.y - self.covered >= high + 2 * gap
        if board.parent is None:
            self.add_widget(board)
        board.theme, board.glass = self.theme, self.glass
        board.size = (self.bar.width, high + 2 * gap)
        board.pos = (self.bar.x, self.bar.y - board.height if below else self.bar.top)
        across = "left" if lines > 2 else "middle"
        text = Text(capitals(ways), (self.inset, 0, wide - 2 * self.inset, high), bold=True, across=across, lines=lines)
        board.show([Tile(name, gap, gap, wide, high, (text,), "lit")], self.cap, self.padding)

    def _wide(self, label: str) -> float:
        return measure(label, self.cap, True) + 1

    def _key_tile(self, key: PageKey, x: float, top: float, width: float, height: float) -> Tile:
        texts: tuple[Text, ...] = (Text((key.label,), bold=True, across="middle"),)
        if key.note:
            said, more = measure(key.label, self.cap, True) + 1, measure(key.note, SMALL * self.cap) + 1
            left = (width - said - more - 0.6 * self.cap) / 2
            note = Text((key.note,), (left + said + 0.6 * self.cap, 0, more, height), cap=SMALL)
            texts = texts[0]._replace(box=(left, 0, said, height), across="left"), note
        return Tile(
            key.name, x, top, width, height, texts, "lit" if key.lit else "main" if key.main else "key", key.able
        )

    def _press(self, name: str) -> None:
        self.hush()
        if name == "told":
            return
        if name == "more":
            self.bar_page += 1
            self.show_bar()
        else:
            self.press(name)

    # -- messages ---------------------------------------------------------------------------------------------

    def tell(self, *ways: str) -> None:
        """Show a sentence beside the keys for a while, the longest of `ways` that fits; a touch there ends it."""
        self._told = sentences(ways)
        if self._telling is not None:
            self._telling.cancel()
        self._telling = Clock.schedule_once(lambda _dt: self.hush(), PAGE_MS / 1000)
        self.show_bar()

    @property
    def says(self) -> str:
        """The message on show, "" if none."""
        return self._told[0] if self._told else ""

    def hush(self) -> None:
        """Remove the message."""
        if self._telling is not None:
            self._telling.cancel()
        self._told, self._telling = (), None
        self.remove_widget(self.note)

    # -- letters on the screen -----------------------------------------------------------------------------------

    @property
    def letters_wanted(self) -> bool:
        """Whether nobody could write without letters of our own: no soft keyboard comes up here, or none came."""
        return not self.covered and (platform not in SOFT or self._in_vain)

    def letters_key(self) -> tuple[PageKey, ...]:
        """The key for letters of our own if there are no others."""
        return (PageKey("letters", KEYBOARD),) if self.letters_wanted else ()

    def show_letters(self, pane: Field) -> None:
        """Show letters of our own along the foot while `pane` is written in."""
        self.hide_letters()
        self.foot = FootLetters(pane, self.lay_out)
        self.add_widget(self.foot)
        pane.bind(focus=self._written_no_more)
        self.lay_out()

    def hide_letters(self) -> None:
        """Hide them."""
        if self.foot is not None:
            foot, self.foot = self.foot, None
            foot.pane.unbind(focus=self._written_no_more)
            self.remove_widget(foot)
            self.covered = 0

    def _written_no_more(self, _pane, focus: bool) -> None:
        if not focus:
            self.hide_letters()

    def wait_for_keyboard(self) -> None:
        """Something is being written: if a soft keyboard should come up, wait for it."""
        if platform in SOFT:
            self._waiting_for_keyboard()

    def no_keyboard_came(self) -> None:
        """Something is written, and no soft keyboard has come: letters of our own are offered."""
        if not self.covered and self.written_in() is not None:
            self._in_vain = True
            self.lay_out()

    def keyboard_moved(self, _window, height: float) -> None:
        """The soft keyboard covers so much of the foot."""
        self._in_vain = self._in_vain and height <= 0
        if height > 0:
            self.hide_letters()
        self.covered = max(0, height, self.foot.height if self.foot else 0)

    # -- a keyboard's keys ----------------------------------------------------------------------------------------

    def on_parent(self, _instance, parent) -> None:
        """Listen to the window's keys, and follow the time, while the page is in it."""
        self.follow_time(parent is not None)
        Window.unbind(on_key_down=self._on_key, keyboard_height=self.keyboard_moved)
        if parent is not None:
            Window.softinput_mode = ""
            Window.bind(on_key_down=self._on_key, keyboard_height=self.keyboard_moved)
            if not self.over:
                Window.clearcolor = self.ground

    def _on_key(self, _window, code: int, _scancode: int = 0, _text: str = "", modifiers: Sequence[str] = ()) -> bool:
        if self.get_parent_window() is None:  # the page over it has gone, and nobody told it
            return False
        if code == ESCAPE and self._told:
            self.hush()
            return True
        pane = self.written_in()
        if pane is not None and not (pane.single and code == TAB):
            return False
        if code == ESCAPE:
            self.back()
            return True
        if code == TAB:
            if pane is not None:
                pane.focus = False
            self.step_focus(-1 if "shift" in (modifiers or ()) else 1)
            return True
        board = self.focused()
        if code in ARROWS and not self._scrolled(board, ARROWS[code][1]):
            if board is None:
                self.step_focus(1)
            elif not board.move_focus(*ARROWS[code]):
                self._leave_board(board, ARROWS[code])
            return True
        if code in ARROWS:
            return True
        if board is not None and (code in ENTERS or code == SPACE):
            board.press(board.focus)
            return True
        return False

    def written_in(self) -> Widget | None:
        """What is being written in: keys go there."""
        return next((child for child in self.children if getattr(child, "focus", None) is True), None)

    def _scrolled(self, board: Board | None, down: int) -> bool:
        """Up and down scroll text that is only read, unless the focus is on another board than the bar."""
        text = next(
            (
                each
                for each in self.boards
                if each.parent is not None and each.scroller.most and not any(tile.name for tile in each.tiles)
            ),
            None,
        )
        if not down or text is None or board not in (None, self.bar):
            return False
        text.roll(down * 4 * text.cap)
        return True

    def _reachable(self) -> list[Board]:
        return [
            board
            for board in (*self.boards, *([self.foot] if self.foot else ()), self.bar)
            if board.parent is not None and any(tile.name for tile in board.tiles)
        ]

    def focused(self) -> Board | None:
        """The board with the keyboard's focus."""
        return next((board for board in self._reachable() if board.focus and board.tile(board.focus)), None)

    def step_focus(self, step: int) -> None:
        """Tab: move to the next thing that can be pressed, through all boards and from the last to the first."""
        focus.step(self._reachable(), step)

    def _leave_board(self, board: Board, arrow: tuple[int, int]) -> None:
        boards = self._reachable()
        place = boards.index(board) + (arrow[1] or arrow[0])
        if 0 <= place < len(boards) and arrow[1]:
            board.set_focus("")
            boards[place].step_focus(1 if arrow[1] > 0 else -1)

    def on_touch_down(self, touch) -> bool:
        """Fingers need no focus; nothing below the page can be touched."""
        if not self.collide_point(*touch.pos):
            return False
        for board in (*self.boards, self.bar):
            if board.focus:
                board.set_focus("")
        super().on_touch_down(touch)
        return True
