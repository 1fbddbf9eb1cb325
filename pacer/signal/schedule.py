"""Which of the wanted instants sound: coinciding ones once, overlapping ones by rank.

Six lanes that all beep are noise. Section starts are wanted, and the send-offs of the lanes
that the coach chose. A count-down to the instant t occupies [t - `LEAD_MS`, t + `LONG_MS`).

1. Wanted instants that are equal sound as one, with the rank of the first among them.
2. Section starts are placed first, then the first lane's send-offs, the second lane's and so
   on; among equals, the earlier first. One that would overlap a placed one is silent
   altogether: half a count-down would be a wrong one.

So the section start wins, then the lane first in order, and a loser silences nobody.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise

from pacer.signal.clip import LEAD_MS, LONG_MS

SECTION_START = -1  #: the order of a section start, before every lane's
OCCUPIED_MS = LEAD_MS + LONG_MS  #: instants nearer to each other than this overlap


@dataclass(frozen=True, slots=True)
class Wanted:
    """An instant that should be counted down to: the long beep begins at `at_ms`.

    `order` is `SECTION_START` or the lane's place, from 0, in the squad's order.
    """

    at_ms: int
    order: int = SECTION_START


@dataclass(frozen=True, slots=True)
class Sound:
    """An instant that is counted down to, and in ascending order whom for."""

    at_ms: int
    orders: tuple[int, ...]

    @property
    def start_ms(self) -> int:
        """When a whole count-down to it begins."""
        return self.at_ms - LEAD_MS


@dataclass(frozen=True, slots=True)
class Programme:
    """The sounds of a session in ascending order, none overlapping another."""

    sounds: tuple[Sound, ...] = ()
    _instants: tuple[int, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_instants", tuple(sound.at_ms for sound in self.sounds))

    def __contains__(self, at_ms: int) -> bool:
        """Whether `at_ms` is counted down to."""
        place = bisect_left(self._instants, at_ms)
        return place < len(self._instants) and self._instants[place] == at_ms

    def due(self, from_ms: int, to_ms: int) -> tuple[Sound, ...]:
        """The sounds whose count-down begins at `from_ms` or later and before `to_ms`.

        Windows that follow one another give each sound exactly once. Takes O(log n).
        """
        return self.between(from_ms + LEAD_MS, to_ms + LEAD_MS)

    def between(self, from_ms: int, to_ms: int) -> tuple[Sound, ...]:
        """The sounds whose instant (the long beep) is `from_ms` or later and before `to_ms`."""
        return self.sounds[bisect_left(self._instants, from_ms) : bisect_left(self._instants, to_ms)]

    def check(self) -> None:
        """Assert the invariants."""
        for sound, following in pairwise(self.sounds):
            assert following.at_ms - sound.at_ms >= OCCUPIED_MS
        for sound in self.sounds:
            assert sound.orders and list(sound.orders) == sorted(set(sound.orders))


def plan_sounds(wanted: Iterable[Wanted]) -> Programme:
    """What will sound of `wanted` (in any order), by the rules above.

    It depends on the set of wanted instants alone. After the schedule changed, plan again
    from everything wanted since `OCCUPIED_MS` before now: what still sounds then keeps its
    right of way, and everything farther back no longer matters to the ear.

    >>> [sound.at_ms for sound in plan_sounds([Wanted(60_000, 1), Wanted(61_000, 0), Wanted(65_000, 1)]).sounds]
    [61000, 65000]
    """
    orders: dict[int, set[int]] = {}
    for each in wanted:
        orders.setdefault(each.at_ms, set()).add(each.order)
    placed: list[int] = []
    for at_ms in sorted(orders, key=lambda at_ms: (min(orders[at_ms]), at_ms)):
        place = bisect_left(placed, at_ms)
        after_last = place == 0 or at_ms - placed[place - 1] >= OCCUPIED_MS
        before_next = place == len(placed) or placed[place] - at_ms >= OCCUPIED_MS
        if after_last and before_next:
            placed.insert(place, at_ms)
    return Programme(tuple(Sound(at_ms, tuple(sorted(orders[at_ms]))) for at_ms in placed))
