"""`pacer drills`, and the drill book in `pacer check`."""

from __future__ import annotations

import json

import pytest

from pacer.cli.commands import main
from pacer.shippedfiles import PLANS, SQUADS

pytestmark = pytest.mark.real_clock


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    folder = tmp_path / "kept"
    folder.mkdir()
    monkeypatch.setenv("PACER_HOME", str(folder))
    return folder


def test_the_book(capsys):
    assert main(["drills"]) == 0
    rows = capsys.readouterr().out.splitlines()
    assert len(rows) == 8 and rows[4] == "catch-up             a long arm in front"


def test_one_drill_by_another_name(capsys):
    assert main(["drills", "one", "arm"]) == 0
    told = capsys.readouterr().out
    assert told.startswith("single arm\n  also: one arm\n  for: shoulder before hand\n  how: One arm swims")


def test_one_that_is_not_there(capsys):
    assert main(["drills", "catchp"]) == 1
    assert capsys.readouterr().err == "pacer drills: the drill book has no “catchp”\nhint: did you mean catch-up?\n"


def test_as_json(capsys):
    assert main(["drills", "catch up", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["format"] == "pacer-drills/1" and [drill["name"] for drill in told["drills"]] == ["catch-up"]


def test_the_tablets_own_book(home, capsys):
    (home / "drills.toml").write_text('[[drill]]\nname = "zipper"\nhow = "x"\n')
    assert main(["drills"]) == 0 and capsys.readouterr().out == "zipper\n"
    (home / "drills.toml").write_text("[[drill]]\n")
    assert main(["drills"]) == 0 and "Using the demo drills for now" in capsys.readouterr().err


def test_a_book_that_was_named_and_cannot_be_read(tmp_path, capsys):
    (tmp_path / "mine.toml").write_text('[[drill]]\nname = "a"\n')
    assert main(["drills", "--book", str(tmp_path / "mine.toml")]) == 2
    assert "mine.toml:1:1: the drill a has no how" in capsys.readouterr().err


def test_check_notes_names_that_are_not_in_it(tmp_path, capsys):
    plan = tmp_path / "plan.txt"
    plan.write_text("pool: 25 m\nSkills\n  4 x 50 drill catchp, rest 0:20\n")
    assert main(["check", str(plan)]) == 0
    assert "the drill book has no “catchp”" in capsys.readouterr().out
    assert main(["check", str(PLANS / "long-axis-rotation-4.txt"), "--squad", str(SQUADS / "thursday.toml")]) == 0
    assert "drill book" not in capsys.readouterr().out


def test_what_is_wrong_with_the_book_is_said_once(home, capsys):
    (home / "drills.toml").write_text("[[drill]]\n")
    plan, squad = str(PLANS / "long-axis-rotation-4.txt"), str(SQUADS / "thursday.toml")
    for arguments in (["check", plan, "--squad", squad], ["check", plan], ["check", plan, "--json"]):
        main(arguments)
        assert capsys.readouterr().err.count("Using the demo drills for now") == 1, arguments


OTHER = """[[drill]]
name = "zipper"
how = "Thumb up the side."
easier = "catch"

[[drill]]
name = "catch"
how = "Wait in front."

[[drill]]
name = "scull"
how = "Ours, but longer."
"""


def test_the_other_tablets_book(home, capsys):
    """Its drills are named, taken over one or all, and it is hidden."""
    assert main(["drills", "--take"]) == 1 and "no drill book of another tablet" in capsys.readouterr().err
    (home / "drills.toml").write_text('# ours\n[[drill]]\nname = "scull"\nhow = "x"\n')
    (home / "drills-12345678.toml").write_text(OTHER)
    assert main(["drills"]) == 0
    told = capsys.readouterr()
    assert (
        told.out == "scull\n"
        and "drills-12345678.toml, has drills you don't have, or that differ from yours: zipper, catch, scull"
        in told.err
    )
    assert main(["drills", "--take"]) == 0 and capsys.readouterr().out == "added: zipper, catch\n"
    assert main(["drills", "zipper"]) == 0 and "catch" in capsys.readouterr().out
    assert main(["drills", "Scull", "--take", "--hide-other"]) == 0
    assert capsys.readouterr().out == "added: scull\nhidden: drills-12345678.toml\n"
    text = (home / "drills.toml").read_text()
    assert text.startswith("# ours\n") and "Ours, but longer." in text
    assert not (home / "drills-12345678.toml").exists()
    assert (home / "drills-put-away" / "drills-12345678.toml").read_text() == OTHER
    assert main(["drills", "--hide-other"]) == 1
