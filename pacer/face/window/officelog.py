"""The part of the office that looks back: the log of sessions, and the review of one."""

from __future__ import annotations

import contextlib
import logging
from collections.abc import Callable
from datetime import date

from pacer.face.window.officepart import OfficePart
from pacer.language import tr
from pacer.plan.library.plancards import Card
from pacer.plan.library.shelf import ShelfTrouble
from pacer.plan.titles import titled
from pacer.review.exports.lastexchange import drafted_plan
from pacer.review.season.ledger import Ledger
from pacer.review.series.nextpage import NextPage, NoDraft
from pacer.session.storage.savedsession import Listed
from pacer.session.storage.startandresume import reopens
from pacer.session.storage.store import StoreTrouble
from pacer.show.after.seasonview import SeasonView
from pacer.show.after.seriesview import SeriesView
from pacer.show.after.squadafterimport import squad_after_import
from pacer.squad.drillfactors import with_other_names
from pacer.timeline.cancellation import GivenUp

READING = ((tr("Reading the log"), tr("There is a lot to read. One moment.")),)

log = logging.getLogger(__name__)


def _told(work: Callable[[], str]) -> Callable[[], str]:
    """The work with what went wrong in a sentence, "" for nothing: nobody hears a thread that fails."""

    def told() -> str:
        try:
            return work()
        except (StoreTrouble, NoDraft, ShelfTrouble) as trouble:
            return str(trouble)
        except GivenUp:
            raise
        except Exception:
            log.exception("Looking back failed")
            return tr("This session can't be read.")

    return told


