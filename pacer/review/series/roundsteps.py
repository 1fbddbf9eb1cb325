"""Rounds of the main set on the next page, or its repeats if it has no rounds, by how many were swum."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

from pacer.language import tr, tr_n
from pacer.plan.model import ByLane, Flexible, Plan, Section
from pacer.plan.planlines import numbered_lines
from pacer.plan.text.standardform import section_head
from pacer.review.series.mainandskillsets import distance_of, in_turn, most_rounds
from pacer.review.series.pagestep import Kind, PageStep, lanes_named, with_line, with_section
from pacer.review.series.skillsteps import short_line
from pacer.review.swum.beyondchance import is_off
from pacer.review.swum.sessionreview import Review
from pacer.squad.squad import Squad

LEAST_REPEATS = 4  #: repeats that a set must have to get one more, in a section without rounds


class MainSetResult(NamedTuple):
    """How a lane did in the main set: rounds swum in full and rounds planned, and the same for the repeats by line.

    A round is full without the lines on which the lane never left: those were skipped. `begun`: the lines on which it
    left. `unreached`: the lines of which something was still to come when the session ended.
    """

    rounds: int
    of: int
    repeats: Mapping[int, int]
    repeats_of: Mapping[int, int]
    slower: bool
    begun: frozenset[int]
    unreached: frozenset[int]

    @property
    def ahead(self) -> bool:
        """Whether the lane swam all of it, no slower than written."""
        return bool(self.of) and self.repeats == self.repeats_of and not self.slower

    @property
    def unfinished(self) -> bool:
        """Whether the lane began it and did not finish it, though there was time: then it is too much for it."""
        return self.rounds < self.of and bool(self.begun) and not self.unreached


def how_it_went(review: Review, at: int, out: frozenset[int]) -> dict[int, MainSetResult]:
    """How each lane (by index) did in the section at an index."""
    whole = {
        (swim.lane, swim.round, swim.line, swim.repeat)
        for swim in review.swims
        if not swim.place and swim.section == at and swim.whole
    }
    begun: dict[int, set[int]] = {}
    for swim in review.swims:
        if swim.section == at:
            begun.setdefault(swim.lane, set()).add(swim.line)
    made = {}
    for lane, track in enumerate(review.replay.begun.tracks):
        wanted: dict[int, list[tuple[int, int]]] = {}
        for found in track.passes:
            if found.section == at:
                mine = wanted.setdefault(found.round, [])
                mine += [(found.laneline.number, found.skipped + n + 1) for n in range(found.count)]
        done = {round_: [one for one in mine if (lane, round_, *one) in whole] for round_, mine in wanted.items()}
        lines = frozenset(begun.get(lane, ()))
        full = [all(one in done[round_] for one in mine if one[0] in lines) for round_, mine in wanted.items()]
        cells = [
            cell
            for table in review.sets
            if (table.lane, table.section) == (lane, at)
            for row in table.rows
            for cell in row.cells
            if cell.entry not in out
        ]
        made[lane] = MainSetResult(
            sum(full) if lines else 0,
            len(wanted),
            _by_line(one for mine in done.values() for one in mine),
            _by_line(one for mine in wanted.values() for one in mine),
            is_off(cells, 1),
            lines,
            _unreached(review, lane, at),
        )
    return made


def _unreached(review: Review, lane: int, at: int) -> frozenset[int]:
    """The lines of a section on which a lane was still to leave, or was swimming, when the session ended."""
    run = review.replay.run
    ended_ms = review.replay.until_ms if run.ended_ms is None else run.ended_ms
    track = run.timeline.tracks[lane]
    broken = {swim.at for swim in review.swims if (swim.lane, swim.place) == (lane, 0) and not swim.whole}
    found = set()
    for each in track.passes:
        for index in range(each.first, each.first + each.count):
            ahead = track.sendoffs[index] >= ended_ms or (index in broken and index not in track.cuts)
            if each.section == at and ahead:
                found.add(each.laneline.number)
    return frozenset(found)


def kept_notes(plan: Plan, at: int, went: Mapping[int, MainSetResult], squad: Squad) -> Iterator[str]:
    """Why the main set is not cut for lanes that did not finish it: they never began it, or the session ended first."""
    name = plan.sections[at].name or tr("Main set")
    behind = {lane: one for lane, one in went.items() if one.rounds < one.of}
    never = [lane for lane, one in behind.items() if not one.begun]
    if never and len(never) == len(went):
        yield not_swum(name)
        return
    if never:
        lanes = lanes_named(never, squad)
        yield tr("{name}: {lanes} didn't swim it last time, so it isn't cut for that.", name=name, lanes=lanes)
    late = [lane for lane, one in behind.items() if one.begun and one.unreached]
    if late:
        yield tr(
            "{name}: the session ended before {lanes} had finished it, so it isn't cut for that.",
            name=name,
            lanes=lanes_named(late, squad),
        )


def not_swum(name: str) -> str:
    """That a section stays as it is because nobody swam it."""
    return tr("{name}: not swum last time, so it stays as planned.", name=name)


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
        yield from _flexible_rounds(at, section, section.rounds, went, squad)
    elif most_rounds(section) > 1:
        moved, why = _moved(section.rounds, went, squad, lambda one: (one.rounds, one.ahead, one.unfinished))
        if moved != section.rounds:
            made = replace(section, rounds=moved)
            yield _section_step(f"{section_head(made)}: {why}.", at, made)
    else:
        yield from _repeat_step(plan, at, section, went, squad)


def _flexible_rounds(
    at: int, section: Section, rounds: Flexible, went: Mapping[int, MainSetResult], squad: Squad
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
        yield _section_step(text, at, made)
        return
    few = [lane for lane, one in went.items() if one.unfinished and one.rounds < rounds.least]
    if few and rounds.least > 1:
        least = max(1, min(went[lane].rounds for lane in few))
        made = replace(section, rounds=Flexible(least, rounds.most))
        text = tr(
            "{section_head}: {lanes} swam {counted}.",
            section_head=section_head(made),
            lanes=lanes_named(few, squad),
            counted=tr_n("{n:,} whole round", "{n:,} whole rounds", least),
        )
        yield _section_step(text, at, made)


def _section_step(text: str, at: int, made: Section) -> PageStep:
    return PageStep(
        "rounds",
        text,
        Kind.CHANGE,
        lambda page: with_section(page, at, replace(page.sections[at], rounds=made.rounds)),
        adds=True,
    )


def _moved(
    counts: ByLane[int],
    went: Mapping[int, MainSetResult],
    squad: Squad,
    of: Callable[[MainSetResult], tuple[int, bool, bool]],
) -> tuple[ByLane[int], str]:
    """The counts, one more for lanes that swam them all and fewer for those that did not; and why.

    `of` says how many a lane swam, whether it can do one more, and whether what was asked was too much.
    """
    wanted: dict[int, int] = {}
    further, back = [], []
    for lane in range(len(squad.lanes)):
        now = _entry(counts, lane, squad)
        one = went.get(lane)
        done, more, fewer = of(one) if one is not None else (0, False, False)
        if now is None:
            continue
        wanted[lane] = now
        if fewer:
            wanted[lane] = max(1, min(now, done))
            back += [lane] if wanted[lane] != now else []
        elif more:
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

    def of(one: MainSetResult) -> tuple[int, bool, bool]:
        done, asked = one.repeats.get(number, 0), one.repeats_of.get(number, 0)
        return done, 0 < asked == done and not one.slower, done < asked and number in one.begun - one.unreached

    moved, why = _moved(line.count, went, squad, of)
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
