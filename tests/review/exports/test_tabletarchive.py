"""Import an archive: hidden texts stay hidden, differing ones are both kept, and a bad archive changes nothing."""

from __future__ import annotations

import io
import json
import random
import zipfile

import pytest

from pacer.review.exports.archivereading import read_archive
from pacer.review.exports.archivezip import BadArchive
from pacer.review.exports.tabletarchive import import_archive, texts_of
from pacer.session.storage.store import Store, StoreTrouble
from pacer.show.after.tabletexports import archive
from tests.review.exports.test_exports import PLAN, SQUAD
from tests.review.exports.test_merging import EVENINGS

BOOK = '[[drill]]\nname = "a"\nhow = "b"\n'


class Tablet:
    def __init__(self, folder, files=()):
        self.folder = folder
        self.store = Store(folder)
        self.store.open()
        for name, text in dict(files).items():
            (folder / name).parent.mkdir(exist_ok=True)
            (folder / name).write_text(text)

    def exports(self, names=True):
        return archive(self.store, names)

    def imports(self, data):
        return import_archive(self.store, read_archive(data))

    def files(self):
        return {
            str(path.relative_to(self.folder)): path.read_bytes()
            for path in sorted(self.folder.rglob("*"))
            if path.is_file() and not path.name.startswith(("sessions", "exchanged"))
        }


def test_a_hidden_plan_does_not_come_back_and_is_hidden_on_both(tmp_path):
    one = Tablet(tmp_path / "one", {"plans/thursday.txt": PLAN, "squads/masters.toml": SQUAD})
    two = Tablet(tmp_path / "two", {"put-away/thursday.txt": PLAN, "squads-put-away/masters.toml": SQUAD})
    before = two.files()
    brought = two.imports(one.exports())
    assert not any(made.new or made.other or made.newer for made in brought.texts)
    assert two.files() == before
    two.imports(one.exports(names=False))  # nor the same squad without names
    assert two.files() == before
    brought = one.imports(two.exports())
    assert (brought.texts.plans.hid, brought.texts.squads.hid) == (
        ("thursday",),
        ("masters",),
    ) and one.files() == two.files()
    assert one.exports() == two.exports()


def test_a_text_hidden_there_is_imported_hidden(tmp_path):
    one = Tablet(tmp_path / "one", {"put-away/thursday.txt": PLAN, "squads-put-away/masters.toml": SQUAD})
    two = Tablet(tmp_path / "two")
    two.imports(one.exports())
    assert two.files() == one.files()
    assert two.exports() == one.exports()


def test_a_differing_version_is_kept_beside_ours_and_named(tmp_path):
    one = Tablet(tmp_path / "one", {"plans/thursday.txt": PLAN, "drills.toml": BOOK})
    two = Tablet(tmp_path / "two", {"plans/thursday.txt": PLAN + "\n", "drills.toml": BOOK.replace("b", "c")})
    brought = two.imports(one.exports())
    assert [here for made in brought.texts for here, _ in made.other] == ["thursday", "drills"]
    assert brought.texts.plans.new == (brought.texts.plans.other[0][1],) and brought.texts.drills.new == (
        brought.texts.drills.other[0][1],
    )
    assert two.files()["plans/thursday.txt"].decode() == PLAN + "\n"
    one.imports(two.exports())
    assert one.exports() == two.exports()


def test_an_unreadable_text_is_left_out_and_reported(tmp_path):
    files = {"plans/a.txt": PLAN, "squads/bad.toml": "lane = 7", "drills.toml": "[[drill]]\n"}
    one, told = Tablet(tmp_path / "one", files), []
    texts_of(one.folder, told.append)
    assert told == ["bad.toml can't be read and was left out", "drills.toml can't be read and was left out"]
    two = Tablet(tmp_path / "two")
    assert two.imports(one.exports()).texts.plans.new == ("a",)


