"""An open session of the log: its tables, how it went, and sessions like it. Made on another thread. No Kivy."""

from __future__ import annotations

import logging
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.problem import Unreadable
from pacer.review.logtables import Table
from pacer.review.report.sessiontables import session_tables
from pacer.review.swum.sessionreview import Review, review_of
from pacer.session.storage.savedsession import KeptSession
from pacer.session.storage.store import StoreTrouble
from pacer.show.after.loglist import LogList
from pacer.show.figures.figure import Figure
from pacer.show.figures.swumstrip import swum_strip
from pacer.timeline.cancellation import GivenUp
from pacer.timeline.findings import CannotRun

log = logging.getLogger(__name__)


class Twin(NamedTuple):
    """A session that is perhaps the same as the open one, and what makes it so."""

    number: int
    said: str


class OpenedSession(NamedTuple):
    """What the page of a session shows. `trouble` says why it can't be read; then there is nothing else."""

    tables: tuple[Table, ...] = ()
    figure: Figure | None = None
    twins: tuple[Twin, ...] = ()
    trouble: str = ""


def opened_session(sessions: LogList, number: int) -> OpenedSession:
    """Read a session of the log. Never raises: nobody hears a thread that fails."""
    try:
        kept = sessions.store.session(number)
        twins = [Twin(one.number, sessions.twin_said(number, one)) for one in sessions.twins(number)]
        return OpenedSession(session_tables(kept, _review(kept)), strip_of_kept(kept), tuple(twins))
    except StoreTrouble as trouble:
        return OpenedSession(trouble=str(trouble))
    except GivenUp:  # nobody wants it any more
        raise
    except Exception:
        log.exception("A session failed to open")
        return OpenedSession(trouble=tr("This session can't be read."))


def _review(kept: KeptSession) -> Review | None:
    """The review by which the log compares times; None if this version can't run the plan."""
    try:
        return review_of(kept)
    except (Unreadable, CannotRun):
        return None


def strip_of_kept(kept: KeptSession) -> Figure | None:
    """How a session went; None if there is nothing to draw, or this version can't run its plan."""
    try:
        figure = swum_strip(review_of(kept))
    except (Unreadable, CannotRun):
        return None
    except GivenUp:
        raise
    except Exception:
        log.exception("The strip of a session failed")
        return None
    return figure if figure.bars else None
