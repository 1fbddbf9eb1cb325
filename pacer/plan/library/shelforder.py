"""The order of plans on the shelf: the latest first, and in groups: this week's, each series, the rest."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.library.plancards import Card, planned_day
from pacer.plan.times import HOUR_MS

WEEK_MS = 7 * 24 * HOUR_MS
THIS_WEEK, OTHERS = tr("This week"), tr("Other plans")
_NUMBERED = re.compile(r"(.*\S)\s*\b(\d+)\s*$")


def latest_first(cards: Iterable[Card], as_it_came: Callable[[Card], bool]) -> tuple[Card, ...]:
    """The most recently written, changed or swum first; demos still `as_it_came` and never swum last, as a series."""
    kept = sorted(cards, key=lambda card: _in_series(card.title))
    untouched = [card for card in kept if card.swum_ms is None and as_it_came(card)]
    made = [card for card in kept if card.swum_ms is not None or not as_it_came(card)]
    return *sorted(made, key=lambda card: max(card.changed_ms, card.swum_ms or 0), reverse=True), *untouched


class ShelfGroup(NamedTuple):
    """Plans under one heading."""

    heading: str
    cards: tuple[Card, ...]


def shelf_groups(
    cards: Sequence[Card], now_ms: int, as_it_came: Callable[[Card], bool] = lambda card: False
) -> tuple[ShelfGroup, ...]:
    """The groups that have plans; each plan is in one group.

    This week: planned for today or the next seven days, the next one first; then what was swum or written within seven
    days; demos still `as_it_came` don't count. A series is two or more plans whose titles differ only by their number,
    in that order; if all of them are such demos, the heading says so.
    """
    within = datetime.fromtimestamp((now_ms + WEEK_MS) / 1000).date()
    days = {card.name: day for card in cards if (day := planned_day(card, now_ms)) is not None and day <= within}
    coming = sorted((card for card in cards if card.name in days), key=lambda card: card.planned)
    recent = coming + [
        card
        for card in cards
        if card.name not in days
        and (now_ms - (card.swum_ms or 0) < WEEK_MS or (now_ms - card.changed_ms < WEEK_MS and not as_it_came(card)))
    ]
    rest = [card for card in cards if card not in recent]
    series: dict[str, list[tuple[int, Card]]] = {}
    for card in rest:
        if match := _NUMBERED.match(card.title):
            series.setdefault(match[1], []).append((int(match[2]), card))
    made = [ShelfGroup(THIS_WEEK, tuple(recent))]
    taken: set[str] = set()
    for name, numbered in series.items():
        if len(numbered) > 1:
            ordered = tuple(card for _, card in sorted(numbered, key=lambda each: each[0]))
            samples = all(as_it_came(card) and card.swum_ms is None for card in ordered)
            made.append(ShelfGroup(tr("{name}: sample plans", name=name) if samples else name, ordered))
            taken |= {card.name for card in ordered}
    others = tuple(card for card in rest if card.name not in taken)
    made.append(ShelfGroup(OTHERS if len(made) > 1 or recent else tr("Plans"), others))
    return tuple(group for group in made if group.cards)


def _in_series(title: str) -> list[tuple[int, str]]:
    """The key that sorts titles, with numbers in them by value.

    >>> sorted(["Turns 10", "Turns 9"], key=_in_series)
    ['Turns 9', 'Turns 10']
    """
    return [(int(part), "") if part.isdecimal() else (0, part) for part in re.split(r"([0-9]+)", title.casefold())]
