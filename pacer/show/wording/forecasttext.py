"""What a change would do, in words, by the time of day.

For the screen, so in several ways, the longest first. No Kivy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from pacer.language import tr, tr_n
from pacer.plan.times import SECOND_MS, whole_up
from pacer.session.journal.entries import (
    IntervalChanged,
    LeftLate,
    Refitted,
    SectionSet,
    SwimmerJoined,
    TakenBack,
)
from pacer.session.running.outlook import Outlook
from pacer.session.running.runstate import Run
from pacer.show.wording.addedsettext import leaves, new_set_cut, new_set_ms
from pacer.show.wording.leavetext import first_leaves, when
from pacer.show.wording.notimetext import lost, parts
from pacer.show.wording.settext import set_words
from pacer.show.wording.timereadings import count_down, count_up, finish_reading, seconds_to_go
from pacer.show.wording.waitingtext import (
    asides,
    back_in,
    catches,
    catches_in_short,
    in_short,
    named,
    not_left,
    round_cut,
    section_name,
    still_in_short,
    still_miss,
    still_out,
    still_stopping,
    stopped_again,
    waits,
)

#: Changes that don't ask to swim less: if less is swum, it is so that the lane is in time for the next common start.
SLOWER = (IntervalChanged, LeftLate, SwimmerJoined)

MOST_KINDS = 3  #: of lanes that swim more or less, each with its metres
NOTHING_CHANGES = tr("nothing would change")


def ways_of(told: Outlook, at_ms: int) -> tuple[str, ...]:
    """An outlook, asked for at `at_ms`."""
    if told.refused:
        return (told.refused,)
    run = told.run
    earliest = _earliest(told)
    if not told.changes:
        return (
            (
                tr("{earliest}; nothing would change; {sooner}", earliest=earliest, sooner=_sooner(run)),
                tr("{earliest}; nothing would change", earliest=earliest),
                earliest,
            )
            if earliest
            else (
                "; ".join([NOTHING_CHANGES, *still_stopping(told), *still_miss(told)[:1]]),
                NOTHING_CHANGES,
                tr("nothing"),
            )
        )
    lanes, brief = _lanes(told, at_ms), _lanes(told, at_ms, brief=True)
    starts = [
        tr("{section} starts {later}", section=section_name(run, section), later=_later(will - was))
        for section, was, will in told.starts
    ]
    end, gone = finish(told), [*new_set_cut(told), *round_cut(told), *lost(told)]
    wait = [*waits(told), *gone, *parts(told)]
    brief_end = finish(told, brief=True)
    short = [_short(told, at_ms)] if len(lanes) > 1 else brief[:1]
    least = [part for part in [shortest(told, brief_end)] if part] or brief[:1] or starts[:1] or wait[:1]
    before = [*([earliest] if earliest else []), *stopped_again(told)]
    first = [*before, *_tight(told)[-1:]]
    still = [*still_stopping(told), *still_miss(told)[:1]]
    lead = [*first, *still, *still_out(told), *back_in(told), *catches(told)]
    rows = [
        [*before, *tight, *lead[len(first) :], *wait, *said, *miss, *starts, *end]
        for tight in [[way] for way in _tight(told)] or [[]]
        for miss in dict.fromkeys((asides(told), ()))
        for said in (lanes, brief)
    ]
    if stays := [*still_in_short(told), *still_miss(told)[1:]]:  # what an Undo can't bring back is never left out
        lead = [*first, *stays, *still_out(told), *back_in(told), *catches(told)]
        rows = [row for row in rows if {*not_left(told)} <= {*row}]
    rows += [[*lead, *wait, *brief, *end]]
    weighty = in_short(told, bool(gone))
    leave = _leave(told, at_ms) if shortest(told, brief_end) else []  # else `least` says it
    rows += [[*lead, *wait, *short, *end], [*lead, *leave, *least, *wait], [*lead, *weighty, *short, *end]]
    rows += [[*lead, *weighty, *leave, *least]] if weighty or leave else [[*lead, *brief, *brief_end]]
    rows += [
        [*lead, *leave, *least],
        [*lead, *least],
        *([*first, *stays, catch, *least] for catch in catches_in_short(told)),
    ]
    if told.catches and not shortest(told, brief_end):
        rows += [lead]  # rather than when a lane leaves
    if stays and not shortest(told, brief_end):
        rows += [[*first, *still_in_short(told, brief=True), *still_miss(told)[1:], *_leaves(told, at_ms)]]
    if told.tight and not earliest:
        rows += [
            [tr("too tight"), *stays, *each, *least] for each in (*([catch] for catch in catches_in_short(told)), [])
        ]
    ways = tuple(dict.fromkeys("; ".join(row) for row in rows if row)) or (tr("changes what comes later"),)
    if not earliest:
        return ways
    return (*(f"{way}; {_sooner(run)}" for way in ways[:1]), *ways, earliest)


def _sooner(run: Run) -> str:
    """What can be left out where no count can be chosen, as the keys below it say."""
    course, lanes = run.course, range(len(run.timeline.tracks))
    if any(course.rounds(section, lane) > 1 for section in range(len(course.plan.sections)) for lane in lanes):
        return tr("to finish sooner, cut a repeat or a round, or skip a set")
    return tr("to finish sooner, cut a repeat or skip a set")


def _leave(told: Outlook, at_ms: int) -> list[str]:
    """When the lanes leave after a jump to a section, or after the undo of a pause: `leave :30 (in 2:12)`."""
    resumes = isinstance(told.entry, TakenBack) and told.was and set(told.was.paused()) - set(told.run.paused())
    return _leaves(told, at_ms) if resumes or isinstance(told.entry, SectionSet) else []


def _leaves(told: Outlook, at_ms: int) -> list[str]:
    """When the lanes for which something changes leave, or the first of them; nothing if none does."""
    clocks = _clocks(told)
    if not clocks:
        return []
    first_ms = min(clocks)
    if len(clocks[first_ms]) < len(told.lanes):
        return [first_leaves(told.run, clocks, at_ms)[0]]
    return [tr_n("leaves {when}", "leave {when}", len(told.lanes), when=when(told.run, first_ms, at_ms))]


def finish(told: Outlook, brief: bool = False) -> list[str]:
    """When all are out, where that moves: `finish 18:58, 2:00 later`; `brief`: without by how much."""
    if isinstance(told.entry, TakenBack) and told.shown_ms is not None:
        told = replace(told, end_was_ms=told.shown_ms)  # a pause of all that is undone: as the screen says it until now
    if told.end_ms != told.end_was_ms:
        return [_end(told, brief)]
    if told.run.begun is None or told.shown_ms is None:
        return []
    now = finish_at(told.run, told.end_ms)
    return [tr("finish {now}", now=now)] if now != finish_at(told.run, told.shown_ms) else []


def _tight(told: Outlook) -> list[str]:
    """For which lanes it is too tight, by how much for the slowest of them, and in which set, then without the set:
    `too tight for lanes 4, 6, by 12 s (Main set: 4 × 100)`. Nothing if it isn't.
    """
    if not told.tight:
        return []
    by = count_down(seconds_to_go(max(short_ms for _, short_ms in told.tight)))
    said = {"lanes": named(told.run, [lane for lane, _ in told.tight]), "by": by if ":" in by else by + " s"}
    tight = tr("too tight for {lanes}, by {by}", **said)
    if len({short_ms for _, short_ms in told.tight}) > 1:
        tight = tr("too tight for {lanes}, by up to {by}", **said)
    section, number = told.tight_in[0]
    passes = (found for lane, _ in told.tight for found in told.run.timeline.tracks[lane].passes)
    line = next(found.laneline for found in passes if (found.section, found.laneline.number) == (section, number))
    where = {"tight": tight, "section": section_name(told.run, section), "line": set_words(line)}
    if len(told.tight_in) > 1:
        return [tr("{tight} (most in {section}: {line})", **where), tight]
    return [tr("{tight} ({section}: {line})", **where), tight]


def metres(told: Outlook) -> list[str]:
    """How much more or less the lanes swim, if they differ: `200 m more`, `200 to 450 m less`."""
    unit, made = told.run.timeline.plan.pool.unit, []
    for sign in (-1, 1):
        found = {sign * lane.distance for lane in told.lanes if sign * lane.distance > 0}
        if len(found) > 1:
            said = {"least": min(found), "most": max(found), "unit": unit}
            more = tr("{least:,} to {most:,} {unit} more", **said)
            made.append(more if sign > 0 else tr("{least:,} to {most:,} {unit} less", **said))
        elif found:
            made.append(_far(sign * found.pop(), str(unit)))
    return made


def _far(distance: int, unit: str) -> str:
    """`200 m more`, `50 m less`."""
    if distance > 0:
        return tr("{distance:,} {unit} more", distance=distance, unit=unit)
    return tr("{distance:,} {unit} less", distance=-distance, unit=unit)


def metres_of(told: Outlook, among: Sequence[int] = ()) -> list[str]:
    """The same with the lanes: `lane 4: 50 m less`. Without them if all of `among`, and nobody else, swim as much more
    or less; if there are many kinds, their range.
    """
    kinds: dict[int, list[int]] = {}
    for lane in told.lanes:
        if lane.distance:
            kinds.setdefault(lane.distance, []).append(lane.lane)
    if len(kinds) > MOST_KINDS or list(kinds.values()) == [list(among)]:
        return metres(told)
    unit, found = told.run.timeline.plan.pool.unit, []
    for far, places in kinds.items():
        lanes = named(told.run, places)
        more = tr("{lanes}: {far:,} {unit} more", lanes=lanes, far=far, unit=unit)
        found.append(more if far > 0 else tr("{lanes}: {far:,} {unit} less", lanes=lanes, far=-far, unit=unit))
    return found


def _earliest(told: Outlook) -> str:
    """If the lanes can't finish by the time asked for: the earliest whole minute that the plan's counts give.

    `03:29 is the earliest with this plan`; else "". Other presses may end the session earlier.
    """
    run = told.run
    if not isinstance(told.entry, Refitted) or run.timeline.end_ms <= told.entry.out_ms:
        return ""
    earliest = finish_at(run, run.timeline.end_ms)
    return tr("earliest finish with this plan: {earliest}", earliest=earliest)


def finish_at(run: Run, end_ms: int) -> str:
    """An end of the session as the screen says it: a time of day, before the start a time from the zero."""
    begun = run.begun
    if begun is None:
        return whole_up(end_ms)
    return finish_reading(begun.wall_ms, end_ms, run.timeline.plan.booking_ms, begun.zone)


class _Fate(NamedTuple):
    """What happens to a lane. `waits`: it is paused, `stays`: and was before. `leaves_ms` is only said if `tells_when`;
    `where`: before or after an added set.
    """

    waits: bool
    stays: bool
    stops: bool
    tells_when: bool
    where: str
    leaves_ms: int | None
    distance: int
    ends_ms: int

    @property
    def tells(self) -> bool:
        return self.waits or self.stops or self.tells_when or bool(self.distance or self.ends_ms)


def _short(told: Outlook, at_ms: int) -> str:
    """If lanes differ: who stops at the wall, when the first leaves, how much more or less is swum."""
    new = [ms for lane in told.lanes if (ms := new_set_ms(told, lane.lane)) is not None]
    stops = [lane.lane for lane in told.lanes if lane.stops]
    parts = (
        [tr_n("{lanes} stops at wall", "{lanes} stop at wall", len(stops), lanes=named(told.run, stops))]
        if stops
        else []
    )
    if new:
        parts.append(tr("new set: first leaves {when}", when=when(told.run, min(new), at_ms)))
    elif clocks := _clocks(told):
        parts.append(first_leaves(told.run, clocks, at_ms)[0])
    return "; ".join([*parts, *metres(told)])


def _clocks(told: Outlook) -> dict[int, list[int]]:
    """The lanes for which something changes by when they leave next, without those that don't."""
    clocks: dict[int, list[int]] = {}
    for lane in told.lanes:
        if lane.leaves_ms is not None:
            clocks.setdefault(lane.leaves_ms, []).append(lane.lane)
    return clocks


