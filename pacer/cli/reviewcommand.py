"""The commands that look back on a session: its review, and what it offers."""

from __future__ import annotations

import argparse
import contextlib
import sys
from pathlib import Path

from pacer.cli.inputoutput import FINE, STOPPED, CommandEnded, book_here, plan_of, print_json, squad_of
from pacer.cli.printednames import masked_json, printed_here
from pacer.language import tr
from pacer.plan.problem import Unreadable
from pacer.review.learning.offereffect import PlanChange, plan_change
from pacer.review.learning.takenoffers import TakenOffers, take
from pacer.review.report.reviewtext import ReviewText, review_json, review_text
from pacer.review.swum.sessionreview import review_of
from pacer.review.wasswum import counts_as_swum
from pacer.session.storage.store import Store, StoreTrouble
from pacer.squad.refusal import Refused
from pacer.squad.register.roster import Roster
from pacer.timeline.findings import CannotRun


def review(options: argparse.Namespace) -> int:
    """`pacer review`: one session, by default the last one that counts as swum."""
    store = Store()
    try:
        for told in store.open():
            print(told, file=sys.stderr)
        number = options.session if options.session is not None else _last(store)
        kept = store.session(number)
        offers = TakenOffers(Path(store.folder))
        swum = review_of(kept)
        printed = printed_here(store, options.names, [kept])
        reading = ReviewText(swum, names=options.names, book=book_here())
    except StoreTrouble as trouble:
        raise CommandEnded(tr("pacer review: {trouble}", trouble=trouble), STOPPED) from None
    except (Unreadable, CannotRun):
        raise CommandEnded(
            tr(
                "pacer review: this version can't run the plan of session {number}; its times are in pacer "
                "log {number}",
                number=number,
            ),
            STOPPED,
        ) from None
    for lost in (*kept.lost, *filter(None, [offers.told])):
        print(lost, file=sys.stderr)
    taken = offers.of_session(number)
    if options.json:
        print_json(masked_json(review_json(reading, taken), printed))
        return FINE
    print(printed(review_text(reading, _changes(reading, options), taken)))
    return FINE


def _last(store: Store) -> int:
    number = next((listed.number for listed in store.sessions() if counts_as_swum(listed)), None)
    if number is None:
        raise CommandEnded(tr("No sessions yet."), STOPPED)
    return number


def _changes(reading: ReviewText, options: argparse.Namespace) -> dict[str, PlanChange]:
    """What each offer would change in the plan named as the next one, by its key."""
    changes: dict[str, PlanChange] = {}
    if options.next is None:
        return changes
    squad = squad_of(options.squad) if options.squad else reading.review.squad
    plan = plan_of(options.next, squad.words)
    for offer in reading.offers:
        with contextlib.suppress(Refused):  # the swimmer or lane is not in this squad
            changes[offer.key] = plan_change(plan, squad, take(Roster(squad), offer)[0].squad)
    return changes
