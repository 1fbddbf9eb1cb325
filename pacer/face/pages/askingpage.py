"""A page that can ask for a time, a number or a text in place of what it shows."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from typing import NamedTuple

from kivy.clock import Clock

from pacer.face.editor.writingpane import WritingPane
from pacer.face.kit.keycodes import BACKSPACE, DIGITS, ENTERS
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.column import ROW, Cell, Column
from pacer.face.tiles.letters import Letters
from pacer.face.tiles.numberpad import Pad, pad_sides, pad_tiles, pressed, retyped
from pacer.face.tiles.page import CLOSE, Page, PageKey
from pacer.face.tiles.questionlayout import aside, asked
from pacer.language import tr
from pacer.plan.text.textbuffer import TextBuffer
from pacer.show.measure.legibility import Glass
from pacer.show.measure.presstime import COMPLETE_MS
from pacer.show.measure.theme import DARK, Theme
from pacer.show.wording.commonkeys import CANCEL, SAVE

#: Keys of a keyboard for the pad's: digits of both kinds, point, plus and minus, backspace. There is no colon: 1:35 is
#: typed as 135.
PAD_KEYS = {
    **{code: str(digit) for code, digit in DIGITS.items()},
    ord("."): ".",
    ord(","): ".",
    266: ".",
    ord("+"): "more",
    270: "more",
    ord("-"): "less",
    269: "less",
    BACKSPACE: "rub",
    ord(":"): "",
}
ANSWERS = PageKey("take", SAVE, main=True), PageKey("leave it", CANCEL)
NEXT_LANE, NEXT_SWIMMER, NEXT_TIME = tr("Save, next lane"), tr("Save, next swimmer"), tr("Save, next time")


class Following(NamedTuple):
    """What is asked after an answer, if the coach wants that: the words on its key, and what asks it.

    `ask` is None after the last of several questions: the key is dim then, so that Save and Cancel stay where they
    were. `by_itself`: it is asked as soon as the answer is complete, so that nobody has to press the key.
    """

    said: str
    ask: Callable[[], None] | None
    by_itself: bool = False


class AskingPage(Page):
    """`asked` is what is currently asked: "pad", "text", or a word of the page's own; "" for nothing.

    `sheet` is the board shown over the page while something is asked.
    """

    def __init__(self, theme: Theme = DARK, glass: Glass | None = None, **kwargs):
        super().__init__(theme, glass, **kwargs)
        self.asked = ""
        self.pad: Pad | None = None
        self.field: WritingPane | None = None
        self.letters = Letters()
        self.sheet = Board(self.press)
        self._question = self._note = self._note_typed = ""
        self._guess: Pad | None = None  #: the pad as it came, if what it shows was only guessed
        self._field_rows = 1
        self._answered: Callable[..., bool] = lambda value: True
        self._following: Following | None = None
        self._before: Callable[[], None] | None = None
        self._led_back = False  #: whether Erase led back to the question
        self._going_on = Clock.create_trigger(lambda _dt: self._go_on(), COMPLETE_MS / 1000)

    def pinned(self) -> Sequence[PageKey]:
        """The way out."""
        return () if self.typing else (CLOSE,)

    def ask_pad(
        self,
        pad: Pad,
        take: Callable[[int | None], bool],
        following: Following | None = None,
        *,
        note: str = "",
        note_typed: str = "",
        before: Callable[[], None] | None = None,
        guessed: bool = False,
    ) -> None:
        """Ask for a number; `take` gets it and returns whether it accepts it. `following` may be asked next.

        `note` is shown beside the number until something is typed, `note_typed` once it is complete. `before` asks
        again what was asked before: Erase does that while nothing is typed. A number that is only `guessed` is no
        answer until it is typed.
        """
        self._clear()
        self.pad, self._answered, self.asked, self._following = pad, take, "pad", following
        self._note, self._note_typed, self._before = note, note_typed, before
        self._guess = pad if guessed else None
        self.lay_out()

    def ask_text(
        self,
        question: str,
        text: str,
        take: Callable[[str], bool],
        *,
        note: str = "",
        first: str = "capitals",
        rows: int = 1,
        following: Following | None = None,
    ) -> None:
        """Ask for a text.

        `take` gets it and returns whether it accepts it; `following` may be asked next. `note` is shown below it; the
        on-screen letters start with the set `first`; `rows` of text are seen.
        """
        self._clear()
        self._question, self._note, self._answered, self.asked, self._field_rows = question, note, take, "text", rows
        self._following = following
        self.letters = Letters(first)
        draft = TextBuffer(text)
        self.field = WritingPane(draft, single=True, done=lambda: self.press(self._save_key), leave=self.back)
        self.add_widget(self.field)
        draft.choose_all()
        self.lay_out()
        self.field.focus = True
        self.wait_for_keyboard()

    def close_sheet(self) -> None:
        """Stop asking."""
        self._clear()
        self.lay_out()

    def back(self) -> None:
        """Escape: the question first, then a step on the page."""
        if self.asked:
            self.close_sheet()
        else:
            self.step_back()

    def step_back(self) -> None:
        """One step back while nothing is asked."""
        self.close()

    def _clear(self) -> None:
        if self.field is not None:
            self.field.focus = False
            self.remove_widget(self.field)
        self._going_on.cancel()
        self.asked, self.pad, self.field, self._following, self._before = "", None, None, None, None
        self._led_back, self._guess = False, None

    @property
    def zoomed_for(self) -> Hashable:
        """Each question is as large as it can be."""
        about = self.pad.asked if self.pad is not None else self._question
        return super().zoomed_for, self.asked, about

    @property
    def asks(self) -> bool:
        """Whether the page is a question, left by answering it."""
        return bool(self.asked) and not self.pinned()

    @property
    def apart(self) -> bool:
        """Whether the question has the page to itself, and nothing on it changes under a finger."""
        return self.asks and not self.typing

    def column(self, width: float, x: float = 0.0) -> Column:
        """A column on a board of that width."""
        if self.apart:
            width, x = width - 2 * aside(self), x + aside(self)
        return Column(width - 2 * self.gap, self.cap, self.padding, self.gap, self.target, x=x + self.gap, top=self.gap)

    def show_board(self, board: Board, x: float, width: float, tiles: Sequence[Tile]) -> None:
        """Show a board, from the bar to the top of the page, with room below its last tile."""
        if board.parent is None:
            self.add_widget(board, index=len(self.children))
        if self.apart:
            tiles = asked(self, tiles)
        elif self.asks:
            foot = max((tile.bottom for tile in tiles), default=0.0)
            sides = pad_sides(self.upright, bool(self.others())) if self.pad_key() else (0.0, 0.0)
            left, right = (share * (self.width - 2 * self.gap) for share in sides)
            self.draw_up_bar(foot + self.gap, left, right)  # the keys that answer are below the pad's
        high = self.top - self.bar.top
        board.theme, board.glass = self.theme, self.glass
        board.pos, board.size = (x, self.bar.top), (width, max(1, high))
        foot = max((tile.bottom for tile in tiles), default=0)
        board.show((*tiles, Tile("", 0, foot, width, 0.5 * self.gap, (), "plain")), self.cap, self.padding)

    # -- while a number or a text is asked ----------------------------------------------------------------

    @property
    def typing(self) -> bool:
        """Whether a number or a text is asked."""
        return self.asked in ("pad", "text")

    def answers(self) -> Sequence[PageKey]:
        """The keys while something is asked."""
        save, leave = ANSWERS
        save = save._replace(able=self.pad is None or not self.pad.wrong)
        if self._following is None:
            return save, leave
        last = self._following.ask is None
        able = save.able and not last and not self.nothing_typed
        return PageKey("take on", self._following.said, able, main=not last), save._replace(main=last), leave

    def others(self) -> Sequence[Cell]:
        """Other answers of the kind that the pad asks for, shown beside its keys."""
        return ()

    @property
    def nothing_typed(self) -> bool:
        """Whether the pad shows a guess that nobody has typed: no answer is taken unasked."""
        return self.pad is not None and self._guess is not None and self.pad == self._guess

    @property
    def _save_key(self) -> str:
        """The name of the main key."""
        return "take" if self._following is None or self._following.ask is None else "take on"

    def asking_tiles(self, column: Column) -> list[Tile]:
        """The question and the keys to type with."""
        if self.pad is not None:
            column.room = self.room_for_pad
            note = self._note if not self.pad.typed else self._note_typed if self.pad.complete else ""
            return pad_tiles(self.pad, column, self.upright, note, self.others())
        column.say(self._question, bold=True, most=1)
        column.top += self._field_high + 0.9 * self.gap  # the line to write in
        column.say(self._note, colour="dim")
        column.skip(0.5)
        if self.letters_wanted:
            self.letters.put(column)
        return column.tiles

    @property
    def room_for_pad(self) -> float:
        """The height for a pad above the keys that answer it."""
        return self.height - self.bar.height - self.gap

    @property
    def _field_high(self) -> float:
        return max(self.target, self._field_rows * round(ROW * self.cap) + self.padding)

    def lay_field(self) -> None:
        """Place the line to write in, below its question."""
        if self.field is not None:
            self.field.theme, self.field.glass, self.field.cap = self.theme, self.glass, self.cap
            self.field.pos = (self.x + self.gap, self.top - 1.3 * self.gap - round(ROW * self.cap) - self._field_high)
            self.field.size = (self.width - 2 * self.gap, self._field_high)
            self.field.lay_out()

    def pad_key(self) -> str:
        """The key that saves what is typed on a pad; "" if there is none."""
        return self._save_key if self.pad is not None else ""

    def _on_key(self, window, code: int, scancode: int = 0, text: str = "", modifiers: Sequence[str] = ()) -> bool:
        if self.get_parent_window() is None or not self.pad_key():
            return super()._on_key(window, code, scancode, text, modifiers)
        if code in PAD_KEYS:
            if PAD_KEYS[code]:
                self.press(f"pad {PAD_KEYS[code]}")
            return True
        if code in ENTERS and self.focused() is None:
            self.press(self.pad_key())
            return True
        return super()._on_key(window, code, scancode, text, modifiers)

    def press_typing(self, name: str) -> bool:
        """Do what a key of the pad or an answer is for; False if it is neither."""
        if self.pad is not None and name.startswith("pad "):
            self._press_pad(self.pad, name.removeprefix("pad "))
        elif self.field is not None and self.letters.press(name, self.field):
            self.lay_out()
        elif name == "leave it":
            self.close_sheet()
        elif name in ("take", "take on") and self.typing:
            if name == "take on" and self._save_key == "take":
                self.tell(tr("That was the last one: tap Save."))
            elif self.nothing_typed and name == "take":
                self.close_sheet()
            elif self.nothing_typed:
                self.tell(tr("Nothing typed yet. Type it, or tap Save to keep what you see."))
            else:
                self._answer(self._following if name == "take on" else None)
        else:
            return False
        return True

    def _press_pad(self, pad: Pad, key: str) -> None:
        """A key of the pad. A digit after a complete answer is the first of the next one."""
        following = self._following
        if self._going_on.is_triggered and key.isdecimal():
            self._go_on()
            self._press_pad(self.pad or pad, key)
            return
        self._going_on.cancel()
        if key in ("rub", ".") and not pad.typed and self._led_back:
            self.pad = pressed(retyped(pad), key)
        elif key == "rub" and not pad.typed and self._before is not None:
            self._before()
            self._led_back = True  # a digit now replaces the answer, Erase removes its last one, a point adds tenths
        else:
            self.pad = pressed(pad, key)
        if (
            key.isdecimal()
            and self.pad is not None
            and self.pad.complete
            and following is not None
            and following.ask is not None
            and following.by_itself
        ):
            self._going_on()
        self.lay_out()

    def _go_on(self) -> None:
        """What is typed is complete: the next question comes by itself."""
        self._going_on.cancel()
        self._answer(self._following)

    def _answer(self, following: Following | None) -> None:
        if not self._taken():
            return
        if following is not None and following.ask is not None:
            following.ask()
        else:
            self.close_sheet()

    def _taken(self) -> bool:
        """Whether what is typed is accepted; what is wrong is said."""
        if self.pad is None:
            return self._answered(self.field.draft.text if self.field is not None else "")
        if self.pad.wrong:
            self.tell(self.pad.wrong)
            return False
        return self._answered(self.pad.number)

    def keep_typed(self) -> bool:
        """Save what is typed before something else is asked; False if that can't be accepted."""
        return not self.typing or self.nothing_typed or self._taken()
