"""Letters on the glass where no keyboard comes.

Every character one touch away within its set, targets large enough, nothing typed but by touch.
"""

import pytest
from kivy.tests.common import UnitTestTouch

from pacer.face.tiles.letters import SETS, Letters
from pacer.show.measure.keyrows import TARGET_MM
from tests.face.coach import Coach

SIZES = {(1280, 800): 149.5, (800, 1280): 149.5, (1024, 600): 117.5}
ALL = pytest.mark.parametrize("size", SIZES)


class Paper:
    """Something that is written on."""

    def __init__(self):
        self.text = ""

    def write(self, text):
        self.text += text

    def rub(self):
        self.text = self.text[:-1]

    def enter(self):
        self.text += "\n"


@pytest.fixture
def coach(window, tmp_path):
    made = []

    def make(size=(1280, 800)):
        made.append(Coach(window, tmp_path, size, SIZES[size]))
        return made[-1]

    yield make
    for each in reversed(made):
        each.leave()


def tapped(coach, *names):
    """The keys of these names, touched one after another."""
    for name in names:
        page = getattr(coach.page, "card", None) or coach.page
        board = next(board for board in (*page.boards, *([page.foot] if page.foot else [])) if board.tile(name))
        box = board.box_of(board.tile(name))
        coach.finger(box.x + box.width / 2, box.y + box.height / 2)


def test_every_set_has_as_many_keys_and_together_they_hold_what_a_plan_is_written_with():
    assert len({len(keys) for keys in SETS.values()}) == 1 and all(
        len(set(keys)) == len(keys) for keys in SETS.values()
    )
    assert set("abcdefghijklmnopqrstuvwxyz0123456789.,:-/+()\"'#") <= set("".join(SETS.values()))


def test_what_is_pressed_is_written_and_a_capital_is_followed_by_small_letters():
    paper, letters = Paper(), Letters("capitals", enters=True)
    for name in (
        "letter K",
        "letter i",
        "letter t",
        "letter space",
        "letters marks",
        "letter 4",
        "letter :",
        "letter rub",
        "letter enter",
    ):
        assert letters.press(name, paper)
    assert paper.text == "Kit 4\n" and letters.shown == "marks" and not letters.press("take", paper)


@pytest.mark.parametrize("width", [484, 764, 996, 1244, 3000])
def test_no_key_moves_when_another_set_is_shown(width):
    from pacer.face.tiles.column import Column

    places = set()
    for shown in SETS:
        column = Column(width, 20, 5, 14, 69)
        Letters(shown, enters=True).put(column)
        tiles = [tile for tile in column.tiles if tile.name]
        places.add(tuple((tile.x, tile.top, tile.width) for tile in tiles))
        assert (
            len(tiles) == 27 + 5
            and min(tile.width for tile in tiles) >= 69
            and max(tile.x + tile.width for tile in tiles) <= width + 1
        )
    assert len(places) == 1


@ALL
def test_letters_are_in_the_order_of_a_keyboard_where_ten_fit_side_by_side(coach, size):
    coach = coach(size)
    coach.touch("New")
    coach.page.bar.press("letters")
    coach.frame()
    rows = {}
    for tile in coach.page.foot.tiles:
        if tile.name.startswith("letter ") and len(tile.name) == len("letter q"):
            rows.setdefault(round(tile.top), []).append(tile.name[-1])
    rows = ["".join(row) for row in rows.values()]
    assert rows == ["1234567890:/", "qwertyuiop", "asdfghjkl'", "zxcvbnm"], "digits above them, without another page"


@ALL
def test_a_name_is_typed_by_touch_alone_and_it_is_said_that_it_stays_in_the_squad(coach, size):
    coach = coach(size)
    coach.office.squad()
    coach.frame()
    for name in ("lane 2", "name 0"):
        coach.page.press(name)
    coach.frame()
    assert coach.sees("Lane screens and pool views never show names. Test swims and the register do.")
    board, page = coach.page.sheet, coach.page
    boxes = [board.box_of(tile) for tile in board.tiles if tile.name.startswith("letter")]
    assert (
        len(boxes) == 31
        and min(min(box.width, box.height) for box in boxes) >= TARGET_MM * page.glass.hands * page.glass.px_per_mm - 1
    )
    assert all(box.y >= page.bar.top - 1 and box.top <= page.field.y + 1 for box in boxes), (
        "below the line, above the bar, without scrolling"
    )
    tapped(coach, "letter Z", "letter o", "letter w", "letter rub", "letter e")
    coach.touch("Save")
    assert coach.page.roster.squad.lanes[2].swimmers[0].name == "Zoe"


@ALL
def test_a_plan_is_renamed_by_touch_alone(coach, size):
    coach = coach(size)
    coach.touch("Long-axis rotation 1")
    coach.touch("Rename")
    tapped(coach, "letter R", "letter o", "letter l", "letter l", "letter space", "letters marks", "letter 2")
    coach.touch("Rename")
    assert coach.page.card.card.title == "Roll 2"


def test_where_a_soft_keyboard_comes_there_are_no_letters_of_ours_and_where_it_fails_there_are(coach, monkeypatch):
    """On Android with a keyboard that was lost none comes.

    After a second the letters are there; with a keyboard they go again.
    """
    monkeypatch.setattr("pacer.face.tiles.page.platform", "android")
    coach = coach()
    coach.office.squad()
    coach.frame()
    coach.page.press("group")
    coach.frame()
    page = coach.page
    assert page.sheet.tile("letter A") is None
    page.keyboard_moved(coach.window, 300)
    page.no_keyboard_came()
    assert page.covered == 300 and page.sheet.tile("letter A") is None
    page.keyboard_moved(coach.window, 0)
    page.no_keyboard_came()
    assert page.sheet.tile("letter A") is not None
    page.keyboard_moved(coach.window, 300)
    assert page.sheet.tile("letter A") is None


