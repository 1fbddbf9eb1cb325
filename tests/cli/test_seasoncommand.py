"""`pacer season`: the demo series' three sessions, and what is planned."""

from __future__ import annotations

import json

import pytest

from pacer.cli.commands import main
from tests.face.review.seriesscene import dated_plan, keep_series

pytestmark = pytest.mark.real_clock


@pytest.fixture(scope="module")
def swum(tmp_path_factory):
    folder = tmp_path_factory.mktemp("kept")
    keep_series(folder)
    (folder / "plans").mkdir()
    (folder / "plans" / "next.txt").write_text(dated_plan().replace("2026-03-26", "2126-03-28"), encoding="utf-8")
    return folder


@pytest.fixture(autouse=True)
def home(swum, monkeypatch):
    monkeypatch.setenv("PACER_HOME", str(swum))
    return swum


def test_all_of_it(capsys):
    assert main(["season"]) == 0
    told = capsys.readouterr().out
    assert "By month\n  month       sessions   distance" in told
    assert [row.split()[:3] for row in told.splitlines() if row.startswith(("  16 Mar", "  2 Mar"))] == [
        ["16", "Mar", "2026"],
        ["2", "Mar", "2026"],
    ]
    assert "lane 5   1:45  1:45  3 sessions" in told
    assert "Planned\n  Thursday 28 March 2126, 17:00: Long-axis rotation 5" in told
    assert "Orla" not in told and "By swimmer" not in told


def test_names_and_a_span(capsys):
    assert main(["season", "--names", "--since", "2026-03-10", "--until", "2026-03-12"]) == 0
    told = capsys.readouterr().out
    assert "9 Mar 2026" in told and "16 Mar 2026" not in told and "2 Mar 2026" not in told
    assert "Greta" in told and "1 of 1" in told


def test_as_json(capsys):
    assert main(["season", "--json"]) == 0
    text = capsys.readouterr().out
    told = json.loads(text)
    assert told["format"] == "pacer-season/1" and [one["from"] for one in told["weeks"]] == [
        "2026-03-02",
        "2026-03-09",
        "2026-03-16",
    ]
    assert sum(one["came"] for one in told["weeks"]) == told["months"][0]["came"] == 26 + 25 + 24
    assert [one["unit"] for one in told["bases"]["lanes"]["1"]] == ["m", "yd", "m"]
    assert told["planned"] == [{"day": "2126-03-28", "at": "17:00", "title": "Long-axis rotation 5"}]
    assert "Orla" not in text
    assert main(["season", "--json", "--names"]) == 0
    named = json.loads(capsys.readouterr().out)
    assert next(one for one in named["swimmers"] if one["name"] == "Orla")["of"] == 3
    tests = [{"swum": "200 in 3:04", "day": None}, {"swum": "400 in 6:24", "day": None}]
    assert named["bases"]["swimmers"]["Greta"][0]["tests"] == tests
    assert {one["base_unit"] for one in told["bases"]["lanes"]["1"]} == {"m"}


def test_no_day(capsys):
    assert main(["season", "--since", "spring"]) == 2
    assert "--since: “spring” is not a day: write 2026-03-05" in capsys.readouterr().err


def test_nothing_yet(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("PACER_HOME", str(tmp_path / "empty"))
    assert main(["season"]) == 0
    assert capsys.readouterr().out == "No sessions yet.\n"
