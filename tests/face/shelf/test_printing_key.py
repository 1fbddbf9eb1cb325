"""One press on a plan's page writes its sheets."""

from __future__ import annotations

import time

import pytest
from pypdf import PdfReader

from pacer.plan.library.shelf import Shelf
from pacer.shippedfiles import DEMO_PLAN, DEMO_SQUAD
from pacer.squad.files.squadreader import squad_from_bytes
from pacer.squad.register.roster import Roster, present

pytestmark = pytest.mark.real_clock


def test_sheets(window, tmp_path):
    from kivy.clock import Clock

    from pacer.face.shelf.planpage import PlanPage

    squad = squad_from_bytes(DEMO_SQUAD.read_bytes())
    named = next(
        (at, place) for at, lane in enumerate(squad.lanes) for place, one in enumerate(lane.swimmers) if one.name
    )
    roster = Roster(squad, frozenset({named}))
    page = PlanPage(
        Shelf(tmp_path, [DEMO_PLAN]),
        "long-axis-rotation-3",
        present(squad, roster.away),
        everybody=squad,
        size_hint=(None, None),
        size=(1280, 800),
    )
    told = []
    page.tell = lambda *ways: told.append(ways[0])
    assert "print" in {key.name for key in tuple(page.keys())}
    page.press("print")
    assert told == ["Making the sheets …"]
    until = time.monotonic() + 30
    while len(told) < 2 and time.monotonic() < until:
        time.sleep(0.05)
        Clock.tick()
    assert told[1].startswith("3 PDF files saved in ")
    assert len(list((tmp_path / "out").glob("*.pdf"))) == 3
    (register,) = (tmp_path / "out").glob("*register.pdf")
    text = "".join(page.extract_text() for page in PdfReader(register).pages)
    (absent,) = roster.absent
    assert absent.name in text, "who is absent today is still in the squad"
