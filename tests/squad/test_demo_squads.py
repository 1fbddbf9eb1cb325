"""The demo squads read, write back, and suit plans with entries by lane and by group."""

from pathlib import Path

import pytest

from pacer.plan.model import Unit
from pacer.squad.files.squadreader import read_squad, squad_from_bytes
from pacer.squad.files.squadwriter import write_squad

FOLDER = Path(__file__).parents[2] / "assets" / "squads"
SQUADS = sorted(FOLDER.glob("*.toml"))


@pytest.mark.parametrize("path", SQUADS, ids=lambda path: path.stem)
def test_demo_squads(path):
    squad = squad_from_bytes(path.read_bytes())
    assert squad.name.startswith("Brackenmere ")
    assert list(dict.fromkeys(lane.group for lane in squad.lanes)) == ["A", "B", "C"]
    paces = [lane.base.per_100(Unit.METRE) for lane in squad.lanes]
    assert paces == sorted(paces)  # fast to slow
    for lane in squad.lanes:
        swimmers = [swimmer.base.per_100(Unit.METRE) for swimmer in lane.swimmers]
        assert swimmers == sorted(swimmers)
        # every lane's leader has room in 25 m (5 and 10 s: common practice)
        assert len(lane.swimmers) * lane.spacing_ms <= swimmers[0] * 25 * 2 / 100
    assert read_squad(write_squad(squad)) == squad


def test_what_they_show():
    shown = {path.stem: squad_from_bytes(path.read_bytes()) for path in SQUADS}
    assert set(shown) == {"masters", "thursday"}
    thursday, masters = shown["thursday"], shown["masters"]
    assert len(thursday.lanes) == 6
    assert sum(len(lane.swimmers) for lane in thursday.lanes) == 26
    assert any(lane.factors for lane in thursday.lanes)
    assert any(len({swimmer.base for swimmer in lane.swimmers}) > 1 for lane in thursday.lanes)
    assert len(masters.lanes) == 3
    assert [lane.base.unit for lane in masters.lanes].count(Unit.YARD) == 1
