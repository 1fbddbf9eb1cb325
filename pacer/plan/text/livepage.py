"""Read a page again and again while the coach types: only changed lines are read again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import chain, pairwise
from typing import Any

from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.filetext import check_page
from pacer.plan.model import Break, Group, Item, Plan, Pool, Section
from pacer.plan.notation.headerline import Header
from pacer.plan.notation.pagelines import ITEM, SET_LIKE, Row
from pacer.plan.notation.pagereader import PageReader
from pacer.plan.problem import MAX_SHOWN, Problem, Unreadable
from pacer.plan.repeattotal import too_many_repeats
from pacer.plan.words.ownwords import NO_WORDS, OwnWords, own_words

#: The kinds of line on a page.
BLANK, HEADER, SECTION, LINE, CUE, COMMENT, UNKNOWN = "blank", "header", "section", "line", "cue", "comment", "unknown"

MAX_PIECES, MAX_ROWS = 2_000, 20_000  #: to remember


@dataclass(frozen=True, slots=True)
class PageReading:
    """What a page says at the moment.

    `plan` has all that can be read; it is the whole page only if `whole`, and None if there is no pool or nothing to
    swim yet. `problems` lists all of them, in order. `kinds` has each line's kind, `starts` the column (from 0) at
    which its set begins, after groups such as `A, B:`.
    """

    plan: Plan | None
    problems: tuple[Problem, ...]
    kinds: tuple[str, ...]
    starts: tuple[int, ...]

    @property
    def whole(self) -> bool:
        """Whether the whole page can be read."""
        return self.plan is not None and not self.problems

    @property
    def unread(self) -> int:
        """How many lines cannot be read."""
        return len({problem.line for problem in self.problems})


class LivePage:
    """Remember how the lines of a page were read; `own` are the squad's own words.

    With a `pool` the page has no header: it is just a set, or a few.
    """

    def __init__(self, own: OwnWords | tuple[str, ...] = NO_WORDS, pool: Pool | None = None):
        self.own, self.pool = own_words(own), pool
        self._pieces: dict[tuple, _Piece] = {}  #: by the number of the first line and the text of all lines
        self._rows: dict[tuple, tuple] = {}

    @property
    def gear(self) -> tuple[str, ...]:
        """The squad's own words for gear."""
        return self.own.gear

    def read(self, lines: Sequence[str]) -> PageReading:
        """Read the page, and remember its lines for the next time."""
        reading, pieces = self._read(lines)
        if len(self._pieces) > MAX_PIECES or len(self._rows) > MAX_ROWS:
            self._pieces, self._rows = {}, {}
        self._pieces.update(pieces)
        return reading

    def would(self, lines: Sequence[str]) -> PageReading:
        """Read a page with these lines, without remembering it."""
        return self._read(lines)[0]

    def _read(self, lines: Sequence[str]) -> tuple[PageReading, dict[tuple, _Piece]]:
        try:
            check_page("\n".join(lines))
        except Unreadable as error:
            kinds = tuple(BLANK if not line or line.isspace() else COMMENT for line in lines)
            return PageReading(None, tuple(error.problems), kinds, (0,) * len(lines)), {}
        bounds = [0, *(at for at, line in enumerate(lines) if at and begins_section(line)), len(lines)]
        pieces: dict[tuple, _Piece] = {}
        pool = self.pool
        for start, end in pairwise(bounds):
            key = (start, tuple(lines[start:end]), pool)
            pieces[key] = piece = self._pieces.get(key) or _Piece(self, *key)
            pool = pool or piece.pool
        return _put_together(self, lines, list(pieces.values())), pieces

    def header(self) -> Header | None:
        """A new header to read into; None for a page without one."""
        return Header() if self.pool is None else None


def begins_section(line: str) -> bool:
    """Whether a line is a section's name, whatever is above it.

    Only such a line means the same in any place.
    """
    return line[:1].isalpha() and ":" not in line and not ITEM.match(line) and not SET_LIKE.search(line)


def _put_together(live: LivePage, lines: Sequence[str], pieces: list[_Piece]) -> PageReading:
    """Put the pieces together to the whole page."""
    page = PageReader(live.own, live.header(), live.pool)
    page.header = pieces[0].header
    for piece in pieces:
        page.sections += piece.sections
        page.problems += piece.problems
        page.comments += piece.comments
        page.first = page.first or piece.first
    plan = None
    swum = tuple(section for piece in pieces for section in piece.swum)
    if swum and "pool" in page.header.values:
        plan = Plan(sections=swum, comments=tuple(page.comments), **page.header.values)
    try:
        page.plan()
        if plan and (problem := too_many_repeats(plan)):
            page.problems.append(replace(problem, source=lines[problem.line - 1]))
    except Unreadable as error:
        page.problems = page.problems or error.problems
    kinds, starts = (
        tuple(chain.from_iterable(getattr(piece, name) for piece in pieces)) for name in ("kinds", "starts")
    )
    return PageReading(plan, tuple(sorted(page.problems)), kinds, starts)


