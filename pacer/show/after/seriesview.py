"""The series that a tablet has: plans on the shelf, sessions in the log, the drill book, the squads, as one view."""

from __future__ import annotations

import contextlib
from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from datetime import date

from pacer.language import tr
from pacer.plan.library.drillbook import DrillBook, named_in
from pacer.plan.library.newplan import header_of
from pacer.plan.library.plancards import Card
from pacer.plan.problem import Unreadable
from pacer.plan.titles import titled
from pacer.review.season.ledger import Ledger
from pacer.review.series.due import Gaps
from pacer.review.series.nextpage import NextPage, NoDraft, next_of_plan, next_page
from pacer.review.series.seriesorder import Series, SeriesPage, all_series
from pacer.review.series.visited import Diary, PlannedPage, Visited, diary_of, visited_of
from pacer.review.swum.sessionreview import Review, review_of
from pacer.review.wasswum import titles_now
from pacer.squad.squad import Squad
from pacer.timeline.findings import CannotRun


class SeriesView:
    """Every series of `cards` (the shelf's) and of the ledger's sessions.

    `squads` say who is in which squad now; `hidden` plans are only there to know a renamed plan again.
    """

    def __init__(
        self,
        ledger: Ledger,
        cards: Iterable[Card],
        book: DrillBook,
        gaps: Gaps,
        squads: Iterable[Squad],
        hidden: Iterable[Card] = (),
    ):
        self.ledger, self.book, self.gaps = ledger, book, gaps
        self._cards, self._squads, self._hidden = tuple(cards), tuple(squads), tuple(hidden)
        self._titles_now: dict[int, str] = {}  #: of plans that were renamed, by session
        self._renamed: dict[str, str] = {}  #: the same by their old titles
        self._members: dict[str, frozenset[str]] = {}
        for squad in self._squads:
            names = frozenset(one.name for lane in squad.lanes for one in lane.swimmers if one.name)
            self._members[squad.name] = self._members.get(squad.name, frozenset()) | names
        self._diary = Diary((), {}, {}, {})
        self.series: tuple[Series, ...] = ()

    def read_on(self, budget_s: float | None = None) -> int:
        """Read sessions for so long (None: all of them); how many are still to be read. Raises StoreTrouble."""
        with self.ledger.open_for(budget_s) as ledger:
            diary, left = diary_of(ledger), self.ledger.left
        store, every = self.ledger.store, (*self._cards, *self._hidden)
        self._titles_now = titles_now(every, store.sessions(), store.plans)
        was = {one.number: one.title.casefold() for one in diary.sessions}
        self._renamed = {was[number]: title for number, title in self._titles_now.items() if number in was}
        self._diary = diary.called(self._titles_now, self._renamed)
        shelf = [SeriesPage(card.title, card.focus, self.revisits_of(card)) for card in self._cards]
        self.series = all_series([*self._diary.pages(), *shelf])
        return left

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

    def series_of(self, title: str) -> Series:
        """The series that has a page of this title; a session that is in none is one by itself."""
        found = next((one for one in self.series if title.casefold() in one.keys), None)
        return found or Series(titled(title), (SeriesPage(title),))

    def next_page(self, number: int, today: date) -> NextPage:
        """The next page, drafted from a session. Raises NoDraft and StoreTrouble."""
        try:
            store = self.ledger.store
            review = review_of(store.session(number))
        except (Unreadable, CannotRun):
            raise NoDraft(tr("This version can't run that session's plan, so it can't draft the next one.")) from None
        squad = next((one for one in self._squads if one.name == review.squad.name), None)
        title = self.title_of(number, review.listed.title)
        visited = self.visited(self.series_of(title), review.squad.name)
        earlier = tuple(self._earlier(number, visited))
        return next_page(
            review, visited, self.book, today, squad=squad, titles=self._titles(), title=title, earlier=earlier
        )

    def _earlier(self, number: int, visited: Visited) -> Iterator[Review]:
        """The sessions of a series that its squad swam before a session, without those that cannot be run any more."""
        numbers = [one.number for one in visited.sessions]
        for one in numbers[: numbers.index(number)] if number in numbers else ():
            with contextlib.suppress(Unreadable, CannotRun):
                yield review_of(self.ledger.store.session(one))

    def next_of_plan(self, card: Card, squad: Squad, today: date) -> NextPage:
        """The next page, drafted from a plan on the shelf that was not swum yet. Raises NoDraft."""
        if card.plan is None:
            raise NoDraft(tr("Fix the errors first."))
        visited = self.visited(self.series_of(card.title), squad.name)
        plan = replace(card.plan, title=card.title)
        return next_of_plan(plan, squad, visited, self.book, today, titles=self._titles())

    def _titles(self) -> list[str]:
        """The titles that are in use."""
        return [card.title for card in self._cards] + [one.title for one in self._diary.sessions]

    def following(self, title: str) -> Card | None:
        """The plan on the shelf that revisits the one of this title."""
        wanted = title.casefold()
        return next((card for card in self._cards if wanted and self.revisits_of(card).casefold() == wanted), None)

    def title_of(self, number: int, title: str) -> str:
        """The title that the plan of a session has now, given the one it had then."""
        return self._titles_now.get(number, title)

    def revisits_of(self, card: Card) -> str:
        """What a plan on the shelf revisits, by the title that it has now."""
        return self._renamed.get(revisits_of(card).casefold(), revisits_of(card))

    def last_session(self, series: Series) -> int | None:
        """The number of the session of a series that was swum last, whichever squad swam it."""
        return self._last(series.keys)

    def last_of_plan(self, title: str) -> int | None:
        """The number of the last session of a plan, by its title."""
        return self._last({title.casefold()})

    def _last(self, keys: Collection[str]) -> int | None:
        swum = [one.number for one in self._diary.sessions if one.title.casefold() in keys]
        return swum[-1] if swum else None


def revisits_of(card: Card) -> str:
    """What a plan on the shelf revisits, even where other lines of it cannot be read."""
    return card.plan.revisits if card.plan is not None else header_of(card.text).get("revisits", "")


def planned_page(card: Card) -> PlannedPage:
    """What a plan on the shelf has to practise; no drills while it cannot be read."""
    names = () if card.plan is None else tuple(dict.fromkeys(found.name for found in named_in(card.plan)))
    return PlannedPage(card.title, card.focus, names)
