"""Propose lanes for swimmers: similar paces together, with room for each swimmer.

The swimmers, the fastest first, are cut into lanes. Of all cuts that keep the sizes asked
for and leave room, the proposal is the one with

1. as many lanes as may be used;
2. the least sum, over the lanes, of the square of (slowest − fastest base pace): squares, so
   that no lane is much wider than the others;
3. then the evenest sizes: the least sum of their squares;
4. then the fewest swimmers in the first lane, then in the second, and so on.

A lane has room for n swimmers if n × spacing does not exceed its leader's time for two
lengths at base pace, so that nobody comes back to swimmers who have not left yet. Its
spacing is the longest for which there is room: 10 s, otherwise 5 s (masters clubs in the
US advise both; common practice).
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from pacer.language import tr, tr_n
from pacer.plan.model import Pool
from pacer.squad.refusal import Refused
from pacer.squad.squad import LEAST_SPACING_MS, MAX_LANES, MAX_SWIMMERS, Lane, Squad, Swimmer

SPACINGS_MS = (10_000, 5_000)


class LanesRefused(Refused):
    """The swimmers cannot be put into lanes as asked; the message says why."""


def propose_lanes(
    swimmers: Iterable[Swimmer],
    lanes: int,
    pool: Pool,
    *,
    least: int = 1,
    most: int = MAX_SWIMMERS,
    spacings_ms: tuple[int, ...] = SPACINGS_MS,
) -> Squad:
    """A squad of up to `lanes` lanes, fast to slow, each with `least` to `most` swimmers, the fastest leading.

    The order of `swimmers` does not matter; equal paces are sorted by name. A lane's base is its
    slowest swimmer's. Raises LanesRefused if they do not fit, and says what would fit.
    """
    unit = pool.unit
    order = sorted(swimmers, key=lambda one: (one.base.per_100(unit), one.name, one.base.unit or ""))
    _check(order, lanes, least, most, spacings_ms)
    paces = [swimmer.base.per_100(unit) for swimmer in order]
    room = [_room(pace, pool, min(spacings_ms)) for pace in paces]
    sizes = _sizes(paces, room, min(lanes, len(order)), least, most)
    if not sizes:
        raise _refusal(order, lanes, paces, room, least, most)
    made, start = [], 0
    for number, size in enumerate(sizes, 1):
        members = tuple(order[start : start + size])
        spacing = next(ms for ms in sorted(spacings_ms, reverse=True) if size <= _room(paces[start], pool, ms))
        made.append(Lane(number, members[-1].base, members, spacing))
        start += size
    return Squad(tuple(made))


def _check(order: list[Swimmer], lanes: int, least: int, most: int, spacings_ms: tuple[int, ...]) -> None:
    if not order:
        raise LanesRefused(tr("there are no swimmers"), tr("write each with a base pace or test swims"))
    if len(order) > MAX_SWIMMERS:
        raise LanesRefused(
            tr(
                "{count} swimmers are too many; the limit is {max_swimmers}",
                count=len(order),
                max_swimmers=MAX_SWIMMERS,
            ),
            tr("leave some out"),
        )
    if not 1 <= lanes <= MAX_LANES:
        raise LanesRefused(
            tr("there can be 1 to {max_lanes} lanes, not {lanes}", max_lanes=MAX_LANES, lanes=lanes),
            tr("say how many lanes there are"),
        )
    if not 1 <= least <= most:
        raise LanesRefused(
            tr("a lane can't have {least} to {most} swimmers", least=least, most=most),
            tr("the least must be 1 or more, and no more than the most"),
        )
    if not spacings_ms or min(spacings_ms) < LEAST_SPACING_MS:
        raise LanesRefused(tr("swimmers must leave at least 0:01 apart"), tr("5 or 10 seconds are usual"))


def _room(pace_ms: int | Fraction, pool: Pool, spacing_ms: int) -> int:
    """How many swimmers a lane holds if its leader has this pace."""
    return int(pace_ms * 2 * pool.length / 100 // spacing_ms)


def _sizes(paces: list, room: list[int], lanes: int, least: int, most: int) -> tuple[int, ...]:
    """Lane sizes by the rules above; () if there are none. Exact, by dynamic programming from the slow end.

    `best[i]` is the best way to cut the swimmers from i on into the lanes counted so far:
    the sums of rules 2 and 3, and the sizes.
    """
    count = len(paces)
    spread = {
        (i, i + size): (paces[i + size - 1] - paces[i]) ** 2
        for i in range(count)
        for size in range(least, min(most, room[i], count - i) + 1)
    }
    best: dict[int, tuple] = {count: (0, 0, ())}
    found: tuple[int, ...] = ()
    for _ in range(lanes):
        ways: dict[int, tuple] = {}
        for (i, end), square in spread.items():
            if end in best:
                wide, uneven, sizes = best[end]
                way = (wide + square, uneven + (end - i) ** 2, (end - i, *sizes))
                if i not in ways or way < ways[i]:
                    ways[i] = way
        best = ways
        if 0 in best:
            found = best[0][2]
    return found


def _refusal(order: list[Swimmer], lanes: int, paces: list, room: list[int], least: int, most: int) -> LanesRefused:
    said = tr_n(
        "{count} swimmers don't fit in {n} lane",
        "{count} swimmers don't fit in {n} lanes",
        lanes,
        count=len(order),
    )
    holds = min(max(room), most)
    if holds < least:
        return LanesRefused(
            tr(
                "{said} with {least} or more in each: a lane holds {holds} at most",
                said=said,
                least=least,
                holds=holds,
            ),
            tr("ask for {holds} or fewer in a lane", holds=holds),
        )
    for more in range(lanes + 1, MAX_LANES + 1):
        if len(_sizes(paces, room, more, least, most)) == more:
            return LanesRefused(
                said,
                tr("use {more} or more: a lane holds {holds} at most, a slow one fewer", more=more, holds=holds),
            )
    return LanesRefused(
        tr("{said} with {least} to {holds} in each", said=said, least=least, holds=holds),
        tr("allow fewer in a lane, or more"),
    )