def shortest(told: Outlook, end: list[str]) -> str:
    """Who stops, how much more or less is swum and when all are out, in as few words as possible."""
    out, far = [lane.lane for lane in told.lanes if lane.stops], metres(told)
    stops, lane = len(out), named(told.run, out) if out else ""
    all_stop = tr("stop at wall") if stops == len(told.lanes) else ""
    some = tr("{lane} stops at wall", lane=lane) if stops == 1 else tr("{stops} lanes stop at wall", stops=stops)
    if len(far) > 1:  # `50 m less to 300 m more`
        least, most = min(lane.distance for lane in told.lanes), max(lane.distance for lane in told.lanes)
        unit = str(told.run.timeline.plan.pool.unit)
        far = [tr("{less} to {more}", less=_far(least, unit), more=_far(most, unit))]
        some = tr("{lane} stops", lane=lane) if stops == 1 else tr("{stops} lanes stop", stops=stops)
    return ", ".join([*_pause_again(told), *([all_stop or some] if stops else []), *far, *end])


def _pause_again(told: Outlook) -> list[str]:
    """How many lanes an Undo pauses."""
    was, run = told.was, told.run
    if was is None or not isinstance(told.entry, TakenBack):
        return []
    n = len(set(run.paused()) - set(was.paused()))
    return [tr_n("{n} lane pauses", "{n} lanes pause", n)] if n else []


