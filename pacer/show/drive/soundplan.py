"""What a running session counts down to, by sound and light. No Kivy."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator

from pacer.session.journal.entries import LeftLate, Moved, Resumed, SectionSet
from pacer.session.running.replay import Run
from pacer.signal.clipschedule import SECTION_START, Wanted, plan_sounds
from pacer.timeline.track import Track


def wanted(run: Run, journal: Iterable[object], lanes: Iterable[int] = ()) -> tuple[Wanted, ...]:
    """The instants of session time to count down to, in order.

    Section starts (each lane's own if lanes start separately), the send-off set by a change for all lanes at once, and
    every send-off of `lanes`; if there is only one lane, all of its send-offs. A line swum straight through has one
    send-off. Paused lanes have none.
    """
    timeline = run.timeline
    chosen = set(lanes) if len(timeline.tracks) > 1 else {0}
    active = {i: track for i, track in enumerate(timeline.tracks) if track.sendoffs}
    common: dict[int, int] = {}
    found: set[tuple[int, int]] = set()
    for lane, track in active.items():
        for at_ms, index in _sendoffs(track):
            part = track.pass_at(index)
            if index == part.first and part.ordinal == 0:
                if timeline.gates.get(part.section) is None:
                    found.add((at_ms, SECTION_START))
                else:
                    common[part.section] = min(at_ms, common.get(part.section, at_ms))
            if lane in chosen:
                found.add((at_ms, lane))
    found |= {(at_ms, SECTION_START) for at_ms in common.values()}
    together = [
        entry.leave_ms
        for entry in journal
        if isinstance(entry, Resumed | Moved | SectionSet | LeftLate) and entry.lanes is None
    ]
    for leave_ms in together:
        if any(_leaves_at(track, leave_ms) for track in active.values()):
            found.add((leave_ms, SECTION_START))
    return tuple([Wanted(at_ms, order) for at_ms, order in sorted(found)])


def sound_instants(run: Run, journal: Iterable[object], lanes: Iterable[int]) -> tuple[int, ...]:
    """The instants that the tablet counts down to aloud: section starts, and the send-offs of the lanes so numbered."""
    if run.begun is None or run.ended_ms is not None:
        return ()
    index = {lane.number: place for place, lane in enumerate(run.timeline.lanes)}
    chosen = [index[number] for number in lanes if number in index]
    return tuple(sound.at_ms for sound in plan_sounds(wanted(run, journal, chosen)).sounds)


def _sendoffs(track: Track) -> Iterator[tuple[int, int]]:
    """When the leader waits at the wall: instant and index of each send-off to come."""
    for part in track.passes:
        count = 1 if part.laneline.own is not None else part.count
        for index in range(part.first, part.first + count):
            at_ms = track.sendoffs[index]
            if track.paused_ms is not None and at_ms >= track.paused_ms:
                return
            yield at_ms, index


def _leaves_at(track: Track, at_ms: int) -> bool:
    place = bisect_left(track.sendoffs, at_ms)
    there = place < len(track.sendoffs) and track.sendoffs[place] == at_ms
    return there and (track.paused_ms is None or at_ms < track.paused_ms)
