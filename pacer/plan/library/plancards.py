"""What the shelf shows of a plan, and a search for plans by their words."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook, drills_of_plan
from pacer.plan.library.newplan import header_of
from pacer.plan.model import Plan
from pacer.plan.notation.dateline import date_of
from pacer.plan.notation.planreader import read_plan
from pacer.plan.problem import Problem, Unreadable


@dataclass(frozen=True, slots=True)
class Card:
    """A plan on the shelf. `name` is its file's name, without the suffix.

    `plan` is None if the text has `problems`. `changed_ms` and `swum_ms` are wall time since 1970; `swum_ms` is None
    if the plan was never swum.
    """

    name: str
    text: str
    title: str
    focus: str
    pool: str
    plan: Plan | None
    problems: tuple[Problem, ...]
    changed_ms: int
    swum_ms: int | None = None
    away: bool = False

    @property
    def planned(self) -> str:
        """The date that the plan says, even if other lines of it cannot be read; "" for none.

        >>> card_of("roll", "date: 5 March 2026 18:30\\npool: 25 m\\n  4 x 50 drlil").planned
        '2026-03-05 18:30'
        """
        if self.plan is not None:
            return self.plan.date
        try:
            return date_of(header_of(self.text).get("date", ""))
        except Mistake:
            return ""


def card_of(name: str, text: str, changed_ms: int = 0, away: bool = False, gear: tuple[str, ...] = ()) -> Card:
    """The card of a plan's text."""
    header = header_of(text)
    plan: Plan | None = None
    problems: tuple[Problem, ...] = ()
    try:
        plan = read_plan(text, gear)
    except Unreadable as error:
        problems = tuple(error.problems)
    return Card(
        name,
        text,
        header.get("title") or name,
        header.get("focus", ""),
        header.get("pool", ""),
        plan,
        problems,
        changed_ms,
        away=away,
    )


def found(cards: Iterable[Card], words: str, book: DrillBook = EMPTY_BOOK) -> tuple[Card, ...]:
    """The cards whose text has all of the words, in any place; the beginning of a word is enough.

    A drill is found by every name that it has in the `book`, whichever the plan uses.

    >>> roll = card_of("roll", "title: Roll\\npool: 25 m\\n  4 x 50 drill six-kick switch")
    >>> len(found([roll], "KICK roll")), len(found([roll], "ick"))
    (1, 0)
    """
    wanted = [_plain(word) for word in words.split()]

    def has(card: Card, word: str) -> bool:
        return re.search(rf"(?<!\w){re.escape(word)}", _plain(f"{card.title}\n{card.text}\n{names(card)}")) is not None

    def names(card: Card) -> str:
        if card.plan is None or not len(book):
            return ""
        return "\n".join(name for drill in drills_of_plan(card.plan, book) for name in drill.names)

    return tuple(card for card in cards if all(has(card, word) for word in wanted))


def _plain(text: str) -> str:
    """The text without case and accents."""
    return "".join(c for c in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(c))


def planned_day(card: Card, now_ms: int) -> date | None:
    """The day that a plan is for, if that is today or later and it was not swum on it; the tablet's own days."""
    day = day_of(card.planned)
    if day is None or day < datetime.fromtimestamp(now_ms / 1000).date() or _swum_on(card.swum_ms, day):
        return None
    return day


def day_of(planned: str) -> date | None:
    """The day of what `Card.planned` says."""
    return date.fromisoformat(planned[:10]) if planned else None


def _swum_on(swum_ms: int | None, day: date) -> bool:
    return swum_ms is not None and datetime.fromtimestamp(swum_ms / 1000).date() >= day
