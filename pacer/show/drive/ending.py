"""How a session ends, and is resumed after its end."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from pacer.language import tr
from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import Ended, Entry
from pacer.session.running import presses
from pacer.session.running.replay import REOPEN_MS, Run
from pacer.show.drive.pressproposal import Proposal

if TYPE_CHECKING:
    from pacer.session.running.outlook import Outlook


class Ending:
    """Mixed into the driver, which has all of these."""

    run: Run

    @property
    def ended(self) -> bool:
        """Whether the session was ended."""
        raise NotImplementedError

    @property
    def seen(self) -> Run:
        """The run by the session's times."""
        raise NotImplementedError

    def at_ms(self) -> int | None:
        """Session time now."""
        raise NotImplementedError

    @property
    def _by_times(self) -> Run:
        raise NotImplementedError

    def _told(self, entry: Entry, run: Run | None = None) -> Outlook:
        raise NotImplementedError

    def _expected(self, run: Run) -> Run:
        raise NotImplementedError

    def _offer_in_words(
        self, make: Callable[[Run, int], Entry | None], words: Callable[[Run, Outlook], tuple[str, ...]], *nothing: str
    ) -> Proposal:
        raise NotImplementedError

    def _propose(self, entry: Entry, *ways: str, told: Outlook | None = None) -> Proposal:
        raise NotImplementedError

    def _nothing(self, *why: str) -> Proposal:
        raise NotImplementedError

    def end(self) -> Proposal:
        """End the session."""
        from pacer.show.wording.pressedtext import ended_ways  # not needed for the first picture

        return self._offer_in_words(
            lambda _run, at_ms: Ended(at_ms),
            lambda _run, told: ended_ways(self._expected(told.run), told),
        )

    @property
    def reopens(self) -> bool:
        """Whether the session was ended, and recently enough to be resumed."""
        ended_ms = self.run.ended_ms
        if ended_ms is None or not isinstance(self.run.by, Ended):  # before the clock is read: a frame reads it once
            return False
        at_ms = self.at_ms()
        return at_ms is not None and at_ms - ended_ms <= REOPEN_MS

    def reopen(self) -> Proposal:
        """Resume an ended session like a paused one; lanes that were stopped after its end stay paused."""
        at_ms = self.at_ms()
        if at_ms is None or not self.reopens:
            return self._nothing(
                tr("too late to resume: it ended more than {reopen_ms} min ago", reopen_ms=REOPEN_MS // MINUTE_MS)
                if self.ended
                else tr("the session is running"),
                tr("too late") if self.ended else tr("running"),
            )
        from pacer.show.wording.pressedtext import reopened_ways  # not needed for the first picture

        entry = presses.reopen(self._by_times, at_ms)
        return self._propose(entry, *reopened_ways(self.run, self.seen, entry, self._told), told=self._told(entry))
