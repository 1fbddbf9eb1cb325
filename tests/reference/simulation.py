"""Simulate a session event by event with SimPy: the timeline engine must give the same result.

Swimmers are processes that leave, change and touch; lanes are processes that walk down the page and
send them off; sections end at gates where lanes wait for one another. It shares no code with the
engine: it reads the model's values, and everything else, including the factor table, is written here
only from the rules: R1 and R6 (`pacer/plan/notation/__init__.py`) and T1 to T16
(`pacer/timeline/__init__.py`).
"""

from __future__ import annotations

from collections.abc import Generator
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from simpy import Environment, Event

from pacer.plan.model import (
    Activity,
    BaseHold,
    BaseInterval,
    Break,
    ByLane,
    Effort,
    FixedInterval,
    Flexible,
    Group,
    Item,
    PerHundredInterval,
    Plan,
    Section,
    SetLine,
    Stroke,
    Trend,
    Unit,
    Work,
)
from pacer.squad.squad import Lane, Pace, Squad

Process = Generator[Event, object, object]

# Common practice, no source.
TABLE = {
    name: Fraction(value)
    for name, value in {
        "swim": "1.00", "pull": "1.03", "drill": "1.30", "kick": "1.45", "scull": "2.00",
        "free": "1.00", "fly": "1.06", "back": "1.10", "IM": "1.12", "breast": "1.22", "choice": "1.05",
        "easy": "1.15", "steady": "1.07", "threshold": "1.00", "fast": "0.95", "sprint": "0.88",
        "fins": "0.88", "fins kick": "0.72", "paddles": "0.97",
    }.items()
}  # fmt: skip


class Row(NamedTuple):
    """One event; `swimmer`, `round`, `line` and `repeat` count from 1, `done` is the repeat's distance so far."""

    at_ms: int
    lane: int
    swimmer: int
    kind: str
    section: str
    round: int
    line: int
    repeat: int
    of: int
    done: int
    doing: str
    cue: str


class Leg(NamedTuple):
    """A segment of one repeat for one swimmer; `until_ms` is the rounded time from the send-off to its end."""

    until_ms: int
    done: int
    doing: str
    cue: str
    same: bool  # as the leg before, so that there is no change event between them


class Place(NamedTuple):
    """The place of a repeat on the page."""

    section: str
    round: int
    line: int
    repeat: int
    of: int


class Over(Exception):
    """The time of a `for` or `at most` section leaves no room for the next repeat."""


def simulate(plan: Plan, squad: Squad) -> list[Row]:
    """Every event of every swimmer, lane after lane, each lane in the order of T15.

    Events that T15 does not order (with an interval that is too tight, a swimmer may touch twice
    at once) are in the order of their repeats.
    """
    env = Environment()
    lanes = [LaneOnThePage(env, plan, squad, index) for index in range(len(squad.lanes))]
    swum = [section for section in plan.sections if any(lane.swims(section) for lane in lanes)]  # T10
    gates = [Gate(env, len(lanes)) for _ in swum]
    for lane in lanes:
        env.process(lane.session(list(zip(swum, gates))))
    env.run()
    return [row for lane in lanes for _, row in sorted(lane.rows)]


class Gate:
    """Hold all lanes until the last one is there; then open with that time."""

    def __init__(self, env: Environment, lanes: int):
        self.env = env
        self.missing = lanes
        self.opened = env.event()

    def arrive(self) -> Event:
        self.missing -= 1
        if not self.missing:
            self.opened.succeed(self.env.now)
        return self.opened


