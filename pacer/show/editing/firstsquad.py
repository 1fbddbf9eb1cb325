"""A first squad from a few answers: how many lanes, how fast the first and the last one is. No Kivy."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction

from pacer.language import tr
from pacer.plan.decimals import half_up
from pacer.squad.squad import MAX_LANES, MAX_SWIMMERS, Lane, Pace, Squad, Swimmer

NAME = tr("My squad")
BASE_STEP_MS = 5_000
LANES_OFFERED = 10  #: offered here; the squad's own page can add more
FASTEST_MS, SLOWEST_MS = 40_000, 300_000


@dataclass(frozen=True, slots=True)
class FirstSquad:
    """The answers: base paces are per 100 of the pool's unit.

    `typed` are those of lanes in between, by their place; `said` the places of all whose base the coach gave.
    """

    lanes: int = 4
    swimmers: int = 5
    fast_ms: int = 90_000
    slow_ms: int = 120_000
    typed: dict[int, int] = field(default_factory=dict)
    said: frozenset[int] = frozenset()

    def paces(self) -> tuple[int, ...]:
        """Each lane's base, as it was typed, those between in even steps from the fastest to the slowest, in whole
        seconds.

        >>> FirstSquad(lanes=4, fast_ms=90_000, slow_ms=120_000).paces()
        (90000, 100000, 110000, 120000)
        """
        last = self.lanes - 1
        if not last:
            return (self.fast_ms,)
        steps = (
            Fraction(self.fast_ms * last + (self.slow_ms - self.fast_ms) * n, 1000 * last) for n in range(self.lanes)
        )
        even = (self.fast_ms, *[half_up(step) * 1000 for step in steps][1:last], self.slow_ms)
        return tuple(self.typed.get(n, ms) if 0 < n < last else ms for n, ms in enumerate(even))

    def with_base(self, place: int, ms: int) -> FirstSquad:
        """The same with the base of the lane at `place`; the first is the fastest, the last the slowest.

        >>> FirstSquad(lanes=3).with_base(0, 82_000).with_base(2, 112_000).with_base(1, 94_000).paces()
        (82000, 94000, 112000)
        """
        said = self.said | {place}
        if place == 0:
            return replace(self, fast_ms=ms, slow_ms=max(ms, self.slow_ms), said=said)
        if place == self.lanes - 1:
            return replace(self, slow_ms=ms, fast_ms=min(ms, self.fast_ms), said=said)
        return replace(self, typed={**self.typed, place: ms}, said=said)

    def squad(self) -> Squad:
        """The squad."""
        made = []
        for n, ms in enumerate(self.paces()):
            pace = Pace(ms)
            made.append(Lane(n + 1, pace, (Swimmer(pace, own=False),) * self.swimmers))
        return Squad(tuple(made), NAME)

    def changed(self, what: str, by: int) -> FirstSquad:
        """Change an answer: `swimmers`, `fast` or `slow` by `by` steps within their range, or set the number of
        `lanes`.
        """
        lanes, swimmers, fast, slow, said = self.lanes, self.swimmers, self.fast_ms, self.slow_ms, self.said
        if what == "lanes":
            lanes = min(max(1, by), MAX_LANES)
            if lanes != self.lanes:  # another lane is the slowest
                said = frozenset(place for place in said if place == 0 or place in self.typed and place < lanes - 1)
        elif what == "swimmers":
            swimmers = min(max(1, swimmers + by), MAX_SWIMMERS)
        elif what == "fast":
            fast = min(max(FASTEST_MS, fast + by * BASE_STEP_MS), SLOWEST_MS)
            slow, said = max(slow, fast), said | {0}
        elif what == "slow":
            slow = min(max(FASTEST_MS, slow + by * BASE_STEP_MS), SLOWEST_MS)
            fast, said = min(fast, slow), said | {lanes - 1}
        return FirstSquad(lanes, swimmers, fast, slow, self.typed, said)
