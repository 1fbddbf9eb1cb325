"""Fit the rounds of a session with a mixed-integer programme for `scipy.optimize.milp`.

It is independent of the engine: from a session's few numbers it works out every lane's times itself, and
`page` and `squad` write the same session as files. All times are whole seconds, so that the solver's
tolerances cannot decide between two choices.
"""

from __future__ import annotations

import random
import time
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_matrix

CLOCK, SPACING = 5, 5


@dataclass(frozen=True)
class Line:
    """`count` x `distance` free; `intervals` by lane, None if the lane's group leaves the line out."""

    count: int
    distance: int
    intervals: tuple[int | None, ...]


@dataclass(frozen=True)
class Part:
    """A section of the session."""

    least: int
    most: int
    run_on: bool
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Session:
    """`bases` in seconds per 100 m, `swimmers` by lane; groups A and B in turn."""

    bases: tuple[int, ...]
    swimmers: tuple[int, ...]
    parts: tuple[Part, ...]
    changeover: int
    starts: int
    limit: int

    def page(self) -> str:
        rows = [
            "pool: 25 m",
            f"changeover: {clock(self.changeover)}",
            f"starts: {clock(self.starts)}",
            f"clock: {clock(CLOCK)}",
        ]
        for place, part in enumerate(self.parts):
            rows += [
                "",
                f"Part {'ABCDEFGH'[place]}, {part.least} to {part.most} rounds" + (", run on" if part.run_on else ""),
            ]
            for line in part.lines:
                swum = [lane for lane, interval in enumerate(line.intervals) if interval is not None]
                group = "" if len(swum) == len(self.bases) else f"{'AB'[swum[0] % 2]}: "
                known = {lane: line.intervals[lane] for lane in swum}
                entries = [clock(known.get(lane, known[swum[0]])) for lane in range(len(self.bases))]
                rows.append(f"  {group}{line.count} x {line.distance} free, on {' / '.join(entries)}")
        return "\n".join(rows) + "\n"

    def squad(self) -> str:
        return "".join(
            f'[[lane]]\nbase = "{clock(base)}"\nswimmers = {many}\ngroup = "{"AB"[lane % 2]}"\n'
            f'spacing = "0:{SPACING:02d}"\n'
            for lane, (base, many) in enumerate(zip(self.bases, self.swimmers))
        )

    def takes(self, part: int, lane: int, rounds: int) -> int:
        """The time from the lane's start of the part to its last touch; 0 if it swims nothing."""
        lines = [line for line in self.parts[part].lines if line.intervals[lane] is not None]
        if not lines or not rounds:
            return 0
        once = sum(line.count * line.intervals[lane] for line in lines)
        swim, rest = divmod(self.bases[lane] * lines[-1].distance, 100)
        assert not rest, "whole seconds"
        return rounds * once - lines[-1].intervals[lane] + (self.swimmers[lane] - 1) * SPACING + swim

    def distance(self, part: int, lane: int) -> int:
        return sum(line.count * line.distance for line in self.parts[part].lines if line.intervals[lane] is not None)


def clock(seconds: int) -> str:
    return f"{seconds // 60}:{seconds % 60:02d}"


