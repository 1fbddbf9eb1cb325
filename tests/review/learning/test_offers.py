"""Offers: made, accepted, undone, and their effect on the next plan."""

import json
from dataclasses import replace
from fractions import Fraction
from math import exp

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.review.learning.learned import Estimate, Learned, learn
from pacer.review.learning.offereffect import plan_change
from pacer.review.learning.offers import no_offer_said, offers_of
from pacer.review.learning.takenoffers import OffersTrouble, TakenOffers, spot, take, undo
from pacer.review.report.offerwords import evidence_text
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.swum.sessionreview import review_of
from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.refusal import Refused
from pacer.squad.register.roster import Roster, named, with_base, with_swimmer_base
from pacer.squad.squad import Pace
from tests.review.made import S, timed
from tests.session.pages import session

PLAN = """\
title: Thursday
pool: 25 m
Warm-up
  6 x 50 kick on 1:45
Main set
  8 x 100 free on base+0:20
"""
SQUAD = """\
name = "Thursday squad"
[[lane]]
number = 3
base = "1:20"
swimmers = 2
[[lane]]
number = 4
  [[lane.swimmer]]
  name = "Kit"
  base = "1:30"
  [[lane.swimmer]]
  name = "Rowan"
  tests = { "200" = "2:56", "400" = "6:10" }
"""


def swum(takes, plan=PLAN, squad=SQUAD):
    return review_of(timed(session(plan, squad), takes))


def faster_and_slower(swim):
    """Lane 3 is 4 % slower than written, Kit 5 % faster, Rowan as written."""
    by = {0: 1.04, 1: 1.02, 2: 0.95, 3: 1.0}[swim.who]
    return round(swim.predicted_ms * by * (1 + 0.003 * (swim.repeat % 3 - 1)))


def test_bases_are_offered_by_lane_and_by_swimmer():
    offers = offers_of(swum(faster_and_slower))
    assert [(offer.lane, offer.place, offer.swimmer, offer.who, offer.new) for offer in offers] == [
        (3, None, "", 0, Pace(83_200)),  # by its slowest: everybody has to make the send-offs
        (4, 0, "Kit", 2, Pace(85_500)),
    ]
    for offer in offers:
        assert offer.factor == "" and offer.estimate.times == 14 and offer.estimate.sets == 2
        least, most = offer.bounds
        assert least < offer.new.ms < most and not least <= offer.old.ms <= most


def test_no_offers_if_all_went_as_written_or_with_few_times():
    assert offers_of(swum(lambda swim: swim.predicted_ms)) == ()
    assert (
        offers_of(swum(lambda swim: 70 * S if swim.line == 1 and swim.section == 1 and swim.repeat < 4 else None)) == ()
    )


def test_a_factor_is_offered_to_the_lane():
    review = swum(lambda swim: round(swim.predicted_ms * (1.1 if swim.section == 0 else 1.0)))
    offers = [offer for offer in offers_of(review) if offer.factor]
    assert [(offer.lane, offer.factor, offer.old) for offer in offers] == [
        (3, "kick", Fraction(145, 100)),
        (4, "kick", Fraction(145, 100)),
    ]
    assert all(Fraction(157, 100) <= offer.new <= Fraction(160, 100) for offer in offers)


ONE_SET = "pool: 25 m\nWarm-up, easy\n  300 choice\nMain set\n  4 x 100 free on 2:00\n"
FOUR = '[[lane]]\nnumber = 4\nbase = "1:30"\nswimmers = 4\n'


def test_offers_that_share_their_times_say_so_and_what_the_times_are_in_all():
    """300 choice easy, swum about 30 % faster: neither `choice` nor `easy` alone is what the coach saw."""
    review = swum(
        lambda swim: round(swim.predicted_ms * (0.7 + 0.005 * swim.place)) if swim.section == 0 else None, ONE_SET, FOUR
    )
    choice, easy = offers_of(review)
    assert (choice.factor, easy.factor) == ("choice", "easy") and [one.factor for one in choice.also] == ["easy"]
    assert exp(choice.estimate.whole) == pytest.approx(0.7075, abs=0.001)
    for one, other in (choice, easy), (easy, choice):
        said = evidence_text(one, ReviewNames(review))
        assert said.startswith("4 timed repeats in 1 set, 29.3% faster than expected, 10.")
        assert f"% of it from {one.factor}; " in said
        assert said.endswith(f"; the same times suggest {other.factor} {float(other.new):.2f} too")
    # With times of easy free and of free, too, each has times of its own.
    both = f"{ONE_SET}Swim-down\n  4 x 100 easy on 2:10\n"
    for offer in offers_of(swum(lambda swim: round(swim.predicted_ms * (0.7 + 0.005 * swim.place)), both, FOUR)):
        assert not offer.also and "the same times" not in evidence_text(offer, ReviewNames(review))


