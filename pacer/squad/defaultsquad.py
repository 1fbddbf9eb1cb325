"""The squad that is assumed if none is given."""

from __future__ import annotations

from pacer.squad.squad import Lane, Pace, Squad, Swimmer

ASSUMED_BASE_MS = 100_000


def default_squad(labels: tuple[str, ...] = ()) -> Squad:
    """One lane with one swimmer at 1:40, for a plan without a squad.

    `labels` are the plan's groups; the lane belongs to the first, so that it has something to swim.
    """
    base = Pace(ASSUMED_BASE_MS)
    lane = Lane(1, base, (Swimmer(base, own=False),), group=labels[0] if labels else None)
    return Squad((lane,), assumed=True)
