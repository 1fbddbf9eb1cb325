"""What becomes of each lane by a press, beside what would become of it if nobody pressed: for its own band. No Kivy.

One comparison for every kind of press, an Undo too: the session as it is now, and as it is with the press.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.language import tr, tr_n
from pacer.plan.times import SECOND_MS
from pacer.session.running.outlook import LaneOutlook, Outlook, whole_minutes
from pacer.session.running.runstate import Run, repeat_key
from pacer.session.running.whereabouts import stops
from pacer.show.wording.leavetext import when
from pacer.show.wording.notimetext import leave_together, mates_of
from pacer.show.wording.settext import line_words
from pacer.show.wording.timereadings import clock_reading, count_up
from pacer.show.wording.viewtext import say
from pacer.show.wording.waitingtext import gets_in, metres_each, named, range_words, section_name, still_miss
from pacer.show.wording.waitingtext import misses as words_of_missing
from pacer.timeline.track import Track


class LaneForecast(NamedTuple):
    """What a press does to one lane (by index).

    `stops`: somebody in it is told to break off; `still_stops`: was told before and still does; `swims_on`: was told
    before and does not any more. `pauses`: it is paused
    then; `stays_paused`: and was before. `misses`: how many swimmers don't leave any more on the repeat that the others
    are on. `leaves_ms`: its next send-off, if that or the repeat it leaves on changes; `out`: it has none any more.
    `on`: that repeat, if it is another one, the longest way first. `least` and `most`: how much more (negative: less)
    its swimmers swim, from the one that loses most to the one that loses least. `parted` and `joined`: the lanes with
    which it doesn't leave together any more, or does from now on. `waits_ms`: how much longer it waits before section
    `before`. `swimmers`: how many it has then, if that changes; `order`: they leave in another order. `ends_ms`: how
    much later it ends. `still_misses`: in words, how many missed a repeat before an Undo and still do.
    `gets_in`: who comes and has to get in at the far end.
    """

    lane: int
    stops: bool = False
    still_stops: bool = False
    swims_on: bool = False
    pauses: bool = False
    stays_paused: bool = False
    misses: int = 0
    missed: tuple[str, ...] = ()
    swims_back: bool = False
    leaves_ms: int | None = None
    out: bool = False
    on: tuple[str, ...] = ()
    least: int = 0
    most: int = 0
    parted: tuple[int, ...] = ()
    joined: tuple[int, ...] = ()
    waits_ms: int = 0
    before: int | None = None
    swimmers: int = 0
    order: bool = False
    ends_ms: int = 0
    still_misses: tuple[str, ...] = ()
    gets_in: tuple[str, ...] = ()


def lane_forecasts(told: Outlook) -> dict[int, LaneForecast]:
    """What becomes of the lanes (by index) that a press touches; a lane whose session stays as it is has none."""
    if told.refused or told.entry is None or told.was is None or told.now is None or told.counted is None:
        return {}
    known = {lane.lane: lane for lane in told.lanes}
    missing = dict(told.missing)
    made = {}
    for lane in range(len(told.run.timeline.tracks)):
        metres = metres_each(told, lane)
        if lane in known or lane in missing or lane in told.back or any(metres):
            found = _forecast(told, lane, known.get(lane), missing.get(lane, 0), metres)
            if found != LaneForecast(lane) or _still_to_come(told.was, lane, told) != _still_to_come(
                told.run, lane, told
            ):
                made[lane] = found
    return made


def _still_to_come(run: Run, lane: int, told: Outlook) -> list[tuple]:
    """When the lane leaves from now on, on what, and who swims it."""
    assert told.entry is not None, "it was pressed"
    track, made = run.timeline.tracks[lane], []
    for index in range(track.index_at(told.entry.at_ms) + 1, len(track.sendoffs)):
        line = track.pass_at(index).laneline
        made.append((track.sendoffs[index], repeat_key(track, index), line.who, line.bases, line.spacing_ms))
    return made


def _forecast(
    told: Outlook, lane: int, outlook: LaneOutlook | None, misses: int, metres: tuple[int, int]
) -> LaneForecast:
    assert told.entry is not None and told.was is not None and told.now is not None, "it was pressed"
    at_ms = told.entry.at_ms
    old, new = (run.timeline.tracks[lane] for run in (told.was, told.run))
    paused, was_paused = new.paused_ms is not None, old.paused_ms is not None
    stopping = outlook is not None and outlook.stops
    stood, stands = (any(since <= at_ms < until for since, until in stops(each, lane)) for each in told.now)
    leaves_ms, on, out = _next(old, new, at_ms)
    parted, joined = _mates(told, lane)
    waits = outlook is not None and outlook.longer_before is not None and not outlook.longer_than_planned
    ended = told.run.ended_ms is not None
    here = [[one.number for one in run.timeline.squad.lanes[lane].swimmers] for run in (told.was, told.run)]
    ends_ms = 0 if paused or was_paused or outlook is None else outlook.end_ms - outlook.end_was_ms
    return LaneForecast(
        lane,
        stopping,
        stands and not stopping,
        stood and not stands,
        paused and not was_paused and not ended,
        paused and was_paused and not ended,
        misses,
        words_of_missing(told, lane) if misses else (),
        lane in told.back,
        leaves_ms,
        out and not ended,
        on,
        *metres,
        parted,
        joined,
        outlook.longer_ms if outlook is not None and waits else 0,
        outlook.longer_before if outlook is not None and waits else None,
        len(here[1]) if len(here[0]) != len(here[1]) else 0,
        here[0] != here[1] and sorted(here[0]) == sorted(here[1]),
        ends_ms if abs(ends_ms) >= SECOND_MS else 0,
        still_miss(told, lane),
        tuple(gets_in(told, lane)),
    )


def _next(old: Track, new: Track, at_ms: int) -> tuple[int | None, tuple[str, ...], bool]:
    """When the lane leaves next and on what, as far as that changes; whether it has nothing left and had before."""
    if new.paused_ms is not None:
        return None, (), False
    index, before = new.index_at(at_ms) + 1, old.index_at(at_ms) + 1
    had = before < len(old.sendoffs)
    if index >= len(new.sendoffs):
        return None, (), had or old.paused_ms is not None
    other = not had or repeat_key(old, before) != repeat_key(new, index)
    if old.paused_ms is None and had and not other and old.sendoffs[before] == new.sendoffs[index]:
        return None, (), False
    return new.sendoffs[index], _on(new, index) if other else (), False


def _on(track: Track, index: int) -> tuple[str, ...]:
    """A repeat as a lane leaves on it: its set if it is the first of that, else its number."""
    found, repeat = track.pass_at(index), track.repeat_in_line(index)
    of = track.repeats_of(found)
    again = index and repeat_key(track, index - 1) == repeat_key(track, index)
    ways = (say("repeat", n=repeat + 1, of=of),) if repeat or again and of > 1 else line_words(found.laneline, of)
    return (*(tr("{what} again", what=way) for way in ways), *ways) if again else ways


def _mates(told: Outlook, lane: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The lanes with which it does not leave together any more, and those with which it does from now on."""
    assert told.entry is not None and told.was is not None, "it was pressed"
    parted, joined = [], []
    for other in range(len(told.run.timeline.tracks)):
        were, are = (other in mates_of(run.course, lane) for run in (told.was, told.run))
        if not (were or are):
            continue
        pair = min(lane, other), max(lane, other)
        was, will = (leave_together(run, pair, told.entry.at_ms) for run in (told.was, told.run))
        if were and was and (not are or will is False):
            parted.append(other)
        elif are and will and (not were or was is False):
            joined.append(other)
    return tuple(parted), tuple(joined)


