"""The shelf: nothing is lost, whatever the disk does and whenever the app ends."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from pacer import disk
from pacer.plan.library import shelf as shelves
from pacer.plan.library.newplan import header_of, with_header
from pacer.plan.library.plancards import card_of, found
from pacer.plan.library.shelf import DRAFTS, PLANS, Shelf, ShelfTrouble
from pacer.plan.notation.planreader import read_plan
from pacer.plan.textmark import mark_of

ROOT = Path(__file__).parents[3]
DEMOS = sorted((ROOT / "assets" / "plans").glob("*.txt"))
ROLL = (
    "title: Roll\npool: 25 m\nfocus: backstroke rotation\n\nMain set\n"
    "  4 x 50 drill six-kick switch “slow”, rest 0:15\n"
)


@pytest.fixture
def shelf(tmp_path):
    return Shelf(tmp_path / "pacer", DEMOS)


def names(shelf, **asked):
    return [card.name for card in shelf.cards(**asked)]


def everything(folder: Path) -> dict[str, bytes]:
    """All files below a folder."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


# -- the first start ---------------------------------------------------------------------------------


def test_only_the_first_start_copies_the_demo_plans(shelf, tmp_path):
    assert names(shelf) == [demo.stem for demo in DEMOS]
    assert all(card.plan is not None for card in shelf.cards())
    shelf.put_away(DEMOS[0].stem)
    assert names(Shelf(tmp_path / "pacer", DEMOS)) == [demo.stem for demo in DEMOS[1:]]


def test_an_interrupted_first_start_is_completed(tmp_path):
    (tmp_path / f"{PLANS}.part").mkdir()
    (tmp_path / f"{PLANS}.part" / DEMOS[0].name).write_text("half")
    assert len(names(Shelf(tmp_path, DEMOS))) == len(DEMOS)


def test_a_folder_that_cannot_be_made_is_only_reported(tmp_path):
    (tmp_path / "file").write_text("")
    shelf = Shelf(tmp_path / "file" / "pacer", DEMOS)
    assert shelf.told == ("plans can't be saved here: there is a file where a folder should be",)
    assert shelf.cards() == ()
    with pytest.raises(ShelfTrouble, match="there is a file where a folder should be"):
        shelf.new("25 m", "60 min")


# -- the list -----------------------------------------------------------------------------------------


def test_a_card_has_everything_a_coach_looks_for(shelf):
    card = shelf.card("long-axis-rotation-3")
    assert (card.title, card.focus, card.pool) == ("Long-axis rotation 3", "backstroke rotation", "25 m")
    assert card.plan == read_plan(card.text) and card.problems == () and card.swum_ms is None


def test_a_card_of_a_page_with_errors_still_has_its_header(shelf):
    card = shelf.add(ROLL.replace("50 drill", "50 dril"))
    assert card.plan is None and card.title == "Roll" and card.problems[0].line == 6


def test_the_plan_changed_or_swum_last_comes_first(shelf, tmp_path):
    for hours, name in enumerate(names(shelf)):
        path = tmp_path / "pacer" / PLANS / f"{name}.txt"
        path.write_text(path.read_text("utf-8") + "# mine\n", "utf-8")
        os.utime(path, (hours * 3600, hours * 3600))
    assert names(shelf) == [demo.stem for demo in reversed(DEMOS)]
    swum = {("long-axis-rotation-2", False): 9 * 3_600_000}
    assert names(shelf, swum=swum)[0] == "long-axis-rotation-2"
    assert shelf.cards(swum)[0].swum_ms == 9 * 3_600_000


def test_unchanged_demos_come_last_in_the_order_of_their_series(shelf, tmp_path):
    demos = [demo.stem for demo in DEMOS]
    for hours, name in enumerate(reversed(demos), start=9):  # as unpacking the app may leave them
        os.utime(tmp_path / "pacer" / PLANS / f"{name}.txt", (hours * 3600, hours * 3600))
    own = shelf.add(ROLL).name
    os.utime(tmp_path / "pacer" / PLANS / f"{own}.txt", (3600, 3600))
    assert names(shelf) == [own, *demos], "whatever the clock said"
    assert names(shelf, swum={(own, False): 2 * 3_600_000}) == [own, *demos]
    assert names(shelf, swum={(demos[1], False): 3 * 3_600_000}) == [demos[1], own, demos[0], *demos[2:]]
    later = shelf.copy(demos[3]).name
    shelf.keep(demos[2], shelf.text(demos[2]) + "# mine\n")
    assert names(shelf)[:2] == [demos[2], later] and names(Shelf(tmp_path / "pacer", DEMOS))[2:] == [
        own,
        *demos[:2],
        demos[3],
    ]


