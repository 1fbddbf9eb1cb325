"""What the parts of the office share: the stores, the window, and the ways between its pages."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from kivy.uix.widget import Widget

from pacer.language import tr
from pacer.plan.library.shelf import Shelf, ShelfTrouble
from pacer.review.series.nextpage import NoDraft
from pacer.session.storage.startandresume import SessionToRun
from pacer.session.storage.store import Store, StoreTrouble
from pacer.show.drive.asidethread import Answers
from pacer.show.drive.preparation import CannotStart, Clocks
from pacer.show.drive.settings import Settings
from pacer.squad.register.drillfile import DrillFile
from pacer.squad.register.roster import Roster
from pacer.squad.register.squadfolder import SquadFolder
from pacer.squad.squad import Squad
from pacer.timeline.cancellation import GivenUp

if TYPE_CHECKING:
    from pacer.face.window.sessionkeyboard import Keyboard
    from pacer.face.window.shell import Shell
    from pacer.session.storage.savedsession import Listed


T = TypeVar("T")

WORKING = ((tr("Working out the session"), tr("This plan has a lot to work out. One moment.")),)
READING = ((tr("Reading the log"), tr("There is a lot to read. One moment.")),)

log = logging.getLogger(__name__)


def told_aside(work: Callable[[], str]) -> Callable[[], str]:
    """Work that returns what went wrong as a sentence, "" if nothing did: an error in a thread would go unseen."""

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


class OfficePart:
    """Mixed into the office, which has all of these."""

    folder: Path
    settings: Settings
    clocks: Clocks
    shelf: Shelf
    squads: SquadFolder
    drills: DrillFile
    store: Store
    told: list[str]
    player: Any
    device: Any
    page: Any  #: what is in the window
    shell: Shell | None
    opened: SessionToRun | None
    keyboard: Keyboard | None
    patience_s: float
    _demos: list[Path]
    _quick_choice: Any
    _counted: int | None
    _starting: tuple[Answers[Any], Callable[[Any], None]] | None

    @property
    def looks(self) -> dict[str, Any]:
        """Theme and screen for making a page."""
        raise NotImplementedError

    @property
    def roster(self) -> Roster:
        """The current squad, and who is absent today."""
        raise NotImplementedError

    @property
    def squad_here(self) -> Squad:
        """Those who are here."""
        raise NotImplementedError

    def show(self, page: Widget) -> None:
        """Put a page in the window in place of the one before."""
        raise NotImplementedError

    def change(self, settings: Settings) -> None:
        """Settings have changed."""
        raise NotImplementedError

    def home(self) -> None:
        """The shelf, and the ways to everything else."""
        raise NotImplementedError

    def write(self, name: str, line: int | None = None, then: Callable[[], None] | None = None) -> None:
        """Write a plan; Close leads back to `then`, or to the shelf."""
        raise NotImplementedError

    def to_plan(self, name: str) -> None:
        """The plan's page on the shelf."""
        raise NotImplementedError

    def next_of(self, name: str) -> None:
        """The next page of the series of a plan on the shelf."""
        raise NotImplementedError

    def run(
        self,
        text: str,
        at_once: bool = False,
        demo: str = "",
        refused: Callable[[CannotStart], None] | None = None,
    ) -> None:
        """Make a plan ready to run with those who are here."""
        raise NotImplementedError

    def new(self) -> None:
        """Write a new plan."""
        raise NotImplementedError

    def squad(self, then: Callable[[], None] | None = None, lane: int | None = None) -> None:
        """The squad, or one lane of it."""
        raise NotImplementedError

    def cautions(self, then: Callable[[], None] | None = None) -> None:
        """The cautions, to read again."""
        raise NotImplementedError

    def set_up(self) -> None:
        """The settings."""
        raise NotImplementedError

    def heads(self, then: Callable[[], None]) -> None:
        """Head count before the start."""
        raise NotImplementedError

    def show_session(self, opened: SessionToRun, *, told: Sequence[str] = ()) -> None:
        """Show a session's views."""
        raise NotImplementedError

    def work_out(
        self,
        work: Callable[[], T],
        done: Callable[[T], None],
        *,
        later: Callable[[T], None] | None = None,
        leave: Callable[[], None] | None = None,
        says: Sequence[tuple[str, str]] = WORKING,
    ) -> None:
        """Work something out on another thread and call `done` with it; the window keeps running.

        If it takes long, a page that `says` so comes in between: `later` (by default also `done`) is called then,
        `leave` if the coach closes that page.
        """
        raise NotImplementedError

    def resume(self, number: int) -> None:
        """Resume a session that was ended just now."""
        raise NotImplementedError

    def quick_set(self) -> None:
        """A quick set."""
        raise NotImplementedError

    def log(self, number: int | None = None) -> None:
        """The sessions that were swum, or one of them."""
        raise NotImplementedError

    def review(self, number: int) -> None:
        """A session's review."""
        raise NotImplementedError

    def series(self, title: str = "", then: Callable[[], None] | None = None) -> None:
        """Every series at a glance."""
        raise NotImplementedError

    def next_page(self, number: int, then: Callable[[], None]) -> None:
        """The next page of a series, drafted from a session."""
        raise NotImplementedError

    def go_on(self, again: bool = False) -> None:
        """Ask about the running session."""
        raise NotImplementedError

    def go_on_testing(self) -> None:
        """Continue test swims."""
        raise NotImplementedError

    def close(self) -> None:
        """Close the app, unless something is under way."""
        raise NotImplementedError

    def _running(self) -> Listed | None:
        raise NotImplementedError

    def _tell(self, *ways: str) -> None:
        raise NotImplementedError

    def _let_go(self) -> None:
        raise NotImplementedError
