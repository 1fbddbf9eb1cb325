"""The log for a coach and for a program."""

import contextlib
import json

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.review.report.sessiontables import session_tables
from pacer.review.sessionlog import FORMAT, list_json, list_text, log_order, session_json, session_text
from pacer.session.journal.entries import (
    Begun,
    CountChanged,
    Ended,
    IntervalChanged,
    Paused,
    Resumed,
    SectionSet,
    Stopped,
    SwimmerJoined,
    TakenBack,
)
from pacer.session.journal.jsonlines import KINDS
from pacer.session.journal.recordentries import (
    Amount,
    Corrected,
    Feel,
    HeadsCounted,
    LaneSummed,
    LengthCounted,
    Noted,
    Rated,
    Touched,
    WatchFiled,
    Withdrawn,
)
from pacer.session.records.entrytext import Names, clock, names_of, said
from pacer.session.storage.keeper import begin
from pacer.session.storage.savedsession import Listed, session_of
from pacer.session.storage.store import Store
from pacer.session.timesource import Now
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.timeline import build_timeline
from tests.session.pages import session

S = 1000
PLAN = "title: Long-axis rotation 3\npool: 25 m\nWarm-up\n  4 x 50 on 1:00\nMain set\n  3 x 100 hold 1:22, on 2:00\n"
SQUAD = (
    '[[lane]]\nnumber = 4\nbase = "1:20"\n  [[lane.swimmer]]\n  name = "Kit"\n  base = "1:18"\n'
    '  [[lane.swimmer]]\n  name = "Rowan"\n[[lane]]\nbase = "1:40"\n'
)
ZERO = Begun(-10 * S, 5_000_000, 1_772_470_883_456, "+01:00", "boot")
ENTRIES = [
    ZERO,
    HeadsCounted(-5 * S, 3, True),
    Touched(39 * S, 0, 0, 0, 1, 1, 1, 0, 3912),
    Touched(46 * S, 0, 1, 0, 1, 1, 1, 5 * S, 4155),
    Corrected(50 * S, 4, 4105),
    Paused(70 * S, (0,)),
    Resumed(116 * S, 125 * S, (0,)),
    Touched(386 * S, 0, 0, 1, 1, 1, 1, 300 * S, 8355, True),
    Rated(390 * S, 1, (0, 148, 301, 450), 1, 0),
    Noted(395 * S, "hips", 1),
    SwimmerJoined(400 * S, 1, 405 * S, None, 95_000, "Ash"),
    LaneSummed(700 * S, 0, Amount.LESS, Feel.WELL, True),
    HeadsCounted(710 * S, 2, False),
    Ended(720 * S),
]


@pytest.fixture
def store(tmp_path):
    made = Store(tmp_path)
    made.open()
    ms = {"at": 0}
    timeline = build_timeline(read_plan(PLAN), read_squad(SQUAD))
    with contextlib.closing(
        begin(
            made, session_of(timeline, PLAN), clock=lambda: Now(5_000_000 + ms["at"], ZERO.wall_ms + ms["at"], "boot")
        )
    ) as keeper:
        for entry in ENTRIES:
            ms["at"] = entry.at_ms
            keeper.append(entry)
    with contextlib.closing(
        begin(made, session_of(session()), clock=lambda: Now(5_000_000, ZERO.wall_ms + 86_400_000, "boot"))
    ) as keeper:
        keeper.append(Begun(-10 * S, 5_000_000, ZERO.wall_ms + 86_400_000, "-02:30"))
    return made


def test_the_list(store):
    rows = list_text(store.sessions()).splitlines()
    assert [row.split() for row in rows] == [
        ["started", "title", "pool", "lasted", "recorded"],
        ["2", "Tue", "2026-03-03", "14:31", "Untitled", "session", "25", "m", "not", "ended", "1"],
        ["1", "Mon", "2026-03-02", "18:01", "Long-axis", "rotation", "3", "25", "m", "12:00", "14"],
    ]
    assert len({row.index("25 m") for row in rows[1:]}) == 1 and len({len(row) for row in rows}) == 1


def test_an_empty_log(tmp_path):
    assert list_text(Store(tmp_path).sessions()) == "No sessions yet."
    assert list_json(()) == {"format": FORMAT, "sessions": []}


