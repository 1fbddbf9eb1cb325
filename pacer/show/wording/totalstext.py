"""The totals of a plan in a few words. No Kivy."""

from __future__ import annotations

from pacer.language import tr, tr_n
from pacer.plan.notation.headerline import long_text
from pacer.plan.times import whole_down, whole_up
from pacer.timeline.summary.totals import Totals


def summary(totals: Totals | None, unread: int = 0) -> tuple[str, ...]:
    """The whole session in a few words, the longest way first; `unread` lines are left out of it (-1: it is still
    being worked out).

    >>> from pacer.timeline.summary.totals import LaneTotal
    >>> summary(Totals("m", (LaneTotal(1, 2200, 3_456_770),), 3_456_770, 3_600_000))[0]
    'lasts 57:37 of 60 min, 2:23 spare'
    """
    if totals is None:
        return (tr("nothing to swim yet"),) if unread >= 0 else ("…",)
    if totals.failed:
        return (
            tr("pacer could not work out this plan; details are in errors.log"),
            tr("pacer failed to work it out"),
            tr("not worked out"),
        )
    if totals.stops:
        return (tr("can't run"),)
    ways = _lasts_ways(totals)
    if not unread:
        return ways
    wrong = tr_n("{n} line can't be read", "{n} lines can't be read", unread)
    return *(tr("{wrong}; the rest: {lasts}", wrong=wrong, lasts=way) for way in ways), wrong


def _lasts_ways(totals: Totals) -> tuple[str, ...]:
    """How long the session lasts, against its booking."""
    end, lasts = whole_up(totals.end_ms), tr("lasts {time}", time=whole_up(totals.end_ms))
    if totals.limit_ms is None:
        return (tr("lasts {time}, no booking", time=end), lasts)
    left = (
        tr("{over} over", over=whole_up(totals.over_ms))
        if totals.over_ms
        else tr("{limit} spare", limit=whole_down(totals.limit_ms - totals.end_ms))
    )
    whole = tr("lasts {time} of {limit}, {left}", time=end, limit=long_text(totals.limit_ms), left=left)
    return (whole, f"{lasts}, {left}", left)


def span(totals: Totals) -> str:
    """The least and the most that lanes swim: `1,750–2,200 m`."""
    swum = sorted(lane.distance for lane in totals.lanes)
    return f"{swum[0]:,}–{swum[-1]:,} {totals.unit}" if swum[0] < swum[-1] else f"{swum[0]:,} {totals.unit}"
