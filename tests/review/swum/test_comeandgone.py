"""Who comes late, and who gets out and comes back: one person each in all that is said of the session."""

import csv
import io
import json
from dataclasses import replace

import pytest

from pacer.review.exports.archivereading import read_archive
from pacer.review.exports.csvfiles import csv_files
from pacer.review.exports.exporttables import exported
from pacer.review.exports.tabletarchive import import_archive
from pacer.review.season.ledger import Ledger
from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.entries import Begun, Ended, SwimmerChanged, SwimmerJoined, SwimmerLeft, TakenBack
from pacer.session.journal.jsonlines import NewerLine, entry_from_line, line_from_entry
from pacer.session.journal.recordentries import HeadsCounted
from pacer.session.records.entrytext import names_of, said
from pacer.session.running import presses
from pacer.session.running.replay import apply, replay
from pacer.session.running.whogotout import came_late, got_out
from pacer.session.storage.savedsession import session_of
from pacer.session.storage.sessionmerge import joined, rows_of
from pacer.session.storage.store import Store
from pacer.show.after.tabletexports import archive
from pacer.squad.squad import Absent, Pace
from tests.review.made import ZERO_WALL_MS, S, kept
from tests.review.season.stored import stored
from tests.session.pages import session

PLAN = "pool: 25 m\nbooking: 60 min\nMain set\n  10 x 100 free on 2:30\n"
SQUAD = """\
[[lane]]
number = 4
base = "1:20"
  [[lane.swimmer]]
  name = "Nia"
  base = "1:18"
    [lane.swimmer.factors]
    kick = 1.5
  [[lane.swimmer]]
  name = "Kit"
[[lane]]
number = 5
base = "2:00"
  [[lane.swimmer]]
  name = "Vic"
"""
TIMELINE = session(PLAN, SQUAD)
BEGUN = Begun(-10 * S, 0, ZERO_WALL_MS, "+00:00")
UNA = Absent("Una", 5, Pace(125_000))
OUT = SwimmerLeft(400 * S, 0, 0)  # after repeats at 0:00, 2:30 and 5:00
BACK = SwimmerJoined(700 * S, 0, 730 * S, back=0)  # with repeats at 12:30 and so on
LATE = SwimmerJoined(200 * S, 1, 220 * S, name="Una", base_ms=125_000, absent=0)
END = Ended(3000 * S)


def evening(*entries):
    """The session with these entries; Una of lane 5 and Zoe of lane 6 were absent."""
    made = kept(TIMELINE, [BEGUN, *entries, END])
    return replace(made, session=session_of(TIMELINE, PLAN, absent=(UNA, Absent("Zoe", 6))))


def attendance(made):
    """Each row of the attendance: name, here, distance."""
    files = csv_files([exported(made)], names=True)
    rows = csv.DictReader(io.StringIO(files["attendance.csv"].decode("utf-8-sig")))
    return [(row["name"], row["here"], int(row["distance"])) for row in rows]


def swimmers(made):
    files = csv_files([exported(made)], names=True)
    (row,) = csv.DictReader(io.StringIO(files["sessions.csv"].decode("utf-8-sig")))
    return int(row["swimmers"])


