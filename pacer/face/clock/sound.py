"""Sound, vibration and speech of a running session, driven once a frame.

The driver says what is wanted, `pacer.signal.clipschedule` which of it sounds, and the player's own thread when: no
beep waits for a frame. If the device lacks something, the session runs without it.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from pacer.session.running.replay import Run
from pacer.show.drive.driver import Driver
from pacer.show.drive.settings import Settings
from pacer.show.drive.soundplan import TOLD_WITHIN_MS, lanes_that_sound, spoken
from pacer.signal.clip import STOP_ALL, TICK
from pacer.signal.clipschedule import OCCUPIED_MS, Programme, Wanted, plan_sounds
from pacer.signal.clipstarter import HANDOVER_MS, Starter, Starts

if TYPE_CHECKING:  # imported when sound is opened, after the first picture
    from pacer.signal.device import Device
    from pacer.signal.player import Player

VIBRATE_MS = 400


class Vibrates(Protocol):
    """What is needed of `pacer.signal.device.Device`."""

    def notes(self) -> tuple[str, ...]:
        """What the device lacks, in sentences."""

    def battery_warning(self, minutes: int) -> str:
        """A warning about the battery before `minutes` more, "" for nothing."""

    def vibrate(self, ms: int) -> None:
        """Vibrate for this long."""

    def say(self, text: str) -> None:
        """Speak, without waiting."""


class Sounds:
    """Keeps player and device in step with one session.

    Instants are on the driver's clock, which is also the player's.
    """

    def __init__(
        self, driver: Driver, settings: Settings, player: Starts | None = None, device: Vibrates | None = None
    ):
        self.driver = driver
        self.settings = settings
        self.player = player
        self.device = device
        self.programme = Programme()
        self.instants: tuple[int, ...] = ()  #: every wanted instant of the run, in order
        self._starter: Starter | None = None
        self._run: Run | None = None
        self._seen_ms: int | None = None
        self._to_say: tuple[int, str] | None = None
        self._ticks: tuple[int, int] | None = (
            None  # the lane that ticks, and up to when (session time) its ticks were handed over
        )
        self.set(settings)

    def open(self, player: Starts, device: Vibrates | None = None) -> None:
        """Sound through `player` from now on: it is opened after the first picture."""
        self.player, self.device = player, device
        self.set(self.settings)

    @property
    def silent(self) -> bool:
        """Whether this tablet has no sound."""
        return self.player is not None and self.player.silent

    @property
    def latency_ms(self) -> int:
        """How much earlier than its instant a sound is started."""
        return 0 if self._starter is None else self._starter.start_ahead_ms

    def set(self, settings: Settings) -> None:
        """Use other settings from now on."""
        replan = settings.lanes_that_sound != self.settings.lanes_that_sound
        self.settings = settings
        if self.player is not None:
            if self._starter is None:
                self._starter = Starter(self.player)
            self._starter.latency_ms = settings.latency_ms
            self.player.volume, self.player.muted = settings.volume, settings.muted
        if replan:
            self._run = None

    @property
    def tick_lane(self) -> int | None:
        """The lane (index) whose target stroke rate is heard as a soft tick, on lines that have one.

        None: no lane.
        """
        return None if self._ticks is None else self._ticks[0]

    @tick_lane.setter
    def tick_lane(self, lane: int | None) -> None:
        self._ticks = None if lane is None else (lane, self.driver.at_ms() or 0)

    def frame(self, now_ms: int) -> None:
        """Do what is due at `now_ms`."""
        if self.driver.run is not self._run:
            self._plan(now_ms)
        if self._starter is not None:
            self._starter.update(now_ms, self.programme)
            if self._ticks is not None:
                self._tick(now_ms)
        seen_ms, self._seen_ms = self._seen_ms, now_ms
        if seen_ms is not None and self.device is not None:
            self._tell(seen_ms, now_ms)

    def stop_all(self) -> None:
        """The sound of stop all, at once: even when muted."""
        if self.player is not None:
            self.player.start(STOP_ALL)
        if self.device is not None and self.settings.vibration:
            self.device.vibrate(2 * VIBRATE_MS)

    def close(self) -> None:
        """Cancel what was to sound."""
        if self._starter is not None:
            self._starter.clear()

    def _tick(self, now_ms: int) -> None:
        """Hand over the ticks that are due soon. A count-down replaces them: it ranks higher."""
        from pacer.session.records.ratetargets import beats  # not needed before

        run, player, ticks = self.driver.run, self.player, self._ticks
        if player is None or ticks is None or run.begun is None or run.ended_ms is not None or run.stopped:
            return
        lane, upto_ms = ticks
        from_ms = max(upto_ms, run.at_ms(now_ms) + self.latency_ms)
        to_ms = run.at_ms(now_ms) + self.latency_ms + HANDOVER_MS
        if to_ms - from_ms >= HANDOVER_MS // 2:  # not in every frame
            for at_ms in beats(run.timeline.tracks[lane], from_ms, to_ms):
                player.start(TICK, run.begun.boot_ms + at_ms - self.latency_ms)
            self._ticks = lane, to_ms

    def _plan(self, now_ms: int) -> None:
        """Work out again what sounds, from the last instant already heard."""
        run = self._run = self.driver.run
        if run.begun is None or run.ended_ms is not None:
            self.programme, self.instants = Programme(), ()
            return
        chosen = lanes_that_sound(run, self.settings.lanes_that_sound)
        zero_ms = run.begun.boot_ms
        wanted = [
            Wanted(each.at_ms + zero_ms, each.order)
            for each in self.driver.wanted(chosen)
            if each.at_ms + zero_ms > now_ms - OCCUPIED_MS
        ]
        self.programme = plan_sounds(wanted)
        self.instants = tuple(sorted({each.at_ms for each in wanted}))

    def _tell(self, seen_ms: int, now_ms: int) -> None:
        """Vibrate at instants that were counted down to, and speak."""
        sounds = self.programme.between(max(seen_ms, now_ms - TOLD_WITHIN_MS) + 1, now_ms + 1)
        if sounds and self.settings.vibration and self.device is not None:
            self.device.vibrate(VIBRATE_MS)
        self._to_say = spoken(self.driver.run, sounds) or self._to_say
        if self._to_say is not None and now_ms >= self._to_say[0]:
            text, self._to_say = self._to_say[1], None
            if self.settings.speech and not self.settings.muted and text and self.device is not None:
                self.device.say(text)


def open_sound(platform: str, folder: Path, clock_ms) -> tuple[Player, Device]:
    """The player and the rest of the device, on the thread that the app starts on. Never raises."""
    from pacer.signal.device import Device
    from pacer.signal.player import open_player

    return open_player(platform, folder / "sounds", clock_ms), Device(platform)