class OfficeLog(OfficePart):
    """Pages about what was swum."""

    def log(self, number: int | None = None) -> None:
        """The sessions that were swum, or one of them."""
        from pacer.face.pages.logpage import LogPage

        self.show(LogPage(self.store, self, number, **self.looks))

    def resumable(self) -> Listed | None:
        """The session that ended just now and can still be resumed."""
        return reopens(self.store, self.clocks.now())

    def new_bases(self, number: int) -> None:
        """The squad, where new bases come from, and back to the session in the log."""
        self.squad(lambda: self.log(number))

    def review(self, number: int) -> None:
        """A session's review, and what it offers. Worked out on another thread: the window keeps running."""
        from pacer.face.review.reviewpage import ReviewPage
        from pacer.show.drive.pastsession import PastSession

        lookback = PastSession(self.store, self.squads, self.shelf, self.clocks.day, self.drills.book)

        def work() -> str:
            lookback.open(number)
            return ""

        def done(wrong: str) -> None:
            if wrong:
                self._tell(wrong)
                return
            self.show(
                ReviewPage(
                    lookback,
                    on_next=lambda: self.next_page(number, lambda: self.review(number)),
                    on_close=lambda: self.log(number),
                    **self.looks,
                )
            )

        def later(wrong: str) -> None:
            if wrong:
                self.log(number)
            done(wrong)

        self.work_out(_told(work), done, later=later, leave=lambda: self.log(number), says=READING)

    def series(self, title: str = "", then: Callable[[], None] | None = None) -> None:
        """Every series at a glance, the one with a page of that title first; `then` is called on Close."""
        from pacer.face.review.seriespage import SeriesPage

        self.show(
            SeriesPage(
                self.series_view(),
                date.fromisoformat(self.clocks.day()),
                title=title,
                on_review=self.review,
                on_next=lambda number: self.next_page(number, lambda: self.series(title, then)),
                on_close=then or self.log,
                **self.looks,
            )
        )

    def season(self) -> None:
        """The calendar, totals and base paces of all sessions."""
        from pacer.face.review.seasonpage import SeasonPage

        self.show(
            SeasonPage(
                SeasonView(Ledger(self.store), self.shelf.cards()),
                date.fromisoformat(self.clocks.day()),
                on_review=self.review,
                on_plan=self.write,
                on_close=self.log,
                **self.looks,
            )
        )

    def next_page(self, number: int, then: Callable[[], None]) -> None:
        """The next page of a series, drafted from a session; `then` leads back. Nothing is written unasked."""
        self._draft(lambda view: number, "", then)

    def next_of(self, name: str) -> None:
        """The next page, drafted from the last session of a plan on the shelf, else from the plan itself."""
        title = self.shelf.card(name).title
        self._draft(lambda view: view.last_of_plan(title), name, lambda: self._back_to(name))

    def _back_to(self, name: str) -> None:
        """The plan's page on the shelf again."""
        self.home()
        self.page.open_card(name)

    def _draft(self, session: Callable[[SeriesView], int | None], name: str, then: Callable[[], None]) -> None:
        """The next page, drafted from a session; from the plan of that name where there is no session."""
        from pacer.face.review.nextplanpage import NextPlanPage
        from pacer.session.timezone import day_said

        view, today, here = self.series_view(), date.fromisoformat(self.clocks.day()), self.roster.squad
        try:
            card = self.shelf.card(name) if name else None
        except ShelfTrouble as trouble:
            self._tell(str(trouble))
            return
        made: list[tuple[NextPage, str, str, Card | None]] = []

        def work() -> str:
            view.read_on()
            number = session(view)
            if number is None:
                assert card is not None, "a plan's page leads here"
                draft = view.next_of_plan(card, here, today)
                title = source = card.title
                after = tr("{title}, which hasn't been swum yet, so nothing is cut", title=card.title)
            else:
                listed = self.store.session(number).listed
                draft, title = view.next_page(number, today), view.title_of(number, listed.title)
                day = "" if listed.begun_ms is None else f", {day_said(listed.begun_ms, listed.zone)}"
                after = source = f"{titled(title)}{day}"
            made.append((draft, after, source, view.following(title)))
            return ""

        def done(wrong: str) -> None:
            if wrong:
                self._tell(wrong)
                return
            draft, after, source, there = made[-1]
            self.show(
                NextPlanPage(
                    draft,
                    after,
                    there,
                    with_other_names(self.squad_here, self.drills.book),
                    on_write=lambda text: self._write_on(text, source),
                    on_open=self.write,
                    on_close=then,
                    **self.looks,
                )
            )

        def later(wrong: str) -> None:
            if wrong:
                then()
            done(wrong)

        self.work_out(_told(work), done, later=later, leave=then, says=READING)

    def _write_on(self, text: str, after: str) -> None:
        try:
            name = self.shelf.add(text).name
            with contextlib.suppress(OSError):  # then its page does not say where it is from
                drafted_plan(self.shelf.folder, name, after)
            self.write(name)
        except ShelfTrouble as trouble:
            self._tell(str(trouble))

    def series_view(self) -> SeriesView:
        """The series of this tablet."""
        day = self.clocks.day()
        squads = [self.squads.roster(day, card.name).squad for card in self.squads.cards()]
        cards, hidden = self.shelf.cards(), self.shelf.cards(away=True)
        return SeriesView(Ledger(self.store), cards, self.drills.book, self.settings.gaps, squads, hidden)

    def enter(self, number: int) -> None:
        """Times of a session that is over."""
        from pacer.face.review.enterpage import EnterPage
        from pacer.show.after.enteringtimes import EnteringTimes

        self._let_go()
        try:
            entering = EnteringTimes(self.store, number, self.clocks.wall)
        except StoreTrouble as trouble:
            self.log(number)
            self._tell(str(trouble))
            return
        self.show(EnterPage(entering, on_close=lambda: self.log(number), **self.looks))

    def enter_session(self) -> None:
        """A session that ran without pacer."""
        from pacer.face.review.entersessionpage import EnterSessionPage

        self._let_go()
        cards = [card for card in self.shelf.cards() if card.plan is not None]
        page = EnterSessionPage(
            self.store,
            cards,
            self.squad_here,
            self.clocks.wall,
            on_made=self.enter,
            on_close=self.log,
            **self.looks,
        )
        self.show(page)

    def drill_book(self) -> None:
        """The drill book, to be read and changed."""
        from pacer.face.shelf.drillbookpage import DrillBookPage

        self.drills.read()
        self.show(DrillBookPage(self.drills, on_close=self.home, **self.looks))

    def move(self) -> None:
        """Everything on this tablet as one file, and such a file from another tablet."""
        from pacer.face.pages.archivepage import ArchivePage

        def came_in() -> tuple[str, ...]:
            before = {card.name for card in self.squads.cards()}
            self.squads.read()
            self.drills.read()
            return squad_after_import(self.squads, before)

        self._let_go()
        self.show(
            ArchivePage(
                self.store,
                self.clocks.day,
                now_ms=self.clocks.wall,
                on_import=came_in,
                on_close=self.set_up,
                **self.looks,
            )
        )