# -- in words -----------------------------------------------------------------------------------------------------


def forecast_ways(run: Run, told: LaneForecast, at_ms: int, *, done: bool = False) -> tuple[str, ...]:
    """A lane's forecast in words, the longest way first; what matters least is left out first.

    `done`: the press was made, so that a lane that stops is told so in large words anyway, and counts down to its next
    send-off; () if that is all.
    """
    parts = _parts(run, told._replace(stops=False) if done else told, at_ms, done)
    orders = told.stops or told.swims_back
    if done and orders and told._replace(stops=False, swims_back=False) == LaneForecast(told.lane):
        return ()
    rows = [[part[0] for part in parts]]
    for count in range(len(parts), 0, -1):
        rows += [[part[min(1, len(part) - 1)] for part in parts[:count]], [part[-1] for part in parts[:count]]]
    return tuple(dict.fromkeys(", ".join(row) for row in rows))


def _parts(run: Run, told: LaneForecast, at_ms: int, done: bool) -> list[tuple[str, ...]]:
    """What is to be said, what matters most first; each the longest way first."""
    made = list[tuple[str, ...]]()
    if told.stops:
        made.append((tr("stops at the wall"), tr("stops")))
    elif told.still_stops:
        made.append((tr("still stops at the wall"), tr("still stops")))
    elif told.swims_on:
        made.append((tr("swims on"),))
    if told.misses:
        made.append(told.missed)
    if told.still_misses:
        made.append(told.still_misses)
    made += [(way,) for way in told.gets_in]
    if told.swims_back and not done:  # then it is told so in words of its own
        made.append((say("swim back short"),))
    if told.pauses:
        made.append((tr("pauses"),))
    elif told.stays_paused:
        made.append((tr("stays paused"),))
    elif told.out:
        made.append((tr("nothing left to swim"), tr("nothing left")))
    elif told.leaves_ms is not None:
        leaves = tr("leaves {when}", when=when(run, told.leaves_ms, at_ms))
        short = tr("leaves {when}", when=clock_reading(told.leaves_ms, run.phase_ms))
        ways = (*(tr("{leaves} on {what}", leaves=leaves, what=what) for what in told.on), leaves)
        made.append((*ways, short) if done else ways)
    if far := range_words(run, told.least, told.most):
        made.append(far)
    if told.parted:
        made.append((tr("no longer with {lanes}", lanes=named(run, list(told.parted))),))
    if told.waits_ms and told.before is not None:
        waits = tr("waits {minutes} min longer", minutes=whole_minutes(told.waits_ms))
        section = section_name(run, told.before)
        made.append((tr("{waits} before {section}", waits=waits, section=section), tr("then {waits}", waits=waits)))
    if told.joined:
        made.append((with_lanes(run, told.joined),))
    if told.swimmers:
        made.append((tr_n("1 swimmer", "{n} swimmers", told.swimmers),))
    if told.order:
        made.append((tr("leaves in another order"), tr("another order")))
    if told.ends_ms:
        by = count_up(abs(told.ends_ms) // SECOND_MS)
        made.append((tr("ends {by} later", by=by) if told.ends_ms > 0 else tr("ends {by} earlier", by=by),))
    return made or [(tr("changes what comes later"), tr("changes later"))]


def with_lanes(run: Run, lanes: tuple[int, ...]) -> str:
    """`with lane 2`."""
    return tr("with {lanes}", lanes=named(run, list(lanes)))