class _Piece(PageReader):
    """The lines of a page from one section's name to the next, or those before the first.

    Their meaning does not depend on the rest of the page.
    """

    def __init__(self, live: LivePage, start: int, lines: tuple[str, ...], pool: Pool | None):
        super().__init__(live.own, live.header() if not start else None, live.pool)
        self.pool_above = pool
        self.known, self.start = live._rows, start
        self.kinds = [BLANK if not line or line.isspace() else COMMENT for line in lines]
        self.starts = [0] * len(lines)
        self.read_lines(lines, start + 1)
        #: Its sections, without anything that cannot be read and without empty ones.
        self.swum = [section for section in map(_swimmable, self.sections) if section.items]

    @property
    def pool(self) -> Pool | None:
        """The pool, from its own header or from the page above it."""
        return super().pool or self.pool_above

    # -- what kind of line it is ------------------------------------------------------------------

    def read_row(self, row: Row) -> None:
        """Read a row, and record what kind of line it is."""
        at = row.number - 1 - self.start
        self.kinds[at] = UNKNOWN
        header = self.in_header
        try:
            super().read_row(row)
        finally:
            if self.kinds[at] == UNKNOWN and header and self.in_header:
                self.kinds[at] = HEADER

    def read_cue(self, row: Row) -> None:
        """Read a cue on its own line."""
        self.kinds[row.number - 1 - self.start] = CUE
        super().read_cue(row)

    def read_section(self, row: Row) -> None:
        """Read a section's name and its details."""
        self.kinds[row.number - 1 - self.start] = SECTION
        super().read_section(row)

    def read_item(self, row: Row, start: int, groups: tuple[str, ...] = ()) -> None:
        """Read a set line, a break or rounds."""
        self.kinds[row.number - 1 - self.start] = LINE
        self.starts[row.number - 1 - self.start] = start
        super().read_item(row, start, groups)

    # -- remembered rows --------------------------------------------------------------------------

    def _known(self, row: Row, what: tuple, read: Callable[[], Any]) -> Any:
        """How such a row was read before, preferably on the same line of the page; if it is new, read it now."""
        key = (row.code, *what)
        here = (row.number, *key)
        for place in (here, key):
            known = self.known.get(place)
            if known is not None:
                break
        else:
            known = (row.number, read())
        number, found = known
        if number != row.number:
            found = _on_line(found, row.number)
        self.known.setdefault(key, (row.number, found))
        self.known[here] = (row.number, found)
        return found

    def items_of(self, row: Row, start: int) -> tuple[tuple[Item, ...] | None, list[Token], list[Mistake]]:
        """The items of a row, its tokens and its mistakes."""
        return self._known(
            row,
            (start, len(self.rounds), len(self.problems) < MAX_SHOWN, self.pool),
            lambda: super(_Piece, self).items_of(row, start),
        )

    def cue_of(self, row: Row) -> tuple[list[Token], list[Mistake]]:
        """The tokens and mistakes of a row that begins with a cue."""
        return self._known(row, ("cue",), lambda: super(_Piece, self).cue_of(row))

    def section_of(self, row: Row, section: Section, at: int) -> tuple[Section, list[Mistake]]:
        """The section with the details of its row, and the row's mistakes."""
        found, mistakes = self._known(row, ("section",), lambda: super(_Piece, self).section_of(row, section, at))
        return replace(found, span=section.span), mistakes


def _swimmable(section: Section) -> Section:
    """The section without rounds that have nothing readable in them."""
    return replace(section, items=_filled(section.items))


def _filled(items: tuple[Item, ...]) -> tuple[Item, ...]:
    made = []
    for item in items:
        if isinstance(item, Group):
            item = replace(item, items=_filled(item.items))
            if not item.items:
                continue
        made.append(item)
    return tuple(made)


def _on_line(found: tuple, number: int) -> tuple:
    """What was read of a row, moved to another line of the page."""
    first, *rest = found
    moved = tuple(_moved(item, number) for item in first) if isinstance(first, tuple) else first
    return (moved, *rest)


def _moved(item: Item, number: int) -> Item:
    span = item.span and replace(item.span, line=number)
    if isinstance(item, Group):
        return replace(item, span=span, items=tuple(_moved(inner, number) for inner in item.items))
    if isinstance(item, Break):
        return replace(item, span=span)
    parts = tuple(
        replace(
            part,
            segments=tuple(
                replace(segment, span=segment.span and replace(segment.span, line=number)) for segment in part.segments
            ),
        )
        for part in item.pattern.parts
    )
    return replace(item, span=span, pattern=replace(item.pattern, parts=parts))
