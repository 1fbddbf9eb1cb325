"""Each set with times as a table: a row for each swimmer, a column for each repeat."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import NamedTuple

from pacer.plan.model import SetLine
from pacer.plan.text.standardform import write_line
from pacer.review.swum.meanandspread import drift_ms, mean_ms, spread_ms
from pacer.review.swum.swims import Swum
from pacer.timeline.laneline import LaneLine


class Column(NamedTuple):
    """A repeat of a set: its round and number (from 1), its distance, and its index on the lane's track."""

    round: int
    repeat: int
    distance: int
    at: int


class Cell(NamedTuple):
    """One time of one swimmer, and the predicted time, or the target if the set has one.

    `column` is its place among the table's columns, `entry` the number of its entry in the journal.
    """

    column: int
    time_ms: int
    predicted_ms: int
    entry: int

    @property
    def over_ms(self) -> int:
        """How much slower than predicted (negative: faster)."""
        return self.time_ms - self.predicted_ms


class Row(NamedTuple):
    """A swimmer's times of a set.

    `over_ms` is the mean of time minus prediction. `spread_ms` is the standard deviation of that, `drift_ms` how much
    it grows from one repeat to the next. Both use times against prediction, so that they also make sense for a set
    whose repeats differ. None if there are too few times.
    """

    who: int
    place: int
    cells: tuple[Cell, ...]
    over_ms: int | None
    spread_ms: int | None
    drift_ms: int | None


class TimedSet(NamedTuple):
    """A set of one lane. `target`: whether its predictions are the set's target time."""

    lane: int
    section: int
    line: int
    text: str
    target: bool
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]

    @property
    def distance(self) -> int:
        """The distance of all timed repeats together."""
        return sum(self.columns[cell.column].distance for row in self.rows for cell in row.cells)


def timed_sets(swims: Iterable[Swum]) -> tuple[TimedSet, ...]:
    """The timed sets, by lane, in the order they were swum."""
    sets: dict[tuple[int, int, int], list[Swum]] = {}
    here: tuple[LaneLine, int] | None = None
    for swim in swims:
        if not swim.shape.distance:
            continue
        if here is None or here[0] is not swim.laneline or here[1] != swim.section:
            here = swim.laneline, swim.section
            mine = sets.setdefault((swim.lane, swim.section, swim.line), [])
        mine.append(swim)
    texts: dict[int, str] = {}
    return tuple(
        _table(key, mine, texts) for key, mine in sets.items() if any(swim.time_ms is not None for swim in mine)
    )


def without(table: TimedSet, entries: Collection[int]) -> TimedSet:
    """The set with mean, spread and drift worked out without the times of these entries, which stay in the table."""
    if not any(cell.entry in entries for row in table.rows for cell in row.cells):
        return table
    rows = tuple(
        _row(row.who, row.place, [cell for cell in row.cells if cell.entry not in entries])._replace(cells=row.cells)
        for row in table.rows
    )
    return table._replace(rows=rows)


def _table(key: tuple[int, int, int], swims: list[Swum], texts: dict[int, str]) -> TimedSet:
    columns: list[Column] = []
    rows: dict[int, list[Cell]] = {}
    stood: dict[int, int] = {}
    last = -1
    for _, place, who, at, _, round_, _, repeat, _, _, predicted_ms, _, time_ms, entry, shape, _, _, _ in swims:
        if at != last:  # the swims are in order of repeats
            last = at
            columns.append(Column(round_, repeat, shape.distance, at))
        if time_ms is not None:
            if who not in rows:
                rows[who], stood[who] = [], place
            rows[who].append(Cell(len(columns) - 1, time_ms, predicted_ms, entry))
    line = swims[0].laneline.line
    made = tuple(_row(who, stood[who], cells) for who, cells in sorted(rows.items(), key=lambda row: stood[row[0]]))
    return TimedSet(*key, _text(line, texts), line.hold is not None, tuple(columns), made)


def _row(who: int, place: int, cells: list[Cell]) -> Row:
    over = [time_ms - predicted_ms for _, time_ms, predicted_ms, _ in cells]
    drift = drift_ms([cell[0] for cell in cells], over)
    return Row(who, place, tuple(cells), mean_ms(over), spread_ms(over), drift)


def _text(line: SetLine, texts: dict[int, str]) -> str:
    if id(line) not in texts:
        texts[id(line)] = " ".join(write_line(line).split())
    return texts[id(line)]
