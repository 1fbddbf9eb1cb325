"""`pacer import`: from one tablet to another by the command line."""

from __future__ import annotations

import shutil
from zipfile import ZipFile

import pytest

from pacer.cli.commands import main
from pacer.session.storage.sessionimport import take_in
from pacer.session.storage.store import Store
from pacer.shippedfiles import PLANS
from tests.review.exports.test_merging import EVENINGS

pytestmark = pytest.mark.real_clock


@pytest.fixture
def tablets(tmp_path, monkeypatch):
    """Two homes; the first one has sessions, a plan and a drill book of its own."""
    store = Store(tmp_path / "one")
    store.open()
    take_in(store, EVENINGS)
    (tmp_path / "one" / "plans").mkdir()
    shutil.copy(PLANS / "long-axis-rotation-1.txt", tmp_path / "one" / "plans" / "thursday.txt")
    (tmp_path / "one" / "drills.toml").write_text('[[drill]]\nname = "a"\nhow = "b"\n')

    def turn_to(name):
        monkeypatch.setenv("PACER_HOME", str(tmp_path / name))

    monkeypatch.chdir(tmp_path)
    turn_to("one")
    return turn_to


def test_there_and_back(tablets, tmp_path, capsys):
    assert main(["export", "--archive", "a.zip", "--names"]) == 0
    tablets("two")
    capsys.readouterr()
    assert main(["import", "a.zip"]) == 0
    assert capsys.readouterr().out == (
        "sessions: 4 new, 0 filled in, 0 already here\nplans: thursday\nsquads: none new\ndrill books: drills\n"
    )
    assert main(["import", "a.zip"]) == 0
    assert capsys.readouterr().out.splitlines()[:2] == [
        "sessions: 0 new, 0 filled in, 4 already here",
        "plans: none new",
    ]
    assert main(["export", "--archive", "b.zip", "--names"]) == 0
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()
    assert main(["log"]) == 0 and main(["drills"]) == 0 and capsys.readouterr().out.endswith("\na\n")


def test_another_plan_of_that_name_is_kept_beside_ours(tablets, tmp_path, capsys):
    assert main(["export", "--archive", "a.zip"]) == 0
    tablets("two")
    (tmp_path / "two" / "plans").mkdir(parents=True)
    (tmp_path / "two" / "plans" / "thursday.txt").write_text("pool: 25 m\n100\n")
    capsys.readouterr()
    assert main(["import", "a.zip"]) == 0
    assert (tmp_path / "two" / "plans" / "thursday.txt").read_text() == "pool: 25 m\n100\n"
    assert len(list((tmp_path / "two" / "plans").iterdir())) == 2
    assert "plans: thursday-" in capsys.readouterr().out


def test_an_archive_too_large_is_not_read(tablets, monkeypatch, capsys):
    """The same limit as on the tablet's page."""
    assert main(["export", "--archive", "a.zip"]) == 0
    tablets("two")
    monkeypatch.setattr("pacer.review.exports.archivezip.MOST_PACKED", 1_000)
    assert main(["import", "a.zip"]) == 2
    assert capsys.readouterr().err == "a.zip can't be opened: it is too large\n"


def test_what_is_refused_changes_nothing(tablets, tmp_path, capsys):
    assert main(["export", "--archive", "a.zip"]) == 0
    data = bytearray((tmp_path / "a.zip").read_bytes())
    with ZipFile(tmp_path / "a.zip") as packed:
        largest = max(packed.infolist(), key=lambda one: one.compress_size)
    data[largest.header_offset + 30 + len(largest.filename) + largest.compress_size // 2] ^= 0xFF  # in its content
    (tmp_path / "bad.zip").write_bytes(bytes(data))
    tablets("two")
    capsys.readouterr()
    assert main(["import", "bad.zip"]) == 2
    assert capsys.readouterr().err.rstrip().endswith("Nothing was imported.")
    assert main(["import", "missing.zip"]) == 2 and "can't be opened" in capsys.readouterr().err
    assert not (tmp_path / "two").exists()
