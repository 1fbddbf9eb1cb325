"""How a pasted page was understood, line by line, and what is still asked."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pacer.language import tr
from pacer.plan.filetext import MAX_COLUMNS, check_page, lines_of
from pacer.plan.layout.bulletsandsigns import visible
from pacer.plan.layout.pagetotals import difference, sums_of
from pacer.plan.layout.pastedline import Kind, Open
from pacer.plan.model import POOLS, Plan
from pacer.plan.pasted.correctedunasked import MAX_MENDED, corrected_row
from pacer.plan.pasted.linequestions import asked_of, open_question
from pacer.plan.pasted.planrows import Row, rows_of, rows_of_plan
from pacer.plan.pasted.question import Answer, Question
from pacer.plan.problem import Problem
from pacer.plan.text.fixes import EMPTY
from pacer.plan.text.livepage import LivePage, PageReading
from pacer.plan.text.standardform import rows_by_line, write_plan
from pacer.plan.words.ownwords import OwnWords

#: The messages about a line whose words are elsewhere on the plan.
ABOVE = {
    Kind.MORE: tr("part of the set above"),
    Kind.NOTE: tr("part of the note above"),
    Kind.LABEL: tr("for the sets below"),
}
MAX_GIVEN = 8  #: times that an answer given elsewhere is used on the same line: a line can have several such times


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the page with what was understood.

    `number` is 0 for something that the page does not say. `understood` is the plan's text; `told` is a message about
    it: that it was corrected, or that its total differs.
    """

    number: int
    written: str
    understood: tuple[str, ...]
    kind: Kind
    told: str = ""
    question: Question | None = None
    differs: bool = False  #: whether its total is another than the plan's


@dataclass(frozen=True, slots=True)
class Understood:
    """A pasted page: its `lines`, and the `text` of its plan, which is canonical once nothing is asked."""

    rows: tuple[Row, ...]
    lines: tuple[Line, ...]
    text: str
    plan: Plan | None
    gear: OwnWords | tuple[str, ...] = ()
    pools: tuple[str, ...] = POOLS
    mended: frozenset[int] = frozenset()
    taken: tuple[tuple[Question, str], ...] = ()  #: answered questions, each with the way of its answer
    source: str = ""  #: the page, if its lengths depend on a pool that is asked for
    as_written: bool = False  #: whether the page is already a plan

    @property
    def swum(self) -> bool:
        """Whether it has anything to swim."""
        return any(line.kind is Kind.SET for line in self.lines)

    @property
    def questions(self) -> tuple[int, ...]:
        """The places in `lines` that have a question."""
        return tuple(place for place, line in enumerate(self.lines) if line.question)

    def like(self, place: int) -> tuple[int, ...]:
        """The other places in `lines` that ask the same but for its numbers: one answer goes for them all."""
        question = self.lines[place].question
        if question is None or not any(answer.way for answer in question.answers):
            return ()
        asked = ((at, self.lines[at].question) for at in self.questions if at != place)
        return tuple(at for at, other in asked if other is not None and question.alike(other))

    def answered(self, place: int, choice: int) -> Understood:
        """The page after the question at a place in `lines` got the answer with that number.

        The same question elsewhere gets the same answer.
        """
        rows = list(self.rows)
        question = self.lines[place].question
        if question is None:
            raise ValueError(tr("nothing is asked at {place}", place=place))
        answer = question.answers[choice]
        _take(rows, place, answer)
        if _asks_pool(self.rows[place]) and self.source:
            rows = rows_of(self.source, answer.label, known=True)
        taken = (*self.taken, (question, answer.way)) if answer.way else self.taken
        return _understand(rows, self.gear, self.pools, self.mended, taken)


def _take(rows: list[Row], place: int, answer: Answer) -> None:
    """Apply an answer to the question at a place."""
    for at, plan in answer.plan:
        rows[at] = replace(rows[at], plan=plan)
    rows[place] = replace(rows[place], ask=None)


def understand(text: str, gear: OwnWords | tuple[str, ...] = (), pool: str = "") -> Understood:
    """What a page says, in the form that coaches keep it. `pool` is the likeliest pool if it names none.

    Raises Unreadable for something that is not text.

    >>> page = understand("Tuesday\\n25m pool\\nWU: 400 ch\\nMain\\n- 4x100 free on 2:00  = 400")
    >>> print(page.text, end="")
    title: Tuesday
    pool: 25 m
    <BLANKLINE>
    WU
      400 choice
    <BLANKLINE>
    Main
      4 x 100 free, on 2:00
    """
    shortened = "\n".join(line[: 2 * MAX_COLUMNS] for line in text.split("\n"))
    check_page(re.sub("[^\\S\n]|[^\\w\\s]", " ", shortened))  # its size; invisible characters are removed
    pools = (pool, *(each for each in POOLS if each != pool)) if pool else POOLS
    seen = "\n".join(map(visible, lines_of(text)))
    rows = rows_of_plan(text, seen) if _is_plan(seen, gear) else rows_of(text, pools[0])
    found = _understand(rows, gear, pools, frozenset())
    source = text if re.search(r"\blengths?\b", text, re.IGNORECASE) else ""
    return replace(found, source=source, as_written=found.text.split() == seen.split())


def _is_plan(text: str, gear: OwnWords | tuple[str, ...]) -> bool:
    """Whether a page is already a plan; one line in ten may have mistakes."""
    lines = lines_of(text)
    reading = LivePage(gear).read(lines)
    written = sum(1 for line in lines if line.strip())
    return reading.plan is not None and 10 * reading.unread <= written