def _lanes(told: Outlook, at_ms: int, brief: bool = False) -> list[str]:
    """What happens to the lanes, with lanes that share the same put together.

    If they differ, an unchanged next send-off is not mentioned.
    """
    alike = _alike(told, brief, every=True)
    if len(alike) > 1:
        alike = _alike(told, brief, every=False) or alike
    return [
        f"{named(told.run, lanes)}: {_fares(told, at_ms, len(lanes) > 1, brief, fate)}" for fate, lanes in alike.items()
    ]


def _alike(told: Outlook, brief: bool, every: bool) -> dict[_Fate, list[int]]:
    alike: dict[_Fate, list[int]] = {}
    for lane in told.lanes:
        ends_ms = (
            lane.end_ms - lane.end_was_ms if told.end_ms == told.end_was_ms and not brief else 0
        )  # else said for all
        where, leaves_ms = leaves(told, lane)
        when_told = every or bool(where) or not lane.leaves_as_before
        fate = _Fate(
            told.run.timeline.tracks[lane.lane].paused_ms is not None,
            told.was is not None and lane.lane in told.was.paused(),
            lane.stops,
            when_told,
            where,
            leaves_ms if when_told else None,
            lane.distance,
            ends_ms if abs(ends_ms) >= SECOND_MS and told.run.timeline.tracks[lane.lane].paused_ms is None else 0,
        )
        if fate.tells:
            alike.setdefault(fate, []).append(lane.lane)
    return alike


