"""Ways that bring an overrunning plan back within its booking: each one does, and takes no more than it must."""

from __future__ import annotations

import random

import pytest

from pacer.plan.text.livepage import LivePage
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from pacer.timeline.checks.planchecks import shared_entries
from pacer.timeline.checks.remedies import fixes_to_fit
from pacer.timeline.checks.shortening import MOST_WAYS, ways_to_fit
from pacer.timeline.summary.planned import planned
from pacer.timeline.summary.totals import totals
from pacer.timeline.timeline import build_timeline
from tests.reference.random_plans import random_plan_text


def squad(*bases, groups=()):
    paces = [Pace(base * 1000) for base in bases]
    labels = groups or [None] * len(bases)
    return Squad(
        tuple(Lane(n, pace, (Swimmer(pace),) * 4, group=label) for n, (pace, label) in enumerate(zip(paces, labels), 1))
    )


FIVE = squad(90, 100, 110, 112, 130)
SIX = squad(80, 90, 100, 110, 112, 130, groups=("A", "A", "B", "B", "C", "C"))
EVENING = """pool: 25 m
booking: {booking} min

Warm-up{run_on}
  400 choice
  4x50 kick, rest 0:15
  6 x 50 as 25 drill / 25 swim, rest 0:15

Main set{run_on}
  8 x 100 free, on 1:45 / 1:55 / 2:05 / 2:15 / 2:30
  4 x 200 pull, with paddles, rest 0:20

Cool-down
  200 easy
"""


def offered(text, who=FIVE):
    """What is offered for a page, and the page after each offer."""
    lines, live = text.split("\n"), LivePage()
    reading = live.read(lines)
    assert reading.whole, reading.problems
    fixes = fixes_to_fit(ways_to_fit(planned(reading.plan, who)[0]), lines, reading, who, live)
    return [(fix.says, live.would(fix.applied(lines)).plan) for fix in fixes]


@pytest.mark.parametrize(
    ("booking", "run_on", "says"),
    [
        (60, ", run on", ["8 x 100 becomes 8 / 8 / 7 / 6 / 3 x 100", "4 x 200 becomes 4 / 4 / 3 / 3 / 1 x 200"]),
        (60, "", ["8 x 100 becomes 7 / 6 / 5 / 4 / 3 x 100", "4 x 200 becomes 3 / 3 / 2 / 2 / 1 x 200"]),
        (35, "", ["1 x 50, 2 x 50, 3 x 100 and 1 x 200"]),  # no set alone is long enough
        (72, "", []),  # it fits
        (20, "", []),  # nothing of this is enough
    ],
)
def test_sets_with_fewer_repeats_end_in_time(booking, run_on, says):
    before = offered(EVENING.format(booking=booking, run_on=run_on))
    assert [each for each, _ in before] == says
    for _, plan in before:
        assert totals(plan, FIVE).over_ms == 0


def test_waits_between_sections_go_where_that_alone_is_enough():
    text = (
        "pool: 25 m\nbooking: 16 min\n\nWarm-up\n  4 x 50 free on 1:00 / 2:00\n\n"
        "Main set\n  4 x 50 free on 2:00 / 1:00\n\nCool-down\n  2 x 50 free on 1:00\n"
    )
    who = squad(90, 90)
    assert totals(LivePage().read(text.split("\n")).plan, who).over_ms > 0
    says, plan = offered(text, who)[0]
    assert says == "Each lane swims straight on, no waiting" and totals(plan, who).over_ms == 0
    assert [section.run_on for section in plan.sections] == [True, True, False]


def test_the_way_that_costs_the_fewest_metres_comes_first():
    """Ten 50s take longer than four 100s with much rest, and two of them fewer cost less than one 200."""
    text = "pool: 25 m\nbooking: 29 min\n\nMain set\n  4 x 200 free, on 4:00\n  10 x 50 free, on 1:30\n"
    who = squad(90, 90)
    offers = offered(text, who)
    metres = [sum(lane.distance for lane in totals(plan, who).lanes) for _, plan in offers]
    assert len(offers) == 2 and metres == sorted(metres, reverse=True) and offers[0][0].startswith("10 x 50")


def test_no_lane_has_more_repeats_than_before_and_one_more_would_overrun():
    text = "pool: 25 m\nbooking: 18 min\n\nMain set\n  12 / 10 / 9 x 100 free, rest 0:20\n"
    who = squad(90, 120, 150)
    ((says, plan),) = offered(text, who)
    counts = [int(each) for each in says.partition(" becomes ")[2].split(" x ")[0].split(" / ")]
    assert all(now <= before for now, before in zip(counts, (12, 10, 9)))
    assert totals(plan, who).over_ms == 0
    for lane, before in enumerate((12, 10, 9)):
        more = [count + (place == lane) for place, count in enumerate(counts)]
        changed = text.replace("12 / 10 / 9", " / ".join(map(str, more)))
        assert counts[lane] == before or totals(LivePage().read(changed.split("\n")).plan, who).over_ms > 0


def test_a_set_that_ended_at_the_clock_still_does():
    text = "pool: 25 m\nbooking: 10 min\n\nMain set\n  16 x 25 free on 1:00\n"
    ((says, _),) = offered(text, squad(90))
    assert says in ("16 x 25 becomes 8 x 25", "16 x 25 becomes 10 x 25")


@pytest.mark.parametrize(
    "line",
    [
        "8 x 100 free descend 1-4 on 3:00",  # cut, it would not be the same descent
        "8 x 50 free no breath on 3:00",  # can be dangerous: nobody's offer changes it
        "100 - 200 - 300 free, rest 5:00",
        "1500 free",
        "A: 8 x 100 free on 3:00",
    ],
)
def test_other_sets_stay_as_they_are(line):
    who = squad(90, 100, groups=("A", "A"))
    assert offered(f"pool: 25 m\nbooking: 10 min\n\nMain set\n  {line}\n", who) == []


@pytest.mark.parametrize("seed", range(12))
def test_offers_fit_whatever_the_plan(seed):
    """An offer that the page takes ends in time: reading and laying it out again is the check."""
    text = random_plan_text(random.Random(seed))
    text = "\n".join(line for line in text.split("\n") if not line.startswith(("booking:", "spare:")))
    whole = totals(LivePage().read(text.split("\n")).plan, SIX)
    minutes = max(1, whole.end_ms * 4 // 5 // 60_000)
    found = offered(f"booking: {minutes} min\n{text}", SIX)
    assert len(found) <= MOST_WAYS + 1
    for _, plan in found:
        assert totals(plan, SIX).over_ms == 0


def test_no_offer_leaves_lanes_that_share_the_last_value():
    """The last two of five lanes swim as many: an offer is not what a check then asks about."""
    text = "pool: 25 m\nbooking: 14 min\n\nMain set\n  12 x 50 free, on 0:50 / 0:55 / 1:00 / 1:20 / 1:20\n  200 easy\n"
    who = squad(90, 100, 110, 130, 130)
    made = offered(text, who)
    counts = [says.split(" becomes ")[1].split(" x ")[0].split(" / ") for says, _ in made]
    assert any(len(each) == 5 and each[3] == each[4] for each in counts), made
    for _, plan in made:
        assert not [*shared_entries(build_timeline(plan, who))], plan
