"""The time of day at which a session may start. No Kivy."""

from __future__ import annotations

from pacer.plan.times import MINUTE_MS
from pacer.show.drive.driver import Driver
from pacer.show.wording.timereadings import wall_reading

STEP_MIN = 5  #: minutes that one press moves it
EARLIER, LATER = "Earlier", "Later"  #: the keys that move it


class StartTime:
    """The hour and minute by the tablet's time of day.

    The next multiple of `STEP_MIN` that is a minute away, until another is chosen.
    """

    def __init__(self, driver: Driver):
        self._driver = driver
        self.chosen: tuple[int, int] | None = None

    def hour_minute(self) -> tuple[int, int]:
        """Hour and minute."""
        if self.chosen is not None:
            return self.chosen
        hour, minute = map(int, wall_reading(self._driver.wall_ms() + MINUTE_MS).split(":"))
        minute += -minute % STEP_MIN
        return (hour + minute // 60) % 24, minute % 60

    def __str__(self) -> str:
        hour, minute = self.hour_minute()
        return f"{hour:02d}:{minute:02d}"

    def step(self, by: int) -> None:
        """Move it by `by` steps (negative: earlier)."""
        hour, minute = self.hour_minute()
        total = (hour * 60 + minute + by * STEP_MIN) % (24 * 60)
        self.chosen = total // 60, total % 60
