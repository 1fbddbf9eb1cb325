"""Lanes leave late, or miss a repeat: which one that is, and what it changes."""

from __future__ import annotations

from dataclasses import replace

from pacer.session.journal.entries import LeftLate, Missed
from pacer.session.running.runstate import Run, laid, planned, with_tracks
from pacer.session.running.swumtrack import kept, without
from pacer.timeline.track import Track

GRACE_MS = 5_000  #: how long after a send-off a lane can still leave late on it, or miss it


def due(track: Track, at_ms: int) -> int | None:
    """The send-off on which a lane leaves late, or which it misses.

    It is one that has just been, otherwise the next; None if there is none.

    A line swum straight through has only one send-off.
    """
    if track.paused_ms is not None:
        return None
    index = track.index_at(at_ms)
    if index >= 0:
        found = track.pass_at(index)
        left_on = index if found.laneline.own is None else found.first
        if at_ms - track.sendoffs[left_on] < GRACE_MS and index not in track.closed:
            return left_on
        if found.laneline.own is not None:
            index = found.first + found.count - 1
    return index + 1 if index + 1 < len(track.sendoffs) else None


def leave_late(run: Run, entry: LeftLate) -> Run:
    """Let lanes leave later on the repeat that is due, and on all after it."""
    lanes = {
        lane: index
        for lane in run.lanes(entry.lanes)
        if (index := due(run.timeline.tracks[lane], entry.at_ms)) is not None
    }
    together = not run.others(entry.at_ms, lanes)
    tracks, entries = {}, {}
    for lane, index in lanes.items():
        track = run.timeline.tracks[lane]
        was = planned(track, index)
        assert was is not None, "the repeat is there"
        began = None if together and not was.ordinal else was.section_ms
        tracks[lane] = kept(track, index)
        entries[lane] = was._replace(at_ms=max(entry.leave_ms, was.at_ms), section_ms=began)
    return laid(run, tracks, entries, entry.at_ms)


def miss(run: Run, entry: Missed) -> Run:
    """Let lanes sit out the repeat that is due."""
    tracks, deviation = list(run.timeline.tracks), run.course.deviation
    for lane in run.lanes(entry.lanes):
        track = tracks[lane]
        index = due(track, entry.at_ms)
        if index is not None:
            found, repeat = track.pass_at(index), track.repeat_in_line(index)
            count = 1 if found.laneline.own is None else found.count
            tracks[lane] = without(track, index, count)
            deviation = deviation.with_missed(
                lane, found.section, found.round, found.place, range(repeat, repeat + count)
            )
    return replace(run, course=run.course.but(deviation=deviation), timeline=with_tracks(run.timeline, tracks))
