"""Sessions as a calendar (RFC 5545): past ones and planned ones. Nobody is named.

A plan keeps its UID (3.8.4.7) when it gets another day, title or text, so that a calendar moves its entry instead of
getting a second one. When it was swum on its day, the session has the plan's UID. DTSTAMP is when the entry was last
changed (3.8.7.2: that is what it says where there is no METHOD). SEQUENCE (3.8.7.4) only has to grow with changes: it
is that time in seconds, our own choice, so that of two tablets' calendars the later one holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from uuid import UUID, uuid5

from pacer.language import tr
from pacer.plan.library.plancards import Card
from pacer.plan.model import Plan
from pacer.plan.planlabels import labels_of
from pacer.plan.times import HOUR_MS
from pacer.plan.titles import titled
from pacer.review.exports.knownnames import KnownNames
from pacer.review.wasswum import Plans, swum_plans
from pacer.session.storage.savedsession import Listed
from pacer.session.timezone import local_day
from pacer.squad.defaultsquad import default_squad
from pacer.timeline.findings import CannotRun
from pacer.timeline.summary.planned import planned
from pacer.timeline.timeline import Timeline

PRODID = "-//pacer//sessions//EN"
MOST_OCTETS = 75  #: of a line, without its end
LAST_MS = 253_402_300_799_999  #: the end of the year 9999, as wall time
MOST_WHOLE = 2**31 - 1  #: the largest INTEGER (RFC 5545, 3.3.8)
_FROM_S = 1_577_836_800  #: the start of 2020, from which SEQUENCE counts
_PLANS = UUID("6d0f5a52-1c1e-4c39-9a53-0b6e2c1f7d18")  #: what plans' UIDs are made from, with their names


@dataclass(frozen=True, slots=True)
class CalendarEvent:
    """One session. `uid` is the same each time it is written; instants are wall time, UTC since 1970.

    `stamp_ms`: when it was last changed. `day` is `2026-03-05` where the time of day is not known: it takes the whole
    of that day then. `cancelled`: it was exported once and no longer exists.
    """

    uid: str
    stamp_ms: int
    start_ms: int
    takes_ms: int
    summary: str
    description: str = ""
    planned: bool = False
    day: str = ""
    cancelled: bool = False


def plan_uid(name: str) -> str:
    """The UID of a plan, from what its file is known by; not readable, because a swimmer may be named (RFC 7986, 5.3).

    >>> plan_uid("roll-5")
    'planned-f0d790db-bed0-54f0-9d92-cb479beb8483@pacer'
    """
    return f"planned-{uuid5(_PLANS, name)}@pacer"


def unread_plans(cards: Iterable[Card], known_by: Mapping[str, str]) -> set[str]:
    """The UIDs of plans that can't be read, so that nobody knows their dates."""
    return {plan_uid(known_by.get(card.name, card.name)) for card in cards if card.plan is None}


def events_of(
    sessions: Iterable[Listed], cards: Iterable[Card], plans: Plans, known_by: Mapping[str, str] | None = None
) -> list[CalendarEvent]:
    """All sessions that count as swum, and all plans on the shelf that say a date on which they were not swum.

    A plan's date is by this device's clock. `plans` gives the texts of sessions' plans. `known_by`: what plans' files
    are known by, if that is not their name.
    """
    cards = [card for card in cards if card.plan is not None and card.plan.date]
    uids = {card.name: plan_uid((known_by or {}).get(card.name, card.name)) for card in cards}
    events: list[CalendarEvent] = []
    swum: set[str] = set()  #: the plans that were swum on their day, by the names of their files
    for one, of_plans in swum_plans(cards, sessions, plans):
        if (event := swum_event(one)) is None:
            continue
        day = local_day(event.start_ms, one.zone)
        for card in of_plans:
            if card.name not in swum and card.planned[:10] == day and event.uid not in uids.values():
                swum.add(card.name)
                event = replace(event, uid=uids[card.name], stamp_ms=max(event.stamp_ms, card.changed_ms))
        events.append(event)
    for card in cards:
        if (plan := card.plan) is not None and card.name not in swum:
            start_ms = int(datetime.fromisoformat(plan.date).timestamp()) * 1000
            named = replace(plan, title=card.title)
            events.append(dated_event(named, uids[card.name], start_ms, _takes_ms(plan), card.changed_ms))
    return events


def _takes_ms(plan: Plan) -> int:
    """How long a plan takes: its booking, else as long as somebody with the default base would need."""
    if plan.booking_ms is not None:
        return plan.booking_ms
    try:
        return planned(plan, default_squad(labels_of(plan)))[0].end_ms
    except CannotRun:
        return HOUR_MS


def unnamed(events: Iterable[CalendarEvent], known: KnownNames) -> list[CalendarEvent]:
    """The events without texts that have a swimmer's name in them: a calendar names nobody."""
    made = []
    for event in events:
        if known.in_text(event.summary):
            event = replace(event, summary=tr("Session"))
        lines = [line for line in event.description.split("\n") if not known.in_text(line)]
        made.append(replace(event, description="\n".join(lines)))
    return made


