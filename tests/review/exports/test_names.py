"""Without being asked for, no name that the tablet knows leaves it: every byte of every export is searched."""

from __future__ import annotations

import io
import random
import re
import zipfile
from dataclasses import replace

import pytest

from pacer.cli.commands import main
from pacer.review.exports.archivereading import read_archive
from pacer.review.exports.tabletarchive import import_archive
from pacer.session.journal.entries import Begun, SwimmerJoined
from pacer.session.journal.jsonlines import line_from_entry
from pacer.session.journal.recordentries import Corrected, Noted, Touched
from pacer.session.storage.hiding import hide
from pacer.session.storage.sessionimport import take_in
from pacer.session.storage.sessionmerge import rows_of
from pacer.session.storage.store import Store
from pacer.show.after.tabletexports import archive, archive_told, calendar
from tests.review.exports.test_merging import more
from tests.review.made import S, noisy, timed
from tests.session.pages import session

pytestmark = pytest.mark.real_clock
NAMES = ("Kitty", "Bo", "Marlow", "Ölaf", "Rowan", "Zuzanna", "Gus")
SQUAD = """name = "Thursday"  # Zuzanna counts
[[lane]]
base = "1:20"
  [[lane.swimmer]]
  name = "Kitty Marlow"
  [[lane.swimmer]]
  name = "Bo"
[[lane]]
base = "1:40"
  [[lane.swimmer]]
  name = "Ölaf"
"""
PLAN = """title: {title}
date: 2026-03-05
pool: 25 m
focus: {focus}
# Kitty is away
Main set, 2 rounds  # Ölaf leads
  4 x 50 back "{cue}" on 1:10  # mind Bo
  100 free
"""
PLAIN = PLAN.format(title="Thursday", focus="rotation", cue="hips up")
BOOK = '# Zuzanna wrote this\n[[drill]]\nname = "catch-up"\nhow = "One hand waits."  # ask Kitty\n'


def words_of(data):
    """Every word of a file; of a zip, of the files in it."""
    if data.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            return set().union(*(words_of(packed.read(name)) | words_of(name.encode()) for name in packed.namelist()))
    text = data.decode()
    return set(re.findall(r"[^\W\d_]+", text)) | set(
        re.findall(r"[^\W\d_]+", text.encode().decode("unicode_escape", "ignore"))
    )


def names_in(*files):
    found = set().union(*map(words_of, files))
    return {name for name in NAMES if {name, name.casefold()} & found}


def run(plan, begun_ms, *entries):
    """A session that was run with this plan, as rows."""
    made = timed(session(plan, SQUAD), noisy(random.Random(3), 0.03), *entries)
    journal = [replace(one, wall_ms=begun_ms) if isinstance(one, Begun) else one for one in made.journal]
    lines = [replace(line, entry=one, text=line_from_entry(one)) for line, one in zip(made.lines, journal)]
    return rows_of(replace(made, session=replace(made.session, plan=plan, squad=SQUAD), lines=tuple(lines)))


@pytest.fixture
def tablet(tmp_path):
    """A tablet whose texts have names in comments, notes, joined swimmers and files' names."""
    store = Store(tmp_path / "one")
    store.open()
    entries = SwimmerJoined(80 * S, 1, 120 * S, name="Rowan"), Noted(70 * S, "Kitty was late", 0)
    rows = run(PLAIN, 1_772_700_000_000, *entries)
    rows = more(rows, Touched(9, 0, 0, 0, 2, 2, 1, 500 * S, 8_000, source="from Gus's times.csv"))
    rows = more(rows, Corrected(9, len(rows.rows), 8_100, "from Zuzanna.csv"))
    take_in(store, [rows])
    for name, text in (
        ("plans/thursday.txt", PLAIN),
        ("put-away/monday.txt", PLAIN.replace("Thursday", "Monday")),
        ("squads/thursday.toml", SQUAD),
        ("squads-put-away/old.toml", SQUAD.replace('"Bo"', '"Gus Marlow"').replace("1:40", "1:41")),
        ("drills.toml", BOOK),
    ):
        (tmp_path / "one" / name).parent.mkdir(exist_ok=True)
        (tmp_path / "one" / name).write_text(text)
    return store


def exports(store, tmp_path, monkeypatch, *options):
    """Every file that the command line writes, and the tablet's own."""
    monkeypatch.setenv("PACER_HOME", str(store.folder))
    out = tmp_path / "out"
    paths = ["--csv", str(out / "csv"), "--json", str(out / "a.json"), "--ics", str(out / "a.ics")]
    assert main(["export", *paths, "--archive", str(out / "a.zip"), *options]) == 0
    return [path.read_bytes() for path in sorted(out.rglob("*")) if path.is_file()]


