"""Rewrite a plan for a pool of another length or unit, and list all changes for the coach to accept.

Every distance becomes the nearest whole number of lengths of the new pool; of two equally near, the one
that ends at the home wall, otherwise the longer. Segments become whole lengths too if they can still fill
the repeat; otherwise they keep their shares of it and change in mid-pool. Intervals and target times follow
by pace. Units convert by distance alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate, pairwise, product
from math import gcd

from pacer.language import tr
from pacer.plan.decimals import half_up
from pacer.plan.model import (
    BaseHold,
    BaseInterval,
    ByLane,
    FixedHold,
    FixedInterval,
    Hold,
    Interval,
    Part,
    PerHundredInterval,
    Plan,
    Pool,
    SetLine,
)
from pacer.plan.planlines import with_lines
from pacer.plan.text.standardform import write_line
from pacer.plan.times import text_from_ms
from pacer.squad.squad import Pace
from pacer.timeline.shape import up_to

_HOLD_STEP_MS = 100  #: target times are given to a tenth
_PER_HUNDRED_STEP_MS = 1_000


@dataclass(frozen=True, slots=True)
class Alteration:
    """One change: the old and the new text on `line` of the page (None: in its header)."""

    line: int | None
    was: str
    now: str
    why: str


def for_pool(plan: Plan, pool: Pool) -> tuple[Plan, tuple[Alteration, ...]]:
    """The plan rewritten for `pool`, and each change made, in the order of the page.

    If the pool is the same, the same plan and no changes.
    """
    if pool == plan.pool:
        return plan, ()
    made = [Alteration(None, f"pool: {plan.pool}", f"pool: {pool}", tr("as asked"))]

    def change(section: int, number: int, line: SetLine) -> SetLine:
        other = _Line(line, plan, pool)
        made.extend(other.alterations)
        return other.line

    return replace(with_lines(plan, change), pool=pool), tuple(made)


class _Line:
    """One rewritten line: `line`, and its `alterations`."""

    def __init__(self, line: SetLine, plan: Plan, pool: Pool):
        self.written = line
        self.line = line
        self.old, self.pool, self.clock_ms = plan.pool, pool, plan.clock_ms
        #: New units per old unit.
        self.units = Fraction(Pace(100, pool.unit).per_100(plan.pool.unit)) / 100
        self.alterations: list[Alteration] = []
        if line.time_ms is None:
            self._distances()
            self._segments()
            self._times()

    def _note(self, was: str, now: str, why: str) -> None:
        if was != now:
            self.alterations.append(Alteration(self.written.span.line if self.written.span else None, was, now, why))

    # -- distances ------------------------------------------------------------------------------------

    def _distances(self) -> None:
        old = _lengths(self.written)
        new = tuple(self._nearest(distance) for distance in old)
        if self.written.distance is None:
            self.line = replace(self.line, ladder=new)
        else:
            self.line = replace(self.line, distance=replace(self.written.distance, entries=new))
        for before, after in dict(zip(old, new)).items():
            why = (
                tr("nearest in {pool} lengths", pool=self.pool)
                if self.units == 1
                else tr(
                    "{before} {unit} is {exact:.0f} {pool_unit}; nearest in {pool} lengths",
                    before=before,
                    unit=self.old.unit,
                    exact=float(before * self.units),
                    pool_unit=self.pool.unit,
                    pool=self.pool,
                )
            )
            self._note(f"{before} {self.old.unit}", f"{after} {self.pool.unit}", why)

    def _nearest(self, distance: int) -> int:
        return min(self._near(distance), key=lambda near: self._badness(distance, near))

    def _near(self, distance: int) -> tuple[int, ...]:
        """The whole lengths just below and above a distance, in whole units."""
        step = self.pool.length.numerator  # the least distance that is whole lengths and whole units
        below = int(distance * self.units // step) * step
        return tuple(near for near in (below, below + step) if near)

    def _badness(self, distance: int, near: int) -> tuple[Fraction, bool, int]:
        return abs(near - distance * self.units), near / self.pool.length % 2 != 0, -near

    # -- segments -----------------------------------------------------------------------------------------

    def _segments(self) -> None:
        parts = tuple(self._part(part) for part in self.written.pattern.parts)
        self.line = replace(self.line, pattern=replace(self.written.pattern, parts=parts))

    def _part(self, part: Part) -> Part:
        old = [segment.distance for segment in part.segments if segment.distance is not None]
        if len(old) < len(part.segments):
            return part
        repeats = dict(zip(_lengths(self.written), _lengths(self.line)))
        new = self._whole_lengths(old, repeats)
        why = tr("nearest in {pool} lengths that fill the repeat", pool=self.pool)
        if new is None:
            new = _shares(old, repeats)
            why = tr("same split of the repeat; the change comes in mid-pool, as one length is {pool}", pool=self.pool)
        self._note(
            " / ".join(f"{n}" for n in old) + f" {self.old.unit}",
            " / ".join(f"{n}" for n in new) + f" {self.pool.unit}",
            why,
        )
        return replace(
            part, segments=tuple(replace(segment, distance=distance) for segment, distance in zip(part.segments, new))
        )

    def _whole_lengths(self, old: Sequence[int], repeats: dict[int, int]) -> list[int] | None:
        """Segments of whole lengths that fill the repeats, none of them left out.

        Of all such, those with the nearest shares, then the nearest lengths.
        """
        if len(old) > 8:
            return None
        found = []
        for new in product(*[self._near(distance) for distance in old]):
            unlike = Fraction(0)
            for before, after in repeats.items():
                was, now = _amounts(old, before), _amounts(new, after)
                if not was or not now or any((m > 0) != (n > 0) for m, n in zip(was, now)):
                    break
                unlike += sum([abs(Fraction(n, after) - Fraction(m, before)) for m, n in zip(was, now)])
            else:
                found.append((unlike, sum([abs(n - distance * self.units) for n, distance in zip(new, old)]), new))
        return list(min(found)[2]) if found else None

    # -- times ---------------------------------------------------------------------------------------------

    def _times(self) -> None:
        written = self.written
        if written.interval is not None:
            entries = self._by_lane(
                written.interval, lambda entry, ratio: tuple(self._interval(each, ratio) for each in entry)
            )
            self.line = replace(self.line, interval=entries)
            self._note(
                _said(written, "interval"),
                _said(self.line, "interval"),
                tr("the same pace, rounded up to the next {clock}", clock=text_from_ms(self.clock_ms)),
            )
        if written.hold is not None:
            self.line = replace(self.line, hold=self._by_lane(written.hold, self._hold))
            self._note(_said(written, "hold"), _said(self.line, "hold"), tr("the same pace"))

    def _interval(self, interval: Interval, ratio: Fraction) -> Interval:
        if isinstance(interval, FixedInterval):
            return interval if ratio == 1 else FixedInterval(_up(interval.interval_ms * ratio, self.clock_ms))
        if isinstance(interval, PerHundredInterval) and self.units != 1:
            return PerHundredInterval(_up(interval.per_100_ms / self.units, _PER_HUNDRED_STEP_MS))
        assert isinstance(interval, BaseInterval | PerHundredInterval)
        return interval

    def _hold(self, hold: Hold, ratio: Fraction) -> Hold:
        if isinstance(hold, FixedHold):
            return hold if ratio == 1 else FixedHold(_to(hold.hold_ms * ratio, _HOLD_STEP_MS))
        return hold if self.units == 1 else BaseHold(_to(hold.extra_ms / self.units, _HOLD_STEP_MS))

    def _by_lane(self, value: ByLane, change) -> ByLane:
        """Change each entry in proportion to its lane's new distance.

        If a lane's own distance is not known, use the greatest ratio of any.
        """
        distance, ratios = self.written.distance, self._ratios()
        if distance is None or len(set(ratios)) == 1 or (distance.labels is None) != (value.labels is None):
            return replace(value, entries=tuple(change(entry, max(ratios)) for entry in value.entries))
        if value.labels is not None and distance.labels is not None:
            by_label = dict(zip(distance.labels, ratios))
            return replace(
                value,
                entries=tuple(
                    change(entry, by_label.get(label, max(ratios))) for label, entry in zip(value.labels, value.entries)
                ),
            )
        count = max(len(value.entries), len(ratios))
        return ByLane(tuple(change(value.for_lane(i, None), ratios[min(i, len(ratios) - 1)]) for i in range(count)))

    def _ratios(self) -> list[Fraction]:
        """The ratio of each repeat's new distance to its old one."""
        return [after / (before * self.units) for before, after in zip(_lengths(self.written), _lengths(self.line))]


