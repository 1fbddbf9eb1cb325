"""The finish runs over the booking: the leaf has both ways back, each one press that says first what it does."""

import threading

import pytest

from pacer.session.journal.entries import CountChanged, IntervalChanged
from pacer.session.records.touches import swim, touched
from tests.face.deck.sheet import GLASSES, fits, kinds, on_sheet
from tests.session.pages import session
from tests.show.drive.test_overrunnews import PLAN, SQUAD


def runs_over(deck):
    """Three repeats, every time 10 % slower: 3 s over the booking."""
    driver = deck.shell.driver
    for index in range(3):
        for swimmer in (0, 1):
            found = swim(driver.run.timeline.tracks[0], 0, index, swimmer)
            deck.skip_to(found.left_ms + round(found.predicted_ms * 1.1))
            driver.append(touched(found, driver.at_ms()))
    while driver.remedies() is None:
        for thread in threading.enumerate():
            if thread.name == "overrun":
                thread.join(10)
    return driver


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize(("place", "kind"), [(0, IntervalChanged), (1, CountChanged)])
def test_each_remedy_is_one_press_with_its_preview(deck, size, dpi, place, kind):
    deck = deck(size, dpi, made=session(PLAN, SQUAD))
    deck.begin()
    driver = runs_over(deck)
    deck.press("change", 60)
    on_sheet(deck, "out")
    written = [text.ways[0] for board in deck.shell.sheet.boards for each in board.tiles for text in each.texts]
    assert "Lane 4: rest cut by 0:05" in written and "Lane 4: one repeat fewer" in written
    fits(deck, dpi)
    before, end_ms = len(kinds(deck)), driver.run.timeline.end_ms
    on_sheet(deck, f"remedy {place}", 100)
    assert len(kinds(deck)) == before, "a tap only says what it would do"
    said = on_sheet(deck, f"remedy {place}", 500)
    assert "lane 4" in said.lower() and ("leaves" in said or "less" in said), said
    assert kinds(deck)[-1] is kind and driver.run.timeline.end_ms < end_ms and driver.remedies() == ()
    on_sheet(deck, "close")
    on_sheet(deck, "take back", 500)
    assert driver.run.timeline.end_ms == end_ms, "undone"


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_where_no_count_can_be_chosen_the_key_looks_so_and_what_can_go_is_beside_it(deck, size, dpi):
    deck = deck(size, dpi, made=session(PLAN.replace("booking:", "# booking:"), SQUAD))
    deck.begin(20_000)
    deck.press("change", 60)
    on_sheet(deck, "out")
    on_sheet(deck, "step -1")
    deck.frame(1_000)
    tiles = {each.name: each for each in deck.shell.sheet.body.tiles}
    assert not tiles["do"].able and tiles["do"].look == "key"
    fits(deck, dpi)
    end_ms = deck.driver.run.timeline.end_ms
    on_sheet(deck, "fewer", 700)
    assert deck.driver.run.timeline.end_ms < end_ms and kinds(deck)[-1] is CountChanged
    on_sheet(deck, "step -1")
    on_sheet(deck, "step -1")
    deck.frame(1_000)
    on_sheet(deck, "line out")
    assert type(deck.shell.deck.deck.leaf).__name__ == "LineOutLeaf"