@ALL
def test_a_plan_is_written_and_run_by_touch_alone(coach, size):
    """Where no keyboard comes, letters make room along the foot.

    The line that is written is seen above them, and Hide keyboard puts them away.
    """
    coach = coach(size)
    coach.touch("New")
    page = coach.page
    coach.touch("Keyboard")
    assert page.foot is not None and page.bar.y >= page.foot.top - 1 and not page.letters_key()
    tapped(
        coach,
        "letters marks",
        "letter 4",
        "letter space",
        "letters small",
        "letter x",
        "letter space",
        "letters marks",
        "letter 5",
        "letter 0",
    )
    tapped(coach, "letter enter", "letter 1", "letter 0", "letter 9", "letter rub", "letter 0")
    assert page.draft.text.endswith("\n\n4 x 50\n100"), f"written over the sample: {page.draft.text}"
    caret = page.pane.caret()
    assert page.pane.y <= caret.y and caret.top <= page.pane.top and page.pane.y >= page.bar.top - 1
    coach.turn((size[1], size[0]))
    assert page.foot.width == size[1] and page.bar.y >= page.foot.top - 1
    coach.touch("Hide keyboard")
    assert page.foot is None and page.covered == 0 and not page.writing
    coach.touch("Get ready")
    assert coach.sees("26 swimmers"), coach.page


def test_a_line_now_and_a_search_are_typed_by_touch_alone(coach):
    coach = coach()
    coach.touch("Search")
    coach.touch("Keyboard")
    tapped(coach, "letter m", "letter a", "letter s", "letter t")
    assert coach.page.words == "mast" and coach.page.foot is not None
    coach.touch("Show results")
    assert coach.page.foot is None
    coach.touch("Close")
    coach.touch("Quick set")
    coach.touch("Type it")
    coach.touch("Keyboard")
    coach.page.pane.choose_all()
    tapped(coach, "letters marks", "letter 2", "letter 0", "letter 0")
    assert coach.page.text == "200"
    coach.hold("Start")
    assert coach.shell is not None


@ALL
def test_what_is_pinned_while_a_plan_is_written_stands_at_its_place_on_every_page_of_keys(coach, size):
    """Run as well, so that no word is ever where Run was.

    Letters stand there too, or first of the keys where there is but one row, also when a keyboard has typed.
    """
    coach = coach(size)
    coach.touch("New")
    page = coach.page
    places, pinned = [], [key.label for key in page.pinned()]
    assert pinned[:3] == ["Close", "Get ready", "Undo"]
    for typed in ("", "4"):
        for char in typed:
            coach.window.dispatch("on_textinput", char)
        assert "Keyboard" in (*pinned, page.keys()[0].label)
        page.bar_page = 0
        page.show_bar()
        for _ in page.bar_pages:
            places.append(
                {
                    tile.texts[0].ways[0]: (tile.x, tile.top, tile.width, tile.height)
                    for tile in page.bar.tiles
                    if tile.texts[0].ways[0] in pinned
                }
            )
            page.bar.press("more")
    assert len(places[0]) == len(pinned) and len(places) > 4 and all(each == places[0] for each in places), places
    others = [
        tile
        for _ in page.bar_pages
        if page.bar.press("more") is None
        for tile in page.bar.tiles
        if tile.name not in [key.name for key in page.pinned()]
    ]
    for x, top, wide, high in places[0].values():
        assert not [
            tile.name
            for tile in others
            if tile.x < x + wide - 1
            and x < tile.x + tile.width - 1
            and tile.top < top + high - 1
            and top < tile.bottom - 1
        ]
    page.bar.press("letters")
    page.bar_page = 0
    page.show_bar()
    assert {"Close", "Get ready", "Undo"} <= {tile.texts[0].ways[0] for tile in page.bar.tiles}


def test_a_word_key_is_undone_by_itself(coach):
    coach = coach()
    coach.touch("New")
    page = coach.page
    for char in "100 free on 2:30":
        coach.window.dispatch("on_textinput", char)
    line = page.draft.cursor.line
    coach.page.press("put fly")
    assert page.draft.lines[line].strip() == "100 free on 2:30 fly"
    coach.touch("Undo")
    assert page.draft.lines[line].strip() == "100 free on 2:30"


def test_erase_erases_on_while_a_finger_stays_on_it(coach, monkeypatch):
    """Once when it is tapped; again and again when it is kept pressed, and not once more when it is let go."""
    for name in ("REPEATS_AFTER_S", "REPEATS_S"):
        monkeypatch.setattr(f"pacer.face.tiles.board.{name}", 1e6)
    coach = coach()
    coach.touch("New")
    coach.touch("Keyboard")
    page = coach.page
    page.pane.write("100 breast")
    touch = UnitTestTouch(*coach.place("Erase"))
    touch.touch_down()
    for _ in range(4):
        page.foot.repeat(0)
    touch.touch_up()
    page.foot.repeat(0)
    assert page.draft.text.endswith("\n100 br")
    coach.touch("Erase")
    assert page.draft.text.endswith("\n100 b")
