"""Times: which swim a tap means, how a time compares with the prediction and `hold`, and who is at the wall.

A tap is the touch of the swimmer who is due: leader first, then the next. It can only mean a swim that can be over by
now, and no swim before one that the swimmer is well into. So a forgotten tap spoils no later one: it is simply missing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from pacer.plan.decimals import decimals
from pacer.plan.times import in_tenths
from pacer.session.journal.recordentries import Corrected, Touched, standing
from pacer.session.running.brokenrepeats import to_its_end
from pacer.session.running.runstate import Run, now_of
from pacer.session.running.whereabouts import crew
from pacer.timeline.hazards import flagged
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import NEVER, Track

STILL_TOUCHES_MS = 5_000  #: how long after their next send-off a swimmer may still touch, however late
MOST_TIMES_PREDICTED = 3  #: a touch after this many times the predicted time ends no swim (our choice)


class Swim(NamedTuple):
    """One repeat of one swimmer of a lane (index): when it began and when it should end.

    `swimmer` is their place (from 0) on that repeat, `who` their number.

    `index` is the repeat on the lane's track; `section` an index, `round`, `line`, `repeat` count from 1.
    `hold_ms` is the target time of the line, None without one.
    """

    lane: int
    swimmer: int
    index: int  # type: ignore[assignment]  # a tuple's own is used by nobody
    section: int
    round: int
    line: int
    repeat: int
    distance: int
    left_ms: int
    predicted_ms: int
    hold_ms: int | None
    who: int = -1


class TakenTime(NamedTuple):
    """A time in the journal after all corrections, with its entry's number (from 1)."""

    number: int
    touched: Touched


class TimeFigures(NamedTuple):
    """A time and its comparisons, in ms.

    How much it is above (negative: below) the prediction and the hold, and the rest left to the next send-off.
    """

    time_ms: int
    over_predicted_ms: int
    over_hold_ms: int | None
    rest_ms: int | None


def swim(track: Track, lane: int, index: int, swimmer: int) -> Swim | None:
    """The swim of repeat `index` by the swimmer at a place on it; None if there is none, or they did not leave."""
    found = track.pass_at(index)
    line = found.laneline
    if swimmer >= len(line.bases):
        return None
    leaves = found.leaves(index, swimmer)
    if leaves > track.bounds(index)[0]:
        return None
    repeat = track.repeat_in_line(index)
    hold = line.holds[repeat]
    predicted_ms = line.times(repeat, swimmer)[-1]
    return Swim(
        lane,
        swimmer,
        index,
        found.section,
        found.round,
        line.number,
        repeat + 1,
        line.shapes[repeat].distance,
        leaves,
        predicted_ms,
        None if hold is None else predicted_ms,
        line.who[swimmer],
    )


def _swim_of(track: Track, lane: int, index: int, number: int) -> Swim | None:
    """The same by a swimmer's number."""
    who = track.pass_at(index).laneline.who
    return swim(track, lane, index, who.index(number)) if number in who else None


def due(run: Run, times: Iterable[TakenTime], lane: int, at_ms: int) -> Swim | None:
    """The swim that a tap on the lane's band at `at_ms` ends; None if nobody who is timed can be touching.

    Leader first, then the next. A swimmer who has been sent off again is passed over if somebody who has not is nearer
    to their prediction, unless the swimmer ahead was timed on the same repeat: then they are late, and it is their
    turn.
    """
    taken = {(one.touched.swimmer, one.touched.left_ms) for one in times if one.touched.lane == lane}
    swims = [
        found
        for number in crew(run.timeline, lane, at_ms)
        if (found := next(_over(run.timeline, lane, number, at_ms), None))
        and (found.swimmer, found.left_ms) not in taken
        and not _away_again(run.timeline, found, at_ms)
        and at_ms - found.left_ms <= MOST_TIMES_PREDICTED * found.predicted_ms
        and _timed(run, found)
    ]
    track = run.timeline.tracks[lane]
    swims.sort(key=lambda found: (found.left_ms, found.swimmer))
    waiting = [found for found in swims if _sent_again(run.timeline, found, at_ms) is None]
    for found in swims:
        if found in waiting or _in_turn(track, found, taken):
            return found
        if _off(found, at_ms) <= min((_off(other, at_ms) for other in waiting), default=_off(found, at_ms)):
            return found
    return None


