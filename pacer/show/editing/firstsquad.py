"""A first squad from a few answers: how many lanes, how fast the first and the last one is. No Kivy."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from pacer.language import tr
from pacer.plan.times import half_up, text_from_ms
from pacer.squad.squad import MAX_LANES, MAX_SWIMMERS, Lane, Pace, Squad, Swimmer

NAME = tr("My squad")
STEP_MS = 5_000
FASTEST_MS, SLOWEST_MS = 40_000, 300_000


@dataclass(frozen=True, slots=True)
class FirstSquad:
    """The answers: base paces are per 100 of the pool's unit."""

    lanes: int = 4
    swimmers: int = 5
    fast_ms: int = 90_000
    slow_ms: int = 120_000

    def paces(self) -> tuple[int, ...]:
        """Each lane's base, in even steps from the fastest to the slowest, in whole seconds.

        >>> FirstSquad(lanes=4, fast_ms=90_000, slow_ms=120_000).paces()
        (90000, 100000, 110000, 120000)
        """
        last = self.lanes - 1
        if not last:
            return (self.fast_ms,)
        steps = (
            Fraction(self.fast_ms * last + (self.slow_ms - self.fast_ms) * n, 1000 * last) for n in range(self.lanes)
        )
        return tuple(half_up(step) * 1000 for step in steps)

    def said(self) -> str:
        """The lanes in words."""
        return ", ".join(
            tr("lane {number} {ms}", number=n + 1, ms=text_from_ms(ms)) for n, ms in enumerate(self.paces())
        )

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
        lanes, swimmers, fast, slow = self.lanes, self.swimmers, self.fast_ms, self.slow_ms
        if what == "lanes":
            lanes = min(max(1, by), MAX_LANES)
        elif what == "swimmers":
            swimmers = min(max(1, swimmers + by), MAX_SWIMMERS)
        elif what == "fast":
            fast = min(max(FASTEST_MS, fast + by * STEP_MS), SLOWEST_MS)
            slow = max(slow, fast)
        elif what == "slow":
            slow = min(max(FASTEST_MS, slow + by * STEP_MS), SLOWEST_MS)
            fast = min(fast, slow)
        return FirstSquad(lanes, swimmers, fast, slow)