def _fares(told: Outlook, at_ms: int, many: bool, brief: bool, fate: _Fate) -> str:
    """What happens to one lane, or to `many` alike: when it leaves, what it swims more or less, when it ends."""

    n = 2 if many else 1
    words = []
    if fate.stops:
        words.append(
            tr_n("stops at wall", "stop at wall", n) if brief else tr_n("stops at the wall", "stop at the wall", n)
        )
    if fate.waits:
        words.append(tr_n("stays paused", "stay paused", n) if fate.stays else tr_n("pauses", "pause", n))
    elif fate.tells_when and fate.leaves_ms is None:
        words.append(tr("nothing left to swim"))
    elif fate.tells_when:
        if fate.where:
            words.append(fate.where if brief else tr("the new set {where}", where=fate.where))
        words.append(tr_n("leaves {when}", "leave {when}", n, when=when(told.run, fate.leaves_ms or 0, at_ms)))
    if fate.distance:
        far = _far(fate.distance, str(told.run.timeline.plan.pool.unit))
        words.append(far if brief else tr_n("swims {far}", "swim {far}", n, far=far))
        if not brief and fate.distance < 0 and isinstance(told.entry, SLOWER):
            words.append(tr("as there is no time before the next section"))
    if fate.ends_ms:
        words.append(tr_n("ends {later}", "end {later}", n, later=_later(fate.ends_ms)))
    return ", ".join(words)


def _later(ms: int) -> str:
    by = count_up(abs(ms) // 1000)
    return tr("{by} later", by=by) if ms > 0 else tr("{by} earlier", by=by)


def _end(told: Outlook, brief: bool) -> str:
    later = _later(told.end_ms - told.end_was_ms)
    if told.run.begun is None:
        return tr("finish {later}", later=later)
    time, booking_ms = finish_at(told.run, told.end_ms), told.run.timeline.plan.booking_ms
    if brief:
        return tr("finish {now}", now=time)
    if booking_ms is not None and told.end_was_ms <= booking_ms < told.end_ms:
        return tr("finish {time}, {later}, past the booking", time=time, later=later)
    return tr("finish {time}, {later}", time=time, later=later)
