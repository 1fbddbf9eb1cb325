"""Where swimmers are, as cards of the pool: each has the way of one swimmer through one repeat.

A way is a list of [since, place, speed]: from `since` ms after the swimmer has left (`left_ms`), the place is lengths
of the pool gone from the home wall, modulo 2, and `speed` lengths in 1,000 s. A place below 0 stands still: at a wall,
or in another lane (`show/view/swimmerplaces`). The same way of several swimmers is sent once.

A swimmer who has touched is at the wall where the way ends, whatever was predicted. Touches come
apart from the cards (`walls_of`): a time changes no card of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pacer.language import tr
from pacer.session.records.touches import TakenTime, swim_of
from pacer.session.running.replay import Run
from pacer.session.running.runstate import now_of
from pacer.show.view.bandreader import BandReader
from pacer.show.view.swimmerplaces import AWAY, HOME, LanePaths, Way

Pieces = list[list[float]]
Walls = list[list[int | None]]  #: by lane and swimmer, when the swim began that the latest time ends
TIMES_LOOKED_AT = 500  #: times that are looked at, of all lanes together


def swimmer_cards(reader: BandReader, from_ms: int, until_ms: int) -> list[dict[str, Any]]:
    """The cards of a lane's swimmers in force at `from_ms` and up to before `until_ms`."""
    return [card for swimmer in range(reader.ways.swimmers) for card in _of_one(reader, swimmer, from_ms, until_ms)]


def walls_of(run: Run, times: Sequence[TakenTime]) -> Walls:
    """When the swims began that the latest times end: `left_ms` of the card that is in force, if it is that swim."""
    made: Walls = [[None] * len(lane.swimmers) for lane in run.timeline.squad.lanes]
    rows: dict[int, dict[int, int]] = {}
    for _, one in times[-TIMES_LOOKED_AT:]:
        lane = made[one.lane]
        if one.lane not in rows:
            rows[one.lane] = {each.number: row for row, each in enumerate(run.timeline.squad.lanes[one.lane].swimmers)}
        row: int | None = one.swimmer
        if any(found.laneline.who != tuple(rows[one.lane]) for found in run.timeline.tracks[one.lane].passes):
            swim = swim_of(run, one)  # somebody came, went or changed places
            row = None if swim is None else rows[one.lane].get(swim.who)
        if row is not None and row < len(lane):
            lane[row] = max(one.left_ms, lane[row] or one.left_ms)
    return made


def home_cards(reader: BandReader, at_ms: int) -> list[dict[str, Any]]:
    """From `at_ms` on everybody is at the home wall."""
    return [_card(reader, swimmer, at_ms, None, [[0, HOME, 0]]) for swimmer in range(reader.ways.here)]


def _of_one(reader: BandReader, swimmer: int, from_ms: int, until_ms: int) -> Iterator[dict[str, Any]]:
    track, ways = reader.track, reader.ways

    def index_at(at_ms: int) -> int:
        return track.index_at(now_of(track, at_ms))

    first, last = index_at(from_ms), index_at(until_ms)
    instants = {from_ms}
    for index in range(max(0, first - 1), last + 1):
        instants.add(track.sendoffs[index])
        if ways.place(index, swimmer) is not None:
            instants.add(ways.leaves(index, swimmer))
        if index in ways.back[swimmer]:
            instants.add(ways.back_starts_ms(index, swimmer))
    instants.update(ways.joins.values())
    before: tuple[int | None, Pieces] | None = None
    for at_ms in sorted(at_ms for at_ms in instants if from_ms <= at_ms < until_ms):
        found = _in_force(ways, index_at(at_ms), swimmer, at_ms)
        if found != before:
            yield _card(reader, swimmer, at_ms, *found)
        before = found


def _in_force(ways: LanePaths, index: int, swimmer: int, at_ms: int) -> tuple[int | None, Pieces]:
    """When the swimmer left, and the way since then."""
    way = ways.way(index, swimmer, at_ms)
    away = ways.is_away(index, swimmer, at_ms)  # in another lane once they are home
    if way is None:
        return None, [[0, AWAY if away else HOME, 0]]
    pieces = _pieces(way)
    return round(way.bounds[1]), [*pieces[:-1], [pieces[-1][0], AWAY, 0]] if away else pieces


def _pieces(way: Way) -> Pieces:
    left = way.bounds[1]
    made: Pieces = []
    for since, offset, speed in zip(way.bounds[1:], way.offsets[2:], way.speeds[2:]):
        assert offset is not None, "who has left is somewhere"
        place = offset if speed is None else round((offset + since * speed) % 2, 4)
        made.append([round(since - left), place, 0 if speed is None else round(speed * 1e6, 3)])
    return made


def _card(reader: BandReader, swimmer: int, at_ms: int, left_ms: int | None, way: Pieces) -> dict[str, Any]:
    return {
        "part": tr("swimmer {lane} {swimmer}", lane=reader.lane, swimmer=swimmer),
        "at_ms": at_ms,
        "left_ms": left_ms,
        "way": way,
    }
