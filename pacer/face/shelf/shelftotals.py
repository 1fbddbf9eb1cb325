"""Totals and strips of plans, worked out on another thread one after another, kept until the text or the squad
changes.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable
from dataclasses import replace

from kivy.clock import Clock

from pacer.language import tr, tr_n
from pacer.plan.library.plancards import Card
from pacer.plan.sentence import capitals
from pacer.show.figures.figure import Figure
from pacer.show.figures.planstrip import strip
from pacer.show.wording.totalstext import span, summary
from pacer.signal.slowcalls import Worker
from pacer.squad.squad import Squad
from pacer.timeline.summary.totals import Totals, failed_totals, totals

log = logging.getLogger(__name__)

#: What a demo says that a squad without groups can't swim.
DEMO_FOR_GROUPS = (
    tr("For lanes in groups: give your lanes a Group in the squad"),
    tr("For lanes with a Group in the squad"),
    tr("For lanes in groups"),
)


class ShelfTotals:
    """`ready()` is called on Kivy's thread when more totals are known.

    `of(card)` gives them, None until they are.
    """

    def __init__(self, squad: Squad, ready: Callable[[], None]):
        self.squad, self.ready = squad, ready
        self._known: dict[str, Totals | None] = {}
        self._strips: dict[str, Figure | None] = {}
        self._waiting: list[Card] = []
        self._worker = Worker("shelf totals")
        self._busy = False

    def of(self, card: Card) -> Totals | None:
        """The totals of a card's plan as far as they are known."""
        return self._known.get(card.text)

    def strip_of(self, card: Card) -> Figure | None:
        """Its strip, None until it is known or if there is none."""
        return self._strips.get(card.text)

    def want(self, cards: Iterable[Card]) -> None:
        """Work these out, in this order."""
        self._waiting = [card for card in cards if card.plan is not None and card.text not in self._known]
        self._next()

    def _next(self) -> None:
        if self._busy or not self._waiting:
            return
        self._busy = True
        card, squad = self._waiting.pop(0), self.squad
        self._worker.put(lambda: self._count(card, squad))

    def _count(self, card: Card, squad: Squad) -> None:
        plan = card.plan
        assert plan is not None, "only plans that can be read wait"
        try:
            found = totals(plan, squad, checks=False)
            figure = strip(found.timeline) if found.timeline is not None else None
            found = replace(found, timeline=None)  # for many plans that would be a lot to keep
        except Exception:  # an error of ours in one plan must not close the shelf
            log.exception("The totals of a plan failed")
            found, figure = failed_totals(plan), None
        Clock.schedule_once(lambda _dt: self._take(card.text, found, figure), 0)

    def _take(self, text: str, found: Totals | None, figure: Figure | None) -> None:
        self._known[text], self._strips[text], self._busy = found, figure, False
        self._next()
        self.ready()

    def close(self) -> None:
        """Stop working things out."""
        self._waiting = []
        self._worker.close()


def totals_words(card: Card, counted: Totals | None, demo: bool = False) -> tuple[tuple[str, ...], bool, str]:
    """What a plan's tile says below its title, the longest way first; whether bold; its colour.

    `demo`: the plan came with the app, and nobody has changed it.
    """
    if card.problems:
        count = len({problem.line for problem in card.problems})
        return (tr_n("{n} line not understood", "{n} lines not understood", count),), True, "warn"
    if counted is None:
        return ("…",), False, "dim"
    if counted.failed:
        return capitals(summary(counted)), True, "warn"
    if counted.stops:
        worst = counted.findings[0]
        if demo:  # the coach has done nothing wrong: the demo is for lanes in groups
            return DEMO_FOR_GROUPS, False, "dim"
        ways = (worst.ways[0], worst.hint, worst.message) if worst.hint else worst.ways  # the hint stays longest
        return (*(tr("Can't run: {way}", way=way) for way in ways), tr("Can't run with this squad")), True, "warn"
    ways = summary(counted)
    return tuple(f"{span(counted)}, {way}" for way in ways), False, "warn" if counted.over_ms else "ink"
