"""A copy of all data on the device."""

import sqlite3
import zipfile

import pytest

from pacer.session.journal.entries import Begun, Paused
from pacer.session.storage.devicecopy import CopyTrouble, copy_all
from pacer.session.storage.startandresume import open_new
from pacer.session.storage.store import Store
from pacer.session.timesource import Now
from tests.face.sessions import timeline


def unpacked(path, to):
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        archive.extractall(to)
    return to / "pacer"


@pytest.fixture
def home(tmp_path):
    folder = tmp_path / "home"
    for name, text in {
        "plans/a.txt": "100",
        "squads/s.toml": '[[lane]]\nbase = "1:20"\n',
        "settings.json": "{}",
        "drafts/a.txt": "draft",
        "sounds/beep.wav": "RIFF",
        "plans/.a.txt.part": "half",
        "out/a.txt": "100",
    }.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
    return folder


def test_everything_is_in_it_except_files_that_can_be_made_again(home, tmp_path):
    assert copy_all(home, tmp_path / "copy.zip") == 4
    found = unpacked(tmp_path / "copy.zip", tmp_path / "there")
    names = sorted(str(path.relative_to(found)) for path in found.rglob("*") if path.is_file())
    assert names == ["drafts/a.txt", "plans/a.txt", "settings.json", "squads/s.toml"]


def test_a_running_session_is_in_it_up_to_its_last_entry(home, tmp_path):
    opened = open_new(Store(home), timeline(2), clock=lambda: Now(5_000, 1_800_000_000_000, "b"))
    try:
        opened.keeper.keep(Begun(0, 5_000, 1_800_000_000_000, "+00:00", "b"))
        opened.keeper.keep(Paused(7_000))
        copy_all(home, tmp_path / "copy.zip")
        found = unpacked(tmp_path / "copy.zip", tmp_path / "there")
    finally:
        opened.keeper.close()
    assert [type(entry) for entry in Store(found).session(1).journal] == [Begun, Paused]
    assert sqlite3.connect(found / "sessions.sqlite").execute("pragma integrity_check").fetchone() == ("ok",)


def test_damaged_sessions_are_copied_as_they_are(home, tmp_path):
    (home / "sessions.sqlite").write_bytes(b"no database at all" * 100)
    copy_all(home, tmp_path / "copy.zip")
    assert (
        (unpacked(tmp_path / "copy.zip", tmp_path / "there") / "sessions.sqlite")
        .read_bytes()
        .startswith(b"no database")
    )


def test_a_copy_in_the_folder_itself_does_not_contain_itself(home):
    copy_all(home, home / "copies" / "first.zip")
    assert copy_all(home, home / "copies" / "first.zip") == 4


def test_a_copy_that_cannot_be_written_is_reported(home, tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(CopyTrouble, match="No backup was made"):
        copy_all(home, tmp_path / "file" / "copy.zip")
