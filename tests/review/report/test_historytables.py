"""A swimmer's history in words."""

from pacer.review.report.historytables import history_tables, season_tables
from pacer.review.season.season import Attendance, SameSet, Season, Total, Trend, Visit

VISITS = (
    Visit(1, "2026-03-02", "Thursday", 1500, "m", 80_000, 12, 980_000, 960_000),
    Visit(4, "2026-03-09", "", 1400, "m", 79_000, 0, 0, 0),
)
TREND = Trend(
    "4 x 50 free, on 1:15 (25 m)",
    (
        SameSet(1, "2026-03-02", 4, 164_000, 40_200, 160_000),
        SameSet(4, "2026-03-09", 3, 120_000, 39_500, 120_000),
        SameSet(6, "2026-03-16", 4, 157_000, 38_800, 160_000),
    ),
    -875,
)


def test_the_latest_first():
    sessions, same = history_tables("Kit", VISITS, (TREND,))
    assert sessions.heading == "Kit: 2 sessions"
    assert sessions.rows == (
        ("9 Mar 2026", "1,400 m", "1:19", "no times", ""),
        ("2 Mar 2026", "1,500 m", "1:20", "2.1% slower over 12 timed repeats", "Thursday"),
    )
    assert same.heading == "4 x 50 free, on 1:15 (25 m): 1.7 s faster since 2 Mar 2026, 0.9 s faster each session"
    assert same.rows[0] == ("16 Mar 2026", "0:39.3", "0:38.8", "4 timed repeats") and len(same.rows) == 3


def test_a_change_is_that_of_the_means_as_they_are_shown():
    """0:40.04 and 0:40.26 are shown as 0:40.0 and 0:40.3."""
    swum = tuple(SameSet(n, f"2026-03-{n:02}", 1, ms, ms, 40_000) for n, ms in ((2, 40_040), (9, 40_260)))
    (same,) = history_tables("Kit", (), (Trend("50 free (25 m)", swum, None),))
    assert same.heading == "50 free (25 m): 0.3 s slower since 2 Mar 2026"
    assert [row[1] for row in same.rows] == ["0:40.3", "0:40.0"]


def test_times_as_expected_say_so():
    (sessions,) = history_tables("Kit", (Visit(1, "2026-03-02", "", 100, "m", 80_000, 1, 80_030, 80_000),), ())
    assert sessions.rows[0][3] == "as expected over 1 timed repeat"


def test_many_sessions_show_the_last():
    (sessions,) = history_tables("Kit", VISITS * 15, ())
    assert sessions.heading == "Kit: the last 20 of 30 sessions" and len(sessions.rows) == 20


def test_a_season_in_tables():
    season = Season(
        (Total("2026-03", 3, 9_000, 3_600_000, 40),),
        (),
        (Total("Kit", 3, 4_000, 2_400_000, 3),),
        (Attendance("Kit", 3, 4),),
        (Total("2026-03-02", 2, 6_000, 2_400_000, 28), Total("2026-03-09", 1, 3_000, 1_200_000, 12)),
    )
    months, weeks, swimmers = season_tables(season)
    assert months.rows == (("March 2026", "3", "9,000 m", "1:00:00", "13.3"),)
    assert weeks.rows == (
        ("9 Mar 2026", "1", "3,000 m", "20:00", "12"),
        ("2 Mar 2026", "2", "6,000 m", "40:00", "14"),
    )
    assert swimmers.rows == (("Kit", "3", "4,000 m", "40:00", "3 of 4"),)
