"""Lanes pause, stop or end, and leave again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from pacer.session.journal.entries import Change, Ended, Paused, Resumed, Stopped, TakenBack
from pacer.session.running.brokenrepeats import hardly_swum, stopped_short
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.runstate import (
    Position,
    Run,
    is_ahead,
    laid,
    now_of,
    position,
    still_to_come,
    take_up,
    with_tracks,
)
from pacer.session.running.swumtrack import closed, kept, stopped, under_way
from pacer.session.running.whereabouts import back_ms
from pacer.timeline.course import TakeUp
from pacer.timeline.track import NOBODY, Track


def pause(run: Run, entry: Paused) -> Run:
    """Pause lanes. They keep their plan ahead; their state is paused. Lanes that are done or paused already stay so."""
    lanes = tuple(lane for lane in run.lanes(entry.lanes) if run.timeline.tracks[lane].paused_ms is None)
    return _waiting(run, entry.at_ms, lanes, cut=entry.breaks_off, again=entry.again)


def stop(run: Run, entry: Stopped) -> Run:
    """Pause every lane, and stop those who are swimming."""
    return replace(_waiting(run, entry.at_ms, run.lanes(None), cut=True, again=entry.again), stopped=True)


def end(run: Run, entry: Ended) -> Run:
    """End the session: swimmers stop at the home wall, and nobody leaves any more."""
    made = _waiting(run, entry.at_ms, run.lanes(None), cut=True)
    return replace(made, ended_ms=entry.at_ms, stopped=False)


def _waiting(run: Run, at_ms: int, lanes: tuple[int, ...], *, cut: bool, again: bool = False) -> Run:
    tracks = list(run.timeline.tracks)
    for lane in lanes:
        track = tracks[lane]
        if at_ms >= track.end_ms:
            continue
        if track.paused_ms is None:
            made = closed(track, at_ms, cut=cut)
            made.paused_ms = at_ms
        else:
            made = stopped(track, track.index_at(track.paused_ms) + 1, at_ms)
        tracks[lane] = made
    paused = replace(run, timeline=with_tracks(run.timeline, tracks))
    return swum_again(run, paused, lanes) if again else paused


def swum_again(was: Run, made: Run, lanes: Iterable[int]) -> Run:
    """`made` of `was` by a pause, with the lanes that swim their repeat again, once resumed, as hardly any of it was
    swum by then.
    """
    tracks = list(made.timeline.tracks)
    for lane in lanes:
        track = tracks[lane]
        last = -1 if track.paused_ms is None else track.index_at(track.paused_ms)
        if last in was.timeline.tracks[lane].cuts or not hardly_swum(made.timeline, lane, last):
            continue
        if not is_ahead(track, last):
            tracks[lane] = track.copy()
            tracks[lane].again = True
    return replace(made, timeline=with_tracks(made.timeline, tracks))


def paused_since_end(run: Run, again: bool = False) -> Run:
    """An ended session as one that was paused instead: its swimmers have stopped at the wall since.

    `again`: as of a pause.
    """
    assert run.before is not None and run.ended_ms is not None, "it is ended"
    paused = Paused(run.ended_ms, None, breaks_off=True, again=again)
    made = replace(run, ended_ms=None, stopped=run.before.stopped, by=paused)
    return swum_again(run.before, made, paused_by_end(run)) if again else made


def paused_by_end(run: Run) -> tuple[int, ...]:
    """The lanes (indexes) that the end stopped: not those that were paused before it, or had swum everything."""
    assert run.before is not None, "it is ended"
    return tuple(lane for lane in run.paused() if run.before.timeline.tracks[lane].paused_ms is None)


def sections_begun(run: Run, after: int, by_ms: int) -> list[int]:
    """The sections behind section `after` that lanes have started together by then."""
    gates = run.timeline.gates.items()
    return [section for section, start in gates if start is not None and after < section and start <= by_ms]


def resume(run: Run, entry: Resumed) -> Run:
    """Let paused lanes leave again."""
    waiting = [lane for lane in run.lanes(entry.lanes) if run.timeline.tracks[lane].paused_ms is not None]
    if not waiting:
        return run
    targets = {lane: resumption(run, lane, entry.leave_ms) for lane in waiting}
    made = retaken(run, targets, entry.at_ms, entry.leave_ms)
    for lane in waiting:
        track = run.timeline.tracks[lane]  # it resumes where it was, or is sent to its repeat again
        made.timeline.tracks[lane].sent = track.index_at(now_of(track, entry.at_ms)) if track.again else -1
    return made


def resumption(run: Run, lane: int, leave_ms: int) -> tuple[Position, int] | None:
    """Where and when a paused lane resumes, if told to leave at `leave_ms`; None if it has nothing left.

    It resumes after the repeat it left on last, or with that if hardly any of it was swum (`Track.again`); if its
    section is over by now, with the section the others are in. If somebody was stopped before the end of the repeat,
    the lane leaves as told, but starts no section earlier than planned. If all finished it, the lane leaves no earlier
    than planned.
    """
    track = run.timeline.tracks[lane]
    assert track.paused_ms is not None, "it is paused"
    index = track.index_at(track.paused_ms) + 1
    at = position(track, index - track.again)
    if at is None:
        return None
    swimming = run.others(leave_ms, dict.fromkeys(run.paused()))
    whole = still_to_come(run, lane, index, leave_ms - 1 if swimming else track.paused_ms)
    if whole and not track.again:
        at, leave_ms = Position(whole.section, 0), max(leave_ms, whole.at_ms)
    elif not track.again and (
        not at.ordinal
        or not stopped_short(run.timeline, lane, index - 1)
        or track.pass_at(index - 1).section != at.section
    ):
        leave_ms = max(leave_ms, track.sendoffs[index])
    if swimming and (passed := sections_begun(run, at.section, leave_ms)):
        at = Position(max(passed), 0)
    return at, leave_ms


def retaken(run: Run, targets: Mapping[int, tuple[Position, int] | None], at_ms: int, leave_ms: int) -> Run:
    """The run with lanes leaving on their targets. The other paused lanes stay paused.

    If nobody else is swimming, the paused lanes are laid out as if they left at `leave_ms` as well, because later
    common starts are for all; a lane that waits longer than the others loses only that time.
    """
    old, others = run.timeline.tracks, run.others(at_ms, targets)
    waiting = others if all(old[lane].paused_ms is not None for lane in others) else []
    tracks, entries = {}, {}
    for lane, target in {**{lane: resumption(run, lane, leave_ms) for lane in waiting}, **targets}.items():
        tracks[lane], entry = _left_for(run, lane, target, at_ms)
        if entry:
            entries[lane] = entry
    made = laid(run, tracks, entries, at_ms)
    for lane in waiting:
        tracks[lane].paused_ms, tracks[lane].again = old[lane].paused_ms, old[lane].again
        if entry := entries.get(lane):
            tracks[lane].starts.update(
                {s: at for s, at in old[lane].starts.items() if s < entry.section + bool(entry.ordinal)}
            )
    return replace(made, stopped=False)


def _left_for(run: Run, lane: int, target: tuple[Position, int] | None, at_ms: int) -> tuple[Track, TakeUp | None]:
    """What stays of a lane's track if it goes to `target`, and how it enters the plan there."""
    track = run.timeline.tracks[lane]
    now = now_of(track, at_ms)
    index = track.index_at(now)
    late = target is not None and not back_for(run, lane, at_ms, target[1])
    if track.paused_ms is None:
        made = closed(track, at_ms, cut=late or under_way(track, index, at_ms))
    else:
        made = stopped(track, index + 1, at_ms) if late else track
    made = kept(made, index + 1)
    if target is None:
        return made, None
    at, leave_ms = target
    if not made.passes or made.passes[-1].section != at.section:
        return made, TakeUp(*at, leave_ms, exact=True)  # its time counts from there
    waited_ms = 0 if track.paused_ms is None else leave_ms - track.paused_ms
    return made, take_up(track, at, leave_ms, waited_ms=waited_ms)


