"""`pacer season`: distance, time, sessions and attendance by week, month, lane; base paces; what is planned."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from pacer.cli.exportcommand import texts_in
from pacer.cli.inputoutput import FINE, STOPPED, UNREADABLE, CommandEnded, json_option, names_option, print_json
from pacer.cli.printednames import masked_json, printed_here
from pacer.cli.seriescommand import day_of
from pacer.language import tr, tr_n
from pacer.plan.library.plancards import card_of
from pacer.review.alignedrows import aligned
from pacer.review.logtables import Table
from pacer.review.season.ledger import Ledger
from pacer.review.season.season import Attendance, Total, Visit
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timezone import weekday_and_date
from pacer.show.after.seasonview import SeasonView
from pacer.squad.trials.baseorigin import tenths

FORMAT = "pacer-season/1"
OF_SWIMMERS = tr("By swimmer")


def add_season(command: Callable[..., argparse.ArgumentParser]) -> None:
    """Add the command and its options."""
    told = tr("show sessions, distance, time and attendance by week, month and lane, base paces, and what is planned")
    made = command("season", season, told, plan=None, squad=False)
    made.add_argument("--since", metavar="YYYY-MM-DD", help=tr("from this day on"))
    made.add_argument("--until", metavar="YYYY-MM-DD", help=tr("up to this day"))
    names_option(made)
    json_option(made)


def season(options: argparse.Namespace) -> int:
    """Print the season, or what of it was asked for."""
    since_ms = _start_of(options.since, "--since") if options.since else 0
    until_ms = _start_of(options.until, "--until", 1) if options.until else 2**62
    store = Store()
    cards = [card_of(name, text) for name, text in texts_in(Path(store.folder) / "plans", "*.txt").items()]
    view = SeasonView(Ledger(store), cards)
    try:
        for told in store.open():
            print(told, file=sys.stderr)
        view.read_on(None, since_ms, until_ms)
    except StoreTrouble as trouble:
        raise CommandEnded(tr("pacer season: {trouble}", trouble=trouble), STOPPED) from None
    for told in view.ledger.told:
        print(told, file=sys.stderr)
    today, printed = day_of(None), printed_here(store, options.names)
    if options.json:
        print_json(masked_json(_json(view, today, options.names), printed))
        return FINE
    tables = [table for table in view.tables() if options.names or table.heading != OF_SWIMMERS]
    blocks = ["\n".join([table.heading, *_rows(table)]) for table in tables]
    blocks += list(_bases(view, options.names))
    blocks += list(_planned(view, today))
    print(printed("\n\n".join(blocks if tables else [tr("No sessions yet."), *_planned(view, today)])))
    return FINE


def _start_of(text: str, option: str, later: int = 0) -> int:
    """When a day starts by this device's clock, or one that many days later."""
    try:
        day = date.fromisoformat(text) + timedelta(days=later)
        return int(datetime(day.year, day.month, day.day).timestamp()) * 1000
    except (ValueError, OverflowError, OSError):
        raise CommandEnded(
            tr("{option}: “{text}” is not a day: write 2026-03-05", option=option, text=text), UNREADABLE
        ) from None


def _rows(table: Table) -> Iterator[str]:
    rows = [table.heads, *table.rows] if table.heads else list(table.rows)
    return (f"  {row}" for row in aligned(rows))


def _bases(view: SeasonView, names: bool) -> Iterator[str]:
    """Each lane's base at its first and its last session."""
    shown = {f"lane {lane}": mine for lane, mine in view.lanes.items()} | (dict(view.swimmers) if names else {})
    rows = tuple(
        (who, *_change(mine), tr_n("{n:,} session", "{n:,} sessions", len(mine))) for who, mine in shown.items() if mine
    )
    if rows:
        unit = next(mine[-1].base_unit for mine in shown.values() if mine)
        yield "\n".join(
            [tr("Bases per 100 {unit}", unit=unit), *_rows(Table("", rows, ("", tr("first"), tr("last"), "")))]
        )


def _change(mine: Sequence[Visit]) -> tuple[str, str]:
    return tenths(mine[0].base_ms), tenths(mine[-1].base_ms)


def _planned(view: SeasonView, today: date) -> Iterator[str]:
    rows = [
        f"  {weekday_and_date(entry.day)}{f', {entry.at}' if entry.at else ''}: {entry.title}"
        for entry in view.entries
        if entry.number is None and entry.day >= today
    ]
    if rows:
        yield "\n".join([tr("Planned"), *rows])


def _json(view: SeasonView, today: date, names: bool) -> dict[str, Any]:
    season = view.season
    told: dict[str, Any] = {
        "format": FORMAT,
        "weeks": [_total(one, "from") for one in season.weeks],
        "months": [_total(one, "month") for one in season.months],
        "lanes": [_total(one, "lane") for one in season.lanes],
        "bases": {"lanes": _visits(view.lanes)},
        "planned": [
            {"day": one.day.isoformat(), "at": one.at or None, "title": one.title}
            for one in view.entries
            if one.number is None and one.day >= today
        ],
    }
    if names:
        told["swimmers"] = [_total(one, "name") | _attendance(season.attendance, one.key) for one in season.swimmers]
        told["bases"]["swimmers"] = _visits(view.swimmers)
    return told


def _total(one: Total, key: str) -> dict[str, Any]:
    sums = {"sessions": one.sessions, "distance_m": one.distance, "swum_ms": one.swum_ms, "came": one.came}
    return {key: one.key, **sums}


def _attendance(attendance: Sequence[Attendance], name: str) -> dict[str, Any]:
    found = next((one for one in attendance if one.name == name), None)
    return {} if found is None else {"here": found.came, "of": found.of}


def _visits(visits: Mapping[str, Sequence[Visit]]) -> dict[str, list[dict[str, Any]]]:
    return {
        who: [
            {
                "day": one.day,
                "base_ms": one.base_ms,
                "base_unit": one.base_unit,
                "unit": one.unit,
                "times": one.times,
                "over": None if one.over is None else round(float(one.over), 4),
                "tests": [{"swum": test.text, "day": test.day or None} for test in one.tests],
            }
            for one in mine
        ]
        for who, mine in visits.items()
    }