def test_one_session(store):
    assert (
        session_text(store.session(1))
        == """\
Session 1: Long-axis rotation 3
Mon 2026-03-02 18:01, 25 m, 12:00
head count: 3 in, 2 out
3 went in, 1 joined later, 2 came out: 2 missing. Check the water first.

lane 4: 500 m, less, went well, do it again
lane 2: 500 m

times (vs expected)
  lane 4, Warm-up, set 1
    swimmer 1, repeat 1   0:39.1   +0.1  rest 0:20
    swimmer 2, repeat 1   0:41.1   +1.1  rest 0:18
  lane 4, Main set, set 1
    swimmer 1, repeat 1   1:23.6   +1.6  target +1.6  rest 0:36  called

stroke rates
  lane 2, swimmer 1  40.0 cycles a minute over 3, 39.2 to 40.5

journal
    1     -0:10  the session is set to start
    2     -0:05  3 into the water
    3      0:39  lane 4, swimmer 1 touched 0:39.1: Warm-up, set 1, repeat 1
    4      0:46  lane 4, swimmer 2 touched 0:41.6: Warm-up, set 1, repeat 1
    5      0:50  the time in entry 4 is 0:41.1
    6      1:10  lane 4 paused
    7      1:56  lane 4 resumed from 2:05
    8      6:26  lane 4, swimmer 1 called 1:23.6: Main set, set 1, repeat 1
    9      6:30  lane 2, swimmer 1: stroke rate 40.0 (39.2 to 40.5) over 3 cycles
   10      6:35  lane 2: a note
   11      6:40  a swimmer joins lane 2, base 1:35
   12     11:40  lane 4: less, went well, do it again
   13     11:50  2 out of the water
   14     12:00  the session is over"""
    )


def test_a_session_with_nothing_but_a_beginning(store):
    text = session_text(store.session(2))
    assert "times" not in text and text.splitlines()[-1].endswith("the session is set to start")


def test_json_is_everything_but_names(store):
    told = session_json(store.session(1))
    assert told["format"] == FORMAT and json.loads(json.dumps(told)) == told
    one = told["session"]
    assert (
        one["plan"] == PLAN
        and one["begun_ms"] == ZERO.wall_ms
        and one["entries"] == len(ENTRIES) == len(one["journal"])
    )
    assert one["journal"][5] == {
        "number": 6,
        "written_ms": ZERO.wall_ms + 70 * S,
        "v": 1,
        "kind": "held",
        "at_ms": 70 * S,
        "lanes": [0],
    }
    assert [time["time_cs"] for time in one["times"]] == [3912, 4105, 8355]
    assert (
        "Kit" not in json.dumps(told)
        and "Ash" not in json.dumps(told)
        and read_squad(one["squad"]).lanes[0].number == 4
    )
    assert "hips" not in json.dumps(told), "the words of a note may hold a name"
    asked = json.dumps(session_json(store.session(1), names=True))
    assert "Kit" in asked and "Ash" in asked and "hips" in asked
    assert [row["number"] for row in list_json(store.sessions())["sessions"]] == [2, 1]


def test_lost_entries_are_reported(store):
    import sqlite3

    with contextlib.closing(sqlite3.connect(store.path)) as connection:
        connection.execute("update entry set line = replace(line, '39000', '39001') where number = 3")
        connection.execute("update session set plan = 'nothing of the kind' where number = 1")
        connection.commit()
    text = session_text(store.session(1))
    assert "Entry 3 has changed on disk since it was saved." in text and "This version can't run its plan" in text
    assert "lane 1, swimmer 2 touched 0:41.6" in text, "what was taken down is there all the same"


# -- entries as sentences -------------------------------------------------------------------------------

