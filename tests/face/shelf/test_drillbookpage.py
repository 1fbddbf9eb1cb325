"""The drill book changed on the tablet: a field, a new drill, a deleted one, and each of it undone."""

import pytest

from pacer.squad.register.drillfile import NAME
from tests.face.coach import Coach


@pytest.fixture
def coach(window, tmp_path):
    made = Coach(window, tmp_path)
    made.touch("Drills")
    yield made
    made.leave()


def write(coach, text):
    coach.page.field.draft.choose_all()
    coach.page.field.write(text)
    coach.touch("Save")


def test_a_book_of_ones_own_begins_with_the_first_change(coach):
    path, count = coach.office.folder / NAME, len(coach.office.drills.book)
    assert coach.sees("These are sample drills.") and not path.exists()
    name, purpose = coach.page.board.tile("drill 1").texts  # the purpose below
    assert sorted((name, purpose), key=lambda text: text.box[1])[0].ways == ("six-kick switch",)
    coach.touch("six-kick switch")
    coach.touch("How")
    write(coach, "Six kicks, then over.")
    assert coach.sees("Six kicks, then over.") and "Six kicks, then over." in path.read_text()
    assert path.read_text().startswith("# Brackenmere club")  # its comments too
    coach.touch("Undo")
    assert not path.exists() and coach.office.drills.book.drill("six-kick switch").how.startswith(
        "Six kicks on one side"
    )
    coach.page.hush()
    coach.touch("Close")
    coach.touch("Add drill")
    write(coach, "Six kick  switch")
    assert coach.sees("is in the book already")
    coach.page.hush()
    write(coach, "long dog")
    write(coach, "Reach long under water, one arm at a time.")
    assert coach.sees("Reach long under water") and len(coach.office.drills.book) == count + 1
    coach.touch("Other names")
    write(coach, "doggy; long doggy paddle")
    assert coach.office.drills.book.name_of("Long-doggy paddle") == "long dog"
    coach.touch("Easier drill")
    write(coach, "nothing of the kind")
    assert coach.sees("No drill in this book is called")
    coach.page.hush()
    coach.touch("Cancel")
    coach.touch("Delete drill")
    assert len(coach.office.drills.book) == count and coach.sees("Long dog deleted.")
    coach.page.hush()
    coach.touch("Undo")
    assert len(coach.office.drills.book) == count + 1


def test_a_drill_that_others_lead_to_keeps_its_old_name(coach):
    coach.touch("six-kick switch")
    coach.touch("Name")
    write(coach, "six and over")
    book = coach.office.drills.book
    assert (
        book.drill("six-kick switch").name == "six and over" and book.drill("kick on side").harder == "six-kick switch"
    )


def test_the_shelf_is_searched_by_other_names(coach):
    coach.touch("Close")
    coach.touch("Search")
    coach.page.search.write("6-kick")
    coach.frame()
    assert [card.name for card in coach.page.shown()]


def test_the_book_of_another_tablet_is_beside_ours(coach):
    folder, count = coach.office.folder, len(coach.office.drills.book)
    other = coach.office.drills.text.replace("Six kicks on one side", "Eight kicks on one side", 1)
    (folder / "drills-12345678.toml").write_text(
        other + '\n[[drill]]\nname = "zipper"\nhow = "Thumb up the side."\neasier = "hand drag"\n'
        '\n[[drill]]\nname = "hand drag"\nhow = "Fingertips on the water."\n'
    )
    coach.page.lay_out()
    assert coach.sees("The import brought another drill book: 2 drills you don't have, 1 drill that differs.")
    coach.touch("Open the other book")
    assert coach.sees("not in yours") and coach.sees("How: Eight kicks") and coach.sees("Yours: Six kicks")
    coach.touch("Add missing drills")
    book = coach.office.drills.book
    assert len(book) == count + 2 and book.drill("zipper").easier == "hand drag"
    assert coach.sees("Added to your book: zipper, hand drag.")
    coach.page.hush()
    coach.touch("six-kick switch")
    assert coach.office.drills.book.drill("six-kick switch").how.startswith("Eight kicks")
    coach.page.hush()
    assert coach.sees("All of its drills are in your book.")
    coach.touch("Hide this book")
    assert not (folder / "drills-12345678.toml").exists() and coach.sees("Drill book")
    coach.page.hush()
    for _ in range(3):
        coach.touch("Undo")
        coach.page.hush()
    assert not (folder / "drills.toml").exists() and (folder / "drills-12345678.toml").exists()
    assert len(coach.office.drills.book) == count
