"""Send-offs and target times as amounts of time that can be moved, whichever way a plan writes them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from pacer.plan.model import BaseHold, BaseInterval, FixedHold, FixedInterval, Hold, Interval, PerHundredInterval
from pacer.plan.times import text_from_ms
from pacer.review.swum.timedsets import TimedSet


class Aim(NamedTuple):
    """A send-off or a target time. `per_100`: its amount is for each 100, else for each repeat.

    `by_base`: the amount is on top of the lane's base, so that it moves along with the base.
    """

    written: Interval | Hold
    amount_ms: int
    per_100: bool
    by_base: bool

    @property
    def text(self) -> str:
        """As a plan writes it."""
        said = f"{'base+' if self.by_base else ''}{text_from_ms(self.amount_ms)}"
        return f"{said} per 100" if isinstance(self.written, PerHundredInterval) else said

    def later(self, move_ms: int) -> Interval | Hold:
        """The same, so much later; unchanged if it would become impossible."""
        amount = self.amount_ms + move_ms
        if amount < 0 or not (amount or self.by_base):
            return self.written
        match self.written:
            case FixedInterval():
                return replace(self.written, interval_ms=amount)
            case PerHundredInterval():
                return replace(self.written, per_100_ms=amount)
            case FixedHold():
                return replace(self.written, hold_ms=amount)
            case BaseInterval() | BaseHold():
                return replace(self.written, extra_ms=amount)


def aim_of(written: Interval | Hold) -> Aim:
    """A send-off or a target time as an amount."""
    match written:
        case FixedInterval(ms) | FixedHold(ms):
            return Aim(written, ms, per_100=False, by_base=False)
        case PerHundredInterval(ms):
            return Aim(written, ms, per_100=True, by_base=False)
        case BaseInterval(ms):
            return Aim(written, ms, per_100=False, by_base=True)
        case BaseHold(ms):
            return Aim(written, ms, per_100=True, by_base=True)


class LaneTimes(NamedTuple):
    """A lane's times of one set by swimmer, without outliers: time, prediction and distance of each repeat.

    `before`, `now`: the lane's base per 100 in that session and for the next page. `first`: on the page that gave the
    set the rest that it is meant to have.
    """

    rows: tuple[tuple[tuple[int, int, int], ...], ...]
    before: int | Fraction
    now: int | Fraction
    first: int | Fraction

    def shift(self, aim: Aim) -> Fraction:
        """How far the slowest swimmer was off on average, in the measure of an aim; what a new base moves is not
        counted again."""
        return max(
            sum((self._measured(aim, time, predicted, far) for time, predicted, far in row), Fraction(0)) / len(row)
            for row in self.rows
        )

    def _measured(self, aim: Aim, time_ms: int, predicted_ms: int, far: int) -> Fraction:
        moved = time_ms - self.expected(aim, predicted_ms)
        if aim.by_base:
            moved -= (Fraction(self.now) - Fraction(self.before)) * far / 100
        return moved * 100 / far if aim.per_100 else moved

    def expected(self, aim: Aim, predicted_ms: int) -> Fraction:
        """The time that an aim allows for: by the base that it was written for, unless it moves along with the base."""
        return Fraction(predicted_ms) * (1 if aim.by_base else Fraction(self.first) / Fraction(self.before))

    def least(self, aim: Aim, rest_ms: int) -> Fraction:
        """The least amount of a send-off that leaves everybody so much rest, by the base."""
        share = Fraction(self.now) / Fraction(self.before)
        amounts = []
        for row in self.rows:
            for _, predicted, far in row:
                amount = predicted * share + rest_ms
                if aim.by_base:
                    amount -= Fraction(self.now) * far / 100
                amounts.append(amount * 100 / far if aim.per_100 else amount)
        return max(amounts)


def lane_times(
    tables: Iterable[TimedSet],
    out: frozenset[int],
    before: int | Fraction,
    now: int | Fraction,
    first: int | Fraction,
) -> LaneTimes:
    """One lane's times of a set. `out` holds the entries of times that were left out as outliers."""
    rows = []
    for table in tables:
        for row in table.rows:
            cells = [cell for cell in row.cells if cell.entry not in out]
            if cells:
                made = [(cell.time_ms, cell.predicted_ms, table.columns[cell.column].distance) for cell in cells]
                rows.append(tuple(made))
    return LaneTimes(tuple(rows), before, now, first)
