"""Which sessions count as swum."""

from __future__ import annotations

from pacer.session.storage.savedsession import Listed

#: A session counts as swum if it lasts at least this long: a shorter one was given up, or started by accident.
LEAST_SWUM_MS = 120_000


def counts_as_swum(listed: Listed) -> bool:
    """Whether a session counts as swum: it started and lasted two minutes or longer.

    It lasted until its end; if it never ended, until something of it was last saved.
    """
    end_ms = listed.seen_ms if listed.ended_ms is None else listed.ended_ms
    return listed.begun_ms is not None and end_ms is not None and end_ms - listed.begun_ms >= LEAST_SWUM_MS
