"""The settings of this tablet: every change applies at once and shows what it does."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from kivy.clock import Clock
from kivy.utils import platform

from pacer.face.clock.lanelayout import too_small
from pacer.face.clock.sound import VIBRATE_MS
from pacer.face.pages.askingpage import AskingPage
from pacer.face.pages.settingtiles import SAID, SAMPLE, SettingTiles
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.page import PageKey
from pacer.language import tr
from pacer.plan.notation.planreader import pool_from_text
from pacer.plan.problem import Unreadable
from pacer.session.storage.devicecopy import CopyTrouble, copy_all, path_of_copy
from pacer.session.timesource import boot_ms
from pacer.show.drive.barsettingchoice import (
    BOOKING_STEP,
    DISTANCE_STEP_M,
    GROWTH_STEP,
    LATENCY_STEP_MS,
    VOLUME_STEP,
    within,
)
from pacer.show.drive.delaytuning import Tuning
from pacer.show.drive.settings import Settings
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, THEMES, Theme
from pacer.signal.clip import COUNTDOWNS
from pacer.signal.exportfolder import outside

FLASH_S = 0.15
#: What `more` and `less` change: which setting, and by how much.
STEPS = {
    "volume": ("volume", VOLUME_STEP),
    "latency": ("latency_ms", LATENCY_STEP_MS),
    "distance": ("reading_distance_m", DISTANCE_STEP_M),
    "revisit": ("revisit_days", 1),
    "growth": ("revisit_growth", GROWTH_STEP),
    "booking": ("booking_min", BOOKING_STEP),
}
COLUMN = 25  #: the least width of a column of settings, in character heights
KEPT = tr("Plans, squads, sessions and settings stay on this tablet. A backup contains swimmers' names: keep it safe.")


class SettingsPage(AskingPage):
    """`settings` of the data in `folder`; `lanes` are the numbers of the squad's lanes.

    `keep(settings)` is called with every change, `on_close()` when the page is closed; `player` and `device`
    demonstrate sound and vibration, None without.
    """

    frame_s = 0

    def __init__(
        self,
        settings: Settings,
        folder: Path,
        lanes: Sequence[int] = (),
        *,
        player=None,
        device=None,
        now_ms: Callable[[], int] = boot_ms,
        day: Callable[[], str] = lambda: "",
        keep: Callable[[Settings], None] = lambda settings: None,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_cautions: Callable[[], None] = lambda: None,
        on_move: Callable[[], None] = lambda: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, **kwargs)
        self.settings, self.folder, self.lanes = settings, Path(folder), tuple(lanes)
        self.player, self.device, self.now_ms, self.day, self.keep = player, device, now_ms, day, keep
        self.on_cautions, self.on_move, self.on_close = on_cautions, on_move, on_close
        self.touched, self.said = "", ""  #: the setting changed last, and what that did
        self.tuning: Tuning | None = None
        self.lit = False
        self.board = Board(self.press)

    @property
    def latency_ms(self) -> int:
        """How much earlier sound is started now."""
        return self._usual_ms if self.settings.latency_ms is None else self.settings.latency_ms

    @property
    def _usual_ms(self) -> int:
        return self.player.usual_latency_ms if self.player is not None else 0

    # -- what is shown ----------------------------------------------------------------------------------

    def keys(self) -> Sequence[PageKey]:
        """What there is to do."""
        if self.typing:
            return self.answers()
        return (
            PageKey("move", tr("Export, import")),
            PageKey("cautions", tr("Cautions")),
        )

    def lay_page(self) -> None:
        """All settings, or the question for the pool."""
        if self.width < 2:
            return
        tiles = self.asking_tiles(self.column(self.width)) if self.typing else self._settings()
        self.show_board(self.board, self.x, self.width, tiles)
        self.boards = [self.board]
        self.lay_field()

    def _settings(self) -> list[Tile]:
        """All settings; sound and screen side by side if there is room."""
        rows, across = SettingTiles(self.settings, self.touched, self.said), self.width >= 2 * COLUMN * self.cap
        first = self.column(self.width / 2 if across else self.width)
        rows.heard(first, self.lanes, (self.latency_ms, self._usual_ms), self.tuning is not None, self.lit)
        second = self.column(self.width / 2, self.width / 2) if across else first
        second.skip(0.0 if across else 1.0)
        rows.seen(second, self.glass, self._small())
        shorter = min(first, second, key=lambda column: column.top)
        shorter.skip(1.0)
        rows.kept(shorter, (KEPT,), self._notes())
        return [*first.tiles, *(second.tiles if across else ())]

    def _small(self) -> str:
        return too_small(self.width, self.height, replace(self.glass, tier_1_m=float(self.settings.reading_distance_m)))

    def _notes(self) -> tuple[str, ...]:
        return tuple(note for part in (self.player, self.device) if part is not None for note in part.notes())

    # -- each frame ----------------------------------------------------------------------------------------

    def on_parent(self, instance, parent) -> None:
        """Stop the sound delay's beeps once the page is gone."""
        super().on_parent(instance, parent)
        if parent is None:
            self._stop_tuning()

    def frame(self, _dt: float = 0) -> None:
        """While the sound delay is adjusted, light the strip when the beep is due."""
        if self.tuning is not None:
            lit = self.tuning.frame(self.now_ms(), self.latency_ms)
            if lit != self.lit:
                self.lit = lit
                self.lay_page()

    # -- actions -----------------------------------------------------------------------------------------------

    def change(self, said: str = "", **values) -> None:
        """Change settings, and say what that did."""
        self.settings = replace(self.settings, **values)
        self.said = said
        self.keep(self.settings)

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        if self.press_typing(name):
            return
        what, _, rest = name.partition(" ")
        if name in ("leave", "move", "cautions", "usual", "tune", "copy", "other pool"):
            {
                "leave": self.leave,
                "move": self._move,
                "cautions": self.on_cautions,
                "usual": self._usual,
                "tune": self._tune,
                "copy": self._copy,
                "other pool": self._ask_pool,
            }[name]()
        elif what in SAID:
            self._switch(what)
        else:
            self.touched = what
            self._step(what, rest) if what in STEPS else getattr(self, f"_press_{what}")(rest)
        self.lay_out()
        self._show_effect()

    def _show_effect(self) -> None:
        """Bring what a change did into view."""
        effects = {self.said} - {""} | ({SAMPLE} if self.touched == "distance" else set())
        for tile in self.board.tiles:
            if any(text.ways[0] in effects for text in tile.texts):
                self.board.bring(tile)

    def _step(self, name: str, way: str) -> None:
        field, step = STEPS[name]
        now = self.latency_ms if name == "latency" else getattr(self.settings, field)
        said = ""
        if name == "latency":
            said = tr("Adjust until beep and flash come together.")
        elif name == "volume" and self.player is None:
            said = tr("There is no sound on this tablet.")
        self.change(said, **{field: within(field, now + (step if way == "more" else -step))})
        if name == "volume":
            self._beep()

    def _press_lane(self, number: str) -> None:
        chosen = tuple(sorted(set(self.settings.lanes_that_sound) ^ {int(number)}))
        self.change(
            tr("Beeps before every send-off for these lanes.") if chosen else tr("Beeps only before section starts."),
            lanes_that_sound=chosen,
        )

    def _press_orientation(self, way: str) -> None:
        self.change("" if self.device is not None else tr("The app can't rotate the screen here."), orientation=way)
        if self.device is not None:
            self.device.turn(way)

    def _press_theme(self, name: str) -> None:
        self.change(theme=name)
        self.theme = THEMES[name]

    def _press_pool(self, pool: str) -> None:
        self.change(
            tr("New plans and quick sets use a {pool} pool; base paces are per 100 of its unit.", pool=pool), pool=pool
        )

    def _switch(self, name: str) -> None:
        on = not getattr(self.settings, name)
        self.touched = name
        self.change(SAID[name][0 if on else 1], **{name: on})
        if name == "muted" and not on:
            self._beep()
        elif on and self.device is not None and name in ("vibration", "speech"):
            self.device.vibrate(VIBRATE_MS) if name == "vibration" else self.device.say(tr("Main set"))
        elif on and name == "flash":
            self._light()

    def _usual(self) -> None:
        self.touched = "latency"
        self.change(latency_ms=None)

    def _beep(self) -> None:
        if self.player is not None:
            self.player.start(COUNTDOWNS[0])

    def _light(self) -> None:
        """Light the page once, as at a send-off."""
        theme = THEMES[self.settings.theme]
        self.theme = replace(theme, ground=theme.flip, water=theme.flip, ink=theme.flip_ink, dim=theme.flip_ink)
        Clock.schedule_once(self.dark, FLASH_S)

    def dark(self, _dt: float) -> None:
        """The flash that shows the setting is over."""
        self.theme = THEMES[self.settings.theme]
        self.lay_out()

    def _tune(self) -> None:
        self.touched = "tune"
        if self.tuning is not None:
            self._stop_tuning()
        elif self.player is None:
            self.said = tr("There is no sound on this tablet to adjust.")
        else:
            self.tuning = Tuning(self.player, self.now_ms())

    def _stop_tuning(self) -> None:
        if self.tuning is not None:
            self.tuning.close()
            self.tuning, self.lit = None, False

    def _ask_pool(self) -> None:
        self.touched = "pool"
        self.ask_text(tr("How long is the pool?"), self.settings.pool, self._pool_written, first="marks")

    def _pool_written(self, text: str) -> bool:
        try:
            pool = str(pool_from_text(text))
        except Unreadable as error:
            problem = error.problems[0]
            self.tell(f"{problem.message}; {problem.hint}", problem.message)
            return False
        self._press_pool(pool)
        return True

    def _copy(self) -> None:
        self.touched = "copy"
        to = path_of_copy(outside(platform, self.folder), self.day())
        try:
            count = copy_all(self.folder, to)
            self.said = tr("Backup made: {count} files, in {to}", count=count, to=to)
        except CopyTrouble as error:
            self.said = str(error)

    def _move(self) -> None:
        self._stop_tuning()
        self.on_move()

    def leave(self) -> None:
        """Close it."""
        self._stop_tuning()
        self.on_close()

    def step_back(self) -> None:
        """The adjusting, then the page."""
        if self.tuning is not None:
            self.press("tune")
        else:
            self.leave()