def test_a_plan_written_a_moment_later_comes_first(shelf, tmp_path):
    for seconds, title in enumerate(("A", "B", "C")):
        name = shelf.add(ROLL.replace("title: Roll", f"title: {title}")).name
        os.utime(tmp_path / "pacer" / PLANS / f"{name}.txt", (36_000 + seconds, 36_000 + seconds))
    assert names(shelf)[:3] == ["c", "b", "a"]


def test_a_file_that_has_not_changed_is_not_read_again(shelf, monkeypatch):
    shelf.cards()
    monkeypatch.setattr(shelves, "card_of", lambda *args: pytest.fail("read again"))
    shelf.cards()


def test_a_file_that_is_not_text_is_left_alone(shelf, tmp_path):
    (tmp_path / "pacer" / PLANS / "picture.txt").write_bytes(b"\x89PNG\r\n\x1a\n\x00")
    assert "picture" not in names(shelf)
    with pytest.raises(ShelfTrouble, match="a picture"):
        shelf.card("picture")


@pytest.mark.parametrize(
    ("words", "count"),
    [
        ("", 4),
        ("scull", 2),
        ("six-kick", 4),
        ("SIX KICK", 4),
        ("scull elbows", 1),
        ("snorkel buoy", 1),
        ("icks", 0),
        ("nowhere", 0),
        ("4:20", 1),
        ("(", 1),
    ],
)
def test_search_by_words(shelf, words, count):
    assert len(found(shelf.cards(), words)) == count


def test_search_ignores_case_and_accents():
    card = card_of("x", "title: Épaules\npool: 25 m\n  100")
    assert found([card], "epaules") == (card,)


# -- new ones -------------------------------------------------------------------------------------------


def test_a_new_plan_needs_only_its_main_set(shelf):
    card = shelf.new("50 m", "90 min")
    assert (card.title, card.pool) == ("New plan", "50 m")
    assert [problem.message for problem in card.problems] == ["“Main set” has no sets yet"]
    assert read_plan(card.text.replace("Main set\n", "Main set\n  4 x 100\n")).booking_ms == 90 * 60_000
    assert shelf.new("25 m", "60 min").title == "New plan 2"


def test_a_copy_is_the_same_under_another_title(shelf):
    card = shelf.copy("long-axis-rotation-3")
    assert card.title == "Long-axis rotation 3, copy" and card.name != "long-axis-rotation-3"
    assert card.plan.sections == shelf.card("long-axis-rotation-3").plan.sections
    assert shelf.copy("long-axis-rotation-3").title == "Long-axis rotation 3, copy 2"


# -- headers --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("before", "key", "value", "after"),
    [
        ("title: A\npool: 25 m", "title", "B", "title: B\npool: 25 m"),
        ("# note\npool: 25 m", "title", "B", "# note\ntitle: B\npool: 25 m"),
        ("title: A\npool: 25 m\n\nMain", "revisits", "X", "title: A\npool: 25 m\nrevisits: X\n\nMain"),
        ("title: A\nrevisits: X\npool: 25 m", "focus", "F", "title: A\nrevisits: X\npool: 25 m\nfocus: F"),
        ("TITLE : A\npool: 25 m", "title", "B", "title: B\npool: 25 m"),
        ("title: A\npool: 25 m", "title", "", "pool: 25 m"),
        ("Main\n  title: no header", "title", "B", "title: B\nMain\n  title: no header"),
        ("", "title", "B", "title: B\n"),
    ],
)
def test_a_header_line_is_changed_in_place(before, key, value, after):
    assert with_header(before, key, value) == after
    assert header_of(after).get(key, "") == value


# -- moving ---------------------------------------------------------------------------------------------


def test_renaming_changes_title_and_file(shelf):
    card = shelf.rename("long-axis-rotation-3", "  Roll,  and   rate ")
    assert (card.name, card.title) == ("roll-and-rate", "Roll, and rate")
    assert "long-axis-rotation-3" not in names(shelf)