def test_who_comes_back_is_one_person_with_both_stretches():
    made = evening(OUT, BACK)
    assert attendance(made)[:3] == [("Nia", "yes", 300 + 500), ("Kit", "yes", 1000), ("Vic", "yes", 1000)]
    assert swimmers(made) == 3 and len(review_of(made).people) == 3
    mine = [swim.left_ms // S for swim in review_of(made).swims if swim.who == 0]
    assert mine[:3] == [0, 150, 300] and [left_s - 5 for left_s in mine[3:]] == [750, 900, 1050, 1200, 1350]


def test_who_was_absent_and_comes_late_was_here():
    made = evening(LATE)
    # Una leaves with the repeats at 5:00 to 22:30.
    assert attendance(made) == [
        ("Nia", "yes", 1000), ("Kit", "yes", 1000), ("Vic", "yes", 1000), ("Una", "yes", 800), ("Zoe", "no", 0),
    ]  # fmt: skip
    assert swimmers(made) == 4


def test_the_season_has_them_as_the_attendance(tmp_path):
    with Ledger(stored(tmp_path, [(evening(LATE, OUT, BACK), 0)])).open() as ledger:
        assert ledger.execute("select name, distance from swam order by name").fetchall() == [
            ("Kit", 1000), ("Nia", 800), ("Una", 800), ("Vic", 1000),
        ]  # fmt: skip
        assert ledger.execute("select name from absent").fetchall() == [("Zoe",)]


def test_they_are_as_they_were():
    """With their own base and factors, also in another lane; and the head count adds up."""
    nia = TIMELINE.squad.lanes[0].swimmers[0]
    elsewhere = replace(BACK, lane=1)
    made = replay(TIMELINE, [BEGUN, OUT, elsewhere])
    (back,) = [one for one in made.timeline.squad.lanes[1].swimmers if one.name == "Nia"]
    assert (back, back.factors) == (nia, nia.factors) and back.factors["kick"] == 3 / 2
    review = review_of(evening(HeadsCounted(0, 3, True), OUT, elsewhere, HeadsCounted(2000 * S, 3, False)))
    assert not review.heads.warning and attendance(evening(OUT, elsewhere))[0] == ("Nia", "yes", 800)


def test_who_can_come_back():
    """The swimmers who are out, by how many got out before them; not who is back, nor who was undone."""
    kit_out = SwimmerLeft(500 * S, 0, 0)
    run = replay(TIMELINE, [BEGUN, OUT, kit_out])
    assert [(one.number, one.swimmer.name, one.lane, one.at_ms) for one in got_out(run)] == [
        (0, "Nia", 0, 400 * S), (1, "Kit", 0, 500 * S),
    ]  # fmt: skip
    back = apply(run, BACK)
    assert [one.swimmer.name for one in got_out(back)] == ["Kit"]
    assert [one.swimmer.name for one in got_out(apply(back, SwimmerLeft(800 * S, 0, 0)))] == ["Kit", "Nia"]
    assert len(got_out(apply(back, TakenBack(701 * S)))) == 2
    assert not got_out(replay(TIMELINE, [BEGUN, OUT, TakenBack(401 * S)]))
    late = replay(TIMELINE, [BEGUN, LATE])
    assert came_late(late) == {0} and not came_late(apply(late, TakenBack(201 * S)))


def test_nobody_is_in_the_water_twice():
    """A second entry about somebody who is back already adds somebody new."""
    made = evening(OUT, BACK, replace(BACK, at_ms=701 * S), LATE, replace(LATE, at_ms=701 * S))
    review = review_of(made)
    assert [one.name for one in review.people] == ["Nia", "Kit", "Vic", "", "Una", "Una"]
    swims = [(swim.who, swim.left_ms) for swim in review.swims]
    assert len(swims) == len(set(swims)) and {who for who, _ in swims} == set(range(6))


def test_an_undone_return_leaves_what_was_swum():
    """Out again by Undo after two repeats: those stay hers. Back once more, she is still one person."""
    run = replay(TIMELINE, [BEGUN, OUT, BACK])
    undo = presses.take_back(run, 1000 * S)
    again = replace(BACK, at_ms=1010 * S, leave_ms=1020 * S)
    assert attendance(evening(OUT, BACK, undo))[0] == ("Nia", "yes", 300 + 200)
    assert attendance(evening(OUT, BACK, undo, again))[0] == ("Nia", "yes", 300 + 200 + 3 * 100)
    run = replay(TIMELINE, [BEGUN, LATE])
    undo = presses.take_back(run, 500 * S)  # after the repeats at 5:00 and 7:30
    once = attendance(evening(LATE, undo))
    assert once[3:] == [("Una", "yes", 200), ("Zoe", "no", 0)]
    more = replace(LATE, at_ms=510 * S, leave_ms=520 * S)
    assert attendance(evening(LATE, undo, more))[3:] == [("Una", "yes", 800), ("Zoe", "no", 0)]


def test_an_undone_arrival_that_swam_nothing_is_absent():
    assert attendance(evening(LATE, TakenBack(205 * S, 0)))[3:] == [("Una", "no", 0), ("Zoe", "no", 0)]


def test_who_is_added_again_after_an_undo_is_one_person():
    """Whether they had swum by then or not; somebody of another name is another person."""
    for undone_ms in (205 * S, 700 * S):  # before their first send-off, and after three
        again = replace(LATE, at_ms=undone_ms + S, leave_ms=undone_ms + 20 * S, name="Bo", absent=None)
        first = replace(LATE, name="Bo", absent=None), TakenBack(undone_ms, undone_ms + 10 * S)
        made = evening(*first, again)
        assert [person.name for person in review_of(made).people] == ["Nia", "Kit", "Vic", "Bo"]
        assert attendance(made)[3][:2] == ("Bo", "yes")
        made = evening(*first, replace(again, name="Mo"))
        assert [person.name for person in review_of(made).people] == ["Nia", "Kit", "Vic", "Bo", "Mo"]


def test_numbers_stay_when_an_older_change_is_undone():
    """Two swimmers without names, the first of whom is taken back: the second one stays who they are."""
    first, second = SwimmerJoined(200 * S, 0, 220 * S), SwimmerJoined(210 * S, 1, 230 * S)
    both = replay(TIMELINE, [BEGUN, first, second])
    assert [one.number for one in both.timeline.squad.lanes[1].swimmers] == [2, 4]
    made = apply(both, TakenBack(215 * S, 230 * S, stay=(True,)))
    assert [len(lane.swimmers) for lane in made.timeline.squad.lanes] == [2, 2]
    assert [one.number for one in made.timeline.squad.lanes[1].swimmers] == [2, 4]


def test_who_came_late_and_got_out_comes_back_as_themselves():
    made = evening(LATE, SwimmerLeft(400 * S, 1, 1), SwimmerJoined(700 * S, 0, 730 * S, back=0))
    assert attendance(made)[3] == ("Una", "yes", 100 + 500) and swimmers(made) == 4


def test_places_that_change_make_nobody_else_of_them():
    moved = SwimmerChanged(720 * S, 0, 1, 0, 730 * S, 0)
    assert attendance(evening(OUT, BACK, moved))[0] == ("Nia", "yes", 800)


def test_an_older_journal_is_as_it_was():
    """Its entries name nobody: somebody new, each time."""
    line = '{"v": 1, "kind": "swimmer joined", "at_ms": 700000, "lane": 0, "leave_ms": 730000}'
    entry = entry_from_line(line)
    assert entry == SwimmerJoined(700 * S, 0, 730 * S) and line_from_entry(entry) == line
    made = evening(OUT, entry)
    assert attendance(made) == [
        ("Nia", "yes", 300), ("Kit", "yes", 1000), ("Vic", "yes", 1000), ("", "yes", 500),
        ("Una", "no", 0), ("Zoe", "no", 0),
    ]  # fmt: skip
    older = replace(made, session=replace(made.session, squad=made.session.squad.replace("# of lane 6\n", "")))
    assert attendance(older) == attendance(made)


@pytest.mark.parametrize("entry", [BACK, LATE])
def test_the_journal_keeps_who_it_was(entry):
    line = line_from_entry(entry)
    assert entry_from_line(line) == entry
    with pytest.raises(NewerLine, match="fields that this pacer does not know"):
        entry_from_line(json.dumps(json.loads(line) | {"lent by": "another club"}))
    with pytest.raises(ValueError, match="is not a whole number"):
        entry_from_line(json.dumps(json.loads(line) | {"back": "Nia"}))


def test_the_log_names_nobody():
    names = names_of(TIMELINE)
    assert said(BACK, names) == "a swimmer who got out comes back, lane 4"
    assert said(LATE, names) == "a swimmer who was absent joins lane 5"


def test_without_names_they_are_the_same_people(tmp_path):
    """Exported without names and imported, and merged with the whole session in either order."""
    made = evening(LATE, OUT, BACK)
    one = stored(tmp_path / "one", [(made, 0)])
    first = archive(one, names=False)
    two = Store(tmp_path / "two")
    two.open()
    import_archive(two, read_archive(first))
    bare = two.session(1)
    assert [row[1:] for row in attendance(bare)] == [row[1:] for row in attendance(made)]
    assert not any(name for name, *_ in attendance(bare)) and archive(two, names=False) == first
    whole, unnamed = rows_of(one.session(1)), rows_of(bare)
    assert joined(whole, unnamed) == joined(unnamed, whole) == whole
