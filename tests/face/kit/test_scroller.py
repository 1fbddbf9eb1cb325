"""The mark at the side of a page that scrolls.

There where there is more, beside what can be touched, and where the page is.
"""

from pacer.face.kit.ink import Box
from tests.face.coach import Coach
from tests.face.officepages import PAGES

MM = 6.0


def test_the_mark_shows_which_part_of_the_page_is_seen(window):
    from pacer.face.kit.scroller import Scroller

    scroller, view = Scroller(lambda: None), Box(100, 50, 400, 300)
    scroller.limit(300, 300)
    assert scroller.mark(view, MM) is None
    scroller.limit(305, 300)
    assert scroller.mark(view, MM) is None, "only a margin"
    scroller.limit(900, 300)
    above = scroller.mark(view, MM)
    scroller.to(300)
    middle = scroller.mark(view, MM)
    scroller.to(600)
    below = scroller.mark(view, MM)
    edge = 0.5 * MM
    assert above.top == view.top - edge and abs(below.y - view.y - edge) < 1e-6
    assert abs(middle.y + middle.height / 2 - (view.y + view.height / 2)) < 1e-6
    for mark in (above, middle, below):
        assert (
            abs(mark.height - (view.height - 2 * edge) / 3) < 1e-6
            and view.right - 1.8 * MM < mark.x < mark.right < view.right
        )
    scroller.limit(100_000, 300)
    assert scroller.mark(view, MM).height >= 8 * MM


def test_pages_that_scroll_have_it_and_it_lies_on_nothing_that_can_be_touched(window, tmp_path):
    coach, seen, wrong = Coach(window, tmp_path, (1024, 600), 117.5), set(), []
    try:
        for name, arrive in PAGES.items():
            arrive(coach)
            coach.frame()
            page = getattr(coach.page, "card", None) or coach.page
            for board in (each for each in page.boards if each.parent is not None):
                mark = board.scroller.mark(Box(board.x, board.y, board.width, board.height), board.glass.px_per_mm)
                if mark is None:
                    continue
                seen.add(name)
                wrong += [
                    (name, tile, box.right, mark.x)
                    for tile, box in board.placed()
                    if tile and box.right > mark.x and box.width < board.width
                ]
    finally:
        coach.leave()
    assert not wrong, wrong
    assert {"settings", "card"} <= seen
