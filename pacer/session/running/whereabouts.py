"""Where the swimmers of a lane are at an instant, and when they are back at the wall. Nothing here reads a clock."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Mapping
from fractions import Fraction
from typing import NamedTuple

from pacer.plan.model import Effort
from pacer.session.running.instant import lates, swims_in, swum_at
from pacer.squad.factors import effort_factor, merged_factors
from pacer.squad.squad import behind_ms
from pacer.timeline.shape import Shape
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import NEVER, Track


class Place(NamedTuple):
    """Where a swimmer should be: `along` the pool from the home wall in thousandths of its length.

    `outward` is the direction of swimming; `moving` is false at a wall.
    """

    along: int
    outward: bool
    moving: bool


class Sides(NamedTuple):
    """At which wall the swimmers of a lane are between repeats, by their numbers.

    `far`: the repeats on which a swimmer leaves from the far wall, because the one before ended there. `back`: by
    repeat, from when a swimmer then swims back from the far wall, because the lane gathers at the home wall.
    """

    far: Mapping[int, Collection[int]]
    back: Mapping[int, Mapping[int, int]]


def sides(track: Track, span: int, behind: Mapping[int, Mapping[int, int]] | None = None) -> Sides:
    """The walls at which a lane's swimmers are; `span` is the pool's length in thousandths of the unit.

    `behind`: the repeats on which each swimmer leaves `late`, if that is known. A swimmer who is not in the lane on
    a repeat waits where its leader is after that; if the lane gathers, at the home wall.
    """
    if track.walls is None:
        made = worked_out_sides(track, span, lates(track) if behind is None else behind)
        if not track.final:
            return made
        track.walls = made
    return track.walls


def worked_out_sides(track: Track, span: int, behind: Mapping[int, Mapping[int, int]]) -> Sides:
    every = track.swimmers()
    made = {number: set[int]() for number in every}
    back: dict[int, dict[int, int]] = {number: {} for number in every}
    if all(shape.distance * 1000 // span % 2 == 0 for found in track.passes for shape, _ in found.laneline.kinds):
        return Sides(made, back)
    alike = track.paused_ms is None and not track.closed
    alike = alike and all(found.laneline.who == every for found in track.passes)
    far, last = dict.fromkeys(every, False), dict.fromkeys(every, -1)
    for found in track.passes:
        line = found.laneline
        here = line.who
        for index in range(found.first, found.first + found.count):
            repeat = found.repeat_in_line(index)
            shape = line.shapes[repeat]
            leaves_by, done_by = track.bounds(index)
            for place, number in enumerate(here[:1] if alike else here):
                leaves = behind[number].get(index) or found.leaves(index, place)
                if leaves > leaves_by:
                    continue
                last[number] = index
                if far[number]:
                    made[number].add(index)
                swims = shape.distance * 1000
                if shape.distance and done_by != NEVER:
                    swims = swims_in(shape.ends, line.times(repeat, place), done_by - leaves, span, far[number])
                far[number] ^= swims // span % 2 == 1
            if len(here) < len(every):
                far.update(dict.fromkeys([number for number in every if number not in here], far[here[0]]))
            since, swimmers = track.gathers.get(index, (None, ()))
            walls = {far[number] for number in here}
            if since is not None and len(walls | ({False} if set(swimmers).difference(here) else set())) > 1:
                for number in here:
                    if far[number]:
                        back[number][last[number]] = since
                far = dict.fromkeys(every, False)
    return Sides(dict.fromkeys(every, made[every[0]]) if alike else made, back)


def swim_back_ms(timeline: Timeline, lane: int, base: int | Fraction) -> int:
    """How long a swimmer with this base takes for a length, swum easy."""
    factor = effort_factor(Effort.EASY, merged_factors(timeline.squad, timeline.squad.lanes[lane]))
    return -int(-base * factor * timeline.plan.pool.length // 100)


class LastSwim(NamedTuple):
    """The last swim on which a swimmer left.

    The track's repeat `index`, at `left_ms`; its work and how long it takes. `swims`: how far, in thousandths of the
    unit; less than all of it if it is broken off. `far`: from the far wall. `back_from`: from when they then swim a
    length back to the home wall (None: they don't), which takes `back_takes_ms`.
    """

    index: int  # type: ignore[assignment]  # a tuple's own is used by nobody
    left_ms: int
    shape: Shape
    times: tuple[int, ...]
    swims: int
    far: bool = False
    back_from: int | None = None
    back_takes_ms: int = 0

    def at_far(self, span: int) -> bool:
        """Whether they then stay at the far wall; `span` is the pool's length in thousandths of the unit."""
        return self.back_from is None and (self.swims // span + self.far) % 2 == 1

    @property
    def back_starts_ms(self) -> int:
        """When they swim back: not before they touch."""
        return max(self.touch_ms, self.back_from or 0)

    @property
    def home_ms(self) -> int:
        """When the swimmer is at the wall to stay."""
        return self.touch_ms if self.back_from is None else self.back_starts_ms + self.back_takes_ms

    @property
    def touch_ms(self) -> int:
        """When the swimmer reaches the wall where it ends."""
        ends, times = self.shape.ends, self.times
        if not self.shape.distance or self.swims >= ends[-1] * 1000:
            return self.left_ms + times[-1]
        segment = bisect_right(ends, self.swims // 1000)
        before, start = (times[segment - 1], ends[segment - 1]) if segment else (0, 0)
        return (
            self.left_ms
            + before
            - (self.swims - start * 1000) * (times[segment] - before) // (1000 * (start - ends[segment]))
        )


def crew(timeline: Timeline, lane: int, at_ms: int) -> tuple[int, ...]:
    """Who is in a lane at `at_ms`, by number, in the order in which it left last.

    Those who swim on that repeat, though they may have been moved elsewhere since; those who leave with the lane next;
    and who has been moved elsewhere before that and is still swimming home.
    """
    return tuple(swims_by_number(timeline, lane, at_ms))


def last_swims(timeline: Timeline, lane: int, at_ms: int) -> list[LastSwim | None]:
    """The last swim of each swimmer of the lane's `crew` at `at_ms`, in the same order; None before the first."""
    return [*swims_by_number(timeline, lane, at_ms).values()]


def swims_by_number(
    timeline: Timeline, lane: int, at_ms: int, *, broken_off: bool = False, to_come: bool = False
) -> dict[int, LastSwim | None]:
    """The last swim of each swimmer of the lane's `crew` at `at_ms`, by number; None before the first.

    `broken_off`: all are told to break off then. `to_come`: swimmers still to leave on the leader's last repeat count
    as having left.
    """
    track = timeline.tracks[lane]
    passes, pass_of, span = track.passes, track.pass_of, span_of(timeline)
    newest_ms = at_ms if track.paused_ms is None else min(at_ms, track.paused_ms)  # nobody leaves after the pause
    top = bisect_right(track.sendoffs, newest_ms) - 1
    here = dict.fromkeys(passes[pass_of[top]].laneline.who if top >= 0 else ())
    here.update(dict.fromkeys([swimmer.number for swimmer in timeline.squad.lanes[lane].swimmers]))
    behinds = lates(track)
    made: dict[int, LastSwim | None] = {}
    walls = sides(track, span, behinds)
    for number in {**here, **dict.fromkeys(track.swimmers())}:
        for index in range(top, -1, -1):
            found = passes[pass_of[index]]
            line = found.laneline
            repeat = found.repeat_in_line(index)
            if number not in line.who:  # joined the lane later, or was in another one
                continue
            swimmer = line.who.index(number)
            leaves = behinds[number].get(index) or found.leaves(index, swimmer)
            if leaves <= (track.bounds(index)[0] if to_come else min(newest_ms, track.closed.get(index, NEVER))):
                shape = line.shapes[repeat]
                times = line.times(repeat, swimmer)
                far = index in walls.far[number]
                cut = track.cuts.get(index, at_ms if broken_off else None)
                if cut is not None and not shape.distance:  # a timed repeat ends at once
                    times = (max(0, min(times[-1], cut - leaves)),)
                swims = (
                    shape.distance * 1000
                    if cut is None or not shape.distance
                    else swims_in(shape.ends, times, cut - leaves, span, far)
                )
                since = walls.back[number].get(index)
                takes_ms = 0 if since is None else swim_back_ms(timeline, lane, line.bases[swimmer])
                made[number] = LastSwim(index, leaves, shape, times, swims, far, since, takes_ms)
                break
        else:
            made[number] = None
    return {
        number: swim for number, swim in made.items() if number in here or swim is not None and swim.home_ms > at_ms
    }


def _gathered(
    timeline: Timeline, lane: int, swims: dict[int, LastSwim | None], at_ms: int
) -> dict[int, LastSwim | None]:
    """The last swims of a lane that is told at `at_ms` that nobody else leaves: if its swimmers would stop at both
    walls, those at the far one swim back.
    """
    track, span = timeline.tracks[lane], span_of(timeline)
    top = track.index_at(at_ms if track.paused_ms is None else min(at_ms, track.paused_ms))
    here = track.pass_at(top).laneline.who if top >= 0 else ()
    far = {number for number, swim in swims.items() if swim is not None and swim.at_far(span) and number in here}
    since, swimmers = track.gathers.get(top, (at_ms, tuple(swims)))
    if not far or far.issuperset(here) and set(here).issuperset(swimmers):  # others come from another lane
        return swims
    made = dict(swims)
    for number in far:
        if (swim := swims[number]) is not None:
            takes_ms = swim_back_ms(timeline, lane, _base(track, swim.index, number))
            made[number] = swim._replace(back_from=since, back_takes_ms=takes_ms)
    return made


def _base(track: Track, index: int, number: int) -> int | Fraction:
    """The base with which a swimmer swims repeat `index`."""
    line = track.pass_at(index).laneline
    return line.bases[line.who.index(number)]


def stops(timeline: Timeline, lane: int) -> tuple[tuple[int, int], ...]:
    """When the lane was told to break off, and until when somebody in it is still swimming to the home wall."""
    made = []
    for since in sorted(set(timeline.tracks[lane].cuts.values())):
        swims = [swim for swim in last_swims(timeline, lane, since) if swim is not None]
        until = max([swim.home_ms if swim.back_from == since else swim.touch_ms for swim in swims], default=since)
        if until > since:
            made.append((since, until))
    return tuple(made)


def swim_backs(timeline: Timeline, lane: int) -> tuple[tuple[int, int], ...]:
    """When swimmers of the lane were told to swim back from the far wall, and until when one of them still does."""
    made = []
    for since in sorted({since for since, _ in timeline.tracks[lane].gathers.values()}):
        swims = last_swims(timeline, lane, since)
        homes = [swim.home_ms for swim in swims if swim is not None and swim.back_from == since]
        if homes:
            made.append((since, max(homes)))
    return tuple(made)


def span_of(timeline: Timeline) -> int:
    """The pool's length in thousandths of its unit; whole if the pool's length is a whole number of millimetres."""
    length = timeline.plan.pool.length
    return length.numerator * 1000 // length.denominator


def places(timeline: Timeline, lane: int, at_ms: int) -> list[Place]:
    """Where each swimmer of the `crew` of the lane at index `lane` should be, in the same order.

    Swimmers told to break off swim on to the home wall. Who has not left yet waits at the wall from which they leave.
    """
    span, track = span_of(timeline), timeline.tracks[lane]
    swims = swims_by_number(timeline, lane, at_ms)
    far = waits_far(track, sides(track, span), span) if None in swims.values() else ()
    waits = {number: Place(1000, False, False) if number in far else Place(0, True, False) for number in swims}
    return [waits[number] if swim is None else _place(swim, span, at_ms) for number, swim in swims.items()]


def waits_far(track: Track, walls: Sides, span: int) -> frozenset[int]:
    """The swimmers (numbers) whose first repeat in the lane leaves from the far wall: they wait for it there.

    Of a paused lane, by the plan that it keeps ahead: somebody may have come since. `walls`: its `sides`.
    """
    if track.paused_ms is not None and track.passes:
        track = track.copy()
        track.paused_ms = None
        walls = sides(track, span)
    firsts: dict[int, int] = {}
    for found in track.passes if any(walls.far.values()) else ():
        for number in found.laneline.who:
            firsts.setdefault(number, found.first)
    return frozenset(number for number, first in firsts.items() if first in walls.far[number])


def _place(swim: LastSwim, span: int, at_ms: int) -> Place:
    since_ms = at_ms - swim.left_ms
    done = swum_at(swim.shape.ends, swim.times, since_ms) if since_ms < swim.times[-1] else swim.swims
    if done >= swim.swims or not swim.shape.distance:
        if (swim.swims // span + swim.far) % 2 == 0 or at_ms >= swim.home_ms and swim.back_from is not None:
            return Place(0, True, False)
        if swim.back_from is None or at_ms < swim.back_starts_ms:
            return Place(1000, False, False)
        return Place(1000 - (at_ms - swim.back_starts_ms) * 1000 // swim.back_takes_ms, False, True)
    lengths, rest = divmod(done + span * swim.far, span)
    if lengths % 2:
        return Place(1000 - rest * 1000 // span, False, True)
    return Place(rest * 1000 // span, True, True)


def back_ms(timeline: Timeline, lane: int, at_ms: int, *, broken_off: bool, to_come: bool = False) -> int:
    """The earliest send-off for which everybody in the lane is back at the wall in time; `at_ms` if nobody is swimming.

    `broken_off`: all are told to break off at `at_ms`. Otherwise those who are swimming finish, and with `to_come` also
    those still to leave on the leader's last repeat. After a repeat that was broken off, or if somebody then swims back
    from the far wall, nobody leaves before all are home.
    """
    track = timeline.tracks[lane]
    spacing_ms, cuts = timeline.squad.lanes[lane].spacing_ms, track.cuts
    spacing_ms = min([spacing_ms, *(found.laneline.spacing_ms for found in track.passes)])  # sets may have their own
    swims = swims_by_number(timeline, lane, at_ms, broken_off=broken_off, to_come=to_come)
    if broken_off or not to_come or track.paused_ms is not None:
        swims = _gathered(timeline, lane, swims, at_ms)
    broken_off = broken_off or any(swim is not None and swim.back_from is not None for swim in swims.values())
    order = {swimmer.number: place for place, swimmer in enumerate(timeline.squad.lanes[lane].swimmers)}
    return max(
        [
            at_ms,
            *(
                swim.home_ms
                - (0 if broken_off or swim.index in cuts else behind_ms(order.get(number, place), spacing_ms))
                for place, (number, swim) in enumerate(swims.items())
                if swim is not None and swim.home_ms > at_ms
            ),
        ]
    )


def far_starts(timeline: Timeline, lane: int, at_ms: int) -> set[tuple[int, int, int]]:
    """The lines ahead that the lane's leader begins at the far wall."""
    track = timeline.tracks[lane]
    far = sides(track, span_of(timeline)).far
    return {
        (found.section, found.round, found.laneline.number)
        for found in track.passes
        if found.start_ms > at_ms and found.first in far[found.laneline.who[0]]
    }
