"""Room in the lane: who catches whom, whether the leader comes back to swimmers who still wait, and what would help.

The model: circle swimming, each swimmer at their own constant predicted speed in each segment, with exact
unrounded times. Nobody gives way in the model; the findings say where somebody would have to.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from itertools import pairwise
from operator import itemgetter
from typing import NamedTuple

from pacer.language import tr, tr_n
from pacer.plan.times import MINUTE_MS, text_from_ms
from pacer.squad.squad import behind_ms
from pacer.timeline.cancellation import step
from pacer.timeline.findings import Finding, Severity
from pacer.timeline.laneline import LaneLine
from pacer.timeline.shape import Shape, up_to
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Pass

CLOSE_MS = 2_000  #: a swimmer closer than this behind the one ahead has caught up
LEAST_APART_MS = 5_000  #: common practice: less only if the coach asks for it


@dataclass(frozen=True, slots=True)
class Catch:
    """`swimmer` comes within `CLOSE_MS` of the one who left just before, for the first time on this `repeat`.

    Swimmers and repeats count from 1; `distance` is the exact distance into the repeat, in the pool's unit.
    """

    repeat: int
    distance: Fraction
    swimmer: int


@dataclass(frozen=True, slots=True)
class InOrder:
    """Leave in order of pace: the swimmers' current places in their new order."""

    order: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Apart:
    """Leave this far apart."""

    spacing_ms: int


@dataclass(frozen=True, slots=True)
class Into:
    """`swimmer` moves to the lane at index `lane`, to the place that fits their pace."""

    swimmer: int
    lane: int


Help = InOrder | Apart | Into


@dataclass(frozen=True, slots=True)
class Room:
    """One lane on one set line. `section` and `lane` are indexes, `line` is the line's number in its section.

    `catches`: each swimmer's first, in leaving order. `back_ms`: the leader's shortest time for two
    lengths, exact, None if no repeat has two; `fits` swimmers have room in that time. `full_from` is the
    first repeat on which the leader comes back to swimmers who still wait. Each of `helps` cures everything found.
    """

    section: int
    line: int
    lane: int
    swimmers: int
    spacing_ms: int
    catches: tuple[Catch, ...] = ()
    back_ms: Fraction | None = None
    fits: int | None = None
    full_from: int | None = None
    helps: tuple[Help, ...] = ()

    @property
    def first_catch(self) -> Catch | None:
        """The earliest catch: on the first repeat with one, after the shortest distance."""
        return min(self.catches, key=lambda catch: (catch.repeat, catch.distance, catch.swimmer), default=None)

    @property
    def free(self) -> bool:
        """Whether nothing was found."""
        return not self.catches and self.full_from is None


class _Runner(NamedTuple):
    """A swimmer's base, and with factors of their own the shape of each repeat (None: the lane's)."""

    base: int | Fraction
    shapes: tuple[Shape, ...] | None


class _Lineup(NamedTuple):
    """The swimmers, their spacing, and the repeats: number, shape and hold.

    `straight`: no stop between repeats. Otherwise only the first of equal repeats is in the list.
    """

    runners: tuple[_Runner, ...]
    spacing_ms: int
    repeats: tuple[tuple[int, Shape, int | Fraction | None], ...]
    straight: bool
    length: Fraction