@pytest.mark.parametrize(
    ("title", "said"),
    [("Long-axis ROTATION 2", "there is already a plan called Long-axis ROTATION 2"), (" ", "a plan needs a title")],
)
def test_a_title_that_cannot_be_used_changes_nothing(shelf, tmp_path, title, said):
    before = everything(tmp_path)
    with pytest.raises(ShelfTrouble, match=said):
        shelf.rename("long-axis-rotation-3", title)
    assert everything(tmp_path) == before


def test_what_revisits_a_plan_follows_its_new_title(shelf, tmp_path):
    shelf.put_away("long-axis-rotation-2")
    hidden = shelf.add("title: Roll b\nrevisits: long-axis Rotation 3\npool: 25 m\n400\n").name
    hidden = shelf.put_away(hidden)
    shelf.rename("long-axis-rotation-3", "Roll, long")
    assert header_of(shelf.text("long-axis-rotation-4"))["revisits"] == "Roll, long"
    assert header_of(shelf.card(hidden, away=True).text)["revisits"] == "Roll, long"
    assert header_of(shelf.text("roll-long"))["revisits"] == "Long-axis rotation 2", "its own stays"
    shelf.rename("roll-long", "ROLL, long")
    assert header_of(shelf.text("long-axis-rotation-4"))["revisits"] == "Roll, long", "the same title"


def test_a_link_stays_while_another_plan_has_the_old_title(shelf):
    shelf.add("title: Long-axis rotation 3\npool: 25 m\n400\n")
    shelf.rename("long-axis-rotation-3", "Roll, long")
    assert header_of(shelf.text("long-axis-rotation-4"))["revisits"] == "Long-axis rotation 3"


def test_a_plan_can_be_renamed_to_its_own_title_in_other_letters(shelf):
    assert shelf.rename("long-axis-rotation-3", "LONG-axis rotation 3").name == "long-axis-rotation-3"


def test_a_hidden_plan_comes_back_unchanged(shelf):
    text = shelf.text("long-axis-rotation-3")
    shelf.jot("long-axis-rotation-3", text + "# more\n")
    away = shelf.put_away("long-axis-rotation-3")
    assert "long-axis-rotation-3" not in names(shelf) and names(shelf, away=True) == [away]
    assert shelf.card(away, away=True).text == text + "# more\n"
    assert shelf.text(shelf.bring_back(away)) == text + "# more\n"


def test_plans_of_the_same_name_can_be_hidden_and_shown_again(shelf):
    for text in (ROLL, ROLL + "# two\n", ROLL.replace("50", "100")):
        shelf.put_away(shelf.add(text).name)
    marked = f"roll-{mark_of(ROLL.replace('50', '100'))}"
    assert sorted(names(shelf, away=True)) == sorted(["roll", "roll-2", marked])
    shelf.add(ROLL)
    assert shelf.bring_back("roll") == "roll-2"
    assert shelf.bring_back(marked) == marked


@pytest.mark.parametrize("name", ["../secret", "", ".hidden", "a/b", "/etc/passwd"])
def test_no_name_leads_outside_the_folder(shelf, name):
    for ask in (
        shelf.card,
        shelf.text,
        shelf.put_away,
        lambda name: shelf.keep(name, "x"),
        lambda name: shelf.jot(name, "x"),
    ):
        with pytest.raises(ShelfTrouble):
            ask(name)


# -- in and out -------------------------------------------------------------------------------------------


def test_a_file_is_imported_with_its_errors(shelf):
    card = shelf.bring_in(
        b"\xef\xbb\xbf" + ROLL.replace("drill", "dril").replace("\n", "\r\n").encode(), "Thursday.txt"
    )
    assert card.name == "roll" and len(card.problems) == 1


def test_a_file_without_a_title_is_called_by_its_name(shelf):
    assert shelf.bring_in(b"pool: 25 m\n  100", "/some/where/Tuesday night.txt").title == "tuesday-night"


def test_a_plan_that_is_there_already_is_not_added_twice(shelf):
    before = names(shelf)
    assert shelf.bring_in(DEMOS[0].read_bytes(), "again.txt").name == DEMOS[0].stem
    assert names(shelf) == before


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\x89PNG\r\n\x1a\n\x00", "photo: this is a picture"),
        ("pool: 25 m".encode("utf-16"), "UTF-16"),
        (b"pool: 25 m\n\xe9", "line 2: this character is not UTF-8"),
        (b"  100\n" * 3_000, "this text has 3,000 lines"),
        (b"x" * 2_000_000, "2,000,000 bytes"),
        (b" \n", "the file is empty"),
    ],
)
def test_a_file_that_is_not_a_plan_is_not_imported(shelf, data, said):
    before = names(shelf)
    with pytest.raises(ShelfTrouble, match=said):
        shelf.bring_in(data, "photo.png")
    assert names(shelf) == before


