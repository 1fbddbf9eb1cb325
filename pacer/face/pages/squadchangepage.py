"""A page that changes the current squad: every change is saved at once, and can be undone while the page is open."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from pacer.face.pages.askingpage import AskingPage, Following
from pacer.face.tiles.numberpad import Pad
from pacer.language import tr
from pacer.plan.sentence import sentence
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.squad.refusal import Refused
from pacer.squad.register.roster import Roster
from pacer.squad.register.squadfolder import SquadFolder, SquadsTrouble

MOST_UNDONE = 50


class SquadActs(Protocol):
    """What the squad's page can do, for the parts of the page.

    `lane` is the chosen one, `swimmer` the place of a swimmer in it, `asked` what is shown over the page.
    """

    squads: SquadFolder
    day: str
    pool: str
    roster: Roster
    lane: int | None
    swimmer: int
    asked: str

    @property
    def room_for_pad(self) -> float:
        """The height for a pad above the keys that answer it."""

    @property
    def at(self) -> int:
        """The chosen lane, where there is one."""

    @property
    def narrow(self) -> bool:
        """Whether there is no room for the list of lanes beside the chosen lane."""

    def change(self, make: Callable[[Roster], Roster]) -> bool:
        """Change the squad and save it; returns whether that worked."""

    def forget(self) -> None:
        """Another squad is shown."""

    def lay_out(self) -> None:
        """Lay everything out again."""

    def tell(self, *ways: str) -> None:
        """Show a sentence for a while."""

    def ask_text(
        self,
        question: str,
        text: str,
        take: Callable[[str], bool],
        *,
        note: str = "",
        following: Following | None = None,
    ) -> None:
        """Ask for a text; `following` may be asked next."""

    def ask_pad(self, pad: Pad, take: Callable[[Any], bool], following: Following | None = None) -> None:
        """Ask for a number; `following` may be asked next."""


class SquadChangePage(AskingPage):
    """For the current squad of `squads`; `day` is today's date (`2026-03-02`)."""

    def __init__(self, squads: SquadFolder, day: str, theme: Theme = DARK, glass: Glass | None = None, **kwargs):
        super().__init__(theme, glass, **kwargs)
        self.squads, self.day = squads, day
        self.roster = squads.roster(day)
        self._undone: list[Roster] = []

    def change(self, make: Callable[[Roster], Roster]) -> bool:
        """Change the squad and save it; returns whether that worked. If not, the coach is told why."""
        try:
            made = make(self.roster)
        except Refused as wrong:
            self.tell(*wrong.ways)
            return False
        self._undone = [*self._undone[1 - MOST_UNDONE :], self.roster]
        self.keep(made)
        return True

    def keep(self, roster: Roster) -> None:
        """Take a roster and save it. If that fails the coach is told, and the change lasts while the app is open."""
        self.roster = roster
        try:
            self.squads.keep(self.squads.current, roster, self.day)
        except SquadsTrouble as error:
            self.tell(
                tr("{trouble} You will lose this change when the app closes.", trouble=sentence(str(error))), str(error)
            )
        self.lay_out()

    def forget(self) -> None:
        """Another squad is shown: changes to the one before can't be undone."""
        self._undone = []

    def undo(self) -> None:
        """Undo the last change."""
        if self._undone:
            self.keep(self._undone.pop())

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to undo."""
        return bool(self._undone)
