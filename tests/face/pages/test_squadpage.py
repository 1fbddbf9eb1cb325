"""The squad edited by touch."""

from fractions import Fraction

import pytest

from pacer.squad.register.roster import with_factor
from pacer.squad.register.squadfolder import SquadFolder
from tests.face.coach import ESCAPE, RETURN, TAB, Coach

ACROSS, UPRIGHT = (1280, 800), (800, 1280)
DAY = "2026-03-02"


@pytest.fixture
def coach(window, tmp_path):
    made = []

    def make(size=ACROSS, **kwargs):
        made.append(Coach(window, tmp_path, size, **kwargs))
        made[-1].touch("Brackenmere Thursday")
        return made[-1]

    yield make
    for each in reversed(made):
        each.leave()


def kept(coach):
    """The squad as a new start finds it."""
    squads = SquadFolder(coach.home)
    return squads.roster(DAY)


def lane(coach, index):
    return kept(coach).squad.lanes[index]


def names(coach, index):
    return [swimmer.name for swimmer in lane(coach, index).swimmers]


def middle(board, name):
    box = board.box_of(board.tile(name))
    return box.x + box.width / 2, box.y + box.height / 2


def write(coach, text):
    """Letters on a keyboard, instead of what was there."""
    for letter in text:
        coach.page.field.draft.write(letter)
    coach.page.field.edited()
    coach.frame()


def test_a_keyboard_types_on_the_pad(coach):
    """Digits of both kinds, a colon that says nothing new, backspace; return takes it, escape leaves it."""
    coach = coach()
    coach.touch("1:16")
    coach.touch("Base")
    for code in (*map(ord, "1:"), 256 + 1, ord("9"), 8, ord("8")):
        coach.key(code)
    assert coach.sees("1:18")
    coach.key(RETURN)
    assert coach.sees("Base, lane 2") and lane(coach, 0).base.ms == 78_000
    coach.key(ord("2"))
    coach.key(ESCAPE)
    assert coach.page.pad is None and lane(coach, 0).base.ms == 78_000 and lane(coach, 1).base.ms != 2_000


@pytest.mark.parametrize("size", [ACROSS, UPRIGHT], ids=["across", "upright"])
def test_a_base_is_typed_on_the_pad(coach, size):
    coach = coach(size)
    coach.touch("1:16")
    coach.touch("Base")
    coach.type("1185")
    assert coach.sees("11:85") and coach.sees("Seconds go from 00 to 59.")
    page = coach.page
    board = next(board for board in page.boards if any(tile.name == "pad ." for tile in board.tiles))
    digits, save = board.box_of(board.tile("pad .")), page.bar.box_of(page.bar.tile("take on"))
    if size == ACROSS:
        assert abs(save.x - digits.x) < 2 * page.gap and 0 <= digits.y - save.top < 3 * page.gap, (
            "directly below the keys"
        )
    coach.touch("Save")
    assert coach.sees("Seconds go from 00 to 59.")  # it cannot be taken
    coach.page.hush()
    coach.frame()
    for _ in range(2):
        coach.touch("Erase")
    coach.type("8.5")
    coach.touch("Save")
    assert lane(coach, 0).base.ms == 78_500 and {swimmer.base.ms for swimmer in lane(coach, 0).swimmers} == {78_500}
    coach.touch("Undo")
    assert lane(coach, 0).base.ms == 76_000


def test_the_base_shown_does_not_count_who_is_absent(coach):
    coach = coach()
    coach.touch("1:31")

    def shown():
        return [str(tile) for board in coach.page.boards for tile in board.tiles if tile.name in ("lane 2", "base")]

    assert len(shown()) == 2 and all("1:31" in tile for tile in shown())
    coach.page.press("here 3")
    coach.frame()
    assert all("1:30" in tile and "1:31" not in tile for tile in shown()), (
        "the next slowest is the slowest of who is here"
    )


def test_steps_on_the_pad(coach):
    coach = coach()
    coach.touch("Swimmers apart")
    coach.touch("+5 s")
    coach.touch("Save")
    assert lane(coach, 0).spacing_ms == 10_000
    coach.touch("Swimmers apart")
    for _ in range(4):
        coach.touch("–5 s")
    coach.touch("Save")
    assert "0:01 to 10:00" in coach.page.says and lane(coach, 0).spacing_ms == 10_000


