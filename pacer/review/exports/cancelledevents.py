"""Calendar entries that were exported once and no longer exist, so that the coach's calendar cancels them.

A plan was hidden or lost its date, or a session was deleted: an importing program would keep its entry for good. So
what a tablet exported is remembered, and what is gone is exported as cancelled (RFC 5545, 3.8.1.11) with a higher
SEQUENCE (3.8.7.4), each time from then on, because a coach may import any of the files.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Collection, Iterable
from dataclasses import astuple, replace
from pathlib import Path

from pacer.disk import write_whole
from pacer.language import tr
from pacer.review.exports.calendarfile import CalendarEvent

CALENDAR = "calendar.json"
_FORMAT = 1
_STEP_MS = 1000  #: SEQUENCE counts seconds


def with_cancelled(
    folder: Path, events: Iterable[CalendarEvent], now_ms: int, unread: Collection[str] = ()
) -> list[CalendarEvent]:
    """All events of a tablet and those that it exported before and are gone, as cancelled; it remembers them.

    An event that changed or is back since is later than it was. Those of `unread` UIDs stay as they were: their plans
    have errors, so nobody knows their dates.
    """
    before = _exported(folder)
    made = {event.uid: _later(event, before.get(event.uid)) for event in events}
    for uid, old in before.items():
        if uid not in made:
            made[uid] = old if old.cancelled or uid in unread else _gone(old, now_ms)
    with contextlib.suppress(OSError):  # then these entries are not cancelled later
        told = [astuple(replace(event, description="")) for _, event in sorted(made.items())]
        text = json.dumps({"format": _FORMAT, "events": told}, ensure_ascii=False, indent=1)
        write_whole(folder / CALENDAR, f"{text}\n".encode())
    return list(made.values())


def _gone(event: CalendarEvent, now_ms: int) -> CalendarEvent:
    """The event as cancelled; of a session that was deleted, only when it was is still remembered."""
    summary = event.summary if event.planned else tr("Session")
    return replace(event, stamp_ms=max(now_ms, event.stamp_ms + _STEP_MS), summary=summary, cancelled=True)


def _later(event: CalendarEvent, old: CalendarEvent | None) -> CalendarEvent:
    if old is None:
        return event
    same = replace(event, stamp_ms=0, description="") == replace(old, stamp_ms=0)
    return replace(event, stamp_ms=max(event.stamp_ms, old.stamp_ms if same else old.stamp_ms + _STEP_MS))


def _exported(folder: Path) -> dict[str, CalendarEvent]:
    """What was exported, by UID; nothing if that can't be read."""
    with contextlib.suppress(OSError, ValueError, TypeError, KeyError):
        told = json.loads((folder / CALENDAR).read_bytes())
        if told["format"] == _FORMAT:
            return {event.uid: event for event in (CalendarEvent(*each) for each in told["events"])}
    return {}
