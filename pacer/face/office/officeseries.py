"""The part of the office about series: all at a glance, and the next page drafted."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from datetime import date

from pacer.face.office.officepart import READING, OfficePart, told_aside
from pacer.language import tr
from pacer.plan.library.plancards import Card
from pacer.plan.library.shelf import ShelfTrouble
from pacer.plan.titles import titled
from pacer.review.exports.lastexchange import drafted_plan
from pacer.review.season.ledger import Ledger
from pacer.review.series.nextpage import NextPage
from pacer.show.after.seriesview import SeriesView
from pacer.squad.drillfactors import with_other_names


class OfficeSeries(OfficePart):
    """A series at a glance, and its next page."""

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

    def next_page(self, number: int, then: Callable[[], None]) -> None:
        """The next page of a series, drafted from a session; `then` leads back. Nothing is written unasked."""
        self._draft(lambda view: number, "", then)

    def next_of(self, name: str) -> None:
        """The next page, drafted from the last session of a plan on the shelf, else from the plan itself."""
        title = self.shelf.card(name).title
        self._draft(lambda view: view.last_of_plan(title), name, lambda: self.to_plan(name))

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
                    on_open=lambda name: self.write(name, then=lambda: self.to_plan(name)),
                    on_close=then,
                    **self.looks,
                )
            )

        def later(wrong: str) -> None:
            if wrong:
                then()
            done(wrong)

        self.work_out(told_aside(work), done, later=later, leave=then, says=READING)

    def _write_on(self, text: str, after: str) -> None:
        try:
            name = self.shelf.add(text).name
            with contextlib.suppress(OSError):  # then its page does not say where it is from
                drafted_plan(self.shelf.folder, name, after)
            self.write(name, then=lambda: self.to_plan(name))
        except ShelfTrouble as trouble:
            self._tell(str(trouble))

    def series_view(self) -> SeriesView:
        """The series of this tablet."""
        day = self.clocks.day()
        squads = [self.squads.roster(day, card.name).squad for card in self.squads.cards()]
        cards, hidden = self.shelf.cards(), self.shelf.cards(away=True)
        return SeriesView(Ledger(self.store), cards, self.drills.book, self.settings.gaps, squads, hidden)