def test_a_file_that_is_too_long_is_not_imported_in_any_language(shelf, monkeypatch):
    monkeypatch.setattr("pacer.plan.filetext.tr", lambda text, **values: f"¡{text}!".format(**values))
    with pytest.raises(ShelfTrouble, match="this text has 3,000 lines"):
        shelf.bring_in(b"  100\n" * 3_000, "photo.png")


def test_a_plan_is_exported_as_it_was_typed(shelf, tmp_path):
    shelf.jot("long-axis-rotation-3", ROLL)
    shelf.give_out("long-axis-rotation-3", tmp_path / "out" / "mine.txt")
    assert (tmp_path / "out" / "mine.txt").read_text(encoding="utf-8") == ROLL
    (tmp_path / "folder.txt").mkdir()
    with pytest.raises(ShelfTrouble, match=r"folder\.txt can't be saved"):
        shelf.give_out("long-axis-rotation-3", tmp_path / "folder.txt")


# -- drafts -------------------------------------------------------------------------------------------------


def test_typed_text_is_a_draft_at_once_and_safe_once_saved(shelf, tmp_path):
    name = DEMOS[0].stem
    old = shelf.open(name)
    shelf.jot(name, ROLL)
    assert shelf.text(name) == ROLL and shelf.card(name).text == old
    assert Shelf(tmp_path / "pacer").card(name).text == ROLL, "the next start takes it up"
    shelf.jot(name, ROLL + "#")
    shelf.keep(name, ROLL)
    assert shelf.text(name) == ROLL + "#", "a newer draft outlives the keeping of an older text"
    shelf.keep(name, ROLL + "#")
    assert not (tmp_path / "pacer" / DRAFTS / f"{name}.txt").exists()
    assert shelf.earlier(name) == old


def test_an_incomplete_draft_is_ignored(shelf, tmp_path):
    name = DEMOS[0].stem
    old = shelf.text(name)
    shelf.jot(name, ROLL)
    path = tmp_path / "pacer" / DRAFTS / f"{name}.txt"
    for data in (b"", path.read_bytes()[:-3], b"\xff\xfe"):
        path.write_bytes(data)
        assert shelf.text(name) == old
        assert Shelf(tmp_path / "pacer").card(name).text == old
        path.parent.mkdir(exist_ok=True)


def test_a_draft_of_a_deleted_plan_becomes_a_plan_again(shelf, tmp_path):
    name = shelf.add(ROLL).name
    shelf.jot(name, ROLL + "# more\n")
    (tmp_path / "pacer" / PLANS / f"{name}.txt").unlink()
    assert Shelf(tmp_path / "pacer").card(name).text == ROLL + "# more\n"


def test_any_text_can_be_a_draft(shelf):
    for text in ("", "\n", "a\rb", "😀\ud800", "x" * 70_000):
        shelf.jot("long-axis-rotation-1", text)
        assert shelf.text("long-axis-rotation-1") == text.encode("utf-8", "replace").decode()


