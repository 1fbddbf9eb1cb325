"""The part of the office that looks back: the log, the review of a session, the season, times entered later."""

from __future__ import annotations

from datetime import date

from pacer.face.office.officepart import READING, OfficePart, told_aside
from pacer.review.season.ledger import Ledger
from pacer.session.storage.savedsession import Listed
from pacer.session.storage.startandresume import reopens
from pacer.session.storage.store import StoreTrouble
from pacer.show.after.seasonview import SeasonView


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
        from pacer.show.after.pastsession import PastSession

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

        self.work_out(told_aside(work), done, later=later, leave=lambda: self.log(number), says=READING)

    def season(self) -> None:
        """The calendar, totals and base paces of all sessions."""
        from pacer.face.review.seasonpage import SeasonPage

        self.show(
            SeasonPage(
                SeasonView(Ledger(self.store), self.shelf.cards()),
                date.fromisoformat(self.clocks.day()),
                on_review=self.review,
                on_plan=lambda name: self.write(name, then=self.season),
                on_close=self.log,
                **self.looks,
            )
        )

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
