"""Compare the engine with the simulation: every event of every lane, to the millisecond and in order."""

from __future__ import annotations

import random
import re
from dataclasses import replace
from itertools import count, pairwise, zip_longest
from pathlib import Path

import pytest

from pacer.plan.model import (
    Activity,
    BaseHold,
    BaseInterval,
    Break,
    ByLane,
    Effort,
    FixedHold,
    FixedInterval,
    Flexible,
    Group,
    PerHundredInterval,
    Plan,
    SetLine,
    Stroke,
    Trend,
    Unit,
)
from pacer.plan.notation.planreader import read_plan
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import Squad
from pacer.timeline.fit.fitcounts import fit
from tests.reference.random_plans import random_plan_text
from tests.reference.random_squads import meeting, random_squad
from tests.reference.simulation import simulate
from tests.test_cases import engine_rows

SEEDS = 320
ASSETS = Path(__file__).parents[2] / "assets"
PLANS = sorted((ASSETS / "plans").glob("*.txt"))
SQUADS = sorted((ASSETS / "squads").glob("*.toml"))


def case(seed: int) -> tuple[str, Plan, Squad]:
    """A random plan, as text and as a value, and a random squad that can swim it."""
    rng = random.Random(seed)
    labelled = seed % 2 == 0
    text = random_plan_text(rng, labelled=labelled)
    return text, *meeting(read_plan(text), random_squad(rng, labelled=labelled))


def assert_same(plan: Plan, squad: Squad, said: str) -> None:
    """Assert that both agree; `said` tells how to reproduce the case."""
    expected, got = simulate(plan, squad), engine_rows(plan, squad)
    for place, (right, row) in enumerate(zip_longest(expected, got)):
        assert row == right, f"{said}: event {place} of {len(expected)}"


@pytest.mark.parametrize("first", range(0, SEEDS, 20))
def test_engine_and_simulation_agree(first):
    for seed in range(first, first + 20):
        assert_same(*case(seed)[1:], f"seed {seed}")


def test_they_agree_on_what_the_fit_chooses():
    """With the chosen counts written into the plan as entries by lane, the session ends when the fit says."""
    chosen = 0
    for seed in range(100):
        _, plan, squad = case(seed)
        fitted = fit(plan, squad, booking_ms=3_600_000)
        written = with_counts(plan, fitted.counts)
        rows = simulate(written, squad)
        assert rows == engine_rows(plan, squad, fitted.counts), f"seed {seed}"
        assert max((row.at_ms for row in rows), default=0) == fitted.end_ms, f"seed {seed}"
        chosen += plan != written and rows != simulate(plan, squad)
    assert chosen >= 20


def with_counts(plan: Plan, counts) -> Plan:
    """`plan` with fixed counts in place of flexible ones: (section index, line number or None) to one per lane."""

    def settled(items, section, numbers):
        for item in items:
            if isinstance(item, Group):
                yield replace(item, items=tuple(settled(item.items, section, numbers)))
            elif isinstance(item, SetLine):
                number = next(numbers)
                yield replace(item, count=ByLane(counts[section, number])) if isinstance(item.count, Flexible) else item
            else:
                yield item

    sections = []
    for index, section in enumerate(plan.sections):
        section = replace(section, items=tuple(settled(section.items, index, count(1))))
        if isinstance(section.rounds, Flexible):
            section = replace(section, rounds=ByLane(counts[index, None]))
        sections.append(section)
    return replace(plan, sections=tuple(sections))


@pytest.mark.parametrize("squad", SQUADS, ids=lambda path: path.stem)
@pytest.mark.parametrize("plan", PLANS, ids=lambda path: path.stem)
def test_they_agree_on_the_demo_plans_which_fit_their_booking(plan, squad):
    said = f"{plan.name} with {squad.name}"
    plan, squad = read_plan(plan.read_text(encoding="utf-8")), read_squad(squad.read_text(encoding="utf-8"))
    assert_same(plan, squad, said)
    lanes = tuple(replace(lane, rounds=1) for lane in squad.lanes)  # `if time`, too
    once = simulate(plan, replace(squad, lanes=lanes))
    assert max(row.at_ms for row in once) <= plan.booking_ms - plan.spare_ms
    assert {(row.lane, row.section) for row in once} == {(lane.number, s.name) for lane in lanes for s in plan.sections}


