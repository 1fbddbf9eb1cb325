"""A page with some keys to keep pressed.

Whatever begins a session needs a deliberate press, and meanwhile says what it will do.
"""

from __future__ import annotations

from collections.abc import Callable, Collection

from kivy.clock import Clock

from pacer.face.tiles.board import Board
from pacer.face.tiles.longpressboard import LongPressBoard
from pacer.face.tiles.page import Page
from pacer.language import tr
from pacer.show.measure.legibility import Glass
from pacer.show.measure.messagetime import PAGE_MS
from pacer.show.measure.presstime import HELD_MS
from pacer.show.measure.theme import DARK, Theme

HINT = tr("Hold the button down")


class LongPressPage(Page):
    """`long_presses` are the names of those keys, which fill in `needs_ms`.

    A subclass gives `would(name)`, which is shown above the bar while one of them fills.
    """

    def __init__(
        self,
        long_presses: Collection[str],
        now_ms: Callable[[], int],
        theme: Theme = DARK,
        glass: Glass | None = None,
        needs_ms: int = HELD_MS,
        **kwargs,
    ):
        super().__init__(theme, glass, **kwargs)
        self.remove_widget(self.bar)
        self.bar = LongPressBoard(
            self._press,
            lambda name: self._say_how() if name else self._clear(),  # no name: it was slid off on purpose
            long_presses,
            now_ms,
            began=lambda _name: self._foretell(),
            needs_ms=needs_ms,
        )
        self.add_widget(self.bar)
        self.foretold = Board()  #: what the filling key will do; on the page only meanwhile
        self._following = Clock.schedule_interval(lambda _dt: self._foretell(), 0)
        self._following.cancel()
        self._hinting = Clock.create_trigger(lambda _dt: self._clear(), PAGE_MS / 1000)

    def would(self, name: str) -> tuple[str, ...]:
        """What a key would do now, the longest way first."""
        raise NotImplementedError

    def _foretell(self) -> None:
        """Say it while the key is pressed, always for the current instant."""
        bar = self.bar
        if bar.pressed not in bar.long_presses or bar.parent is None:
            self._clear()
            return
        if self.foretold.parent is None or self._hinting.is_triggered:
            self._hinting.cancel()
            self._following()
        self.say_beside_keys(self.foretold, self.would(bar.pressed))

    def _say_how(self) -> None:
        """Say how to press, above the keys: the key has to stay in sight."""
        self._following.cancel()
        self.say_beside_keys(self.foretold, (HINT,))
        self._hinting.cancel()
        self._hinting()

    @property
    def says(self) -> str:
        """The message or the hint on show, "" if none."""
        return HINT if self._hinting.is_triggered else super().says

    def hush(self) -> None:
        """Remove the message and the hint."""
        if self._hinting.is_triggered:
            self._clear()
        super().hush()

    def _clear(self) -> None:
        self._following.cancel()
        self._hinting.cancel()
        self.remove_widget(self.foretold)
