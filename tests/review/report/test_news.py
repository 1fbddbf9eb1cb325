"""The news at the top of a review: its content, words, figures and order."""

import random
from fractions import Fraction

import pytest
from scipy import stats

from pacer.review.report.newskinds import (
    FASTER,
    HEADS,
    MISSED,
    NO_REST,
    NOTHING,
    RATE,
    SLOWER,
    SLOWING,
    TIRED,
)
from pacer.review.report.reviewtext import ReviewText
from pacer.review.report.sessiontables import session_tables
from pacer.review.swum.beyondchance import STUDENT
from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.entries import Begun, Ended, Paused, Resumed
from pacer.session.journal.recordentries import Amount, Feel, HeadsCounted, LaneSummed, Touched
from tests.review.made import ZERO_WALL_MS, S, kept_of, noisy, predicted, timed
from tests.review.swum.test_strokework import taps
from tests.session.pages import session

PLAN = """\
title: Thursday
pool: 25 m
Main set, 3 rounds
  4 x 100 free on 2:15
Swim-down, easy
  100 choice
"""
SQUAD = """\
[[lane]]
number = 3
  [[lane.swimmer]]
  name = "Kit"
  base = "1:20"
  [[lane.swimmer]]
  name = "Rowan"
  base = "1:20"
[[lane]]
number = 4
  [[lane.swimmer]]
  name = "Ash"
  base = "1:30"
"""
TIMELINE = session(PLAN, SQUAD)


def jitter(swim):
    """Small variations that sum to zero over four repeats."""
    return 1 + 0.002 * (-1.5 + (swim.repeat - 1))


def news(takes, *more, names=True, timeline=TIMELINE):
    return ReviewText(review_of(timed(timeline, takes, *more)), names=names).news


def by(shares):
    """Predicted times multiplied by the share of the lane, the round or the swimmer."""
    return lambda swim: round(swim.predicted_ms * shares(swim) * jitter(swim)) if swim.section == 0 else None


def test_slower_from_a_round_on():
    (one,) = news(by(lambda swim: 1.05 if swim.lane == 0 and swim.round > 1 else 1.0))
    assert one.kind == SLOWER and (one.lane, one.section, one.line) == (0, 0, 1)
    assert one.text == ("Lane 3 came in 4 s per 100 slower than expected from round 2 on, in Main set, 4 x 100 free.")
    assert one.figure == "16 timed repeats, 1:24.0 on average against 1:20.0"


def test_slower_from_the_start():
    (one,) = news(by(lambda swim: 1.04 if swim.lane == 0 else 1.0))
    assert one.text == "Lane 3 came in 3.2 s per 100 slower than expected, in Main set, 4 x 100 free."
    assert one.figure == "24 timed repeats, 1:23.2 on average against 1:20.0"


def test_a_lane_that_is_slower_over_sets_with_few_times_each_and_the_log_says_the_same():
    """Two times in each of three sets: none of them is enough by itself."""
    lines = "".join(f"  2 x {far} free on 3:00\n" for far in (50, 100, 150))
    timeline = session(f"pool: 25 m\nMain set\n{lines}", SQUAD)
    kept = timed(
        timeline,
        lambda swim: round(swim.predicted_ms * 1.05 * jitter(swim)) if swim.repeat == 1 and not swim.lane else None,
    )
    (one,) = ReviewText(review_of(kept)).news
    assert (one.kind, one.lane, one.figure) == (SLOWER, 0, "6 timed repeats")
    log = next(table for table in session_tables(kept, review_of(kept)) if table.heading == "Times against the bases")
    assert log.rows[0] == ("Lane 3: 6 timed repeats, on average 3.7 s per 100 slower than expected.",)
    assert one.text == "Lane 3 came in 3.7 s per 100 slower than expected over all its sets."


def test_what_may_be_chance_is_no_news_and_the_log_says_so():
    """One swimmer is 20 % slower on one of two sets, and as written on the other."""
    timeline = session("pool: 25 m\nMain set\n  2 x 50 free on 3:00\n  2 x 100 free on 3:00\n", SQUAD)
    kept = timed(
        timeline, lambda swim: swim.predicted_ms * (6 if swim.line == 2 else 5) // 5 if swim.who == 2 else None
    )
    assert [one.kind for one in ReviewText(review_of(kept)).news if one.lane == 1] == []
    log = next(table for table in session_tables(kept, review_of(kept)) if table.heading == "Times against the bases")
    assert log.rows[0][0].endswith(" slower than expected, which may be chance.")


