"""When a session starts: in so many seconds, at the next top, or at a time of day."""

from __future__ import annotations

from collections.abc import Callable

from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import Begun, Entry
from pacer.session.running.poolclock import WallTop
from pacer.session.running.run import LEAD_IN_MS, NOTICE_MS, Run
from pacer.show.drive.offer import Proposal
from pacer.show.drive.timesofday import next_time_of_day, start_ways, zone_of
from pacer.show.wording.readings import clock_reading

#: Farther ahead than this a time of day was hardly meant.
FARTHEST_MS = 12 * 60 * MINUTE_MS


class Starting:
    """Mixed into the driver, which has all of this."""

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
        """The session's zero comes in `in_ms`.

        With the next top or bottom after it where the clock on the wall is known.
        """
        now_ms = self._now_ms()
        top, whose = self._known_top(now_ms), "pace"
        if top is not None:
            starts, whose = self.run.timeline.plan.starts_ms, "wall"
            in_ms += -(now_ms + in_ms - top.boot_ms) % starts
        seconds = -(-in_ms // 1000)
        clock = clock_reading(0 if top is None else top.phase_ms(now_ms + in_ms))
        return self._begin_in(
            in_ms,
            f"starts in {seconds} s, the {whose} clock then at {clock}",
            f"starts in {seconds} s",
            f"in {seconds} s",
        )

    def begin_at_top(self) -> Proposal:
        """The session's zero is the next :00 of the clock on the wall, or of the tablet where that is not known, but
        for one that is too near.
        """
        wall, now_ms = self._wall_ms(), self._now_ms()
        top = self._known_top(now_ms)
        in_ms = NOTICE_MS + -(wall + NOTICE_MS if top is None else now_ms + NOTICE_MS - top.boot_ms) % MINUTE_MS
        if top is None:
            return self._begin_in(in_ms, *start_ways(wall + in_ms))
        return self._begin_in(
            in_ms, f"starts in {-(-in_ms // 1000)} s, pool clock then at :00", *start_ways(wall + in_ms)
        )

    def begin_at(self, hour: int, minute: int) -> Proposal:
        """The session's zero is the coming `hour`:`minute` of the tablet's own time of day."""
        wall = self._wall_ms()
        start = next_time_of_day(wall, hour, minute)
        if start - wall > FARTHEST_MS:
            return self._nothing(f"{hour}:{minute:02d} is past")
        if start - wall < NOTICE_MS:
            return self._nothing(f"{hour}:{minute:02d} is too soon")
        return self._begin_in(start - wall, *start_ways(start))

    def _begin_in(self, in_ms: int, *ways: str) -> Proposal:
        at_ms = self._session_ms()
        if self.ended or (at_ms is not None and (at_ms >= 0 or self.run.before is not None)):
            return self._nothing("this session has already started", "already started")
        wall, now_ms = self._wall_ms() + in_ms, self._now_ms()
        top = self._known_top(now_ms)
        phase_ms = None if top is None else top.phase_ms(now_ms + in_ms)
        return self._propose(Begun(-in_ms, now_ms + in_ms, wall, zone_of(wall), self._boot(), phase_ms), *ways)