def test_what_is_put_down_to_an_offer_is_never_more_than_all():
    """Lane 3 of the club: its bases are slower, so a drill as fast as written is faster for them."""
    review = swum(
        lambda swim: round(swim.predicted_ms * (1.0 if swim.section == 0 else 1.05) * (1 + 0.002 * (swim.repeat % 3)))
    )
    kick = next(offer for offer in offers_of(review) if offer.factor == "kick")
    assert kick.new < kick.old and exp(kick.estimate.whole) > 1
    assert "% faster than their other times suggest; 95% likely" in evidence_text(kick, ReviewNames(review))
    bases = [offer for offer in offers_of(review) if not offer.factor]
    assert bases and not any(offer.also for offer in bases)


def test_the_assumed_squad_gets_no_offers():
    review = swum(faster_and_slower)
    squad = replace(review.replay.begun.squad, assumed=True)
    timeline = session(PLAN, SQUAD)
    timeline.squad = squad
    review.replay.begun.squad = squad
    assert offers_of(review) == () and learn(review)


@pytest.mark.parametrize("which", [0, 1])
def test_accepted_and_undone(which):
    roster = Roster(read_squad(SQUAD), frozenset({(1, 1)}))
    offer = offers_of(swum(faster_and_slower))[which]
    made, taken = take(roster, offer, "thursday")
    lane = made.squad.lanes[which]
    assert (lane.base if which == 0 else lane.swimmers[0].base) == offer.new
    assert made.away == roster.away and [one.swimmers[-1].name for one in made.squad.lanes] == ["", "Rowan"]
    again = undo(made, taken)
    assert again == roster and write_squad(again.squad) == write_squad(roster.squad)
    assert taken.swimmer == offer.swimmer and "Kit" not in taken.before + taken.after


def test_test_swims_come_back_when_undone():
    review = swum(
        lambda swim: round(swim.predicted_ms * (1.06 if swim.who == 3 else 1.0) * (1 + 0.002 * (swim.repeat % 2)))
    )
    (offer,) = [offer for offer in offers_of(review) if offer.swimmer == "Rowan"]
    roster = Roster(read_squad(SQUAD))
    made, taken = take(roster, offer)
    assert "tests" not in write_squad(made.squad)
    assert write_squad(undo(made, taken).squad) == write_squad(roster.squad)


def test_a_factor_accepted_and_undone():
    review = swum(lambda swim: round(swim.predicted_ms * (1.1 if swim.section == 0 else 1.0)))
    offer = next(offer for offer in offers_of(review) if offer.factor)
    roster = Roster(read_squad(SQUAD))
    made, taken = take(roster, offer)
    assert made.squad.lanes[0].factors == {"kick": offer.new} and not made.squad.lanes[1].factors
    assert undo(made, taken) == roster


LONG = "title: Thursday\npool: 25 m\nWarm-up\n  16 x 50 kick, rest 0:14\nMain set\n  16 x 100 free on base+0:20\n"


def poor_kicker(swim):
    """Kit kicks 12 % slower than written, Rowan and everybody else as written."""
    return round(
        swim.predicted_ms * (1.12 if swim.who == 2 and swim.section == 0 else 1 + 0.004 * (swim.repeat % 3 - 1))
    )


def test_a_factor_is_offered_to_a_swimmer_who_differs():
    offers = offers_of(swum(poor_kicker, LONG))
    (own,) = [offer for offer in offers if offer.swimmer]
    assert (own.lane, own.place, own.swimmer, own.factor, own.old) == (4, 0, "Kit", "kick", Fraction(145, 100))
    assert Fraction(158, 100) <= own.new <= Fraction(163, 100) and own.estimate.times == 16
    nameless = SQUAD.replace('  name = "Kit"\n  base = "1:30"\n', "").replace("number = 4", 'number = 4\nbase = "1:30"')
    assert not [offer for offer in offers_of(swum(poor_kicker, LONG, nameless)) if offer.place is not None]


def test_a_swimmers_factor_is_accepted_used_and_undone():
    """By hand: 50 kick takes Rowan 0:70.3 at 1:37 and 1.45, so every 1:25; Kit 0:72 at 1:30 and 1.6, so every 1:30."""
    roster = Roster(read_squad(SQUAD))
    (own,) = [offer for offer in offers_of(swum(poor_kicker, LONG)) if offer.swimmer]
    made, taken = take(roster, own, "thursday")
    assert made.squad.lanes[1].swimmers[0].factors == {"kick": own.new}
    assert made.squad.lanes[1].swimmers[1].factors == {} and made.squad.lanes[0] == roster.squad.lanes[0]
    change = plan_change(read_plan(LONG), roster.squad, made.squad)
    (one,) = [one for one in change.sets if one.send_offs]
    assert (one.lane, one.section) == (4, "Warm-up") and (one.before.interval_ms, one.after.interval_ms) == (
        85 * S,
        90 * S,
    )
    again = undo(read_back(made), taken)
    assert again.squad == roster.squad and "Kit" not in taken.before + taken.after
    # Swum again as before, it is now as written.
    fits = swum(
        lambda swim: round(swim.predicted_ms * (1 + 0.004 * (swim.repeat % 3 - 1))), LONG, write_squad(made.squad)
    )
    assert offers_of(fits) == ()


