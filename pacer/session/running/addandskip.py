"""Add and skip lines while a session runs.

An added line is the last in its section, so that every other line keeps its number on the page, in the
journal and in recorded times; the course knows when its turn comes (`Course.order`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.model import Flexible, Group, Item, Pool, Section, SetLine
from pacer.plan.notation.planreader import read_line
from pacer.plan.planlines import all_items
from pacer.plan.problem import Problem, Unreadable
from pacer.plan.words.ownwords import OwnWords
from pacer.session.journal.entries import LineLeftOut, LinePutIn
from pacer.session.running.countchanges import for_good, goes_on_ms, no_time, shorter
from pacer.session.running.runstate import Run, as_planned, laid, now_of, repeat_key, sent_on
from pacer.timeline.course import Course, TakeUp
from pacer.timeline.deviation import Spot
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.laneline import LaneLine
from pacer.timeline.track import Pass, Track


def lines_of(text: str, pool: Pool, gear: OwnWords | tuple[str, ...] = ()) -> tuple[Item, ...]:
    """The items in `text`. Raises Unreadable if it is not a line, or has a section's name or a flexible count.

    >>> from pacer.plan.notation.planreader import pool_from_text
    >>> [line.count.entries for line in lines_of("10 x 100 on 1:40", pool_from_text("25 m"))]
    [(10,)]
    """
    sections = read_line(text, pool, gear).sections
    named = [section for section in sections if section != Section("", section.items, cue=section.cue)]
    if named or len(sections) > 1:
        span = (named or sections)[-1].span
        raise _refused(text, span, tr("only sets can be added, not a section"), tr("delete the section's name"))
    items = sections[0].items
    for item in all_items(items):
        if isinstance(item, SetLine) and isinstance(item.count, Flexible):
            raise _refused(
                text,
                item.span,
                tr("pacer can't choose the number of repeats here"),
                tr("write one number, such as {most} x", most=item.count.most),
            )
    return tuple(map(_without_place, items))


def _refused(text: str, span, message: str, hint: str) -> Unreadable:
    line, column, end = (span.line, span.column, span.end_column) if span else (1, 1, 2)
    return Unreadable([Problem(line, column, end, message, hint, text.splitlines()[line - 1])])


def _without_place(item: Item) -> Item:
    """The item without its span, because it is not on the plan's page."""
    if isinstance(item, Group):
        return replace(item, items=tuple(map(_without_place, item.items)), span=None)
    return replace(item, span=None)


# -- adding ----------------------------------------------------------------------------------------------


class Place(NamedTuple):
    """Where a lane swims an added line: after `spot` in `section`; what stays of its track, and where it continues."""

    section: int
    spot: Spot
    track: Track
    entry: TakeUp


def put_in(run: Run, entry: LinePutIn) -> Run:
    """Let lanes swim an added line next. Raises CannotRun if it is not a line or has no entry for one of them."""
    plan, squad = run.timeline.plan, run.timeline.squad
    try:
        items = lines_of(entry.text, plan.pool, squad.words)
    except Unreadable as error:
        raise CannotRun(
            [Finding(Severity.STOPS, None, (), error.problems[0].message, error.problems[0].hint)]
        ) from None
    places, course = places_for(run, entry, items), run.course
    for section in sorted({place.section for place in places.values()}):
        course = course.put_in(
            section, items, {lane: place.spot for lane, place in places.items() if place.section == section}
        )
    made = laid(
        run,
        {lane: place.track for lane, place in places.items()},
        {lane: place.entry for lane, place in places.items()},
        entry.at_ms,
        course=course,
    )
    lines = [sum(isinstance(item, SetLine) for item in all_items(section.items)) for section in plan.sections]
    if not any(
        found.laneline.number > lines[found.section] for lane in places for found in made.timeline.tracks[lane].passes
    ):
        raise no_time(run, [place.section for place in places.values()])
    return (
        for_good(run, made, {lane: place.entry for lane, place in places.items()}, entry.at_ms)
        if entry.in_time
        else made
    )


