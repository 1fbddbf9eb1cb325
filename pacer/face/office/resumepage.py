"""Asks whether to resume an interrupted session: its clock runs meanwhile, and every lane can be stopped."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kivy.clock import Clock

from pacer.face.tiles.board import Board
from pacer.face.tiles.column import Column
from pacer.face.tiles.longpresspage import LongPressPage
from pacer.face.tiles.page import PageKey
from pacer.language import tr
from pacer.session.storage.recovery import Recovery
from pacer.session.timesource import boot_ms
from pacer.show.measure.legibility import Glass
from pacer.show.measure.presstime import STOP_MS
from pacer.show.measure.theme import DARK, Theme
from pacer.show.wording.recoverytext import recall_words
from pacer.show.wording.stopalltext import HOW_TO_STOP_ALL, STOP_ALL
from pacer.show.wording.timereadings import clock_reading, count_up

STOP = PageKey("stop", STOP_ALL)
LARGE = 2.4  #: height of the clock, in character heights
TICK_S = 0.1


class ResumePage(LongPressPage):
    """`on_carry_on()`, `on_over()` and `on_stop()` are the coach's decisions; `now_ms` is a clock that never jumps."""

    def __init__(
        self,
        recovery: Recovery,
        *,
        on_carry_on: Callable[[], None],
        on_over: Callable[[], None],
        on_stop: Callable[[], None],
        now_ms: Callable[[], int] = boot_ms,
        theme: Theme = DARK,
        glass: Glass | None = None,
        **kwargs,
    ):
        super().__init__({STOP.name}, now_ms, theme, glass, STOP_MS, **kwargs)
        self.recovery, self.now_ms, self.paragraphs = recovery, now_ms, recall_words(recovery)
        self.on_carry_on, self.on_over, self.on_stop = on_carry_on, on_over, on_stop
        self.board = Board(self.press)
        self.boards = [self.board]
        self.add_widget(self.board, index=len(self.children))
        self.bar.short = lambda _name: self._too_short()  # a message would cover the key
        self._shown, self._hint = ("", ""), ""
        self._ticking = Clock.schedule_interval(lambda _dt: self._tick(), TICK_S)
        self._ticking.cancel()
        self.lay_out()

    def on_parent(self, instance, parent) -> None:
        """Keep the clock going while the page is in the window."""
        super().on_parent(instance, parent)
        self._ticking.cancel()
        if parent is not None:
            self._ticking()

    def _tick(self) -> None:
        if self._clock() != self._shown:
            self.lay_out()

    def _too_short(self) -> None:
        self._hint = HOW_TO_STOP_ALL[0]
        self.lay_out()

    def _clock(self) -> tuple[str, str]:
        """The pace clock, and how far the session is."""
        at_ms = self.now_ms() - self.recovery.entry.boot_ms
        into = "" if self.recovery.over or at_ms < 0 else tr("{time} into the session", time=count_up(at_ms // 1000))
        return clock_reading(at_ms, self.recovery.run.phase_ms), into

    def keys(self) -> Sequence[PageKey]:
        """What can be done, the likelier first."""
        on, over = PageKey("on", tr("Resume"), main=not self.recovery.over), PageKey("over", tr("End it"))
        return (over, on) if self.recovery.over else (on, over)

    def pinned(self) -> Sequence[PageKey]:
        """Every lane can be stopped from here; if the session is long over there is nobody to stop."""
        return () if self.recovery.over else (STOP,)

    def lay_page(self) -> None:
        """The clock, then what was running."""
        self._shown = self._clock()
        wide = self.width - 2 * self.gap
        column = Column(wide, self.cap, 0.7 * self.padding, self.gap, self.target, x=self.gap, top=self.gap)
        column.say(self._shown[0], bold=True, scale=LARGE)
        column.say(self._shown[1], bold=True)
        column.skip(0.7)
        for heading, text in self.paragraphs:
            column.say(heading, bold=True)
            column.say(text, colour="dim")
            column.skip(0.7)
        column.say(self._hint, bold=True)
        board = self.board
        board.theme, board.glass = self.theme, self.glass
        self.fill_room(board)
        board.show(column.tiles, self.cap, self.padding)

    def would(self, name: str) -> tuple[str, ...]:
        """What the key to keep pressed does."""
        return tr("resumes it with all lanes paused"), tr("all lanes paused")

    def press(self, name: str) -> None:
        """The coach decides."""
        {"on": self.on_carry_on, "over": self.on_over, "stop": self.on_stop}[name]()

    def back(self) -> None:
        """No step back leaves a session in progress."""
