"""The golden files of tests/cases: a plan, perhaps a squad, and every event of some lanes.

A file has parts, each headed by a line that begins with `---`: `--- plan`, perhaps
`--- squad`, and for each lane to be checked `--- lane 2`. What stands before the first part
says which rule the file is for, with its numbers worked by hand. A lane has one event a row,

    1:05.5  2  change  Main set 1.2  3/4  50  | 50 drill back | same roll

which is: when, swimmer, kind, section, round.line, repeat/of, distance done, doing, cue (left
out with its bar where there is none). A lane without any row is one that swims nothing.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from pacer.plan.model import Plan
from pacer.plan.notation.planreader import read_plan
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import Squad
from pacer.timeline.timeline import build_timeline
from tests.reference.simulation import Row, simulate

CASES = sorted((Path(__file__).parent / "cases").glob("*.txt"))
ROW = re.compile(
    r"(?:(\d+):)?(\d+):(\d\d)(?:\.(\d{1,3}))? +(\d+) +(send-off|change|touch) +(.*?) *"
    r"\b(\d+)\.(\d+) +(\d+)/(\d+) +(\d+) *"
    r"\| *(.*?) *(?:\| *(.*))?"
)


def read_case(path: Path) -> tuple[Plan, Squad, dict[int, list[Row]]]:
    """The plan, the squad and the expected rows by lane number."""
    parts: dict[str, list[str]] = {}
    rows: list[str] = []
    for row in path.read_text(encoding="utf-8").splitlines():
        if row.startswith("---"):
            rows = parts.setdefault(row.strip("- "), [])
        else:
            rows.append(row)
    plan = read_plan("\n".join(parts.pop("plan")))
    squad = read_squad("\n".join(parts.pop("squad"))) if "squad" in parts else default_squad()
    lanes = {}
    for part, rows in parts.items():
        number = int(part.removeprefix("lane "))
        lanes[number] = [row_from_text(number, row) for row in rows if row.strip() and not row.startswith("#")]
    assert lanes, f"{path.name} expects nothing"
    return plan, squad, lanes


def row_from_text(lane: int, text: str) -> Row:
    match = ROW.fullmatch(text)
    assert match, f"not a row: {text}"
    hours, minutes, seconds, part, swimmer, kind, section, *numbers, doing, cue = match.groups()
    at_ms = (int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds)) * 1000 + int((part or "0").ljust(3, "0"))
    return Row(at_ms, lane, int(swimmer), kind, section, *map(int, numbers), doing, cue or "")


def engine_rows(plan: Plan, squad: Squad, counts=None) -> list[Row]:
    """What the engine's timeline says, in the words of the simulation."""
    timeline = build_timeline(plan, squad, counts)
    return [
        Row(e.at_ms, lane.number, e.swimmer, e.kind, *e.what)
        for index, lane in enumerate(timeline.lanes)
        for e in timeline.events(index)
    ]


@pytest.mark.parametrize("rows_of", [engine_rows, simulate])
@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_case(path, rows_of):
    plan, squad, expected = read_case(path)
    rows = rows_of(plan, squad)
    for number, lane in expected.items():
        assert [row for row in rows if row.lane == number] == lane


def test_there_are_cases():
    assert len(CASES) >= 14