@pytest.mark.parametrize("size", [ACROSS, UPRIGHT], ids=["across", "upright"])
def test_what_is_asked_lane_by_lane_goes_on_to_the_next_lane(coach, size):
    coach = coach(size)
    coach.touch("1:16")
    coach.touch("Swimmers apart")
    for seconds in ("10", "20"):
        coach.type(seconds)
        coach.touch("Save, next lane")
    assert coach.sees("Lane 3: how far apart do swimmers leave?")
    coach.key(ord("7"))
    coach.key(RETURN)
    assert coach.sees("Lane 4: how far apart do swimmers leave?"), "a keyboard goes on, too"
    coach.touch("Cancel")
    assert [lane(coach, n).spacing_ms for n in range(4)] == [10_000, 20_000, 7_000, 5_000]
    assert coach.page.lane == 3 and coach.page.asked == "", "the lane last asked about is the chosen one"
    coach.page.press("lane 5")
    coach.page.press("base")
    coach.frame()
    assert coach.sees("Base, lane 6") and not coach.page.bar.tile("take on").able


def test_names_and_bases_go_on_to_the_next_swimmer(coach):
    coach = coach()
    coach.touch("1:31")
    coach.page.press("name 2")
    write(coach, "Wren")
    coach.touch("Save, next swimmer")
    assert not coach.page.bar.tile("take on").able
    coach.page.field.draft.choose_all()
    write(coach, "Ash")
    coach.touch("Save")
    assert names(coach, 2) == ["Orla", "Tomas", "Wren", "Ash"]


def test_lanes_are_put_in_order_by_dragging(coach):
    coach = coach()
    board = coach.page.lanes
    coach.drag(middle(board, "grip 0"), middle(board, "lane 2"))
    assert [lane.number for lane in kept(coach).squad.lanes] == [2, 3, 1, 4, 5, 6]
    assert coach.page.lane == 2 and coach.page.lanes.dragged is None


def test_a_lane_dragged_at_the_edge_scrolls_on(coach):
    coach = coach()
    coach.turn((1280, 420))  # where not all lanes are seen at once
    board = coach.page.lanes
    x, y = middle(board, "grip 0")
    from kivy.tests.common import UnitTestTouch

    touch = UnitTestTouch(x, y)
    touch.touch_down()
    touch.touch_move(x, y - 60)
    touch.touch_move(x, board.y + 5)
    board.scroll_on(0)
    for _ in range(60):
        board.scroll_on(0)
        coach.frame()
    assert board.scroller.offset == round(board.scroller.most) > 0
    touch.touch_move(x, middle(board, "grip 0")[1])  # it stands last by now
    touch.touch_up()
    coach.frame()
    assert [lane.number for lane in kept(coach).squad.lanes][-1] == 1


def test_swimmers_are_put_in_order_and_into_other_lanes_by_dragging(coach):
    coach = coach()
    coach.touch("1:31")
    board = coach.page.one
    coach.drag(middle(board, "grip 0"), middle(board, "name 2"))
    assert names(coach, 2) == ["Tomas", "Ines", "Orla", "Bram"]
    coach.drag(middle(board, "grip 1"), middle(coach.page.lanes, "lane 0"))
    assert names(coach, 2) == ["Tomas", "Orla", "Bram"] and names(coach, 0)[-1] == "Ines"
    coach.touch("Sort fastest first")
    assert names(coach, 2) == ["Orla", "Tomas", "Bram"]
    for _ in range(3):
        coach.touch("Undo")
    assert names(coach, 2) == ["Orla", "Tomas", "Ines", "Bram"] and len(names(coach, 0)) == 5


def test_a_grip_that_is_only_touched_asks_what_to_do(coach):
    coach = coach(UPRIGHT)
    coach.touch("1:31")
    coach.finger(*middle(coach.page.one, "grip 3"))
    assert coach.sees("Bram, lane 3")
    coach.touch("Move up")
    assert names(coach, 2) == ["Orla", "Tomas", "Bram", "Ines"]
    coach.touch("6")
    assert names(coach, 2) == ["Orla", "Tomas", "Ines"] and names(coach, 5)[-1] == "Bram"
    assert not coach.page.asked