NAMES = Names([4, 5, 6], ["Warm-up", "", "Main set"], {2})


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        (Paused(0), "all lanes paused"),
        (Paused(0, (0, 1, 2)), "all lanes paused"),
        (Paused(0, (0, 2)), "lanes 4, 6 paused"),
        (Stopped(0), "stop all"),
        (CountChanged(0, -1, 5, lanes=(1,)), "lane 5: one repeat fewer"),
        (CountChanged(0, 2, 5, True), "all lanes: 2 rounds more"),
        (IntervalChanged(0, 110_000, 5, (0,)), "lane 4: on 1:50 from now on"),
        (SectionSet(0, 1, 300_000), "section 2 at 5:00 for all lanes"),
        (Corrected(0, 7), "the time in entry 7 is deleted"),
        (Rated(0, 0, (0,)), "lane 4: a stroke rate that could not be worked out"),
        (
            LengthCounted(0, 0, 40, 25, 4000),
            "lane 4: 40 strokes over 25 in 0:40.0, 1.25 a cycle, stroke index 0.78, time + strokes 80.0",
        ),
        (WatchFiled(0, 1, 0, (3045, 6200), 1), "lane 4, swimmer 2: watch 1: 0:30.5 1:02.0"),
        (Noted(0, "good", 0, None, 0, 2), "lane 4, Warm-up, set 2: good"),
        (
            Touched(0, 0, 1, 1, 2, 3, 4, 0, 4812),
            "lane 4, swimmer 2 touched 0:48.1: section 2, round 2, set 3, repeat 4",
        ),
        (
            Touched(0, 0, 1, 2, 1, 3, 4, 0, 4812),
            "lane 4, swimmer 2 touched 0:48.1: Main set, round 1, set 3, repeat 4",
        ),
        (Noted(0, "good", section=0), "Warm-up: good"),
        (Noted(0, "warm water"), "warm water"),
        (Withdrawn(0, 9), "the record in entry 9 is undone"),
        (TakenBack(0), "the last change is undone"),
    ],
)
def test_sentences(entry, sentence):
    assert said(entry, NAMES) == sentence


def test_every_kind_of_entry_has_its_sentence():
    from pacer.session.records.entrytext import SAID

    assert set(SAID) == set(KINDS.values())
    assert clock(-500) == "-0:01" and names_of(session()).lanes == [4, 5]


@pytest.mark.parametrize(
    ("ended_ms", "said_so"),
    [
        (130 * S, "150 m of 500"),
        (119 * S, "100 m of 500"),
        (98 * S, "100 m of 500"),
        (59 * S, "50 m of 500"),
        (310 * S, "250 m of 500"),
        (900 * S, "500 m"),
    ],
)
def test_a_lane_has_swum_to_the_wall_when_the_session_is_ended(tmp_path, ended_ms, said_so):
    """Lane 4 swims 50 in 0:39 on 1:00, a length in 0:19.5, and comes home: the 100 from 5:00 ends after two lengths."""
    made = Store(tmp_path)
    made.open()
    seen = Now(ZERO.boot_ms + ended_ms, ZERO.wall_ms + ended_ms, "boot")
    with contextlib.closing(
        begin(made, session_of(build_timeline(read_plan(PLAN), read_squad(SQUAD)), PLAN), clock=lambda: seen)
    ) as keeper:
        for entry in (ZERO, Ended(ended_ms)):
            keeper.append(entry)
    assert f"lane 4: {said_so}\n" in session_text(made.session(1))


@pytest.mark.parametrize(
    ("seen_ms", "said_so"), [(98 * S, "75 m of 500"), (99 * S, "100 m of 500"), (99 * 60 * S, "500 m")]
)
def test_a_session_that_never_ended_shows_what_is_known(tmp_path, seen_ms, said_so):
    """The battery died; the session was last saved a minute earlier."""
    made = Store(tmp_path)
    made.open()
    seen = Now(ZERO.boot_ms + seen_ms, ZERO.wall_ms + seen_ms, "boot")
    with contextlib.closing(
        begin(made, session_of(build_timeline(read_plan(PLAN), read_squad(SQUAD)), PLAN), clock=lambda: seen)
    ) as keeper:
        keeper.append(ZERO)
    text, tables = session_text(made.session(1)), session_tables(made.session(1))
    assert f"lane 4: {said_so}\n" in text
    told = f"never ended; recorded up to {'18:03' if seen_ms < 100 * S else '19:40'}"
    assert told in text and told in tables[0].rows[1][0].lower()
    assert (
        next(table for table in tables if table.heading == "Lanes").rows[0][1]
        == said_so.split(" of ")[0].removesuffix(" m") + " m"
    )


def test_the_log_has_an_order_of_its_own():
    def session(number, begun_ms):
        return Listed(number, "", "25 m", begun_ms, "+00:00", None, None, 1)

    sessions = [session(1, 5_000), session(2, 9_000), session(3, 7_000), session(4, 7_000), session(5, None)]
    assert [one.number for one in log_order(sessions)] == [5, 2, 4, 3, 1], "the last started first"
