"""Preview what an entry would do before it is made."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import NamedTuple

from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import Change, Ended, Entry, Resumed, Stopped, TakenBack
from pacer.session.running.brokenrepeats import in_all
from pacer.session.running.differences import Beside, new_catches
from pacer.session.running.finish import finish_ms, going
from pacer.session.running.instant import lates
from pacer.session.running.replay import apply
from pacer.session.running.runstate import Run, repeat_key, with_tracks
from pacer.session.running.stragglers import missing, still_missing, swims_less, walls
from pacer.session.running.swumtrack import last_touch
from pacer.session.running.undo import undoes
from pacer.session.running.whereabouts import far_starts, last_swims, stops, swim_backs
from pacer.timeline.findings import CannotRun
from pacer.timeline.restlimits import COLD_MS
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import NEVER, Track


@dataclass(frozen=True, slots=True)
class LaneOutlook:
    """The effect on one lane (by index).

    `leaves_ms`: its next send-off; None if it has none or is paused. `distance` (of each swimmer) is how much more
    (negative: less) it swims than without the change; that of a repeat that is broken off counts as far as it is swum.
    If all are paused, it is what they swim once they are resumed. `end_ms`: its last touch; `end_was_ms`: the last
    touch without the change.
    """

    lane: int
    leaves_ms: int | None
    distance: int
    end_ms: int
    end_was_ms: int
    #: how much longer it waits, if that is more than its interval: for its next send-off, longer than any wait that it
    #: had until then anyway; or before the section (an index) at which it arrives early
    longer_ms: int = 0
    longer_before: int | None = None
    longer_than_planned: bool = False  #: `longer_ms` is with earlier changes together; this one alone adds too little
    stops: bool = False  #: whether somebody in it is told to break off
    leaves_as_before: bool = False  #: whether its next send-off, and the repeat it leaves on, stay as they are


@dataclass(frozen=True, slots=True)
class Outlook:
    """The effect on the session: `run` is the session after it, `lanes` the lanes for which something changes.

    `starts`: common starts that move, as section index, old time, new time. `refused`: why it is impossible, "" if it
    is possible. `tight`: lanes for which a line that is new to them, or has a new interval, is too tight, and how much;
    `tight_in`: where that is, as section index and line number, the tightest first.
    """

    run: Run
    lanes: tuple[LaneOutlook, ...]
    starts: tuple[tuple[int, int, int], ...]
    end_ms: int
    end_was_ms: int
    refused: str = ""
    tight: tuple[tuple[int, int], ...] = ()
    tight_in: tuple[tuple[int, int], ...] = ()
    entry: Entry | None = None
    shown_ms: int | None = None  #: the end as it is shown without the entry: a pause of all puts it off
    #: of the lanes that the last change was for, those that stop at the wall with and without the entry
    still_stop: tuple[int, ...] = ()
    #: lanes, and how many swimmers of each would have left on its repeat without the entry, and don't
    missing: tuple[tuple[int, int], ...] = ()
    still_missing: tuple[tuple[int, int], ...] = ()  #: the same of those who don't leave without it either
    far: tuple[int, ...] = ()  #: the lanes that then begin a line at the far wall, and would not without the entry
    #: lanes, and how much less than its leader a swimmer of each swims at most of the repeats that are broken off
    behind: tuple[tuple[int, int], ...] = ()
    #: the same, with what they lose of the repeats on which they don't leave any more; told for an end
    short: tuple[tuple[int, int], ...] = ()
    split: tuple[int, ...] = ()  #: the lanes that are broken off, and whose swimmers stop at both walls
    back: tuple[int, ...] = ()  #: the lanes whose swimmers at the far wall then swim back
    #: lanes to which somebody comes or in which they change places, and the swimmer (from 1) who then catches the one
    #: ahead on a set still ahead, by the plan's paces
    catches: tuple[tuple[int, int], ...] = ()
    was: Run | None = None  #: the session without the entry; for an Undo not the run before the change it undoes
    #: as the screen shows the swimmers, without and with the entry
    now: tuple[Timeline, Timeline] | None = field(default=None, repr=False)
    counted: tuple[Run, Run] | None = field(default=None, repr=False)  #: the same for the metres that are swum in all

    @property
    def changes(self) -> bool:
        """Whether anything would change."""
        return not self.refused and bool(self.lanes or self.starts or self.end_ms != self.end_was_ms)


def outlook(run: Run, entry: Entry, seen: Callable[[Run], Run] = lambda run: run) -> Outlook:
    """The effect that `entry` would have on `run`.

    `seen` gives the run by the session's times, from which the screen counts metres and knows the finish.
    """
    was = run.timeline
    try:
        after = apply(run, entry)
    except CannotRun as refusal:
        end_ms = finish_ms(seen(run), entry.at_ms)
        return Outlook(run, (), (), end_ms, end_ms, refusal.findings[0].message, was=run)
    will, first = after.timeline, run
    while first.before is not None:
        first = first.before
    last = undoes(run, entry) if isinstance(entry, TakenBack) and run.by is not None else run.by
    of = sorted({*about(last, run)})
    beside = Beside.of(run, after, entry.at_ms)
    seen_was, seen_will = seen(_promised(run, entry)), seen(going(after, entry.at_ms))
    more = [in_all(seen_will.timeline, lane) - in_all(seen_was.timeline, lane) for lane in range(len(will.tracks))]
    now_was, now_will = seen(run).timeline, seen(after).timeline
    stopping = _stopping(now_was, now_will, entry.at_ms)
    changed = set(beside.lanes())
    lanes = [
        replace(_lane(index, (first.timeline, was, will), entry.at_ms, more[index]), stops=index in stopping)
        for index in sorted({*changed, *(lane for lane, distance in enumerate(more) if distance)})
    ]
    tight = {
        lane: found
        for lane, (old, new) in enumerate(zip(was.tracks, will.tracks))
        if old is not new and (found := _too_tight(old, new))
    }
    tightest = sorted([each for found in tight.values() for each in found.items()], key=lambda each: -each[1])
    end_ms, shown_ms = (finish_ms(seen(each), entry.at_ms) for each in (after, run))
    end_was_ms = shown_ms if beside.waits else seen(run).timeline.end_ms
    return Outlook(
        after,
        tuple(lanes),
        tuple(beside.starts()),
        end_ms,
        end_was_ms,
        tight=tuple((lane, max(found.values())) for lane, found in tight.items()),
        tight_in=tuple(dict.fromkeys(line for line, _ in tightest)),
        entry=entry,
        was=run,
        now=(now_was, now_will),
        counted=(seen_was, seen_will),
        shown_ms=shown_ms,
        still_stop=tuple(
            lane
            for lane in of
            if lane not in stopping and any(since <= entry.at_ms < until for since, until in stops(now_will, lane))
        ),
        missing=missing(now_was, now_will, entry.at_ms),
        still_missing=still_missing(now_was, now_will, entry.at_ms, of if isinstance(entry, TakenBack) else ()),
        catches=new_catches(run, after, entry),
        behind=tuple((lane, most) for lane in sorted(stopping) if (most := swims_less(now_was, now_will, lane))),
        short=tuple(
            (lane, swims_less(now_was, now_will, lane, unless_left=True))
            for lane, (old, new) in enumerate(zip(now_was.tracks, now_will.tracks))
            if isinstance(entry, Ended) and old is not new
        ),
        split=tuple(lane for lane in sorted(stopping) if len(walls(now_will, lane, entry.at_ms)) > 1),
        back=tuple(
            lane
            for lane, (old, new) in enumerate(zip(now_was.tracks, now_will.tracks))
            if old is not new and set(swim_backs(now_will, lane)) - set(swim_backs(now_was, lane))
        ),
        far=tuple(
            lane for lane in sorted(changed) if far_starts(will, lane, entry.at_ms) - far_starts(was, lane, entry.at_ms)
        ),
    )


def _promised(run: Run, entry: Entry) -> Run:
    """The run with the metres that the coach expects before `entry`: of a session that is paused as a whole, those that
    the pause said, with the finish in the top line; of one that STOP ALL has stopped, those before that, as STOP ALL
    says nothing.
    """
    if not isinstance(entry, Resumed):
        return going(run, entry.at_ms)
    if isinstance(run.by, Stopped) and run.stopped and run.before is not None:
        return going(run.before, run.by.at_ms)
    paused = [track.paused_ms for track in run.timeline.tracks if track.paused_ms is not None]
    return going(run, min(paused, default=entry.at_ms))


def about(change: Change | None, run: Run) -> tuple[int, ...]:
    """The lanes (indexes) that a change was for."""
    one = [getattr(change, name) for name in ("lane", "to_lane") if hasattr(change, name)]
    return tuple(one) if one else run.lanes(getattr(change, "lanes", None))


def _stopping(was: Timeline, will: Timeline, at_ms: int) -> frozenset[int]:
    """The lanes that are told to stop at the wall from `at_ms` on, and were not before."""
    return frozenset(
        lane
        for lane in range(len(will.tracks))
        if was.tracks[lane] is not will.tracks[lane]
        and any(at_ms <= since < until for since, until in _new_stops(was, will, lane, at_ms))
    )


def _new_stops(was: Timeline, will: Timeline, lane: int, at_ms: int) -> list[tuple[int, int]]:
    known = stops(was, lane)
    if any(since <= at_ms < until for since, until in known):
        return []
    return [stop for stop in stops(will, lane) if stop[0] not in {since for since, _ in known}]


def _too_tight(old: Track, new: Track) -> dict[tuple[int, int], int]:
    """How much too late, by prediction, somebody is back for a send-off of a line that was not as tight for the lane
    before (as in `timeline.checks`): by section and line number, without those for which all are in time.
    """
    known: dict[tuple, int] = {}
    for found in old.passes:
        known[found.section, found.laneline.number, found.laneline.intervals] = found.laneline.short_ms
    made: dict[tuple[int, int], int] = {}
    for found in new.passes:
        line, short_ms = (found.section, found.laneline.number), found.laneline.short_ms
        if short_ms > known.get((*line, found.laneline.intervals), 0):
            made[line] = max(short_ms, made.get(line, 0))
    return made


def _lane(lane: int, timelines: tuple[Timeline, Timeline, Timeline], at_ms: int, distance: int) -> LaneOutlook:
    """`timelines`: as planned at the start, without the change, and with it."""
    planned, was, will = timelines
    old, new = was.tracks[lane], will.tracks[lane]
    leaves = None
    longer = _Longer(0, None)
    as_before = False
    if new.paused_ms is None:
        longer = _longer_before_a_section(planned, was, will, lane, at_ms)
        index = new.index_at(at_ms) + 1
        if index < len(new.sendoffs):
            leaves = new.sendoffs[index]
            before = old.index_at(at_ms) + 1
            if (
                old.paused_ms is None
                and before < len(old.sendoffs)
                and min(leaves - old.sendoffs[before], more_ms := _stands_longer(was, will, lane, at_ms))
                > max(_interval_ms(old, max(0, before - 1)), _interval_ms(new, index))
            ):
                section = new.pass_at(index).section
                longer = longer if longer.ms > more_ms and longer.before != section else _Longer(more_ms, None)
            as_before = old.paused_ms is None and before == index and _left_on(old, index) == _left_on(new, index)
    return LaneOutlook(
        lane,
        leaves,
        distance,
        new.end_ms,
        old.end_ms,
        *longer,
        leaves_as_before=as_before,
    )


def _stands_longer(was: Timeline, will: Timeline, lane: int, at_ms: int) -> int:
    """How much longer the lane stands before its next send-off than it would have at all until then, at a time."""
    old, new = was.tracks[lane], will.tracks[lane]
    index, before = new.index_at(at_ms) + 1, old.index_at(at_ms) + 1
    until = max(before, old.index_at(new.sendoffs[index]))
    longest, planned = _stands(was, lane, before, at_ms), old.copy()
    planned.behind = lates(old)  # worked out once: there may be thousands of repeats
    for each in range(before + 1, until + 1):
        home_ms = last_touch(planned, each - 1, predicted=True)
        longest = max(longest, old.sendoffs[each] - max(at_ms, home_ms))
    return _stands(will, lane, index, at_ms) - longest


def _stands(timeline: Timeline, lane: int, index: int, at_ms: int) -> int:
    """How long from `at_ms` on the whole lane is at the wall before it leaves on repeat `index`."""
    return max(0, timeline.tracks[lane].sendoffs[index] - max(at_ms, _home_ms(timeline, lane, index, at_ms)))


def _home_ms(timeline: Timeline, lane: int, index: int, since_ms: int = 0) -> int:
    """When the whole lane is at the wall before it leaves on repeat `index`, by prediction; `since_ms` if nobody swam
    before.
    """
    swims = last_swims(timeline, lane, timeline.tracks[lane].sendoffs[index] - 1)
    return max([swim.home_ms for swim in swims if swim is not None], default=since_ms)


class _Longer(NamedTuple):
    """How much longer a lane waits, before which section (None: its next send-off), and whether that is by more than
    one change.
    """

    ms: int
    before: int | None
    than_planned: bool = False


def _longer_before_a_section(planned: Timeline, was: Timeline, will: Timeline, lane: int, at_ms: int) -> _Longer:
    """How much longer the lane waits for a section at which it arrives earlier than planned, and which section.

    The longest such wait; 0 if it is no more than the lane's interval, or less than a minute. If the change adds less,
    but together with earlier ones it is that long: how much longer than `planned`. Of a lane that leaves a pause, the
    pause itself is no part of it, and half a minute is enough to be said if the wait is then long enough to get cold.
    """
    old = was.tracks[lane]
    on_ms = _interval_ms(old, max(0, old.index_at(at_ms))) if old.sendoffs else 0
    paused_ms = old.paused_ms
    were = {found.section: found for found in _waits(was, lane, at_ms, -NEVER if paused_ms is None else paused_ms)}
    are = _waits(will, lane, at_ms, -NEVER if paused_ms is None else at_ms)
    waits = [(each.ms - were[each.section].ms, each) for each in are if each.section in were]
    at_first = {found.section: found.ms for found in _waits(planned, lane, -NEVER, -NEVER)}
    found = []
    for more_ms, each in waits:
        least_ms = max(on_ms, each.interval_ms, were[each.section].interval_ms, MINUTE_MS)
        in_all_ms = each.ms - at_first.get(each.section, each.ms)
        if more_ms > least_ms or paused_ms is not None and more_ms >= MINUTE_MS // 2 and each.ms > COLD_MS:
            found.append(_Longer(more_ms, each.section))
        elif more_ms >= MINUTE_MS // 2 and in_all_ms > least_ms:
            found.append(_Longer(in_all_ms, each.section, True))
    return max(found, key=lambda longer: longer.ms, default=_Longer(0, None))


class _Wait(NamedTuple):
    """How long a whole lane waits for a section still ahead, and its interval before that."""

    section: int
    ms: int
    interval_ms: int


def _waits(timeline: Timeline, lane: int, at_ms: int, since_ms: int) -> list[_Wait]:
    """The waits for sections that start after `at_ms`, as far as they are after `since_ms`; of a paused lane as if it
    were not.
    """
    track = timeline.tracks[lane]
    if track.paused_ms is not None:
        at_ms, track = min(at_ms, track.paused_ms), track.copy()
        track.paused_ms = None
        timeline = with_tracks(timeline, [*timeline.tracks[:lane], track, *timeline.tracks[lane + 1 :]])
    return [
        _Wait(
            to.section,
            to.start_ms - max(since_ms, _home_ms(timeline, lane, to.first)),
            _interval_ms(track, to.first - 1),
        )
        for here, to in pairwise(track.passes)
        if to.section != here.section and to.start_ms > at_ms
    ]


def _left_on(track: Track, index: int) -> tuple | None:
    """A track's repeat, and when the lane leaves on it; None if there is no such repeat."""
    if index >= len(track.sendoffs):
        return None
    return track.sendoffs[index], *repeat_key(track, index)


def _interval_ms(track: Track, index: int) -> int:
    """The interval of repeat `index`; 0 if it is swum straight through."""
    intervals, repeat = track.pass_at(index).laneline.intervals, track.repeat_in_line(index)
    return intervals[repeat] if repeat < len(intervals) else 0


def whole_minutes(ms: int) -> int:
    """The nearest whole minute, at least one."""
    return max(1, (ms + MINUTE_MS // 2) // MINUTE_MS)


def longer(told: Outlook) -> dict[tuple[int, int | None, bool], list[int]]:
    """The lanes, by their numbers, that wait longer by more than an interval.

    Keys are the minutes, to the nearest one, the section at which they arrive early, None for the next send-off, and
    whether that is longer than planned, by more than one change.
    """
    found: dict[tuple[int, int | None, bool], list[int]] = {}
    for lane in told.lanes:
        if lane.longer_ms:
            wait = whole_minutes(lane.longer_ms), lane.longer_before, lane.longer_than_planned
            found.setdefault(wait, []).append(told.run.timeline.squad.lanes[lane.lane].number)
    return found
