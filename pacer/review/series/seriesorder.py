"""Which pages make a series, and their order: by what they revisit, else by their focus."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from typing import NamedTuple

_NUMBER = re.compile(r"([0-9]+)")
_ENDS = " ,.:-–#"


class SeriesPage(NamedTuple):
    """One page of a series, on the shelf or as it was swum; `first_ms` is when it was first swum, None for never."""

    title: str
    focus: str = ""
    revisits: str = ""
    first_ms: int | None = None

    @property
    def key(self) -> str:
        """Identifies the page."""
        return self.title.casefold()


@dataclass(frozen=True, slots=True)
class Series:
    """Pages that follow one another."""

    name: str
    pages: tuple[SeriesPage, ...]

    @property
    def keys(self) -> frozenset[str]:
        """The keys of its pages."""
        return frozenset(page.key for page in self.pages)


def all_series(pages: Iterable[SeriesPage]) -> tuple[Series, ...]:
    """Every series in the order in which they were begun, those never swum last.

    Pages with one title count as one, and the last of them says what it is about. A page without a title is in no
    series, and neither is a page that has no focus, revisits nothing and that no other page revisits.

    >>> third, first = SeriesPage("Roll 3", "back", "Roll 2"), SeriesPage("Roll 1", "balance")
    >>> second = SeriesPage("Roll 2", "roll", "Roll 1")
    >>> [(one.name, [page.title for page in one.pages]) for one in all_series((third, first, second))]
    [('Roll', ['Roll 1', 'Roll 2', 'Roll 3'])]
    """
    known: dict[str, SeriesPage] = {}
    for page in pages:
        if page.title:
            known[page.key] = _joined(known.get(page.key), page)
    bands = _bands(known)
    made = [_in_order([known[key] for key in keys if key in known]) for keys in bands]
    found = sorted((pages for pages in made if pages), key=lambda pages: (_begun(pages), _natural(pages[0].title)))
    names = _names(found)
    return tuple(Series(name, tuple(pages)) for name, pages in zip(names, found))


def _joined(before: SeriesPage | None, page: SeriesPage) -> SeriesPage:
    if before is None:
        return page
    times = [ms for ms in (before.first_ms, page.first_ms) if ms is not None]
    return page._replace(first_ms=min(times, default=None))


def _bands(known: dict[str, SeriesPage]) -> list[list[str]]:
    """The keys that belong together."""
    above = {key: key for key in known}

    def root(key: str) -> str:
        while above.setdefault(key, key) != key:
            key = above[key]
        return key

    linked = set()
    for key, page in known.items():
        before = page.revisits.casefold()
        if before and before != key:
            linked |= {key, before}
            above[root(key)] = root(before)
    by_focus: dict[str, str] = {}
    for key in sorted(known, key=lambda key: key not in linked):  # a page on its own joins those that are linked
        focus = known[key].focus.casefold()
        if focus and (key not in linked or focus not in by_focus):
            first = by_focus.setdefault(focus, key)
            above[root(key)] = root(first)
    made: dict[str, list[str]] = {}
    for key, page in known.items():
        if key in linked or page.focus:
            made.setdefault(root(key), []).append(key)
    return list(made.values())


def _in_order(pages: Sequence[SeriesPage]) -> list[SeriesPage]:
    """Each page after those it revisits; else by when they were first swum, then by title.

    A circle of pages starts with the first of them in that order.
    """
    by_key = {page.key: page for page in pages}
    waits = {page.key: page.revisits.casefold() for page in pages}
    after: dict[str, list[str]] = {}
    for key, before in waits.items():
        after.setdefault(before if before in by_key and before != key else "", []).append(key)
    ready = [(_place(by_key[key]), key) for key in after.get("", [])]
    heapify(ready)
    made: dict[str, SeriesPage] = {}
    while len(made) < len(by_key):
        if not ready:
            ready = [min((_place(page), page.key) for page in pages if page.key not in made)]
        key = heappop(ready)[1]
        if key in made:
            continue
        made[key] = by_key[key]
        for later in after.get(key, []):
            heappush(ready, (_place(by_key[later]), later))
    return list(made.values())


def _place(page: SeriesPage) -> tuple:
    return page.first_ms is None, page.first_ms or 0, _natural(page.title)


def _begun(pages: Sequence[SeriesPage]) -> tuple[bool, int]:
    times = [page.first_ms for page in pages if page.first_ms is not None]
    return not times, min(times, default=0)


def _natural(title: str) -> list[tuple[int, str]]:
    """A key to sort titles by, with the numbers in them as numbers."""
    return [(int(part), "") if part.isdecimal() else (0, part) for part in _NUMBER.split(title.casefold())]


def _names(found: Sequence[Sequence[SeriesPage]]) -> list[str]:
    """The name of each series: what most titles have before their number; the first page's title if two names agree."""
    made = [_name(pages) for pages in found]
    twice = {name.casefold() for name, count in Counter(map(str.casefold, made)).items() if count > 1}
    return [pages[0].title if name.casefold() in twice else name for name, pages in zip(made, found)]


def _name(pages: Sequence[SeriesPage]) -> str:
    stems = Counter(stem for page in pages if (stem := _NUMBER.split(page.title)[0].strip(_ENDS)))
    if stems:
        stem, count = stems.most_common(1)[0]
        if 2 * count >= len(pages):
            return stem
    focuses = {page.focus.casefold() for page in pages}
    return pages[0].focus if len(focuses) == 1 and pages[0].focus else pages[0].title
