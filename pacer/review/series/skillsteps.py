"""The skill set on the next page: what was swum is halved to a revisit, and the next drills are added."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import partial
from typing import NamedTuple

from pacer.language import tr, tr_n
from pacer.plan.library.drillbook import Drill, DrillBook, drills_of, drills_of_plan
from pacer.plan.model import Break, ByLane, Flexible, Group, Item, Plan, Pool, Section, SetLine, Stroke
from pacer.plan.notation.planreader import read_line
from pacer.plan.planlines import all_items, numbered_lines, set_lines
from pacer.plan.problem import Unreadable
from pacer.plan.text.standardform import section_head, write_line
from pacer.plan.times import MINUTE_MS
from pacer.plan.words.ownwords import OwnWords
from pacer.review.series.mainandskillsets import has_drill, in_turn, is_skill, main_section, most_rounds, skill_sections
from pacer.review.series.pagestep import Kind, PageStep, with_section
from pacer.review.series.visited import SeriesRow, Visited

MOST_DUE = 2  #: due drills to add
LEAST_DRILL = 25  #: of a stretch of drill, in the pool's unit, or one length if that is more
MOST_DRILL = 200  #: of such a stretch
REPEATS = ((50, 4), (100, 3))  #: of a new drill, if a repeat is up to so long; else LEAST_TIMES_DRILLED
LEAST_TIMES_DRILLED = 2
SPOKEN = 3  #: changes to name in one sentence
SKILL = tr("Skill set")
NEW_SKILL = tr("New skill")
ONCE = ByLane((1,))
STROKES = (Stroke.BACK, Stroke.BREAST, Stroke.FLY, Stroke.FREE)


# -- shorter ---------------------------------------------------------------------------------------


def shorter_steps(plan: Plan, swum: Collection[tuple[int, int]] | None = None) -> Iterator[PageStep]:
    """A step for each skill set that can be halved.

    `swum`: the lines that somebody swam, by section index and number; None: all. The others stay as they are: what was
    not swum is no revisit.
    """
    for at in skill_sections(plan):
        section = plan.sections[at]
        mine = None if swum is None else frozenset(number for index, number in swum if index == at)
        made = halved(section, plan.pool, mine)
        if made == section:
            continue
        name = section.name or tr("Skill set")
        text = tr("{name} halved because it's a revisit: {told}.", name=name, told=_told(section, made))
        yield PageStep(f"shorter {at}", text, Kind.CHANGE, partial(_halve, at=at, swum=mine))


def _halve(plan: Plan, at: int, swum: frozenset[int] | None) -> Plan:
    return with_section(plan, at, halved(plan.sections[at], plan.pool, swum))


def halved(section: Section, pool: Pool, swum: frozenset[int] | None = None) -> Section:
    """The section with half its time, else half its rounds, else half the repeats of its lines. It keeps every line.

    `swum`: the numbers of the lines that were swum, None: all of them were.
    """
    count = sum(isinstance(item, SetLine) for item in all_items(section.items))
    swum = frozenset(range(1, count + 1)) if swum is None else swum
    if not swum:
        return section
    if section.for_ms is not None:
        return replace(section, for_ms=max(MINUTE_MS, -(-section.for_ms // (2 * MINUTE_MS)) * MINUTE_MS))
    if most_rounds(section) > 1:
        return replace(section, rounds=_half(section.rounds))
    numbers = itertools.count(1)
    return replace(section, items=tuple(_half_item(item, pool, numbers, swum) for item in section.items))


def _half_item(item: Item, pool: Pool, numbers: Iterator[int], swum: frozenset[int]) -> Item:
    if isinstance(item, Group):
        if most_rounds(item) > 1:
            mine = {next(numbers) for one in all_items(item.items) if isinstance(one, SetLine)}
            rounds = _half(item.rounds) if mine & swum else item.rounds
            assert isinstance(rounds, ByLane)
            return replace(item, rounds=rounds)
        return replace(item, items=tuple(_half_item(one, pool, numbers, swum) for one in item.items))
    return _half_line(item, pool) if isinstance(item, SetLine) and next(numbers) in swum else item


def _half(count: ByLane[int] | Flexible, even: bool = False) -> ByLane[int] | Flexible:
    """Half as many, rounded up; with `even`, an even number stays even."""

    def half(number: int) -> int:
        less = -(-number // 2)
        return less + 1 if even and number % 2 == 0 and less % 2 else less

    if isinstance(count, Flexible):
        return Flexible(half(count.least), max(half(count.most), half(count.least), 1))
    return replace(count, entries=tuple(map(half, count.entries)))


def _half_line(line: SetLine, pool: Pool) -> SetLine:
    """A line with half its repeats; unchanged if its repeats belong together."""
    if line.count is None or not line.pattern.cycles:
        return line
    if in_turn(line):
        return line
    odd = line.distance is not None and any(Fraction(far) / pool.length % 2 == 1 for far in line.distance.entries)
    count = _half(line.count, odd)
    least = count.least if isinstance(count, Flexible) else min(count.entries)
    if line.change is not None and least < line.change.over:
        return line
    return replace(line, count=count)


def _told(before: Section, after: Section) -> str:
    """What changed, in the notation's words."""
    if section_head(before) != section_head(after):
        return f"{section_head(after)}"
    found = []
    for old, new in zip(all_items(before.items), all_items(after.items)):
        if isinstance(old, Group) and isinstance(new, Group) and old.rounds != new.rounds:
            found.append(
                tr(
                    "{counted} become {most_rounds}",
                    counted=tr_n("{n:,} round", "{n:,} rounds", most_rounds(old)),
                    most_rounds=most_rounds(new),
                )
            )
        elif isinstance(old, SetLine) and isinstance(new, SetLine) and old.count != new.count:
            found.append(tr("{after} instead of {before}", after=short_line(new), before=short_line(old)))
    more = len(found) - SPOKEN
    if more <= 0:
        return ", ".join(found)
    return tr_n("{sets} and {n:,} more set", "{sets} and {n:,} more sets", more, sets=", ".join(found[:SPOKEN]))