def back_for(run: Run, lane: int, at_ms: int, leave_ms: int, *, to_come: bool = False) -> bool:
    """Whether all who are swimming in a lane finish their repeat in time to leave on something else at `leave_ms`.

    `to_come`: also those still to leave on it.
    """
    return back_ms(run.timeline, lane, at_ms, broken_off=False, to_come=to_come) + NOTICE_MS <= leave_ms


def gathered(was: Run, made: Run, entry: Change | TakenBack) -> Run:
    """The run `made` of `was` by an entry: lanes in which nobody else leaves on a repeat gather at the home wall.

    At the end of the session a lane that is all at the far wall comes home, too. After stop all they stay where they
    are until they are told to leave again.
    """
    if made.stopped or was.stopped and isinstance(entry, Ended):
        return made
    tracks = list(made.timeline.tracks)
    for lane, (old, track) in enumerate(zip(was.timeline.tracks, tracks)):
        top = track.index_at(now_of(track, entry.at_ms))
        ends = isinstance(entry, Ended) and top >= 0 and entry.at_ms < track.end_ms
        if ends or track is not old and top in track.closed and top not in track.gathers:
            tracks[lane] = track.copy()
            swimmers = [swimmer.number for swimmer in made.timeline.squad.lanes[lane].swimmers]
            at_ms, _ = track.gathers.get(top, (entry.at_ms, ()))
            tracks[lane].gathers[top] = at_ms, (*swimmers, *([NOBODY] if ends else []))
    if all(new is old for new, old in zip(tracks, made.timeline.tracks)):
        return made
    return replace(made, timeline=with_tracks(made.timeline, tracks))
