"""Ten pages, each drafted from the session of the one before, swum by lanes that do the same every time."""

from __future__ import annotations

import random

import pytest

from pacer.plan.library.drillbook import EMPTY_BOOK
from pacer.plan.notation.planreader import read_plan
from pacer.review.series.movabletimes import aim_of
from pacer.review.series.nextpage import next_page
from pacer.review.swum.sessionreview import review_of
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.summary.planned import planned
from tests.review.made import S, timed
from tests.review.series.test_nextpage import NOTHING, TODAY

PAGE = """title: Even fours 1
pool: 25 m

Main set
  8 x {far} free on {on}
"""
SQUAD = """
[[lane]]
base = "1:20"
swimmers = 2
[[lane]]
base = "{base}"
swimmers = 2
"""
PAGES = 10


def amounts(plan):
    """Each lane's send-off on the last line of the main set, as (first) amounts in seconds."""
    line = plan.sections[0].items[-1]
    return [aim_of(line.interval.for_lane(lane, None)[0]).amount_ms / S for lane in range(2)]


def series(on, takes, *, far=100, by_hand=None, bases=None, squads=None, spread=0.0):
    """Each page's amounts, and what was said of them. `takes(page, swim)`: ms; `by_hand(page, text)`: a new text."""
    rng = random.Random(18)
    text, earlier, found, told = PAGE.format(far=far, on=on), [], [], []
    for page in range(PAGES):
        squad = read_squad(SQUAD.format(base=(bases or {}).get(page, "1:30")))
        timeline = planned(read_plan(text, squad.words), squad)[0]
        found.append(amounts(timeline.plan))
        review = review_of(timed(timeline, lambda swim: round(takes(page, swim) + rng.gauss(0, spread))))
        after = read_squad(SQUAD.format(base=(bases or {}).get(page + 1, "1:30")))
        drafted = next_page(review, NOTHING, EMPTY_BOOK, TODAY, squad=after, earlier=earlier)
        told += [f"{page}: {step.text}" for step in drafted.steps if step.name.startswith("on ")]
        earlier.append(review)
        text = drafted.text() if by_hand is None else by_hand(page, drafted.text())
    return found, told


def slower(per_100_ms, lane=1):
    """A lane that takes so much more per 100 than a base of 1:30; the other is as written."""
    return lambda page, swim: (
        (80 + 10 * swim.lane) * 10 * swim.distance + (swim.lane == lane) * per_100_ms * swim.distance // 100
    )


@pytest.mark.parametrize(
    ("on", "far", "moved"),
    [
        ("1:55 / 2:00", 100, 5),
        ("1:55 / 2:00", 50, 5),
        ("2:20 per 100 / 2:30 per 100", 200, 5),
        ("base+0:30", 100, 5),
        ("1:55 / 2:00 then 2:05", 100, 5),
    ],
)
@pytest.mark.parametrize("spread", [0.0, 900.0])
def test_a_lane_that_stays_as_slow_moves_once(on, far, moved, spread):
    """3.4 s per 100 slower than its base, in every session."""
    found, told = series(on, slower(3_400), far=far, spread=spread)
    first = found[0]
    assert found[1:] == [[first[0], first[1] + moved]] * (PAGES - 1), told
    assert len(told) == 1 and "slower than expected over 16 timed repeats" in told[0]


@pytest.mark.parametrize("per_100_ms", [4_800, 5_000, 5_200])
def test_a_lane_at_the_edge_of_a_mark_settles(per_100_ms):
    """Chance decides whether it gets one mark or two: it may give one back, and then stays."""
    found, told = series("1:55 / 2:00", slower(per_100_ms), spread=900.0)
    assert len(told) <= 2 and found[3:] == [found[3]] * (PAGES - 3), told


def test_a_lane_that_stays_as_fast_moves_once():
    found, told = series("1:55 / 2:10", slower(-7_000), spread=900.0)
    assert found[1:] == [[115, 125]] * (PAGES - 1) and len(told) == 1, told


def test_a_lane_that_gets_faster_gets_its_first_rest_back_and_then_less_time():
    """3.4 s slower until the fifth page, then as its base says, from the eighth on 7 s faster."""

    def takes(page, swim):
        return slower(3_400 if page < 4 else 0 if page < 7 else -7_000)(page, swim)

    found, told = series("1:55 / 2:10", takes, spread=900.0)
    assert [lane for _, lane in found] == [130, 135, 135, 135, 135, 130, 130, 130, 125, 125], told
    assert "lane 2 on 2:10 instead of 2:15 (5" in told[1] and "more rest than at first over 16 timed repeats" in told[1]


def test_a_lane_that_gets_slower_moves_on_by_what_is_new():
    found, told = series("1:55 / 2:10", lambda page, swim: slower(3_400 + 1_000 * page)(page, swim))
    assert [lane for _, lane in found] == [130, 135, 135, 135, 135, 140, 140, 140, 140, 140], told


def test_what_the_coach_changes_is_where_the_set_begins_again():
    """By hand ten seconds less after the third page, and 15 more after the sixth: neither is turned back."""

    def by_hand(page, text):
        return text.replace("2:15", "2:05") if page == 2 else text.replace("2:10", "2:25") if page == 5 else text

    found, told = series("1:55 / 2:10", slower(3_400), by_hand=by_hand)
    assert [lane for _, lane in found] == [130, 135, 135, 125, 130, 130, 145, 150, 150, 150], told


@pytest.mark.parametrize(("on", "wanted"), [("1:55 / 2:10", [130, 135, 135, 135]), ("base+0:40", [40, 45, 45, 40])])
def test_a_new_base_changes_nothing_on_the_clock_and_what_is_on_top_of_it(on, wanted):
    """The base of 1:33.4 is taken over after the second page: who leaves on the clock rests as long as before."""
    found, told = series(on, slower(3_400), bases=dict.fromkeys(range(2, PAGES + 1), "1:33.4"))
    assert [lane for _, lane in found] == wanted + wanted[-1:] * (PAGES - 4), told


def test_other_sets_and_sessions_of_another_pool_are_not_counted():
    found, told = series(
        "1:55 / 2:10", slower(3_400), by_hand=lambda page, text: text.replace("free", "back") if page == 3 else text
    )
    assert found[-1][1] - found[4][1] <= 5, told
