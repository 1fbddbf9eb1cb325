"""What lanes do otherwise than the page says, once a session is on its way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType


def _nothing() -> Mapping:
    return MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Deviation:
    """Changes made on deck. Lanes and sections are indexes, rounds and lines count from 1.

    `more[lane, section, round, place]`: repeats more (negative: fewer) in one pass through the line at
    `place` of the lane's program. `rounds[lane, section]`: rounds more or fewer. `intervals[lane, section, line]`:
    the interval of that written line, in ms. `leaders[lane]`: the lane whose page and send-offs it goes by.
    """

    more: Mapping[tuple[int, int, int, int], int] = field(default_factory=_nothing)
    rounds: Mapping[tuple[int, int], int] = field(default_factory=_nothing)
    intervals: Mapping[tuple[int, int, int], int] = field(default_factory=_nothing)
    leaders: Mapping[int, int] = field(default_factory=_nothing)

    def with_more(self, lane: int, section: int, round: int, place: int, by: int) -> Deviation:
        """`by` repeats more in one pass, beside what was changed before."""
        key = (lane, section, round, place)
        return replace(self, more={**self.more, key: self.more.get(key, 0) + by})

    def with_rounds(self, lane: int, section: int, by: int) -> Deviation:
        """`by` rounds more of a section."""
        key = (lane, section)
        return replace(self, rounds={**self.rounds, key: self.rounds.get(key, 0) + by})

    def with_interval(self, lane: int, section: int, line: int, interval_ms: int) -> Deviation:
        """Another interval for a written line."""
        return replace(self, intervals={**self.intervals, (lane, section, line): interval_ms})

    def with_leader(self, lane: int, leader: int) -> Deviation:
        """`lane` goes by `leader` from now on, and does all that `leader` does otherwise than written."""
        leader = self.leaders.get(leader, leader)
        leaders = {k: v for k, v in self.leaders.items() if k != lane}
        if leader != lane:
            leaders[lane] = leader
        return Deviation(*(_as(table, leader, lane) for table in (self.more, self.rounds, self.intervals)), leaders)

    def of(self, lane: int) -> tuple:
        """All that makes the lane's program another one; equal for equal programs."""
        mine = {key[1:]: value for key, value in self.intervals.items() if key[0] == lane} if self.intervals else None
        return mine or None, self.leaders.get(lane)

    def passes(self, lane: int, section: int) -> dict[tuple[int, int], int]:
        """Repeats more by (round, place), for a lane in a section."""
        return {key[2:]: by for key, by in self.more.items() if key[:2] == (lane, section)}


def _as(table: Mapping, leader: int, lane: int) -> dict:
    """The table with the leader's rows taken over by the lane, its own given up."""
    kept = {key: value for key, value in table.items() if key[0] != lane}
    return {**kept, **{(lane, *key[1:]): value for key, value in kept.items() if key[0] == leader}}
