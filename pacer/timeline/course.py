"""Walk through the plan: the lines one after the other, the sections through their common starts.

The rules are the package's (T7 to T14). The same walk lays out a whole session before it starts, and the
rest of one after a change on deck.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from itertools import groupby
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.model import MAX_REPEATS, MAX_SESSION_MS
from pacer.timeline.cancellation import step
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.laneline import LaneLine
from pacer.timeline.laneprograms import Programs, too_many
from pacer.timeline.shape import up_to
from pacer.timeline.track import Pass, Track


class TakeUp(NamedTuple):
    """Where and when a lane enters the plan: before repeat `ordinal` (from 0) of `section`, leaving at `at_ms`.

    A `for` or `at most` of that section counts from `section_ms`; None means from `at_ms`. The lane swims
    nothing of this section that would end after `limit_ms`. At a section's start, a break before the first
    line counts from `at_ms`, unless `at_ms` is `exact`.
    """

    section: int
    ordinal: int
    at_ms: int
    section_ms: int | None = None
    limit_ms: int | None = None
    exact: bool = False

    @property
    def begun_ms(self) -> int:
        """The start from which a `for` or `at most` counts."""
        return self.at_ms if self.section_ms is None else self.section_ms


class Course(Programs):
    """The walk through the lanes' programs: one section after the other, through their common starts."""

    def lay(
        self,
        tracks: tuple[Track, ...],
        entries: Mapping[int, TakeUp],
        gates: dict[int, int | None],
        soonest_ms: int = 0,
        marks_ms: int = 0,
        alone: Collection[int] = (),
    ) -> dict[int, int | None]:
        """Lay out onto `tracks` everything that the lanes in `entries` still have to swim.

        Lanes in `alone` begin the section that they enter by themselves: they wait for nobody there, and nobody for
        them.

        Lanes not in `entries` are complete. Returns the common starts by section: those in `gates`,
        and the new ones, none of them before `soonest_ms`. The clock shows `marks_ms` past a top at the session's zero.
        """
        reached = max((e.section for e in entries.values()), default=len(self.plan.sections))
        gates = {section: start for section, start in gates.items() if section <= reached}
        sections = self.plan.sections
        ends = {lane: tracks[lane].end_ms for lane in entries}
        ready: dict[int, TakeUp] = dict(entries)
        for number in range(min((e.section for e in entries.values()), default=len(sections)), len(sections)):
            section = sections[number]
            here = {lane: entry for lane, entry in ready.items() if entry.section == number}
            if not here:
                continue
            start = gates.get(number)
            begun = start is not None and any(  # somebody has left since the common start: it stays
                found.section == number and (track.starts.get(number) == start or found.start_ms >= start)
                for track in tracks
                for found in track.passes
            )
            later = {  # they begin it with a later repeat
                entry.begun_ms
                for lane, entry in here.items()
                if entry.ordinal and not any(found.section == number for found in tracks[lane].passes)
            }
            touched: dict[int, int | None] = {}
            for lane, entry in here.items():
                tracks[lane].starts[number] = entry.begun_ms
                touched[lane] = self._swim(tracks[lane], lane, entry)
                if (
                    touched[lane] is None and entry.ordinal
                ):  # it has swum here already; its end here is no earlier than its planned send-off
                    touched[lane] = max(ends[lane], entry.at_ms - self.plan.changeover_ms)
            somebody = any(end is not None for end in touched.values())
            for lane, entry in here.items():
                ready[lane] = TakeUp(number + 1, 0, entry.at_ms)
            if not somebody:
                if not any(found.section == number for track in tracks for found in track.passes):
                    gates.pop(number, None)  # until now somebody was going to swim it
                continue
            by_itself = {lane for lane in alone if lane in here and entries[lane].section == number}
            starts = {entry.begun_ms for lane, entry in here.items() if not entry.ordinal and lane not in by_itself}
            if starts and not begun:
                gates[number] = starts.pop() if len(starts) == 1 else None
            elif len(later) == 1 and not begun:
                gates[number] = later.pop()
            for lane, entry in here.items():
                end = touched[lane]
                if section.for_ms is not None:
                    end = max(end or 0, entry.begun_ms + section.for_ms)
                if end is not None:
                    ends[lane] = max(ends[lane], end)
            if section.run_on:
                for lane, end in touched.items():
                    if end is not None:
                        at = up_to(end + self.plan.changeover_ms + marks_ms, self.plan.clock_ms) - marks_ms
                        ready[lane] = TakeUp(number + 1, 0, at)
            else:
                # Including lanes that already wait for a later section while others finish, but not lanes in the
                # middle of one.
                coming = [
                    lane
                    for lane, entry in ready.items()
                    if entry.section > number and not entry.ordinal and not (lane in alone and entry == entries[lane])
                ]
                free_ms = max([ends[lane] for lane in coming]) + self.plan.changeover_ms
                start = up_to(max(free_ms, soonest_ms) + marks_ms, self.plan.starts_ms) - marks_ms
                for lane in coming:
                    ready[lane] = TakeUp(ready[lane].section, 0, start)
        return gates

    def rejoin(
        self,
        tracks: tuple[Track, ...],
        entries: Mapping[int, TakeUp],
        gates: dict[int, int | None],
        end_ms: int,
        marks_ms: int = 0,
    ) -> dict[int, int | None]:
        """Lay out only the lanes in `entries`, between common starts that stay as they are.

        Of its section, a lane swims what ends in time for the next common start ahead, and is there for that start.
        If there is none ahead, it swims what ends by `end_ms`, or everything if it began together with the others.
        Earlier sections then give way to the last, so that no swim-down is lost; of that, it swims one repeat at least.
        Returns `gates` unchanged. `marks_ms` as in `lay`.
        """
        sections = self.plan.sections
        for lane, entry in entries.items():
            at = entry
            for number in range(entry.section, len(sections)):
                ahead = [
                    start
                    for s in range(number + 1, len(sections))
                    if (start := gates.get(s)) is not None and start > at.at_ms
                ]
                limit: int | None
                if ahead:
                    limit = min(ahead) - self.plan.changeover_ms
                else:
                    limit = None if at.at_ms == gates.get(number) and not at.ordinal else end_ms
                if limit is not None and not ahead:
                    limit = self._before_the_last(lane, at, end_ms, marks_ms)
                tracks[lane].starts[number] = at.begun_ms
                touched = self._swim(tracks[lane], lane, at._replace(limit_ms=limit))
                if touched is None and at.ordinal:  # as in `lay`
                    touched = max(tracks[lane].end_ms, at.at_ms - self.plan.changeover_ms)
                start = gates.get(number + 1)
                if start is None or start <= at.at_ms:
                    start = (
                        at.at_ms
                        if touched is None
                        else up_to(touched + self.plan.changeover_ms + marks_ms, self.plan.clock_ms) - marks_ms
                    )
                at = TakeUp(number + 1, 0, start)
        return gates

    def _before_the_last(self, lane: int, at: TakeUp, end_ms: int, marks_ms: int) -> int:
        """By when a lane has to touch in a section so that it swims all of the last section by `end_ms`.

        In the last section, `end_ms`, or the touch of its first repeat if that is later and nothing of it is swum yet.
        """
        last = len(self.plan.sections) - 1
        if at.section == last:
            return end_ms if at.ordinal else max(end_ms, self._first_touch(lane, at))
        limit = end_ms
        while (touched := self._swim(Track(), lane, at._replace(limit_ms=limit))) is not None:
            start = up_to(touched + self.plan.changeover_ms + marks_ms, self.plan.clock_ms) - marks_ms
            over = (self._swim(Track(), lane, TakeUp(last, 0, start)) or 0) - end_ms
            if over <= 0:
                break
            limit = touched - max(1, over - self.plan.clock_ms)
        return limit

    def _first_touch(self, lane: int, at: TakeUp) -> int:
        """The last touch of the first repeat that a lane swims of a section; 0 if it swims nothing of it."""
        track = Track()
        self._swim(track, lane, at._replace(limit_ms=None))
        if not track.passes:
            return 0
        found = track.passes[0]
        shift = found.start_ms - (0 if found.laneline.own is not None else found.laneline.offsets[found.skipped])
        return shift + self._ends_from(found.laneline, found.skipped)[0]

    def first(self, lane: int, entry: TakeUp) -> tuple[int, int] | None:
        """When the lane first leaves in the section that it enters there, and on which of its repeats (from 0); None if
        it swims nothing of it.
        """
        track = Track()
        self._swim(track, lane, entry)
        return (track.sendoffs[0], track.passes[0].ordinal) if track.sendoffs else None

    def swim_until(self, track: Track, lane: int, entry: TakeUp, limit_ms: int) -> None:
        """Lay onto a track what the lane swims of one section, from `entry` on, that ends by `limit_ms`."""
        self._swim(track, lane, entry._replace(limit_ms=limit_ms))

    def _swim(self, track: Track, lane: int, entry: TakeUp) -> int | None:
        """Lay one lane's section onto its track; return the last touch, or None if the lane swims nothing."""
        step()
        section = self.plan.sections[entry.section]
        program = self.program(entry.section, lane)
        if not program:
            return None
        more = self.deviation.passes(lane, entry.section)
        edited = self.deviation.edits(lane, entry.section)
        sat_out = self.deviation.sat_out(lane, entry.section)
        end = self.deviation.last.get((lane, entry.section))
        limit = entry.limit_ms
        allowed = section.for_ms if section.for_ms is not None else section.at_most_ms
        if allowed is not None:
            limit = entry.begun_ms + allowed if limit is None else min(limit, entry.begun_ms + allowed)
        rounds = MAX_REPEATS if section.for_ms is not None else self.rounds(entry.section, lane)
        at, ordinal, taken_up, last = entry.at_ms, 0, entry.ordinal, None
        sendoffs, pass_of, passes = track.sendoffs, track.pass_of, track.passes
        for number in range(1, rounds + 1):
            before = ordinal
            for place in self.order(entry.section, lane, number) if edited else range(len(program)):
                item = program[place]
                if isinstance(item, int):
                    if ordinal > taken_up or not (taken_up or entry.exact):
                        at += item
                    continue
                if more and (number, place) in more:
                    item = self.pass_line(entry.section, lane, number, place)
                count = item.count
                at_end = end is not None and (number, place) == (end.round, end.place)
                if end is not None and at_end:
                    count = min(count, end.repeats)
                skipped = min(taken_up - ordinal, count) if taken_up > ordinal else 0
                ordinal += skipped
                count -= skipped
                if not count:
                    if at_end:
                        return self._ended(track, last)
                    continue
                shift, ends, finish = at, item.ends, item.end_ms
                if skipped:
                    shift = at if item.own is not None else at - item.offsets[skipped]
                    ends = self._ends_from(item, skipped)
                    finish = max(ends)
                if at_end:
                    finish = max(ends[:count])
                if limit is not None and shift + finish > limit:
                    count = next(kept for kept, done in enumerate(ends) if shift + done > limit)
                    if not count:
                        return self._ended(track, last)
                    finish = max(ends[:count])
                first = len(sendoffs)
                if first + count > MAX_REPEATS:
                    raise CannotRun([too_many(item.line)])
                touch: int | None = shift + finish
                found = Pass(item, entry.section, number, skipped, ordinal, first, count, at, place, shift + finish)
                if sat_out and (number, place) in sat_out:
                    touch = self._swim_some(track, found, sat_out[number, place])
                else:
                    pass_of += [len(passes)] * count
                    passes.append(found)
                    sendoffs += item.leader_leaves(skipped, count, at)
                if touch is not None and (last is None or touch > last):
                    last = touch
                ordinal += count
                if at_end or skipped + count < item.count:
                    return self._ended(track, last)
                at += item.remaining_ms(skipped) if skipped else item.takes_ms
            if last is not None and last > MAX_SESSION_MS:
                break
            if ordinal == before and (
                section.for_ms is not None or not (more or edited)
            ):  # it would swim nothing in another round either
                break
        return self._ended(track, last)

    def _swim_some(self, track: Track, found: Pass, sat_out: Collection[int]) -> int | None:
        """Lay a pass onto a track without the repeats that the lane sits out.

        Returns the last touch, or None if the lane swims none of it.
        """
        line, last = found.laneline, None
        swum = [repeat for repeat in range(found.skipped, found.skipped + found.count) if repeat not in sat_out]
        for _, group in groupby(enumerate(swum), lambda pair: pair[1] - pair[0]):  # repeats without a gap
            repeats = [repeat for _, repeat in group]
            first, count = repeats[0], len(repeats)
            at = found.start_ms + line.leaves(first, 0, found.skipped)
            shift = at if line.own is not None else at - line.offsets[first]
            touch = shift + max(self._ends_from(line, first)[:count])
            track.passes.append(
                found._replace(
                    skipped=first,
                    ordinal=found.ordinal + first - found.skipped,
                    first=len(track.sendoffs),
                    count=count,
                    start_ms=at,
                    end_ms=touch,
                )
            )
            track.pass_of += [len(track.passes) - 1] * count
            track.sendoffs += [found.start_ms + line.leaves(repeat, 0, found.skipped) for repeat in repeats]
            last = touch if last is None else max(last, touch)
        return last

    @staticmethod
    def _ends_from(item: LaneLine, skipped: int) -> Sequence[int]:
        """The line's `ends` if it begins at repeat `skipped`.

        They are relative to the line's start like `ends`, or to that beginning if the line is swum straight through.
        """
        if item.own is None:
            return item.ends[skipped:]
        return tuple(
            [
                max([item.behind(k) + own[i + 1] - own[skipped] for k, own in enumerate(item.own)])
                for i in range(skipped, item.count)
            ]
        )

    @staticmethod
    def _ended(track: Track, last: int | None) -> int | None:
        if last is not None:
            if last > MAX_SESSION_MS:
                raise CannotRun(
                    [
                        Finding(
                            Severity.STOPS,
                            None,
                            (),
                            tr("the session lasts longer than 24 hours"),
                            tr("write fewer rounds or repeats, or a shorter interval"),
                        )
                    ]
                )
            track.end_ms = max(track.end_ms, last)
        return last
