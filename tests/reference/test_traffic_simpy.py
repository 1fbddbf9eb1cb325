"""Room in the lane, compared with swimmers who are really sent down the lane in SimPy.

Every swimmer is a process that goes from metre to metre and records the time at each. A swimmer who reaches
a metre less than two seconds after the one ahead has caught up within that metre; their constant speeds give
the exact point. The wall should be free one spacing after the last has left.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field

import pytest
import simpy

from pacer.plan.notation.planreader import read_plan
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.checks.traffic import rooms
from pacer.timeline.timeline import build_timeline

# Common practice, no source.
WORK = {
    "free": 1.0,
    "back": 1.1,
    "drill": 1.3,
    "kick": 1.45,
    "scull": 2.0,
    "free easy": 1.15,
    "free fast": 0.95,
    "choice": 1.05,
}
LENGTH = 25
CLOSE_S = 2


@dataclass
class RandomLane:
    """One lane and one line, as numbers and as text. `repeats`: the segments of each (metres, work).

    `own`: swimmers' own factors, by place and first word of the work, over the ordinary one.
    """

    bases: list[float]
    spacing: float
    repeats: list[list[tuple[int, str]]]
    interval: int | None
    hold: float | None
    page: str
    squad: str
    own: dict[tuple[int, str], float] = field(default_factory=dict)

    def factor(self, place: int, work: str) -> float:
        return WORK[work] * self.own.get((place, work.split()[0]), 1.0)


def random_lane(rng: random.Random) -> RandomLane:
    bases = [rng.randint(160, 240) / 2 for _ in range(rng.choice((1, 2, 3, 4, 5, 6, 8, 10)))]
    if rng.random() < 0.3:
        bases.sort()
    spacing = rng.choice((1, 2, 2.5, 3, 5, 5, 5, 10, 10))
    count, distance = rng.randint(1, 4), LENGTH * rng.choice((1, 2, 2, 3, 4, 6, 8))
    works = rng.sample(list(WORK), 2)
    if rng.random() < 0.5 and distance > LENGTH:
        written = f"{distance} as {LENGTH} {works[0]} / {LENGTH} {works[1]}"
        repeats = [[(LENGTH, works[i % 2]) for i in range(distance // LENGTH)]] * count
    elif rng.random() < 0.3:
        written = f"{distance} odd {works[0]} / even {works[1]}"
        repeats = [[(distance, works[i % 2])] for i in range(count)]
    else:
        written = f"{distance} {works[0]}"
        repeats = [[(distance, works[0])]] * count
    kind, detail, interval, hold = rng.randrange(4), "", None, None
    if kind:
        interval = 5 * rng.randint(20, 90)
        detail = f", on {interval // 60}:{interval % 60:02d}"
    if kind == 1 and rng.random() < 0.4:
        hold = rng.randint(20, 200)
        detail += f", hold {hold // 60}:{hold % 60:02d}"
    page = f"pool: {LENGTH} m\n\n  {count} x {written}{detail}\n"
    own, rows = {}, [f'[[lane]]\nspacing = "0:{spacing:04.1f}"']
    for place, base in enumerate(bases):
        rows.append(f'  [[lane.swimmer]]\n  base = "{int(base // 60)}:{base % 60:04.1f}"')
        word = works[0].split()[0]
        if rng.random() < 0.3:
            own[place, word] = rng.randint(85, 115) / 100
            rows.append(f"  [lane.swimmer.factors]\n  {word} = {WORK[word] * own[place, word]:.6f}")
    return RandomLane(bases, spacing, repeats, interval, hold, page, "\n".join(rows) + "\n", own)


@dataclass
class Lane:
    """The lane in the water: when each swimmer was at each metre, and what happened."""

    told: RandomLane
    env: simpy.Environment = field(default_factory=simpy.Environment)
    passed: dict[tuple[int, int, int], float] = field(default_factory=dict)
    caught: dict[int, tuple[int, float]] = field(default_factory=dict)
    full_on: int | None = None
    shortest_back: float | None = None

    def swim(self) -> None:
        told = self.told
        for place in range(len(told.bases)):
            numbers = range(1, len(told.repeats) + 1)
            if told.interval is None:
                self.env.process(self.swimmer(place, place * told.spacing, list(numbers)))
            else:  # a late swimmer touches after their next send-off; the schedule does not move
                for number in numbers:
                    self.env.process(self.swimmer(place, (number - 1) * told.interval + place * told.spacing, [number]))
        self.env.run()

    def swimmer(self, place: int, leaves: float, numbers: list[int]):
        told = self.told
        yield self.env.timeout(leaves)
        for number in numbers:
            segments, metre = told.repeats[number - 1], 0
            self.passed[place, number, 0] = self.env.now
            total = sum(metres * told.factor(place, work) for metres, work in segments)
            for metres, work in segments:
                factor = told.factor(place, work)
                pace = told.bases[place] * factor / 100 if told.hold is None else told.hold * factor / total
                for _ in range(metres):
                    yield self.env.timeout(pace)
                    metre += 1
                    self.passed[place, number, metre] = self.env.now

    def look_at_the_wall(self) -> None:
        """Whether the leader is back before the wall is free, one spacing after the last has left."""
        told, last = self.told, len(self.told.bases) - 1
        for number in range(1, len(told.repeats) + 1):
            if (0, number, 2 * LENGTH) not in self.passed or (told.interval is None and number > 1):
                continue
            back = self.passed[0, number, 2 * LENGTH]
            since = back - self.passed[0, number, 0]
            self.shortest_back = since if self.shortest_back is None else min(since, self.shortest_back)
            if last and self.full_on is None and self.passed[last, number, 0] + told.spacing > back + 1e-9:
                self.full_on = number

    def look_back(self) -> None:
        """Who caught whom, from the times at each metre."""
        for place in range(1, len(self.told.bases)):
            for number, segments in enumerate(self.told.repeats, 1):
                whole = sum(metres for metres, _ in segments)
                gaps = [
                    self.passed[place, number, metre] - self.passed[place - 1, number, metre]
                    for metre in range(whole + 1)
                ]
                close = next((metre for metre, gap in enumerate(gaps) if gap < CLOSE_S - 1e-9), None)
                if close is not None:
                    since = (
                        0.0 if close == 0 else close - 1 + (gaps[close - 1] - CLOSE_S) / (gaps[close - 1] - gaps[close])
                    )
                    self.caught[place + 1] = (number, since)
                    break


@pytest.mark.parametrize("block", range(6))
def test_against_swimmers_in_the_water(block):
    catches = full = 0
    for seed in range(block * 50, block * 50 + 50):
        told = random_lane(random.Random(seed))
        lane = Lane(told)
        lane.swim()
        lane.look_back()
        lane.look_at_the_wall()
        [room] = rooms(build_timeline(read_plan(told.page), read_squad(told.squad)))
        assert {catch.swimmer: catch.repeat for catch in room.catches} == {
            who: repeat for who, (repeat, _) in lane.caught.items()
        }
        for catch in room.catches:
            assert abs(float(catch.distance) - lane.caught[catch.swimmer][1]) < 0.1
        first = min(((repeat, distance, who) for who, (repeat, distance) in lane.caught.items()), default=None)
        if first is None:
            assert room.first_catch is None
        else:
            assert room.first_catch.repeat == first[0] and abs(float(room.first_catch.distance) - first[1]) < 0.1
        assert room.full_from == lane.full_on
        if lane.shortest_back is None:
            assert room.back_ms is None and room.fits is None
        else:
            assert abs(float(room.back_ms) / 1000 - lane.shortest_back) < 1e-6
            assert room.fits == max(1, int((lane.shortest_back + 1e-9) // told.spacing))
        catches += bool(lane.caught)
        full += lane.full_on is not None
    assert catches >= 10 and full >= 2
