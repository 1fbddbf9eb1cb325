"""What a running session counts down to, by sound and light, and what is spoken. No Kivy."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator

from pacer.session.journal.entries import LeftLate, Moved, Resumed, SectionSet
from pacer.session.running.replay import Run
from pacer.signal.clip import LONG_MS
from pacer.signal.clipschedule import SECTION_START, Sound, Wanted, plan_sounds
from pacer.timeline.track import Track

#: What was missed by more than this (the app was in the background) is neither vibrated nor spoken.
TOLD_WITHIN_MS = 1_000


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
    chosen = lanes_that_sound(run, lanes)
    return tuple(sound.at_ms for sound in plan_sounds(wanted(run, journal, chosen)).sounds)


def lanes_that_sound(run: Run, numbers: Iterable[int]) -> list[int]:
    """The places of the lanes with these numbers; a number that the session has no lane for is left out."""
    index = {lane.number: place for place, lane in enumerate(run.timeline.lanes)}
    return [index[number] for number in numbers if number in index]


def spoken(run: Run, sounds: Iterable[Sound]) -> tuple[int, str] | None:
    """When something is spoken because of these sounds (on the boot clock), and what: a section's name, after its beep.

    None if nothing is; the name is "" if nobody starts a section there.
    """
    starts = [sound.at_ms for sound in sounds if SECTION_START in sound.orders]
    return (starts[-1] + LONG_MS, _section_name(run, starts[-1])) if starts else None


def _section_name(run: Run, boot_ms: int) -> str:
    """The section that somebody starts at that instant."""
    if run.begun is None:
        return ""
    at_ms = boot_ms - run.begun.boot_ms
    for track in run.timeline.tracks:
        place = bisect_right(track.sendoffs, at_ms) - 1
        if place >= 0 and track.sendoffs[place] == at_ms:
            return run.timeline.plan.sections[track.pass_at(place).section].name
    return ""


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
