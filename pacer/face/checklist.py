"""All mistakes and checks of a plan as tiles: a touch leads to the line."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.board import Text, Tile
from pacer.face.notes import lanes_said
from pacer.face.page import Page
from pacer.face.rows import rows_of
from pacer.face.totalsboard import ROW
from pacer.plan.problem import Problem
from pacer.plan.whereabouts import line_said
from pacer.timeline.findings import Finding, Severity


def mistake_tiles(problems: Sequence[Problem], lines: Sequence[str], top: float, page: Page) -> list[Tile]:
    """Mistakes of the text `lines`, one below the other from `top` down, in the sizes of `page`; `line 4` is the name of what leads to the fifth line."""
    return _row_tiles([(each.line, line_said(lines, each.line), each.message, True) for each in problems], top, page)


def check_tiles(findings: Sequence[Finding], lines: Sequence[str], lanes: int, top: float, page: Page) -> list[Tile]:
    """Checks likewise; `lanes` is how many there are in all."""
    rows = []
    for each in findings:
        place = line_said(lines, each.line) if each.line else "Whole session"
        whom = lanes_said(each.lanes, lanes)
        rows.append((each.line, f"{place}, {whom}" if whom else place, each.message, each.severity <= Severity.WRONG))
    return _row_tiles(rows, top, page)


def _row_tiles(rows: Sequence[tuple[int | None, str, str, bool]], top: float, page: Page) -> list[Tile]:
    """Rows of line, head, sentence, and whether it is bad."""
    cap, pad, gap = page.cap, page.padding, page.gap
    inner, row, tiles = page.width - 2 * gap - 2 * pad, round(ROW * cap), []
    for line, head, message, bad in rows:
        above, count = len(rows_of(head, inner, cap, True)), len(rows_of(message, inner, cap))
        high = max(page.target, (above + count) * row + pad)
        texts = (Text((head,), (pad, 0.4 * pad, inner, above * row), bold=True, colour="warn" if bad else "ink", lines=above),
                 Text((message,), (pad, above * row + 0.4 * pad, inner, count * row), colour="ink", lines=count, up="top"))
        tiles.append(Tile(f"line {line - 1}" if line else "", gap, top, page.width - 2 * gap, high, texts, "key" if line else "row"))
        top += high + gap
    return tiles
