"""The questions about lines of a pasted page, and what a line becomes with each answer."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from pacer.plan.cutting.wordsfirst import NOTED
from pacer.plan.notation.pagelines import LABELLED
from pacer.plan.pasted.linekinds import LABEL
from pacer.plan.pasted.planrows import INDENT, Row
from pacer.plan.pasted.solving import solved, uncounted
from pacer.plan.problem import Problem
from pacer.plan.text.fixes import fixes_for
from pacer.plan.text.livepage import LiveReading
from pacer.plan.words.labels import groups_of, is_work
from pacer.plan.words.vocabulary import LINE_WORDS

REMARK = "Keep it as a comment"
_OPENS = re.compile(r"\s+[0-9]+ rounds?")  #: the line of rounds that begin above a row's set
MAX_WORDS, MAX_TRIED = 20, 150  #: words of a line in which a note is sought; ways to choose them that are tried


@dataclass(frozen=True, slots=True)
class Answer:
    """One possible meaning of a line: its name, and what the plan's lines of some rows become.

    `way` is the same for the same meaning of another line; "" if the answer is only for this line.
    """

    label: str
    plan: tuple[tuple[int, tuple[str, ...]], ...]
    way: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """A question about a row, with its answers, the likeliest first."""

    text: str
    answers: tuple[Answer, ...]

    def alike(self, other: Question) -> bool:
        """Whether another question is the same but for its numbers."""
        ways = [answer.way for answer in self.answers]
        return (
            _numberless(self.text) == _numberless(other.text)
            and ways[:2] == [answer.way for answer in other.answers][:2]
        )


def open_question(place: int, row: Row, rows: Sequence[Row], pools: tuple[str, ...]) -> Question | None:
    """The question about what a row's `ask` leaves open; None if there is none."""
    if row.ask == "pool":
        return Question("How long is the pool?", tuple(Answer(pool, ((place, (f"pool: {pool}",)),)) for pool in pools))
    if row.ask.endswith("rounds"):
        return _rounds_question(place, row, rows)
    if row.ask.endswith("to the gap"):
        return _gap_question(place, row, rows)
    if row.ask.endswith(":"):
        return _label_question(place, row, any(_labelled(rows, at) for at in (place - 1, place + 1)))
    name = next(at for at, line in enumerate(row.plan) if line and not line.startswith(" "))

    def with_head(head: str) -> tuple[tuple[int, tuple[str, ...]], ...]:
        return ((place, (*row.plan[:name], head, *row.plan[name + 1 :])),)

    head = row.plan[name]
    return Question(
        f"What does {row.ask} mean here?",
        (
            Answer("A guide: about so long", with_head(f"{head}  # {row.ask}")),
            Answer(f"Swim it for {row.ask}, round after round", with_head(f"{head}, for {row.ask}")),
            Answer(f"Stop after {row.ask}", with_head(f"{head}, at most {row.ask}")),
        ),
    )


def _labelled(rows: Sequence[Row], at: int) -> bool:
    """Whether a row has a word before its set, like rows for one group after the other."""
    return 0 <= at < len(rows) and bool(LABEL.match(rows[at].written)) and not is_work(rows[at].written.split(":")[0])


def _label_question(place: int, row: Row, several: bool) -> Question:
    """The question what a word before a set names; after `several` such rows, a group is likelier than a section."""
    word = row.ask.rstrip(":")
    at = next(at for at, line in enumerate(row.plan) if line.lstrip().startswith(word))
    rest = row.plan[at].lstrip().removeprefix(word).lstrip(" :")
    section = (*row.plan[:at], "", word, f"{INDENT}{rest}", *row.plan[at + 1 :])
    answers = (
        Answer("A section", ((place, section),), "a section"),
        Answer("A group of the squad", ((place, row.plan),), "a group"),
    )
    return Question(f"What is “{word}”?", answers[::-1] if several else answers)


