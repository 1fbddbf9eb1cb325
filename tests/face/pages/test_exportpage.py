"""Export and import on the tablet: what leaves is said, names only if asked for, and what came in is said."""

import io
import zipfile
from dataclasses import replace
from datetime import date

import pytest

from pacer.face.pages import filechooser
from pacer.session.timezone import date_said
from pacer.squad.register.roster import Roster
from tests.face.coach import Coach
from tests.face.officepages import log


@pytest.fixture
def coach(window, tmp_path, monkeypatch):
    monkeypatch.setattr(filechooser, "open_facade", lambda name: None)  # a tablet without a chooser
    made = Coach(window, tmp_path)
    yield made
    made.leave()


def done(coach):
    for _ in range(400):
        coach.frame(10)
        if not coach.page.busy and coach.page.said:
            return
    raise AssertionError("nothing came of it")


def out_of(coach):
    (path,) = (coach.office.folder / "out").glob("*.zip")
    return path, zipfile.ZipFile(io.BytesIO(path.read_bytes()))


def test_names_leave_only_if_asked_for(coach):
    coach.touch("Settings")
    coach.touch("Export, import")
    assert coach.sees("One file: 4 plans, 2 squads.") and coach.sees(
        "Swimmers' names, notes, and comments in plans are not in the file."
    )
    for names in (False, True):
        coach.touch("Export")
        done(coach)
        assert coach.sees("Saved as ")
        path, packed = out_of(coach)
        texts = b"".join(packed.read(name) for name in packed.namelist() if name.startswith("squads/"))
        assert (b'name = "Orla' in texts or b'name = "Wren' in texts or texts.count(b"name = ") > 4) is names
        assert ("with-names" in path.name) is names, "the one does not take the other's place"
        path.unlink()
        coach.touch("Names: left out" if not names else "Names: included")
    coach.touch("Export calendar")
    done(coach)
    assert [path.suffix for path in (coach.office.folder / "out").iterdir()] == [".ics"]


def test_what_another_tablet_exported_comes_in(coach, window, tmp_path):
    log(coach)
    coach.office.shelf.put_away("long-axis-rotation-1")
    coach.office.move()
    coach.frame()
    coach.touch("Export")
    done(coach)
    path, _ = out_of(coach)
    (coach.office.folder / "in").mkdir(exist_ok=True)
    (coach.office.folder / "in" / "theirs.zip").write_bytes(path.read_bytes())
    coach.touch("Import")
    done(coach)
    assert coach.sees("Sessions: 1 already here.") and coach.sees("Everything in it was here already.")
    assert "long-axis-rotation-1" not in [card.name for card in coach.office.shelf.cards()]
    (coach.office.folder / "in" / "theirs.zip").write_bytes(b"a holiday picture")
    before = len(coach.office.store.sessions())
    coach.touch("Import")
    done(coach)
    assert coach.sees("Nothing was imported.") and len(coach.office.store.sessions()) == before
    coach.touch("Close")
    assert coach.sees("Volume")


def test_a_squad_that_came_in_is_there_at_once(coach):
    from pacer.review.exports.archivezip import archive_bytes

    coach.office.move()
    coach.frame()
    squad = b'name = "The other club"\n[[lane]]\nbase = "1:30"\n'
    coach.page.take(archive_bytes({"squads/other.toml": squad}), "theirs.zip")
    done(coach)
    assert coach.sees("Squads: The other club.")
    assert "The other club" in [card.title for card in coach.office.squads.cards()]


