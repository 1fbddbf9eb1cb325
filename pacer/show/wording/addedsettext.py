"""Where lanes swim a set that was just added, and for how much of it there is time. No Kivy."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from pacer.language import tr
from pacer.plan.planlines import numbered_lines
from pacer.session.journal.entries import LinePutIn
from pacer.session.running.addandskip import waits_for_section
from pacer.session.running.finish import going
from pacer.session.running.outlook import LaneOutlook, Outlook
from pacer.session.running.runstate import now_of
from pacer.show.wording.settext import set_words
from pacer.show.wording.waitingtext import named, section_name
from pacer.timeline.track import Pass


def new_set_ms(told: Outlook, lane: int) -> int | None:
    """When a lane first leaves on a set that was just added; None if none was, or the lane does not swim it."""
    place = _place(told, lane)
    return None if place is None else told.run.timeline.tracks[lane].sendoffs[place.first]


def _place(told: Outlook, lane: int) -> Pass | None:
    """The lane's first pass through a set that was just added."""
    return next(iter(_passes(told, lane)), None)


def _passes(told: Outlook, lane: int) -> list[Pass]:
    """The lane's passes through sets that were just added."""
    if not isinstance(told.entry, LinePutIn):
        return []
    known, track = _known(told), told.run.timeline.tracks[lane]
    return [
        found
        for found in track.passes
        if found.laneline.number > known[found.section] and track.sendoffs[found.first] >= told.entry.at_ms
    ]


def _known(told: Outlook) -> Counter[int]:
    """How many lines each section (by index) had before."""
    assert told.was is not None, "it was foretold"
    return Counter(section for section, *_ in numbered_lines(told.was.course.plan))


def leaves(told: Outlook, lane: LaneOutlook) -> tuple[str, int | None]:
    """When a lane leaves next; if a set was added, when it leaves on that, and whether that comes first."""
    new_ms = new_set_ms(told, lane.lane)
    if new_ms is None:
        return "", lane.leaves_ms
    if len({_after(told, each.lane) for each in told.lanes if _place(told, each.lane) is not None}) > 1:
        return _after(told, lane.lane)[2], new_ms
    if new_ms == lane.leaves_ms:
        return _next(told, lane.lane), new_ms
    later = [each.lane for each in told.lanes if new_set_ms(told, each.lane) not in (None, each.leaves_ms)]
    this = all(_after_this_one(told, each) for each in later)
    return (tr("after this one") if this else _after(told, lane.lane)[2]), new_ms


def _next(told: Outlook, lane: int) -> str:
    """Where a lane swims a set that was just added and comes next: for a lane that waits for its section, in that wait
    or at the section's start.
    """
    before, new = told.was, _place(told, lane)
    assert told.entry is not None and before is not None and new is not None, "it was added"
    track, at_ms = before.timeline.tracks[lane], told.entry.at_ms
    if not waits_for_section(track, at_ms):
        return tr("next")
    waits_for = track.pass_at(track.index_at(now_of(track, at_ms)) + 1).section
    name = section_name(told.run, waits_for)
    return (
        tr("next, before {section}", section=name)
        if new.section < waits_for
        else tr("first in {section}", section=name)
    )


def _after_this_one(told: Outlook, lane: int) -> bool:
    """Whether a lane swims a set that was just added right after the one that it has begun."""
    track, new = told.run.timeline.tracks[lane], _place(told, lane)
    assert told.entry is not None and new is not None, "it was added"
    index = track.index_at(told.entry.at_ms)
    if index < 0:
        return False
    here, before = track.pass_at(index), track.passes[track.passes.index(new) - 1]
    return (before.section, before.round, before.place) == (here.section, here.round, here.place)


def _after(told: Outlook, lane: int) -> tuple[int, int, str]:
    """After which set a lane swims one that was just added: its section, its number there, in words."""
    new, track = _place(told, lane), told.run.timeline.tracks[lane]
    assert new is not None, "it swims it"
    here = track.passes.index(new)
    if not here or track.passes[here - 1].section != new.section:
        return new.section, 0, tr("first in {section}", section=section_name(told.run, new.section))
    before = track.passes[here - 1]
    return (
        new.section,
        before.laneline.number,
        tr("after {set_words}", set_words=set_words(before.laneline, track.repeats_of(before))),
    )


def new_set_cut(told: Outlook) -> list[str]:
    """The lanes that were to swim a set that was just added, and have no time for it, or not for all of it."""
    if not isinstance(told.entry, LinePutIn):
        return []
    run = going(told.run, told.entry.at_ms)
    none: list[int] = []
    some: dict[tuple[int, int], list[int]] = {}
    for lane in run.lanes(told.entry.lanes):
        if not run.timeline.squad.lanes[lane].swimmers or run.timeline.tracks[lane].paused_ms is not None:
            continue  # nobody knows how much time a paused lane has once it is resumed
        new = _passes(replace(told, run=run), lane)
        swum = sum(found.count for found in new)
        if not new:
            none.append(lane)
        elif swum < (of := _written(told, lane, new[0].section)):
            some.setdefault((swum, of), []).append(lane)
    said = [tr("{lanes}: no time for the new set", lanes=named(run, none))] if none else []
    return said + [
        tr("{lanes}: time for {swum} of {of} repeats", lanes=named(run, lanes), swum=swum, of=of)
        for (swum, of), lanes in some.items()
    ]


def _written(told: Outlook, lane: int, section: int) -> int:
    """How many repeats the sets that were just added to a section have for a lane."""
    rows, known = told.run.course.program(section, lane), _known(told)[section]
    return sum(row.count for row in rows if not isinstance(row, int) and row.number > known)
