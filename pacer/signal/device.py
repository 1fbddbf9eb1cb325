"""The rest of the device: vibration, speech, battery, orientation, each by its own leave.

Every one of them may be absent, refused or broken. The app then goes on without it and
says so once: `Device.notes` has a plain sentence for the settings page, and the call that
failed is not made again. No call here raises or waits.

Keeping the screen awake is Kivy's window's (`Window.allow_screensaver = False`) and the
face's to do.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from typing import Any

from pacer.signal import battery
from pacer.signal.battery import Reading
from pacer.signal.facade import Facade, open_facade
from pacer.signal.worker import Worker

log = logging.getLogger(__name__)

READ_EVERY_MS = 60_000  #: the battery is asked anew after this

_ABSENT = {
    "vibrator": "This device does not vibrate for the app.",
    "tts": "This device does not speak.",
    "battery": "This device doesn't report its battery level.",
    "orientation": "The app can't rotate the screen on this device.",
}
_FAILED = {
    "vibrator": "Vibration failed and is now off.",
    "tts": "Speech failed and is now off.",
    "battery": "The battery level can't be read any more.",
    "orientation": "Rotating the screen failed.",
}


def _monotonic_ms() -> int:
    return time.monotonic_ns() // 1_000_000


class Device:
    """What the device can do besides sounding.

    `platform` is named as Kivy names it. To be made on the thread that the app starts on.
    """

    def __init__(
        self,
        platform: str,
        open_facade: Callable[[str], Facade | None] = open_facade,
        clock_ms: Callable[[], int] = _monotonic_ms,
    ):
        self._clock_ms = clock_ms
        self._notes: dict[str, None] = {}
        self._facades: dict[str, Facade] = {}
        for name, sentence in _ABSENT.items():
            # On a desktop plyer would turn the whole screen, which is not the app's to turn.
            facade = open_facade(name) if name != "orientation" or platform == "android" else None
            if facade is None:
                self._notes[sentence] = None
            else:
                self._facades[name] = facade
        self._speaker = Worker("speaker")
        self._reader = Worker("battery")
        self._readings: tuple[Reading, Reading] | None = None  # since it last charged: first, last
        self._asked_ms: int | None = None
        if "vibrator" in self._facades and self._call("vibrator", lambda vibrator: vibrator.exists()) is False:
            self._give_up("vibrator", _ABSENT["vibrator"])

    def notes(self) -> tuple[str, ...]:
        """What this device lacks or what failed, each in a plain sentence, once."""
        return tuple(self._notes)

    def can(self, name: str) -> bool:
        """Whether `vibrator`, `tts`, `battery` or `orientation` is there and has not failed."""
        return name in self._facades

    def vibrate(self, ms: int) -> None:
        """Vibrate for this long."""
        self._call("vibrator", lambda vibrator: vibrator.vibrate(time=ms / 1000))

    def say(self, text: str) -> None:
        """Speak `text` from a thread of its own, after what is being said.

        Of texts that wait only the newest is said. Speech is never on time to the second:
        a send-off is counted down by beeps.
        """
        # A leading dash would be taken for an option by the programs that speak on desktops.
        message = text.lstrip("- \t")
        if message and self.can("tts"):
            self._speaker.put(lambda: self._call("tts", lambda tts: tts.speak(message=message)))

    def turn(self, way: str) -> None:
        """Let the screen be `landscape`, `portrait` or `any` way up, as the tablet is propped."""
        if way == "any":
            self._call("orientation", lambda orientation: orientation.set_sensor(mode="any"))
        else:
            self._call("orientation", lambda orientation: getattr(orientation, f"set_{way}")())

    def battery(self) -> Reading | None:
        """The last reading, None before the first or where there is none; cheap enough for a frame.

        Asks for a new one, on a thread of its own, when the last is older than `READ_EVERY_MS`.
        """
        if not self.can("battery"):
            return None
        now_ms = self._clock_ms()
        if self._asked_ms is None or now_ms - self._asked_ms >= READ_EVERY_MS:
            self._asked_ms = now_ms
            self._reader.put(lambda: self._read(now_ms))
        return self._readings[1] if self._readings else None

    def lasts(self, minutes: int) -> bool | None:
        """Whether the battery lasts that long, on the safe side; None where nothing is known.

        A charging battery lasts.
        """
        if self.battery() is None or self._readings is None:
            return None
        left = battery.minutes_left(*self._readings)
        return left is None or left >= minutes

    def battery_warning(self, minutes: int) -> str:
        """What the coach should know about the battery before `minutes` more; "" for nothing."""
        known = self.battery() is not None and self._readings
        return battery.warning(*known, minutes) if known else ""

    def close(self, wait_s: float = 0) -> None:
        """Say and read nothing more; wait at most this long for what is under way."""
        self._speaker.close(wait_s)
        self._reader.close(wait_s)

    def _read(self, at_ms: int) -> None:
        status = self._call("battery", lambda facade: dict(facade.status))
        if status is None:
            return
        percent = status.get("percentage")
        if not isinstance(percent, int | float) or not 0 <= percent <= 100:
            self._give_up("battery", _ABSENT["battery"])  # desktops, and devices that answer 255 or -100
            return
        reading = Reading(at_ms, int(percent), bool(status.get("isCharging")))
        before = self._readings
        if before is None or reading.charging or before[1].charging or reading.percent > before[1].percent:
            self._readings = (reading, reading)  # another stretch between charges begins
        else:
            self._readings = (before[0], reading)

    def _call(self, name: str, act: Callable[[Facade], Any]) -> Any:
        facade = self._facades.get(name)
        if facade is None:
            return None
        try:
            return act(facade)
        except Exception:  # each platform raises its own
            log.exception("%s failed", name)
            self._give_up(name, _FAILED[name])
            return None

    def _give_up(self, name: str, sentence: str) -> None:
        self._facades.pop(name, None)
        self._notes[sentence] = None
