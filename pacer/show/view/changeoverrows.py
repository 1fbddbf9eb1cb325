"""The lines of the coming section as rows of text: as many and as large as there is room for."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import NamedTuple

from pacer.show.measure.fitting import Measure, cue_words, lines_height, wrapped
from pacer.show.wording.changeovertext import Changeover, ToldLine
from pacer.show.wording.viewtext import say

ALL = 99  #: cues of a line
LARGER = (1.6, 1.4, 1.25, 1.1, 1.0)  #: sizes the rows may have, in least characters


class Row(NamedTuple):
    """A row: its kind (head, detail or cue), ways to say it, how deep it is inside rounds, its lines of text."""

    kind: str
    ways: tuple[str, ...]
    depth: int
    lines: int


def indent_of(depth: int) -> float:
    """The indent of a row, in character heights."""
    return 0.55 + 0.9 * depth


def gap_above(kind: str) -> float:
    """The space above a row, in character heights."""
    return 0.5 if kind == "head" else 0.14


def told_rows(view: Changeover, width: float, height: float, unit: float, measure: Measure) -> tuple[float, list[Row]]:
    """Character height and rows that fit into `width` by `height`; characters are at least `unit` high.

    All of it, lane by lane or at least in short, as large as possible. If that is too much: how one drill is swum and
    one cue a line, then less of both, then no intervals either, then the first lines and how many more there are.
    """
    for fullest in (True, False):
        rows = _rows(view, view.lines, width, unit, measure, True, ALL, fullest, ALL)
        if _height(rows, unit) <= height:
            chosen = {row.ways: row.ways[:1] for row in rows}
            for larger in LARGER:
                grown = [_row(row.kind, chosen[row.ways], row.depth, width, larger * unit, measure) for row in rows]
                if _height(grown, larger * unit) <= height:
                    return larger * unit, grown
    for details, how, cues in product((True, False), (1, 0), (1, 0)):
        rows = _rows(view, view.lines, width, unit, measure, details, cues, how=how)
        if _height(rows, unit) <= height:
            return unit, rows
    for count in range(len(view.lines) - 1, -1, -1):
        rows = _rows(view, view.lines[:count], width, unit, measure, False, 0)
        rows.append(Row("cue", (say("more lines", n=len(view.lines) - count),), 0, 1))
        if _height(rows, unit) <= height:
            break
    return unit, rows


def _rows(
    view: Changeover,
    lines: Sequence[ToldLine],
    width: float,
    unit: float,
    measure: Measure,
    details: bool,
    cues: int,
    fullest: bool = False,
    how: int = 0,
) -> list[Row]:
    rows = []
    if view.cue and cues:
        rows.append(_row("cue", cue_words(view.cue)[:1], 0, width, unit, measure))
    for line in lines:
        rows.append(_row("head", (f"{line.head}  {line.work}".strip(),), line.depth, width, unit, measure))
        if details and line.detail[0]:
            rows.append(_row("detail", line.detail if fullest else line.detail[-2:], line.depth, width, unit, measure))
        rows += [_row("cue", (told,), line.depth, width, unit, measure) for told in line.how[:how]]
        if cues:
            said = [cue for cue in line.cues if cue != view.cue][:cues]
            rows += [_row("cue", cue_words(cue)[:1], line.depth, width, unit, measure) for cue in said]
    return rows


def _row(kind: str, ways: tuple[str, ...], depth: int, width: float, unit: float, measure: Measure) -> Row:
    """The longest way that fits into one or two lines; else the shortest way, in as many lines as it needs."""
    wide = width - indent_of(depth) * unit - 1
    bold = kind == "head"
    for place, way in enumerate(ways):
        for lines in (1, 2):
            if _fits(way, lines, wide, unit, measure, bold):
                return Row(kind, ways[place:], depth, lines)
    for lines in range(3, 9):
        if _fits(ways[-1], lines, wide, unit, measure, bold):
            break
    return Row(kind, ways[-1:], depth, lines)


def _fits(text: str, lines: int, width: float, unit: float, measure: Measure, bold: bool) -> bool:
    rows = wrapped(text, lines, measure, bold)
    return rows is not None and max(measure(row, unit, bold) for row in rows) <= width


def _height(rows: Sequence[Row], unit: float) -> float:
    return sum(lines_height(row.lines, unit) + gap_above(row.kind) * unit for row in rows)