def random_session(rng: random.Random, parts: int, lanes: int, most: int, *, plain: bool = False) -> Session:
    """With `plain`, rounds go from 1 to `most`, everybody swims everything, and every part has a common start."""
    bases = tuple(sorted(rng.randrange(64, 140, 4) for _ in range(lanes)))
    swimmers = tuple(rng.randint(1, 8) for _ in range(lanes))
    made = []
    for _ in range(parts):
        lines = []
        for _ in range(rng.randint(1, 2)):
            count, distance = rng.randint(1, 4), rng.choice((25, 50, 100, 100, 200))
            rest = rng.choice((0, 5, 10, 20))
            only = None if plain or rng.random() < 0.85 else rng.randrange(min(2, lanes))
            lines.append(
                Line(
                    count,
                    distance,
                    tuple(
                        None if only is not None and lane % 2 != only else -(-(base * distance // 100 + rest) // 5) * 5
                        for lane, base in enumerate(bases)
                    ),
                )
            )
        least = 1 if plain else rng.randint(0, 1)
        made.append(
            Part(
                least,
                most if plain else least + rng.randint(1, most - least),
                not plain and rng.random() < 0.3,
                tuple(lines),
            )
        )
    session = Session(
        bases,
        swimmers,
        tuple(made),
        60 if plain else rng.choice((0, 30, 60)),
        30 if plain else rng.choice((30, 60, 120)),
        0,
    )
    least_end, most_end = (
        _about(session, lambda part, share=share: part.least + round(share * (part.most - part.least)))
        for share in (0, 1)
    )
    share = rng.uniform(0.2, 0.6) if plain else rng.uniform(-0.2, 1.05)
    limit = max(60, least_end + share * (most_end - least_end))
    return Session(session.bases, session.swimmers, session.parts, session.changeover, session.starts, round(limit))


def _about(session: Session, rounds) -> int:
    return sum(
        max(session.takes(place, lane, rounds(part)) for lane in range(len(session.bases)))
        + session.changeover
        + session.starts
        for place, part in enumerate(session.parts)
    )


class Solved:
    """The `distance` summed over swimmers, and the earliest `end` for it in seconds; None, None if nothing fits.

    `proven`: the solver finished both in time; `farthest`: at least the distance is proven. `by_slots`: a formulation
    that is far easier to solve, if everybody swims every part and all start together: the length of each part, in
    whole steps of `starts`, is chosen too, and a lane may only do what fits.
    """

    def __init__(self, session: Session, seconds: float = 60.0, *, by_slots: bool = False):
        self.session = session
        self.rows: list[tuple[dict[int, float], float, float]] = []
        self.bounds: list[tuple[float, float, int]] = []
        self.swum: dict[int, int] = {}
        self.last = self._new(0, session.limit, False)
        if by_slots:
            self._formulate_by_slots()
        else:
            self._formulate()
        self.distance = self.end = None
        self.proven = True
        gain = np.zeros(len(self.bounds))
        for variable, distance in self.swum.items():
            gain[variable] = -distance
        best = self._solve(gain, seconds)
        self.farthest = self.proven
        if best is not None:
            self.distance = round(-best)
            self.rows.append((dict(self.swum), self.distance - 0.5, np.inf))
            last = np.zeros(len(self.bounds))
            last[self.last] = 1
            end = self._solve(last, seconds)
            self.end = None if end is None else round(end)

    def _new(self, low: float, high: float, whole: bool) -> int:
        self.bounds.append((low, high, int(whole)))
        return len(self.bounds) - 1

    def _at_least(self, terms: dict[int, float], value: float) -> None:
        self.rows.append((terms, value, np.inf))

    def _formulate(self) -> None:
        session, limit = self.session, self.session.limit
        lanes, big = range(len(session.bases)), 2 * session.limit + 600
        starts = [self._new(0, 0, False) for _ in lanes]
        ends = [self._new(0, limit, False) for _ in lanes]  # the latest end so far
        for place, part in enumerate(session.parts):
            anybody = self._new(0, 1, True)
            swims, later = [], []
            for lane in lanes:
                distance = session.distance(place, lane)
                choice = {rounds: self._new(0, 1, True) for rounds in range(part.least, part.most + 1)}
                self.rows.append((dict.fromkeys(choice.values(), 1), 1, 1))
                dry = [v for rounds, v in choice.items() if not session.takes(place, lane, rounds)]
                for rounds, variable in choice.items():
                    self.swum[variable] = rounds * distance * session.swimmers[lane]
                takes = {v: session.takes(place, lane, rounds) for rounds, v in choice.items()}
                end = self._new(0, limit, False)
                self._at_least({end: 1, ends[lane]: -1}, 0)
                # If it swims: end >= start + takes, and so does the last touch of all.
                for later_than in (end, self.last):
                    self._at_least(
                        {
                            later_than: 1,
                            starts[lane]: -1,
                            **{v: -t for v, t in takes.items()},
                            **dict.fromkeys(dry, big),
                        },
                        0,
                    )
                self._at_least({anybody: 1, **dict.fromkeys(dry, 1)}, 1)
                swims.append(dry)
                later.append(end)
            ends = later
            # If nobody swims it, it must not count as swum.
            self._at_least({**{v: -1 for dry in swims for v in dry}, anybody: -1}, -len(lanes))
            following = [self._new(0, big, False) for _ in lanes]
            for lane in lanes:
                self._at_least({following[lane]: 1, starts[lane]: -1}, 0)
            if part.run_on:
                for lane in lanes:
                    mark = self._new(0, big // CLOCK + 1, True)
                    self._at_least({mark: CLOCK, ends[lane]: -1, **dict.fromkeys(swims[lane], big)}, session.changeover)
                    self._at_least({following[lane]: 1, mark: -CLOCK, **dict.fromkeys(swims[lane], big)}, 0)
            else:
                gate = self._new(0, big // session.starts + 1, True)
                for lane in lanes:
                    self._at_least({gate: session.starts, ends[lane]: -1, anybody: -big}, session.changeover - big)
                    self._at_least({following[lane]: 1, gate: -session.starts, anybody: -big}, -big)
            starts = following

    def _formulate_by_slots(self) -> None:
        session = self.session
        lanes, end = range(len(session.bases)), len(session.parts) - 1
        before: dict[int, float] = {}  # the last part's common start
        for place, part in enumerate(session.parts):
            assert part.least and not part.run_on and all(None not in line.intervals for line in part.lines)
            needs = {}
            for lane in lanes:
                for rounds in range(part.least, part.most + 1):
                    takes = session.takes(place, lane, rounds) + session.changeover
                    needs[lane, rounds] = -(-takes // session.starts) * session.starts
            slots = {}
            if place < end:
                slots = {length: self._new(0, 1, True) for length in sorted(set(needs.values()))}
                self.rows.append((dict.fromkeys(slots.values(), 1), 1, 1))
                before |= {variable: length for length, variable in slots.items()}
            for lane in lanes:
                choice = {rounds: self._new(0, 1, True) for rounds in range(part.least, part.most + 1)}
                self.rows.append((dict.fromkeys(choice.values(), 1), 1, 1))
                for rounds, variable in choice.items():
                    self.swum[variable] = rounds * session.distance(place, lane) * session.swimmers[lane]
                if place == end:
                    takes = {variable: -session.takes(place, lane, rounds) for rounds, variable in choice.items()}
                    self._at_least(
                        {self.last: 1, **{variable: -length for variable, length in before.items()}, **takes}, 0
                    )
                    continue
                for length in slots:  # a choice that takes this long or longer needs a part that is this long or longer
                    enough = {variable: 1 for other, variable in slots.items() if other >= length}
                    long = {choice[rounds]: -1 for rounds in choice if needs[lane, rounds] >= length}
                    self._at_least({**enough, **long}, 0)

    def _solve(self, costs: np.ndarray, seconds: float) -> float | None:
        row, column, value = [], [], []
        for number, (terms, _, _) in enumerate(self.rows):
            for variable, factor in terms.items():
                row.append(number)
                column.append(variable)
                value.append(factor)
        matrix = coo_matrix((value, (row, column)), (len(self.rows), len(self.bounds))).tocsr()
        low, high, whole = map(np.array, zip(*self.bounds))
        limits = LinearConstraint(matrix, [r[1] for r in self.rows], [r[2] for r in self.rows])
        for presolve in (True, False):  # with presolve HiGHS sometimes gives up at once on numbers that it made itself
            options = {"time_limit": seconds, "mip_rel_gap": 0, "presolve": presolve}
            found = milp(costs, integrality=whole, bounds=Bounds(low, high), constraints=limits, options=options)
            if found.status in (0, 1, 2):
                break
        self.proven = self.proven and found.status in (0, 2)
        return found.fun if found.status == 0 else None


def seconds_of(solve):
    """A call's result, and its processor time."""
    begun = time.process_time()
    found = solve()
    return found, time.process_time() - begun
