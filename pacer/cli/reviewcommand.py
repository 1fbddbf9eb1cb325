"""The commands that look back on a session: its review, and what it offers."""

from __future__ import annotations

import argparse
import sys

from pacer.cli.inputoutput import FINE, STOPPED, CommandEnded, book_here, plan_of, print_json, squad_of
from pacer.language import tr
from pacer.plan.problem import Unreadable
from pacer.review.learning.offereffect import PlanChange, plan_change
from pacer.review.learning.offers import Offer
from pacer.review.learning.takenoffers import take
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
        reading = ReviewText(review_of(kept), names=options.names, book=book_here())
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
    for lost in kept.lost:
        print(lost, file=sys.stderr)
    if options.json:
        print_json(review_json(reading))
        return FINE
    print(review_text(reading, _changes(reading, options)))
    return FINE


def _last(store: Store) -> int:
    number = next((listed.number for listed in store.sessions() if counts_as_swum(listed)), None)
    if number is None:
        raise CommandEnded(tr("No sessions yet."), STOPPED)
    return number


def _changes(reading: ReviewText, options: argparse.Namespace) -> list[PlanChange | None]:
    """What each offer would change in the plan named as the next one."""
    if options.next is None:
        return []
    squad = squad_of(options.squad) if options.squad else reading.review.squad
    plan = plan_of(options.next, squad.words)

    def change(offer: Offer) -> PlanChange | None:
        try:
            return plan_change(plan, squad, take(Roster(squad), offer)[0].squad)
        except Refused:
            return None  # the swimmer or lane is not in this squad

    return [change(offer) for offer in reading.offers]
