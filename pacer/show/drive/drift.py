"""The finish that drifts over the booking by the times taken: told once, with what would bring it back.

What would help is worked out aside: no frame waits for it.
"""

from __future__ import annotations

from pacer.session.records.expected import paces
from pacer.session.records.overrun import Remedy, over_ms, remedies
from pacer.session.records.touches import Taken
from pacer.session.running.ongoing import Run
from pacer.show.drive.asidethread import Answers
from pacer.show.wording.overruntext import overrun_ways


class Drift:
    """`told`: whether the coach was told."""

    def __init__(self) -> None:
        self.told = False
        self.answers: Answers[tuple[Remedy, ...]] = Answers("drift")

    def remedies(self, run: Run, seen: Run, taken: tuple[Taken, ...], at_ms: int) -> tuple[Remedy, ...] | None:
        """What would bring the finish back; () where it is in time, None as long as it is worked out."""
        if not over_ms(run, seen):
            return ()
        return self.answers.ask((id(run), id(seen)), lambda: remedies(run, paces(run, taken), at_ms))

    def news(self, run: Run, seen: Run, taken: tuple[Taken, ...], at_ms: int) -> tuple[str, ...]:
        """What the coach is told, the first time that the finish is over; () else."""
        if self.told or not over_ms(run, seen):
            return ()
        found = self.remedies(run, seen, taken, at_ms)
        if found is None:
            return ()
        self.told = True
        return overrun_ways(run, over_ms(run, seen), found)