def _rounds_question(place: int, row: Row, rows: Sequence[Row]) -> Question:
    """The question what a count on its own repeats."""
    count, answers = row.ask, []
    over = [at for at in row.over if rows[at].plan]
    for first in dict.fromkeys((over[:1] + over[-1:]) if over else ()):
        inside = range(first, max(place, over[-1]) + 1)
        changed = {
            at: tuple(INDENT + line if line else line for line in rows[at].plan) for at in inside if rows[at].plan
        }
        top = next((at for at, line in enumerate(changed[first]) if line and not line.startswith(INDENT * 2 + '"')), 0)
        outer = rows[first].plan[top]
        lead = outer[: len(outer) - len(outer.lstrip())] or INDENT
        changed[first] = (*changed[first][:top], f"{lead}{count}", *changed[first][top:])
        sets = sum(1 for at in over if at >= first)
        label = f"{count} of the {sets} sets above" if sets > 1 else f"{count} of the last set"
        answers.append(Answer(label, tuple(changed.items())))
    note = () if rows[place].plan else (f"{INDENT}# {row.written}",)
    answers.append(Answer(REMARK, ((place, rows[place].plan or note),)))
    return Question(f"{count} of what?", tuple(answers))


def _gap_question(place: int, row: Row, rows: Sequence[Row]) -> Question:
    """The question whether a section's rounds end at the gap between its sets."""
    rounds = row.ask.removesuffix(" to the gap")
    changed: dict[int, tuple[str, ...]] = {}
    for at in range(row.over[0], row.over[-1] + 1):
        changed[at] = tuple(f"{INDENT}{line}" if line.startswith(INDENT) else line for line in rows[at].plan)
    changed[place] = tuple(line.replace(f", {rounds}", "", 1) for line in changed.get(place, row.plan))
    first = row.over[0]
    lead = next(at for at, line in enumerate(changed[first]) if line.startswith(INDENT))
    changed[first] = (*changed[first][:lead], f"{INDENT}{rounds}", *changed[first][lead:])
    answers = (
        Answer("At the gap", tuple(sorted(changed.items())), "at the gap"),
        Answer("At the end of the section", ((place, row.plan),), "at the end"),
    )
    return Question(f"Where do the {rounds} end?", answers)


def asked_of(
    problem: Problem, place: int, row: Row, lines: list[str], places: list[int], live: LiveReading
) -> Question:
    """The question about a line that is not understood; one answer always keeps it as a remark."""
    answers: list[Answer] = []
    halves: list[Answer] = []
    for fix in fixes_for(problem, lines, lambda page: live.would(page).problems):
        page = fix.applied(lines)
        at = problem.line - 1
        said = page[at].strip() if len(page) == len(lines) and fix.line == at else fix.says
        plan = tuple(changes(page, lines, places))
        if not all(line.lstrip().startswith("#") or _OPENS.fullmatch(line) for _, own in plan for line in own):
            same = _numberless(problem.message)
            after = [each for each in live.would(page).problems if each.line == problem.line]
            left = any(_numberless(each.message) != same for each in after)
            counted = bool(re.search(r'"[^"]*\d[^"]*"', said)) and '"' not in lines[at]  # a number is a note now
            left = left or counted and fix.says != NOTED
            (halves if left else answers).append(Answer(said, plan, _numberless(fix.says)))
    noted = _solved(lines, problem, live)
    if noted and answers and not uncounted(answers[0].label) and not noted.lstrip().startswith("rest "):
        noted = ""
    if not noted and not answers and not halves:
        noted = _with_note(lines, problem, live)
    if noted and noted.strip() not in (answer.label for answer in answers):
        changed = [*lines[: problem.line - 1], noted, *lines[problem.line :]]
        answers.insert(0, Answer(noted.strip(), tuple(changes(changed, lines, places))))
    answers = answers or halves
    kept = tuple(line if _OPENS.fullmatch(line) else f"{INDENT}# {line.strip()}" for line in row.plan if line.strip())
    answers.append(Answer(REMARK, ((place, kept),)))
    return Question(problem.message, tuple(answers))