def test_there_are_demo_plans():
    assert len(PLANS) == 4 and len(SQUADS) >= 2


# -- coverage of the random cases, so that the comparison above means something -------------

NOTATION = {
    "title": r"^title: ", "booking": r"^booking: ", "spare": r"^spare: ", "focus": r"^focus: ",
    "revisits": r"^revisits: ", "changeover": r"^changeover: ", "starts": r"^starts: ", "clock": r"^clock: ",
    "comment alone": r"^#", "comment behind": r"^\s+\S.*  # ", "× sign": r"×", "X": r"\dX\d|\d X ",
    "x without spaces": r"\dx\d", "time with seconds alone": r"\s:\d\d\b", "time in words": r"\d s\b",
    "time in primes": r"""\d'\d\d\b(?!\")""", "time in primes and double primes": r"""\d'\d\d\"""",
    "seconds in primes": r'(rest|apart) \d+"', "bare seconds": r"rest 20\b(?! s)", "segments with as": r" as \d",
    "segments in brackets": r"^\s+[^(]*\d[^(+]* \(\d+ [^+]*$", "segments with by": r" by \d",
    "odd and even": r" odd ", "odd bracket": r" odd \(", "in turn": r" in turn \d", "ranges": r" repeats \d",
    "inline group": r" \([^()]*( \+ )", "inline group in an inline group": r" x  ?\(.*\+ .*[xX×]  ?\(.*\+",
    "rounds by lane": r"rounds \d / ", "labelled rounds": r"rounds [ABC] \d",
    "labelled count": r"^\s+[ABC] \d+ / [ABC] \d+", "labelled distance": r"[xX×] ?[ABC] \d",
    "labelled on": r" on [ABC] ", "labelled rest": r" rest [ABC] ", "labelled hold": r" hold [ABC] ",
    "if time": r", if time", "short forms": r"\b(fr|fc|bk|br|fl|ch|k|p|d|ez)\b", "no comma": r"[a-z] (on|rest) \d",
    "two pieces of gear": r" with [a-z ]+ and ", "line cue below": r'^\s+"',
    "line of groups": r"^\s+[ABC](, [ABC])?: \d",
}  # fmt: skip


def lines(items):
    for item in items:
        if isinstance(item, Group):
            yield from lines(item.items)
        elif isinstance(item, SetLine):
            yield item


def groups(items, depth=1):
    for item in items:
        if isinstance(item, Group):
            yield depth, item
            yield from groups(item.items, depth + 1)


class Found(dict[str, bool]):
    """Which of the expected features occur; missing ones are in it as False."""

    def note(self, what: str, there: object) -> None:
        self[what] = self.get(what, False) or bool(there)


