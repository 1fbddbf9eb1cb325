"""Keys in rows along the foot of a window: how large they are and how far apart. No Kivy.

Keys that find no room go behind `More`, page after page; each later page may begin with a key that leads back to the
first. No key is ever made too small for a wet thumb.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import inf
from typing import Generic, NamedTuple, Protocol, TypeVar

#: The least side of a key and the least gap between two, in mm. Our choice: no published size for wet hands was found.
TARGET_MM = 15.0
GAP_MM = 3.0
LEAST_SHARE = 0.085  #: of the shorter side: on a large screen keys grow with it
ROW_MM = 19.5  #: height of a bar that is one row: two lines of the coach's characters
LOW_ROW_MM = 15.5  #: height of a row of two: two lines of a key's name
PADDING_MM = 1.5  #: between a key's edge and its name
BACK_NAME = "go back"  #: of the key that leads to the first page
FOCUS_MM = 0.8  #: width of the ring around the key or tile that a keyboard would press


def key_mm(width: float, height: float, px_per_mm: float) -> float:
    """Pixels of a millimetre of keys on a window of that size, more of them on a large screen."""
    return max(px_per_mm, LEAST_SHARE * min(width, height) / TARGET_MM)


def bar_height(width: float, height: float, px_per_mm: float) -> float:
    """The height of a session's bar on a window of that size: one row of keys, or two on an upright screen."""
    rows = 2 if height > width else 1
    return (rows * (LOW_ROW_MM if rows > 1 else ROW_MM) + (rows + 1) * GAP_MM) * key_mm(width, height, px_per_mm)


class KeyInRow(Protocol):
    """What the layout needs to know of a key."""

    @property
    def name(self) -> str:
        """What it is, for the code."""

    @property
    def labels(self) -> tuple[str, ...]:
        """All names it may have: it is as wide as the widest."""

    @property
    def room(self) -> tuple[str, ...]:
        """Names of keys that take its place at other times."""

    @property
    def later(self) -> bool:
        """Whether it is on pages of its own after the rest, so that it never moves them."""

    @property
    def beside(self) -> bool:
        """Whether it stays in the row of the key before it, if the row is wide enough for all that do."""


K = TypeVar("K", bound=KeyInRow)


class Placed(NamedTuple, Generic[K]):
    """A key and its position: pixels from the lower left corner of the bar."""

    key: K
    x: float
    y: float
    width: float
    height: float


def _from_left(row: list[K], first: Sequence[str], last: Sequence[str]) -> list[K]:
    """The keys of a page in display order: the way back, those named `first` in that order, the rest, those named
    `last`, `More`.
    """

    def place(key: K) -> int:
        if key.name == BACK_NAME:
            return -1
        if key.name in first:
            return first.index(key.name)
        return len(first) + (2 if key.name == "more" else int(key.name in last))

    return sorted(row, key=place)


def arrange(
    keys: Sequence[K],
    more: K,
    width_of: Callable[[str], float],
    room: tuple[float, float],
    mm: float,
    rows: int = 1,
    time: str = "23:59",
    most: float = inf,
    first: Sequence[str] = (),
    last: Sequence[str] = (),
    back: K | None = None,
) -> tuple[tuple[Placed[K], ...], ...]:
    """The keys on pages of `rows` rows each; if there is more than one page, each ends with the key `more`.

    With `back` each page after the first begins with that key, and on the last one the place of `more` is empty; where
    there is no room for both, it has the place of `more` on the last page if it fits there.

    `room`: width and height in pixels; `mm`: the pixels of a millimetre; `width_of`: the width of a name. Keys are at
    least `TARGET_MM` each way and `GAP_MM` apart; a row's keys share the width left over, up to `most` each if there is
    only one page. `first` names keys that come first, in their order, `last` those beside `More`. On a screen too
    narrow for a key and `More` side by side, the key is squeezed.
    """
    gap, least = GAP_MM * mm, TARGET_MM * mm

    def width(key: K) -> float:
        names = (*key.labels, *key.room)
        return max(least, max(width_of(name.format(time=time)) for name in names) + 2 * PADDING_MM * mm)

    def wide(keys: Sequence[K]) -> float:
        return sum(map(width, keys)) + gap * (len(keys) - 1)

    def together(keys: Sequence[K]) -> list[list[K]]:
        """The keys, those that stay side by side in one list."""
        made: list[list[K]] = []
        for key in keys:
            if made and key.beside and wide([*made[-1], key]) <= room[0]:
                made[-1].append(key)
            else:
                made.append([key])
        return made

    def in_rows(page: list[K]) -> list[list[K]] | None:
        """The page's keys, row by row as displayed; None if they do not fit."""
        made: list[list[K]] = [[]]
        for few in together(_from_left(page, first, last)):
            if made[-1] and wide([*made[-1], *few]) > room[0]:
                made.append([])
            made[-1] += few
        return made if len(made) <= rows else None

    def filled(waiting: list[K], turns: Sequence[K]) -> list[list[K]]:
        """Take from `waiting` the keys that fit a page with `turns`."""
        groups = together(waiting)
        if in_rows([*groups[0], *turns]) is None:  # too narrow to keep them side by side
            groups = [[key] for key in waiting]
        page = groups.pop(0)
        for few in groups:
            if few[0].later != page[0].later or not in_rows([*page, *few, *turns]):
                break
            page = [*page, *few]
        del waiting[: len(page)]
        return in_rows([*page, *turns]) or [[*page, *turns]]

    whole = list(keys)
    pages = [filled(whole, ())]
    if whole:
        whole = list(keys)
        pages = [filled(whole, (more,))]
        while whole:
            turns = (more,) if back is None or in_rows([back, whole[0], more]) is None else (back, more)
            pages.append(filled(whole, turns))
    height = (room[1] - gap * (rows - 1)) / rows
    most = most if len(pages) == 1 else inf
    placed = [_placed(page, width, room[0], height, gap, rows, most) for page in pages]
    if back is not None and len(placed) > 1:
        if any(each.key is back for each in placed[-1]):
            placed[-1] = tuple(each for each in placed[-1] if each.key is not more)
        else:
            fits = [each.key is more and each.width >= width(back) for each in placed[-1]]
            placed[-1] = tuple(each._replace(key=back) if fit else each for each, fit in zip(placed[-1], fits))
    return tuple(placed)


def _placed(
    page: list[list[K]],
    width: Callable[[K], float],
    across: float,
    height: float,
    gap: float,
    rows: int,
    most: float,
) -> tuple[Placed[K], ...]:
    made: list[Placed[K]] = []
    for number, row in enumerate(page):
        widths = [width(key) for key in row]
        spare = across - sum(widths) - gap * (len(row) - 1)
        if spare < 0:
            widths[0] += spare
        else:
            widths = [max(wide, min(wide + spare / len(row), most)) for wide in widths]
        x, y = 0.0, (rows - 1 - number) * (height + gap)
        for key, wide in zip(row, widths):
            made.append(Placed(key, x, y, wide, height))
            x += wide + gap
    return tuple(made)