def _solved(lines: list[str], problem: Problem, live: LiveReading) -> str:
    """The line with its unknown phrases as its note; "" if that does not help."""
    source = lines[problem.line - 1]
    if not source.startswith(" "):
        return ""
    label = LABELLED.match(source.lstrip())
    lead = label[0] if label and groups_of(label[1]) is not None else ""
    pool = next((line for line in lines if line.startswith("pool:")), "pool: 25 m")
    indent = source[: len(source) - len(source.lstrip())]
    made = solved(source[len(indent) + len(lead) :], pool, live)
    return f"{indent}{lead}{made}" if made else ""


def _with_note(lines: list[str], problem: Problem, live: LiveReading) -> str:
    """The line with as few words as possible made a note so that it can be read past its problem; "" if none helps."""
    source = lines[problem.line - 1]
    indent, words = source[: len(source) - len(source.lstrip())], source.split()
    if not indent or len(words) > MAX_WORDS or '"' in source:
        return ""
    pool = next((line for line in lines if line.startswith("pool:")), "pool: 25 m")
    spans = [(start, start + size) for size in range(1, len(words) - 1) for start in range(1, len(words) - size + 1)]
    spans.sort(key=lambda span: _unlikely(words, *span))
    past = ""
    for start, end in spans[:MAX_TRIED]:
        note = " ".join(words[start:end]).strip(" ,;:-/")
        note = note[1:-1] if note.startswith("(") and note.endswith(")") else note
        text = re.sub(r"\(\s*\)", "", " ".join([*words[:start], *words[end:]])).rstrip(" ,;:-/(")
        line = f'{indent}{text} "{note}"'
        counted = any(sign.isdigit() for sign in note)
        if counted or not _noteworthy(note):
            continue
        reading = live.would([pool, line])
        if reading.whole and reading.plan and len(reading.plan.sections[0].items) == 1:
            return line
        if (
            not past
            and not counted
            and len(note.split()) == 1
            and reading.problems
            and reading.problems[0].message != problem.message
        ):
            past = line
    return past


def _unlikely(words: list[str], start: int, end: int) -> tuple[bool, bool, int]:
    """A key to sort notes by, the likeliest first: words without a number, words between two commas, few words."""
    counted = any(sign.isdigit() for word in words[start:end] for sign in word)
    apart = words[start - 1].endswith(",") and (end == len(words) or words[end - 1].endswith(","))
    return counted, not apart, end - start


def _noteworthy(note: str) -> bool:
    """Whether words can be a note for the swimmers: at least one has no other meaning, and their brackets close."""
    words = re.findall(r"[^\W\d_]{3,}", note.casefold())
    return any(word not in LINE_WORDS and word != "off" for word in words) and note.count("(") == note.count(")")


def _numberless(text: str) -> str:
    return re.sub(r"[\d:.,]+", "0", text)


def changes(page: list[str], lines: list[str], places: list[int]) -> list[tuple[int, tuple[str, ...]]]:
    """The rows whose lines differ on a changed page, with their new lines; the page differs in one place only."""
    start = next((at for at, (old, new) in enumerate(zip(lines, page)) if old != new), min(len(lines), len(page)) - 1)
    more = len(page) - len(lines)
    end = next(
        (back for back in range(len(lines) - start) if lines[-1 - back] != page[-1 - back]), len(lines) - start - 1
    )
    last = len(lines) - end  # the first line that is the same again
    first_row, last_row = places[start], places[max(start, last - 1)]
    made = []
    for place in range(first_row, last_row + 1):
        own = [at for at, each in enumerate(places) if each == place]
        if own:
            until = own[-1] + 1 + (more if place == last_row else 0)
            made.append((place, tuple(page[own[0] : until])))
    return made