def test_no_known_name_is_in_any_export(tablet, tmp_path, monkeypatch, capsys):
    files = exports(tablet, tmp_path, monkeypatch)
    assert len(files) == 9 and names_in(*files, calendar(tablet, 0), archive(tablet, False)) == set()
    assert "Not exported" not in capsys.readouterr().err, "nothing had to stay for it"
    for command in (["log", "1"], ["log", "1", "--json"], ["review", "1"], ["review", "1", "--json"], ["season"]):
        assert main(command) == 0
        assert names_in(capsys.readouterr().out.encode()) == set(), command
    for command in (["series", "--json"], ["season", "--json"], ["log", "--json"]):
        assert main(command) == 0
        assert names_in(capsys.readouterr().out.encode()) == set(), command


def test_no_name_is_printed_where_a_coach_wrote_it_in_a_title_a_cue_or_a_focus(tablet, monkeypatch, capsys):
    monkeypatch.setenv("PACER_HOME", str(tablet.folder))
    plan = PLAN.format(title="Kitty's plan", focus="as Ölaf does", cue="Bo leads")
    take_in(tablet, [run(plan, 1_772_800_000_000)])
    (tablet.folder / "plans" / "kittys-plan.txt").write_text(plan.replace("2026-03-05", "2031-03-05"))
    (tablet.folder / "squads" / "thursday.toml").unlink()  # the sessions know their squads
    for command in ("log", "log 2", "review 2", "season", "series"):
        for option in ((), ("--json",)):
            assert main([*command.split(), *option]) == 0
            printed = capsys.readouterr().out
            assert names_in(printed.encode()) == set() and ("…" in printed or command == "review 2"), (command, printed)
    assert main(["series", "--names"]) == 0 and "Kitty's plan" in capsys.readouterr().out


def test_with_names_they_are_all_there(tablet, tmp_path, monkeypatch):
    assert names_in(*exports(tablet, tmp_path, monkeypatch, "--names")) == set(NAMES)


@pytest.mark.parametrize(
    ("title", "focus", "cue"),
    [("Kitty's plan", "rotation", "hips"), ("Roll", "as Ölaf does", "hips"), ("Roll", "rotation", "Bo leads")],
)
def test_what_has_a_name_where_everybody_reads_it_stays_here(tablet, tmp_path, monkeypatch, title, focus, cue):
    plan = PLAN.format(title=title, focus=focus, cue=cue)
    (tablet.folder / "plans" / "kittys-plan.txt").write_text(plan)
    take_in(tablet, [run(plan, 1_772_800_000_000)])
    (tablet.folder / "drills.toml").write_text(BOOK.replace("One hand waits", "As Kitty does"))
    data, told = archive_told(tablet, False)
    assert names_in(*exports(tablet, tmp_path, monkeypatch), calendar(tablet, 0), data) == set()
    (said,) = told
    assert "plan kittys-plan" in said and "drill book drills" in said and "session" in said
    assert len(read_archive(data).sessions) == 1, "the other session leaves"
    whole = read_archive(archive(tablet, True))
    assert len(whole.sessions) == 2 and "kittys-plan" in whole.texts.plans.shown


def test_a_file_named_after_a_swimmer_stays(tablet, tmp_path):
    (tablet.folder / "plans" / "for-zuzanna.txt").write_text("pool: 25 m\n100\n")
    squad = SQUAD.replace('"Bo"', '"Zuzanna"')
    (tablet.folder / "squads" / "thursday.toml").write_text(squad)
    assert "plan for-zuzanna" in archive_told(tablet, False)[1][0]


def test_leaving_names_out_makes_no_second_session_and_no_second_plan(tablet, tmp_path):
    other = Store(tmp_path / "two")
    other.open()
    import_archive(other, read_archive(archive(tablet, False)))
    before = archive(tablet, True)
    brought = import_archive(tablet, read_archive(archive(other, True)))
    assert brought.sessions == (0, 0, 1) and not any(made.new or made.newer for made in brought.texts)
    assert archive(tablet, True) == before, "comments, notes and names stay"
    assert import_archive(other, read_archive(before)).sessions == (0, 1, 0)
    assert archive(other, True) == before and archive(other, False) == archive(tablet, False)


def test_a_hidden_session_leaves_without_names_too(tablet, tmp_path, monkeypatch):
    hide(tablet, 1)
    assert names_in(*exports(tablet, tmp_path, monkeypatch)) == set()
