"""What a change would do, in words by the clock on the wall: for the glass, so in several ways, the longest first. No Kivy."""

from __future__ import annotations

from pacer.face.readings import clock_reading, count_down, count_up, seconds_to_go, wall_reading
from pacer.plan.times import MINUTE_MS
from pacer.session.ongoing import Run
from pacer.session.outlook import LaneOutlook, Outlook


def ways_of(told: Outlook, at_ms: int) -> tuple[str, ...]:
    """An outlook, asked for at `at_ms`."""
    if told.refused:
        return (told.refused,)
    if not told.changes:
        return "nothing would change", "nothing"
    run = told.run
    lanes = _lanes(told, at_ms)
    starts = [f"{_section(run, section)} {_later(will - was)}" for section, was, will in told.starts]
    end = [_end(told)] if told.end_ms != told.end_was_ms else []
    first = min((lane.leaves_ms for lane in told.lanes if lane.leaves_ms is not None), default=None)
    short = [f"first leaves {when(run, first, at_ms)}"] if first is not None and len(lanes) > 1 else lanes[:1]
    parts = [[*lanes, *starts, *end], [*lanes, *end], lanes, [*short, *end], short, end]
    return tuple(dict.fromkeys("; ".join(part) for part in parts if part)) or ("changes what comes later",)


def when(run: Run, leave_ms: int, at_ms: int) -> str:
    """A send-off as a clock reading; one that is more than a minute off with the time there is until then."""
    reading = clock_reading(leave_ms, run.phase_ms)
    if leave_ms - at_ms <= MINUTE_MS or run.begun is None:
        return reading
    return f"{reading} (in {count_down(seconds_to_go(leave_ms - at_ms))})"


def named(run: Run, lanes: list[int]) -> str:
    """`lane 4`, `lanes 4, 6`, `all lanes`, by the numbers on the wall."""
    numbers = [str(run.timeline.squad.lanes[lane].number) for lane in lanes]
    if len(numbers) == 1:
        return f"lane {numbers[0]}"
    return "all lanes" if len(numbers) == len(run.timeline.tracks) else f"lanes {', '.join(numbers)}"


def _lanes(told: Outlook, at_ms: int) -> list[str]:
    """What becomes of the lanes, those that fare alike together."""
    alike: dict[str, list[int]] = {}
    for lane in told.lanes:
        alike.setdefault(_lane(lane, told.run, at_ms), []).append(lane.lane)
    return [f"{named(told.run, lanes)}: {words}" if words else named(told.run, lanes) for words, lanes in alike.items()]


def _lane(lane: LaneOutlook, run: Run, at_ms: int) -> str:
    if run.timeline.tracks[lane.lane].held_ms is not None:
        words = ["waits"]
    elif lane.leaves_ms is None:
        words = ["nothing left to swim"]
    else:
        words = [f"leaves {when(run, lane.leaves_ms, at_ms)}"]
    if lane.distance:
        words.append(f"{abs(lane.distance)} {'more' if lane.distance > 0 else 'less'}")
    return ", ".join(words)


def _section(run: Run, section: int) -> str:
    return run.timeline.plan.sections[section].name or "the next section"


def _later(ms: int) -> str:
    return f"{count_up(abs(ms) // 1000)} {'later' if ms > 0 else 'earlier'}"


def _end(told: Outlook) -> str:
    begun = told.run.begun
    later = _later(told.end_ms - told.end_was_ms)
    return f"out {later}" if begun is None else f"out {wall_reading(begun.wall_ms + told.end_ms, begun.zone)}, {later}"
