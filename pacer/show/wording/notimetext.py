"""Sets that a lane no longer has time for because of a change. No Kivy."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain, combinations

from pacer.language import tr
from pacer.plan.model import Plan
from pacer.session.journal.entries import CountChanged, LaneJoined, LinePutIn, Moved, SwimmerChanged, SwimmerJoined
from pacer.session.running.outlook import Outlook
from pacer.session.running.runstate import Run, now_of
from pacer.show.wording.settext import line_words
from pacer.show.wording.waitingtext import named, section_name
from pacer.timeline.course import Course
from pacer.timeline.laneline import LaneLine
from pacer.timeline.track import Track

#: A set of a lane: its section, round and number.
Key = tuple[int, int, int]

KINDS_TOLD = 2  #: this many kinds of lanes are told apart


def no_rest(told: Outlook, lanes: Sequence[int]) -> list[str]:
    """The lanes that leave on the next section though they had something left of theirs: there is no time for it."""
    if told.was is None or told.entry is None:
        return []
    at_ms, gone = told.entry.at_ms, dict[int, list[int]]()
    for lane in lanes:
        track, will = (run.timeline.tracks[lane] for run in (told.was, told.run))
        last, following = track.index_at(now_of(track, at_ms)), will.index_at(at_ms) + 1
        if last < 0 or following >= len(will.sendoffs):
            continue
        here = track.pass_at(last).section
        left = track.again or last + 1 < len(track.sendoffs) and track.pass_at(last + 1).section == here
        if left and will.pass_at(following).section > here:
            gone.setdefault(here, []).append(lane)
    return [
        tr(
            "{lanes}: no time for the rest of {section}",
            lanes=named(told.run, who),
            section=section_name(told.run, here),
        )
        for here, who in gone.items()
    ]


def lost(told: Outlook) -> list[str]:
    """What lanes lose at the end of a section because the change lets them swim something before it.

    `lane 3: no time for 100 back easy`; in few words if many lanes lose different sets.
    """
    entry, before = told.entry, told.was
    adds = (
        isinstance(entry, LinePutIn | SwimmerJoined | SwimmerChanged)
        or isinstance(entry, CountChanged)
        and entry.by > 0
    )
    if before is None or not (adds or isinstance(entry, Moved) and entry.step < 0):
        return []
    assert entry is not None, "it adds something"
    kinds: dict[str, list[int]] = {}
    for lane in told.lanes:
        was, will = (run.timeline.tracks[lane.lane] for run in (before, told.run))
        if will.paused_ms is None and (gone := _gone(was, will, entry.at_ms, told.run.timeline.plan)):
            kinds.setdefault(", ".join(gone), []).append(lane.lane)
    if len(kinds) > KINDS_TOLD:
        every = sorted({lane for lanes in kinds.values() for lane in lanes})
        return [tr("{lanes}: no time for all sets", lanes=named(told.run, every))]
    return [tr("{lanes}: no time for {what}", lanes=named(told.run, lanes), what=what) for what, lanes in kinds.items()]


def parts(told: Outlook) -> list[str]:
    """Where a lane that joins another one leaves at other times than that: sections that each lane begins by itself;
    and which joined lanes the change parts, as a joined lane keeps its own send-offs.
    """
    entry = told.entry
    if not isinstance(entry, LaneJoined):
        return parted(told)
    mine, its = (_firsts(told.run.timeline.tracks[lane], entry.leave_ms) for lane in (entry.lane, entry.leader))
    apart = [section for section, at_ms in mine.items() if its.get(section, at_ms) != at_ms]
    if not apart:
        return []
    lane, section = named(told.run, [entry.lane]), section_name(told.run, min(apart))
    return [tr("{lane} starts in its own time from {section} on", lane=lane, section=section)]


def parted(told: Outlook) -> list[str]:
    """The joined lanes that were about to leave together and are not any more: `lanes 3–4 no longer leave together`."""
    run, was, entry = told.run, told.was, told.entry
    if was is None or entry is None:
        return []
    pages: dict[tuple[int, int], list[int]] = {}
    were, are = was.course.deviation.leaders, run.course.deviation.leaders
    for lane in range(len(run.timeline.tracks)) if were and are else ():
        pages.setdefault((were.get(lane, lane), are.get(lane, lane)), []).append(lane)
    made = []
    for lanes in pages.values():
        mates = [
            pair
            for pair in combinations(lanes, 2)
            if leave_together(was, pair, entry.at_ms) and leave_together(run, pair, entry.at_ms) is False
        ]
        if mates:
            made.append(tr("{lanes} no longer leave together", lanes=named(run, sorted(set(chain(*mates))))))
    return made


def mates_of(course: Course, lane: int) -> list[int]:
    """The lanes that a lane is joined to: it follows them, they follow it, or both follow a third one."""
    leaders = course.deviation.leaders
    if not leaders:
        return []
    mine = leaders.get(lane, lane)
    return [other for other in range(len(course.squad.lanes)) if other != lane and leaders.get(other, other) == mine]


def leave_together(run: Run, lanes: tuple[int, int], at_ms: int) -> bool | None:
    """Whether two lanes leave together on what both still have to swim of their next sets.

    None if nobody can say so: both are paused, or one has nothing left to swim.
    """
    tracks = [run.timeline.tracks[lane] for lane in lanes]
    paused = [track.paused_ms is not None for track in tracks]
    if any(paused):
        return None if all(paused) else False
    ahead = [_next_leaves(track, at_ms) for track in tracks]
    return all(one == other for one, other in zip(*ahead)) if all(ahead) else None


def _next_leaves(track: Track, at_ms: int) -> list[int]:
    """When a lane still leaves in the set in which it leaves next."""
    first = track.index_at(at_ms) + 1
    if first >= len(track.sendoffs):
        return []
    found = track.pass_at(first)
    return track.sendoffs[first : found.first + found.count]


def _firsts(track: Track, from_ms: int) -> dict[int, int]:
    """When a lane first leaves in each of its sections, from an instant on."""
    found: dict[int, int] = {}
    for index, leaves_ms in enumerate(track.sendoffs):
        if leaves_ms >= from_ms:
            found.setdefault(track.pass_at(index).section, leaves_ms)
    return found


def _gone(was: Track, will: Track, at_ms: int, plan: Plan) -> list[str]:
    """The sets of which fewer repeats are ahead, and how many: `2 of 4 × 50`.

    A section that lasts a written time has as many rounds as there is time for, so that nothing is lost in it.
    """
    (before, lines), (after, _) = _ahead(was, at_ms), _ahead(will, at_ms)
    made = []
    for key, n in before.items():
        if plan.sections[key[0]].for_ms is not None:
            continue
        gone, words = len(n - after.get(key, set())), line_words(lines[key])[0]
        if gone:
            made.append(words if gone >= lines[key].count else tr("{n} of {words}", n=gone, words=words))
    return made


def _ahead(track: Track, at_ms: int) -> tuple[dict[Key, set[int]], dict[Key, LaneLine]]:
    """Which repeats of each set are ahead, and the sets."""
    found: dict[Key, set[int]] = {}
    lines = {}
    for index in range(track.index_at(at_ms) + 1, len(track.sendoffs)):
        each = track.pass_at(index)
        key = each.section, each.round, each.laneline.number
        found.setdefault(key, set()).add(track.repeat_in_line(index))
        lines[key] = each.laneline
    return found, lines
