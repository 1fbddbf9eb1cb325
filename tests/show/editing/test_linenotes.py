"""What is said below which line, and when."""

from __future__ import annotations

from pacer.plan.notation.planreader import read_plan
from pacer.plan.problem import Problem
from pacer.plan.text.fixes import Fix
from pacer.show.editing.linenotes import notes_of, underlines
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.checks.sendoffchecks import too_tight
from pacer.timeline.findings import Finding, Severity
from pacer.timeline.timeline import build_timeline

FIX = Fix("2:15", 2, 0, 1, "x")


def said(problems=(), findings=(), here=0, quiet=False, fixes=lambda each: (), lanes=6, together=lambda found: None):
    return notes_of(problems, findings, here, quiet, fixes, lanes, together)


def problem(line, message="no word", hint="perhaps free"):
    return Problem(line, 3, 6, message, hint)


def test_mistakes_are_underlined_where_they_are():
    assert underlines([problem(2), problem(2), problem(5)]) == {1: [(2, 5), (2, 5)], 4: [(2, 5)]}


def test_a_mistake_is_told_below_its_line_but_not_while_it_is_being_written():
    notes = said([problem(3)], here=7)
    assert [(note.message, note.hint, note.mistake) for note in notes[2]] == [("No word.", "Perhaps free.", True)]
    assert said([problem(3)], here=2, quiet=True) == {}
    assert 2 in said([problem(3)], here=7, quiet=True)


def test_fixes_are_shown_where_the_cursor_is_or_where_mistakes_are_few():
    many = [problem(line) for line in range(1, 6)]
    notes = said(many, here=1, fixes=lambda each: (FIX,))
    assert [bool(notes[line][0].fixes) for line in range(5)] == [False, True, False, False, False]
    assert said(many[:3], here=9, fixes=lambda each: (FIX,))[0][0].fixes


def finding(severity, line=3, lanes=(1, 2), message="waits up to 4:00", hint="more rounds"):
    return Finding(severity, line, lanes, message, hint)


def test_checks_that_matter_are_open_and_remarks_only_where_the_cursor_is():
    assert said(findings=[finding(Severity.WRONG)], here=9)[2][0].open
    assert not said(findings=[finding(Severity.CARE)], here=9)[2][0].open
    note = said(findings=[finding(Severity.CARE)], here=2)[2][0]
    assert note.open and (note.lanes, note.message, note.hint) == ("lanes 1, 2", "waits up to 4:00.", "More rounds.")


def test_elsewhere_only_the_worst_of_a_line_is_told():
    found = [finding(Severity.WRONG, message="can't be made"), finding(Severity.REMARK), finding(Severity.REMARK)]
    away, here = said(findings=found, here=9)[2], said(findings=found, here=2)[2]
    assert [note.message for note in away] == ["can't be made. And 2 more."] and len(here) == 3


def test_one_fix_for_all_lanes_takes_the_place_of_several():
    found = [finding(Severity.WRONG, lanes=(5,)), finding(Severity.WRONG, lanes=(6,))]
    notes = said(findings=found, here=2, fixes=lambda each: (FIX,), together=lambda found: FIX)[2]
    assert [note.fixes for note in notes] == [(), (FIX,), ()], "in sight where there is room for two only"


def test_lanes_too_tight_on_one_interval_share_a_sentence():
    plan = read_plan("pool: 25 m\n\nMain set\n  4 x 100 free on 1:30\n")
    squad = read_squad("".join(f'[[lane]]\nbase = "{base}"\n' for base in ("1:20", "1:31", "1:40", "1:45")))
    found = [each for each in too_tight(build_timeline(plan, squad)) if each.severity == Severity.WRONG]
    notes = said(findings=found, here=3, together=lambda found: FIX, lanes=4)[3]
    assert [(note.lanes, note.message, note.fixes) for note in notes] == [
        (
            "",
            "too tight: the slowest swimmer needs 1:31 in lane 2, 1:40 in lane 3 and 1:45 in lane 4, "
            "but has to leave every 1:30.",
            (),
        ),
        ("", "What each lane can manage:", (FIX,)),
    ]
    assert len(said(findings=found, here=3, lanes=4)[3]) == 3, "each with its own fix, where none is for all of them"


def test_what_is_about_the_whole_session_is_not_below_a_line():
    assert said(findings=[finding(Severity.WRONG, line=None)]) == {}