def places_for(run: Run, entry: LinePutIn, items: tuple[Item, ...]) -> dict[int, Place]:
    """Where each of the lanes swims the added line, which is `items`; lanes without such a place are left out.

    It comes after the current line. A lane that waits for a section begins it with the added line, unless other lanes
    with the line are still in the section that this lane has finished, or, with `in_wait`, all of the line ends in time
    for the section: then it swims the line there. A section that was
    started on deck and has not begun yet begins with the line for everybody, and so does a section for which some lanes
    wait because theirs was cut short, while the others only come home. A lane that has swum everything continues with
    the line. With `one_place`, lanes that are behind swim first what another of them has begun in the same round: so
    the line has one place on the page.
    """
    ways = {}
    for lane in run.lanes(entry.lanes):
        if not run.timeline.squad.lanes[lane].swimmers:
            continue
        kept, at = as_planned(run, lane, entry.at_ms)
        ways[lane] = kept, at, kept.passes[-1] if kept.passes else None
    left_in = {
        at.section
        for _, at, here in ways.values()
        if here is not None and at is not None and at.section == here.section
    }
    coming_home = {
        here.section
        for lane, (_, _, here) in ways.items()
        if here is not None and now_of(run.timeline.tracks[lane], entry.at_ms) < here.end_ms
    }
    through = {lane: here is not None and _to_its_end(run.course, lane, here) for lane, (_, _, here) in ways.items()}
    cut_short = {
        here.section
        for lane, (_, at, here) in ways.items()
        if here is not None and at is not None and at.section > here.section and not through[lane]
    }
    open_sections = left_in | coming_home - cut_short
    made = {}
    for lane, (kept, at, here) in ways.items():
        there = None
        if here is not None and through[lane]:
            there = Place(
                here.section, (here.round, here.place), kept, _behind(run.course, lane, here, kept, entry.leave_ms)
            )
        still_there = (
            at is not None
            and here is not None
            and there is not None
            and here.section < at.section
            and not sent_on(run, lane, here)
            and (here.section in open_sections or entry.in_wait and _fits(run, lane, there, items, at))
        )
        if there is not None and (at is None or still_there):
            made[lane] = there
        elif at is not None:
            made[lane] = Place(at.section, _spot(run, lane, len(kept.sendoffs)) if at.ordinal else (1, None), kept, at)
    return _at_one_place(run.course, made) if entry.one_place else made


def waits_for_section(track: Track, at_ms: int) -> bool:
    """Whether a lane has left for the last time in its section, and another one is ahead."""
    index = track.index_at(now_of(track, at_ms))
    return 0 <= index < len(track.sendoffs) - 1 and track.pass_at(index).section != track.pass_at(index + 1).section


def _fits(run: Run, lane: int, there: Place, items: tuple[Item, ...], until: TakeUp) -> bool:
    """Whether a lane that goes swims all of an added line at a place before the common start for which it waits."""
    start = run.timeline.gates.get(until.section)
    if until.ordinal or start is None or run.timeline.tracks[lane].paused_ms is not None:
        return False
    course, section = run.course.put_in(there.section, items, {lane: there.spot}), there.section
    known = {row.number for row in run.course.program(section, lane) if isinstance(row, LaneLine)}
    new = [row for row in course.program(section, lane) if isinstance(row, LaneLine) and row.number not in known]
    track = Track()
    course.swim_until(track, lane, there.entry, start - run.timeline.plan.changeover_ms)
    swum = sum(found.count for found in track.passes if found.laneline.number not in known)
    return bool(new) and swum == sum(row.count for row in new)


def _at_one_place(course: Course, places: Mapping[int, Place]) -> dict[int, Place]:
    """In each round of a section, let all lanes swim the added line after the last line that one of them has begun.

    A line that a lane sits out whole counts for the other lanes only.
    """
    begun: dict[tuple[int, int], set[int]] = {}
    ahead: dict[int, list[tuple[int, int]]] = {}
    for lane, place in places.items():
        round, after = place.spot
        lines, before = _lines_swum(course, lane, place.section, round, after)
        ahead[lane] = lines[before:]
        if before:
            begun.setdefault((place.section, round), set()).add(lines[before - 1][1])
    made = {}
    for lane, place in places.items():
        numbers = begun.get((place.section, place.spot[0]), ())
        there = [spot for spot, number in ahead[lane] if number in numbers]
        made[lane] = place._replace(spot=(place.spot[0], there[-1])) if there else place
    return made


def _lines_swum(
    course: Course, lane: int, section: int, round: int, after: int | None
) -> tuple[list[tuple[int, int]], int]:
    """The lines that a lane swims in a round, each as its place and number, and how many come up to place `after`.

    Those after the place at which its section ends for lack of time are not among them.
    """
    rows, order, sat_out = course.program(section, lane), list(course.order(section, lane, round)), {}
    if course.deviation.missed:
        sat_out = course.deviation.sat_out(lane, section)
    swum, end = order, course.deviation.last.get((lane, section))
    if end is not None and end.round < round:
        swum = []
    elif end is not None and end.round == round and end.place in order:
        swum = order[: order.index(end.place) + 1]
    lines = [
        (spot, row.number)
        for spot in swum
        if isinstance(row := rows[spot], LaneLine)
        and len(sat_out.get((round, spot), ())) < course.pass_line(section, lane, round, spot).count
    ]
    passed = () if after is None else order[: order.index(after) + 1]
    return lines, sum(spot in passed for spot, _ in lines)


