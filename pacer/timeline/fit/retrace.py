"""The backward search of the fit: of all choices with the best distance and end, the best by the other criteria."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from pacer.timeline.fit.laneroutes import UNREACHED, Joint, Way
from pacer.timeline.fit.passages import Passages

_LANE_BITS = 40


class Move(NamedTuple):
    """From a common start to a later one, or to the end (`to` None). `joint` None: the section between is left out."""

    section: int
    start_ms: int
    joint: Joint | None
    step: int
    to: tuple[int, int] | None


class _Rest(NamedTuple):
    """The best from a common start on: the values to compare it by, then the first move and its ways."""

    distances: int  # of all lanes in one number, the first lane in the highest digits
    touches: tuple[int, ...]  # each lane's last touch, negative; 0 if it swims nothing
    rank: int
    move: Move
    ways: tuple[Way, ...]


class Retrace:
    """Walk from the ends to the beginning. `reached`: by section, the most that is swum before each common start."""

    def __init__(self, passages: Passages, reached: Sequence[Mapping[int, int]]):
        self.passages = passages
        self.reached = reached

    def best(self, ends: Sequence[Move]) -> tuple[tuple[int, ...], list[tuple[int, Way]]] | None:
        """Each lane's distance and ways, for the best of all choices that lead to one of `ends`.

        None if, with only few ways followed, none leads there.
        """
        moves: dict[tuple[int, int], list[Move]] = {}
        for move in ends:
            moves.setdefault((move.section, move.start_ms), []).append(move)
        rests: dict[tuple[int, int], _Rest] = {}
        for section in range(len(self.reached) - 2, self.passages.root[0] - 1, -1):
            for start in [at for number, at in moves if number == section]:
                rest = self._best_rest(moves[section, start], rests)
                if rest is None:
                    continue
                rests[section, start] = rest
                for move in self._led_to(section, start):
                    moves.setdefault((move.section, move.start_ms), []).append(move)
        if self.passages.root not in rests:
            return None
        at: tuple[int, int] | None = self.passages.root
        picks: list[tuple[int, Way]] = []
        distances = [0] * len(self.passages.choices.squad.lanes)
        while at is not None:
            rest = rests[at]
            for lane, way in zip(self.passages.lanes, rest.ways):
                for member in self.passages.choices.together[lane]:
                    distances[member] += way.distance
                picks.append((lane, way))
            at = rest.move.to
        return tuple(distances), picks

    def _led_to(self, section: int, start: int) -> Iterator[Move]:
        """The moves to a common start that bring the greatest distance before it."""
        swum = self.reached[section][start]
        for earlier in range(self.passages.root[0], section):
            swum_by = self.reached[earlier]
            for key, joints in self.passages.known[earlier].items():
                for joint in joints:
                    if not joint.chain.gate or joint.chain.last + 1 != section:
                        continue
                    shared = joint.phase_ms is not None
                    self.passages.choices.work.spend(len(joint.times))
                    for slot, total, step in joint.steps(
                        0 if shared else max(key, 0), self.passages.plan.changeover_ms, self.passages.plan.starts_ms
                    ):
                        before = start - slot if shared else key
                        if max(before, 0) + slot != start or swum_by.get(before, UNREACHED) + total != swum:
                            continue
                        if not shared or self.passages.key(earlier, before, ()) == key:
                            yield Move(earlier, before, joint, step, (section, start))
        if (
            section
            and self.reached[section - 1].get(start) == swum
            and self.passages.skips(section - 1, self.passages.alone(section - 1, start))
        ):
            yield Move(section - 1, start, None, 0, (section, start))

    def _best_rest(self, moves: list[Move], rests: Mapping[tuple[int, int], _Rest]) -> _Rest | None:
        best = None
        for move in moves:
            rest = self._rest_by(move, None if move.to is None else rests.get(move.to))
            if rest is not None and (best is None or rest[:3] > best[:3]):
                best = rest
        return best

    def _rest_by(self, move: Move, after: _Rest | None) -> _Rest | None:
        """A move and the best after it; None if nobody would swim the section before its common start."""
        if move.to is not None and after is None:
            return None
        if move.joint is None:
            assert after is not None, "a section left out leads to another start"
            left_out = [self.passages.choices.left_out(move.section, lane) for lane in self.passages.lanes]
            ways = tuple([Way(UNREACHED, None, 0, choice.rank, False, (None, choice)) for choice in left_out])
            return after._replace(rank=after.rank + sum([way.rank for way in ways]), move=move, ways=ways)
        joint = move.joint
        base = joint.base_ms(move.start_ms)
        parts = [True] * len(self.passages.lanes) if after is None else [touch == 0 for touch in after.touches]
        ways = tuple(joint.picks(joint.times[move.step], parts))
        if after is not None and not joint.forced and not any(way.here for way in ways):
            return None
        distances, touches, rank = 0, [], 0
        for way, part, place in zip(ways, parts, range(len(ways))):
            distances = (distances << _LANE_BITS) + way.distance
            rank += way.rank
            if after is not None and not part:
                touches.append(after.touches[place])
            else:
                touches.append(0 if way.touch_ms is None else -(base + way.touch_ms))
        if after is not None:
            distances += after.distances
            rank += after.rank
        return _Rest(distances, tuple(touches), rank, move, ways)