class LaneOnThePage:
    """One lane walking down the plan: it decides what its swimmers swim and when the leader leaves."""

    def __init__(self, env: Environment, plan: Plan, squad: Squad, index: int):
        self.env = env
        self.plan = plan
        self.squad = squad
        self.index = index
        self.lane: Lane = squad.lanes[index]
        ours = TABLE | dict(squad.factors) | dict(self.lane.factors)
        self.tables = [ours | dict(swimmer.factors) for swimmer in self.lane.swimmers]
        self.table = ours  # of the swimmer whose legs are being worked out
        self.rows: list[tuple[tuple[int, int, int, int], Row]] = []
        self.sent = 0  # repeats of swimmers so far, for a total order
        self.next_ms = 0  # the leader's next send-off
        self.limit_ms: int | None = None
        self.in_water: list[Event] = []
        self.worked_out: dict[tuple, list[Leg]] = {}

    def session(self, sections: list[tuple[Section, Gate]]) -> Process:
        due_ms = 0
        for section, gate in sections:
            swam = yield from self.swim_section(section, due_ms)
            if section.for_ms is not None:  # T11
                yield self.until(due_ms + section.for_ms)
            if not section.run_on:  # T9; now is the lane's latest end, even if it swam nothing
                last_end_ms = yield gate.arrive()
                due_ms = up_to(last_end_ms + self.plan.changeover_ms, self.plan.starts_ms)
            elif swam:
                due_ms = up_to(self.env.now + self.plan.changeover_ms, self.plan.clock_ms)

    def swims(self, section: Section) -> bool:
        """Whether anybody in this lane would leave the wall in `section`: a trial run up to the first send-off."""
        hall = Environment()
        rehearsal = LaneOnThePage(hall, self.plan, self.squad, self.index)
        going = hall.process(rehearsal.swim_section(section, 0))
        while going.is_alive and not rehearsal.rows:
            hall.step()
        if not going.is_alive and not going.ok:
            raise going.value
        return bool(rehearsal.rows)

    def swim_section(self, section: Section, start_ms: int) -> Process:
        """Return, at the last touch, whether there was any; without any, no time passes."""
        self.next_ms = start_ms
        limit_ms = section.at_most_ms if section.for_ms is None else section.for_ms
        self.limit_ms = None if limit_ms is None else start_ms + limit_ms
        before = self.sent
        try:
            round_number = 0
            while section.for_ms is not None or round_number < self.section_rounds(section):
                round_number += 1
                sent = self.sent
                yield from self.swim_items(section.items, section, round_number, 1)
                if section.for_ms is not None and self.sent == sent:  # T14
                    break
        except Over:
            pass
        yield self.env.all_of(self.in_water)
        self.in_water = []
        return self.sent > before

    def section_rounds(self, section: Section) -> int:
        if isinstance(section.rounds, Flexible):
            wanted = section.rounds.least if self.lane.rounds is None else self.lane.rounds  # T16
            return min(max(wanted, section.rounds.least), section.rounds.most)
        return self.own(section.rounds)

    def swim_items(self, items: tuple[Item, ...], section: Section, round_number: int, line_number: int) -> Process:
        """`line_number` is the number of the first set line in `items`."""
        for item in items:
            ours = not item.groups or self.lane.group in item.groups  # T12
            if isinstance(item, Break):
                self.next_ms += self.own(item.rest_ms) if ours else 0  # T7
            elif isinstance(item, Group):
                for _ in range(self.own(item.rounds) if ours else 0):
                    yield from self.swim_items(item.items, section, round_number, line_number)
            elif ours:
                yield from self.swim_line(item, section, round_number, line_number)
            line_number += set_lines(item)

    def swim_line(self, line: SetLine, section: Section, round_number: int, line_number: int) -> Process:
        of = self.repeats(line)
        spacing_ms = self.lane.spacing_ms if line.apart_ms is None else line.apart_ms
        repeats = []
        for repeat in range(1, of + 1):
            swims = [self.legs(line, section, repeat, k) for k in range(len(self.lane.swimmers))]
            repeats.append((Place(section.name, round_number, line_number, repeat, of), swims))
        if line.interval is None and line.rest_ms is None:
            yield from self.swim_straight_through(repeats, spacing_ms)
            return
        for place, swims in repeats:
            self.check_limit(self.next_ms + k * spacing_ms + legs[-1].until_ms for k, legs in enumerate(swims))
            yield self.until(self.next_ms)
            for k, legs in enumerate(swims):
                self.send(k, k * spacing_ms, [(place, legs)])
            self.next_ms += self.interval(line, place, swims)

    def swim_straight_through(self, repeats: list[tuple[Place, list[list[Leg]]]], spacing_ms: int) -> Process:
        """T6: each swimmer goes from each touch straight into the next repeat."""
        swimmers = range(len(self.lane.swimmers))
        sums_ms = [0 for _ in swimmers]
        room: list[tuple[Place, list[list[Leg]]]] = []
        over = None
        for place, swims in repeats:
            sums_ms = [sums_ms[k] + swims[k][-1].until_ms for k in swimmers]
            try:
                self.check_limit(self.next_ms + k * spacing_ms + sums_ms[k] for k in swimmers)
            except Over as late:
                over = late
                break
            room.append((place, swims))
        if room:
            yield self.until(self.next_ms)
            for k in swimmers:
                self.send(k, k * spacing_ms, [(place, swims[k]) for place, swims in room])
        if over:
            raise over
        self.next_ms += up_to(max(sums_ms), self.plan.clock_ms)

    def check_limit(self, touches_ms) -> None:
        if self.limit_ms is not None and max(touches_ms) > self.limit_ms:  # T8
            raise Over

    def until(self, at_ms: int) -> Event:
        return self.env.timeout(max(0, at_ms - self.env.now))

    def send(self, k: int, delay_ms: int, repeats: list[tuple[Place, list[Leg]]]) -> None:
        self.in_water.append(self.env.process(self.swimmer(k, delay_ms, repeats, self.sent)))
        self.sent += len(repeats)

    def swimmer(self, k: int, delay_ms: int, repeats: list[tuple[Place, list[Leg]]], order: int) -> Process:
        """Swimmer `k` (from 0): waits behind the leader, leaves, changes, touches."""

        def happens(kind: str, place: Place, done: int, leg: Leg) -> None:
            row = Row(self.env.now, self.lane.number, k + 1, kind, *place, done, leg.doing, leg.cue)
            self.rows.append(((row.at_ms, k, ("touch", "change", "send-off").index(kind), order), row))  # T15

        yield self.env.timeout(delay_ms)
        for place, legs in repeats:
            happens("send-off", place, 0, legs[0])
            swum_ms = done = 0
            for leg in legs:
                if not leg.same and leg is not legs[0]:
                    happens("change", place, done, leg)
                yield self.env.timeout(leg.until_ms - swum_ms)
                swum_ms, done = leg.until_ms, leg.done
            happens("touch", place, done, legs[-1])
            order += 1

    def legs(self, line: SetLine, section: Section, repeat: int, k: int) -> list[Leg]:
        """One repeat, leg by leg, for swimmer `k`; the same in every round."""
        which = (id(line), id(section), repeat, k)
        if which not in self.worked_out:
            self.table = self.tables[k]
            self.worked_out[which] = self.work_out(line, section, repeat, self.lane.swimmers[k].base)
        return self.worked_out[which]

    def work_out(self, line: SetLine, section: Section, repeat: int, base: Pace) -> list[Leg]:
        legs: list[Leg] = []
        distance = self.distance(line, repeat)
        stretches = list(segments_of(line, repeat, distance))
        exact_ms = Fraction(0)
        cumulated: list[Fraction] = []
        for long, work, _ in stretches:
            exact_ms += per_100(base, self.plan.pool.unit) * long / 100 * self.factor(work, line, section, repeat)
            cumulated.append(exact_ms)
        if line.time_ms is not None:  # T4
            cumulated = [Fraction(line.time_ms)]
        elif line.hold is not None:  # T3
            hold = self.own(line.hold)
            if isinstance(hold, BaseHold):
                whole_ms = (self.base_ms() + hold.extra_ms) * distance / 100
            else:
                whole_ms = Fraction(hold.hold_ms)
            cumulated = [whole_ms * part_ms / exact_ms for part_ms in cumulated]
        done = 0
        before = None
        for until_ms, (long, work, cue) in zip(cumulated, stretches):
            done += long
            known = words(work, self.effort(work, line, section), repeat)
            length = clock_text(line.time_ms) if line.time_ms is not None else str(long)
            cue = cue or line.cue or section.cue  # R6
            legs.append(Leg(half_up(until_ms), done, " ".join([length, *known]), cue, (known, cue) == before))
            before = (known, cue)
        return legs

    def effort(self, work: Work, line: SetLine, section: Section) -> Effort | Trend:  # T1
        trend = line.change.trend if line.change else None
        return work.effort or trend or section.effort or Effort.THRESHOLD

    def factor(self, work: Work, line: SetLine, section: Section, repeat: int) -> Fraction:
        """Activity x stroke x effort x gear (T2)."""
        activity, stroke = str(work.activity), stroke_of(work, repeat)
        by_activity = self.named(
            f"{activity} {stroke} {work.name}", f"{activity} {work.name}", f"{activity} {stroke}", activity
        )
        by_stroke = self.named(stroke) if work.activity in (Activity.SWIM, Activity.PULL) else Fraction(1)
        effort = self.effort(work, line, section)
        if isinstance(effort, Trend):
            first, last = self.table["steady"], self.table["fast"]
            if effort is Trend.ASCEND:
                first, last = last, first
            by_effort = first + (last - first) * Fraction((repeat - 1) % line.change.over, line.change.over - 1)
        elif effort is Effort.BUILD and "build" not in self.table:
            by_effort = (self.table["easy"] + self.table["fast"]) / 2
        else:
            by_effort = self.table[effort]
        by_gear = Fraction(1)
        for gear in line.gear:
            by_gear *= self.named(f"{gear} {activity}", gear)
        return by_activity * by_stroke * by_effort * by_gear

    def named(self, *names: str) -> Fraction:
        """The factor of the first of `names` (most specific first) that has one, otherwise 1."""
        return next((self.table[name] for name in names if name in self.table), Fraction(1))

    def interval(self, line: SetLine, place: Place, swims: list[list[Leg]]) -> int:
        if line.rest_ms is not None:
            slowest_ms = max(legs[-1].until_ms for legs in swims)
            return up_to(slowest_ms + self.own(line.rest_ms), self.plan.clock_ms)
        steps = self.own(line.interval)
        step = steps[(place.repeat - 1) * len(steps) // place.of]
        distance = self.distance(line, place.repeat)
        if isinstance(step, FixedInterval):
            return step.interval_ms
        if isinstance(step, PerHundredInterval):
            return half_up(Fraction(step.per_100_ms * distance, 100))
        assert isinstance(step, BaseInterval)
        return up_to(half_up(self.base_ms() * distance / 100 + step.extra_ms), self.plan.clock_ms)  # T5

    def base_ms(self) -> Fraction:
        return per_100(self.lane.base, self.plan.pool.unit)

    def repeats(self, line: SetLine) -> int:
        if line.ladder is not None:
            return len(line.ladder)
        return line.count.least if isinstance(line.count, Flexible) else self.own(line.count)

    def distance(self, line: SetLine, repeat: int) -> int:
        if line.ladder is not None:
            return line.ladder[repeat - 1]
        return 0 if line.distance is None else self.own(line.distance)

    def own(self, value: ByLane):
        """The entry of `value` for this lane."""
        if value.labels is not None:
            return dict(zip(value.labels, value.entries))[self.lane.group]
        groups = [lane.group for lane in self.squad.lanes]
        order = sorted(set(groups), key=groups.index)
        if None not in order and 1 < len(order) == len(value.entries) < len(groups):
            return value.entries[order.index(self.lane.group)]
        return value.entries[self.index] if self.index < len(value.entries) else value.entries[-1]


def segments_of(line: SetLine, repeat: int, distance: int):
    """(distance, work, cue) of each segment of a repeat, in order, until it is full (T13)."""
    turns = [part for part in line.pattern.parts for _ in range(part.count)]
    segments = turns[(repeat - 1) % len(turns)].segments
    if segments[0].distance is None:
        yield distance, segments[0].work, segments[0].cue
        return
    left = distance
    while left > 0:
        segment = segments[0]
        segments = (*segments[1:], segment)
        left -= segment.distance
        yield segment.distance, segment.work, segment.cue
    assert left == 0, "the parts don't add up to the repeat"


def stroke_of(work: Work, repeat: int) -> str:
    if work.stroke is Stroke.IM_ORDER:
        return ("fly", "back", "breast", "free")[(repeat - 1) % 4]
    return "" if work.stroke is None else str(work.stroke)


def words(work: Work, effort: Effort | Trend, repeat: int) -> list[str]:
    """A swimmer's work in words, without the distance."""
    stroke = stroke_of(work, repeat)
    named = [stroke] if work.activity is Activity.SWIM else [str(work.activity), work.name, stroke]
    return [word for word in (*named, "" if effort is Effort.THRESHOLD else str(effort)) if word]


def set_lines(item: Item) -> int:
    """How many written set lines `item` has."""
    if isinstance(item, Group):
        return sum(map(set_lines, item.items))
    return int(isinstance(item, SetLine))


def per_100(pace: Pace, unit: Unit) -> Fraction:
    """Milliseconds per 100 of `unit`; 1 yd = 0.9144 m, by the international agreement of 1959."""
    ms = Fraction(pace.ms)
    if pace.unit is None or pace.unit == unit:
        return ms
    return ms / Fraction("0.9144") if unit is Unit.METRE else ms * Fraction("0.9144")


def half_up(exact: Fraction) -> int:
    return floor(exact + Fraction(1, 2))


def up_to(time_ms: int, mark_ms: int) -> int:
    return ceil(Fraction(time_ms, mark_ms)) * mark_ms


def clock_text(time_ms: int) -> str:
    minutes, ms = divmod(time_ms, 60_000)
    seconds = f"{ms // 1000:02d}" + (f".{ms % 1000:03d}".rstrip("0") if ms % 1000 else "")
    if minutes >= 60:
        return f"{minutes // 60}:{minutes % 60:02d}:{seconds}"
    return f"{minutes}:{seconds}"
