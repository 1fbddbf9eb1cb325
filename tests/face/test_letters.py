"""Letters on the glass where no keyboard comes: every character one touch away within its set, targets large enough, nothing typed but by touch."""

import pytest

from pacer.face.bar import TARGET_MM
from pacer.face.letters import SETS, Letters
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
    assert len({len(keys) for keys in SETS.values()}) == 1 and all(len(set(keys)) == len(keys) for keys in SETS.values())
    assert set("abcdefghijklmnopqrstuvwxyz0123456789.,:-/+()\"'#") <= set("".join(SETS.values()))


def test_what_is_pressed_is_written_and_a_capital_is_followed_by_small_letters():
    paper, letters = Paper(), Letters("capitals", enters=True)
    for name in ("letter K", "letter i", "letter t", "letter space", "letters marks", "letter 4", "letter :", "letter rub", "letter enter"):
        assert letters.press(name, paper)
    assert paper.text == "Kit 4\n" and letters.shown == "marks" and not letters.press("take", paper)


@pytest.mark.parametrize("width", [484, 764, 996, 1244, 3000])
def test_no_key_moves_when_another_set_is_shown(width):
    from pacer.face.column import Column

    places = set()
    for shown in SETS:
        column = Column(width, 20, 5, 14, 69)
        Letters(shown, enters=True).put(column)
        tiles = [tile for tile in column.tiles if tile.name]
        places.add(tuple((tile.x, tile.top, tile.width) for tile in tiles))
        assert len(tiles) == 26 + 5 and min(tile.width for tile in tiles) >= 69 and max(tile.x + tile.width for tile in tiles) <= width + 1
    assert len(places) == 1


@ALL
def test_a_name_is_typed_by_touch_alone_and_it_is_said_that_it_stays_in_the_squad(coach, size):
    coach = coach(size)
    coach.desk.squad()
    coach.frame()
    for name in ("lane 2", "name 0"):
        coach.page.press(name)
    coach.frame()
    assert coach.sees("Names stay in the squad: none stands on the glass at the pool.")
    board, page = coach.page.sheet, coach.page
    boxes = [board.box_of(tile) for tile in board.tiles if tile.name.startswith("letter")]
    assert len(boxes) == 30 and min(min(box.width, box.height) for box in boxes) >= TARGET_MM * page.glass.px_per_mm - 1
    assert all(box.y >= page.bar.top - 1 and box.top <= page.field.y + 1 for box in boxes), "below the line, above the bar, without scrolling"
    tapped(coach, "letter Z", "letter o", "letter w", "letter rub", "letter e")
    coach.touch("Take it")
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
    """On Android with a keyboard that was lost none comes: after a second the letters are there; with a keyboard they go again."""
    monkeypatch.setattr("pacer.face.page.platform", "android")
    coach = coach()
    coach.desk.squad()
    coach.frame()
    coach.page.press("group")
    coach.frame()
    page = coach.page
    assert page.sheet.tile("letter A") is None
    page._keyboard_moved(coach.window, 300)
    page._none_came()
    assert page.covered == 300 and page.sheet.tile("letter A") is None
    page._keyboard_moved(coach.window, 0)
    page._none_came()
    assert page.sheet.tile("letter A") is not None
    page._keyboard_moved(coach.window, 300)
    assert page.sheet.tile("letter A") is None
