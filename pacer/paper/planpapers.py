"""All sheets of a plan as PDF files, by name."""

from __future__ import annotations

from pacer.language import tr
from pacer.paper.coachsheet import coach_sheet
from pacer.paper.lanesheet import READ_FROM_M, lane_sheet
from pacer.paper.papersize import A4, LETTER, PaperSize
from pacer.paper.pdffile import pdf_bytes
from pacer.paper.registersheet import register_sheet
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.plan.model import Unit
from pacer.squad.squad import Squad
from pacer.timeline.timeline import Timeline


def usual_size(timeline: Timeline) -> PaperSize:
    """The paper if none was asked for: US Letter if the pool is in yards, else A4."""
    return LETTER if timeline.plan.pool.unit is Unit.YARD else A4


def plan_papers(
    timeline: Timeline,
    title: str,
    size: PaperSize,
    *,
    book: DrillBook = EMPTY_BOOK,
    lanes: bool = False,
    register: Squad | None = None,
    read_from_m: float = READ_FROM_M,
) -> list[tuple[str, bytes]]:
    """The coach's sheet and, if asked for, the lanes' sheets in one file and the register.

    `register`: all of the squad, also those who are absent today; the register has their names.
    """
    squad = timeline.squad
    made = [
        (
            f"{title}, coach.pdf",
            pdf_bytes(coach_sheet(timeline, size, book), tr("{title}: the coach's sheet", title=title)),
        )
    ]
    if lanes:
        pages = [page for lane in range(len(squad.lanes)) for page in lane_sheet(timeline, lane, size, read_from_m)]
        made.append((f"{title}, lanes.pdf", pdf_bytes(pages, tr("{title}: the lanes' sheets", title=title))))
    if register is not None:
        name = register.name or title
        made.append(
            (f"{name}, register.pdf", pdf_bytes(register_sheet(register, size), tr("{name}: register", name=name)))
        )
    return made
