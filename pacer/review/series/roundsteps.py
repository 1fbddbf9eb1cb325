"""Rounds of the main set on the next page, or its repeats if it has no rounds, by how many were swum."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

from pacer.language import tr, tr_n
from pacer.plan.model import ByLane, Flexible, Plan, Section
from pacer.plan.planlines import numbered_lines
from pacer.plan.text.standardform import section_head
from pacer.review.series.pagesteps import (
    Kind,
    PageStep,
    distance_of,
    in_turn,
    lanes_named,
    most_rounds,
    with_line,
    with_section,
)
from pacer.review.series.skillsteps import short_line
from pacer.review.swum.beyondchance import is_off
from pacer.review.swum.sessionreview import Review
from pacer.squad.squad import Squad

LEAST_REPEATS = 4  #: repeats that a set must have to get one more, in a section without rounds


class MainSetResult(NamedTuple):
    """How a lane did in the main set: rounds swum in full and rounds planned, and the same for the repeats by line."""

    rounds: int
    of: int
    repeats: Mapping[int, int]
    repeats_of: Mapping[int, int]
    slower: bool

    @property
    def ahead(self) -> bool:
        """Whether the lane swam all of it, no slower than written."""
        return bool(self.of) and self.rounds == self.of and not self.slower


def how_it_went(review: Review, at: int, out: frozenset[int]) -> dict[int, MainSetResult]:
    """How each lane (by index) did in the section at an index."""
    whole = {
        (swim.lane, swim.round, swim.line, swim.repeat)
        for swim in review.swims
        if not swim.place and swim.section == at and swim.whole
    }
    made = {}
    for lane, track in enumerate(review.replay.begun.tracks):
        wanted: dict[int, list[tuple[int, int]]] = {}
        for found in track.passes:
            if found.section == at:
                mine = wanted.setdefault(found.round, [])
                mine += [(found.laneline.number, found.skipped + n + 1) for n in range(found.count)]
        done = {round_: [one for one in mine if (lane, round_, *one) in whole] for round_, mine in wanted.items()}
        cells = [
            cell
            for table in review.sets
            if (table.lane, table.section) == (lane, at)
            for row in table.rows
            for cell in row.cells
            if cell.entry not in out
        ]
        made[lane] = MainSetResult(
            sum(len(done[round_]) == len(mine) for round_, mine in wanted.items()),
            len(wanted),
            _by_line(one for mine in done.values() for one in mine),
            _by_line(one for mine in wanted.values() for one in mine),
            is_off(cells, 1),
        )
    return made


def _by_line(repeats: Iterable[tuple[int, int]]) -> dict[int, int]:
    counts: dict[int, int] = {}
    for line, _ in repeats:
        counts[line] = counts.get(line, 0) + 1
    return counts


def round_steps(plan: Plan, at: int, went: Mapping[int, MainSetResult], squad: Squad) -> Iterator[PageStep]:
    section = plan.sections[at]
    if section.for_ms is not None or section.at_most_ms is not None:
        return
    if isinstance(section.rounds, Flexible):
        yield from _flexible_rounds(plan, at, section, section.rounds, went, squad)
    elif most_rounds(section) > 1:
        moved, why = _moved(section.rounds, went, squad, lambda one: (one.rounds, one.of))
        if moved != section.rounds:
            made = replace(section, rounds=moved)
            yield _section_step("rounds", f"{section_head(made)}: {why}.", at, made)
    else:
        yield from _repeat_step(plan, at, section, went, squad)


def _flexible_rounds(
    plan: Plan, at: int, section: Section, rounds: Flexible, went: Mapping[int, MainSetResult], squad: Squad
) -> Iterator[PageStep]:
    full = [lane for lane, one in went.items() if one.ahead and one.of == rounds.most]
    if full and rounds.most > 1:
        made = replace(section, rounds=Flexible(rounds.least, rounds.most + 1))
        text = tr(
            "{section_head}: {lanes} swam all {most}.",
            section_head=section_head(made),
            lanes=lanes_named(full, squad),
            most=rounds.most,
        )
        yield _section_step("rounds", text, at, made)
        return
    few = [lane for lane, one in went.items() if one.of and one.rounds < min(one.of, rounds.least)]
    if few and rounds.least > 1:
        least = max(1, min(went[lane].rounds for lane in few))
        made = replace(section, rounds=Flexible(least, rounds.most))
        text = tr(
            "{section_head}: {lanes} swam {counted}.",
            section_head=section_head(made),
            lanes=lanes_named(few, squad),
            counted=tr_n("{n:,} whole round", "{n:,} whole rounds", least),
        )
        yield _section_step("rounds", text, at, made)


def _section_step(name: str, text: str, at: int, made: Section) -> PageStep:
    return PageStep(
        name,
        text,
        Kind.CHANGE,
        lambda page: with_section(page, at, replace(page.sections[at], rounds=made.rounds)),
        adds=True,
    )


def _moved(
    counts: ByLane[int], went: Mapping[int, MainSetResult], squad: Squad, of: Callable[[MainSetResult], tuple[int, int]]
) -> tuple[ByLane[int], str]:
    """The counts, one more for lanes that swam them all and fewer for those that did not; and why."""
    wanted: dict[int, int] = {}
    further, back = [], []
    for lane in range(len(squad.lanes)):
        now = _entry(counts, lane, squad)
        one = went.get(lane)
        done, asked = of(one) if one is not None else (0, 0)
        if now is None:
            continue
        wanted[lane] = now
        if one is None or not asked:
            continue
        if done < asked:
            wanted[lane] = max(1, min(now, done))
            back += [lane] if wanted[lane] != now else []
        elif not one.slower:
            wanted[lane] = now + 1
            further.append(lane)
    if counts.labels is not None:
        entries = []
        for label, entry in zip(counts.labels, counts.entries):
            mine = [wanted[lane] for lane in wanted if squad.lanes[lane].group == label]
            entries.append(min(mine) if mine else entry)
        made = replace(counts, entries=tuple(entries))
        further = [lane for lane in further if _entry(made, lane, squad) != _entry(counts, lane, squad)]
        back = [lane for lane in wanted if (_entry(made, lane, squad) or 0) < (_entry(counts, lane, squad) or 0)]
    elif len(set(wanted.values())) == 1 and len(counts.entries) == 1:
        made = ByLane((next(iter(wanted.values())),))
    elif wanted:
        made = ByLane(tuple(wanted[lane] for lane in sorted(wanted)))
    else:
        made = counts
    why = [tr("{lanes} swam all of it", lanes=lanes_named(further, squad))] if further else []
    why += [tr("{lanes} did not finish it", lanes=lanes_named(back, squad))] if back else []
    return made, "; ".join(why)


def _repeat_step(
    plan: Plan, at: int, section: Section, went: Mapping[int, MainSetResult], squad: Squad
) -> Iterator[PageStep]:
    """One repeat more or fewer of the section's longest set, if the section has no rounds."""
    numbered = [(number, line) for index, number, _, line in numbered_lines(plan) if index == at]
    number, line = max(numbered, key=lambda pair: distance_of(pair[1]), default=(0, None))
    if line is None or not isinstance(line.count, ByLane) or min(line.count.entries) < LEAST_REPEATS:
        return
    if in_turn(line) or not line.pattern.cycles or line.groups or line not in section.items:
        return
    moved, why = _moved(
        line.count, went, squad, lambda one: (one.repeats.get(number, 0), one.repeats_of.get(number, 0))
    )
    if moved == line.count:
        return
    made = replace(line, count=moved)
    text = tr(
        "{short_line} instead of {line_short_line}: {why}.",
        short_line=short_line(made),
        line_short_line=short_line(line),
        why=why,
    )
    yield PageStep(
        f"repeats {number}",
        text,
        Kind.CHANGE,
        lambda page: with_line(page, at, number, lambda old: replace(old, count=moved)),
        adds=True,
    )


def _entry(counts: ByLane[int], lane: int, squad: Squad) -> int | None:
    try:
        return counts.for_lane(lane, squad.lanes[lane].group)
    except KeyError:
        return None
