"""What a press of Pause, Resume, Next, Previous or End does, in words.

Each in several ways, the longest first. No Kivy.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import replace

from pacer.language import tr, tr_n
from pacer.plan.times import SECOND_MS
from pacer.session.journal.entries import Entry, Moved, Resumed, TakenBack
from pacer.session.running.brokenrepeats import hardly_swum, in_all, swum, to_its_end
from pacer.session.running.outlook import Outlook
from pacer.session.running.pauses import paused_by_end
from pacer.session.running.runstate import Run
from pacer.session.running.stragglers import missing, walls
from pacer.session.running.undo import to_reopen
from pacer.session.running.whereabouts import stops
from pacer.show.wording.destinationtext import ways_to
from pacer.show.wording.forecasttext import finish, finish_at, metres, metres_of, shortest
from pacer.show.wording.leavetext import SWUM_AGAIN, CutShort, cut_short, first_leaves, when
from pacer.show.wording.notimetext import lost, no_rest, parted
from pacer.show.wording.settext import set_words
from pacer.show.wording.timereadings import count_up
from pacer.show.wording.waitingtext import (
    asides,
    in_short,
    metres_each,
    misses,
    named,
    not_left,
    range_words,
    span_said,
    stop_said,
    stragglers,
    swim_back,
    waits,
    waits_in_short,
)


def held_ways(run: Run, told: Outlook) -> tuple[str, ...]:
    """Which lanes pause, which stop at the wall for it, how much less they swim because of it, and when all are out, if
    they are then past the booking only because of it.
    """
    ways, booking_ms = _held(run, told), run.timeline.plan.booking_ms
    if booking_ms is None or not told.end_was_ms <= booking_ms < told.end_ms or run.begun is None:
        return ways
    end = tr("finish {time}, past the booking", time=finish_at(run, told.end_ms))
    out = sum(lane.stops for lane in told.lanes)
    if not out:
        return (*(_joined(way, end) for way in ways), end)
    stop = tr_n("{n} lane stops", "{n} lanes stop", out)
    return (*(_joined(way, end) for way in (*ways, stop)), _joined(stop, tr("past the booking")))


def _held(run: Run, told: Outlook) -> tuple[str, ...]:
    waiting = [lane.lane for lane in told.lanes if lane.lane not in run.paused()]
    stops = [lane.lane for lane in told.lanes if lane.stops]
    waits = tr_n("{lanes} pauses", "{lanes} pause", len(waiting), lanes=named(run, waiting))
    miss, apart = not_left(told), parted(told)
    more = [_joined(*apart, *miss, *stragglers(told)), _joined(*apart, *miss), *miss]
    more = list(dict.fromkeys(filter(None, more)))
    if not stops:  # a lane paused in the instant of a send-off is at the wall, and loses that repeat
        far = _costs(told, waiting)
        full = tuple(f"{waits}{lost}; {each}" for lost in (far or [""]) for each in more)
        return (*full, *(f"{waits}{lost}" for lost in far), waits)
    if stops == waiting:
        both = tr_n(
            "{lanes} stops at the wall and pauses",
            "{lanes} stop at the wall and pause",
            len(waiting),
            lanes=named(run, waiting),
        )
    else:
        both = tr_n(
            "{waits}; {lanes} stops at the wall",
            "{waits}; {lanes} stop at the wall",
            len(stops),
            waits=waits,
            lanes=named(run, stops),
        )
    far = _costs(told, stops)
    brief = ", ".join(metres(told))
    full = tuple(f"{both}{lost}; {each}" for lost in (*far, *([] if far else [""])) for each in more)
    if len(waiting) == 1 and told.missing:  # in few words: who misses what, and what is lost by that
        lost = ", ".join(["", *range_words(told.run, *metres_each(told, waiting[0]))[:1]])
        full = (*full, *(f"{both}{less}; {each}" for less in dict.fromkeys((lost, "")) for each in misses(told)))
    if stops == waiting:
        lanes = named(run, waiting)
        at_wall = tr_n("{lanes} stops at the wall", "{lanes} stop at the wall", len(waiting), lanes=lanes)
        short = tr_n("{lanes} stops", "{lanes} stop", len(waiting), lanes=lanes)
        return (*full, *(f"{both}{lost}" for lost in far), both, at_wall, short)
    return (
        *full,
        *(f"{both}{lost}" for lost in far),
        *(f"{both}, {brief}" for _ in far),
        both,
        tr("pause: {shortest}", shortest=shortest(told, [])),
    )


def resumed_ways(run: Run, told: Outlook) -> tuple[str, ...]:
    """What is swum again, or not to its end, when the resumed lanes leave, on what, who waits longer, when all are
    out.
    """
    after, entry = told.run, told.entry
    assert isinstance(entry, Resumed)
    waiting = [lane for lane in run.lanes(entry.lanes) if lane in run.paused()]
    leaves, what = leave_ways(after, waiting, entry.at_ms), _set_said(after, waiting, entry.at_ms)
    again = _swum_again(after, waiting, entry.at_ms)
    skipped, repeat, instead = CutShort() if again else cut_short(after, waiting, entry.at_ms)
    far = "; ".join(metres_of(told, waiting))
    end = finish(told, brief=True)  # not how much later: the pause made it so
    least = shortest(told, end)
    plain = (*(tr("{way} on {what}", way=way, what=what) for way in leaves if what), *leaves)
    first = tr("{way}, repeat {repeat}", way=plain[0], repeat=repeat) if repeat else plain[0]
    full = _joined(first, again, far, *end)
    skipped = _joined(skipped, *no_rest(told, waiting))
    ways = [_joined(skipped, *waits(told), full, *asides(told), *instead)] if skipped else []
    ways += [_joined(skipped, *waits(told), full, *rest) for rest in (asides(told), ())] + [_joined(skipped, full)]
    for lead in dict.fromkeys((_joined(skipped, *waits_in_short(told)), skipped, "")):
        ways += [_joined(lead, way, each, least) for each in dict.fromkeys((again, "")) for way in plain]
    return tuple(dict.fromkeys((*ways, *([least] if least else []))))


def _swum_again(after: Run, lanes: list[int], at_ms: int) -> str:
    """How lanes that have nothing left to swim swim their last repeat again, if it was cut short; else ""."""
    if _clocks(after, lanes, at_ms):
        return ""
    for lane in lanes:
        last = len(after.timeline.tracks[lane].sendoffs) - 1
        if last in after.timeline.tracks[lane].cuts and not to_its_end(after.timeline, lane, last, 0):
            return SWUM_AGAIN
    return ""


def moved_ways(run: Run, told: Outlook) -> tuple[str, ...]:
    """Where lanes move to, when they leave, who stops or waits longer for it, and which lanes don't move."""
    after, entry = told.run, told.entry
    assert isinstance(entry, Moved)
    was, will, lanes = run.timeline.tracks, after.timeline.tracks, run.lanes(entry.lanes)
    going = [lane for lane in lanes if will[lane] is not was[lane] and will[lane].paused_ms is None]
    staying = [lane for lane in lanes if will[lane] is was[lane]]
    leaves = leave_ways(after, going, entry.at_ms)
    where = ways_to(run, after, going, entry)
    short = _in_short(after, going, entry.at_ms)
    whither = [
        tr("next {unit}: {leave}", unit=entry.unit.said, leave=leave)
        if entry.step > 0
        else tr("previous {unit}: {leave}", unit=entry.unit.said, leave=leave)
        for leave in short
    ]
    detail = tuple(f"{way}, {leave}" for way in where for leave in short) if where else leaves
    stops = [lane.lane for lane in told.lanes if lane.stops]
    clocks = _clocks(after, going, entry.at_ms)
    together = len(clocks) < 2 and sum(map(len, clocks.values())) in (0, len(going))
    alike = "; " not in where[0] if where else together
    stop = stop_said(stops, "" if stops == going and alike else f"{named(run, stops)} ") if stops else ""
    cost = _costs(told, stops)
    far = "".join([stop, *cost]) if stop else "".join(cost).removeprefix(", ").removeprefix("; ")
    end = finish(told)
    brief_end = finish(told, brief=True)
    least = shortest(told, brief_end)
    later = _later_than_without(told, run, going)
    keep = tr_n("{lanes} keeps going", "{lanes} keep going", len(staying), lanes=named(run, staying)) if staying else ""
    full = _joined(_how_late(detail[0], later, going), far, *end)
    gone = [*lost(told), *(no_rest(told, going) if entry.step < 0 else [])]
    said = [*waits(told), *gone, *parted(told)]
    ways = [_joined(*said, full, *asides(told), keep), _joined(*said, full, keep)]
    ways += [_joined(*in_short(told, bool(gone)), full, keep)]
    late = [_but(_how_late(way, later, going), run, staying) for way in detail] if later else []
    ways += [_joined(way, far, *brief_end) for way in late]
    tails = (_joined(far, *brief_end), least)
    for more in dict.fromkeys((tuple(waits_in_short(told)), ())):
        ways += [_joined(*more, _but(way, run, staying), tail) for tail in tails for way in (*detail, *whither)]
        ways += [_joined(*more, leave, least) for leave in short]
    return tuple(dict.fromkeys([*ways, *([least] if least else [])]))


