"""Times that are typed after a session, and a session that ran without pacer, on the tablet."""

import pytest

from pacer.review.swum.sessionreview import review_of
from tests.face.coach import Coach
from tests.face.officepages import CSV, entering


@pytest.fixture
def coach(window, tmp_path):
    made = Coach(window, tmp_path)
    yield made
    made.leave()


def typed(coach, digits):
    coach.type(digits)
    coach.touch("Save, next time")


def times(coach):
    review = review_of(coach.office.store.session(coach.page.entering.number))
    return {(swim.lane, swim.place, swim.section, swim.repeat): swim.time_ms for swim in review.swims if swim.time_ms}


def test_a_session_that_ran_without_pacer_is_typed_in(coach):
    coach.office.log()
    coach.frame()
    coach.touch("Add past session")
    coach.touch("Long-axis rotation 1")
    coach.touch("Save session")
    assert coach.sees("That is in the future")
    coach.touch("Yesterday")
    coach.page.hush()
    coach.touch("Save session")
    assert coach.sees("Times for Long-axis rotation 1") and coach.sees("It was swum without pacer.")
    coach.page.press("set 1")
    coach.frame()
    assert coach.sees("repeat 1") or coach.sees("round 1.1"), "what is a key for?"
    swim = coach.page.entering.rows(0, coach.page.key)[0].swims[0]
    coach.page.press("swim 0 0")
    coach.frame()
    typed(coach, "9999")  # 99:99 is no time
    assert coach.page.typing
    coach.page.hush()
    for _ in range(4):
        coach.touch("Erase")
    wanted = round(swim.predicted_ms / 1000) + 1
    digits = f"{wanted // 60}{wanted % 60:02d}"
    typed(coach, digits)
    assert coach.page.typing, "the next swimmer is asked for"
    typed(coach, digits)
    coach.touch("Cancel")
    there = times(coach)
    assert sorted(there) == [(0, 0, swim.section, 1), (0, 1, swim.section, 1)]
    assert set(there.values()) == {wanted * 1000}
    coach.touch("Undo")
    assert coach.sees("1 time undone") and len(times(coach)) == 1
    coach.page.hush()
    coach.page.press("swim 0 0")
    coach.frame()
    for _ in range(3):
        coach.touch("Erase")
    coach.touch("Save")
    assert times(coach) == {}
    coach.frame()
    coach.touch("Close")
    assert coach.sees("The session ran without pacer, entered by hand.") and coach.sees("(by hand)")
    assert coach.office.store.sessions()[0].ended_ms is not None


def test_a_file_asks_about_its_columns_once(coach):
    entering("lane 2", "set 1")(coach)
    before = times(coach)
    data = CSV.replace(b"Wren,1:22.1", b"Orla,48.1").replace(b"Bib,", b"Bib,Repeat,").replace(b"4,O", b"4,1,O")
    data = data.replace(b"7,Ash", b"7,1,Ash")
    coach.page.chosen(data, "thursday evening.csv")
    coach.frame()
    assert coach.sees("What does “Bib” mean?") and coach.sees("In it: 4, 7")
    coach.touch("Nothing: leave it out")
    assert coach.sees("1 time fits this session.") and coach.sees("Line 3: no swimmer called “Ash” in this session")
    assert coach.sees("2 times name no set. They are for:")
    coach.touch("Save 1 new time")
    assert times(coach) == before and coach.sees("1 kept as it was")  # Orla has a time on that repeat
    coach.page.hush()
    coach.page.chosen(data, "thursday evening.csv")
    coach.frame()
    assert coach.sees("1 time fits this session.")
    coach.touch("Cancel")
    coach.page.chosen(b"not a table", "holiday.csv")
    coach.frame()
    assert coach.sees("What does “not a table” mean?")
    coach.touch("Cancel")
    assert coach.sees("Times for Thursday threshold")


def test_times_that_name_no_set_go_to_the_chosen_one_and_the_page_says_which(coach):
    entering("lane 2", "set 1")(coach)
    before, page = times(coach), coach.page
    sets = page.entering.all_sets()
    at = next(number for number, (_, text) in enumerate(sets) if text.startswith("Swim-down"))
    swim = next(row.swims[0] for row in page.entering.rows(2, sets[at][0]) if row.name == "Orla")
    data = f"Name,Repeat,Time\nOrla,1,{swim.predicted_ms / 1000}\n".encode()
    page.chosen(data, "thursday evening.csv")
    coach.frame()
    assert coach.sees("1 time names no set. It is for:")
    lit = [tile.name for tile in page.board.tiles if tile.look == "lit"]
    assert lit == ["for 1"] and sets[1][0] == page.key, "the set that was open"
    coach.touch(sets[at][1])
    coach.touch("Save 1 new time")
    assert {key[2] for key in times(coach).keys() - before.keys()} == {sets[at][0][0]}
    page.chosen(data.replace(b"Name,", b"Name,Section,").replace(b"Orla,", b"Orla,Swim-down,"), "again.csv")
    coach.frame()
    assert not coach.sees("no set"), "the file says which"


def test_a_typed_time_says_its_set(coach):
    entering("lane 2", "set 1", "swim 0 0")(coach)
    assert coach.sees("Skill set, 6 x 50 drill six-kick switch: Orla, repeat 1, 50, expected")
