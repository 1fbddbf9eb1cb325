"""How lanes deviate from the page while a session runs."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any, NamedTuple, TypeVar

T = TypeVar("T")

#: A spot in one round of a section: the round, and the place in the lane's program right before the spot (None: the
#: spot is before all places).
Spot = tuple[int, int | None]


class Last(NamedTuple):
    """The last repeats of a lane in a section: the round, the place in its program, and how many it swims there."""

    round: int
    place: int
    repeats: int


class Put(NamedTuple):
    """An item added to a section for a lane: its index among the section's items, and the spot where the lane swims it
    once.
    """

    item: int
    spot: Spot


def _nothing() -> Mapping:
    return MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Deviation:
    """Changes made on deck. Lanes and sections are indexes, rounds and lines count from 1.

    `more[lane, section, round, place]`: additional repeats (negative: fewer) in one pass through the line at `place` of
    the lane's program. `rounds[lane, section]`: additional rounds, or fewer. `intervals[lane, section, line]`: the new
    interval of that written line, in ms. `leaders[lane]`: the lane whose page and send-offs it follows.
    `put[lane, section]`: added items, in the order in which they were added. `out[lane, section, line]`: the spot after
    which the line is skipped, in that round and all later ones. `missed[lane, section, round, place]`: the repeats
    (from 0) of one pass that the lane sits out; the times of all others stay. `last[lane, section]`: where the lane's
    section ends, because there was no time for more when something was added.
    """

    more: Mapping[tuple[int, int, int, int], int] = field(default_factory=_nothing)
    rounds: Mapping[tuple[int, int], int] = field(default_factory=_nothing)
    intervals: Mapping[tuple[int, int, int], int] = field(default_factory=_nothing)
    leaders: Mapping[int, int] = field(default_factory=_nothing)
    put: Mapping[tuple[int, int], tuple[Put, ...]] = field(default_factory=_nothing)
    out: Mapping[tuple[int, int, int], Spot] = field(default_factory=_nothing)
    missed: Mapping[tuple[int, int, int, int], frozenset[int]] = field(default_factory=_nothing)
    last: Mapping[tuple[int, int], Last] = field(default_factory=_nothing)

    def with_more(self, lane: int, section: int, round: int, place: int, by: int) -> Deviation:
        """Add `by` repeats in one pass, on top of earlier changes."""
        key = (lane, section, round, place)
        return replace(self, more={**self.more, key: self.more.get(key, 0) + by})

    def with_rounds(self, lane: int, section: int, by: int) -> Deviation:
        """Add `by` rounds of a section."""
        key = (lane, section)
        return replace(self, rounds={**self.rounds, key: self.rounds.get(key, 0) + by})

    def with_interval(self, lane: int, section: int, line: int, interval_ms: int) -> Deviation:
        """Change the interval of a written line."""
        return replace(self, intervals={**self.intervals, (lane, section, line): interval_ms})

    def with_put(self, lane: int, section: int, put: Put) -> Deviation:
        """Add an item for a lane; of two at the same spot, the one added last comes first."""
        key, last = (lane, section), self.last.get((lane, section))
        made = self.with_last(lane, section, None) if last is not None and put.spot == last[:2] else self
        return replace(made, put={**self.put, key: (*self.put.get(key, ()), put)})

    def with_out(self, lane: int, section: int, line: int, spot: Spot) -> Deviation:
        """Skip a line after `spot`."""
        made = self.with_last(lane, section, None) if (lane, section) in self.last else self
        return replace(made, out={**self.out, (lane, section, line): spot})

    def with_missed(self, lane: int, section: int, round: int, place: int, repeats: Iterable[int]) -> Deviation:
        """Let a lane sit out repeats of one pass, in addition to those it sits out already."""
        key = (lane, section, round, place)
        return replace(self, missed={**self.missed, key: self.missed.get(key, frozenset()).union(repeats)})

    def without_missed(self, lanes: Container[int]) -> Deviation:
        """Let these lanes sit out nothing any more."""
        return replace(self, missed={key: repeats for key, repeats in self.missed.items() if key[0] not in lanes})

    def with_last(self, lane: int, section: int, last: Last | None) -> Deviation:
        """Let a lane's section end at `last`; None: swim all of it."""
        others = {key: value for key, value in self.last.items() if key != (lane, section)}
        return replace(self, last=others if last is None else {**others, (lane, section): last})

    def with_leader(self, lane: int, leader: int) -> Deviation:
        """Let `lane` follow `leader` from now on, including all of the leader's deviations."""
        page = self.leaders.get(leader, leader)
        leaders = {k: v for k, v in self.leaders.items() if k != lane}
        if page != lane:
            leaders[lane] = page
        more, rounds, intervals, put, out, missed, last = (
            _as(table, leader, lane)
            for table in (self.more, self.rounds, self.intervals, self.put, self.out, self.missed, self.last)
        )
        return Deviation(more, rounds, intervals, leaders, put, out, missed, last)

    def in_section(self, section: int) -> Deviation:
        """The deviations in one section, as if it were the only one."""
        return Deviation(
            _within(self.more, section),
            _within(self.rounds, section),
            _within(self.intervals, section),
            self.leaders,
            _within(self.put, section),
            _within(self.out, section),
            _within(self.missed, section),
            _within(self.last, section),
        )

    def of(self, lane: int, section: int) -> tuple:
        """All that changes the lane's program of a section, except whose page it follows.

        Equal for equal programs.
        """
        if not self.intervals and not self.put:
            return None, None
        mine = {key[2]: value for key, value in self.intervals.items() if key[:2] == (lane, section)}
        return mine or None, self.put.get((lane, section))

    def edits(self, lane: int, section: int) -> bool:
        """Whether a lane has added or skipped lines in a section, or repeats that it sits out."""
        if not (self.put or self.out or self.missed):
            return False
        return (lane, section) in self.put or any(
            key[:2] == (lane, section) for table in (self.out, self.missed) for key in table
        )

    def sat_out(self, lane: int, section: int) -> dict[tuple[int, int], frozenset[int]]:
        """The repeats that a lane sits out in a section, by (round, place)."""
        return (
            {key[2:]: repeats for key, repeats in self.missed.items() if key[:2] == (lane, section)}
            if self.missed
            else {}
        )

    def passes(self, lane: int, section: int) -> dict[tuple[int, int], int]:
        """Additional repeats of a lane in a section, by (round, place)."""
        return {key[2:]: by for key, by in self.more.items() if key[:2] == (lane, section)} if self.more else {}


def _within(table: Mapping[Any, T], section: int) -> dict[Any, T]:
    """The table's rows of one section, as if it were the first."""
    return {(key[0], 0, *key[2:]): value for key, value in table.items() if key[1] == section}


def _as(table: Mapping, leader: int, lane: int) -> dict:
    """The table with the lane's rows replaced by the leader's."""
    kept = {key: value for key, value in table.items() if key[0] != lane}
    return {**kept, **{(lane, *key[1:]): value for key, value in kept.items() if key[0] == leader}}
