"""A plan that is renamed stays where it was in its series, whatever its sessions were called when they were swum."""

from dataclasses import replace
from datetime import date

import pytest

from pacer.plan.library.newplan import header_of
from pacer.plan.library.shelf import Shelf
from pacer.review.season.ledger import Ledger
from pacer.review.series.due import Gaps
from pacer.shippedfiles import DRILLS, PLANS
from pacer.show.after.seriesview import SeriesView
from pacer.squad.files.drillreader import drills_from_bytes
from tests.face.review.seriesscene import thursday
from tests.review.season.stored import stored

BOOK = drills_from_bytes(DRILLS.read_bytes())
TODAY = date(2026, 3, 24)


@pytest.fixture
def tablet(tmp_path):
    """Three sessions, with their plans as the shelf has them."""
    sessions = []
    for number in (1, 2, 3):
        kept, text = thursday(number), (PLANS / f"long-axis-rotation-{number}.txt").read_text(encoding="utf-8")
        sessions.append((replace(kept, session=replace(kept.session, plan=text)), 3 + 7 * (number - 1)))
    return stored(tmp_path, sessions), Shelf(tmp_path, sorted(PLANS.glob("*.txt")))


def view_of(store, shelf):
    view = SeriesView(Ledger(store), shelf.cards(), BOOK, Gaps(), (), shelf.cards(away=True))
    view.read_on()
    return view


def test_a_renamed_plan_keeps_its_sessions_and_its_place(tablet):
    store, shelf = tablet
    (before,) = view_of(store, shelf).series
    shelf.rename("long-axis-rotation-2", "Roll and kick")
    view = view_of(store, shelf)
    (series,) = view.series
    titles = [page.title for page in before.pages]
    titles[1] = "Roll and kick"
    assert [page.title for page in series.pages] == titles
    visited = view.visited(series)
    assert [one.title for one in visited.sessions] == titles[:3] and [page.title for page in visited.coming] == titles[
        3:
    ]
    assert view.last_of_plan("Roll and kick") == 2 and view.following("Roll and kick").name == "long-axis-rotation-3"


@pytest.mark.parametrize("away", [False, True])
def test_the_next_page_revisits_the_plan_by_the_title_that_it_has_now(tablet, away):
    store, shelf = tablet
    card = shelf.rename("long-axis-rotation-3", "Roll, 3rd")
    if away:
        shelf.put_away(card.name)
    view = view_of(store, shelf)
    assert len(view.series) == 1 and view.title_of(3, "Long-axis rotation 3") == "Roll, 3rd"
    page = view.next_page(3, TODAY)
    assert header_of(page.text())["revisits"] == "Roll, 3rd"
    assert header_of(page.text())["title"] == "Roll, 3rd 2"
    assert view.following("Roll, 3rd").name == "long-axis-rotation-4"


def test_links_by_an_old_title_hold_where_a_file_was_renamed_by_hand(tablet):
    """Only the title line of the plan was changed, outside of the app: its sets are those that were swum."""
    store, shelf = tablet
    path = shelf.folder / "plans" / "long-axis-rotation-3.txt"
    path.write_text(path.read_text().replace("title: Long-axis rotation 3", "title: Roll, long"))
    view = view_of(store, shelf)
    (series,) = view.series
    assert [page.title for page in series.pages][2:] == ["Roll, long", "Long-axis rotation 4"]
    assert view.following("Roll, long").name == "long-axis-rotation-4"


def test_a_session_stays_with_the_plan_that_has_its_title(tablet):
    store, shelf = tablet
    shelf.rename("long-axis-rotation-3", "Roll, long")
    shelf.add("title: Long-axis rotation 3\npool: 25 m\nrevisits: Long-axis rotation 2\n\nMain set\n  400\n")
    view = view_of(store, shelf)
    assert view.title_of(3, "Long-axis rotation 3") == "Long-axis rotation 3"