def test_somebody_goes_and_somebody_comes(coach):
    coach = coach()
    coach.touch("1:31")
    coach.finger(*middle(coach.page.one, "grip 1"))
    coach.touch("Delete")
    assert names(coach, 2) == ["Orla", "Ines", "Bram"]
    coach.touch("Add a swimmer")
    assert names(coach, 2) == ["Orla", "Ines", "Bram", ""]
    coach.touch("swimmer 4")
    write(coach, "Kit")
    coach.touch("Save")
    assert names(coach, 2)[-1] == "Kit"
    coach.touch("Kit")
    write(coach, "x" * 70)
    coach.touch("Save")
    assert "too long" in coach.page.says and names(coach, 2)[-1] == "Kit" and coach.page.asked == "text"


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (1024, 600)])
@pytest.mark.parametrize(
    ("words", "counted"),
    [("Add a swimmer", lambda squad: len(squad.lanes[2].swimmers)), ("Add a lane", lambda squad: len(squad.lanes))],
)
def test_taps_at_one_place_add_one_each_and_do_nothing_else(coach, size, words, counted):
    coach = coach(size=size)
    if words == "Add a swimmer":
        coach.touch("1:31")
    elif coach.page.narrow and coach.page.lane is not None:
        coach.touch("Close")
    before, at = counted(kept(coach).squad), coach.place(words)
    for more in range(1, 6):
        coach.finger(*at)
        assert counted(kept(coach).squad) == before + more and not coach.page.asked
        assert coach.place(words) == at


def test_a_new_squad_may_keep_its_name_for_now(coach):
    coach = coach()
    coach.touch("Squads")
    coach.touch("New")
    coach.touch("Cancel")
    assert not coach.page.asked and coach.sees("New squad") and kept(coach).squad.name == "New squad"


def test_the_last_of_a_lane_goes_and_nothing_is_asked_of_them_any_more(coach):
    coach = coach()
    coach.touch("1:31")
    coach.finger(*middle(coach.page.one, "grip 3"))
    coach.touch("Delete")
    assert names(coach, 2) == ["Orla", "Tomas", "Ines"] and not coach.page.asked
    coach.touch("Add a swimmer")
    coach.finger(*middle(coach.page.one, "grip 3"))
    assert coach.page.asked == "swimmer"
    coach.touch("Undo")
    assert names(coach, 2) == ["Orla", "Tomas", "Ines"] and not coach.page.asked


def test_test_swims_typed_by_hand(coach):
    coach = coach()
    coach.touch("1:31")
    coach.finger(*middle(coach.page.one, "grip 1"))
    coach.touch("Type test swims")
    coach.touch("200")
    coach.type("240")
    coach.touch("Save")
    coach.touch("400")
    for code in (*map(ord, "540"), RETURN):  # the same on a keyboard
        coach.key(code)
    assert coach.sees("Base 1:30 per 100, confidence: fair")
    coach.touch("Save the base")
    assert lane(coach, 2).swimmers[1].base.ms == 90_000 and len(lane(coach, 2).swimmers[1].tests) == 2
    assert {trial.day for trial in lane(coach, 2).swimmers[1].tests} == {coach.office.clocks.day()}, "typed today"
    assert coach.sees("Base 1:30, from 200 in 2:40 and 400 in 5:40")
    coach.touch("Type test swims")
    coach.touch("400")
    coach.type("200")
    coach.touch("Save")
    assert coach.sees("takes no longer")
    coach.touch("Save the base")
    assert lane(coach, 2).swimmers[1].base.ms == 90_000


def test_a_typed_test_swim_that_can_hardly_be_right_is_asked_about(coach):
    coach = coach()
    coach.touch("1:31")
    coach.finger(*middle(coach.page.one, "grip 1"))
    before = lane(coach, 2).swimmers[1].base
    coach.touch("Type test swims")
    coach.touch("100")
    coach.type("021.7")
    coach.touch("Save")
    coach.touch("Save the base")
    assert coach.sees("faster than anybody has swum") and lane(coach, 2).swimmers[1].base == before
    coach.touch("Fix times")
    assert coach.sees("Save the base") and lane(coach, 2).swimmers[1].base == before
    coach.touch("Save the base")
    coach.touch("Save anyway")
    assert lane(coach, 2).swimmers[1].base != before and lane(coach, 2).swimmers[1].tests[0].time_ms == 21_700