def held(plan: Plan, squad: Squad) -> Found:
    """The features of a case, from its plan and squad."""
    found = Found()
    note = found.note
    for section in plan.sections:
        for name in ("for_ms", "at_most_ms", "run_on", "effort", "cue"):
            note(f"section {name}", getattr(section, name))
        rounds = section.rounds
        note("section without a name", not section.name)
        note("section rounds", isinstance(rounds, ByLane) and rounds.entries[0] > 1)
        note("section rounds by lane", isinstance(rounds, ByLane) and len(rounds.entries) > 1)
        note("flexible rounds", isinstance(rounds, Flexible))
        note("flexible rounds from 0", isinstance(rounds, Flexible) and rounds.least == 0)
        for item in section.items:
            note("break", isinstance(item, Break))
            note("break of groups", isinstance(item, Break) and item.groups)
            note("break by lane", isinstance(item, Break) and len(item.rest_ms.entries) > 1)
        note("break at the end", isinstance(section.items[-1], Break))
        for depth, group in groups(section.items):
            for deep in (1, 2, 3):
                note(f"groups {deep} deep", depth == deep)
            note("group of groups", group.groups)
            note("group rounds by lane", len(group.rounds.entries) > 1)
        for line in lines(section.items):
            for name in (
                "ladder",
                "time_ms",
                "interval",
                "rest_ms",
                "hold",
                "rate",
                "apart_ms",
                "gear",
                "cue",
                "groups",
            ):
                note(f"line {name}", getattr(line, name))
            note("line without on and rest", not line.interval and not line.rest_ms)
            note("flexible count", isinstance(line.count, Flexible))
            note("count by lane", isinstance(line.count, ByLane) and len(line.count.entries) > 1)
            note("distance by lane", line.distance and len(line.distance.entries) > 1)
            note("pattern in turn", line.pattern.cycles and len(line.pattern.parts) > 1)
            note("pattern of ranges", not line.pattern.cycles)
            for entry in line.interval.entries if line.interval else ():
                note("interval then", len(entry) > 1)
                for kind in (FixedInterval, BaseInterval, PerHundredInterval):
                    note(kind.__name__, isinstance(entry[0], kind))
            for entry in line.hold.entries if line.hold else ():
                for kind in (FixedHold, BaseHold):
                    note(kind.__name__, isinstance(entry, kind))
            for trend in Trend:
                note(trend, line.change and line.change.trend is trend)
            for part in line.pattern.parts:
                note("segments", len(part.segments) > 1)
                note("segments in a pattern", len(part.segments) > 1 and len(line.pattern.parts) > 1)
                for segment in part.segments:
                    work = segment.work
                    for word in (*Activity, *Stroke, *Effort):
                        note(word, word in (work.activity, work.stroke, work.effort))
                    note("own name", work.name)
                    note("segment cue", segment.cue)
                    note("descend under an own effort", line.change and work.effort)
                    note("IM order in a drill", work.stroke is Stroke.IM_ORDER and work.activity is Activity.DRILL)
    for lane in squad.lanes:
        for name in ("group", "rounds", "factors"):
            note(f"lane {name}", getattr(lane, name))
        note("swimmers of their own pace", len({swimmer.base for swimmer in lane.swimmers}) > 1)
        note(
            "base of the other unit", any(swimmer.base.unit not in (None, plan.pool.unit) for swimmer in lane.swimmers)
        )
    note("squad factors", squad.factors)
    for size in range(1, 7):
        note(f"{size} lanes", len(squad.lanes) == size)
    for unit in Unit:
        note(f"pool in {unit}", plan.pool.unit is unit)
    note("pool of no whole length", plan.pool.length.denominator > 1)
    return found


def happened(plan: Plan, squad: Squad) -> Found:
    """The features that only show when a case is swum."""
    rows = simulate(plan, squad)
    found = Found()
    for lane in squad.lanes:
        mine = [row for row in rows if row.lane == lane.number]
        leader = [row.kind for row in mine if row.swimmer == 1]
        found.note("lane that swims nothing", not mine)
        found.note("interval too tight", any(two == "send-off" and one != "touch" for one, two in pairwise(leader)))
        found.note("change", any(row.kind == "change" for row in mine))
        for section in plan.sections:
            here = [row for row in mine if row.section == section.name]
            limited = section.for_ms or section.at_most_ms
            found.note("cut within a line", here and limited and here[-1].repeat < here[-1].of)
            found.note("section that nobody swims", not any(row.section == section.name for row in rows))
            found.note(
                "section that one lane leaves out", not here and any(row.section == section.name for row in rows)
            )
    return found


def test_the_random_cases_hold_every_part_of_the_notation():
    times = dict.fromkeys(NOTATION, 0)
    for seed in range(300):
        text, plan, squad = case(seed)
        for what, there in held(plan, squad).items():
            times[what] = times.get(what, 0) + there
        for what, pattern in NOTATION.items():
            times[what] += bool(re.search(pattern, text, re.MULTILINE))
    assert {what: n for what, n in times.items() if n < 10} == {}


def test_everything_happens_in_the_random_cases():
    times: dict[str, int] = {}
    for seed in range(60):
        for what, there in happened(*case(seed)[1:]).items():
            times[what] = times.get(what, 0) + there
    assert {what: n for what, n in times.items() if n < 2} == {}
