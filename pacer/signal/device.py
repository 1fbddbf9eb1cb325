"""The rest of the device: vibration, speech, battery, orientation, each independent of the others.

Each may be missing, refused or broken. The app then continues without it and says so once:
`Device.notes` has a plain sentence for the settings page, and the call that failed is not
made again. No call here raises or waits.

The face keeps the screen awake, with Kivy's window (`Window.allow_screensaver = False`).
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from typing import Any

from pacer.language import tr
from pacer.signal import battery
from pacer.signal.battery import BatteryReading
from pacer.signal.plyerfacade import Facade, open_facade
from pacer.signal.slowcalls import Worker

log = logging.getLogger(__name__)

READ_EVERY_MS = 60_000  #: time between two readings of the battery

ABSENT = {
    "vibrator": tr("This tablet can't vibrate for pacer."),
    "tts": tr("This tablet can't speak."),
    "battery": tr("This tablet doesn't report its battery level."),
    "orientation": tr("This tablet doesn't let pacer rotate the screen."),
}
_FAILED = {
    "vibrator": tr("Vibration failed and is now off."),
    "tts": tr("Speech failed and is now off."),
    "battery": tr("The battery level can't be read any more."),
    "orientation": tr("Rotating the screen failed."),
}


def _monotonic_ms() -> int:
    return time.monotonic_ns() // 1_000_000


class Device:
    """What the device can do besides sound.

    `platform` is Kivy's name for it. Create it on the thread on which the app starts.
    """

    def __init__(
        self,
        platform: str,
        open_facade: Callable[[str], Facade | None] = open_facade,
        clock_ms: Callable[[], int] = _monotonic_ms,
    ):
        self._clock_ms = clock_ms
        self._notes: dict[str, None] = {}
        self.facades: dict[str, Facade] = {}
        for name, sentence in ABSENT.items():
            # On a desktop plyer would rotate the whole screen, which is not up to the app.
            facade = open_facade(name) if name != "orientation" or platform == "android" else None
            if facade is None:
                self._notes[sentence] = None
            else:
                self.facades[name] = facade
        self._speaker = Worker("speaker")
        self._reader = Worker("battery")
        self._readings: tuple[BatteryReading, BatteryReading] | None = None  # since it last charged: first, last
        self.asked_ms: int | None = None
        if "vibrator" in self.facades and self._call("vibrator", lambda vibrator: vibrator.exists()) is False:
            self._give_up("vibrator", ABSENT["vibrator"])

    def notes(self) -> tuple[str, ...]:
        """What this device lacks or what failed, one plain sentence for each."""
        return tuple(self._notes)

    def can(self, name: str) -> bool:
        """Whether `vibrator`, `tts`, `battery` or `orientation` is available and has not failed."""
        return name in self.facades

    def vibrate(self, ms: int) -> None:
        """Vibrate for this long."""
        self._call("vibrator", lambda vibrator: vibrator.vibrate(time=ms / 1000))

    def say(self, text: str) -> None:
        """Speak `text` on a separate thread, after the current text.

        If several texts wait, only the newest is spoken. Speech is never exact to the second:
        beeps count down to send-offs.
        """
        # The programs that speak on desktops would read a leading dash as an option.
        message = text.lstrip("- \t")
        if message and self.can("tts"):
            self._speaker.put(lambda: self._call("tts", lambda tts: tts.speak(message=message)))

    def turn(self, way: str) -> None:
        """Set the screen to `landscape`, `portrait` or `any`, as the tablet is propped."""
        if way == "any":
            self._call("orientation", lambda orientation: orientation.set_sensor(mode="any"))
        else:
            self._call("orientation", lambda orientation: getattr(orientation, f"set_{way}")())

    def battery(self) -> BatteryReading | None:
        """The last reading, None before the first or if there is none; fast enough for every frame.

        If the last is older than `READ_EVERY_MS`, it asks for a new one on a separate thread.
        """
        if not self.can("battery"):
            return None
        now_ms = self._clock_ms()
        if self.asked_ms is None or now_ms - self.asked_ms >= READ_EVERY_MS:
            self.asked_ms = now_ms
            self._reader.put(lambda: self.read(now_ms))
        return self._readings[1] if self._readings else None

    def lasts(self, minutes: int) -> bool | None:
        """Whether the battery lasts that long, on the safe side; None if nothing is known.

        A charging battery lasts.
        """
        if self.battery() is None or self._readings is None:
            return None
        left = battery.minutes_left(*self._readings)
        return left is None or left >= minutes

    def battery_warning(self, minutes: int) -> str:
        """The battery warning for the coach before `minutes` more, "" for none."""
        known = self.battery() is not None and self._readings
        return battery.warning(*known, minutes) if known else ""

    def close(self, wait_s: float = 0) -> None:
        """Speak and read nothing more; wait at most `wait_s` seconds for a running call."""
        self._speaker.close(wait_s)
        self._reader.close(wait_s)

    def read(self, at_ms: int) -> None:
        """Read the battery."""
        status = self._call("battery", lambda facade: dict(facade.status))
        if status is None:
            return
        percent = status.get("percentage")
        if not isinstance(percent, int | float) or not 0 <= percent <= 100:
            self._give_up("battery", ABSENT["battery"])  # desktops, and devices that answer 255 or -100
            return
        reading = BatteryReading(at_ms, int(percent), bool(status.get("isCharging")))
        before = self._readings
        if before is None or reading.charging or before[1].charging or reading.percent > before[1].percent:
            self._readings = (reading, reading)  # a new period on battery begins
        else:
            self._readings = (before[0], reading)

    def _call(self, name: str, act: Callable[[Facade], Any]) -> Any:
        facade = self.facades.get(name)
        if facade is None:
            return None
        try:
            return act(facade)
        except Exception:  # each platform raises its own errors
            log.exception("%s failed", name)
            self._give_up(name, _FAILED[name])
            return None

    def _give_up(self, name: str, sentence: str) -> None:
        self.facades.pop(name, None)
        self._notes[sentence] = None
