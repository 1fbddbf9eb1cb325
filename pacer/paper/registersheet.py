"""The register to tick by hand: a squad's swimmers, lane by lane, with boxes for the days. It has names."""

from __future__ import annotations

from pacer.language import tr
from pacer.paper.letterwidths import spelt, width_of
from pacer.paper.papersize import Page, PaperSize
from pacer.paper.sheetpages import HAND_CAP, THIN, Cell, Flow, Piece, bookmark, gap, row, words
from pacer.show.figures.drawing import Line
from pacer.show.measure.wordwrap import wrapped_words
from pacer.squad.squad import Squad, called

CAP = HAND_CAP
DAYS = 8  #: boxes side by side
BOX_MM = 11.0
LEAST_ROW_MM = 8.0  #: room for a pen
#: A reminder that these are people's names.
KEEP = tr("This list has names on it, perhaps children's. Keep it with you; don't leave it on poolside.")


def register_sheet(squad: Squad, size: PaperSize) -> list[Page]:
    """The pages. Swimmers without a name are numbered in their lane."""
    flow = Flow(size)
    names = flow.width - DAYS * BOX_MM
    flow.block(
        [
            *words(squad.name or tr("Register"), flow.width, 2 * CAP, bold=True),
            *words(KEEP, flow.width, CAP, colour="dim"),
            gap(3),
            dates := _dates(names),
        ]
    )
    for lane in squad.lanes:
        title = (
            tr("Lane {number}, group {group}", number=lane.number, group=lane.group)
            if lane.group
            else tr("Lane {number}", number=lane.number)
        )
        head = _row(title, names, bold=True)
        said = [called(one, place) for place, one in enumerate(lane.swimmers)]
        flow.repeated = (dates,)
        flow.block([bookmark(tr("Lane {number}", number=lane.number)), head, *[_row(name, names) for name in said[:1]]])
        flow.repeated = (dates, head)
        for name in said[1:]:
            flow.block([_row(name, names)])
    flow.repeated = (dates,)
    flow.block([gap(3), _row(tr("Head count in"), names, bold=True), _row(tr("Head count out"), names, bold=True)])
    return flow.finished(tr("Register, {name}", name=squad.name) if squad.name else tr("Register"))


def _dates(names: float) -> Piece:
    """What is written above the boxes."""
    return row([Cell(names + (day + 0.5) * BOX_MM, tr("date"), "middle", colour="dim") for day in range(DAYS)], CAP)


def _row(text: str, names: float, bold: bool = False) -> Piece:
    """A name in as many rows as it needs, and a box for each day."""
    rows = wrapped_words(spelt(text), names - 2 * CAP, lambda part: width_of(part, CAP, bold), breaks=True)
    texts = [row([Cell(CAP, one, bold=bold)], CAP) for one in rows]
    high = max(LEAST_ROW_MM, sum(one.height for one in texts) + CAP)

    def put(page: Page, left: float, top: float) -> None:
        at = top - (high - sum(one.height for one in texts)) / 2
        for one in texts:
            one.put(page, left, at)
            at -= one.height
        right = left + names + DAYS * BOX_MM
        for y in (top, top - high):
            page.lines.append(Line(((left, y), (right, y)), THIN, "line"))
        for day in range(DAYS + 1):
            x = left + names + day * BOX_MM
            page.lines.append(Line(((x, top), (x, top - high)), THIN, "line"))

    return Piece(high, put)
