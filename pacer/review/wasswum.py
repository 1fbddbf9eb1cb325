"""Which sessions count as swum."""

from __future__ import annotations

from pacer.session.storage.kept import Listed

#: A session counts as swum from this long after it was begun: what ends sooner was broken off, or begun by mistake.
LEAST_SWUM_MS = 120_000


def counts_as_swum(listed: Listed) -> bool:
    """Whether a session counts as swum: it was begun, and went on for two minutes or longer.

    By when it was ended; where it never was, by when something of it was last written down.
    """
    end_ms = listed.seen_ms if listed.ended_ms is None else listed.ended_ms
    return listed.begun_ms is not None and end_ms is not None and end_ms - listed.begun_ms >= LEAST_SWUM_MS