def test_two_versions_of_a_plan_are_told_apart_on_the_shelf(coach):
    from pacer.review.exports.archivezip import archive_bytes

    text = coach.office.shelf.text("long-axis-rotation-3") + "  100 easy\n"
    coach.office.move()
    coach.frame()
    coach.page.take(archive_bytes({"plans/long-axis-rotation-3.txt": text.encode()}), "theirs.zip")
    done(coach)
    (other,) = {card.name for card in coach.office.shelf.cards()} - {f"long-axis-rotation-{n}" for n in range(1, 5)}
    day = date_said(date.fromisoformat(coach.office.clocks.day())).rpartition(" ")[0]
    from_other = f"from the other tablet, {day}"
    assert coach.sees(f"Two versions of Long-axis rotation 3: yours is unchanged, the other one says “{from_other}”.")
    coach.office.home()
    coach.frame(20)
    ways = {way for tile in coach.page.board.tiles for text in tile.texts for way in text.ways}
    assert {from_other, "from this tablet", "Long-axis rotation 2"} <= ways and not any(other in way for way in ways)


def test_two_versions_of_a_squad_are_told_apart_in_the_list(coach):
    from pacer.review.exports.archivezip import archive_bytes

    squads = coach.office.squads
    squad = squads.roster("").squad
    squads.keep("thursday", Roster(replace(squad, lanes=squad.lanes[:-1])), "")
    theirs = squads.folder / "squads" / "thursday.toml"
    other = theirs.read_text().replace("base = ", "rounds = 3\nbase = ", 1)
    coach.office.move()
    coach.frame()
    coach.page.take(archive_bytes({"squads/thursday.toml": other.encode()}), "theirs.zip")
    done(coach)
    assert "Squad in use: still Brackenmere Thursday." in " ".join(coach.page.said)
    coach.office.squad()
    coach.frame()
    coach.touch("Squads")
    assert coach.sees("Brackenmere Thursday, from this tablet") and coach.sees("from the other tablet, ")


def test_an_untouched_example_squad_gives_way_to_the_one_that_came(coach):
    from pacer.review.exports.archivezip import archive_bytes

    coach.office.move()
    coach.frame()
    squad = b'name = "The other club"\n[[lane]]\nbase = "1:30"\n'
    coach.page.take(archive_bytes({"squads/other.toml": squad}), "theirs.zip")
    done(coach)
    assert coach.page.said[-1] == "Squad in use now: The other club, instead of the demo squad Brackenmere Thursday."
    assert coach.office.squads.current == "other"
    more = b'name = "A third club"\n[[lane]]\nbase = "1:40"\n'
    coach.page.take(archive_bytes({"squads/third.toml": more}), "theirs.zip")
    done(coach)
    assert coach.page.said[-1].startswith("Squad in use: still The other club.")
    assert coach.office.squads.current == "other"


def test_an_export_is_named_after_what_it_holds_and_replaces_none(coach):
    coach.office.move()
    coach.frame()
    for names in (False, True, True):
        coach.page.names = names
        coach.page.press("export")
        done(coach)
        coach.page.said = ()
    day = coach.office.clocks.day()
    assert sorted(path.name for path in (coach.office.folder / "out").iterdir()) == [
        f"pacer-{day}-with-names-2.zip",
        f"pacer-{day}-with-names.zip",
        f"pacer-{day}.zip",
    ]


def test_an_import_that_deletes_a_session_is_asked_about(coach, tmp_path):
    from pacer.session.storage.deleting import delete
    from pacer.session.storage.hiding import hide
    from pacer.session.storage.sessionimport import take_in
    from pacer.session.storage.sessionmerge import rows_of
    from pacer.session.storage.store import Store
    from pacer.show.after.tabletexports import archive

    log(coach)
    (mine,) = coach.office.store.sessions()
    other = Store(tmp_path / "other")
    other.open()
    take_in(other, [rows_of(coach.office.store.session(mine.number))])
    hide(other, 1)
    delete(other, 1)
    coach.office.move()
    coach.frame()
    for answer, left in (("Don't import", 1), ("Import and delete", 0)):
        coach.page.take(archive(other, True), "theirs.zip")
        done(coach)
        assert coach.sees("On the other tablet these were deleted for good") and len(coach.office.store.sessions()) == 1
        coach.touch(answer)
        done(coach)
        assert len(coach.office.store.sessions()) == left
    assert coach.sees("Deleted, as on the other tablet")