def short_line(line: SetLine) -> str:
    """A set's count and distance without its work.

    >>> from pacer.plan.notation.planreader import pool_from_text
    >>> pool = pool_from_text("25 m")
    >>> short_line(read_line("6 x 50 kick on 1:10", pool).sections[0].items[0])
    '6 x 50'
    >>> short_line(read_line("A 6 / B 4 x 50 kick on 1:10", pool).sections[0].items[0])
    'A 6 / B 4 x 50'
    """
    labels = {label for each in (line.count, line.distance) for label in getattr(each, "labels", None) or ()}
    words = write_line(line).split(" ")
    ours = {"x", "to", *(word for label in labels for word in label.split(" "))}
    end = next((at for at, word in enumerate(words) if word[:1].isalpha() and word not in ours), len(words))
    return " ".join(words[:end]).rstrip(",(") or write_line(line)


# -- what comes next ----------------------------------------------------------------------------------


class Chosen(NamedTuple):
    """A drill for the next page, and why."""

    drill: Drill
    why: str


def skipped_skills(plan: Plan, swum: Collection[tuple[int, int]]) -> Iterator[str]:
    """The names of the skill sets that nobody swam."""
    for at in skill_sections(plan):
        if all(index != at for index, _ in swum):
            yield plan.sections[at].name or tr("Skill set")


def next_drill(
    plan: Plan, visited: Visited, book: DrillBook, today: date, lines: Collection[tuple[int, int]] | None = None
) -> Chosen | None:
    """The next drill: a harder form of the last page's drill; else one that is due; else a new one.

    `lines` are those that somebody swam, as in `shorter_steps`. None if no drill of the page was swum: they come first.
    """
    swum = {row.name for row in visited.rows if row.visits and not row.is_focus}
    here = drills_of_plan(plan, book)
    last = [
        drill
        for drill in here
        if lines is None
        or any(drill in drills_of(line, book) for at, number, _, line in numbered_lines(plan) if (at, number) in lines)
    ]
    if here and not last:
        return None
    for drill in reversed(last):
        harder = book.drill(drill.harder) if drill.harder else None
        if harder is not None and harder.name not in swum and harder not in here:
            return Chosen(harder, tr("a step up from {name}", name=drill.name))
    for row, drill in due_drills(plan, visited, book, today):
        return Chosen(drill, due_why(row, today))
    new = next((drill for drill in book.drills if drill.name not in swum and drill not in here), None)
    return None if new is None else Chosen(new, tr("new in this series"))


def due_drills(plan: Plan, visited: Visited, book: DrillBook, today: date) -> list[tuple[SeriesRow, Drill]]:
    """The drills of the book that are due and not on the page, the longest due first."""
    here = set(drills_of_plan(plan, book))
    found = []
    for row in visited.due_rows(today):
        drill = None if row.is_focus else book.drill(row.name)
        if drill is not None and drill not in here:
            found.append((row, drill))
    return found


def due_why(row: SeriesRow, today: date) -> str:
    """Why a due drill is added."""
    late = row.due.late_days(today) or 0
    return tr_n("{n:,} day overdue", "{n:,} days overdue", late) if late else tr("due today")


