"""The first start: the coach's own squad and first plan, or the demo session."""

from __future__ import annotations

from dataclasses import replace

from pacer.face.office.officepart import OfficePart
from pacer.language import tr
from pacer.plan.library.shelf import ShelfTrouble
from pacer.session.cautions import CAUTIONS, IN_BRIEF
from pacer.show.wording.commonkeys import CLOSE
from pacer.squad.register.squadfolder import SquadsTrouble
from pacer.squad.squad import Squad

FIRST_PLAN = tr("long-axis-rotation-3")  #: what the demo session runs
DEMO = tr("This is a demo plan with a demo squad. For your own, press Close, then New.")


class FirstStart(OfficePart):
    """Mixed into the office."""

    def welcome(self) -> None:
        """The first start: the coach's own squad and plan, or the demo."""
        from pacer.face.shelf.firstpage import FirstPage

        self.show(
            FirstPage(
                self.settings.pool,
                self.settings.booking_min,
                on_own=self._begin_own,
                on_demo=self._first,
                on_close=self.home,
                **self.looks,
            )
        )

    def _begin_own(self, squad: Squad, pool: str, booking_min: int) -> None:
        """Show the cautions in brief, then save the squad and write the first plan; Close leads back to the answers."""
        from pacer.face.pages.textpage import TextPage

        answers = self.page

        def write() -> None:
            try:
                self.squads.add(squad)
            except SquadsTrouble as trouble:
                self.told.append(str(trouble))
            self.change(replace(self.settings, cautions_read=len(CAUTIONS), pool=pool, booking_min=booking_min))
            self.new()

        def brief() -> None:
            self.show(TextPage(IN_BRIEF, ways, title=tr("Cautions"), main="read", large=True, **self.looks))

        ways = (
            ("read", tr("I have read them"), write),
            ("full", tr("In full"), lambda: self.cautions(brief)),
            ("leave", CLOSE, lambda: self.show(answers)),
        )
        brief()

    def _first(self) -> None:
        """The demo session, ready: one press begins it."""
        try:
            text = self.shelf.text(FIRST_PLAN)
        except ShelfTrouble:
            self.home()
        else:
            self.run(text, at_once=True, demo=DEMO, refused=lambda why: self.home())