def _lengths(line: SetLine) -> tuple[int, ...]:
    """Each repeat of a ladder, otherwise each distance of the line; none if its repeats are timed."""
    if line.ladder is not None:
        return line.ladder
    return line.distance.entries if line.distance is not None else ()


def _amounts(segments: Sequence[int], distance: int) -> list[int] | None:
    """How much of the distance each segment covers as they cycle; None if no segment ends at the distance."""
    made, done, place = [0] * len(segments), 0, 0
    while done < distance:
        made[place] += segments[place]
        done += segments[place]
        place = (place + 1) % len(segments)
    return made if done == distance else None


def _shares(old: Sequence[int], repeats: dict[int, int]) -> list[int]:
    """Segments in the proportions of `old` that fill all the new repeats as they cycle."""
    cycle, scales = sum(old), {Fraction(after, before) for before, after in repeats.items()}
    scaled = [distance * scale for scale in scales for distance in old]
    if len(scales) == 1 and all(distance.denominator == 1 for distance in scaled):
        return [int(distance) for distance in scaled]
    whole = gcd(*repeats.values())
    ends = [half_up(Fraction(end * whole, cycle)) for end in accumulate(old, initial=0)]
    return [end - start for start, end in pairwise(ends)]


def _up(value: Fraction, step: int) -> int:
    """The first multiple of `step` that is at least `value`."""
    return up_to(-int(-value // 1), step)


def _to(value: Fraction, step: int) -> int:
    """The nearest multiple of `step`."""
    return half_up(value / step) * step


def _said(line: SetLine, detail: str) -> str:
    """One detail of a line as it is written."""
    bare = replace(
        line,
        ladder=None,
        distance=ByLane((1,)),
        count=ByLane((1,)),
        interval=None,
        rest_ms=None,
        hold=None,
        rate=None,
        apart_ms=None,
        gear=(),
        change=None,
        cue="",
        groups=(),
    )
    return (
        write_line(replace(bare, **{detail: getattr(line, detail)})).removeprefix(write_line(bare)).removeprefix(", ")
    )
