"""`pacer next`: the page after the third session of the demo series."""

from __future__ import annotations

import json

import pytest

from pacer.cli.commands import main
from pacer.plan.notation.planreader import read_plan

pytestmark = [pytest.mark.real_clock, pytest.mark.usefixtures("series_home")]
DAY = ["--day", "2026-03-24"]


def plans(series_home):
    return {path.name: path.read_bytes() for path in (series_home / "plans").iterdir()}


def test_the_page_and_why_and_nothing_written(series_home, capsys):
    before = plans(series_home)
    assert main(["next", "Long-axis", "rotation", *DAY]) == 0
    told = capsys.readouterr()
    plan = read_plan(told.out)
    assert plan.title == "Long-axis rotation 5", "the fourth is on the shelf already"
    assert plan.revisits == "Long-axis rotation 3" and plan.focus == "rolling from the hips at swimming speed"
    assert told.err.splitlines()[:2] == [
        "1. Skill set halved because it's a revisit: 3 x 50 instead of 6 x 50.",
        "2. Focus: rolling from the hips at swimming speed (three-stroke switch).",
    ]
    assert plans(series_home) == before


def test_without_steps(capsys):
    assert main(["next", *DAY, "--without", "2", "--without", "1"]) == 0
    told = capsys.readouterr()
    plan = read_plan(told.out)
    assert plan.focus == "backstroke rotation" and "6 x 50 as 25 scull" in told.out
    assert "three-stroke switch" in told.out and told.err.splitlines()[0].endswith("(left out)")


def test_written_when_asked(series_home, capsys):
    assert main(["next", *DAY, "--write"]) == 0
    path = capsys.readouterr().out.strip()
    made = series_home / "plans" / "long-axis-rotation-5.txt"
    assert path == str(made) and read_plan(made.read_text(encoding="utf-8")).title == "Long-axis rotation 5"
    assert main(["next", *DAY, "--write"]) == 0
    assert capsys.readouterr().out.strip().endswith("long-axis-rotation-6.txt"), "nothing is overwritten"


def test_as_json(capsys):
    assert main(["next", *DAY, "--json", "--without", "3"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["format"] == "pacer-next/1" and told["written"] is None
    assert [step["left_out"] for step in told["steps"]][:4] == [False, False, True, False]
    rows = told["plan"].splitlines()
    assert {rows[number - 1] for number in told["new_lines"]} >= {"title: Long-axis rotation 5"}
    assert "three-stroke switch /" not in told["plan"]


def test_what_cannot_be(capsys, tmp_path, monkeypatch):
    assert main(["next", *DAY, "--without", "9"]) == 2
    assert capsys.readouterr().err.startswith("--without 9: there is no such step\nhint: steps go from 1 to 6")
    monkeypatch.setenv("PACER_HOME", str(tmp_path / "empty"))
    assert main(["next"]) == 1
    assert capsys.readouterr().err == "pacer next: no session of a series has been swum yet\n"
    assert not (tmp_path / "empty" / "plans").exists()
