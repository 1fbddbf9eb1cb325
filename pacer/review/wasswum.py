"""Which sessions count as swum, and when a plan of the shelf was."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

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


Plans = Callable[[Iterable[int]], Mapping[int, str]]  #: the texts of sessions' plans, by the sessions' numbers


def swum_plans(
    cards: Iterable[Card], sessions: Iterable[Listed], plans: Plans
) -> Iterator[tuple[Listed, tuple[Card, ...]]]:
    """The sessions that count as swum, in order, and which plan of the shelf each one swam.

    A session swam the plan with its sets: under its title, or under the one that the plan has had since; all plans with
    these sets, if none has the title. If no plan has them (it was changed since), it is the plan with its title.
    """
    counted = sorted((one for one in sessions if counts_as_swum(one)), key=lambda one: one.begun_ms or 0)
    titled: dict[str, list[Card]] = {}
    alike: dict[str, list[Card]] = {}
    for card in cards:
        titled.setdefault(card.title, []).append(card)
        alike.setdefault(below_header(card.text), []).append(card)
    texts = plans(one.number for one in counted)
    sets = {text: below_header(text) for text in set(texts.values())}
    for one in counted:
        swum = sets.get(texts.get(one.number, ""), "")
        same = alike.get(swum, []) if swum else []
        ours = titled.get(one.title, []) if one.title else []
        yield one, tuple([card for card in same if card in ours] or same or ours)


def last_swum(cards: Iterable[Card], sessions: Iterable[Listed], plans: Plans) -> dict[tuple[str, bool], int]:
    """When each plan was last swum, by the name of its file and whether it is hidden."""
    made: dict[tuple[str, bool], int] = {}
    for one, swum in swum_plans(cards, sessions, plans):
        assert one.begun_ms is not None, "it was swum"
        made |= dict.fromkeys([(card.name, card.away) for card in swum], one.begun_ms)
    return made


def titles_now(cards: Iterable[Card], sessions: Iterable[Listed], plans: Plans) -> dict[int, str]:
    """The present title of the plan that each session swam, by the session's number; only of plans that were renamed.

    `cards` are the hidden plans too. While one of them has the title of the session, it is that plan's.
    """
    cards = tuple(cards)
    there = {card.title.casefold() for card in cards}
    lost = [one for one in sessions if one.title and one.title.casefold() not in there]
    made = {}
    for one, swum in swum_plans(cards, lost, plans) if lost else ():
        titles = {card.title for card in swum}
        if len(titles) == 1:
            made[one.number] = titles.pop()
    return made
