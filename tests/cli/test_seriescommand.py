"""`pacer series`: the demo series after three sessions."""

from __future__ import annotations

import json

import pytest

from pacer.cli.commands import main

pytestmark = [pytest.mark.real_clock, pytest.mark.usefixtures("series_home")]


def test_at_a_glance(capsys):
    assert main(["series", "--day", "2026-03-24"]) == 0
    told = capsys.readouterr().out
    rows = {row.split("  ")[0].strip() or row.strip().split("  ")[0]: row for row in told.splitlines() if row}
    assert told.startswith("Long-axis rotation, Brackenmere Thursday: 3 sessions\n")
    assert rows["freestyle balance"].split()[2:] == ["1,985", "m", "·", "·", "·", "12", "days", "overdue"]
    switch = next(row for row in told.splitlines() if row.startswith("  six-kick switch"))
    assert switch.split()[2:] == ["346", "m", "432", "yd", "371", "m", "planned", "due", "16", "Apr"]
    assert "front scull" in told and "scull front" not in told, "by the book's name"
    assert (
        "Due: freestyle balance (12 days overdue), kick on side (12 days overdue) and backstroke balance and roll"
        in told
    )
    assert "The rule is pacer's own, not from research." in told
    assert "Orla" not in told and "3 swimmers missed something last time" in told


def test_names_only_if_asked_for(capsys):
    assert main(["series", "--names", "--day", "2026-03-24"]) == 0
    told = capsys.readouterr().out
    assert "  Bram: six-kick switch\n  Orla: single arm\n  Pilar: six-kick switch" in told


def test_by_its_name_or_a_page_of_it(capsys):
    assert main(["series", "long-axis", "rotation"]) == 0
    first = capsys.readouterr().out
    assert main(["series", "Long-axis rotation 2"]) == 0
    assert capsys.readouterr().out == first
    assert main(["series", "turns"]) == 1
    assert capsys.readouterr().err == ("pacer series: no series is called “turns”\nhint: there is Long-axis rotation\n")


def test_as_json(capsys):
    assert main(["series", "--json", "--day", "2026-03-24"]) == 0
    text = capsys.readouterr().out
    told = json.loads(text)
    (one,) = told["series"]
    assert told["format"] == "pacer-series/1" and [page["title"][-1] for page in one["pages"]] == list("1234")
    rows = {row["name"]: row for row in one["rows"]}
    assert rows["single arm"]["due"] == "2026-03-26" and rows["kick on side"]["is_due"]
    assert [visit["missed"] for visit in rows["six-kick switch"]["visits"]] == [0, 1, 2]
    assert "Orla" not in text
    assert main(["series", "--json", "--names"]) == 0
    named = json.loads(capsys.readouterr().out)["series"][0]
    assert [one["absent"] for one in named["sessions"]] == [[], ["Orla"], ["Bram", "Pilar"]]


def test_gaps_are_a_setting(series_home, capsys):
    (series_home / "settings.json").write_text(
        json.dumps({"revisit_days": 10, "revisit_growth": 150}), encoding="utf-8"
    )
    assert main(["series", "--day", "2026-03-24"]) == 0
    told = capsys.readouterr().out
    assert "A focus or drill is due again 10 days after it was swum, then after 15, 23 and 34 days." in told
    assert "single arm (" not in told and "backstroke balance and roll (2 days overdue)" in told


@pytest.mark.parametrize("day", ["soon", "2026-13-01"])
def test_no_day(day, capsys):
    assert main(["series", "--day", day]) == 2
    assert f"--day: “{day}” is not a day" in capsys.readouterr().err


def test_nothing_yet(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("PACER_HOME", str(tmp_path / "empty"))
    assert main(["series"]) == 0
    assert capsys.readouterr().out.startswith("No series yet")