def test_a_test_swim_on_the_watch_that_can_hardly_be_right_is_asked_about(coach):
    coach = coach()
    coach.touch("1:31")
    before = kept(coach).squad.lanes[2]
    count = len(before.swimmers)
    coach.touch("Test swims")
    coach.touch("100")
    coach.touch("Start in 10 s")
    zero = coach.boot_ms + 10_000
    coach.go(12_000)
    for place in range(count):
        coach.frame(zero + place * before.spacing_ms + (21_700 if place == 0 else 95_000) - coach.boot_ms)
        coach.page.tapped()
    coach.touch("Save the times")
    coach.touch("Save the bases")
    assert coach.sees("faster than anybody has swum") and kept(coach).squad.lanes[2] == before
    coach.touch("Fix times")
    coach.touch("Save the bases")
    coach.touch("Save anyway")
    assert kept(coach).squad.lanes[2].swimmers[0].tests[0].time_ms // 100 == 217
    assert kept(coach).squad.lanes[2].swimmers[0].tests[0].day == coach.office.clocks.day()


def test_who_keeps_a_base_of_their_own_is_told_when_the_lanes_is_changed(coach):
    coach = coach()
    coach.touch("1:16")
    coach.touch("Base")
    coach.type("118")
    coach.touch("Save")
    assert not coach.page.says and [swimmer.base.ms for swimmer in lane(coach, 0).swimmers] == [78_000] * 5
    coach.page.press("base 1")
    coach.type("114")
    coach.touch("Save")
    coach.touch("Base")
    coach.type("120")
    coach.touch("Save")
    assert coach.page.says.endswith("keeps 1:14, the others use the lane's base.")
    assert [swimmer.base.ms for swimmer in lane(coach, 0).swimmers] == [80_000, 74_000, 80_000, 80_000, 80_000]


def test_lanes_are_proposed_shown_and_taken(coach):
    coach = coach()
    coach.touch("Sort into lanes")
    coach.touch("2")
    assert coach.sees("don't fit in")
    assert not [text for text, able, _ in coach.written() if text.startswith("Lane 1:")]
    coach.touch("5")
    assert coach.sees("Lane 5:")
    coach.touch("Cancel")
    assert len(kept(coach).squad.lanes) == 6
    coach.touch("Sort into lanes")
    coach.touch("5")
    coach.touch("Use these lanes")
    assert len(kept(coach).squad.lanes) == 5 and kept(coach).heads == 26


def test_own_factors_are_shown_and_deleted(coach):
    """What an accepted offer wrote: told below the lane's fields, deleted where the lane or swimmer is opened."""
    coach = coach(UPRIGHT)
    coach.touch("1:31")
    coach.page.change(lambda roster: with_factor(roster, 2, None, "kick", Fraction(3, 2)))
    coach.page.change(lambda roster: with_factor(roster, 2, 3, "drill six-kick switch", Fraction(8, 5)))
    coach.page.lay_out()
    coach.frame()
    assert coach.sees("This lane's own factor kick 1.5.")
    assert coach.sees("Bram: own factor drill six-kick switch 1.6.")
    coach.finger(*middle(coach.page.one, "grip 3"))
    coach.touch("drill six-kick switch 1.6")
    assert lane(coach, 2).swimmers[3].factors == {} and lane(coach, 2).factors == {"kick": Fraction(3, 2)}
    assert not coach.sees("drill six-kick switch 1.6")
    coach.touch("Undo")
    assert lane(coach, 2).swimmers[3].factors == {"drill six-kick switch": Fraction(8, 5)}


def test_several_squads(coach):
    coach = coach()
    coach.touch("Squads")
    coach.touch("New")
    assert coach.sees("What is the squad called?"), "it is open at once"
    write(coach, "Early birds")
    coach.touch("Save")
    assert not coach.page.asked and coach.sees("Add a lane") and coach.sees("Early birds")
    coach.touch("Squads")
    assert coach.sees("Early birds: 1 lane, 1 swimmer")
    coach.touch("Rename")
    write(coach, "Larks")
    coach.touch("Save")
    assert coach.sees("Larks")
    coach.touch("Squads")
    coach.touch("Rename")
    write(coach, "Early birds")
    coach.touch("Save")
    coach.touch("Squads")
    coach.touch("Hide")
    assert coach.sees("new-squad: show again")
    coach.touch("new-squad: show again")
    assert kept(coach).squad.name == "Early birds"
    coach.touch("Close")
    coach.touch("Close")
    assert coach.sees("Early birds") and coach.sees("1 here")


