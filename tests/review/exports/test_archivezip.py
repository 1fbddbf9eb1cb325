"""The archive: the same bytes for the same content, read back completely, and nothing hostile accepted."""

from __future__ import annotations

import io
import json
import random
import shutil
import subprocess
import zipfile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.review.exports.archivecontent import TabletTexts, archive_files
from pacer.review.exports.archivezip import MANIFEST, MOST_FILES, BadArchive, archive_bytes, files_of
from pacer.review.exports.exporttables import exported
from pacer.review.exports.textcounts import Texts
from pacer.session.journal.jsonlines import entry_from_line, line_from_entry
from pacer.session.journal.recordentries import Noted
from pacer.squad.files.squadreader import read_squad
from tests.review.exports.test_exports import PLAN, SQUAD
from tests.review.made import S, kept, noisy, timed
from tests.session.pages import session

DRILLS = '[[drill]]\nname = "a"\nhow = "b"\n'


@pytest.fixture(scope="module")
def evening():
    made = timed(session(PLAN, SQUAD), noisy(random.Random(7)), Noted(70 * S, "Kit was late", 0))

    lines = tuple(
        line.__class__(line.number, line.wall_ms, line.entry, line_from_entry(line.entry)) for line in made.lines
    )
    return exported(made.__class__(made.listed, made.session, lines))


def files(evening, names=False):
    texts = TabletTexts(Texts({"thursday": PLAN}), Texts({"evening": SQUAD}), Texts({"drills": DRILLS}))
    return archive_files([evening.kept], texts, names)


def test_the_same_content_makes_the_same_bytes_and_is_read_back(evening):
    data = archive_bytes(files(evening), {"names": False})
    assert data == archive_bytes(dict(reversed(files(evening).items())), {"names": False})
    back, about = files_of(data)
    assert back == files(evening) and about == {"format": "pacer-archive/1", "names": False}
    assert archive_bytes(back, {"names": False}) == data


def test_another_program_can_read_it_completely(evening, tmp_path):
    data = archive_bytes(files(evening))
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        assert packed.testzip() is None
        assert {"plans/thursday.txt", "squads/evening.toml", "drills.toml", "tables/times.csv", MANIFEST} <= set(
            packed.namelist()
        )
    if shutil.which("unzip"):
        (tmp_path / "a.zip").write_bytes(data)
        assert subprocess.run(["unzip", "-t", str(tmp_path / "a.zip")], capture_output=True).returncode == 0


@pytest.mark.parametrize("names", [False, True])
def test_names_and_notes_leave_only_if_asked_for(evening, names):
    text = b"".join(files(evening, names).values()).decode()
    assert ("Kit" in text) is names and ("Ölaf" in text) is names and ("was late" in text) is names
    squad = read_squad(files(evening, names)["squads/evening.toml"].decode())
    assert [len(lane.swimmers) for lane in squad.lanes] == [2, 2]


def test_a_session_comes_back_entry_by_entry(evening):
    told = json.loads(files(evening, True)["sessions/000001.json"])["session"]
    assert (told["plan"], told["squad"]) == (evening.kept.session.plan, evening.kept.session.squad)
    entries = [entry_from_line(json.dumps(line["entry"])) for line in told["journal"]]
    assert tuple(entries) == evening.kept.journal
    assert [line["written_ms"] for line in told["journal"]] == [line.wall_ms for line in evening.kept.lines]


ODD = ["a/b/c/d/e/f", "plans/", ".hidden", "x" * 300, "plans/x."]


# -- hostile ones ----------------------------------------------------------------------------------------


def zip_of(entries):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in entries:
            packed.writestr(name, data)
    return out.getvalue()


def told_by(data):
    with pytest.raises(BadArchive) as caught:
        files_of(data)
    return str(caught.value)


@pytest.mark.parametrize(
    "name",
    ["../plan.txt", "plans/../../x", "/etc/passwd", "C:\\x", "plans\\x", *ODD],
)
def test_paths_that_climb(name):
    info = zipfile.ZipInfo("x")
    info.filename = name
    assert "is not a path that pacer writes" in told_by(zip_of([(info, b"x")]))


def test_links():
    link = zipfile.ZipInfo("plans/x.txt")
    link.external_attr = 0o120777 << 16
    assert told_by(zip_of([(link, b"/etc/passwd")])) == "plans/x.txt is not a plain file"


def test_a_bomb():
    assert "is damaged: a few bytes that claim to be 20 MB" in told_by(
        zip_of([("plans/x.txt", b"0" * 20 * 1024 * 1024)])
    )


