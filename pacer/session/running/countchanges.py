"""Change the number of repeats or rounds, an interval, or all flexible counts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import takewhile

from pacer.language import tr
from pacer.session.journal.entries import CountChanged, IntervalChanged, Refitted
from pacer.session.running.runstate import (
    Run,
    as_planned,
    laid,
    now_of,
    planned,
    position,
    sent_on,
    still_to_come,
)
from pacer.session.running.swumtrack import goes_by, kept, under_way
from pacer.timeline.course import Course, TakeUp
from pacer.timeline.deviation import Last
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.shape import up_to
from pacer.timeline.track import NEVER, Pass, Track


def line_in_hand(track: Track, at_ms: int, *, ahead: bool = False, just_swum: bool = False) -> Pass | None:
    """The pass that a lane swims or rests in, as the screen shows it; between lines, or always with
    `ahead`, that of its next send-off. With `just_swum` only between sections.

    None if the lane has swum its last pass or nothing is ahead.
    """
    now = now_of(track, at_ms)
    index = track.index_at(now)
    following = track.pass_at(index + 1) if index + 1 < len(track.sendoffs) else None
    if index < 0 or ahead:
        return following
    here = track.pass_at(index)
    over = following is not None and (
        following.section != here.section or not just_swum and not _same_line(track, index)
    )
    if over and not under_way(track, index, now):
        return following
    return here if following is not None or now < track.end_ms else None


def change_count(run: Run, entry: CountChanged) -> Run:
    """Add or remove repeats of the current line, or rounds of the current section."""
    course, tracks, entries, sections, added = run.course, {}, {}, [], dict[int, int]()
    for lane, found in _in_hand(run, entry).items():
        track = run.timeline.tracks[lane]
        if not _possible(run.course, lane, track, found, entry):
            continue
        if entry.rounds:
            course = course.but(deviation=course.deviation.with_rounds(lane, found.section, entry.by))
        else:
            course = course.but(
                deviation=course.deviation.with_more(lane, found.section, found.round, found.place, entry.by)
            )
        if entry.in_time and entry.by > 0:
            added[lane] = found.section
        last = course.deviation.last.get((lane, found.section))
        if last is not None and (
            course.rounds(found.section, lane) < last.round
            or entry.by > 0
            and (entry.rounds or last[:2] == (found.round, found.place))
        ):
            course = course.but(deviation=course.deviation.with_last(lane, found.section, None))
        sections.append(found.section)
        tracks[lane], at = _from_here(run, lane, found, entry)
        if at is not None:
            entries[lane] = at
    made = laid(run, tracks, entries, entry.at_ms, course=course)
    if (
        entry.by > 0
        and tracks
        and all(len(made.timeline.tracks[lane].sendoffs) <= len(run.timeline.tracks[lane].sendoffs) for lane in tracks)
    ):
        raise no_time(run, sections)
    return for_good(run, made, {lane: at for lane, at in entries.items() if at.section == added.get(lane)}, entry.at_ms)


def _in_hand(run: Run, entry: CountChanged) -> dict[int, Pass]:
    """By lane, the pass that gets repeats, or whose section gets rounds, more or fewer.

    A lane that was sent to a later section is there already while it comes home. One that waits for the next section
    is still in the one that it has swum, for rounds, while another of the lanes is there.
    """
    made, swum = {}, {}
    for lane in run.lanes(entry.lanes):
        track = run.timeline.tracks[lane]
        ahead = entry.by < 0 and not entry.rounds
        found = line_in_hand(track, entry.at_ms, ahead=ahead, just_swum=entry.rounds)
        index = track.index_at(now_of(track, entry.at_ms))
        here = track.pass_at(index) if index >= 0 else None
        if here is None or not entry.one_section:
            pass
        elif sent_on(run, lane, here):
            found = line_in_hand(track, entry.at_ms, ahead=True)
        elif entry.rounds:
            swum[lane] = here
        if found is not None:
            made[lane] = found
    first = min([found.section for found in made.values()], default=None)
    return {lane: swum[lane] if lane in swum and swum[lane].section == first else found for lane, found in made.items()}


def for_good(run: Run, made: Run, entries: Mapping[int, TakeUp], at_ms: int) -> Run:
    """The run `made` of `run`, in which lanes never swim what they have no time for in the sections that they enter.

    If all lanes are paused, nobody knows how much time there is once they are resumed.
    """
    if all(track.paused_ms is not None or at_ms >= track.end_ms for track in run.timeline.tracks):
        return made
    course, deviation = made.course, made.course.deviation
    for lane, at in entries.items():
        last = _cut_at(course, lane, made.timeline.tracks[lane], at)
        deviation = deviation if last is None else deviation.with_last(lane, at.section, last)
    return made if deviation is course.deviation else replace(made, course=course.but(deviation=deviation))


def _cut_at(course: Course, lane: int, track: Track, at: TakeUp) -> Last | None:
    """Where a lane's section ends for lack of time, if it was entered at `at`; None if the lane swims all of it."""
    whole = Track()
    course.swim_until(whole, lane, at, NEVER)
    here = [found for found in track.passes if found.section == at.section]
    swum = sum(
        track.pass_at(index).section == at.section
        for index in range(track.index_at(at.at_ms - 1) + 1, len(track.sendoffs))
    )
    if not here or course.plan.sections[at.section].for_ms is not None or len(whole.sendoffs) <= swum:
        return None
    return Last(here[-1].round, here[-1].place, here[-1].skipped + here[-1].count)


