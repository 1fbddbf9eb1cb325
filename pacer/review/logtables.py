"""What is shown of the log: tables under headings, drawn in columns, and a card for each session."""

from __future__ import annotations

from dataclasses import dataclass

from pacer.language import tr
from pacer.review.sessionlog import took
from pacer.review.wasswum import counts_as_swum
from pacer.session.storage.savedsession import Listed
from pacer.session.timezone import day_said, time_of_day


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells below a heading, "" for none.

    The last cell of a row may be a long text; `heads` are the columns' headings.
    """

    heading: str
    rows: tuple[tuple[str, ...], ...]
    heads: tuple[str, ...] = ()


def about(one: Listed) -> tuple[str, ...]:
    """When a session started, in which pool, and how long it took; the longest text first."""
    if one.begun_ms is None:
        return (tr("Not started"),)
    day, begun = day_said(one.begun_ms, one.zone), time_of_day(one.begun_ms, one.zone)[:5]
    long = took(one) if one.ended_ms is None else tr("lasted {took}", took=took(one))
    said = f"{day}, {begun}"
    full = (
        tr("{day}, {time}, {pool} pool, {lasted}", day=day, time=begun, pool=one.pool, lasted=long) if one.pool else ""
    )
    return *filter(None, (full,)), f"{said}, {long}", said


def card_said(one: Listed) -> tuple[str, ...]:
    """What the log's card says of a session below its title: `about` it, or that it doesn't count as swum."""
    if one.begun_ms is None or one.ended_ms is None or counts_as_swum(one):
        return about(one)
    day = day_said(one.begun_ms, one.zone)
    return (
        tr("{day}, lasted {took}: too short to count", day=day, took=took(one)),
        tr("{day}: too short to count", day=day),
        tr("too short to count"),
    )
