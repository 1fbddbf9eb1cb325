"""The review of a session, and a season's totals and trends against pandas.

    python tests/bench/bench_review.py [SESSIONS]

The review: two hours, ten lanes, eighty swimmers, every repeat timed, from the session in memory; then read from disk.
The season: 300 sessions with 100,000 times; its totals (months, lanes, swimmers, attendance), and every swimmer's
history and trends on the same set. pandas reads the CSV of the same times and computes the same. The ledger is made
once and then updated session by session; that time is printed separately.
"""

from __future__ import annotations

import csv
import gc
import random
import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

import pandas
from sessions import ten_lanes, two_hours
from table import Row, against, alone, print_table, shown

from pacer.plan.notation.planreader import read_plan
from pacer.review.report.reviewtext import ReviewText
from pacer.review.season.ledger import Ledger
from pacer.review.season.season import season_of, trends, visits
from pacer.review.swum.sessionreview import review_of
from pacer.session.storage.savedsession import KeptSession
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from pacer.timeline.timeline import build_timeline
from tests.review.made import noisy, timed
from tests.review.season.stored import stored

EVENINGS = (
    "title: One\npool: 25 m\nMain set\n  8 x 50 free on 1:15\n  4 x 50 kick on 1:30\n",
    "title: Two\npool: 25 m\nMain set\n  6 x 100 free on 2:15\n  6 x 50 back on 1:20\n",
    "title: Three\npool: 25 m\nMain set, 2 rounds\n  4 x 50 drill on 1:40\n  2 x 100 back on 2:30\n",
)


def club() -> Squad:
    """Four lanes of seven swimmers with names."""
    lanes = []
    for lane in range(4):
        swimmers = tuple(Swimmer(Pace(75_000 + 7_000 * lane + 500 * k), f"Swimmer {7 * lane + k}") for k in range(7))
        lanes.append(Lane(lane + 1, swimmers[-1].base, swimmers))
    return Squad(tuple(lanes))


def evenings(count: int) -> list[tuple[KeptSession, int]]:
    """`count` sessions, two a week, every repeat timed."""
    timelines = [build_timeline(read_plan(text), club()) for text in EVENINGS]
    return [(timed(timelines[n % 3], noisy(random.Random(n))), n * 7 // 2) for n in range(count)]


def write_csv(store, path: Path) -> int:
    """Every time of every session, as in an export."""
    count = 0
    with path.open("w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["session", "begun_ms", "lane", "name", "set", "distance", "time_ms", "predicted_ms"])
        for listed in store.sessions():
            review = review_of(store.session(listed.number))
            for table in review.sets:
                for row in table.rows:
                    for cell in row.cells:
                        far = table.columns[cell.column].distance
                        head = (listed.number, listed.begun_ms, review.lanes[table.lane], review.people[row.who].name)
                        writer.writerow([*head, table.text, far, cell.time_ms, cell.predicted_ms])
                        count += 1
    return count


def by_pandas(path: Path) -> tuple:
    """The same totals and trends from the CSV."""
    frame = pandas.read_csv(path)
    frame["month"] = pandas.to_datetime(frame["begun_ms"], unit="ms").dt.strftime("%Y-%m")
    totals = [
        frame.groupby(key).agg(sessions=("session", "nunique"), far=("distance", "sum"), ms=("time_ms", "sum"))
        for key in ("month", "lane", "name")
    ]
    visited = frame.groupby(["name", "session"]).agg(
        far=("distance", "sum"), ms=("time_ms", "sum"), predicted=("predicted_ms", "sum"), times=("time_ms", "count")
    )
    same = frame.groupby(["name", "set", "session"])["time_ms"].agg(["mean", "min", "count"]).reset_index()
    same["place"] = same.groupby(["name", "set"]).cumcount()
    same["both"], same["square"] = same["place"] * same["mean"], same["place"] ** 2
    sums = same.groupby(["name", "set"])[["place", "mean", "both", "square"]].sum()
    count = same.groupby(["name", "set"])["place"].count()
    slopes = (count * sums["both"] - sums["place"] * sums["mean"]) / (count * sums["square"] - sums["place"] ** 2)
    return *totals, visited, same, slopes


def by_ledger(store) -> tuple:
    """Totals, and every swimmer's history and trends."""
    with Ledger(store).open() as ledger:
        return season_of(ledger), visits(ledger), trends(ledger)


def totals_alone(store):
    with Ledger(store).open() as ledger:
        return season_of(ledger)


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    whole = timed(build_timeline(two_hours(), ten_lanes()), noisy(random.Random(1)))
    taken = review_of(whole).taken
    rows = [
        alone(f"review of two hours, 10 lanes, 80 swimmers, {taken:,} times", lambda: review_of(whole), 25),
        alone("the same with what was learned, news and offers", lambda: ReviewText(review_of(whole)), 9),
    ]
    with tempfile.TemporaryDirectory() as folder:
        one = stored(Path(folder) / "one", [(whole, 0)])
        rows.append(alone("the same session read from disk, without its review", lambda: one.session(1), 9))
        store = stored(Path(folder) / "many", evenings(count))
        path = Path(folder) / "times.csv"
        times = write_csv(store, path)
        gc.collect()
        begun = time.process_time()
        totals_alone(store)
        took = time.process_time() - begun
        rows.append(Row(f"the ledger of {count} sessions made anew, {times:,} times", shown(took), repeats=1))
        rows.append(
            against(
                "totals and trends of the season, every swimmer",
                lambda: by_ledger(store),
                "pandas on the CSV",
                lambda: by_pandas(path),
                9,
            )
        )
        rows.append(alone("totals of the season alone", lambda: totals_alone(store), 9))
    print_table(rows)


if __name__ == "__main__":
    main()
