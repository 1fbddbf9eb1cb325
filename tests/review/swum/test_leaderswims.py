"""The strip of a real session: in order, within the swims, and as long as they are."""

import random
from dataclasses import replace

import pytest

from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.entries import Begun
from pacer.session.journal.recordentries import PutBack
from pacer.session.records.touches import times
from pacer.session.running.replay import fresh
from tests.review.made import ZERO_WALL_MS, S, kept, timed
from tests.session.deck import PLAN, SQUAD, evening
from tests.session.pages import session

TIMELINE = session(PLAN, SQUAD)


@pytest.mark.parametrize("seed", range(15))
def test_bars_are_what_the_leader_swam(seed):
    journal = [entry for entry, _ in evening(random.Random(seed), fresh(TIMELINE), 40)]
    review = review_of(kept(TIMELINE, [Begun(-10 * S, 0, ZERO_WALL_MS), *journal]))
    swims = [swim for swim in review.swims if not swim.place]
    assert sum(bar.until_ms - bar.from_ms for bar in review.strip) == sum(swim.swum_ms for swim in swims)
    for before, after in zip(review.strip, review.strip[1:]):
        assert before.from_ms < before.until_ms
        assert before.lane < after.lane or before.from_ms <= after.from_ms


def test_a_slow_repeat_is_longer_and_keeps_its_shares():
    timeline = session("pool: 25 m\nSkills\n  2 x 50 as 25 drill / 25 free, on 1:30\n", '[[lane]]\nbase = "1:40"\n')
    bars = review_of(timed(timeline, lambda swim: round(1.2 * swim.predicted_ms))).strip
    drill = round(25 * 1.3 * S)
    assert [(bar.activity, bar.until_ms - bar.from_ms) for bar in bars[:2]] == [
        ("drill", 1.2 * drill),
        ("swim", 30 * S),
    ]


def test_a_missed_touch_is_not_drawn_over_the_next_repeat_until_it_is_put_back():
    timeline = session("pool: 25 m\nMain set\n  8 x 50 free on 1:10\n", '[[lane]]\nbase = "1:40"\n')
    made = timed(timeline, lambda swim: (2 if swim.repeat == 3 else 1) * swim.predicted_ms)
    (entry,) = (one.number for one in times(made.journal) if one.touched.repeat == 3)

    def third(review):
        return [bar.until_ms - bar.from_ms for bar in review.strip][2]

    assert third(review_of(made)) == 50 * S
    last = made.lines[-1]
    back = PutBack(last.entry.at_ms, entry)
    line = replace(last, number=last.number + 1, entry=back)
    assert third(review_of(replace(made, lines=(*made.lines, line)))) > 50 * S
