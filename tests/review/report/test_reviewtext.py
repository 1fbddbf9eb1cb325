"""The review as text and as JSON, without names unless asked for, and its tables."""

import json
import random

import pytest

from pacer.review.learning.offereffect import PlanChange, SetChange, Way, plan_change
from pacer.review.learning.takenoffers import take
from pacer.review.report.offerwords import change_lines, changes_text, evidence_text, offer_text
from pacer.review.report.reviewtext import FORMAT, ReviewText, review_json, review_text
from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.entries import Begun
from pacer.session.journal.recordentries import Noted
from pacer.session.running.replay import fresh
from pacer.squad.register.roster import Roster
from tests.review.made import ZERO_WALL_MS, S, kept, timed
from tests.review.report.test_news import PLAN, SQUAD, TIMELINE, by
from tests.session.deck import PLAN as DECK_PLAN
from tests.session.deck import SQUAD as DECK_SQUAD
from tests.session.deck import evening
from tests.session.pages import session


def reading(names=False):
    takes = by(lambda swim: {0: 0.95, 1: 1.04, 2: 1.0}[swim.who])
    return ReviewText(review_of(timed(TIMELINE, takes, Noted(100 * S, "long", 0, 0))), names=names)


def test_names_appear_only_if_asked_for():
    for text in (review_text(reading()), json.dumps(review_json(reading()))):
        assert not any(name in text for name in ("Kit", "Rowan", "Ash"))
    for text in (review_text(reading(True)), json.dumps(review_json(reading(True)))):
        assert all(name in text for name in ("Kit", "Rowan", "Ash"))


def test_content_of_the_text():
    text = review_text(reading(True))
    assert text.startswith("Review of session 1: Thursday\nMonday 2 March 2026, ")
    assert "\n\nRowan was 3.2 s per 100 slower than expected (12 timed repeats)." in text
    table = text[text.index("Lane 3: Main set, 4 x 100 free, on 2:15") :].splitlines()
    assert table[1].split() == [
        "swimmer",
        *["1.1", "1.2", "1.3", "1.4", "2.1", "2.2", "2.3", "2.4"],
        *["average", "varies", "slows"],
    ]
    assert table[2].split()[:3] == ["expected", "1:20.0", "1:20.0"]
    assert "at  about" in text and "Kit  Main set, set 1  Long." in text
    assert "\nPlanned and swum\n  lane  planned  swum\n     3  1,300 m  1,300 m\n" in text
    assert not any(row.endswith(" ") for row in text.splitlines())


def test_a_finish_is_said_as_the_plan_says_it():
    """Rounded up, as on the plan's page; a change of less than a second is none."""
    whole, part = 59 * 60 * S, 52_100
    (_, finish) = change_lines(PlanChange("", (), whole - 60 * S + 15_200, whole + part))
    assert finish == "lasts 59:53 instead of 58:16"
    assert change_lines(PlanChange("", (), whole + 100, whole + 900), made=True) == (
        "no send-offs change in that plan",
    )
    way = Way(6, None, 20_100)
    alike = SetChange(2, "Main set", 1, "", way, way._replace(rest_ms=20_900))
    assert change_lines(PlanChange("", (alike,), whole, whole)) == ("no send-offs change in that plan",)
    assert changes_text(PlanChange("", (alike,), whole, whole)) == "no send-offs change in the next plan"


def test_offers_state_their_evidence_and_effect():
    told = reading(True)
    kit = next(offer for offer in told.offers if offer.swimmer == "Kit")
    assert offer_text(kit, told.called) == "Kit, base 1:16 instead of 1:20"
    assert evidence_text(kit, told.called).startswith(
        "12 timed repeats in 1 set, 5.0% faster than expected; 95% likely between 1:"
    )
    rowan = next(offer for offer in told.offers if offer.swimmer == "Rowan")
    plan = session(PLAN.replace("on 2:15", "rest 0:20"), SQUAD).plan
    roster = Roster(told.review.squad)
    change = plan_change(plan, roster.squad, take(roster, rowan)[0].squad)
    assert changes_text(change).startswith("lane 3, Main set, set 1: on 1:45 instead of 1:40")
    assert changes_text(plan_change(plan, roster.squad, roster.squad)) == "no send-offs change in the next plan"


def test_json_has_the_whole_review():
    told = review_json(reading())
    assert told["format"] == FORMAT and told["swum"] is True and json.loads(json.dumps(told)) == told
    assert [one["lane"] for one in told["plan"]] == [3, 4]
    assert sum(len(row["times"]) for one in told["sets"] for row in one["swimmers"]) == 36
    assert told["distance"]["people"] == {"0": 1300, "1": 1300, "2": 1300}
    assert {one["what"] for one in told["offers"]} == {"base"}


@pytest.mark.parametrize("seed", range(15))
def test_any_evening_has_a_review(seed):
    timeline = session(DECK_PLAN, DECK_SQUAD)
    journal = [entry for entry, _ in evening(random.Random(seed), fresh(timeline), 50)]
    told = ReviewText(review_of(kept(timeline, [Begun(-10 * S, 0, ZERO_WALL_MS), *journal])), names=True)
    assert told.news and review_text(told) and json.dumps(review_json(told))
    for table in told.tables:
        assert {len(row) for row in (*table.rows, *([table.heads] if table.heads else []))} == {len(table.rows[0])}