def _to_its_end(course: Course, lane: int, here: Pass) -> bool:
    """Whether this pass completes the lane's section, with nothing cut short by time or by a press."""
    if course.plan.sections[here.section].for_ms is not None or here.round < course.rounds(here.section, lane):
        return False
    program, order = course.program(here.section, lane), list(course.order(here.section, lane, here.round))
    if here.place not in order:
        return False
    sat_out = course.deviation.sat_out(lane, here.section)
    counts = [
        0 if isinstance(program[place], int) else course.pass_line(here.section, lane, here.round, place).count
        for place in order
    ]
    left = [set(range(count)) - sat_out.get((here.round, place), frozenset()) for place, count in zip(order, counts)]
    index = order.index(here.place)
    return left[index] <= set(range(here.skipped + here.count)) and not any(left[index + 1 :])


def _behind(course: Course, lane: int, here: Pass, kept: Track, leave_ms: int) -> TakeUp:
    """Continue after a line that was swum to its end: an interval after its last repeat, but not before `leave_ms`."""
    ordinal = here.ordinal - here.skipped + course.pass_line(here.section, lane, here.round, here.place).count
    return TakeUp(
        here.section, ordinal, max(goes_on_ms(kept, here), leave_ms), kept.starts.get(here.section), exact=True
    )


def _spot(run: Run, lane: int, index: int) -> Spot:
    """The spot right before a lane's repeat `index`.

    It is after the repeat's own pass if that has begun, otherwise after the pass before it in the round.
    """
    track = run.timeline.tracks[lane]
    found = track.pass_at(index)
    if track.repeat_in_line(index):
        return found.round, found.place
    order = list(run.course.order(found.section, lane, found.round))
    before = order.index(found.place)
    return found.round, order[before - 1] if before else None


# -- skipping --------------------------------------------------------------------------------------------------


def ahead(track: Track, at_ms: int, section: int, line: int) -> bool:
    """Whether a lane still has to leave on a repeat of a line."""
    index = track.index_at(now_of(track, at_ms)) + 1
    return any(
        (found.section, found.laneline.number) == (section, line) and found.first + found.count > index
        for found in track.passes[track.pass_of[index] if index < len(track.sendoffs) else len(track.passes) :]
    )


def lines_ahead(run: Run, at_ms: int, lanes: Iterable[int] | None = None) -> tuple[tuple[int, int], ...]:
    """The lines, as section index and number, on which some lanes still have to leave, in the order they come."""
    seen: dict[tuple[int, int], int] = {}
    for lane in run.lanes(None if lanes is None else tuple(lanes)):
        track = run.timeline.tracks[lane]
        index = track.index_at(now_of(track, at_ms)) + 1
        for found in track.passes[track.pass_of[index] :] if index < len(track.sendoffs) else ():
            seen.setdefault((found.section, found.laneline.number), max(found.start_ms, track.sendoffs[index]))
    return tuple(sorted(seen, key=lambda key: (key[0], seen[key])))


def leave_out(run: Run, entry: LineLeftOut) -> Run:
    """Let lanes skip the rest of a line."""
    course, tracks, entries = run.course, {}, {}
    for lane in run.lanes(entry.lanes):
        track = run.timeline.tracks[lane]
        if not ahead(track, entry.at_ms, entry.section, entry.line):
            continue
        kept, at = as_planned(run, lane, entry.at_ms)
        deviation = course.deviation
        index = len(kept.sendoffs)
        straight_on = track.pass_at(index - 1) if index > track.index_at(now_of(track, entry.at_ms)) + 1 else None
        if straight_on is not None and (straight_on.section, straight_on.laneline.number) == (
            entry.section,
            entry.line,
        ):
            fewer = track.index_at(now_of(track, entry.at_ms)) + 1 - index
            tracks[lane], entries[lane] = shorter(kept, straight_on, at, fewer, track.starts.get(entry.section))
            deviation = deviation.with_more(lane, entry.section, straight_on.round, straight_on.place, fewer)
            spot: Spot = straight_on.round, straight_on.place
        else:
            assert at is not None, "something of the line is ahead"
            spot = _spot(run, lane, index) if at.section == entry.section and at.ordinal else (0, None)
            found, swum = track.pass_at(index), track.repeat_in_line(index) if at.ordinal else 0
            last = kept.pass_at(index - 1) if index else None
            if last is not None and (last.section, last.laneline.number) == (entry.section, entry.line):
                kept.again = False  # it is skipped with its set
                if repeat_key(track, index - 1) == repeat_key(track, index):
                    at = at._replace(ordinal=at.ordinal + 1)
                    spot, swum = (found.round, found.place), track.repeat_in_line(index) + 1
            tracks[lane], entries[lane] = kept, at
            if swum and (found.section, found.laneline.number) == (entry.section, entry.line):
                deviation = deviation.with_more(
                    lane, entry.section, found.round, found.place, swum - found.laneline.count
                )
        course = course.but(deviation=deviation.with_out(lane, entry.section, entry.line, spot))
    return laid(run, tracks, entries, entry.at_ms, course=course)