def drill_steps(
    plan: Plan,
    visited: Visited,
    book: DrillBook,
    today: date,
    words: OwnWords | tuple[str, ...],
    swum: Collection[tuple[int, int]] | None = None,
) -> Iterator[PageStep]:
    """The next focus, its drill, and drills that are due. `swum`: as in `shorter_steps`."""
    chosen = next_drill(plan, visited, book, today, swum)
    put: list[Drill] = []
    if chosen is not None:
        drill = chosen.drill
        if drill.focus and drill.focus.casefold() != plan.focus.casefold():
            yield PageStep(
                "focus",
                tr("Focus: {focus} ({name}).", focus=drill.focus, name=drill.name),
                Kind.HEADER,
                partial(replace, focus=drill.focus),
                goes_with=_step_name(drill),
            )
        line = drill_line(drill, plan, book, words, whole=True)
        if line is not None:
            put.append(drill)
            yield _put(drill, line, tr("Next drill, {why}", why=chosen.why))
    for row, drill in [pair for pair in due_drills(plan, visited, book, today) if pair[1] not in put][:MOST_DUE]:
        line = drill_line(drill, plan, book, words, whole=False)
        if line is not None:
            yield _put(drill, line, tr("Revisit, {due_why}", due_why=due_why(row, today)))


def _put(drill: Drill, line: SetLine, why: str) -> PageStep:
    text = f"{why}: {write_line(line)}."
    return PageStep(_step_name(drill), text, Kind.ADD, lambda page: with_drill(page, line), adds=True)


def _step_name(drill: Drill) -> str:
    return f"drill {drill.name}"


def with_drill(plan: Plan, line: SetLine) -> Plan:
    """The plan with a line at the end of its last skill set, if that is swum once; else in a section of its own.

    A page without sections gets it between its lines: after the first one, the warm-up, and the drills that follow it.
    """
    main = main_section(plan)
    skills = [at for at in skill_sections(plan) if at < main or plan.sections[at].name in (SKILL, NEW_SKILL)]
    for at in reversed(skills):
        section = plan.sections[at]
        if section.rounds == ONCE and section.for_ms is None and section.at_most_ms is None and is_skill(section):
            return with_section(plan, at, replace(section, items=(*section.items, line)))
    if not plan.sections[-1].name:  # all of the page
        lines = plan.sections[main].items
        place = min(1, len(lines) - 1)
        while place < len(lines) - 1 and (isinstance(lines[place], Break) or has_drill(lines[place : place + 1])):
            place += 1
        return with_section(plan, main, replace(plan.sections[main], items=(*lines[:place], line, *lines[place:])))
    section = Section(NEW_SKILL if skills else SKILL, (line,))
    place = main if plan.sections[main].name or main else main + 1  # a section without a name is always first
    return replace(plan, sections=(*plan.sections[:place], section, *plan.sections[place:]))


def drill_line(
    drill: Drill, plan: Plan, book: DrillBook, words: OwnWords | tuple[str, ...], *, whole: bool
) -> SetLine | None:
    """A set of a drill and the stroke that it is for, a length or two of each; half as many repeats unless `whole`.

    None if the drill has no name that can be written and then found in the book again.
    """
    far = _stretch(plan.pool)
    if far is None:
        return None
    count = next((count for most, count in REPEATS if 2 * far <= most), LEAST_TIMES_DRILLED)
    if not whole:
        count = -(-count // 2)
    stroke = _stroke_for(drill, plan)
    for gear in dict.fromkeys((drill.gear, ())):
        kit = f", with {' and '.join(gear)}" if gear else ""
        for called in _ways(drill.names):
            text = f"{count} x {2 * far} as {far} {called} / {far} {stroke}, rest 0:20{kit}"
            try:
                line = next(iter(set_lines(read_line(text, plan.pool, words).sections[0].items)), None)
            except Unreadable:
                continue
            if line is not None and drill in drills_of(line, book):
                return replace(line, span=None)
    return None


def _ways(names: Sequence[str]) -> Iterator[str]:
    for name in names:
        yield f"drill {name}"
        if name.casefold().startswith("scull "):
            yield name
        elif name.casefold().endswith(" scull"):
            yield f"scull {name[: -len(' scull')]}"


def _stretch(pool: Pool) -> int | None:
    """The distance of whole lengths that is a whole number, 25 or more; None if it is too long."""
    for lengths in range(1, 41):
        far = lengths * pool.length
        if far.denominator == 1 and far >= LEAST_DRILL:
            return int(far) if far <= MOST_DRILL else None
    return None


def _stroke_for(drill: Drill, plan: Plan) -> Stroke:
    """The stroke that a drill's words name, else the main stroke of the main set."""
    said = {word.strip(".,;:") for text in (drill.name, drill.focus) for word in text.casefold().split()}
    for stroke in STROKES:
        if said & {stroke, f"{stroke}stroke", f"{stroke}style"}:
            return stroke
    strokes = Counter(
        segment.work.stroke
        for line in set_lines(plan.sections[main_section(plan)].items)
        for part in line.pattern.parts
        for segment in part.segments
        if segment.work.stroke in STROKES
    )
    return (strokes.most_common(1)[0][0] if strokes else None) or Stroke.FREE
