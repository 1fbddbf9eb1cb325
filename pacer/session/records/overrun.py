"""How far the finish runs past the booking by the recorded times, and what would bring it back.

There are two ways: less rest on the current set, which costs nobody any distance, and one round (or one repeat of the
current set) fewer. Of each way, the smallest change that ends in time is offered; if none does, the one that comes
nearest.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pacer.plan.times import late_by
from pacer.session.journal.entries import CountChanged, IntervalChanged, Lanes
from pacer.session.records.expectedtimes import Pace, expected
from pacer.session.running import presses
from pacer.session.running.countchanges import line_in_hand
from pacer.session.running.finish import finish_ms, going
from pacer.session.running.outlook import outlook
from pacer.session.running.runstate import Run
from pacer.timeline.cancellation import step
from pacer.timeline.restlimits import LEAST_REST_MS

Press = CountChanged | IntervalChanged


class Remedy(NamedTuple):
    """A press that brings the finish nearer: how much it is over even then (0: in time), and how much less distance all
    swimmers together swim.
    """

    press: Press
    over_ms: int
    less: int


def over_ms(run: Run, seen: Run, at_ms: int) -> int:
    """How much later than the booking all are out by the times; 0 if they are in time, or late even by the plan.

    While all are paused: if they are resumed at `at_ms`.
    """
    booked = run.timeline.plan.booking_ms
    if booked is None or run.begun is None or run.ended_ms is not None or finish_ms(run, at_ms) > booked:
        return 0
    return late_by(finish_ms(seen, at_ms), booked)


def remedies(run: Run, found: Sequence[Pace], at_ms: int) -> tuple[Remedy, ...]:
    """The presses that would bring the finish back: at most one of each way, the one that costs least first."""
    seen = expected(run, found)
    now_ms = over_ms(run, seen, at_ms)
    if not now_ms:
        return ()
    booked = run.timeline.plan.booking_ms
    ends = [track.end_ms for track in going(seen, at_ms).timeline.tracks]
    late = tuple(lane for lane, end_ms in enumerate(ends) if booked is None or end_ms > booked)
    made = []
    for ways in (_shorter_rests(run, seen, late, at_ms), _fewer(run, late, at_ms)):
        tried = [remedy for press in ways if (remedy := _tried(run, found, press, at_ms)) and remedy.over_ms < now_ms]
        if tried:
            made.append(min(tried, key=lambda remedy: (remedy.over_ms, remedy.less)))
    return tuple(sorted(made, key=lambda remedy: (remedy.over_ms > 0, remedy.less, remedy.over_ms)))


def pressed(run: Run, at_ms: int, press: Press) -> Press | None:
    """The same press made now; None if it would do nothing any more."""
    if isinstance(press, IntervalChanged):
        return presses.change_interval(run, at_ms, press.interval_ms, press.lanes)
    return presses.change_count(run, at_ms, press.by, press.lanes, rounds=press.rounds)


def _tried(run: Run, found: Sequence[Pace], press: Press, at_ms: int) -> Remedy | None:
    step()
    told = outlook(run, press)
    if not told.changes:
        return None
    swimmers = [len(lane.swimmers) for lane in run.timeline.squad.lanes]
    less = -sum(lane.distance * swimmers[lane.lane] for lane in told.lanes)
    return Remedy(press, late_by(finish_ms(expected(told.run, found), at_ms), run.timeline.plan.booking_ms), less)


def _groups(late: tuple[int, ...], lanes: int) -> Iterator[Lanes]:
    """The lanes a press can be for: those that are late, or all, so that common starts come sooner too."""
    yield late
    if len(late) < lanes:
        yield None


def _shorter_rests(run: Run, seen: Run, late: tuple[int, ...], at_ms: int) -> Iterator[Press]:
    """Shorter intervals on the current set, the longest first, for lanes that share one interval."""
    for lanes in _groups(late, len(run.timeline.tracks)):
        lines = [line_in_hand(seen.timeline.tracks[lane], at_ms, ahead=True) for lane in run.lanes(lanes)]
        tightest = [found.laneline.tightest for found in lines if found is not None and found.laneline.own is None]
        intervals = {interval for found in lines if found is not None for interval in found.laneline.intervals}
        if len(intervals) != 1 or len(tightest) < len(lines):
            continue
        interval, clock_ms = intervals.pop(), run.timeline.plan.clock_ms
        least = max(slow for slow, _ in filter(None, tightest)) + LEAST_REST_MS
        for shorter in range(interval - clock_ms, least - 1, -clock_ms):
            press = presses.change_interval(run, at_ms, shorter, lanes)
            if press is not None:
                yield press


def _fewer(run: Run, late: tuple[int, ...], at_ms: int) -> Iterator[Press]:
    """One round fewer of the current section, or one repeat fewer of the current set."""
    for lanes in _groups(late, len(run.timeline.tracks)):
        for rounds in (True, False):
            press = presses.change_count(run, at_ms, -1, lanes, rounds=rounds)
            if press is not None:
                yield press
