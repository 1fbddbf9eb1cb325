"""The notes below the lines of a page: errors, and checks once the plan is worked out. No Kivy."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from pacer.language import listed, tr, tr_n
from pacer.plan.problem import Problem
from pacer.plan.sentence import sentence
from pacer.plan.text.fixes import Fix
from pacer.plan.times import whole_up
from pacer.show.editing.pagelayout import Note
from pacer.squad.lanenumbers import lane_numbers
from pacer.timeline.checks.sendoffchecks import tight_said
from pacer.timeline.findings import Finding, Severity

#: Checks as bad as this are open below their line; the others open when the cursor is there.
OPEN_FROM = Severity.WRONG
FEW_ERRORS = 3  #: up to this many errors show their fixes wherever the cursor is


def underlines(problems: Sequence[Problem]) -> dict[int, list[tuple[int, int]]]:
    """Columns to underline, by line, all from 0."""
    made: dict[int, list[tuple[int, int]]] = {}
    for problem in problems:
        made.setdefault(problem.line - 1, []).append((problem.column - 1, problem.end_column - 1))
    return made


def alike_once(findings: Sequence[Finding]) -> list[tuple[Finding, str]]:
    """Findings of which no two say the same but for their numbers: the one with the greatest, and what it says.

    >>> waits = [Finding(Severity.REMARK, line, (), f"waits up to {wait}") for line, wait in ((2, "2:10"), (5, "7:17"))]
    >>> [(each.line, said) for each, said in alike_once(waits)]
    [(5, 'waits up to 7:17; 1 more like it')]
    """
    alike: dict[tuple[Severity, str], list[Finding]] = {}
    for each in findings:
        alike.setdefault((each.severity, re.sub(r"\d+", "#", each.message)), []).append(each)
    made = []
    for few in alike.values():
        worst = max(few, key=lambda each: [int(number) for number in re.findall(r"\d+", each.message)])
        others = len(few) - 1
        more = tr_n("{n} more like it", "{n} more like it", others) if others else ""
        made.append((worst, "; ".join(filter(None, (worst.message, more)))))
    return made


def notes_of(
    problems: Sequence[Problem],
    findings: Sequence[Finding],
    here: int,
    quiet: bool,
    fixes: Callable[[Problem | Finding], tuple[Fix, ...]],
    lanes: int,
    together: Callable[[Sequence[Finding]], Fix | None] = lambda found: None,
) -> Mapping[int, tuple[Note, ...]]:
    """The notes of each line, by line from 0.

    `here` is the cursor's line; if it is `quiet` (still being written) its errors are not shown yet. `fixes` are the
    known ones, `together` gives one for all checks of a line; `lanes` is how many there are.
    """
    made: dict[int, list[Note]] = {}
    for problem in problems:
        line = problem.line - 1
        if line == here and quiet:
            continue
        offered = fixes(problem) if line == here or len(problems) <= FEW_ERRORS else ()
        made.setdefault(line, []).append(
            Note(-1, _sentence(problem.message), _sentence(problem.hint), offered, mistake=True)
        )
    by_line: dict[int, list[Finding]] = {}
    for finding in findings:
        if finding.line is not None:
            by_line.setdefault(finding.line - 1, []).append(finding)
    for line, found in by_line.items():
        made.setdefault(line, []).extend(_checks(found, line == here, fixes, lanes, together))
    return {line: tuple(notes) for line, notes in made.items()}


def _checks(found: list[Finding], here: bool, fixes, lanes: int, together) -> list[Note]:
    """The checks of one line: all of them at the cursor, else only the worst, and open only if it is bad."""
    if here:
        whole = together(found)
        if whole is None:
            return [_note(each, lanes, fixes(each)) for each in found]
        notes = _joined(found, lanes)
        cure = Note(int(found[0].severity), tr("What each lane can manage:"), "", (whole,))
        return [notes[0], cure, *notes[1:]]  # before the other lanes: there may be room for two only
    worst = found[0]
    said = [_message(worst), *([tr("And {count} more.", count=len(found) - 1)] if len(found) > 1 else [])]
    opened = worst.severity <= OPEN_FROM
    return [Note(int(worst.severity), " ".join(said), "", (), lane_numbers(worst.lanes, lanes), open=opened)]


def _note(finding: Finding, lanes: int, fixes: tuple[Fix, ...]) -> Note:
    hint = "" if fixes else _sentence(finding.hint)
    return Note(int(finding.severity), _message(finding), hint, fixes, lane_numbers(finding.lanes, lanes))


def _joined(found: Sequence[Finding], lanes: int) -> list[Note]:
    """A note for each check, without fixes; lanes that are too tight on the same interval share one."""
    needs: dict[int, list[str]] = {}
    for each in found:
        if each.tight is not None:
            who = tr("{detail} in {lanes}", detail=whole_up(each.tight.needs_ms), lanes=lane_numbers(each.lanes, 0))
            needs.setdefault(each.tight.every_ms, []).append(who)
    notes = []
    for each in found:
        alike = [] if each.tight is None else needs[each.tight.every_ms]
        if each.tight is None or len(alike) == 1:
            notes.append(replace(_note(each, lanes, ()), hint=""))
        elif alike:
            notes.append(Note(int(each.severity), tight_said(listed(alike), each.tight.every_ms) + "."))
            alike.clear()  # the others of that interval are in it
    return notes


def _message(finding: Finding) -> str:
    return finding.message + "." if not finding.message.endswith((".", "”", "?")) else finding.message


def _sentence(text: str) -> str:
    return sentence(text, '.?!”"')