TYPIST = """
import sys, itertools
sys.path.insert(0, {root!r})
from pathlib import Path
from pacer.plan.library.shelf import Shelf
shelf = Shelf(Path({folder!r}))
text = ""
for count in itertools.count():
    text += f"  {{count}} x 50\\n"
    shelf.jot("long-axis-rotation-1", text)
    print(count, flush=True)
    if count % 5 == 0:
        shelf.keep("long-axis-rotation-1", text)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="is killed by a signal")
@pytest.mark.parametrize("after", [3, 20, 61])
def test_killed_while_typing_nothing_is_lost(shelf, tmp_path, after):
    folder = tmp_path / "pacer"
    typist = subprocess.Popen(
        [sys.executable, "-c", TYPIST.format(root=str(ROOT), folder=str(folder))], stdout=subprocess.PIPE, text=True
    )
    seen = 0
    while seen < after:
        seen = int(typist.stdout.readline())
    os.kill(typist.pid, signal.SIGKILL)
    rest = typist.stdout.read().split()
    typist.wait()
    typist.stdout.close()
    acknowledged = max([seen, *map(int, rest)])
    again = Shelf(folder)
    text = again.card("long-axis-rotation-1").text
    assert text.startswith("".join(f"  {count} x 50\n" for count in range(acknowledged + 1)))
    assert not list(folder.rglob("*.part"))
    assert sorted(names(again)) == sorted(demo.stem for demo in DEMOS)


# -- disks ----------------------------------------------------------------------------------------------------


@pytest.fixture
def broken(monkeypatch):
    """Make writing fail as a disk would: when opening, in the middle, when syncing, at the last step."""

    def breaks(number, where):
        def fail(*_args, **_kwargs):
            raise OSError(number, os.strerror(number))

        if where == "sync":
            monkeypatch.setattr(disk.os, "fsync", fail)
        elif where == "replace":
            monkeypatch.setattr(disk.os, "replace", fail)
        else:
            real = open

            def opened(path, mode="r", *rest, **more):
                if "w" in mode and where == "open":
                    fail()
                file = real(path, mode, *rest, **more)
                if "w" in mode:

                    class Full:
                        def __enter__(self):
                            return self

                        def __exit__(self, *_):
                            file.close()

                        def write(self, data):
                            file.write(data[: len(data) // 2])
                            fail()

                    return Full()
                return file

            monkeypatch.setattr(disk, "open", opened, raising=False)

    return breaks


@pytest.mark.parametrize("where", ["open", "write", "sync", "replace"])
@pytest.mark.parametrize(
    ("number", "why"),
    [
        (errno.ENOSPC, "the tablet's storage is full"),
        (errno.EROFS, "this folder is read-only"),
        (errno.EACCES, "this folder can't be written to"),
        (errno.EIO, os.strerror(errno.EIO)),
    ],
)
@pytest.mark.parametrize(
    "do",
    [
        lambda shelf: shelf.keep("long-axis-rotation-1", "x"),
        lambda shelf: shelf.jot("long-axis-rotation-1", "x"),
        lambda shelf: shelf.new("25 m", "60 min"),
        lambda shelf: shelf.bring_in(ROLL.encode()),
        lambda shelf: shelf.copy("long-axis-rotation-1"),
        lambda shelf: shelf.rename("long-axis-rotation-1", "Other"),
    ],
    ids=["keep", "jot", "new", "bring in", "copy", "rename"],
)
def test_a_failing_disk_is_reported_and_nothing_is_lost(shelf, tmp_path, broken, do, where, number, why):
    before = everything(tmp_path / "pacer" / PLANS)
    broken(number, where)
    try:
        do(shelf)
    except ShelfTrouble as trouble:
        assert str(trouble).endswith(f": {why}") and "Errno" not in str(trouble)
    else:
        assert where == "sync", "a draft is not synced"
    assert everything(tmp_path / "pacer" / PLANS) == before
    assert not list(tmp_path.rglob("*.part"))


@pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may write anywhere")
def test_a_read_only_folder(shelf, tmp_path):
    os.chmod(tmp_path / "pacer" / PLANS, 0o500)
    try:
        with pytest.raises(ShelfTrouble, match="can't be written to"):
            shelf.new("25 m", "60 min")
    finally:
        os.chmod(tmp_path / "pacer" / PLANS, 0o700)


def test_typing_does_not_wait_for_the_disk(shelf):
    text = "x" * 20_000
    taken = []
    for _ in range(50):
        begun = time.process_time()
        shelf.jot("long-axis-rotation-1", text)
        taken.append(time.process_time() - begun)
    assert sorted(taken)[25] < 0.005


def test_a_new_plan_in_which_nothing_was_written_leaves_nothing_behind(tmp_path):
    """Any letter written in it, or a draft of it, is kept."""
    shelf = Shelf(tmp_path)
    untouched, written, drafted = (shelf.new("25 m", "60 min").name for _ in range(3))
    for name in (untouched, written, drafted):
        shelf.open(name)
    shelf.keep(written, shelf.text(written) + "#")
    shelf.jot(drafted, "Main set\n  400 pull\n")
    for name in (untouched, written, drafted):
        shelf.drop_untouched(name)
    assert {card.name for card in shelf.cards()} == {written, drafted}
    assert not [path for path in tmp_path.rglob("*") if path.stem == untouched]
    again = Shelf(tmp_path)
    assert "400 pull" in again.text(drafted)
