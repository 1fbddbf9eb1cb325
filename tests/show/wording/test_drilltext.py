"""Where a drill is next, everybody hears how it is swum; the coach's sheet has what to look for."""

from __future__ import annotations

from pacer.paper.coachsheet import coach_sheet
from pacer.paper.papersize import A4
from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.textbuffer import Spot, TextBuffer
from pacer.session.journal.entries import Begun
from pacer.session.running.replay import apply, fresh
from pacer.shippedfiles import DEMO_PLAN
from pacer.show.drive.beforestart import ready
from pacer.show.editing.drillkeys import complete, drills_offered, growing_names
from pacer.show.view.changeoverrows import told_rows
from pacer.show.wording.changeovertext import changeover_view
from pacer.squad.defaultsquad import default_squad
from pacer.timeline.findings import Severity
from pacer.timeline.summary.planned import all_findings
from pacer.timeline.timeline import build_timeline
from tests.plan.library.test_drillbook import BOOK

HOW = "Six kicks on one side, then one stroke rolls you over: six kicks on the other side."
TEXT = "pool: 25 m\nWarm-up\n  100\nMain set\n  4 x 100 as 50 drill 6-kick switch / 50 back, on 2:30\n"
TEXT += "  2 x 50 drill one arm, rest 0:20\n"
TIMELINE = build_timeline(read_plan(TEXT), default_squad())


def test_the_changeover_page_tells_how():
    run = apply(fresh(TIMELINE), Begun(0, 0, 1_764_003_600_000))
    view = changeover_view(run, 110_000, book=BOOK)
    assert view.lines[0].how == (HOW,)
    _, rows = told_rows(view, 900, 700, 20, lambda text, cap, bold: len(text) * cap * 0.6)
    assert (HOW,) in [row.ways for row in rows]
    assert changeover_view(run, 110_000).lines[0].how == ()


def test_it_is_left_out_before_a_set_is():
    run = apply(fresh(TIMELINE), Begun(0, 0, 1_764_003_600_000))
    _, rows = told_rows(changeover_view(run, 110_000, book=BOOK), 300, 150, 20, lambda t, cap, bold: len(t) * cap * 0.6)
    kinds = [row.kind for row in rows]
    assert kinds.count("head") == 2 and (HOW,) not in [row.ways for row in rows]


def test_before_the_start_every_drill_is_told_once():
    told = ready(TIMELINE, TEXT, book=BOOK)
    assert told.drills == (f"six-kick switch: {HOW}", f"single arm: {BOOK.drill('single arm').how}")


def test_the_coachs_sheet_has_what_to_look_for():
    text = " ".join(one.text for page in coach_sheet(TIMELINE, A4, BOOK) for one in page.letterings)
    assert "look for: hip and shoulder come over together" in text
    assert "common faults: only the arm comes over: start the roll with the hip" in text


def test_a_name_the_book_does_not_know_is_a_note():
    timeline = build_timeline(
        read_plan("pool: 25 m\n50 drill catchp\n50 drill zipper\n50 scull zipper\n"), default_squad()
    )
    notes = [(f.line, f.message, f.hint) for f in all_findings(timeline, BOOK) if "drill book" in f.message]
    assert notes == [
        (2, "the drill book has no “catchp”", "did you mean catch-up?"),
        (3, "the drill book has no “zipper”", ""),
    ]
    assert {f.severity for f in all_findings(timeline, BOOK) if "drill book" in f.message} == {Severity.REMARK}
    assert not [f for f in all_findings(timeline) if "drill book" in f.message]


def test_names_grow_while_they_are_written():
    draft = TextBuffer("  4 x 50 drill s, on 1:00")
    draft.go(Spot(0, 16))
    assert growing_names(draft, BOOK) == ("side kick", "six-kick switch", "single arm", "scull front")
    complete(draft, "single arm")
    assert draft.text == "  4 x 50 drill single arm, on 1:00" and draft.cursor == Spot(0, 25)
    assert growing_names(draft, BOOK) == ()
    draft.undo()
    assert draft.text == "  4 x 50 drill s, on 1:00"
    draft.go(Spot(0, 8))
    assert growing_names(draft, BOOK) == ()


def test_keys_have_the_coachs_own_drills_first():
    offered = drills_offered([DEMO_PLAN.read_text(encoding="utf-8"), "50 drill zipper"], BOOK)
    assert offered[:3] == ("six-kick switch", "zipper", "kick on side") and len(offered) == 8
