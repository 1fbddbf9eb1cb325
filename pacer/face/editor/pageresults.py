"""Works out a page's results on another thread while it is written: totals, times for its margin, its strip."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from kivy.clock import Clock

from pacer.face.kit.garbagecollection import TypingPace
from pacer.plan.model import Plan
from pacer.show.drive.asidethread import Aside
from pacer.show.editing.margintimes import MarginTime, margin_times
from pacer.show.figures.figure import Figure, Spot
from pacer.show.figures.planstrip import strip
from pacer.squad.squad import Squad
from pacer.timeline.cancellation import GivenUp
from pacer.timeline.checks.shortening import Shorter, ways_to_fit
from pacer.timeline.findings import CannotRun
from pacer.timeline.summary.totals import Totals, failed_totals, totals
from pacer.timeline.timeline import Timeline

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """The results for one text: its totals, its strip, and by lines of the page (from 0) their places on the strip.

    If the plan can't be laid out, only what is known of it.
    """

    totals: Totals | None = None
    figure: Figure | None = None
    spots: dict[int, Spot] = field(default_factory=dict)
    shorter: tuple[tuple[Shorter, ...], ...] = ()  #: ways to end in time, known a little later than the rest

    @property
    def timeline(self) -> Timeline | None:
        """The session as it would be swum."""
        return self.totals.timeline if self.totals is not None else None

    def times(self, lane: int) -> dict[int, MarginTime]:
        """The margin's times for the lane at an index."""
        timeline = self.timeline
        return {} if timeline is None or lane >= len(timeline.tracks) else margin_times(timeline, lane)


def worked_out(plan: Plan, squad: Squad) -> WorkedOut:
    """The results of a plan. Never raises for what is written."""
    found = totals(plan, squad)
    if found.timeline is None:
        return WorkedOut(found)
    return WorkedOut(found, strip(found.timeline), _spots(found.timeline))


def _spots(timeline: Timeline) -> dict[int, Spot]:
    made: dict[int, Spot] = {}
    for track in timeline.tracks:
        for found in track.passes:
            span = found.laneline.line.span
            if span is not None:
                made.setdefault(span.line - 1, Spot(section=found.section, line=found.laneline.number))
    for place, section in enumerate(timeline.plan.sections):
        if section.span is not None:
            made.setdefault(section.span.line - 1, Spot(section=place))
    return made


class PageResults:
    """Works them out on a thread of its own; `done(edits, what)` is called on Kivy's thread with the latest."""

    def __init__(self, squad: Squad, done: Callable[[int, WorkedOut], None]):
        self.squad, self.done = squad, done
        self.pace: TypingPace | None = None  #: while somebody types, so that no key waits for it
        self._aside = Aside("totals")

    def ask(self, plan: Plan | None, edits: int) -> None:
        """Work out a plan, that of the text after `edits` edits."""
        if plan is None:
            self.done(edits, WorkedOut())
        else:
            self._aside.put(lambda: self._work(plan, edits))

    def drop(self) -> None:
        """Drop what was asked."""
        self._aside.drop()

    def _work(self, plan: Plan, edits: int) -> None:
        if self.pace is not None:
            self.pace.rest()
        try:
            found = worked_out(plan, self.squad)
        except GivenUp:
            raise
        except Exception:  # noqa: BLE001 - an error of ours about a half-written page must not end the app
            _log.exception("The totals of the page failed")
            found = WorkedOut(failed_totals(plan))
        Clock.schedule_once(lambda _dt: self.done(edits, found), 0)
        if found.timeline is not None and (ways := _ways_to_fit(found.timeline)):
            whole = replace(found, shorter=ways)
            Clock.schedule_once(lambda _dt: self.done(edits, whole), 0)


def _ways_to_fit(timeline: Timeline) -> tuple[tuple[Shorter, ...], ...]:
    """What would bring a plan back within its booking. Never raises for what is written."""
    try:
        return ways_to_fit(timeline)
    except CannotRun:
        return ()
    except GivenUp:
        raise
    except Exception:  # noqa: BLE001 - an error of ours in an offer must not end the app
        _log.exception("Shortening the page failed")
        return ()
