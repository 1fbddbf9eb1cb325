"""The kinds of news about a session, the worst first, and from which limit on each is told. The limits are our own.

`beyondchance` decides whether a lane or a swimmer is slower or faster than written.
"""

from __future__ import annotations

from typing import NamedTuple

#: Kinds of news, the worst first.
HEADS, SLOWER, RATE, MISSED, SLOWING, TIRED, NO_REST, LOOSE, FASTER, NOTHING = range(10)

DRIFT = 0.005  #: a set slows down if each repeat takes this share longer than the one before
LEAST_COLUMNS = 4  #: with at least this many repeats
MISSED_SHARE = 0.05  #: of the planned distance
LONG_PAUSE_MS = 120_000  #: a lane that was paused for so long
SEVERAL = 3  #: lanes that were slower on the same sets are told together from here on


class News(NamedTuple):
    """A sentence and its figure. `kind` and `weight` say how bad it is; `lane` is an index.

    `lane`, `section` and `line` are None if it is about none in particular.
    """

    kind: int
    weight: float
    text: str
    figure: str
    lane: int | None = None
    section: int | None = None
    line: int | None = None
    who: int | None = None
