"""Sheets written aside: what comes of them is told later, on Kivy's thread."""

from __future__ import annotations

import time
from io import BytesIO

import pytest
from pypdf import PdfReader

from pacer.plan.library.drillbook import EMPTY_BOOK
from pacer.plan.notation.planreader import read_plan
from pacer.shippedfiles import DEMO_PLAN, DEMO_SQUAD
from pacer.squad.files.squadreader import squad_from_bytes

pytestmark = pytest.mark.real_clock


def printed(folder, plan, squad):
    from kivy.clock import Clock

    from pacer.face.pages.planprinting import Printing

    printing, said = Printing(folder), []
    printing.write(plan, squad, EMPTY_BOOK, squad, said.append)
    assert said == [], "nothing is waited for"
    until = time.monotonic() + 30
    while not said and time.monotonic() < until:
        time.sleep(0.05)
        Clock.tick()
    printing.close()
    return said[0]


def test_three_files_and_where_they_are(window, tmp_path):
    plan, squad = read_plan(DEMO_PLAN.read_text(encoding="utf-8")), squad_from_bytes(DEMO_SQUAD.read_bytes())
    said = printed(tmp_path / "out", plan, squad)
    assert said == f"3 PDF files saved in {tmp_path / 'out'}. The register has names in it."
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "brackenmere-thursday-register.pdf",
        "long-axis-rotation-3-coach.pdf",
        "long-axis-rotation-3-lanes.pdf",
    ]
    pages = PdfReader(BytesIO((tmp_path / "out" / "long-axis-rotation-3-coach.pdf").read_bytes())).pages
    assert "Long-axis rotation 3" in pages[0].extract_text()


def test_why_there_is_none(window, tmp_path):
    squad = squad_from_bytes(DEMO_SQUAD.read_bytes())
    said = printed(tmp_path, read_plan("pool: 25 m\n4 x 100 on B 1:40 / C 1:50\n"), squad)
    assert "have no value" in said and not list(tmp_path.iterdir())
    (tmp_path / "file").write_text("")
    plan = read_plan(DEMO_PLAN.read_text(encoding="utf-8"))
    assert "can't be written to" in printed(tmp_path / "file" / "below", plan, squad)
