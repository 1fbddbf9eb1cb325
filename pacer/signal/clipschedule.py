"""Choose which of the wanted instants sound: equal ones once, overlapping ones by rank.

Six lanes that all beep are noise. Wanted are section starts, and the send-offs of the lanes that the
coach chose. A count-down to the instant t occupies [t - `LEAD_MS`, t + `LONG_MS`).

1. Equal instants sound once, with the rank of the first among them.
2. Section starts are placed first, then the first lane's send-offs, the second lane's and so
   on; within one lane, the earlier first. An instant that would overlap a placed one is completely
   silent, because half a count-down would mislead.

So the section start wins, then the first lane in order, and a silent instant silences no other.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise

from pacer.signal.clip import LEAD_MS, LONG_MS

SECTION_START = -1  #: the order of a section start, before every lane's
OCCUPIED_MS = LEAD_MS + LONG_MS  #: instants closer together than this overlap


@dataclass(frozen=True, slots=True)
class Wanted:
    """An instant that should get a count-down: the long beep begins at `at_ms`.

    `order` is `SECTION_START` or the lane's place, from 0, in the squad's order.
    """

    at_ms: int
    order: int = SECTION_START


@dataclass(frozen=True, slots=True)
class Sound:
    """An instant that gets a count-down, and for which lanes, in ascending order."""

    at_ms: int
    orders: tuple[int, ...]

    @property
    def start_ms(self) -> int:
        """When its whole count-down begins."""
        return self.at_ms - LEAD_MS


@dataclass(frozen=True, slots=True)
class Programme:
    """The sounds of a session in ascending order, none overlapping another."""

    sounds: tuple[Sound, ...] = ()
    _instants: tuple[int, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_instants", tuple(sound.at_ms for sound in self.sounds))

    def __contains__(self, at_ms: int) -> bool:
        """Whether `at_ms` gets a count-down."""
        place = bisect_left(self._instants, at_ms)
        return place < len(self._instants) and self._instants[place] == at_ms

    def due(self, from_ms: int, to_ms: int) -> tuple[Sound, ...]:
        """The sounds whose count-down begins at `from_ms` or later and before `to_ms`.

        Consecutive windows give each sound exactly once. Takes O(log n).
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
    """The instants of `wanted` (in any order) that will sound, by the rules above.

    The result depends only on the set of wanted instants. After a change of schedule, plan again from
    everything wanted since `OCCUPIED_MS` before now: a sound that is still playing keeps its
    priority, and nobody can hear anything earlier.

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