@pytest.mark.parametrize("way", ["Without names", "With names"])
def test_names_go_out_only_where_they_are_asked_for(coach, monkeypatch, way):
    monkeypatch.setattr("pacer.face.pages.filechooser.open_facade", lambda name: None)
    coach = coach()
    coach.touch("Squads")
    coach.touch("Export")
    assert coach.sees("personal data")
    coach.touch(way)
    called = "thursday-with-names" if way == "With names" else "thursday"
    written = (coach.home / "out" / f"{called}.toml").read_text()
    assert ("Orla" in written) == (way == "With names") and "1:28.5" in written


def test_a_squad_comes_in_from_a_file(coach, monkeypatch):
    monkeypatch.setattr("pacer.face.pages.filechooser.open_facade", lambda name: None)
    (coach_home := coach().home / "in").mkdir()
    (coach_home / "deep.toml").write_text('name = "Deep end"\n[[lane]]\nbase = "2:00"\n')
    made = coach()
    made.touch("Squads")
    made.touch("Import")
    assert kept(made).squad.name == "Deep end" and made.sees("Deep end")


def test_a_full_disk_is_told_and_the_change_stands(coach, monkeypatch):
    coach = coach()

    def full(*_args, **_kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pacer.squad.register.squadfolder.write_whole", full)
    coach.touch("Mark all absent")
    assert "storage is full" in coach.page.says and coach.page.roster.here(0) == 0


def test_without_a_finger(coach):
    """The keys of a keyboard reach everything, and what they would press is framed."""
    coach = coach()
    seen = set()
    for _ in range(60):
        coach.key(TAB)
        board = coach.page.focused()
        assert board is not None and board.tile(board.focus) is not None
        seen.add((id(board), board.focus))
    assert {"lane 0", "grip 0", "base", "leave", "test", "add lane"} <= {name for _, name in seen}
    while coach.page.focused().focus != "base":
        coach.key(TAB)
    coach.key(RETURN)
    assert coach.page.asked == "pad"
    coach.key(ESCAPE)
    assert not coach.page.asked and coach.sees("Brackenmere Thursday")


def test_names_are_on_no_view_of_the_session(coach):
    """Neither the clock's views nor the page before the start says who swims."""
    coach = coach()
    coach.touch("Close")
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    names = {"Orla", "Tomas", "Ines", "Bram", "Greta", "Anselm", "Pilar", "Wendel"}
    assert not [text for text, _, _ in coach.written() if names & set(text.replace(",", " ").split())]
    coach.touch("Start later")
    coach.hold("begin")
    coach.go(12_000)
    for mode in ("pool", "lane", "dial"):
        coach.shell.show_view(mode)
        coach.frame(20)
        drawn = [
            " ".join(piece.fitted.lines)
            for piece in coach.shell.views[coach.shell.shown].drawn()
            if hasattr(piece, "fitted")
        ]
        assert drawn and not [text for text in drawn if names & set(text.split())]


def test_a_finger_on_what_another_has_taken_away_presses_nothing(coach):
    from kivy.tests.common import UnitTestTouch

    coach = coach(UPRIGHT)
    coach.touch("1:16")
    first = UnitTestTouch(*middle(coach.page.one, "name 0"))
    first.touch_down()
    coach.touch("Close")
    assert coach.page.lane is None
    first.touch_up()
    coach.frame()
    assert not coach.page.asked
    coach.touch("1:16")
    lifted = UnitTestTouch(*middle(coach.page.one, "grip 0"))
    lifted.touch_down()
    lifted.touch_move(*middle(coach.page.one, "grip 2"))
    coach.touch("Close")
    lifted.touch_move(*middle(coach.page.one, "grip 3"))
    lifted.touch_up()
    coach.frame()
    assert coach.page.roster == kept(coach)


def test_a_list_that_cannot_be_read_says_why_and_not_that_it_came(coach, monkeypatch):
    monkeypatch.setattr("pacer.face.pages.filechooser.open_facade", lambda name: None)
    (folder := coach().home / "in").mkdir()
    (folder / "list.csv").write_bytes("name;base\nMira;1:30\n".encode("utf-16"))
    made = coach()
    made.touch("Squads")
    made.touch("Import")
    assert "UTF-16" in made.page.says and "imported" not in made.page.says
