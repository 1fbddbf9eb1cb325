"""A figure that a review says twice is the same in the sentence, in the table, and in the words of a dot."""

import random
import re
from decimal import Decimal
from fractions import Fraction

import pytest

from pacer.plan.times import ms_from_text
from pacer.review.report.newskinds import FASTER, MISSED, RATE, SLOWER, SLOWING
from pacer.review.report.reviewtables import plan_table, set_tables, stroke_table
from pacer.review.report.reviewtext import ReviewText
from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.entries import Begun, Ended
from pacer.show.figures.ratespeed import rate_against_speed
from tests.review.made import ZERO_WALL_MS, S, kept_of, predicted, timed
from tests.review.swum.test_strokework import taps
from tests.session.pages import session

PLAN = "pool: 25 m\nMain set\n  24 x 100 free on 2:30\n"
DEEP = "pool: 50 m\nMain set\n  2 x 400 free on 8:00\n"


def squad(rng, lanes, swimmers=1):
    """Lanes whose bases are no whole tenths, so that everything has to be rounded."""
    return "".join(
        f'[[lane]]\nnumber = {lane + 1}\nbase = "1:{rng.randrange(20_000, 35_000) / 1000:.3f}"\nswimmers = {swimmers}\n'
        for lane in range(lanes)
    )


def tenths(text):
    """`4.2 s`, `+4.2` or `−4.2` as a number."""
    return abs(Decimal(text.removesuffix(" s").replace("−", "-")))


def off_by(reading):
    """The last three cells of each lane's only swimmer: average, varies, slows."""
    tables = [(one.lane, *set_tables((one,), reading.called, most=99)) for one in reading.review.sets]
    return {lane: table.rows[-1][-3:] for lane, table in tables}


@pytest.mark.parametrize("seed", range(60))
def test_paces_in_sentences_are_those_of_the_tables(seed):
    rng = random.Random(seed)
    timeline = session(PLAN, squad(rng, 8))
    share = [rng.choice((0.95, 0.97, 1.0, 1.03, 1.05)) for _ in range(8)]
    slowing = [rng.choice((0.0, 0.0, 0.006)) for _ in range(8)]

    def takes(swim):
        return round(swim.predicted_ms * (share[swim.lane] + slowing[swim.lane] * (swim.repeat - 12.5)))

    reading = ReviewText(review_of(timed(timeline, takes)))
    cells, seen = off_by(reading), 0
    for one in reading.news:
        if one.kind == SLOWER and one.lane is not None and "from repeat" not in one.text:
            said = re.search(r"came in (?:.* to )?([\d.]+ s) per 100", one.text)[1]
            took, written = re.search(r"(\d+:[\d.]+) on average against (\d+:[\d.]+)", one.figure).groups()
            assert ms_from_text(took) - ms_from_text(written) == 1000 * tenths(said), "the sentence adds up"
            assert tenths(said) == tenths(cells[one.lane][0])
            seen += 1
        if one.kind == SLOWING:
            assert tenths(re.search(r"slowed by ([\d.]+ s)", one.text)[1]) == tenths(cells[one.lane][2])
            seen += 1
        if one.kind == FASTER:
            for lane, said in re.findall(r"lane (\d+), swimmer 1 by ([\d.]+ s) per 100", one.text):
                assert tenths(said) == tenths(cells[int(lane) - 1][0])
                seen += 1
    assert seen


def test_a_mean_just_below_half_a_tenth_is_rounded_alike():
    """23 times 3.15 s slower and one 3.14 s: 3.14958 s, which is 3,150 ms in a set's table, and so 3.2 s."""
    timeline = session(PLAN, '[[lane]]\nbase = "1:20"\n')
    reading = ReviewText(review_of(timed(timeline, lambda swim: 83_150 - 10 * (swim.repeat == 1))))
    assert off_by(reading)[0][0] == "+3.2"
    assert reading.news[0].text.startswith("Lane 1 came in 3.2 s per 100 slower than expected")


@pytest.mark.parametrize("seed", range(30))
def test_rates_in_sentences_and_dots_are_those_of_the_table(seed):
    rng = random.Random(seed)
    timeline = session(DEEP, squad(rng, 1))
    first = predicted(timeline)[0].left_ms
    rates = [(60, rng.randrange(3600, 4200)), (330, rng.randrange(2400, 3000))]
    entries = [taps(first + at * S, Fraction(rate, 100), rng.randint(3, 9)) for at, rate in rates]
    reading = ReviewText(review_of(timed(timeline, lambda swim: 360 * S + rng.randrange(9_999), *entries)))
    table = stroke_table(reading.review, reading.called)
    assert table.heads[1] == "cycles a minute"
    (fell,) = [one for one in reading.news if one.kind == RATE]
    assert re.search(r"from ([\d.]+) to ([\d.]+) cycles a minute", fell.text).groups() == (
        table.rows[0][1],
        table.rows[1][1],
    )
    assert fell.figure == "2 stroke rates; no split for the last 100"
    for dot, row in zip(rate_against_speed(reading.called).dots, table.rows, strict=True):
        assert f": {row[1]} cycles a minute, " in dot.said and f", {row[2]} a cycle" in dot.said


def test_distances_in_sentences_are_those_of_the_table():
    timeline = squad(random.Random(1), 3)
    begun = Begun(-10 * S, 0, ZERO_WALL_MS)
    reading = ReviewText(review_of(kept_of(PLAN, timeline, [begun, Ended(1_500 * S)])))
    rows = {row[0]: row for row in plan_table(reading.review).rows}
    told = [one for one in reading.news if one.kind == MISSED]
    assert len(told) == 3
    for one in told:
        lane, swum, planned = re.match(r"Lane (\d+) swam ([\d,]+) of ([\d,]+) m", one.text).groups()
        assert rows[lane][1:3] == (f"{planned} m", f"{swum} m")
