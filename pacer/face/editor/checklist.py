"""All errors and checks of a plan as tiles: a tap goes to the line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from pacer.face.editor.notetiles import said_tiles
from pacer.face.editor.pagepainter import MARKS
from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.tiles.board import Bar, Board, Text, Tile
from pacer.face.tiles.page import Page
from pacer.face.tiles.totalsboard import ROW, totals_tiles
from pacer.language import tr
from pacer.plan.problem import Problem
from pacer.plan.sentence import sentences
from pacer.plan.text.fixes import Fix
from pacer.plan.text.linename import line_said
from pacer.plan.text.livepage import PageReading
from pacer.show.editing.fewerrounds import overrun_said
from pacer.show.editing.pagelayout import Note
from pacer.show.measure.typesizes import TITLE
from pacer.squad.lanenumbers import lane_numbers
from pacer.timeline.findings import Finding, Severity
from pacer.timeline.summary.totals import Totals

MARK = 0.8  #: side of a mark, in character heights


class CheckList(Board):
    """The list over a page, from the bar to the top. `fixes`: by the names of their keys in the list."""

    fixes: dict[str, Fix]

    def lay(
        self,
        page: Page,
        reading: PageReading,
        lines: Sequence[str],
        lanes: int,
        found: Sequence[Finding],
        totals: Totals | None,
        stale: bool,
        shorter: Sequence[Fix] = (),
    ) -> None:
        """Show what is known now. Errors are known at once; what comes in later goes below them.

        `shorter`: with each of them a plan that overruns would end in time.
        """
        self.theme, self.glass = page.theme, page.glass
        self.pos, self.size = (page.x, page.bar.top), (page.width, page.top - page.bar.top)
        wide, row = page.width - 2 * page.gap, round(ROW * TITLE * page.cap)
        title = Text((tr("Checks"),), (0, 0, wide, row), True, cap=TITLE)
        tiles = [Tile("", page.gap, page.gap, wide, row, (title,), "plain")]
        tiles += mistake_tiles(reading.problems, lines, tiles[-1].bottom + 0.5 * page.gap, page)
        top = tiles[-1].bottom + (page.gap if reading.problems else 0)
        tiles += totals_tiles(totals, reading.unread, page.gap, wide, page.cap, stale, top)
        self.fixes = {}
        if totals is not None and shorter and not stale:
            note = Note(int(Severity.WRONG), overrun_said(totals.over_ms, len(shorter)), "", tuple(shorter))
            said, self.fixes = said_tiles((note,), page, page.width)
            top = tiles[-1].bottom + page.gap
            tiles += [tile._replace(top=tile.top + top) for tile in said]
        tiles += check_tiles(found, lines, lanes, tiles[-1].bottom + page.gap, page)
        tiles.append(Tile("", 0, tiles[-1].bottom + page.gap, page.width, 1, (), "plain"))
        self.show(_named_apart(tiles), page.cap, page.padding)


def _named_apart(tiles: Sequence[Tile]) -> list[Tile]:
    """The tiles, each with a name of its own: `line 4`, and `line 4 2` for the second about the same line."""
    seen: Counter[str] = Counter()
    named = []
    for tile in tiles:
        seen[tile.name] += 1
        again = tile.name and seen[tile.name] > 1
        named.append(tile._replace(name=f"{tile.name} {seen[tile.name]}") if again else tile)
    return named


def mistake_tiles(problems: Sequence[Problem], lines: Sequence[str], top: float, page: Page) -> list[Tile]:
    """Errors of the text `lines`, one below the other from `top` down, in the sizes of `page`.

    The tile named `line 4` goes to the fifth line.
    """
    return _row_tiles(
        [(each.line, line_said(lines, each.line), sentences((each.message, each.hint)), True, "") for each in problems],
        top,
        page,
    )


def check_tiles(findings: Sequence[Finding], lines: Sequence[str], lanes: int, top: float, page: Page) -> list[Tile]:
    """The same for checks; `lanes` is how many lanes there are."""
    rows = []
    for each in findings:
        place = line_said(lines, each.line) if each.line else tr("Whole session")
        whom = lane_numbers(each.lanes, lanes)
        rows.append(
            (
                each.line,
                f"{place}, {whom}" if whom else place,
                sentences((each.message, each.hint)),
                each.severity <= Severity.WRONG,
                MARKS[int(each.severity)],
            )
        )
    return _row_tiles(rows, top, page)


def _cure_text(cure: str, box: tuple[float, float, float, float], rows: int) -> tuple[Text, ...]:
    return (Text((cure,), box, colour="dim", lines=rows, up="top"),) if cure else ()


def _row_tiles(
    rows: Sequence[tuple[int | None, str, tuple[str, ...], bool, str]], top: float, page: Page
) -> list[Tile]:
    """Rows of line, heading, what is wrong and its cure, whether it is bad, and the shape that marks it in the
    editor's margin too ("" for the bar of an error).
    """
    cap, pad, gap = page.cap, page.padding, page.gap
    left = 2 * pad + MARK * cap
    inner, row, tiles = page.width - 2 * gap - pad - left, round(ROW * cap), []
    for line, head, (message, cure), bad, shape in rows:
        above, said = len(rows_of(head, inner, cap, True)), len(rows_of(message, inner, cap))
        count = said + (len(rows_of(cure, inner, cap)) if cure else 0)
        high = max(page.target, (above + count) * row + 1.5 * pad)
        down = (high - (above + count) * row) / 2 + 0.2 * pad  # the middle of capitals is above the middle of their row
        texts = (
            Text(
                (head,),
                (left, down, inner, above * row),
                bold=True,
                colour="warn" if bad else "ink",
                lines=above,
                up="top",
            ),
            Text((message,), (left, down + above * row, inner, said * row), colour="ink", lines=said, up="top"),
            *_cure_text(cure, (left, down + (above + said) * row, inner, (count - said) * row), count - said),
        )
        wide = MARK * cap if shape else 0.5 * cap
        mark = Bar((pad, down + (row - MARK * cap) / 2, wide, MARK * cap), "float_" if bad else "dim", shape)
        tiles.append(
            Tile(
                f"line {line - 1}" if line else "",
                gap,
                top,
                page.width - 2 * gap,
                high,
                texts,
                "key" if line else "row",
                True,
                (mark,),
            )
        )
        top += high + gap
    return tiles
