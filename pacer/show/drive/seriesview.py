"""The series that a tablet has: plans on the shelf, sessions in the log, the drill book, the squads, as one view."""

from __future__ import annotations

from collections.abc import Iterable
from time import monotonic

from pacer.plan.library.beginnings import header_of
from pacer.plan.library.cards import Card
from pacer.plan.library.drillbook import DrillBook, named_in
from pacer.review.season.ledger import Ledger
from pacer.review.series.due import Gaps
from pacer.review.series.seriesorder import Series, SeriesPage, all_series
from pacer.review.series.visited import Diary, PlannedPage, Visited, diary_of, visited_of
from pacer.squad.squad import Squad


class SeriesView:
    """Every series of `cards` (the shelf's) and of the ledger's sessions.

    `squads` say who is in which squad now.
    """

    def __init__(self, ledger: Ledger, cards: Iterable[Card], book: DrillBook, gaps: Gaps, squads: Iterable[Squad]):
        self.ledger, self.book, self.gaps = ledger, book, gaps
        self._cards = tuple(cards)
        self._members: dict[str, frozenset[str]] = {}
        for squad in squads:
            names = frozenset(one.name for lane in squad.lanes for one in lane.swimmers if one.name)
            self._members[squad.name] = self._members.get(squad.name, frozenset()) | names
        self._diary = Diary((), {}, {}, {})
        self.series: tuple[Series, ...] = ()

    def read_on(self, budget_s: float | None = None) -> int:
        """Read sessions for so long (None: all of them); how many are still to be read. Raises StoreTrouble."""
        until = None if budget_s is None else monotonic() + budget_s
        with self.ledger.open(lambda: until is None or monotonic() < until) as ledger:
            self._diary = diary_of(ledger)
        shelf = [SeriesPage(card.title, card.focus, revisits_of(card)) for card in self._cards]
        self.series = all_series([*self._diary.pages(), *shelf])
        return self.ledger.left

    def visited(self, series: Series, squad: str | None = None) -> Visited:
        """What a series has visited, for the squad of that name, else for the one that swam it last."""
        found = visited_of(self._diary, series, self.book, self.gaps, squad=squad)
        planned = [planned_page(card) for card in self._cards if card.title.casefold() in series.keys]
        return visited_of(
            self._diary,
            series,
            self.book,
            self.gaps,
            squad=found.squad,
            members=self._members.get(found.squad, frozenset()),
            planned=planned,
        )

    def card_of(self, title: str) -> Card | None:
        """The plan on the shelf that has this title."""
        return next((card for card in self._cards if card.title.casefold() == title.casefold()), None)


def revisits_of(card: Card) -> str:
    """What a plan on the shelf revisits, even where other lines of it cannot be read."""
    return card.plan.revisits if card.plan is not None else header_of(card.text).get("revisits", "")


def planned_page(card: Card) -> PlannedPage:
    """What a plan on the shelf has to practise; no drills while it cannot be read."""
    names = () if card.plan is None else tuple(dict.fromkeys(found.name for found in named_in(card.plan)))
    return PlannedPage(card.title, card.focus, names)
