"""Which sessions count as swum, and when a plan of the shelf was."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from pacer.language import tr
from pacer.plan.library.newplan import below_header
from pacer.plan.library.plancards import Card
from pacer.session.storage.savedsession import Listed

#: A session counts as swum if it lasts at least this long: a shorter one was given up, or started by accident.
LEAST_SWUM_MS = 120_000
TOO_SHORT = tr("It lasted less than two minutes, so it doesn't count as swum.")


def counts_as_swum(listed: Listed) -> bool:
    """Whether a session counts as swum: it started and lasted two minutes or longer.

    It lasted until its end; if it never ended, until something of it was last saved.
    """
    end_ms = listed.seen_ms if listed.ended_ms is None else listed.ended_ms
    return listed.begun_ms is not None and end_ms is not None and end_ms - listed.begun_ms >= LEAST_SWUM_MS


def last_swum(
    cards: Iterable[Card], sessions: Iterable[Listed], plans: Callable[[Iterable[int]], Mapping[int, str]]
) -> dict[str, int]:
    """When each plan was last swum, by its title on the shelf.

    A session is of the plan with its title; if there is none (the plan has another title since, or the session has
    none), of the plan with the same sets. `plans` gives the texts of sessions' plans.
    """
    titles = {card.title: card for card in cards}
    made: dict[str, int] = {}
    others: dict[int, int] = {}
    for listed in sorted((one for one in sessions if counts_as_swum(one)), key=lambda one: one.begun_ms or 0):
        assert listed.begun_ms is not None, "it was swum"
        if listed.title in titles:
            made[listed.title] = listed.begun_ms
        else:
            others[listed.number] = listed.begun_ms
    if not others:
        return made
    texts = {number: below_header(text) for number, text in plans(others).items()}
    for title, card in titles.items():
        same = [others[number] for number, text in texts.items() if text and text == below_header(card.text)]
        if same and title not in made:
            made[title] = max(same)
    return made