def rooms(timeline: Timeline) -> tuple[Room, ...]:
    """One `Room` for every line and every lane that swims it, in the plan's order."""
    longest: dict[tuple[int, int, int], Pass] = {}
    for lane, track in enumerate(timeline.tracks):
        for found in track.passes:
            key = (found.section, found.laneline.number, lane)
            if key not in longest or longest[key].count < found.count:
                longest[key] = found
    lineups = {key: _lineup(found, timeline.plan.pool.length) for key, found in longest.items()}
    made = []
    for (section, line, lane), lineup in sorted(lineups.items(), key=lambda item: item[0]):
        step()
        catches, back, full_from = _looked_at(lineup)
        fits = None if back is None else max(1, int(back // lineup.spacing_ms))
        helps: tuple[Help, ...] = ()
        if catches or full_from is not None:
            beside = [(at, lineups[section, line, at]) for at in (lane - 1, lane + 1) if (section, line, at) in lineups]
            helps = tuple(_helps(lineup, lane, beside, timeline.plan.clock_ms))
        made.append(
            Room(section, line, lane, len(lineup.runners), lineup.spacing_ms, catches, back, fits, full_from, helps)
        )
    return tuple(made)


def findings_of_traffic(timeline: Timeline) -> tuple[Finding, ...]:
    """The findings from `rooms`, with equal findings of several lanes combined."""
    lines: dict[tuple[int, int], LaneLine] = {}
    for track in timeline.tracks:
        for found in track.passes:
            lines.setdefault((found.section, found.laneline.number), found.laneline)
    gathered: dict[tuple, list[int]] = {}
    for room in rooms(timeline):
        span = lines[room.section, room.line].line.span
        hint = reduce(_or, (_help_said(timeline, help) for help in room.helps), "")
        for message, more in _messages(room, str(timeline.plan.pool.unit)):
            said = "; ".join(part for part in (more, hint) if part)
            gathered.setdefault((span.line if span else None, message, said), []).append(
                timeline.lanes[room.lane].number
            )
    return tuple(
        Finding(Severity.CARE, line, tuple(lanes), message, hint) for (line, message, hint), lanes in gathered.items()
    )


# -- searching -------------------------------------------------------------------------------------


def _lineup(found: Pass, length: Fraction) -> _Lineup:
    line, swum = found.laneline, range(found.skipped, found.skipped + found.count)
    rows = [(number, line.shapes[i], line.holds[i], i) for number, i in enumerate(swum, 1)]
    if line.own is None:
        firsts = {(shape, hold): (number, i) for number, shape, hold, i in reversed(rows)}
        rows = sorted([(number, shape, hold, i) for (shape, hold), (number, i) in firsts.items()], key=itemgetter(0))
    runners = []
    for place, base in enumerate(line.bases):
        own = tuple([line.shape(i, place) for *_, i in rows]) if place in line.personal else None
        if own is not None and all(_alike(mine, shape) for mine, (_, shape, *_) in zip(own, rows)):
            own = None
        runners.append(_Runner(base, own))
    repeats = tuple([(number, shape, hold) for number, shape, hold, _ in rows])
    return _Lineup(tuple(runners), line.spacing_ms, repeats, line.own is not None, length)


def _alike(one: Shape, other: Shape) -> bool:
    """Whether the same base gives the same times: a swimmer's own factors may not concern this work."""
    return all(mine * other.scale == theirs * one.scale for mine, theirs in zip(one.weights, other.weights))


def _looked_at(lineup: _Lineup) -> tuple[tuple[Catch, ...], Fraction | None, int | None]:
    """The catches, the leader's shortest time for two lengths, and the first repeat on which the lane is full."""
    catches = tuple([catch for place in range(1, len(lineup.runners)) if (catch := _catch(lineup, place)) is not None])
    back, full_from = None, None
    # On a line swum straight through, nobody waits at the wall after the first repeat.
    for at, (number, shape, hold) in enumerate(lineup.repeats[:1] if lineup.straight else lineup.repeats):
        if shape.distance < 2 * lineup.length:
            continue
        two = _time_at(_shape(lineup, 0, at), hold, lineup.runners[0].base, 2 * lineup.length)
        back = two if back is None else min(back, two)
        if full_from is None and len(lineup.runners) > 1 and behind_ms(len(lineup.runners), lineup.spacing_ms) > two:
            full_from = number
    return catches, back, full_from


def _shape(lineup: _Lineup, place: int, at: int) -> Shape:
    """The repeat at index `at` as the swimmer at `place` swims it."""
    own = lineup.runners[place].shapes
    return lineup.repeats[at][1] if own is None else own[at]


def _catch(lineup: _Lineup, place: int) -> Catch | None:
    """Where the swimmer at `place` (from 0) first comes too close to the one ahead."""
    gap: int | Fraction = lineup.spacing_ms
    ahead, behind = lineup.runners[place - 1], lineup.runners[place]
    faster, alike = ahead.base - behind.base, ahead.shapes is None and behind.shapes is None
    if alike and faster <= 0 and gap >= CLOSE_MS:
        return None
    for at, (number, shape, hold) in enumerate(lineup.repeats):
        if not shape.distance:
            continue
        if gap < CLOSE_MS:
            return Catch(number, Fraction(0), place + 1)
        if alike:  # what is gained grows all the way, or shrinks all the way
            whole = Fraction(0) if hold is not None else faster * Fraction(shape.weights[-1], shape.scale)
            if gap - whole >= CLOSE_MS:
                gap -= whole if lineup.straight else 0
                continue
        gained = _gained(lineup, place, at)
        for (start, end), (before, after) in zip(pairwise((0, *shape.ends)), pairwise((Fraction(0), *gained))):
            if gap - after < CLOSE_MS:
                share = (gap - before - CLOSE_MS) / (after - before)
                return Catch(number, start + share * (end - start), place + 1)
        if lineup.straight:
            gap -= gained[-1]
    return None


def _gained(lineup: _Lineup, place: int, at: int) -> list[Fraction]:
    """How much the swimmer at `place` has gained on the one ahead at the end of each segment of a repeat."""
    hold, times = lineup.repeats[at][2], []
    for who in (place - 1, place):
        shape, base = _shape(lineup, who, at), lineup.runners[who].base
        each = Fraction(base, shape.scale) if hold is None else Fraction(hold, shape.weights[-1])
        times.append([each * weight for weight in shape.weights])
    return [ahead - behind for ahead, behind in zip(*times)]


def _time_at(shape: Shape, hold: int | Fraction | None, base: int | Fraction, distance: Fraction) -> Fraction:
    """The exact predicted time from the send-off to `distance` into the repeat."""
    weight = Fraction(shape.weights[-1])
    for (start, end), (light, heavy) in zip(pairwise((0, *shape.ends)), pairwise((0, *shape.weights))):
        if distance <= end:
            weight = light + Fraction(heavy - light) * (distance - start) / (end - start)
            break
    return weight * base / shape.scale if hold is None else weight * hold / shape.weights[-1]


# -- helping -----------------------------------------------------------------------------------------


def _helps(lineup: _Lineup, lane: int, beside: Sequence[tuple[int, _Lineup]], clock_ms: int) -> Iterator[Help]:
    order = sorted(range(len(lineup.runners)), key=lambda place: (_takes(lineup, place), lineup.runners[place].base))
    if order != sorted(order) and _is_free(lineup._replace(runners=tuple([lineup.runners[k] for k in order]))):
        yield InOrder(tuple([k + 1 for k in order]))
    spacing = _spacing(lineup, clock_ms)
    if spacing is not None:
        yield Apart(spacing)
    into = _into(lineup, lane, beside)
    if into is not None:
        yield into


def _takes(lineup: _Lineup, place: int) -> Fraction:
    """How long a swimmer takes for one repeat of each kind, in multiples of a time that is the same for all."""
    shapes = [_shape(lineup, place, at) for at, (_, shape, _) in enumerate(lineup.repeats) if shape.distance]
    return lineup.runners[place].base * sum([Fraction(shape.weights[-1], shape.scale) for shape in shapes], Fraction(0))


def _is_free(lineup: _Lineup) -> bool:
    catches, _, full_from = _looked_at(lineup)
    return not catches and full_from is None


def _spacing(lineup: _Lineup, clock_ms: int) -> int | None:
    """The spacing nearest to the current one that leaves room: on the clock's marks, or else in whole seconds."""
    _, back, _ = _looked_at(lineup)
    least = max(
        LEAST_APART_MS, CLOSE_MS + max([_closing(lineup, place) for place in range(1, len(lineup.runners))], default=0)
    )
    most = least + MINUTE_MS if back is None else int(back / len(lineup.runners))
    for mark in (clock_ms, 1_000):
        first, last = up_to(-int(-least // 1), mark), most // mark * mark
        if first <= last:
            present = max(1, (lineup.spacing_ms + mark // 2) // mark) * mark
            return min(max(present, first), last)
    return None


def _closing(lineup: _Lineup, place: int) -> Fraction:
    """The most that a swimmer gains on the one ahead, counted from the send-off."""
    most = gone = Fraction(0)
    for at, (_, shape, _) in enumerate(lineup.repeats):
        if shape.distance:
            gained = _gained(lineup, place, at)
            most = max(most, gone + max(gained))
            gone += gained[-1] if lineup.straight else 0
    return most


def _into(lineup: _Lineup, own_lane: int, beside: Sequence[tuple[int, _Lineup]]) -> Into | None:
    """Move one swimmer to a neighbouring lane so that both have room: the one nearest to it in pace.

    If several are equally near, the first moves to the lane before, the last to the lane after. Nobody moves whose own
    factors concern this work.
    """
    found: list[tuple[Fraction, int, int, int]] = []
    if len(lineup.runners) < 2:
        return None
    for lane, other in beside:
        for place, runner in enumerate(lineup.runners):
            if runner.shapes is not None:  # with factors of their own: the other lane has no shapes for them
                continue
            base = runner.base
            rest = lineup._replace(runners=lineup.runners[:place] + lineup.runners[place + 1 :])
            at = sum(there.base <= base for there in other.runners)
            joined = other._replace(runners=(*other.runners[:at], runner, *other.runners[at:]))
            if _is_free(rest) and _is_free(joined):
                apart = [abs(Fraction(there.base) - base) for there in other.runners]
                nearest = min(apart, default=Fraction(0))
                found.append((nearest, place if lane < own_lane else -place, lane, place + 1))
    return Into(min(found)[3], min(found)[2]) if found else None


# -- messages ----------------------------------------------------------------------------------------


def _messages(room: Room, unit: str) -> Iterator[tuple[str, str]]:
    catch = room.first_catch
    if catch is not None:
        others = sorted({other.swimmer for other in room.catches} - {catch.swimmer})
        where = (
            tr("straight away")
            if not catch.distance
            else tr("after {distance} {unit}", distance=int(catch.distance), unit=unit)
        )
        said = tr(
            "swimmer {swimmer} comes within {seconds} s of the one ahead, on repeat {repeat} {where}",
            swimmer=catch.swimmer,
            seconds=CLOSE_MS // 1000,
            repeat=catch.repeat,
            where=where,
        )
        if others:
            later = ", ".join(map(str, others))
            said = tr_n(
                "{said} (so does swimmer {others} later)",
                "{said} (so do swimmers {others} later)",
                len(others),
                said=said,
                others=later,
            )
        yield (said, "")
    if room.full_from is not None and room.back_ms is not None:
        takes = text_from_ms(behind_ms(room.swimmers, room.spacing_ms))
        back = text_from_ms(int(room.back_ms) // 1000 * 1000)
        yield (
            tr(
                "the lane is full: {swimmers} swimmers {spacing} apart need {takes} to leave, and the leader is back "
                "after {back}",
                swimmers=room.swimmers,
                spacing=text_from_ms(room.spacing_ms),
                takes=takes,
                back=back,
            ),
            tr("there is room for {fits}", fits=room.fits),
        )


def _or(one: str, other: str) -> str:
    return tr("{this}; or {that}", this=one, that=other) if one else other


def _help_said(timeline: Timeline, help: Help) -> str:
    if isinstance(help, InOrder):
        return tr("send them in order of pace: {order}", order=", ".join(map(str, help.order)))
    if isinstance(help, Apart):
        return tr("send them {spacing} apart", spacing=text_from_ms(help.spacing_ms))
    return tr("move swimmer {swimmer} to lane {number}", swimmer=help.swimmer, number=timeline.lanes[help.lane].number)
