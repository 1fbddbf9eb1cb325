"""What one piece of news about a session is, and the kinds of news, the worst first."""

from __future__ import annotations

from typing import NamedTuple

#: Kinds of news, the worst first.
HEADS, SLOWER, RATE, MISSED, SLOWING, TIRED, NO_REST, LOOSE, FASTER, NOTHING = range(10)


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