def _in_turn(track: Track, found: Swim, taken: Collection[tuple[int, int]]) -> bool:
    """Whether the swimmer who left just ahead has a time on the same repeat."""
    ahead = swim(track, found.lane, found.index, found.swimmer - 1) if found.swimmer else None
    return ahead is not None and (ahead.swimmer, ahead.left_ms) in taken


def _off(found: Swim, at_ms: int) -> int:
    """How far a touch is from the prediction."""
    return abs(at_ms - found.left_ms - found.predicted_ms)


def over(run: Run, lane: int, number: int, at_ms: int) -> Iterator[Swim]:
    """The timed swims of a swimmer, by number, that can be over by `at_ms`, the latest first: at least two
    thirds of the predicted time have passed.
    """
    return (found for found in _over(run.timeline, lane, number, at_ms) if _timed(run, found))


def _over(timeline: Timeline, lane: int, number: int, at_ms: int) -> Iterator[Swim]:
    track = timeline.tracks[lane]
    for index in range(track.index_at(now_of(track, at_ms)), -1, -1):
        found = _swim_of(track, lane, index, number)
        if (
            found is not None
            and 3 * (at_ms - found.left_ms) >= 2 * found.predicted_ms
            and to_its_end(timeline, lane, index, found.swimmer)
        ):
            yield found


def _sent_again(timeline: Timeline, found: Swim, at_ms: int) -> Swim | None:
    """The later swim on which the swimmer was sent off by `at_ms`; None if there is none."""
    track = timeline.tracks[found.lane]
    for index in range(track.index_at(now_of(track, at_ms)), found.index, -1):
        later = _swim_of(track, found.lane, index, found.who)
        if later is not None and later.left_ms <= at_ms:
            return later
    return None


def _away_again(timeline: Timeline, found: Swim, at_ms: int) -> bool:
    """Whether the swimmer is on a later swim, so that the touch of this one is missing.

    That is so once a third of the later swim has passed by prediction. It is so sooner if nobody can be that late:
    more than STILL_TOUCHES_MS after the later send-off, and more than a fifth above the prediction.
    """
    later = _sent_again(timeline, found, at_ms)
    if later is None:
        return False
    since_ms, over_ms = at_ms - later.left_ms, at_ms - found.left_ms - found.predicted_ms
    return 3 * since_ms >= later.predicted_ms or since_ms > STILL_TOUCHES_MS and 5 * over_ms > found.predicted_ms


def _timed(run: Run, found: Swim) -> bool:
    """Whether a swim is timed: not on lines flagged as a hazard, nor on repeats that last a written time."""
    timeline = run.timeline
    return found.distance > 0 and not flagged(
        timeline.plan.sections[found.section], timeline.tracks[found.lane].pass_at(found.index).laneline.line
    )


