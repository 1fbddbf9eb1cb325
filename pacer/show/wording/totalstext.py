"""The totals of a plan in a few words. No Kivy."""

from __future__ import annotations

from pacer.language import tr, tr_n
from pacer.plan.notation.headerline import long_text
from pacer.plan.times import late_by, whole_down, whole_up
from pacer.squad.lanenumbers import lane_numbers
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
    return _but_unread(_lasts_ways(totals), unread)


def _but_unread(ways: tuple[str, ...], unread: int) -> tuple[str, ...]:
    """The same of a plan in which that many lines can't be read."""
    if not unread:
        return ways
    wrong = tr_n("{n} line not understood", "{n} lines not understood", unread)
    return *(tr("{wrong}; the rest: {lasts}", wrong=wrong, lasts=way) for way in ways), wrong


def _lasts_ways(totals: Totals) -> tuple[str, ...]:
    """How long the session lasts, against its booking."""
    *ways, left = _against_booking(totals)
    return *(tr("lasts {time}", time=way) for way in ways), *([left] if left else [])


def _against_booking(totals: Totals) -> tuple[str, ...]:
    """The same without a verb: with the booking, without it, and only what is left or over ("" without a booking)."""
    end = whole_up(totals.end_ms)
    if totals.limit_ms is None:
        return tr("{time}, no booking", time=end), end, ""
    left = (
        tr("{over} over", over=whole_up(totals.over_ms))
        if totals.over_ms
        else tr("{limit} spare", limit=whole_down(totals.limit_ms - totals.end_ms))
    )
    whole = tr("{time} of {limit}, {left}", time=end, limit=long_text(totals.limit_ms), left=left)
    return whole, f"{end}, {left}", left


def too_late(totals: Totals) -> str:
    """Which lanes end after the booking: `lanes 3–5 end too late`; "" if none, or if there is only one lane."""
    late = [lane.lane for lane in totals.lanes if late_by(lane.end_ms, totals.limit_ms)]
    who = lane_numbers(late, len(totals.lanes))
    return tr_n("{lanes} ends too late", "{lanes} end too late", len(late), lanes=who) if who else ""


def lane_and_slowest(totals: Totals, lane: int, unread: int = 0) -> tuple[str, ...]:
    """How long the lane at that place lasts, and the slowest against the booking; the longest way first.

    >>> from pacer.timeline.summary.totals import LaneTotal
    >>> lanes = LaneTotal(1, 2700, 3_011_000), LaneTotal(2, 2700, 4_218_000)
    >>> lane_and_slowest(Totals("m", lanes, 4_218_000, 3_600_000), 0)[0]
    'lane 1 lasts 50:11; the slowest, lane 2, 1:10:18 of 60 min, 10:18 over'
    """
    own, slowest = totals.lanes[lane], max(totals.lanes, key=lambda each: each.end_ms)
    whole, short, left = _against_booking(totals)
    told = {"lane": own.lane, "slowest": slowest.lane, "own": whole_up(own.end_ms)}
    if own.end_ms == slowest.end_ms:
        ways = tuple(tr("lane {lane} lasts {whole}", lane=own.lane, whole=way) for way in (whole, short))
        return _but_unread(ways, unread)
    ways = (
        tr("lane {lane} lasts {own}; the slowest, lane {slowest}, {whole}", whole=whole, **told),
        tr("lane {lane} lasts {own}; lane {slowest} {whole}", whole=short, **told),
        *((tr("lane {lane}: {distance}", lane=slowest.lane, distance=left),) if left else (short,)),
    )
    return _but_unread(ways, unread)


def span(totals: Totals) -> str:
    """The least and the most that lanes swim: `1,750–2,200 m`."""
    swum = sorted(lane.distance for lane in totals.lanes)
    return f"{swum[0]:,}–{swum[-1]:,} {totals.unit}" if swum[0] < swum[-1] else f"{swum[0]:,} {totals.unit}"
