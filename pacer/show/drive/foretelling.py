"""What each lane says becomes of it: by the key that is held down, or for a while by the last press. No Kivy."""

from __future__ import annotations

from collections.abc import Mapping

from pacer.plan.times import SECOND_MS
from pacer.show.drive.driver import Driver
from pacer.show.drive.pressproposal import Proposal
from pacer.show.measure.messagetime import FORECAST_MS

#: By lane (index), the longest way first. A lane that a press does not touch says nothing.
Foretold = Mapping[int, tuple[str, ...]]
NOTHING: Foretold = {}


class Foretelling:
    """The forecasts of one session."""

    def __init__(self, driver: Driver):
        self.driver = driver
        self._did: tuple[Proposal, int] | None = None  # what was done last, and until when it is told
        self._said: tuple[Proposal, int, Foretold] | None = None  # of which press, at which second

    def did(self, proposal: Proposal) -> None:
        """A press was made."""
        self._did = proposal, (self.driver.at_ms() or 0) + FORECAST_MS

    def drop(self) -> None:
        """Say no more of it: the coach has opened another page."""
        self._did = None

    def said(self, asked: Proposal | None, at_ms: int) -> Foretold:
        """What the lanes say at `at_ms` of the session; `asked`: what the key that is held down would do, None if none
        is.
        """
        if asked is not None and asked.entry is None:
            asked = None
        done = asked is None
        if asked is None and self._did is not None:
            if self.driver.ended or at_ms >= self._did[1]:
                self._did = None
            else:
                asked = self._did[0]
        if asked is None or asked.told is None:
            self._said = None
            return NOTHING
        second = at_ms // SECOND_MS
        if self._said is None or self._said[0] is not asked or self._said[1] != second:
            from pacer.show.view.laneforecast import forecast_ways, lane_forecasts  # not needed for the first picture

            found = lane_forecasts(asked.told)
            every = {lane: forecast_ways(asked.told.run, told, at_ms, done=done) for lane, told in found.items()}
            ways = {lane: each for lane, each in every.items() if each}
            same = self._said is not None and self._said[2] == ways
            self._said = asked, second, self._said[2] if same and self._said is not None else ways
        return self._said[2]
