"""One rule for the way out (`pacer.show.wording.commonkeys`).

One word in one corner, and questions answered by what they do.
"""

import pytest

from pacer.show.wording.commonkeys import CANCEL, CLOSE
from tests.face.coach import Coach, in_front
from tests.face.officepages import PAGES

#: What is no place to leave by Close: home, what is asked, and a swim that is under way.
HOME = {"home", "left running"}
ASKING = {
    "closing",
    "base",
    "wrong base",
    "rounds",
    "group",
    "first base",
    "named",
    "typed tests",
    "a typed time",
    "a doubtful test",
    "proposal",
    "no proposal",
    "names go out",
    "own pool",
    "renamed",
    "a count",
    "another pool",
    "rewritten",
    "break off",
    "another copy",
    "a drill's field",
    "enter a time",
    "a column",
    "placed times",
}
SWIMMING = {"waiting", "leaving", "one in", "all in"}
OLD = {"Done", "Return", "Leave it", "Back", "OK", "Exit", "All lanes", "All sessions", "Close list"}


@pytest.fixture(params=[(1024, 600), (800, 1280)], ids=["across", "upright"])
def coach(window, tmp_path, request):
    made = Coach(window, tmp_path, request.param)
    yield made
    made.leave()


def labels(page):
    return [key.label for key in (*page.pinned(), *page.keys())]


def test_what_is_shown_is_left_by_one_word_in_one_corner(coach):
    corners, wrong = set(), []
    for name, arrive in PAGES.items():
        arrive(coach)
        coach.frame()
        page = in_front(coach)
        page.hush()  # what is told stands in the place of the keys
        shown = labels(page)
        wrong += [(name, label) for label in shown if label in OLD]
        if name in HOME | ASKING | SWIMMING:
            wrong += [(name, "has a Close")] * (CLOSE in shown)
        elif shown.count(CLOSE) != 1:
            wrong.append((name, shown))
        else:
            tile = next(tile for tile in page.bar.tiles if any(CLOSE in text.ways for text in tile.texts))
            box = page.bar.box_of(tile)
            corners.add((round(box.x - page.gap), round(box.y - page.covered - page.gap)))  # above letters at the foot
    assert not wrong, "\n".join(map(str, wrong))
    assert all(max(map(abs, corner)) <= 1 for corner in corners), ("the lower left corner", corners)


def test_nothing_is_changed_by_a_finger_that_seeks_close(coach):
    """The lower left corner never has a page's main key, nor one that makes a plan: fingers go there to leave."""
    wrong = []
    for name in sorted(PAGES):
        PAGES[name](coach)
        coach.frame()
        page = in_front(coach)
        page.hush()
        first = min((tile for tile in page.bar.tiles if tile.name), key=lambda tile: (tile.x, -tile.top), default=None)
        at_the_foot = page.bar.y - page.covered <= 1
        if name != "all in" and first is not None and at_the_foot and (first.look == "main" or first.name == "new"):
            wrong.append((name, first.texts[0].ways))  # when all are in, times are all there is to save
    assert not wrong


@pytest.mark.parametrize(
    "name", ["base", "group", "proposal", "typed tests", "renamed", "another pool", "rewritten", "own pool"]
)
def test_what_changes_nothing_says_so_and_does_not(coach, name):
    PAGES[name](coach)
    coach.frame()
    before = (
        coach.page.squads.roster(coach.page.day)
        if hasattr(coach.page, "squads")
        else (coach.kept, [card.text for card in coach.office.shelf.cards()])
    )
    coach.touch(CANCEL)
    after = (
        coach.page.squads.roster(coach.page.day)
        if hasattr(coach.page, "squads")
        else (coach.kept, [card.text for card in coach.office.shelf.cards()])
    )
    assert before == after and CANCEL not in labels(in_front(coach))


#: What is asked by many keys, or changes while it is answered: its answers stay at the foot.
FILLING = {"proposal", "no proposal", "typed tests", "a column"}


def test_the_keys_that_answer_are_below_what_is_asked(coach):
    wrong = []
    for name in sorted(ASKING - FILLING):
        PAGES[name](coach)
        coach.frame()
        page = in_front(coach)
        lowest = min(board.box_of(tile).y for board in page.boards for tile in board.tiles if tile.texts)
        scrolls = any(board.foot for board in page.boards)  # a long title of a plan that others have begun meanwhile
        if not scrolls and not 0 <= lowest - page.bar.top <= 3 * page.gap:
            wrong.append((name, lowest, page.bar.top))
    assert not wrong