def test_a_hundred_thousand_files():
    assert told_by(zip_of([(f"plans/{n}.txt", b"") for n in range(MOST_FILES + 1)])).startswith("20,001 files")


def test_twice_the_same_name():
    with pytest.warns(UserWarning):
        data = zip_of([("README.txt", b"a"), ("README.txt", b"b")])
    assert told_by(data) == "README.txt is in it twice"
    assert told_by(zip_of([("a.txt", b"a"), ("A.txt", b"b")])) == "A.txt is in it twice"


def test_a_zip_that_pacer_did_not_make():
    assert told_by(zip_of([("x.txt", b"x")])) == "it has no manifest.json: pacer did not make it"
    assert told_by(zip_of([(MANIFEST, b"{")])) == "manifest.json is not JSON"
    assert told_by(zip_of([(MANIFEST, b"[]")])) == "manifest.json does not list the files"
    other = json.dumps({"format": "pacer-archive/9", "files": {}}).encode()
    assert (
        told_by(zip_of([(MANIFEST, other)]))
        == "the archive is of the format pacer-archive/9, this version reads pacer-archive/1"
    )


def test_wrong_sums_missing_and_foreign_files():
    good = archive_bytes({"plans/a.txt": b"aaaa", "plans/b.txt": b"b"})
    with zipfile.ZipFile(io.BytesIO(good)) as packed:
        entries = {name: packed.read(name) for name in packed.namelist()}
    assert "was changed or damaged after pacer wrote it" in told_by(
        zip_of((entries | {"plans/a.txt": b"aaab"}).items())
    )
    assert told_by(zip_of((entries | {"plans/c.txt": b""}).items())) == "plans/c.txt is not in its list of files"
    del entries["plans/a.txt"]
    assert told_by(zip_of(entries.items())) == "plans/a.txt is missing"


@given(st.data())
def test_damaged_bytes_are_refused_or_harmless(data):
    whole = bytearray(archive_bytes({"plans/a.txt": b"some text " * 40, "README.txt": b"x"}))
    for _ in range(data.draw(st.integers(1, 4))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(0, len(whole)))
    for damaged in (bytes(whole), bytes(whole[:cut])):
        try:
            found, _ = files_of(damaged)
        except BadArchive as why:
            assert str(why)
        else:
            assert found == {"plans/a.txt": b"some text " * 40, "README.txt": b"x"}


def test_nothing_at_all():
    assert "not a readable zip file" in told_by(b"") and "not a readable zip file" in told_by(b"text")


def test_an_empty_session_is_included():
    assert "sessions/000001.json" in archive_files([kept(session(PLAN, SQUAD))], TabletTexts(Texts(), Texts(), Texts()))


def test_names_that_devices_treat_as_equal_are_refused():
    assert (
        told_by(zip_of([("plans/\u00e9.txt", b"a"), ("plans/\u00c9.txt", b"b")])) == "plans/\u00c9.txt is in it twice"
    )
    assert "not a path" in told_by(zip_of([("plans/e\u0301.txt", b"a")]))  # pacer writes letters and accents as one


def test_a_bomb_that_lies_about_its_size():
    """The directory claims small sizes; the data is larger, but is read no further than claimed."""
    good = archive_bytes({"plans/a.txt": b"0" * 5000})
    at = good.rindex(b"PK\x01\x02", 0, good.rindex(b"plans/a.txt"))
    lying = good[: at + 24] + (5).to_bytes(4, "little") + good[at + 28 :]
    assert told_by(lying)


def test_hundred_thousand_files_are_refused_before_they_are_read(monkeypatch):
    data, opened = zip_of([(f"plans/{n}.txt", b"") for n in range(100_000)]), []
    monkeypatch.setattr(zipfile.ZipFile, "open", lambda self, name, *more, **how: opened.append(name))
    assert told_by(data) == "100,000 files, at most 20,000"
    assert opened == []


def test_an_archive_can_have_every_name_that_a_folder_can(evening):
    """Names that differ only on some devices, and letters that are impossible in an archive's paths."""
    odd = {"Thursday": "a", "thursday": "b", "Kit's & co!": "c", "..": "d", "x" * 250: "e", "\u00e9t\u00e9": "f"}
    made = archive_files([evening.kept], TabletTexts(Texts(odd), Texts(), Texts()), True)
    back, _ = files_of(archive_bytes(made))
    plans = {path.removeprefix("plans/"): text for path, text in back.items() if path.startswith("plans/")}
    assert sorted(plans.values()) == [b"a", b"b", b"c", b"d", b"e", b"f"] and "kit-s - co-.txt" in plans