def no_time(run: Run, sections: Iterable[int]) -> CannotRun:
    """What is added to these sections (indexes) would not be swum."""
    why = tr("there is no time for it before the next section")
    if min(sections, default=0) == len(run.timeline.plan.sections) - 1:  # a lane is no longer than the others there
        why = tr("there is no time for it before the other lanes finish")
    return CannotRun([Finding(Severity.STOPS, None, (), why)])


def _possible(course: Course, lane: int, track: Track, found: Pass, entry: CountChanged) -> bool:
    if entry.rounds:
        section = course.plan.sections[found.section]
        return section.for_ms is None and (entry.by > 0 or course.rounds(found.section, lane) + entry.by >= found.round)
    if entry.by > 0:
        return True
    left_on = track.index_at(now_of(track, entry.at_ms)) + 1
    return found.first + found.count - max(left_on, found.first) >= -entry.by


def _from_here(run: Run, lane: int, found: Pass, entry: CountChanged) -> tuple[Track, TakeUp | None]:
    """What stays of a track whose current line or section, `found`, gets longer or shorter, and where it resumes.

    The next repeat comes when it was planned; if none was planned, when it would have come, or at `leave_ms` if that
    has passed.
    """
    track = run.timeline.tracks[lane]
    began = track.starts.get(found.section)
    made, at = as_planned(run, lane, entry.at_ms)
    last = len(made.sendoffs) - 1
    straight_on = last >= 0 and made.passes[-1] == found and found.laneline.own is not None  # it is swum to its end
    if straight_on and entry.by < 0 and not entry.rounds:
        return shorter(made, found, at, entry.by, began)
    behind = position(made, last)
    goes_on = (
        at is not None
        and at.section == found.section
        and (entry.rounds or entry.by < 0 or last >= 0 and (not _is_of(track, last, found) or _same_line(track, last)))
    )
    if goes_on or behind is None or behind.section != found.section:
        return made, at
    leaves = made.sendoffs[last] + made.pass_at(last).laneline.intervals[made.repeat_in_line(last)]
    if entry.rounds:
        leaves += _rests_after(run.course, lane, made.pass_at(last))
    if leaves <= entry.at_ms:
        leaves = entry.leave_ms
    return made, TakeUp(found.section, behind.ordinal + 1, leaves, began, exact=True)


def _same_line(track: Track, index: int) -> bool:
    """Whether a lane's next repeat is of the same line in the same round, even if laid out again."""
    here, following = track.pass_at(index), track.pass_at(index + 1)
    return (here.section, here.round, here.place) == (following.section, following.round, following.place)


def _is_of(track: Track, index: int, found: Pass) -> bool:
    """Whether repeat `index` of a track is of the line of `found`, in its round."""
    here = track.pass_at(index)
    return (here.section, here.round, here.place) == (found.section, found.round, found.place)


def _rests_after(course: Course, lane: int, found: Pass) -> int:
    """How long the rests are between a pass and the next line of its section, be it in the next round; in ms."""
    program = course.program(found.section, lane)
    order = list(course.order(found.section, lane, found.round))
    behind = order.index(found.place) + 1 if found.place in order else len(order)  # it may be skipped by now
    following = [*order[behind:], *course.order(found.section, lane, found.round + 1)]
    rests = takewhile(lambda row: isinstance(row, int), (program[place] for place in following))
    return sum(row for row in rests if isinstance(row, int))


