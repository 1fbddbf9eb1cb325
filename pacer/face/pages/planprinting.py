"""Sheets for the wall and the lanes, written on another thread to the export folder: no frame waits for a PDF."""

from __future__ import annotations

import logging
from collections.abc import Callable
from pathlib import Path

from kivy.clock import Clock

from pacer.disk import reason_of, write_whole
from pacer.language import tr
from pacer.plan.filename import name_from_title
from pacer.plan.library.drillbook import DrillBook
from pacer.plan.model import Plan
from pacer.plan.titles import titled
from pacer.signal.slowcalls import Worker
from pacer.squad.drillfactors import with_other_names
from pacer.squad.squad import Squad
from pacer.timeline.findings import CannotRun
from pacer.timeline.summary.planned import planned

log = logging.getLogger(__name__)


class Printing:
    """Writes a plan's sheets into `folder`: the coach's, the lanes', and the register."""

    def __init__(self, folder: Path):
        self.folder = folder
        self._worker = Worker("sheets")

    def write(self, plan: Plan, squad: Squad, book: DrillBook, everybody: Squad, done: Callable[[str], None]) -> None:
        """Write them; `done` is told how that went, later, on Kivy's thread.

        `squad` is who is here today; the register has `everybody`.
        """

        def aside() -> None:
            said = self._written(plan, squad, book, everybody)
            Clock.schedule_once(lambda _dt: done(said), 0)

        self._worker.put(aside)

    def close(self) -> None:
        """Write nothing more."""
        self._worker.close()

    def _written(self, plan: Plan, squad: Squad, book: DrillBook, everybody: Squad) -> str:
        try:
            # Imported only here: the app's start must not wait for it.
            from pacer.paper.planpapers import plan_papers, usual_size

            timeline = planned(plan, with_other_names(squad, book))[0]
            papers = plan_papers(
                timeline, titled(plan.title), usual_size(timeline), book=book, lanes=True, register=everybody
            )
            for name, data in papers:
                stem, _, suffix = name.rpartition(".")
                write_whole(self.folder / f"{name_from_title(stem)}.{suffix}", data)
        except CannotRun as error:
            return error.findings[0].message
        except OSError as error:
            return tr("{folder} can't be written to: {reason}", folder=self.folder, reason=reason_of(error))
        except Exception:  # an error of ours in a sheet must not close the page
            log.exception("The sheets failed")
            return tr("the sheets can't be made; details are in errors.log")
        return tr(
            "{papers} PDF files saved in {folder}. The register has names in it.",
            papers=len(papers),
            folder=self.folder,
        )
