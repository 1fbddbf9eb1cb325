"""`pacer enter`: times from other people's files, by the command line."""

from __future__ import annotations

import pytest

from pacer.cli.commands import main
from pacer.review.swum.sessionreview import review_of
from pacer.session.storage.store import Store
from tests.review.enter.test_enteredtimes import PLAN, SQUAD

pytestmark = pytest.mark.real_clock
FILE = "Bib;Athlete;1;2;3\n4;Orla;1:22,1;1:23,0;1:24,5\n9;Wren;1:35,0;1:36,0;\n"
NEW = ("--plan", "plan.txt", "--squad", "squad.toml", "--at", "2026-03-05 18:30", "--set", "Main set 1")


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("PACER_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plan.txt").write_text(PLAN)
    (tmp_path / "squad.toml").write_text(SQUAD)
    (tmp_path / "times.csv").write_text(FILE)


def test_from_a_file_to_the_review_and_back(capsys):
    assert main(["enter", "times.csv", *NEW]) == 2
    said = capsys.readouterr().err
    assert '--column "Bib=…"   such as 4, 9' in said and "swimmer" in said
    assert main(["enter", "times.csv", *NEW, "--column", "Bib=skip"]) == 0
    assert capsys.readouterr().out == "session 1: 5 times entered\n"
    assert main(["enter", "times.csv", "--session", "1", "--set", "Main set 1"]) == 0  # the column is remembered
    assert capsys.readouterr().out == "session 1: 0 times entered, 5 there already\n"
    assert main(["log", "1"]) == 0 and "from a file" in capsys.readouterr().out
    assert main(["review", "1"]) == 0 and "5 timed repeats" in capsys.readouterr().out
    assert main(["enter", "--undo", "1"]) == 0 and capsys.readouterr().out == "session 1: 5 times undone\n"
    assert review_of(Store().session(1)).taken == 0
    assert main(["enter", "--undo", "1"]) == 1 and "nothing left to undo" in capsys.readouterr().err


def test_what_cannot_be_placed_stops_all_or_is_left_out(tmp_path, capsys):
    (tmp_path / "times.csv").write_text("name,line,time\nOrla,8,1:22.1\nAsh,8,1:22.1\n")
    new = NEW[:-2]
    assert main(["enter", "times.csv", *new]) == 2
    said = capsys.readouterr().err
    assert "times.csv:3:1: no swimmer called “Ash” in this session" in said and "Nothing was entered" in said
    assert not Store().sessions()
    assert main(["enter", "times.csv", *new, "--partly"]) == 0
    assert capsys.readouterr().out == "session 1: 1 time entered\n"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "name the CSV file"),
        (("times.csv",), "say which session"),
        (("times.csv", "--plan", "plan.txt"), "say which session"),
        (("times.csv", "--session", "7"), "There is no session 7."),
        (("none.csv", *NEW), "none.csv can't be opened"),
        (("times.csv", *NEW[:-1], "Warm-down"), "this session has no set"),
        (("times.csv", *NEW, "--column", "Bib"), "no name and meaning"),
        (("times.csv", *NEW, "--column", "Bib=shirt"), "isn't one of the choices"),
        (("times.csv", *NEW[:5], "yesterday"), "not a day and time"),
    ],
)
def test_what_is_refused(arguments, words, capsys):
    assert main(["enter", *arguments]) in (1, 2)
    assert words in capsys.readouterr().err
    assert not Store().sessions()


def test_a_list_of_swimmers_with_other_columns(tmp_path, capsys):
    (tmp_path / "list.csv").write_text("Given name,Surname,Age,400 free\nKit,Marsh,9,5:40\nAsh,Weir,9,6:00\n")
    assert main(["lanes", "list.csv", "--lanes", "1"]) == 2 and '--column "Age=…"' in capsys.readouterr().err
    assert main(["lanes", "list.csv", "--lanes", "1", "--column", "Age=skip"]) == 0
    assert 'name = "Ash Weir"' in capsys.readouterr().out
    assert main(["lanes", "list.csv", "--lanes", "1"]) == 0
    assert main(["lanes", "list.csv", "--lanes", "1", "--ask-again"]) == 2
