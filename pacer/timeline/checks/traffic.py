"""Room in the lane: who catches whom, whether the leader comes back to swimmers who still wait, and what would help.

The model: circle swimming, each swimmer at their own constant predicted speed in each segment, with exact
unrounded times. Nobody gives way in the model; the findings say where somebody would have to.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, pairwise
from operator import itemgetter
from typing import NamedTuple

from pacer.plan.times import text_from_ms
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


class _Lineup(NamedTuple):
    """The swimmers' bases, their spacing, and the repeats: number, shape and hold.

    `straight`: no stop between repeats. Otherwise only the first of equal repeats is in the list.
    """

    bases: tuple[int | Fraction, ...]
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
            Room(section, line, lane, len(lineup.bases), lineup.spacing_ms, catches, back, fits, full_from, helps)
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
        hint = "; or ".join(_help_said(timeline, room, help) for help in room.helps)
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
    repeats = [(number, line.shapes[i], line.holds[i]) for number, i in enumerate(swum, 1)]
    if line.own is None:
        firsts = {(shape, hold): number for number, shape, hold in reversed(repeats)}
        repeats = sorted([(number, shape, hold) for (shape, hold), number in firsts.items()], key=itemgetter(0))
    return _Lineup(line.bases, line.spacing_ms, tuple(repeats), line.own is not None, length)


def _looked_at(lineup: _Lineup) -> tuple[tuple[Catch, ...], Fraction | None, int | None]:
    """The catches, the leader's shortest time for two lengths, and the first repeat on which the lane is full."""
    catches = tuple([catch for place in range(1, len(lineup.bases)) if (catch := _catch(lineup, place)) is not None])
    back, full_from = None, None
    # On a line swum straight through, nobody waits at the wall after the first repeat.
    for number, shape, hold in lineup.repeats[:1] if lineup.straight else lineup.repeats:
        if shape.distance < 2 * lineup.length:
            continue
        two = _time_at(shape, hold, lineup.bases[0], 2 * lineup.length)
        back = two if back is None else min(back, two)
        if full_from is None and len(lineup.bases) > 1 and len(lineup.bases) * lineup.spacing_ms > two:
            full_from = number
    return catches, back, full_from


def _catch(lineup: _Lineup, place: int) -> Catch | None:
    """Where the swimmer at `place` (from 0) first comes too close to the one ahead."""
    gap: int | Fraction = lineup.spacing_ms
    faster = lineup.bases[place - 1] - lineup.bases[place]
    if faster <= 0 and gap >= CLOSE_MS:
        return None
    for number, shape, hold in lineup.repeats:
        if not shape.distance:
            continue
        if gap < CLOSE_MS:
            return Catch(number, Fraction(0), place + 1)
        closes = Fraction(0) if hold is not None else faster * Fraction(shape.weights[-1], shape.scale)
        if gap - closes < CLOSE_MS:
            return Catch(number, _distance_at(shape, Fraction(gap - CLOSE_MS) / faster * shape.scale), place + 1)
        if lineup.straight:
            gap -= closes
    return None


def _distance_at(shape: Shape, weight: Fraction) -> Fraction:
    """The distance into the repeat at which the cumulated weight reaches `weight`."""
    for (start, end), (light, heavy) in zip(pairwise((0, *shape.ends)), pairwise((0, *shape.weights))):
        if weight < heavy:
            return start + (weight - light) / (heavy - light) * (end - start)
    return Fraction(shape.distance)


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
    order = sorted(range(len(lineup.bases)), key=lineup.bases.__getitem__)
    if order != sorted(order) and _is_free(lineup._replace(bases=tuple([lineup.bases[k] for k in order]))):
        yield InOrder(tuple([k + 1 for k in order]))
    spacing = _spacing(lineup, clock_ms)
    if spacing is not None:
        yield Apart(spacing)
    into = _into(lineup, lane, beside)
    if into is not None:
        yield into


def _is_free(lineup: _Lineup) -> bool:
    catches, _, full_from = _looked_at(lineup)
    return not catches and full_from is None


def _spacing(lineup: _Lineup, clock_ms: int) -> int | None:
    """The spacing nearest to the current one that leaves room: on the clock's marks, or else in whole seconds."""
    _, back, _ = _looked_at(lineup)
    least = max(
        LEAST_APART_MS, CLOSE_MS + max([_closing(lineup, place) for place in range(1, len(lineup.bases))], default=0)
    )
    most = least + 60_000 if back is None else int(back / len(lineup.bases))
    for mark in (clock_ms, 1_000):
        first, last = up_to(-int(-least // 1), mark), most // mark * mark
        if first <= last:
            present = max(1, (lineup.spacing_ms + mark // 2) // mark) * mark
            return min(max(present, first), last)
    return None


def _closing(lineup: _Lineup, place: int) -> Fraction:
    """The most that a swimmer gains on the one ahead, counted from the send-off."""
    faster = lineup.bases[place - 1] - lineup.bases[place]
    gains = [
        faster * Fraction(shape.weights[-1], shape.scale) if hold is None and shape.distance else Fraction(0)
        for _, shape, hold in lineup.repeats
    ]
    return max(Fraction(0), *(accumulate(gains) if lineup.straight else gains))


def _into(lineup: _Lineup, own_lane: int, beside: Sequence[tuple[int, _Lineup]]) -> Into | None:
    """Move one swimmer to a neighbouring lane so that both have room: the one nearest to it in pace.

    If several are equally near, the first moves to the lane before, the last to the lane after.
    """
    found: list[tuple[Fraction, int, int, int]] = []
    if len(lineup.bases) < 2:
        return None
    for lane, other in beside:
        for place, base in enumerate(lineup.bases):
            rest = lineup._replace(bases=lineup.bases[:place] + lineup.bases[place + 1 :])
            at = sum(there <= base for there in other.bases)
            joined = other._replace(bases=(*other.bases[:at], base, *other.bases[at:]))
            if _is_free(rest) and _is_free(joined):
                apart = [abs(Fraction(there) - base) for there in other.bases]
                nearest = min(apart, default=Fraction(0))
                found.append((nearest, place if lane < own_lane else -place, lane, place + 1))
    return Into(min(found)[3], min(found)[2]) if found else None


# -- messages ----------------------------------------------------------------------------------------


def _messages(room: Room, unit: str) -> Iterator[tuple[str, str]]:
    catch = room.first_catch
    if catch is not None:
        others = sorted({other.swimmer for other in room.catches} - {catch.swimmer})
        more = f" (so do swimmers {', '.join(map(str, others))} later)" if others else ""
        where = "at once" if not catch.distance else f"after {int(catch.distance)} {unit}"
        close = f"swimmer {catch.swimmer} comes within {CLOSE_MS // 1000} s of the one ahead"
        yield f"{close}, on repeat {catch.repeat} {where}{more}", ""
    if room.full_from is not None and room.back_ms is not None:
        takes, back = text_from_ms(room.swimmers * room.spacing_ms), text_from_ms(int(room.back_ms) // 1000 * 1000)
        leaving = f"{room.swimmers} swimmers {text_from_ms(room.spacing_ms)} apart take {takes} to leave"
        yield f"the lane is full: {leaving}, and the leader is back after {back}", f"{room.fits} fit"


def _help_said(timeline: Timeline, room: Room, help: Help) -> str:
    if isinstance(help, InOrder):
        return f"leave in order of pace: {', '.join(map(str, help.order))}"
    if isinstance(help, Apart):
        return f"leave {text_from_ms(help.spacing_ms)} apart"
    return f"move swimmer {help.swimmer} to lane {timeline.lanes[help.lane].number}"
