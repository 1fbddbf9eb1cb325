"""`pacer sheet`: a session on paper, as PDF files."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path

from pacer.cli.inputoutput import (
    FINE,
    STOPPED,
    UNREADABLE,
    CommandEnded,
    book_here,
    plan_and_squad,
    say_squad,
    timeline_for,
    write_file,
)
from pacer.language import tr
from pacer.plan.filename import name_from_title
from pacer.plan.problem import Unreadable
from pacer.plan.titles import UNTITLED, titled
from pacer.session.storage.store import Store, StoreTrouble
from pacer.show.figures.figure import Figure
from pacer.timeline.findings import CannotRun


def add_sheet(command: Callable[..., argparse.ArgumentParser]) -> None:
    """Add the command and its options."""
    made = command("sheet", sheet, tr("write the coach's sheet as PDF, and more sheets if asked for"), plan=None)
    made.add_argument("plan", metavar="PLAN", nargs="?", help=tr("the plan's text file, - for standard input"))
    made.add_argument(
        "--lanes", action="store_true", help=tr("also a sheet for each lane to read from the water, without names")
    )
    made.add_argument("--register", action="store_true", help=tr("also the register, with the swimmers' names"))
    made.add_argument("--svg", action="store_true", help=tr("also the figures as SVG files"))
    made.add_argument("--session", metavar="N", type=int, help=tr("the review of session N instead of a plan's sheets"))
    made.add_argument("--names", action="store_true", help=tr("include swimmers' names in the review"))
    made.add_argument(
        "--read-from",
        metavar="METRES",
        type=_metres,
        default=None,
        help=tr("how far away a lane's sheet can be read (1.5)"),
    )
    paper = made.add_mutually_exclusive_group()
    paper.add_argument("--a4", action="store_true", help=tr("for A4 (the default, except for pools in yards)"))
    paper.add_argument("--letter", action="store_true", help=tr("for US Letter"))
    made.add_argument("--folder", metavar="FOLDER", default=".", help=tr("where the files go (this folder)"))


def sheet(options: argparse.Namespace) -> int:
    """Write the sheets and print where they are."""
    if (options.plan is None) == (options.session is None):
        raise CommandEnded(tr("pacer sheet: name a plan, or a session with --session N"), UNREADABLE)
    files = _review(options) if options.plan is None else _plan(options)
    for name, data in files:
        stem, _, suffix = name.rpartition(".")
        write_file(Path(options.folder) / f"{name_from_title(stem)}.{suffix}", data)
    return FINE


def _plan(options: argparse.Namespace) -> list[tuple[str, bytes]]:
    from pacer.paper.lanesheet import READ_FROM_M
    from pacer.paper.papersize import A4, LETTER
    from pacer.paper.planpapers import plan_papers, usual_size
    from pacer.show.figures.planstrip import strip

    plan, squad = plan_and_squad(options)
    say_squad(squad)
    timeline = timeline_for(plan, squad)
    title = plan.title or (UNTITLED if options.plan == "-" else Path(options.plan).stem)
    size = LETTER if options.letter else A4 if options.a4 else usual_size(timeline)
    made = plan_papers(
        timeline,
        title,
        size,
        book=book_here(quiet=True),
        lanes=options.lanes,
        register=timeline.squad if options.register else None,
        read_from_m=options.read_from or READ_FROM_M,
    )
    return made + (_pictures({f"{title}, strip": strip(timeline)}) if options.svg else [])


def _review(options: argparse.Namespace) -> list[tuple[str, bytes]]:
    from pacer.paper.papersize import A4, LETTER
    from pacer.paper.pdffile import pdf_bytes
    from pacer.paper.reviewsheet import figures_of, review_sheet
    from pacer.review.report.reviewtext import ReviewText
    from pacer.review.swum.sessionreview import review_of

    store = Store()
    try:
        for told in store.open():
            print(told)
        kept = store.session(options.session)
        reading = ReviewText(review_of(kept), names=options.names, book=book_here())
    except StoreTrouble as trouble:
        raise CommandEnded(tr("pacer sheet: {trouble}", trouble=trouble), STOPPED) from None
    except (Unreadable, CannotRun):
        raise CommandEnded(tr("pacer sheet: this version can't run that session's plan"), STOPPED) from None
    title = titled(kept.listed.title)
    pages = review_sheet(reading, LETTER if options.letter else A4)
    name = tr("{title}, review {session}", title=title, session=options.session)
    made = [(f"{name}.pdf", pdf_bytes(pages, tr("{title}: review", title=title)))]
    return made + (_pictures(figures_of(reading, name)) if options.svg else [])


def _pictures(figures: Mapping[str, Figure]) -> list[tuple[str, bytes]]:
    from pacer.paper.svgfigure import svg_text

    return [(f"{name}.svg", svg_text(figure).encode()) for name, figure in figures.items()]


def _metres(text: str) -> float:
    metres = float(text)
    if not 0.5 <= metres <= 5:
        raise argparse.ArgumentTypeError(tr("from 0.5 to 5 metres"))
    return metres
