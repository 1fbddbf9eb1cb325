"""When a session starts: in a few seconds, at the next :00, or at a time of day."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from pacer.language import tr
from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import Begun, Entry
from pacer.session.poolclock import WallTop
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.replay import LEAD_IN_MS, Run
from pacer.show.drive.pressproposal import Proposal
from pacer.show.drive.tablettime import has_passed, next_time_of_day, start_ways, zone_of
from pacer.show.wording.timereadings import clock_reading, wall_reading

STEP_MIN = 5  #: minutes that one press moves it
EARLIER, LATER = tr("–{n} min", n=STEP_MIN), tr("+{n} min", n=STEP_MIN)  #: the keys that move it by `STEP_MIN`


class SessionStart:
    """Mixed into the driver, which has all of these."""

    run: Run
    _now_ms: Callable[[], int]
    _wall_ms: Callable[[], int]
    _boot: Callable[[], str]

    @property
    def ended(self) -> bool:
        """Whether the session was ended."""
        raise NotImplementedError

    def _session_ms(self) -> int | None:
        raise NotImplementedError

    def _known_top(self, now_ms: int) -> WallTop | None:
        raise NotImplementedError

    def _propose(self, entry: Entry, *ways: str) -> Proposal:
        raise NotImplementedError

    def _nothing(self, *why: str) -> Proposal:
        raise NotImplementedError

    def begin(self, in_ms: int = LEAD_IN_MS) -> Proposal:
        """Set the session's zero `in_ms` from now.

        If the pool clock is known: at its first top or bottom after that.
        """
        now_ms = self._now_ms()
        top, whose = self._known_top(now_ms), tr("app")
        if top is not None:
            starts, whose = self.run.timeline.plan.starts_ms, tr("pool")
            in_ms += -(now_ms + in_ms - top.boot_ms) % starts
        seconds = -(-in_ms // 1000)
        clock = clock_reading(0 if top is None else top.phase_ms(now_ms + in_ms))
        return self._begin_in(
            in_ms,
            tr("starts in {seconds} s, at {clock} on the {whose} clock", seconds=seconds, clock=clock, whose=whose),
            tr("starts in {seconds} s", seconds=seconds),
            tr("in {seconds} s", seconds=seconds),
        )

    def begin_at_top(self) -> Proposal:
        """Set the session's zero to the next :00 of the pool clock, or of the tablet's clock if that is not known;
        skips one that is too soon.
        """
        wall, now_ms = self._wall_ms(), self._now_ms()
        top = self._known_top(now_ms)
        in_ms = NOTICE_MS + -(wall + NOTICE_MS if top is None else now_ms + NOTICE_MS - top.boot_ms) % MINUTE_MS
        if top is None:
            return self._begin_in(in_ms, *start_ways(wall + in_ms))
        return self._begin_in(
            in_ms,
            tr("starts in {inside} s, at :00 on the pool clock", inside=-(-in_ms // 1000)),
            *start_ways(wall + in_ms),
        )

    def begin_at(self, hour: int, minute: int) -> Proposal:
        """Set the session's zero to the next `hour`:`minute` of the tablet's time of day.

        If the pool clock is known, to its :00 nearest to that: the lanes go by the pool clock.
        """
        wall, now_ms = self._wall_ms(), self._now_ms()
        start = next_time_of_day(wall, hour, minute)
        if has_passed(wall, start):
            return self._nothing(tr("{hour}:{minute:02d} has passed", hour=hour, minute=minute))
        if start - wall < NOTICE_MS:
            return self._nothing(tr("{hour}:{minute:02d} is too soon", hour=hour, minute=minute))
        top = self._known_top(now_ms)
        if top is None:
            return self._begin_in(start - wall, *start_ways(start))
        in_ms = start - wall - MINUTE_MS // 2
        in_ms += -(now_ms + in_ms - top.boot_ms) % MINUTE_MS
        in_ms += MINUTE_MS if in_ms < NOTICE_MS else 0
        exact, *shorter = start_ways(wall + in_ms)
        return self._begin_in(in_ms, tr("{starts}, at :00 on the pool clock", starts=exact), exact, *shorter)

    def _begin_in(self, in_ms: int, *ways: str) -> Proposal:
        at_ms = self._session_ms()
        if self.ended or (at_ms is not None and (at_ms >= 0 or self.run.before is not None)):
            return self._nothing(tr("this session has already started"), tr("already started"))
        wall, now_ms = self._wall_ms() + in_ms, self._now_ms()
        top = self._known_top(now_ms)
        phase_ms = None if top is None else top.phase_ms(now_ms + in_ms)
        return self._propose(Begun(-in_ms, now_ms + in_ms, wall, zone_of(wall), self._boot(), phase_ms), *ways)


class TimeOfDay(Protocol):
    """What has the time of day: a driver, an office."""

    def wall_ms(self) -> int:
        """It, in ms."""


class StartTime:
    """The hour and minute by the tablet's time of day.

    The next multiple of `STEP_MIN` that is a minute away, until another is chosen.
    """

    def __init__(self, clock: TimeOfDay):
        self._clock = clock
        self.chosen: tuple[int, int] | None = None

    def hour_minute(self) -> tuple[int, int]:
        """Hour and minute."""
        if self.chosen is not None:
            return self.chosen
        hour, minute = map(int, wall_reading(self._clock.wall_ms() + MINUTE_MS).split(":"))
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