def _understand(
    rows: list[Row],
    gear: OwnWords | tuple[str, ...],
    pools: tuple[str, ...],
    mended: frozenset[int],
    taken: tuple[tuple[Question, str], ...] = (),
    given: Counter[tuple[int, str]] | None = None,
) -> Understood:
    """Read the rows' plan, correct what has only one possible meaning, and report the rest.

    `taken` are answers that hold for the same question on other rows; `given` counts those that each row got.
    """
    live = LivePage(gear)
    for _ in range(MAX_MENDED):
        lines, places = _plan_of(rows, pools[0])
        reading = live.read(lines)
        mend = corrected_row(reading, lines, places, rows, live)
        if mend is None:
            break
        place, mended_plan = mend
        rows[place] = replace(rows[place], plan=mended_plan)
        mended |= {place}
    plan = reading.plan if reading.whole else None
    said = _said(rows, reading, lines, places, live, pools, mended)
    known = {place: _known(line.question, taken) for place, line in enumerate(said) if line.question}
    given = given or Counter()
    # A row that is asked the same again and again after that answer is left to the coach.
    fresh = {place: each for place, each in known.items() if each and given[place, each.way] < MAX_GIVEN}
    for place, answer in fresh.items():
        _take(rows, place, answer)
    if fresh:
        given = given + Counter((place, answer.way) for place, answer in fresh.items())
        return _understand(rows, gear, pools, mended, taken, given)
    asked = any(line.question for line in said)
    text = write_plan(plan) if plan and not asked else "\n".join(lines[_unsaid(rows) :]).strip("\n") + "\n"
    return Understood(tuple(rows), said, text, plan, gear, pools, mended, taken)


def _known(question: Question, taken: tuple[tuple[Question, str], ...]) -> Answer | None:
    """The answer that the same question has got elsewhere."""
    ways = {way for asked, way in taken if asked.alike(question)}
    return next((answer for answer in question.answers if answer.way in ways), None)


def _unsaid(rows: Sequence[Row]) -> int:
    """The number of lines at the head of the plan that the page does not say: its pool, while that is asked."""
    return 1 if _asks_pool(rows[0]) else 0


def _asks_pool(row: Row) -> bool:
    return row.ask is not None and row.ask.about is Open.POOL


def _plan_of(rows: Sequence[Row], pool: str) -> tuple[list[str], list[int]]:
    """The lines of the plan, and the row that each came from; while the pool is asked, the likeliest is used."""
    lines, places = [], []
    for place, row in enumerate(rows):
        for line in (f"pool: {pool}",) if _asks_pool(row) else row.plan:
            lines.append(line)
            places.append(place)
    return lines, places


def _said(
    rows: Sequence[Row],
    reading: PageReading,
    lines: list[str],
    places: list[int],
    live: LivePage,
    pools: tuple[str, ...],
    mended: frozenset[int],
) -> tuple[Line, ...]:
    """Each row with what was understood."""
    canonical = rows_by_line(reading.plan) if reading.plan else {}
    sums, ends = sums_of(reading.plan) if reading.plan and reading.whole else ([], {})
    wrong: dict[int, Problem] = {}
    for each in reading.problems:
        if each.whole_page:  # nothing to swim: every line has a question already, or is a remark
            continue
        wrong.setdefault(places[min(each.line, len(places)) - 1], each)
    wrong = {place: each for place, each in wrong.items() if not _still_open(place, each, rows, wrong)}
    first = {place: at for at, place in reversed(list(enumerate(places)))}
    last = {place: at for at, place in enumerate(places)}
    pool = next((line for line in lines if line.startswith("pool:")), f"pool: {pools[0]}")
    said, down = [], 0
    for place, row in enumerate(rows):
        down = last.get(place, down)
        question = open_question(place, rows, row.ask, pools, pool, live) if row.ask else None
        swum = any(line and not line.lstrip().startswith("#") for line in row.plan)
        problem = wrong.get(place) if swum else None
        if question is None and problem is not None:
            question = asked_of(problem, place, rows, lines, places, live)
        understood = tuple(
            text
            for at in range(first.get(place, 0), last.get(place, -1) + 1)
            for text in canonical.get(
                at + 1, () if lines[at].lstrip().startswith('"') or not lines[at] else (lines[at],)
            )
        )
        said.append(Line(row.number, row.written, understood or _plain(row), row.kind, "", question))
        notes, other = [tr("corrected")] if place in mended else [], ""
        if row.kind in ABOVE and not row.plan:
            notes.append(ABOVE[row.kind])
        if row.total and sums:
            other = difference(row.total, row.kind, down + 1, sums, ends)
            notes += [f"({row.total.words})"] if row.total.words else []
            notes.append(
                tr("your text says {distance:,}, but it adds up to {other}", distance=row.total.distance, other=other)
                if other
                else tr("total {distance:,}: right", distance=row.total.distance)
            )
        said[-1] = replace(
            said[-1],
            told="; ".join(notes),
            differs=bool(other),
            understood=() if question is not None and (problem or not row.number) else said[-1].understood,
        )
    return tuple(said)


def _still_open(place: int, problem: Problem, rows: Sequence[Row], wrong: dict[int, Problem]) -> bool:
    """Whether a section is only empty so far: something below it is asked about, which may become its first set."""
    if not problem.message.endswith(EMPTY):
        return False
    end = next((at for at in range(place + 1, len(rows)) if rows[at].kind is Kind.SECTION), len(rows))
    return any(rows[at].ask or at in wrong for at in range(place + 1, end))


def _plain(row: Row) -> tuple[str, ...]:
    """A row's plan lines if the plan says nothing else about them: notes and remarks."""
    return tuple(line for line in row.plan if line)
