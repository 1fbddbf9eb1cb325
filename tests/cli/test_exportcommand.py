"""`pacer export`."""

from __future__ import annotations

import json
import zipfile
from datetime import date

import icalendar
import pytest

from pacer.cli.commands import main
from pacer.shippedfiles import PLANS, SQUADS

pytestmark = pytest.mark.real_clock
PLAN, SQUAD = str(PLANS / "long-axis-rotation-3.txt"), str(SQUADS / "thursday.toml")


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    kept = tmp_path / "kept"
    for folder, source in (("plans", PLANS), ("squads", SQUADS)):
        (kept / folder).mkdir(parents=True)
        for path in source.iterdir():
            (kept / folder / path.name).write_bytes(path.read_bytes())
    monkeypatch.setenv("PACER_HOME", str(kept))
    monkeypatch.chdir(tmp_path)


def test_all_at_once(tmp_path, capsys):
    assert main(["export", "--csv", "csv", "--json", "x.json", "--ics", "x.ics", "--archive", "x.zip"]) == 0
    assert capsys.readouterr().out.splitlines()[-3:] == ["x.json", "x.ics", "x.zip"]
    assert len(list((tmp_path / "csv").iterdir())) == 6
    assert json.loads((tmp_path / "x.json").read_text())["format"] == "pacer-export/1"
    with zipfile.ZipFile(tmp_path / "x.zip") as packed:
        names = packed.namelist()
        assert "plans/long-axis-rotation-3.txt" in names and "squads/thursday.toml" in names
        assert b"Orla" not in packed.read("squads/thursday.toml")


def test_the_schema(capsys):
    assert main(["export", "--schema"]) == 0
    assert json.loads(capsys.readouterr().out)["title"] == "pacer export"


def test_a_planned_session(capsys):
    assert main(["export", "--ics", "-", "--plan", PLAN, "--squad", SQUAD, "--at", "2026-03-05 18:00"]) == 0
    (event,) = icalendar.Calendar.from_ical(capsys.readouterr().out).walk("VEVENT")
    assert str(event["SUMMARY"]) == "Long-axis rotation 3"
    assert event["DTSTART"].dt.astimezone().strftime("%Y-%m-%d %H:%M") == "2026-03-05 18:00"


def test_plans_that_say_their_date(tmp_path, capsys):
    home = tmp_path / "kept"
    frame = "title: {}\ndate: {}\npool: 25 m\n{}\nMain set\n  4 x 100 on 2:00\n"
    (home / "plans" / "a.txt").write_text(frame.format("Roll 4", "2026-03-26 18:30", "booking: 60 min\n"), "utf-8")
    (home / "plans" / "b.txt").write_text(frame.format("Roll 5", "2 April 2026", ""), "utf-8")
    (home / "plans" / "c.txt").write_text("title: No date\npool: 25 m\n\nMain set\n  100\n", "utf-8")
    broken = "title: Broken\ndate: 2026-03-26\npool: 25 m\n\nMain\n  4 x 0n\n"
    (home / "plans" / "d.txt").write_text(broken, "utf-8")
    assert main(["export", "--ics", "-"]) == 0
    text = capsys.readouterr().out
    first, second = icalendar.Calendar.from_ical(text).walk("VEVENT")
    assert first["DTSTART"].dt.astimezone().strftime("%Y-%m-%d %H:%M") == "2026-03-26 18:30"
    assert first["DURATION"].dt.total_seconds() == 3600 and str(first["STATUS"]) == "TENTATIVE"
    assert second["DTSTART"].dt == date(2026, 4, 2) and "DURATION" not in second, "the whole day"
    assert len({str(event["UID"]) for event in (first, second)}) == 2
    moved = ["export", "--ics", "-", "--plan", str(home / "plans" / "b.txt"), "--at", "2026-04-09 18:30"]
    assert main(moved) == 0
    _, event = icalendar.Calendar.from_ical(capsys.readouterr().out).walk("VEVENT")
    assert event["UID"] == second["UID"] and event["DTSTART"].dt.day == 9, "one entry, on another day"
    assert 0 < second["SEQUENCE"] <= event["SEQUENCE"] < 2**31


def test_a_plan_without_its_date_is_cancelled_in_a_whole_calendar_only(tmp_path, capsys):
    def statuses(*more):
        assert main(["export", "--ics", "-", *more]) == 0
        events = icalendar.Calendar.from_ical(capsys.readouterr().out).walk("VEVENT")
        return {str(event["SUMMARY"]): str(event["STATUS"]) for event in events}

    plan = tmp_path / "kept" / "plans" / "a.txt"
    text = "title: Roll 4\npool: 25 m\n\nMain set\n  4 x 100 on 2:00\n"
    plan.write_text(text.replace("pool", "date: 2026-03-26 18:30\npool"), "utf-8")
    assert statuses() == {"Roll 4": "TENTATIVE"}
    plan.write_text(text, "utf-8")
    assert statuses("--plan", str(plan), "--squad", SQUAD, "--at", "2026-04-02 18:30") == {"Roll 4": "TENTATIVE"}
    assert statuses() == {"Roll 4": "CANCELLED"}


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        ([], 2, "say what to write"),
        (["--ics", "-", "--plan", PLAN], 2, "--plan and --at go together"),
        (["--ics", "-", "--plan", PLAN, "--at", "tomorrow"], 2, "write 2026-03-05 18:30"),
        (["--ics", "-", "--plan", PLAN, "--at", "2026-13-05 18:30"], 2, "is not a day and time"),
        (["7", "--json", "-"], 1, "pacer export: "),
        (["--json", "kept/plans"], 2, "could not be written"),
    ],
)
def test_refusals(capsys, arguments, code, said):
    assert main(["export", *arguments]) == code
    assert said in capsys.readouterr().err
