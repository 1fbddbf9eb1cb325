"""Swimmers whom a change parts from their leader: they miss a repeat, swim less of it, or stop at another wall."""

from __future__ import annotations

from collections.abc import Iterable, Set

from pacer.session.running.brokenrepeats import swum_of
from pacer.session.running.instant import late, lates
from pacer.session.running.runstate import RepeatKey, is_ahead, now_of, repeat_key
from pacer.session.running.swumtrack import last_touch
from pacer.session.running.whereabouts import last_swims, sides, span_of, stops, swims_by_number
from pacer.timeline.timeline import Timeline


def missing(was: Timeline, will: Timeline, at_ms: int) -> tuple[tuple[int, int], ...]:
    """The lanes in which swimmers don't leave any more on the repeat that others have left on, and how many they are.

    They miss nothing if the lane swims that repeat again, and no more than the others if it doesn't count for them. Of
    a lane that leaves again after a pause, they are those who had not left at the pause.
    """
    made = []
    for lane, (old, new) in enumerate(zip(was.tracks, will.tracks)):
        if old is new:
            continue
        was_here, here = ({one.number for one in each.squad.lanes[lane].swimmers} for each in (was, will))
        here &= was_here  # who comes now misses nothing
        missed = _missed(will, lane, at_ms, here)
        if old.paused_ms is None or new.paused_ms is not None:
            missed -= _missed(was, lane, at_ms, here)
            if (last := new.index_at(now_of(new, at_ms))) >= 0:  # it may not be the repeat that they were on before
                missed -= _missed(was, lane, new.sendoffs[last], here)
        if missed:
            made.append((lane, len(missed)))
    return tuple(made)


def still_missing(was: Timeline, will: Timeline, at_ms: int, lanes: Iterable[int]) -> tuple[tuple[int, int], ...]:
    """Those of `lanes` in which swimmers miss, with and without the change, a repeat from which others are not back."""
    made = []
    for lane in lanes:
        old, new = was.tracks[lane], will.tracks[lane]
        last = new.index_at(now_of(new, at_ms))
        home = last < 0 or last_touch(new, last, predicted=True) <= at_ms
        if home and not any(since <= at_ms < until for since, until in stops(will, lane)):
            continue
        if old.paused_ms is not None and new.paused_ms is None:
            continue  # `missing` has them
        here = {one.number for one in will.squad.lanes[lane].swimmers}
        if missed := _missed(was, lane, at_ms, here) & _missed(will, lane, at_ms, here):
            made.append((lane, len(missed)))
    return tuple(made)


def _missed(timeline: Timeline, lane: int, at_ms: int, here: Set[int]) -> set[tuple[RepeatKey, int]]:
    """Who of those who are `here` never leaves on the repeat on which their leader has left last, or on the whole line
    if it is swum straight through: the repeat, and their numbers.
    """
    track, index = timeline.tracks[lane], missed_repeat(timeline, lane, at_ms)
    if index is None or track.again:
        return set()
    key, found = repeat_key(track, index), track.pass_at(index)
    if is_ahead(track, index):
        return set()
    first = index if found.laneline.own is None else found.first
    behind, leaves_by = lates(track), track.bounds(first)[0]
    return {
        (key, number)
        for place, number in enumerate(found.laneline.who)
        if number in here and behind[number].get(first, found.leaves(first, place)) > leaves_by
    }


def missed_repeat(timeline: Timeline, lane: int, at_ms: int) -> int | None:
    """The repeat (an index of the lane's track) that those in `missing` miss; None if the lane has not left yet."""
    track = timeline.tracks[lane]
    index = track.index_at(now_of(track, at_ms))
    return None if index < 0 else index


def swims_less(was: Timeline, will: Timeline, lane: int, *, unless_left: bool = False) -> int:
    """How much less than its leader a swimmer of the lane swims at most of the repeats that are newly broken off.

    `unless_left`: also of those on which they would have left and don't, which they lose as far as the leader swims.
    """
    old, track, most = was.tracks[lane], will.tracks[lane], 0
    cuts = track.cuts.keys() - old.cuts.keys()
    if unless_left:
        cuts |= track.closed.keys() - old.closed.keys()
    here = {swimmer.number for swimmer in will.squad.lanes[lane].swimmers}
    if not unless_left:  # who goes to another lane swims home in this one
        here.update([number for index in cuts for number in track.pass_at(index).laneline.who])
    behinds = lates(track)
    for number in here:
        behind, less = behinds.get(number, {}), 0
        planned = late(old, number) if unless_left else behind
        for index in sorted(cuts):
            found = track.pass_at(index)
            who = found.laneline.who
            if number not in who[1:]:
                continue
            swimmer, led = who.index(number), behinds[who[0]]
            if unless_left and led.get(index, found.leaves(index, 0)) > track.bounds(index)[0]:
                continue  # the leader is too late for it, too
            if behind.get(index, found.leaves(index, swimmer)) <= track.bounds(index)[0]:
                less += swum_of(will, lane, index) - swum_of(will, lane, index, None, swimmer)
            elif unless_left and planned.get(index, found.leaves(index, swimmer)) <= old.bounds(index)[0]:
                less += swum_of(will, lane, index)
        most = max(most, less)
    return most if most * 1000 >= span_of(will) else 0  # less than a length is how thirds of a metre are rounded


def walls(timeline: Timeline, lane: int, at_ms: int) -> set[bool]:
    """The walls at which the swimmers of a lane stop, or stand already at `at_ms`: true for the far one."""
    track, swims, span = timeline.tracks[lane], last_swims(timeline, lane, at_ms), span_of(timeline)
    index = track.index_at(now_of(track, at_ms))
    here = len(track.pass_at(index).laneline.who) if index >= 0 else len(swims)  # others come from another lane
    return {swim is not None and swim.at_far(span) for swim in swims[:here] if swim is None or swim.shape.distance}


def come_far(was: Timeline, will: Timeline, lane: int, at_ms: int) -> tuple[int, ...]:
    """Who comes to a lane (places from 0) and then leaves first from the far wall, without being there."""
    swimmers, span = will.squad.lanes[lane].swimmers, span_of(will)
    new = {one.number for one in swimmers} - {one.number for one in was.squad.lanes[lane].swimmers}
    track = will.tracks[lane]
    top = track.index_at(now_of(track, at_ms))
    if track.paused_ms is not None:  # by the plan that it keeps ahead
        track = track.copy()
        track.paused_ms = None
    far = sides(track, span).far if new else {}
    made = []
    for place, one in enumerate(swimmers):
        ahead = (
            max(found.first, top + 1)
            for found in track.passes
            if one.number in found.laneline.who and found.first + found.count > top + 1
        )
        if (
            one.number in new
            and next(ahead, -1) in far.get(one.number, ())
            and not _is_far(was, will, lane, one.number, at_ms)
        ):
            made.append(place)
    return tuple(made)


def _is_far(was: Timeline, will: Timeline, lane: int, number: int, at_ms: int) -> bool:
    """Whether who comes to a lane stands at the far wall already, or is on the way there."""
    span, swim = span_of(will), swims_by_number(will, lane, at_ms)[number]
    if swim is not None:
        return swim.at_far(span)
    for other, each in enumerate(was.squad.lanes):
        if any(one.number == number for one in each.swimmers):
            swim = swims_by_number(was, other, at_ms)[number]
            return swim is not None and swim.at_far(span)
    return False