def swum_event(listed: Listed) -> CalendarEvent | None:
    """A session in the log; None if it never started, or at a time that no calendar has."""
    if listed.begun_ms is None or not 0 <= listed.begun_ms <= LAST_MS:
        return None
    end_ms = next((ms for ms in (listed.ended_ms, listed.seen_ms) if ms is not None), listed.begun_ms)
    end_ms = min(end_ms, LAST_MS)
    uid = f"swum-{listed.begun_ms}@pacer"  # the same on every tablet with this session
    takes_ms = max(0, end_ms - listed.begun_ms)
    pool = tr("{pool} pool", pool=listed.pool) if listed.pool else ""
    return CalendarEvent(uid, end_ms, listed.begun_ms, takes_ms, titled(listed.title), pool)


def planned_event(timeline: Timeline, uid: str, start_ms: int, stamp_ms: int) -> CalendarEvent:
    """A plan at a set time: as long as its booking, otherwise as long as it takes."""
    return _plan_event(timeline.plan, uid, start_ms, timeline.end_ms, stamp_ms)


def dated_event(plan: Plan, uid: str, start_ms: int, takes_ms: int, stamp_ms: int) -> CalendarEvent:
    """A plan that says its date, at `start_ms`; without a time of day it has the whole day."""
    event = _plan_event(plan, uid, start_ms, takes_ms, stamp_ms)
    return event if len(plan.date) > len("2026-03-05") else replace(event, day=plan.date)


def _plan_event(plan: Plan, uid: str, start_ms: int, takes_ms: int, stamp_ms: int) -> CalendarEvent:
    takes_ms = takes_ms if plan.booking_ms is None else plan.booking_ms
    told = [tr("{pool} pool", pool=plan.pool)]
    if plan.focus:
        told.append(tr("Focus: {focus}", focus=plan.focus))
    told += [section.name for section in plan.sections if section.name]
    return CalendarEvent(uid, stamp_ms, start_ms, takes_ms, titled(plan.title), "\n".join(told), True)


def ics_text(events: Iterable[CalendarEvent]) -> str:
    """The calendar; lines end with CRLF, and none is longer than 75 octets."""
    rows = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODID}", "CALSCALE:GREGORIAN"]
    for event in sorted(events, key=lambda one: (one.start_ms, one.uid)):
        rows += _rows(event)
    return "".join(f"{part}\r\n" for row in [*rows, "END:VCALENDAR"] for part in folded(row))


def _rows(event: CalendarEvent) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{escaped(event.uid)}"
    yield f"DTSTAMP:{_utc(event.stamp_ms)}"
    yield f"SEQUENCE:{min(max(0, event.stamp_ms // 1000 - _FROM_S), MOST_WHOLE)}"
    if event.day:
        yield f"DTSTART;VALUE=DATE:{event.day.replace('-', '')}"
    else:
        yield f"DTSTART:{_utc(event.start_ms)}"
        yield f"DURATION:{duration(event.takes_ms)}"
    yield f"SUMMARY:{escaped(event.summary)}"
    if event.description:
        yield f"DESCRIPTION:{escaped(event.description)}"
    yield f"STATUS:{'CANCELLED' if event.cancelled else 'TENTATIVE' if event.planned else 'CONFIRMED'}"
    yield "END:VEVENT"


def _utc(wall_ms: int) -> str:
    return f"{datetime.fromtimestamp(wall_ms // 1000, UTC):%Y%m%dT%H%M%SZ}"


def duration(ms: int) -> str:
    """A duration in whole seconds; between hours and seconds there must be minutes (RFC 5545, 3.3.6).

    >>> duration(3_630_000), duration(900_000), duration(0)
    ('PT1H0M30S', 'PT15M', 'PT0S')
    """
    minutes, seconds = divmod(ms // 1000, 60)
    hours, minutes = divmod(minutes, 60)
    made = f"{hours}H" if hours else ""
    if minutes or (hours and seconds):
        made += f"{minutes}M"
    if seconds or not made:
        made += f"{seconds}S"
    return f"PT{made}"


def escaped(text: str) -> str:
    r"""A text escaped by RFC 5545 (3.3.11); a colon stays.

    >>> print(escaped("8 x 50; rest, 0:15\nC:\\"))
    8 x 50\; rest\, 0:15\nC:\\
    """
    text = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")
    return "".join(letter for letter in text if letter >= " " or letter == "\t")


def folded(row: str) -> list[str]:
    """A line in parts of at most 75 octets, with no letter split; all parts after the first begin with a space."""
    parts, part, octets = [], "", 0
    for letter in row:
        size = len(letter.encode())
        if octets + size > MOST_OCTETS:
            parts.append(part)
            part, octets = " ", 1
        part += letter
        octets += size
    return [*parts, part]
