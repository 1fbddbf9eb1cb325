"""A series in words, as text and as JSON: what was visited when and how much, what is due, who missed what.

Swimmers are named only on request.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

from pacer.language import listed, tr, tr_n
from pacer.plan.sentence import sentence
from pacer.plan.times import text_from_ms
from pacer.review.alignedrows import aligned
from pacer.review.series.due import Gaps
from pacer.review.series.seriesorder import SeriesPage
from pacer.review.series.visited import SeriesRow, SwumSession, Visit, Visited
from pacer.session.timezone import date_said

FORMAT = "pacer-series/1"
NOT_SWUM = tr("not swum yet")


def amount(distance: int, by_time_ms: int, unit: str) -> str:
    """How much was swum.

    >>> amount(1150, 0, "m"), amount(0, 60_000, "m"), amount(100, 30_000, "yd")
    ('1,150 m', '1:00', '100 yd and 0:30')
    """
    timed = text_from_ms(by_time_ms // 1000 * 1000) if by_time_ms else ""
    return listed([*filter(None, (f"{distance:,} {unit}" if distance or not timed else "", timed))])


def day_short(day: date) -> str:
    """
    >>> day_short(date(2026, 3, 19))
    '19 Mar'
    """
    return date_said(day, short=True).rsplit(" ", 1)[0]


def due_said(row: SeriesRow, today: date) -> str:
    """When something is due again."""
    late = row.due.late_days(today)
    if late is None or row.due.due is None:
        return NOT_SWUM
    if late > 0:
        return tr_n("{n:,} day overdue", "{n:,} days overdue", late)
    return tr("due today") if not late else tr("due {due}", due=day_short(row.due.due))


def short_title(title: str, name: str) -> str:
    """A page's title without its series' name.

    >>> short_title("Long-axis rotation 3", "Long-axis rotation"), short_title("Turns", "Turns")
    ('3', 'Turns')
    """
    return (title[len(name) :] if title.casefold().startswith(name.casefold()) else title).strip(" ,.:-–#") or title


def shortest_title(title: str) -> str:
    """A title of which only the end is left, because the ends differ within a series.

    >>> shortest_title("Rotation the long way 3"), shortest_title("Turns")
    ('… 3', 'Turns')
    """
    end = title.rsplit(" ", 1)[-1]
    return f"… {end}" if end != title and end.isdecimal() else title


def visit_text(row: SeriesRow, visit: Visit) -> str:
    """One visit in full: when, how much per swimmer, which lanes, who missed it."""
    unit = visit.session.unit
    told = {
        "name": row.name,
        "date": day_short(visit.session.date),
        "amount": amount(visit.distance, visit.by_time_ms, unit),
    }
    said = tr("{name}, {date}: {amount} per swimmer", **told)
    alike: dict[tuple[int, int], list[str]] = {}
    for lane, far in visit.lanes().items():
        alike.setdefault(far, []).append(str(lane))
    parts = [
        tr_n(
            "{amount} in lane {lanes}",
            "{amount} in lanes {lanes}",
            len(lanes),
            amount=amount(*far, unit),
            lanes=listed(lanes),
        )
        for far, lanes in alike.items()
    ]
    if len(visit.lanes()) > 1 and set(alike) == {(visit.distance, visit.by_time_ms)}:
        lanes = listed([*map(str, visit.lanes())])
        said = tr("{name}, {date}: {amount} per swimmer in lanes {lanes}", lanes=lanes, **told)
    elif len(visit.lanes()) > 1:
        said += f"; {'; '.join(parts)}"
    missed = missed_said(visit.missed, True)
    return sentence(said) + (f" {missed}" if missed else "")


def missed_said(missed: tuple[str, ...], names: bool) -> str:
    """Who missed something: names, or how many."""
    if not missed:
        return ""
    return sentence(
        tr(
            "{missed} missed it",
            missed=listed(list(missed)) if names else tr_n("{n:,} swimmer", "{n:,} swimmers", len(missed)),
        )
    )


def missed_rows(visited: Visited) -> tuple[tuple[str, str], ...]:
    """Each swimmer who missed something when it was last swum, and what they missed."""
    return tuple(
        (name, ", ".join(row.name for row in rows if not row.is_focus) or rows[0].name)
        for name, rows in visited.missed().items()
    )


def due_text(visited: Visited, today: date) -> str:
    """What is due today, in a sentence."""
    rows = visited.due_rows(today)
    if not rows:
        return tr("Nothing is due today.")
    return tr("Due: {said}.", said=listed([_due_row(row, today) for row in rows]))


def _due_row(row: SeriesRow, today: date) -> str:
    if (late := row.due.late_days(today)) is not None and late > 0:
        return tr_n("{name} ({n:,} day overdue)", "{name} ({n:,} days overdue)", late, name=row.name)
    return tr("{name} (today)", name=row.name) if late == 0 else tr("{name} (not swum yet)", name=row.name)


def series_text(
    visited: Visited, today: date, gaps: Gaps, *, names: bool = False, printed: Callable[[str], str] = str
) -> str:
    """A series for the command line; `printed` says how to print what a coach wrote."""
    head = printed(f"{visited.series.name}{f', {visited.squad}' if visited.squad else ''}: ")
    head += tr_n("{n:,} session", "{n:,} sessions", len(visited.sessions))
    blocks = [head]
    if visited.rows:
        blocks.append("\n".join(_grid(visited, today, printed)))
    blocks.append(printed(due_text(visited, today)) + "\n" + gaps.text)
    if names and (missed := missed_rows(visited)):
        blocks.append(tr("Missed last time:\n") + "\n".join(f"  {name}: {what}" for name, what in missed))
    elif count := len(visited.missed()):
        blocks.append(
            tr(
                "{counted} missed something last time; --names says who.",
                counted=tr_n("{n:,} swimmer", "{n:,} swimmers", count),
            )
        )
    return "\n\n".join(blocks)


def _grid(visited: Visited, today: date, printed: Callable[[str], str]) -> Iterator[str]:
    name, coming = visited.series.name, visited.coming
    titles = [one.title for one in visited.sessions] + [page.title for page in coming]
    rows: list[tuple[str, ...]] = [
        ("", *(day_short(one.date) for one in visited.sessions), *(tr("planned") for _ in coming), ""),
        ("", *(printed(short_title(title, name)) for title in titles), ""),
    ]
    for row in visited.rows:
        cells = [_cell(row, one) for one in visited.sessions]
        cells += [_coming(row, page) for page in coming]
        what = printed(row.name)
        rows.append((what if row.is_focus else f"  {what}", *cells, due_said(row, today)))
    return aligned(rows, left=(0, -1))


def _cell(row: SeriesRow, session: SwumSession) -> str:
    visit = row.visits.get(session.number)
    return "·" if visit is None else amount(visit.distance, visit.by_time_ms, session.unit)


def _coming(row: SeriesRow, page: SeriesPage) -> str:
    return tr("planned") if page.key in row.planned else "·"


def series_json(visited: Visited, today: date, *, names: bool = False) -> dict[str, Any]:
    """A series for another program; swimmers are named only with `names`."""
    return {
        "name": visited.series.name,
        "squad": visited.squad,
        "pages": [
            {"title": page.title, "focus": page.focus, "revisits": page.revisits} for page in visited.series.pages
        ],
        "sessions": [
            {
                "session": one.number,
                "day": one.day,
                "title": one.title,
                "unit": one.unit,
                **({"absent": list(visited.absent[one.number])} if names else {}),
            }
            for one in visited.sessions
        ],
        "rows": [_row_json(row, today, names) for row in visited.rows],
    }


def _row_json(row: SeriesRow, today: date, names: bool) -> dict[str, Any]:
    late = row.due.late_days(today)
    return {
        "kind": "focus" if row.is_focus else "drill",
        "name": row.name,
        "visits": [_visit_json(number, visit, names) for number, visit in row.visits.items()],
        "due": None if row.due.due is None else row.due.due.isoformat(),
        "is_due": late is not None and late >= 0,
        "planned": sorted(row.planned),
    }


def _visit_json(number: int, visit: Visit, names: bool) -> dict[str, Any]:
    told: dict[str, Any] = {
        "session": number,
        "distance": visit.distance,
        "by_time_ms": visit.by_time_ms,
        "lanes": [{"lane": lane, "distance": far, "by_time_ms": ms} for lane, (far, ms) in visit.lanes().items()],
        "missed": len(visit.missed),
    }
    if names:
        told["swimmers"] = [
            {"name": one.name, "lane": one.lane, "distance": one.distance, "by_time_ms": one.by_time_ms}
            for one in visit.shares
            if one.name
        ]
        told["missed_by"] = list(visit.missed)
    return told