def shorter(track: Track, found: Pass, at: TakeUp | None, by: int, began: int | None) -> tuple[Track, TakeUp]:
    """What stays and where it resumes if the current line is swum straight through.

    Repeats are removed at its end, and everything after it comes earlier.
    """
    count = found.count + by
    made = kept(track, found.first + count)
    ends = goes_on_ms(made, found._replace(count=count))
    if at is not None and at.section == found.section:
        ends += at.at_ms - found.start_ms - found.laneline.remaining_ms(found.skipped)  # a break after it stays
    return made, TakeUp(found.section, found.ordinal + count, ends, began, exact=True)


def goes_on_ms(track: Track, found: Pass) -> int:
    """When a track's lane can continue after its last pass, `found`, however many of the line's repeats that has."""
    line, reached = found.laneline, found.skipped + found.count
    if line.own is None:
        return track.sendoffs[-1] + line.intervals[reached - 1]
    if reached == line.count:
        return found.start_ms + line.remaining_ms(found.skipped)
    return found.start_ms + up_to(max(own[reached] - own[found.skipped] for own in line.own), line.clock_ms)


def change_interval(run: Run, entry: IntervalChanged) -> Run:
    """Change the interval of the current line, or of the next one if the current has no repeat left."""
    course, tracks, entries = run.course, {}, {}
    for lane in run.lanes(entry.lanes):
        track = run.timeline.tracks[lane]
        found = line_in_hand(track, entry.at_ms, ahead=True)
        if found is None:
            continue
        course = course.but(
            deviation=course.deviation.with_interval(lane, found.section, found.laneline.number, entry.interval_ms)
        )
        index = track.index_at(now_of(track, entry.at_ms))
        tracks[lane] = kept(track, index + 1)
        tracks[lane].paused_ms, tracks[lane].again = track.paused_ms, track.again
        at = still_to_come(run, lane, index + 1, now_of(track, entry.at_ms)) or planned(track, index + 1)
        assert at is not None, "something of the line is ahead"
        if (later_ms := _longer(track, index, entry.interval_ms)) is not None:
            at = at._replace(at_ms=max(at.at_ms + later_ms, entry.leave_ms))
        entries[lane] = at
    made = laid(run, tracks, entries, entry.at_ms, course=course)
    for lane, track in tracks.items():
        index = run.timeline.tracks[lane].index_at(now_of(track, entry.at_ms))
        if 0 <= index < len(track.sendoffs) - 1 and _same_line(track, index):
            goes_by(track, index, track.pass_at(index + 1).laneline)
    return made


def _longer(track: Track, index: int, interval_ms: int) -> int | None:
    """How much later the next repeat leaves with another interval.

    None if it is of another line than repeat `index`, or a move or a resume says when it leaves.
    """
    if index < 0 or not _same_line(track, index):
        return None
    line, gap_ms = track.pass_at(index + 1).laneline, track.sendoffs[index + 1] - track.sendoffs[index]
    if line.own is not None:
        return interval_ms - gap_ms
    old = line.intervals[track.repeat_in_line(index) : track.repeat_in_line(index + 1)]
    if (track.sent == index or index in track.closed) and gap_ms != sum(old):
        return None
    return len(old) * interval_ms - sum(old)


def refit(run: Run, entry: Refitted) -> Run:
    """Let all lanes continue with the newly chosen counts."""
    counts = {(section, line): lanes for section, line, lanes in entry.counts if len(lanes) == len(run.timeline.tracks)}
    tracks, entries = rest_of(run, entry.at_ms, entry.leave_ms)
    return replace(laid(run, tracks, entries, entry.at_ms, course=run.course.but(counts=counts)), out_ms=entry.out_ms)


def rest_of(run: Run, at_ms: int, leave_ms: int) -> tuple[dict[int, Track], dict[int, TakeUp]]:
    """What every lane has swum, and where and when it continues; paused lanes not before `leave_ms`."""
    tracks, entries = {}, {}
    for lane, track in enumerate(run.timeline.tracks):
        tracks[lane], at = as_planned(run, lane, at_ms)
        if at is not None:
            entries[lane] = at if track.paused_ms is None else at._replace(at_ms=max(at.at_ms, leave_ms))
    return tracks, entries
