"""How far a set's send-offs were moved on earlier pages of its series because of times that were taken.

A lane's send-off moves on only if the rest that it left, by the times swum, clearly differs from the rest that the
set's first page in the series gave the lane by its base. So the moves so far count, and a lane that stays as slow is
moved once.

A change between two pages was such a move if the times of the earlier page asked for it, and no further than they
did, rounded up to a mark. Any other change is the coach's, and the set begins again with it. This rule is our own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from pacer.plan.model import ByLane, Plan, SetLine
from pacer.plan.planlines import numbered_lines
from pacer.review.learning.learned import outliers
from pacer.review.series.mainandskillsets import main_section
from pacer.review.series.movabletimes import Aim, aim_of, lane_times
from pacer.review.swum.sessionreview import Review


class Moves(NamedTuple):
    """The moves so far of each of a lane's send-offs on a line, in ms, each in the measure of the send-off.

    `base`: the lane's base per 100 on the page that the moves count from.
    """

    moved_ms: tuple[int, ...]
    base: int | Fraction


class _Page(NamedTuple):
    review: Review
    number: int  #: of the line in the page's main set
    aims: tuple[Aim, ...]
    base: int | Fraction


def moves_so_far(plan: Plan, number: int, lane: int, review: Review, earlier: Sequence[Review]) -> Moves:
    """The moves of line `number` of the plan's main set for a lane (by index) until the session of `review`.

    `earlier`: the sessions of the series before it, oldest first.
    """
    pages = [found for one in earlier if (found := _page(one, plan, number, lane)) is not None]
    now = _page(review, plan, number, lane)
    if now is None:
        return Moves((), review.squad.lanes[lane].base.per_100(plan.pool.unit))
    moves = Moves((0,) * len(now.aims), (pages[0] if pages else now).base)
    for page, after in zip(pages, [*pages[1:], now]):
        moves = _moved_on(moves, page, after, lane, plan.clock_ms)
    return moves


def _page(review: Review, plan: Plan, number: int, lane: int) -> _Page | None:
    """The same set in a session: the main set's line with the same work, the first such line being the first there."""
    begun = review.replay.begun.plan
    squad = review.squad
    if begun.pool != plan.pool or lane >= len(squad.lanes):
        return None
    mine = _numbered(plan)
    alike = [n for n, line in mine.items() if _work(line) == _work(mine[number])]
    theirs = [(n, line) for n, line in _numbered(begun).items() if _work(line) == _work(mine[number])]
    place = alike.index(number)
    if place >= len(theirs):
        return None
    there, line = theirs[place]
    aims = aims_of(line, lane, squad.lanes[lane].group)
    return _Page(review, there, aims, squad.lanes[lane].base.per_100(plan.pool.unit)) if aims else None


def _numbered(plan: Plan) -> dict[int, SetLine]:
    at = main_section(plan)
    return {number: line for section, number, _, line in numbered_lines(plan) if section == at}


def _work(line: SetLine) -> SetLine:
    """A line without all that the next page changes, and without its cue."""
    return replace(line, count=ByLane((1,)), interval=None, hold=None, rate=None, cue="")


def aims_of(line: SetLine, lane: int, group: str | None) -> tuple[Aim, ...]:
    """A lane's send-offs on a line; none if it has none."""
    try:
        return () if line.interval is None else tuple(map(aim_of, line.interval.for_lane(lane, group)))
    except KeyError:
        return ()


def _moved_on(moves: Moves, page: _Page, after: _Page, lane: int, mark_ms: int) -> Moves:
    """The moves after the next page, or none so far if the coach made the change."""
    none_so_far = Moves((0,) * len(after.aims), after.base)
    if list(map(_form, page.aims)) != list(map(_form, after.aims)):
        return none_so_far
    changes = tuple(new.amount_ms - old.amount_ms for old, new in zip(page.aims, after.aims))
    if not any(changes):
        return moves
    for change, asked in zip(changes, _asked(moves, page, after, lane)):
        if change and not (change * asked > 0 and abs(change) < abs(asked) + mark_ms):
            return none_so_far
    return moves._replace(moved_ms=tuple(map(sum, zip(moves.moved_ms, changes))))


def _form(aim: Aim) -> tuple[bool, bool]:
    return aim.per_100, aim.by_base


def _asked(moves: Moves, page: _Page, after: _Page, lane: int) -> Iterator[Fraction]:
    """How far a page's times asked each of its send-offs to move."""
    at = main_section(page.review.replay.begun.plan)
    tables = [one for one in page.review.sets if (one.lane, one.section, one.line) == (lane, at, page.number)]
    times = lane_times(tables, outliers(page.review), page.base, after.base, moves.base)
    for aim, moved in zip(page.aims, moves.moved_ms):
        yield times.shift(aim) - moved if times.rows else Fraction(0)
