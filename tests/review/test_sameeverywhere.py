"""One thing, many places: log, review, exports and season say the same of evenings with all that can happen on deck."""

import csv
import io
import os

import pytest

from pacer.review.exports.csvfiles import csv_files
from pacer.review.exports.exporttables import exported
from pacer.review.report.reviewtables import plan_table
from pacer.review.report.sessiontables import session_tables
from pacer.review.season.ledger import Ledger
from pacer.review.season.season import season_of
from pacer.review.swum.sessionreview import review_of
from pacer.review.wasswum import counts_as_swum
from pacer.session.running.finish import finish_ms
from pacer.session.running.whereabouts import swim_backs
from pacer.show.view.instantview import pool_view
from pacer.show.wording.forecasttext import finish_at
from tests.review.made import kept
from tests.review.season.stored import stored
from tests.show.drive.evenings import PAGES, Evening, timeline_of

PRESSES = 25
SEARCH = int(os.environ.get("PACER_EXAMPLES", "0"))
SEEDS = range(1_000, 1_000 + SEARCH // 10) if SEARCH else range(6)


def evening(page, seed):
    """An evening of random presses, some taken back, with times on some seeds; as it is saved."""
    made = Evening(seed, timeline_of(page))
    for _ in range(PRESSES):
        pressed = made.press()
        if pressed is not None:
            made.driver.do(pressed[1])
        made.go()
    return kept(timeline_of(page), made.driver.journal)


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("seed", SEEDS)
def test_the_screen_at_the_end_says_what_log_and_review_say(page, seed):
    """Metres, number of times and finish, once everybody is home."""
    timeline = timeline_of(page)
    made = Evening(seed, timeline)
    for _ in range(PRESSES):
        pressed = made.press()
        if pressed is not None:
            made.driver.do(pressed[1])
        made.go()
    if not made.driver.ended:
        assert made.driver.do(made.driver.end()) == ()
    driver = made.driver
    view = pool_view(driver.seen, made.at_ms + 3_600_000)
    session = kept(timeline, driver.journal)
    review = review_of(session)
    lanes = next(table for table in session_tables(session) if table.heads[:2] == ("lane", "swum"))
    told = plan_table(review)
    said = {row[0]: row[told.heads.index("swum")] for row in told.rows}
    for row, band in zip(lanes.rows, view.bands, strict=True):
        screen, _, unit = band.text.distance.partition(" ")
        done, _, whole = screen.partition("/")
        assert row[1] == said[row[0]] == f"{done or 0} {unit or timeline.plan.pool.unit}", row
        if whole:
            assert (
                f"{whole} {unit}"
                == row[lanes.heads.index("plan after changes" if "plan after changes" in lanes.heads else "planned")]
            )
    assert review.taken == len(driver.times)
    if review.swims:
        home_ms = max(swim.left_ms + swim.swum_ms for swim in review.swims)
        # Who stops at the far wall while others are at the home wall swims back, which counts for nobody's metres.
        ran = driver.seen.timeline
        backs = [window for lane in range(len(ran.tracks)) for window in swim_backs(ran, lane)]
        home_ms = max([home_ms, *(until for since, until in backs if since <= made.at_ms)])
        assert view.out.rpartition(" ")[2] == finish_at(driver.run, finish_ms(driver.seen, made.at_ms))
        assert abs(finish_ms(driver.seen, made.at_ms) - home_ms) <= 1_000 or driver.times


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("seed", range(6))
def test_metres_times_and_swimmers(page, seed, tmp_path):
    store = stored(tmp_path, [(evening(page, seed), 0)])
    session = store.session(1)
    review = review_of(session)
    files = {
        name: list(csv.DictReader(io.StringIO(data.decode()))) for name, data in csv_files([exported(session)]).items()
    }
    repeats, attendance, times = (files[f"{name}.csv"] for name in ("repeats", "attendance", "times"))
    total = sum(review.distances.of_person(person.number) for person in review.people)
    assert int(files["sessions.csv"][0]["distance"] or 0) == total == sum(int(row["distance"]) for row in repeats)
    for person in review.people:
        mine = sum(int(row["distance"]) for row in repeats if row["person"] == str(person.number))
        assert mine == review.distances.of_person(person.number)
    assert len(times) == review.taken - review.loose
    cells = sum(len(row.cells) for table in review.sets for row in table.rows)
    assert cells == sum(int(row["distance"]) > 0 for row in times), "a set by the clock has no table"
    # Log and review: how far each lane's leader swam. Without an end, a time says more than the log knows.
    lanes = next(table for table in session_tables(session) if table.heads[:2] == ("lane", "swum"))
    swum = {row[0]: row[1] for row in lanes.rows}
    told = plan_table(review)
    said = {row[0]: row[told.heads.index("swum")] for row in told.rows}
    open_end = session.listed.ended_ms is None
    timed = {row["lane"] for row in times}
    assert {lane: far for lane, far in swum.items() if not (open_end and lane in timed)}.items() <= said.items()
    if counts_as_swum(session.listed):
        assert sum(int(row["distance"]) for row in attendance) == total
        with Ledger(store).open() as ledger:
            season = season_of(ledger)
        assert sum(one.came for one in season.months) == len(attendance) == int(files["sessions.csv"][0]["swimmers"])
        assert sum(one.swum_ms for one in season.months) == sum(one.swum_ms for one in review.spent)
        if review.unit == "m":
            assert [one.distance for one in season.months] == [total]
