"""Sessions that may be one: entered on two tablets, or run on one and entered on the other."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from pacer.review.doubles import STARTS_APART_MS, possible_doubles
from pacer.review.enter.enteredtimes import begin_without, entering, keep, rows_without
from pacer.review.enter.joinedtimes import join
from pacer.review.enter.placedtimes import PlacedTime, timed_swims
from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.recordentries import LengthCounted, Noted, Rated, times_put_back
from pacer.session.records.touches import times
from pacer.session.storage.savedsession import session_of
from pacer.session.storage.sessionimport import take_in
from pacer.session.storage.sessionmerge import rows_of
from pacer.session.storage.store import Store
from pacer.session.storage.timesputback import put_back
from pacer.show.after.loglist import LogList
from tests.review.exports.test_exports import PLAN, SQUAD
from tests.session.pages import session

TIMELINE = session(PLAN, SQUAD)
BEGUN_MS = 1_772_470_800_000


def entered(folder, times, begun_ms=BEGUN_MS, squad=SQUAD):
    """A tablet on which the session was typed, with so many of its times."""
    store = Store(folder)
    store.open()
    timeline = TIMELINE if squad is SQUAD else session(PLAN, squad)
    number = begin_without(store, rows_without(session_of(timeline, PLAN), timeline, begun_ms, "+00:00", "by hand"))
    rng = random.Random(times)
    swims = timed_swims(review_of(store.session(number)))[:times]
    placed = [PlacedTime(swim, round(swim.predicted_ms * rng.uniform(0.98, 1.02)) // 10) for swim in swims]
    keep(store, store.session(number), entering(store.session(number), placed, "by hand").entries, begun_ms + times)
    return store


def test_times_entered_on_two_tablets_are_a_possible_double_with_one_press(tmp_path):
    a, b = entered(tmp_path / "a", 3), entered(tmp_path / "b", 5)
    take_in(a, [rows_of(b.session(1))])
    assert possible_doubles(a, a.sessions()) == {1: (2,), 2: (1,)}, "side by side, and named"
    log = LogList(a)
    (other,) = log.twins(1)
    assert "It has 5 times, this one 3." in log.twin_said(1, other)
    assert log.keep(1)[:3] == (2, 0, 3) and [one.number for one in log.sessions] == [1] and not log.doubles
    assert log.can_undo
    log.undo()
    assert log.doubles == {1: (2,), 2: (1,)} and not log.can_undo
    assert len(times(a.session(1).journal)) == 3, "what was added is taken away again"
    log.keep(2)
    take_in(a, [rows_of(b.session(1))])
    assert LogList(a).doubles == {} and [one.number for one in LogList(a).sessions] == [2]


@pytest.mark.parametrize(("apart_ms", "doubles"), [(STARTS_APART_MS, True), (STARTS_APART_MS + 1, False), (0, False)])
def test_the_same_plan_and_squad_within_a_quarter_of_an_hour(tmp_path, apart_ms, doubles):
    """Another squad at the very same time is another session."""
    a = entered(tmp_path / "a", 2)
    b = entered(tmp_path / "b", 2, BEGUN_MS + apart_ms, SQUAD if apart_ms else SQUAD.replace("1:20", "1:25"))
    take_in(a, [rows_of(b.session(1))])
    assert len(a.sessions()) == 2
    assert bool(possible_doubles(a, a.sessions())) is doubles


@pytest.mark.parametrize(
    ("source", "ended_after_ms", "doubles"),
    [("", 300_000, False), ("", 660_000, False), ("", 660_001, True), ("by hand", 300_000, True)],
)
def test_two_that_ran_one_after_the_other_are_two_sessions(tmp_path, source, ended_after_ms, doubles):
    """One that was entered may have been started earlier than its hand-written start says."""
    store = Store(tmp_path)
    store.open()
    for begun_ms in (BEGUN_MS, BEGUN_MS + 660_000):
        take_in(store, [rows_without(session_of(TIMELINE, PLAN), TIMELINE, begun_ms, "+00:00", source)])
    listed = [replace(one, ended_ms=one.begun_ms + ended_after_ms) for one in store.sessions()]
    assert len(listed) == 2 and bool(possible_doubles(store, listed)) is doubles


def test_another_plan_is_no_double_and_only_sessions_near_each_other_are_read(tmp_path):
    a = entered(tmp_path / "a", 2)
    other = rows_of(entered(tmp_path / "b", 2).session(1))
    take_in(a, [replace(other, plan=PLAN + "\nSwim-down\n  100 choice\n", counts="[]")])
    for day in range(1, 6):
        entered_rows = rows_without(session_of(TIMELINE, PLAN), TIMELINE, BEGUN_MS + day * 86_400_000, "+00:00", "")
        take_in(a, [entered_rows])
    read = []
    watched = a.session
    a.session = lambda number: read.append(number) or watched(number)
    assert possible_doubles(a, a.sessions()) == {} and sorted(read) == [1, 2]


def test_the_times_that_only_the_other_one_has_are_joined(tmp_path):
    """The first three swims have other times there, which stay there; the fourth and fifth come along, and the note."""
    a, b = entered(tmp_path / "a", 3), entered(tmp_path / "b", 5)
    keep(b, b.session(1), [Noted(0, "Kit was late", 0)], BEGUN_MS + 9)
    theirs, mine = rows_of(b.session(1)), rows_of(a.session(1))
    take_in(a, [theirs])
    take_in(b, [mine])
    before = {one.touched.left_ms: one.touched.time_cs for one in times(a.session(1).journal)}
    wanted = {one.touched.left_ms: one.touched.time_cs for one in times(b.session(1).journal)} | before
    log = LogList(a)
    got = log.keep(1)
    assert got[:3] == (2, 1, 3)
    assert log.kept_said(got) == (
        "The other one is hidden. Added from there: 2 times and 1 note. 3 times there differ: yours stay."
    )
    kept = a.session(1)
    assert {one.touched.left_ms: one.touched.time_cs for one in times(kept.journal)} == wanted and len(wanted) == 5
    assert [entry.text for entry in kept.journal if isinstance(entry, Noted)] == ["Kit was late"]
    assert review_of(kept).taken == 5
    there = LogList(b)
    there.keep(2)  # the same choice on the other tablet makes the same session
    assert rows_of(b.session(2)) == rows_of(kept) and rows_of(b.session(1)) == rows_of(a.session(2))
    log.undo()
    assert len(times(a.session(1).journal)) == 3 and len(log.sessions) == 2


def test_a_time_put_back_there_counts_here_too(tmp_path):
    """One that both have, and one that comes along; both are left out again by Undo."""
    a, b = entered(tmp_path / "a", 3), entered(tmp_path / "b", 3, BEGUN_MS + 60_000)
    (more,) = (swim for swim in timed_swims(review_of(b.session(1)))[3:4])
    keep(b, b.session(1), entering(b.session(1), [PlacedTime(more, 9_000)], "by hand").entries, BEGUN_MS + 99)
    both, new = (one.number for one in times(b.session(1).journal)[2:4])
    for entry in (both, new):
        put_back(b, 1, entry)
    take_in(a, [rows_of(b.session(1))])
    log = LogList(a)
    assert log.keep(1)[:2] == (1, 0)
    here = {one.number: one.touched.time_cs for one in times(a.session(1).journal)}
    assert [here[entry] for entry in sorted(times_put_back(a.session(1).journal))] == [here[both], 9_000]
    log.undo()
    assert times_put_back(a.session(1).journal) == set()


def test_stroke_rates_join_the_swim_that_they_were_taken_in(tmp_path):
    """The other tablet started 30 s later, and the second swimmer there is the first one here."""
    squad = 'name = "Evening"\n[[lane]]\nbase = "1:20"\n' + "".join(
        f'[[lane.swimmer]]\nname = "{name}"\n' for name in ("Bo", "Al")
    )
    other = squad.replace('"Bo"', '"Kit"').replace('"Al"', '"Bo"')
    a, b = entered(tmp_path / "a", 1, squad=squad), entered(tmp_path / "b", 1, BEGUN_MS + 30_000, squad=other)
    swims = [swim for swim in review_of(b.session(1)).swims if swim.place == 1 and swim.distance]
    rates = [
        Rated(swims[0].left_ms + 20_000, swims[0].lane, (0, 120, 240, 360), swimmer=1, source="screen 2", act=7),
        LengthCounted(swims[2].left_ms + 30_000, swims[2].lane, 18, 25, 2000, swimmer=1),
        Rated(-60_000, 0, (0, 100, 200, 300), swimmer=1),
    ]
    keep(b, b.session(1), rates, BEGUN_MS + 40_000)
    take_in(a, [rows_of(b.session(1))])
    log = LogList(a)
    before = review_of(a.session(1))
    got = log.keep(1)
    assert got.rates == 2, "one was taken before anybody swam"
    assert log.kept_said(got) == "The other one is hidden. Added from there: 2 stroke rates."
    mine, its = review_of(a.session(1)).strokes, review_of(b.session(1)).strokes[:2]
    assert [one.rate for one in mine] == [one.rate for one in its]
    assert {review_of(a.session(1)).people[one.who].name for one in mine} == {"Bo"}
    places = [(one.swim.section, one.swim.line, one.swim.round, one.swim.repeat, one.done) for one in its]
    assert [(one.swim.section, one.swim.line, one.swim.round, one.swim.repeat, one.done) for one in mine] == places
    log.undo()
    assert review_of(a.session(1)).strokes == before.strokes == () and len(log.sessions) == 2
    assert log.keep(1).rates == 2 and join(a, 1, 2).rates == 0, "those are here now"


def test_times_join_the_swimmer_of_that_name(tmp_path):
    """On the other tablet the first swimmer of the lane was absent, so that everybody has another place."""
    squad = '[[lane]]\nbase = "1:20"\n' + "".join(
        f'[[lane.swimmer]]\nname = "{name}"\n' for name in ("Kit", "Bo", "Al")
    )
    fewer = squad.replace('[[lane.swimmer]]\nname = "Kit"\n', "")
    squad, fewer = (f'name = "Evening"\n{text}' for text in (squad, fewer))
    a, b = entered(tmp_path / "a", 0, squad=squad), entered(tmp_path / "b", 4, squad=fewer)
    take_in(a, [rows_of(b.session(1))])
    log = LogList(a)
    assert log.keep(1)[:3] == (4, 0, 0)
    review = review_of(a.session(1))
    assert {review.people[swim.who].name for swim in review.swims if swim.time_ms is not None} == {"Bo", "Al"}