def read_back(roster):
    return Roster(read_squad(write_squad(roster.squad)), roster.away)


def test_an_offer_is_undone_only_while_it_is_unchanged():
    roster = Roster(read_squad(SQUAD))
    offer = offers_of(swum(faster_and_slower))[0]
    made, taken = take(roster, offer)
    with pytest.raises(Refused, match="squad has changed since then"):
        undo(with_base(made, 0, Pace(79_000)), taken)
    other = with_swimmer_base(made, 1, 1, Pace(99_000))  # a change somewhere else does not matter
    assert undo(other, taken).squad.lanes[0] == roster.squad.lanes[0]
    assert undo(named(other, "Friday"), taken).squad.name == "Friday"


def test_a_swimmer_is_found_by_name_wherever_they_are_now():
    squad = read_squad(SQUAD)
    turned = replace(squad, lanes=squad.lanes[::-1])
    offers = offers_of(swum(faster_and_slower))
    assert spot(turned, 3, None, "") == (1, None) and spot(turned, 4, 0, "Kit") == (0, 0)
    assert spot(turned, 9, None, "") is None and spot(turned, 4, 0, "Ash") is None and spot(turned, 3, 5, "") is None
    gone = replace(squad, lanes=squad.lanes[:1])
    with pytest.raises(Refused, match="no longer in the squad"):
        take(Roster(gone), offers[1])


def test_the_effect_on_the_next_plan():
    """By hand: base 1:20 gives 1:40 on base+0:20, base 1:23.2 gives 1:45, the next mark of the clock."""
    roster = Roster(read_squad(SQUAD))
    made, _ = take(roster, offers_of(swum(faster_and_slower))[0])
    change = plan_change(read_plan(PLAN), roster.squad, made.squad)
    assert [(one.lane, one.section, one.line) for one in change.sets] == [(3, "Main set", 1), (3, "Warm-up", 1)]
    main, kick = change.sets
    assert main.send_offs and not kick.send_offs
    assert (main.before.interval_ms, main.after.interval_ms) == (100 * S, 105 * S)
    assert kick.before.rest_ms - kick.after.rest_ms == 58_000 * 104 // 100 - 58_000 == 2_320
    assert change.end_after_ms >= change.end_before_ms and change.title == "Thursday"
    assert plan_change(read_plan(PLAN), roster.squad, roster.squad).sets == ()


def test_accepted_offers_are_saved(tmp_path):
    roster = Roster(read_squad(SQUAD))
    offer = offers_of(swum(faster_and_slower))[1]
    _, taken = take(roster, offer, "thursday")
    kept = TakenOffers(tmp_path)
    assert kept.of(offer.key) is None
    kept.keep(taken)
    again = TakenOffers(tmp_path)
    assert again.of(offer.key) == taken and again.told == ""
    again.drop(offer.key)
    assert TakenOffers(tmp_path).of(offer.key) is None


def test_what_an_older_pacer_put_back_in_a_hidden_session_stays_in_the_file(tmp_path):
    (tmp_path / "offers.json").write_text('{"taken": [], "put back": {"2": [4, 9]}}')
    TakenOffers(tmp_path).drop("1/none")
    assert json.loads((tmp_path / "offers.json").read_bytes()) == {"taken": [], "put back": {"2": [4, 9]}}


@pytest.mark.parametrize("data", [b"", b"[]", b"{}", b'{"taken": [{"key": 1}], "put back": {}}', b"\xff"])
def test_a_file_that_cannot_be_read_is_told(tmp_path, data):
    (tmp_path / "offers.json").write_bytes(data)
    kept = TakenOffers(tmp_path)
    assert "can't be read" in kept.told and kept.of("x") is None
    kept.drop("x")
    assert TakenOffers(tmp_path).told == "", "saved, and readable again"


def test_a_disk_that_refuses_is_told(tmp_path):
    (tmp_path / "file").write_text("")
    kept = TakenOffers(tmp_path / "file")
    with pytest.raises(OffersTrouble, match="can't be saved"):
        kept.drop("x")


@pytest.mark.parametrize(
    ("log", "deviation", "times", "why"),
    [(-0.26, 0.2, 1, "too few times"), (-0.05, 0.04, 8, "vary too much"), (0.001, 0.01, 8, "fit the bases")],
)
def test_without_an_offer_it_says_which_reason(log, deviation, times, why):
    estimate = Estimate(log, deviation, 1, frozenset((0, number) for number in range(times)), log)
    assert why in no_offer_said([Learned(0, {0: estimate}, {}, {}, {}, (), 0.02)])
    assert "too few times" in no_offer_said([])
