"""What the times taken predict: a finish over the booking, with ways to bring it back, and swimmers who catch the one
ahead. Each is told once.

Worked out on another thread: no frame waits for it.
"""

from __future__ import annotations

from pacer.session.records.expectedtimes import paces
from pacer.session.records.foretoldcatches import Foretold, foretold
from pacer.session.records.overrun import Remedy, over_ms, remedies
from pacer.session.records.touches import TakenTime
from pacer.session.running.finish import finish_ms
from pacer.session.running.runstate import Run
from pacer.session.running.whereabouts import stops
from pacer.show.drive.asidethread import Answers
from pacer.show.wording.overruntext import catch_ways, overrun_ways


class OverrunNews:
    """`told`: whether the coach has been told about the finish. `caught`: the lanes whose catches were told, by
    section and line.
    """

    def __init__(self) -> None:
        self.told = False
        self.caught: set[tuple[int, int, int]] = set()
        self.answers: Answers[tuple[Remedy, ...]] = Answers("overrun")
        self.catches: Answers[tuple[Foretold, ...]] = Answers("catches")

    def remedies(self, run: Run, seen: Run, taken: tuple[TakenTime, ...], at_ms: int) -> tuple[Remedy, ...] | None:
        """What would bring the finish back; () if it is in time, None until it is worked out."""
        if not over_ms(run, seen, at_ms):
            return ()
        ask = run.timeline, seen.timeline, finish_ms(seen, at_ms)  # a pause of all puts the finish off
        return self.answers.ask(ask, lambda: remedies(run, paces(run, taken), at_ms))

    def news(self, run: Run, seen: Run, taken: tuple[TakenTime, ...], at_ms: int) -> tuple[str, ...]:
        """What the coach has not been told yet; () if there is nothing, or until it is worked out."""
        if seen is run:
            return ()
        return self._of_the_finish(run, seen, taken, at_ms) or self._of_a_catch(run, seen, at_ms)

    def _of_the_finish(self, run: Run, seen: Run, taken: tuple[TakenTime, ...], at_ms: int) -> tuple[str, ...]:
        if self.told or not over_ms(run, seen, at_ms):
            return ()
        found = self.remedies(run, seen, taken, at_ms)
        if found is None:
            return ()
        self.told = True
        return overrun_ways(run, over_ms(run, seen, at_ms), found)

    def _of_a_catch(self, run: Run, seen: Run, at_ms: int) -> tuple[str, ...]:
        found = self.catches.ask((run.timeline, seen.timeline), lambda: foretold(run, seen, at_ms))
        for each in found or ():
            key = each.lane, each.section, each.line
            if key not in self.caught and not _at_the_wall(seen, each.lane, at_ms):
                self.caught.add(key)
                return catch_ways(run, each)
        return ()


def _at_the_wall(seen: Run, lane: int, at_ms: int) -> bool:
    """Whether a lane is paused or told to stop at the wall: it has nobody to catch until it leaves again."""
    timeline = seen.timeline
    stopping = any(since <= at_ms < until for since, until in stops(timeline, lane))
    return stopping or timeline.tracks[lane].paused_ms is not None
