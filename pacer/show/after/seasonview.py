"""A tablet's season: the calendar of what was swum and is planned, totals, and base paces over time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pacer.plan.library.plancards import Card
from pacer.review.logtables import Table
from pacer.review.report.historytables import season_tables
from pacer.review.season.calendardays import CalendarEntry, entries_of
from pacer.review.season.ledger import Ledger
from pacer.review.season.season import Season, Visit, lane_visits, season_of, visits


class SeasonView:
    """All of it, as far as it was read; `cards` are the shelf's."""

    def __init__(self, ledger: Ledger, cards: Iterable[Card]):
        self.ledger, self._cards = ledger, tuple(cards)
        self.entries: tuple[CalendarEntry, ...] = ()
        self.season = Season((), (), (), ())
        self.swimmers: Mapping[str, tuple[Visit, ...]] = {}
        self.lanes: Mapping[str, tuple[Visit, ...]] = {}

    def read_on(self, budget_s: float | None = None, since_ms: int = 0, until_ms: int = 2**62) -> int:
        """Read sessions for so long (None: all of them); how many are left to read. Raises StoreTrouble."""
        with self.ledger.open_for(budget_s) as ledger:
            season, left = season_of(ledger, since_ms, until_ms), self.ledger.left
            swimmers, lanes = visits(ledger), lane_visits(ledger)
        entries = entries_of(self.ledger.store.sessions(), self._cards)
        self.swimmers = {name: swimmers[name] for name in sorted(swimmers) if name}
        self.lanes = {lane: lanes[lane] for lane in sorted(lanes, key=int)}
        self.season, self.entries = season, entries
        return left

    def tables(self) -> tuple[Table, ...]:
        """The totals."""
        return season_tables(self.season)