def _later_than_without(told: Outlook, before: Run, lanes: list[int]) -> str:
    """By how much at most the lanes leave later than they would without the press: `0:20`; "" for not at all."""
    entry, late_ms = told.entry, {0}
    assert entry is not None, "it was pressed"
    for lane in lanes:
        was, will = (run.timeline.tracks[lane] for run in (before, told.run))
        old, new = (bisect_right(track.sendoffs, entry.at_ms) for track in (was, will))
        if was.paused_ms is None and old < len(was.sendoffs) and new < len(will.sendoffs):
            late_ms.add(will.sendoffs[new] - was.sendoffs[old])
    if max(late_ms) < SECOND_MS or any(
        lane.longer_ms and not lane.longer_than_planned for lane in told.lanes
    ):  # a longer wait is said apart
        return ""
    return count_up(max(late_ms) // SECOND_MS)


def _how_late(way: str, later: str, lanes: list[int]) -> str:
    """What a move does, and how much later that is than without it."""
    if not later:
        return way
    if len(lanes) > 1:
        return tr("{way}, up to {later} later", way=way, later=later)
    return tr("{way}, {later} later", way=way, later=later)


def _but(way: str, run: Run, staying: list[int]) -> str:
    """What a move does, and for which lanes not."""
    return tr("{way}, not {lanes}", way=way, lanes=named(run, staying)) if staying else way


def ended_ways(ended: Run, told: Outlook) -> tuple[str, ...]:
    """What the end cuts: how far the swimmers have swum by then, what they don't swim any more, and always who stops
    at the wall. Swimmers behind a leader may lose more than the leader.

    `ended` is the run after it, by the times, as the screen counts; `told` what it does.
    """
    assert ended.ended_ms is not None, "it is ended"
    timeline, unit, ended_ms = ended.timeline, ended.timeline.plan.pool.unit, ended.ended_ms
    lanes = range(len(timeline.tracks))
    done = [swum(timeline, lane) for lane in lanes]
    cut = [max(0, in_all(timeline, lane, ended_ms) - far) for lane, far in zip(lanes, done)]
    short = [(lane, less) for lane, less in told.short if less]
    cut += [cut[lane] + less for lane, less in short]
    done += [max(0, done[lane] - less) for lane, less in short]
    out = [lane for lane in lanes if any(ended_ms < until for _, until in stops(timeline, lane))]
    stop = f"; {stop_said(out, f'{named(ended, out)} ')}" if out else ""
    far, ends = {"swum": span_said(done), "unit": unit}, tr("ends the session")
    if any(cut):
        cuts = span_said(cut)
        ways: tuple[str, ...] = (
            tr("ends the session: {swum} {unit} swum, {cut} {unit} cut", cut=cuts, **far) + stop,
            tr("ends the session, {cut} {unit} cut", cut=cuts, unit=unit) + stop,
        )
    elif out:
        ways = (tr("ends the session: {swum} {unit} swum", **far) + stop,)
    else:
        ways = (tr("ends the session: everything is swum, {swum} {unit}", **far),)
    brief = (
        (stop.removeprefix("; "), tr_n("{lanes} stops", "{lanes} stop", len(out), lanes=named(ended, out)))
        if out
        else ()
    )
    more = [_joined(ways[0], *not_left(told), *stragglers(told)), _joined(ways[0], *not_left(told))]
    if far_off := [*swim_back(told), *_at_far_end(ended, told)]:  # nobody else tells those there that it is over
        more = [
            _joined(more[0], *_at_far_end(ended, told)),
            *(_joined(way, *far_off) for way in (*ways, f"{ends}{stop}")),
        ]
    return tuple(dict.fromkeys((*more, *ways, f"{ends}{stop}", *brief)))


def _at_far_end(ended: Run, told: Outlook) -> list[str]:
    """The lanes that stay at the far wall: those that are done there, or were stopped in what may be an emergency, so
    that nobody is told to swim.
    """
    assert ended.ended_ms is not None, "it is ended"
    at_ms, timeline = ended.ended_ms, ended.timeline
    lanes = [
        lane
        for lane in range(len(timeline.tracks))
        if lane not in told.back and timeline.squad.lanes[lane].swimmers and True in walls(timeline, lane, at_ms)
    ]
    return [tr_n("{lanes} is at the far end", "{lanes} are at the far end", len(lanes), lanes=named(ended, lanes))][
        : len(lanes)
    ]


def reopened_ways(ended: Run, seen: Run, entry: TakenBack, told: Callable[[Entry, Run], Outlook]) -> tuple[str, ...]:
    """When the lanes that the end stopped leave again, as for a resume; which lanes stay paused.

    `seen`: `ended` by the times, as the screen counts.
    """
    assert ended.before is not None, "it is ended"
    paused, lanes = to_reopen(ended, entry)
    on = [lane for lane in paused_by_end(ended) if lane not in lanes]
    if entry.leave_ms is None:
        on, paused = ([], paused) if entry.stopped else (list(paused_by_end(ended)), ended.before)
    on = [lane for lane in on if ended.before.timeline.tracks[lane].end_ms > entry.at_ms]  # the others are home by now
    stay = list(paused.paused()) if entry.leave_ms is None else [lane for lane in paused.paused() if lane not in lanes]
    stays = tr_n("{lanes} stays paused", "{lanes} stay paused", len(stay), lanes=named(ended, stay)) if stay else ""
    swims = tr_n("{lanes} swims on", "{lanes} swim on", len(on), lanes=named(ended, on)) if on else ""
    resumes = tr("resumes the session")
    if entry.leave_ms is None or not lanes:
        rest = _joined(swims, stays)
        return tuple(f"{way}; {rest}" for way in (resumes, tr("resumes"))) + (rest,) if rest else (resumes,)
    outlook = told(Resumed(entry.at_ms, entry.leave_ms, lanes), paused)
    ways = resumed_ways(paused, replace(outlook, missing=()))  # said below: who misses something because of the end
    out = [lane for lane in lanes if any(entry.at_ms < until for _, until in stops(seen.timeline, lane))]
    stop = tr_n("{lanes} still stops at the wall", "{lanes} still stop at the wall", len(out), lanes=named(ended, out))
    short = _joined(stop if out else "", swims, _lost_by_end(seen, lanes, brief=True))
    assert ended.ended_ms is not None, "it is ended"
    gone = missing(ended.before.timeline, outlook.run.timeline, ended.ended_ms)
    miss = not_left(replace(outlook, missing=gone))
    first = [
        _joined(way, stop if out else "", *each, swims, stays, _lost_by_end(seen, lanes))
        for way in ways[:1]
        for each in dict.fromkeys((tuple(miss), ()))
    ]
    first += [_joined(short, *miss, way, stays) for way in ways if short and miss]
    first += [_joined(short, way, stays) for way in ways if short]
    if not stays:
        first += ways
    with_stays = [f"{way}; {stays}" for way in ways] if stays else []
    every = list(dict.fromkeys((*first, *with_stays, *ways)))
    return tuple(dict.fromkeys((*(f"{resumes}: {way}" for way in every), *first[1:], *with_stays, *ways)))


def _lost_by_end(ended: Run, lanes: tuple[int, ...], brief: bool = False) -> str:
    """What the end cut short for lanes and a resume doesn't bring back: `lane 3: 25 m less`.

    `brief`: the range alone, `25 to 50 m less`.
    """
    assert ended.ended_ms is not None, "it is ended"
    lost: dict[int, list[int]] = {}
    for lane in lanes:
        whole, now = (in_all(ended.timeline, lane, ended_ms) for ended_ms in (ended.ended_ms, None))
        if whole > now and not hardly_swum(ended.timeline, lane, ended.timeline.tracks[lane].index_at(ended.ended_ms)):
            lost.setdefault(whole - now, []).append(lane)
    unit = ended.timeline.plan.pool.unit
    if brief:
        return tr("{far} {unit} less", far=span_said(list(lost)), unit=unit) if lost else ""
    return "; ".join(
        tr("{lanes}: {far} {unit} less", lanes=named(ended, lanes), far=far, unit=unit) for far, lanes in lost.items()
    )


def _joined(*parts: str) -> str:
    return "; ".join(filter(None, parts))


def leave_ways(after: Run, lanes: list[int], at_ms: int) -> tuple[str, ...]:
    """When the lanes leave next, first lane by lane; where that is more than a minute away, always also how long."""
    clocks = _clocks(after, lanes, at_ms)
    if not clocks:
        return tr("{lanes}: nothing left to swim", lanes=named(after, lanes)), tr("nothing left to swim")
    rows = [
        tr_n(
            "{lanes} leaves {clock}",
            "{lanes} leave {clock}",
            len(who),
            lanes=named(after, who),
            clock=when(after, leave_ms, at_ms),
        )
        for leave_ms, who in sorted(clocks.items())
    ]
    if out := [lane for lane in lanes if not any(lane in who for who in clocks.values())]:
        rows.append(tr_n("{lanes} has nothing left", "{lanes} have nothing left", len(out), lanes=named(after, out)))
    return (", ".join(rows), *_in_short(after, lanes, at_ms))


def _in_short(after: Run, lanes: list[int], at_ms: int) -> tuple[str, ...]:
    """The same in few words, without the lanes if all leave together."""
    clocks = _clocks(after, lanes, at_ms)
    if not clocks:
        return (tr("nothing left to swim"),)
    if len(clocks) > 1 or sum(map(len, clocks.values())) < len(lanes):
        return first_leaves(after, clocks, at_ms)
    clock = when(after, min(clocks), at_ms)
    return (tr_n("leaves {clock}", "leave {clock}", len(lanes), clock=clock),)


def _clocks(after: Run, lanes: list[int], at_ms: int) -> dict[int, list[int]]:
    """The lanes by when they leave next, without those that have nothing left."""
    clocks: dict[int, list[int]] = {}
    for lane in lanes:
        sendoffs = after.timeline.tracks[lane].sendoffs
        place = bisect_right(sendoffs, at_ms)
        if place < len(sendoffs):
            clocks.setdefault(sendoffs[place], []).append(lane)
    return clocks


def _set_said(after: Run, lanes: list[int], at_ms: int) -> str:
    """The set that the lanes leave on next, if it is the same for all: `4 × 50`."""
    found = set()
    for lane in lanes:
        track = after.timeline.tracks[lane]
        index = bisect_right(track.sendoffs, at_ms)
        if index < len(track.sendoffs):
            each = track.pass_at(index)
            found.add(set_words(each.laneline, track.repeats_of(each)))
    return found.pop() if len(found) == 1 else ""


def _costs(told: Outlook, among: list[int]) -> list[str]:
    """How much more or less is swum, to be put behind what `among` do: `, 50 m less`, `; lane 4: 50 m less`."""
    found = metres_of(told, among)
    return ["".join(f"; {far}" if ":" in far else f", {far}" for far in found)] if found else []
