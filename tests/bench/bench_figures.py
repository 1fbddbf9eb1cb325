"""The cost of figures: a strip's description against its timeline, its picture on a shelf, a sheet as PDF.

python tests/bench/bench_figures.py
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]
os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
os.environ.update(
    KIVY_NO_ARGS="1", KIVY_NO_CONFIG="1", KIVY_NO_FILELOG="1", KIVY_NO_CONSOLELOG="1", KIVY_HOME=tempfile.mkdtemp()
)

from sessions import ten_lanes, two_hours
from table import against, alone, print_table

from pacer.paper.coachsheet import coach_sheet
from pacer.paper.papersize import A4
from pacer.paper.pdffile import pdf_bytes
from pacer.paper.svgfigure import svg_text
from pacer.plan.notation.planreader import read_plan
from pacer.shippedfiles import DEMO_PLAN, DEMO_SQUAD
from pacer.show.figures.planstrip import strip
from pacer.squad.files.squadreader import squad_from_bytes
from pacer.timeline.summary.planned import planned
from pacer.timeline.summary.totals import totals
from pacer.timeline.timeline import build_timeline


def main() -> None:
    """Measure and print."""
    plan, squad = two_hours(), ten_lanes()
    long = build_timeline(plan, squad)
    demo_plan, demo_squad = read_plan(DEMO_PLAN.read_text("utf-8")), squad_from_bytes(DEMO_SQUAD.read_bytes())
    demo = planned(demo_plan, demo_squad)[0]
    rows = [
        against(
            f"strip of the demo, 6 lanes, {len(strip(demo).bars)} bars, described",
            lambda: strip(demo),
            "its totals worked out, as the shelf does",
            lambda: totals(demo_plan, demo_squad, checks=False),
            20,
        ),
        alone(f"strip of 2 hours, 10 lanes, {len(strip(long).bars)} bars, described", lambda: strip(long), 20),
        alone("the demo's strip as SVG", lambda: svg_text(strip(demo)), 10),
        alone("the demo's coach's sheet, laid out", lambda: coach_sheet(demo, A4), 10),
    ]
    pages = coach_sheet(demo, A4)
    rows.append(alone("the same as PDF, fonts converted", lambda: pdf_bytes(pages, "x"), 5))
    from kivy.base import EventLoop

    from pacer.face.figures.figureview import FigureView

    EventLoop.ensure_window()
    for what, size, bare in (("on a shelf, no words", (420, 60), True), ("on a page, with words", (1240, 270), False)):
        view = FigureView(size=size, size_hint=(None, None), bare=bare)
        EventLoop.window.add_widget(view)
        figures = strip(demo), strip(demo)
        turn = [0]

        def draw(view=view, figures=figures, turn=turn) -> None:
            turn[0] += 1
            view.show(figures[turn[0] % 2])

        rows.append(alone(f"the demo's strip drawn {what}", draw, 20))
        EventLoop.window.remove_widget(view)
    print_table(rows)


if __name__ == "__main__":
    main()