def test_slower_than_the_target():
    timeline = session("pool: 25 m\nMain set\n  6 x 100 free hold 1:30, on 2:15\n", SQUAD)
    (one, *_) = news(lambda swim: 93 * S if swim.lane == 0 else 90 * S, timeline=timeline)
    assert one.text == "Lane 3 came in 3 s per 100 slower than the target, in Main set, 6 x 100 free."


def test_a_set_that_was_slow_for_several_lanes_is_one_sentence():
    """By hand: 50 drill takes 0:52, 0:58.5, 0:65 at 1:20, 1:30, 1:40; 10 % more is 10.4 to 13 s per 100."""
    lanes = "".join(f'[[lane]]\nbase = "1:{20 + 10 * lane}"\nswimmers = 2\n' for lane in range(3))
    timeline = session("pool: 25 m\nSkills\n  6 x 50 drill on 1:40\nMain set\n  6 x 100 free on 2:15\n", lanes)
    (one,) = news(lambda swim: swim.predicted_ms * (11 if swim.section == 0 else 10) // 10, timeline=timeline)
    assert one.text == "Lanes 1, 2 and 3 came in 10.4 s to 13 s per 100 slower than expected, in Skills, 6 x 50 drill."
    assert one.figure == "36 timed repeats; lane 3: 1:11.5 on average against 1:05.0" and (one.lane, one.section) == (
        2,
        0,
    )
    two = news(by(lambda swim: 1.1 if swim.section == 0 and swim.lane else 1.0), timeline=timeline)
    assert [one.text.split(" came")[0] for one in two] == ["Lane 3", "Lane 2"]


def test_one_swimmer_is_slower_and_another_faster():
    slow, fast = news(by(lambda swim: {0: 0.95, 1: 1.04, 2: 1.0}[swim.who]))
    assert (slow.kind, fast.kind) == (SLOWER, FASTER)
    assert slow.text == "Rowan was 3.2 s per 100 slower than expected." and slow.figure == "12 timed repeats"
    assert fast.text == "Faster than expected: Kit by 4 s per 100." and fast.figure == "12 timed repeats"
    nameless = news(by(lambda swim: {0: 0.95, 1: 1.04, 2: 1.0}[swim.who]), names=False)
    assert [one.text for one in nameless] == [
        "Lane 3, swimmer 2 was 3.2 s per 100 slower than expected.",
        "Faster than expected: lane 3, swimmer 1 by 4 s per 100.",
    ]


def test_a_whole_lane_that_was_faster_is_one():
    (one,) = news(by(lambda swim: 0.96 if swim.lane == 0 else 0.97))
    assert one.text == "Faster than expected: lane 3 by 3.2 s per 100; Ash by 2.7 s per 100."
    assert one.figure == "24 and 12 timed repeats"


def test_slowing_from_repeat_to_repeat():
    timeline = session("pool: 25 m\nMain set\n  8 x 100 free on 2:15\n", SQUAD)
    takes = lambda swim: round(swim.predicted_ms * (0.965 + 0.01 * (swim.repeat - 1))) if swim.lane else None  # noqa: E731
    (one,) = news(takes, timeline=timeline)
    assert one.kind == SLOWING and one.figure == "8 timed repeats, 6.3 s from first to last"
    assert one.text == "Lane 4 slowed by 0.9 s a repeat through Main set, 8 x 100 free."


def test_a_stroke_rate_that_fell():
    timeline = session("pool: 50 m\nMain set\n  3 x 400 free on 7:00\n", SQUAD)
    rates = [taps(at * S, Fraction(rate)) for at, rate in ((60, 38), (140, 38), (300, 30))]
    told = news(lambda swim: swim.predicted_ms if swim.lane == 0 else None, *rates, timeline=timeline)
    assert told[0].kind == RATE
    assert (
        told[0].text
        == "Kit's stroke rate fell from 38.0 to 30.0 cycles a minute in the last 100 of repeat 1 in Main set, "
        "3 x 400 free."
    )
    assert told[0].figure == "3 stroke rates; no split for the last 100"
    timeline = session("pool: 50 m\nMain set\n  8 x 50 free on 1:10\n", SQUAD)
    swims = [swim for swim in predicted(timeline) if swim.who == 0]
    rates = [taps(swims[n].left_ms + 20 * S, Fraction(rate)) for n, rate in ((0, 40), (3, 40), (6, 30), (7, 30))]
    (fell,) = [one for one in news(lambda swim: 40 * S, *rates, timeline=timeline) if one.kind == RATE]
    # 50 m in 40 s is 1.25 m/s: 75 m a minute over 40 and over 30 cycles.
    assert fell.figure == "4 rates, stroke length 1.88 m, then 2.50 m"


def test_less_rest_than_can_be_told():
    timeline = session("pool: 25 m\nMain set\n  6 x 100 free on 1:35\n", SQUAD)
    told = news(lambda swim: 91 * S if swim.lane else None, timeline=timeline)
    assert [(one.kind, one.text, one.figure) for one in told] == [
        (NO_REST, "Lane 4 had less than 5 s rest in Main set, 6 x 100 free.", "5 of 5 rests")
    ]


def test_what_was_not_swum_and_who_waited():
    journal = [
        Begun(-10 * S, 0, ZERO_WALL_MS),
        Paused(300 * S, (0,)),
        Resumed(600 * S, 615 * S, (0,)),
        LaneSummed(900 * S, 1, Amount.LESS, Feel.BADLY),
        HeadsCounted(-5 * S, 3, True),
        HeadsCounted(910 * S, 2, False),
        Ended(920 * S),
    ]
    told = ReviewText(review_of(kept_of(PLAN, SQUAD, journal))).news
    assert [one.kind for one in told] == [HEADS, MISSED, MISSED, MISSED, TIRED]
    assert told[0].text.startswith("3 went in, 2 came out: 1 missing.")
    texts = [(one.text, one.figure) for one in told[1:]]
    assert ("Lane 3 was paused for 5:15.", "1 pause") in texts
    assert ("You noted that it went badly in lane 4.", "") in texts
    assert ("Lane 4 swam 700 of 1,300 m.", "600 m not reached") in texts


def test_times_that_belong_to_nothing_are_told():
    stray = Touched(50 * S, 0, 0, 0, 1, 1, 1, 3_333, 4_000)
    told = news(lambda swim: None, stray)
    assert [one.text for one in told][:1] == ["1 time doesn't count: its repeat was changed afterwards."]


def test_nothing_to_tell():
    (one,) = news(by(lambda swim: 1.0))
    assert (one.kind, one.text, one.figure) == (NOTHING, "All lanes swam about as expected.", "36 timed repeats")
    (one,) = news(lambda swim: None)
    assert one.text == "No times were taken. Distances are worked out from the send-offs."


def test_only_lanes_with_times_swam_as_expected():
    (one,) = news(lambda swim: by(lambda _: 1.0)(swim) if swim.lane == 0 else None)
    assert one.text == "Lane 3 swam about as expected; no times were taken in the others."


def test_students_t():
    """Compare with SciPy: the 97.5 % point of t with one degree of freedom fewer than times."""
    for times in range(2, len(STUDENT)):
        assert STUDENT[times] == pytest.approx(stats.t.ppf(0.975, times - 1), abs=6e-4)


def test_chance_alone_is_hardly_ever_news_of_few_times():
    """Three times in each of four sets, each off by 4 % by chance, 60 sessions: 7 of 240 sets look slower.

    With two standard errors in place of Student's t it would be 19.
    """
    lines = "".join(f"  3 x {far} free on 3:00\n" for far in (50, 75, 100, 125))
    timeline = session(f"pool: 25 m\nMain set\n{lines}", SQUAD)
    told = 0
    for seed in range(60):
        takes = noisy(random.Random(seed), 0.04)
        found = news(lambda swim, takes=takes: takes(swim) if swim.lane else None, timeline=timeline)
        told += sum(one.kind == SLOWER and one.who is None for one in found)
    assert told <= 12


def test_chance_alone_is_hardly_ever_news():
    """In 60 sessions swum as written, with 2 % chance in each time, at most 2 have news about anybody's pace."""
    told = 0
    for seed in range(60):
        found = news(noisy(random.Random(seed)))
        told += any(one.kind in (SLOWER, FASTER, SLOWING) for one in found)
    assert told <= 2


@pytest.mark.parametrize("seed", range(10))
def test_a_missed_touch_is_not_news(seed):
    rng = random.Random(seed)
    spoilt = rng.choice([(swim.who, swim.round, swim.repeat) for swim in predicted(TIMELINE) if swim.section == 0])
    takes = by(lambda swim: 2.0 if (swim.who, swim.round, swim.repeat) == spoilt else 1.0)
    assert [one.kind for one in news(takes)] == [NOTHING]


def test_the_paragraph_has_each_figure_after_its_sentence():
    reading = ReviewText(review_of(timed(TIMELINE, by(lambda swim: {0: 0.95, 1: 1.04, 2: 1.0}[swim.who]))))
    assert reading.paragraph == (
        "Lane 3, swimmer 2 was 3.2 s per 100 slower than expected (12 timed repeats). "
        "Faster than expected: lane 3, swimmer 1 by 4 s per 100 (12 timed repeats)."
    )