def bad_ones():
    yield "not a zip", b"pool: 25 m"
    yield "nothing", b""
    yield "sums", lambda data: repacked(data, {"plans/thursday.txt": b"x"})
    yield "a file more", lambda data: repacked(data, {"plans/evil.txt": b"x"})
    yield "climbs", lambda data: repacked(data, {"plans/../../evil.txt": b"x"})
    yield "cut short", lambda data: data[: len(data) // 2]
    yield "a byte changed", lambda data: data[:200] + bytes([data[200] ^ 1]) + data[201:]
    yield "a bomb", lambda data: repacked(data, {"plans/bomb.txt": b"0" * 30_000_000})
    yield "a session that is none", lambda data: repacked(data, {"sessions/000001.json": b'{"format": "x"}'}, True)
    yield "a squad that is none", lambda data: repacked(data, {"squads/masters.toml": b"lane = 7"}, True)
    yield "a start after all calendars", changed("begun", wall_ms=10**30)
    yield "a start in the year 14645", changed("begun", wall_ms=400_000_000_000_000)
    yield "a start before 1970", changed("begun", wall_ms=-1)
    yield "a time zone that is none", changed("begun", zone="+99:59")
    yield "a title as long as a book", changed("", title="x" * 5_000)
    yield "a title of several lines", changed("", title="a\nb")
    yield "a title that turns what follows round", changed("", title="a\u202eb")
    yield "a squad as long as a library", changed("", squad="# " + "x" * 1024 * 1024)
    yield "a journal that is none", changed("", journal=[{"number": 1, "written_ms": 1, "entry": [[]]}])
    for name, text in (
        ("deleted.txt", "all of them"),
        ("versions.csv", "kind,name,mark,count,words\r\nplans,thursday,zz,2,0\r\n"),
        ("versions.csv", "kind,name,mark,count,words\r\nnothing,thursday,00000000,2,0\r\n"),
        ("versions.csv", "kind,name,mark,count,words\r\nplans,../thursday,00000000,2,0\r\n"),
        ("versions.csv", "kind,name,mark,count,words\r\nplans,thursday,00000000,-1,0\r\n"),
        ("versions.csv", "kind,name,mark,count,words\r\nplans,thursday,00000000,9999999999,0\r\n"),
        ("versions.csv", 'kind,name\r\n"'),
    ):
        yield f"{name}: {text[-30:].strip()!r}", lambda data, n=name, t=text: repacked(data, {n: t.encode()}, True)
    yield "a plan that is a picture", lambda data: repacked(data, {"plans/thursday.txt": b"\x89PNG\xff"}, True)


def changed(of, **values):
    """An archive whose first session has an entry of a kind, or itself (""), with other values."""

    def bad(data):
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            told = json.loads(packed.read("sessions/000001.json"))
        entries = [row["entry"] for row in told["session"]["journal"]]
        changed = next((entry for entry in entries if entry["kind"] == of), told["session"])
        changed.update(values)
        return repacked(data, {"sessions/000001.json": json.dumps(told).encode()}, True)

    return bad


def repacked(data, changed, right=False):
    """An archive with changed files; `right`: with a manifest to match."""
    from pacer.review.exports.archivezip import MANIFEST, archive_bytes

    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        files = {name: packed.read(name) for name in packed.namelist()}
    if right:
        return archive_bytes({name: text for name, text in (files | changed).items() if name != MANIFEST})
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, text in (files | changed).items():
            packed.writestr(name, text)
    return out.getvalue()


@pytest.mark.parametrize(("name", "bad"), list(bad_ones()), ids=[name for name, _ in bad_ones()])
def test_a_hostile_archive_changes_nothing(tmp_path, name, bad):
    from pacer.session.storage.sessionimport import take_in

    one = Tablet(tmp_path / "one", {"plans/thursday.txt": PLAN, "squads/masters.toml": SQUAD})
    take_in(one.store, EVENINGS)
    data = bad(one.exports()) if callable(bad) else bad
    two = Tablet(tmp_path / "two", {"plans/thursday.txt": PLAN + "\n"})
    before = two.files()
    with pytest.raises(BadArchive) as why:
        two.imports(data)
    assert "\n" not in str(why.value) and len(str(why.value)) < 200
    assert two.files() == before and not two.store.sessions()


def test_a_store_open_elsewhere_changes_nothing(tmp_path):
    one = Tablet(tmp_path / "one", {"plans/thursday.txt": PLAN})
    two = Tablet(tmp_path / "two")
    lock = two.store.claim()
    with pytest.raises(StoreTrouble):
        two.imports(one.exports())
    lock.close()
    assert two.files() == {}


def test_any_damage_is_refused_or_harmless(tmp_path):
    data = Tablet(tmp_path / "one", {"plans/thursday.txt": PLAN}).exports()
    rng = random.Random(3)
    two = Tablet(tmp_path / "two")
    for _ in range(60):
        damaged = bytearray(data)
        for _ in range(rng.randint(1, 3)):
            damaged[rng.randrange(len(damaged))] = rng.randrange(256)
        try:
            two.imports(bytes(damaged))
        except BadArchive:
            assert two.files() == {}
        else:
            assert two.files() == {"plans/thursday.txt": PLAN.encode()}
            (two.folder / "plans" / "thursday.txt").unlink()
