"""A past session: its review with names, what it offers, which offers were taken; and swimmers' histories.

The coach's own page draws it. Offers are taken into the squad that swam the session, found by its name, else into the
current one. Their effect is shown for the next plan: the one that revisits this session's plan, else the same plan.

`open`, `take`, `undo` and `turn` write and work out for longer than a frame: call them on another thread. What they
change can be read all the while, as it was before until they are done.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.plan.library.shelf import Shelf
from pacer.plan.model import Plan
from pacer.plan.problem import Unreadable
from pacer.review.learning.offereffect import change_between
from pacer.review.learning.takenoffers import OffersTrouble, TakenOffers, take, undo
from pacer.review.logtables import Table
from pacer.review.report.historytables import history_tables, season_tables
from pacer.review.report.offerwords import OfferSaid, change_lines, left_out_text, offers_said
from pacer.review.report.reviewtext import ReviewText
from pacer.review.season.ledger import Ledger
from pacer.review.season.season import Attendance, season_of, trends, visits
from pacer.review.swum.leaderswims import strip_of
from pacer.review.swum.sessionreview import Review, review_of
from pacer.review.swum.timespent import as_counted, time_spent
from pacer.review.wasswum import titles_now
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.storage.timesputback import leave_out, put_back
from pacer.squad.drillfactors import with_other_names
from pacer.squad.refusal import Refused
from pacer.squad.register.roster import Roster
from pacer.squad.register.squadfolder import SquadFolder, SquadsTrouble
from pacer.squad.squad import Squad
from pacer.timeline.findings import CannotRun
from pacer.timeline.summary.planned import planned
from pacer.timeline.timeline import Timeline


class OfferRow(NamedTuple):
    """An offer as shown: what it is, what it is based on, whether it was taken.

    `change`: what it changes in the next plan (once taken: what it has changed), a line each.
    """

    key: str
    text: str
    evidence: str
    change: tuple[str, ...]
    taken: bool


class LeftOutRow(NamedTuple):
    """A time that is too far off, by its entry; `back`: put back by hand, so that it counts."""

    entry: int
    text: str
    back: bool


class PastSession:
    """Reviews the sessions of `store`; takes offers into `squads`; `day()` is today."""

    def __init__(
        self, store: Store, squads: SquadFolder, shelf: Shelf, day: Callable[[], str], book: DrillBook = EMPTY_BOOK
    ):
        self.store, self.squads, self.shelf, self.day = store, squads, shelf, day
        self.book = book
        self.taken = TakenOffers(squads.folder)
        self.ledger = Ledger(store)
        self.attendance: tuple[Attendance, ...] = ()  #: everybody with a name, and how often they came, as far as read
        self.season: tuple[Table, ...] = ()  #: the season in tables, likewise
        self._reading: ReviewText | None = None
        self._rows: tuple[OfferRow, ...] = ()

    # -- a session ------------------------------------------------------------------------------------------

    def open(self, number: int) -> None:
        """Open a session, with its offers. Raises StoreTrouble, also if this version cannot run its plan."""
        try:
            review = review_of(self.store.session(number))
        except (Unreadable, CannotRun):
            raise StoreTrouble(tr("This version can't run the session's plan. Its times are in the log.")) from None
        self._read(review)

    def _read(self, review: Review) -> None:
        reading = ReviewText(review, names=True, book=self.book)
        self._rows, self._reading = self._told(reading), reading

    @property
    def reading(self) -> ReviewText:
        """The open review, and all that is read from it."""
        assert self._reading is not None
        return self._reading

    @property
    def next_plan(self) -> Plan | None:
        """The plan that revisits this session's plan, else the same plan; None if the shelf has neither."""
        return self._next_plan(self.reading)

    def _next_plan(self, reading: ReviewText) -> Plan | None:
        listed = reading.review.listed
        title, every = listed.title, (*self.shelf.cards(), *self.shelf.cards(away=True))
        with contextlib.suppress(StoreTrouble):
            title = titles_now(every, [listed], self.store.plans).get(listed.number, title)
        plans = [card.plan for card in self.shelf.cards() if card.plan is not None]
        following = [plan for plan in plans if title and plan.revisits == title]
        return next(iter([*following, *(plan for plan in plans if title and plan.title == title)]), None)

    # -- offers ---------------------------------------------------------------------------------------------

    @property
    def offers(self) -> tuple[OfferRow, ...]:
        """All offers of the session, and those accepted that its times no longer suggest."""
        return self._rows

    def _told(self, reading: ReviewText) -> tuple[OfferRow, ...]:
        taken = self.taken.of_session(reading.review.listed.number)
        roster, lay = self._roster(self._squad(reading)), _Lay(self._next_plan(reading))
        return tuple(
            OfferRow(said.key, said.text, said.evidence, self._change(said, roster, lay), said.taken is not None)
            for said in offers_said(reading.review, reading.offers, taken, reading.called)
        )

    def _change(self, said: OfferSaid, roster: Roster, lay: _Lay) -> tuple[str, ...]:
        if lay.plan is None:
            return ()
        try:
            if said.taken is not None:
                after = self._roster(said.taken.squad)
                before = undo(after, said.taken)
            else:
                assert said.offer is not None
                before, after = roster, take(roster, said.offer)[0]
            old, new = (lay.timeline(with_other_names(one.squad, self.book)) for one in (before, after))
        except (Refused, CannotRun) as wrong:
            return (str(wrong),)
        return change_lines(change_between(old, new), said.taken is not None)

    def _roster(self, name: str | None = None) -> Roster:
        return self.squads.roster(self.day(), self._squad() if name is None else name)

    def _squad(self, reading: ReviewText | None = None) -> str:
        """The file of the squad that offers are for."""
        title, current = (reading or self.reading).review.squad.name, self.squads.current
        named = [card.name for card in self.squads.cards() if title and card.title == title]
        return current if current in named or not named else named[0]  # two tablets may have made two of one title

    def take(self, key: str) -> str:
        """Take an offer into the squad; returns what went wrong, "" for nothing."""
        offer = next(offer for offer in self.reading.offers if offer.key == key)
        name = self._squad()
        try:
            made, taken = take(self._roster(), offer, name)
            self.taken.keep(taken)
        except (Refused, OffersTrouble) as wrong:
            return str(wrong)
        try:
            self.squads.keep(name, made, self.day())
        except SquadsTrouble as trouble:
            self.taken.drop(key)
            return str(trouble)
        self._rows = self._told(self.reading)
        return ""

    @property
    def accepted(self) -> str:
        """What accepting an offer does: it counts in the squad of the session, which may not be the current one."""
        name = self._squad()
        if name == self.squads.current:
            return tr("Accepted. The next session uses it.")
        title = next((card.title for card in self.squads.cards() if card.name == name), name)
        return tr("Accepted into {title}, which is not today's squad.", title=title)

    def undo(self, key: str) -> str:
        """Put back the squad's value from before an offer was taken; returns what went wrong, "" for nothing."""
        taken = self.taken.of(key)
        if taken is None:
            return ""
        try:
            made = undo(self._roster(taken.squad), taken)
            self.squads.keep(taken.squad, made, self.day())
            self.taken.drop(key)
        except (Refused, SquadsTrouble, OffersTrouble) as wrong:
            return str(wrong)
        self._rows = self._told(self.reading)
        return ""

    # -- times that were left out ---------------------------------------------------------------------------------

    @property
    def left_out(self) -> tuple[LeftOutRow, ...]:
        """The times that are too far off to learn from, and those put back by hand."""
        reading, called = self.reading, self.reading.called
        back = reading.review.put_back
        out = [ratio for one in reading.learned for ratio in one.left_out]
        rows = [LeftOutRow(ratio.swim.entry, left_out_text(ratio.swim, called), False) for ratio in out]
        there = [swim for swim in reading.review.swims if swim.entry in back] if back else []
        rows += [LeftOutRow(swim.entry, left_out_text(swim, called), True) for swim in there]
        return tuple(sorted(rows))

    def turn(self, entry: int) -> str:
        """Put back a time that was left out, or leave it out again; returns what went wrong, "" for nothing."""
        review = self.reading.review
        back = review.put_back ^ {entry}
        try:
            (put_back if entry in back else leave_out)(self.store, review.listed.number, entry)
        except StoreTrouble as trouble:
            return str(trouble)
        counted = as_counted(review.swims, back)
        self._read(replace(review, put_back=back, spent=time_spent(counted), strip=strip_of(counted)))
        return ""

    # -- the season -----------------------------------------------------------------------------------------------

    def read_on(self, budget_s: float) -> int:
        """Read sessions into the ledger for `budget_s`; returns how many are still unread. Raises StoreTrouble."""
        with self.ledger.open_for(budget_s) as ledger:
            found, left = season_of(ledger), self.ledger.left
        self.attendance, self.season = found.attendance, season_tables(found)
        return left

    def history(self, name: str) -> tuple[Table, ...]:
        """A swimmer's sessions, base and sets over time. Raises StoreTrouble."""
        with self.ledger.as_it_is() as ledger:
            return history_tables(name, visits(ledger, name).get(name, ()), trends(ledger, name).get(name, ()))


class _Lay:
    """Timelines of one plan for several squads, each worked out once."""

    def __init__(self, plan: Plan | None):
        self.plan = plan
        self._known: list[tuple[Squad, Timeline]] = []

    def timeline(self, squad: Squad) -> Timeline:
        """The plan as a squad swims it. Raises CannotRun."""
        assert self.plan is not None
        found = next((timeline for known, timeline in self._known if known == squad), None)
        if found is None:
            found = planned(self.plan, squad)[0]
            self._known.append((squad, found))
        return found