def touched(found: Swim, at_ms: int) -> Touched:
    """The entry for a tap: the third decimal is dropped, not rounded (World Aquatics SW 11.2)."""
    return _entry(found, at_ms, (at_ms - found.left_ms) // 10, False)


def called(found: Swim, at_ms: int, time_cs: int) -> Touched:
    """The entry for a time that a swimmer called out."""
    return _entry(found, at_ms, time_cs, True)


def _entry(found: Swim, at_ms: int, time_cs: int, was_called: bool) -> Touched:
    return Touched(
        at_ms,
        found.lane,
        found.swimmer,
        found.section,
        found.round,
        found.line,
        found.repeat,
        found.left_ms,
        time_cs,
        was_called,
    )


def times(journal: Iterable[object]) -> tuple[TakenTime, ...]:
    """All times of a journal, with corrections applied and without deleted times."""
    made: dict[int, TakenTime] = {}
    for number, entry in standing(journal):
        if isinstance(entry, Touched):
            made[number] = TakenTime(number, entry)
        elif isinstance(entry, Corrected) and entry.entry in made:
            if entry.time_cs is None:
                del made[entry.entry]
            else:
                made[entry.entry] = TakenTime(entry.entry, replace(made[entry.entry].touched, time_cs=entry.time_cs))
    return tuple(made.values())


def swim_of(run: Run, entry: Touched) -> Swim | None:
    """The swim of a recorded time in the session as it is now; None if a change has removed the swim."""
    track = run.timeline.tracks[entry.lane]
    for index in _near(track, entry.left_ms):
        found = swim(track, entry.lane, index, entry.swimmer)
        if found is not None and found.left_ms == entry.left_ms:
            return found
    return None


def _near(track: Track, at_ms: int) -> Iterator[int]:
    """The repeats on which somebody may have left at `at_ms`, the latest first."""
    for index in range(track.index_at(at_ms), -1, -1):
        found = track.pass_at(index)
        yield index
        if at_ms - track.sendoffs[index] > found.laneline.behind(len(found.laneline.bases)) + found.laneline.takes_ms:
            return


def time_figures(run: Run, entry: Touched) -> TimeFigures | None:
    """A time with its comparisons; None if its swim is no longer part of the session."""
    found = swim_of(run, entry)
    if found is None:
        return None
    time_ms = entry.time_cs * 10
    track = run.timeline.tracks[entry.lane]
    following = (
        _swim_of(track, entry.lane, found.index + 1, found.who) if found.index + 1 < len(track.sendoffs) else None
    )
    rest_ms = None if following is None else following.left_ms - found.left_ms - time_ms
    over_hold_ms = None if found.hold_ms is None else time_ms - found.hold_ms
    return TimeFigures(time_ms, time_ms - found.predicted_ms, over_hold_ms, rest_ms)


def at_wall(run: Run, taken: Iterable[TakenTime], lane: int, at_ms: int) -> frozenset[int]:
    """The swimmers of a lane (numbers) who are at the wall: a recorded time ends the swim they are on."""
    found = [stay(run, one.touched) for one in taken if one.touched.lane == lane]
    return frozenset([number for number, from_ms, until_ms in found if from_ms <= at_ms < until_ms])


def stay(run: Run, entry: Touched) -> tuple[int, int, int]:
    """Whom a recorded time puts at the wall (a number), from when and until when; until the same instant if nobody.

    For a called time, the time itself counts, not when it was typed in. It ends when the swimmer leaves again.
    """
    track, from_ms = run.timeline.tracks[entry.lane], entry.left_ms + entry.time_cs * 10
    found = swim_of(run, entry)
    if found is None:
        return -1, from_ms, from_ms
    for index in range(found.index + 1, len(track.sendoffs)):
        following = _swim_of(track, entry.lane, index, found.who)
        if following is not None:
            return found.who, from_ms, max(from_ms, following.left_ms)
    return found.who, from_ms, NEVER


def tenths(time_cs: int) -> str:
    """A time as it is shown: in tenths, rounded halves up.

    >>> tenths(7834), tenths(7835), tenths(4000)
    ('1:18.3', '1:18.4', '0:40.0')
    """
    return in_tenths(10 * time_cs)


def difference(ms: int) -> str:
    """A difference as it is shown: in tenths, with its sign.

    >>> difference(340), difference(-1250), difference(0)
    ('+0.3', '−1.3', '0.0')
    """
    shown = (abs(ms) + 50) // 100
    sign = "" if not shown else "+" if ms > 0 else "−"
    return f"{sign}{decimals(Fraction(shown, 10))}"
