"""A page read again and again while it is written: what did not change is not read again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from pacer.plan.checking import too_many_repeats
from pacer.plan.header import Header
from pacer.plan.mistakes import Mistake
from pacer.plan.model import Break, Group, Item, Plan, Pool, Section, SetLine
from pacer.plan.pages import check_page
from pacer.plan.problem import Problem, Unreadable
from pacer.plan.reading import Page
from pacer.plan.rows import Row
from pacer.plan.tokens import Token

#: What a line of the page is.
BLANK, HEADER, SECTION, LINE, CUE, COMMENT, UNKNOWN = "blank", "header", "section", "line", "cue", "comment", "unknown"


@dataclass(frozen=True, slots=True)
class Reading:
    """What a page says at the moment.

    `plan` is made of what can be read: it is the page's own only where `whole`; None where there is no pool or
    nothing to swim yet. `problems` are all of them, in order. `kinds` says of each line what it is, `starts` where
    behind groups such as `A, B:` its set line begins (from 0).
    """

    plan: Plan | None
    problems: tuple[Problem, ...]
    kinds: tuple[str, ...]
    starts: tuple[int, ...]

    @property
    def whole(self) -> bool:
        """Whether all of the page can be read."""
        return self.plan is not None and not self.problems

    @property
    def unread(self) -> int:
        """How many lines cannot be read."""
        return len({problem.line for problem in self.problems})


class LiveReading:
    """Keeps what the lines of a page were read as; `gear` are the squad's own words.

    With a `pool` the page has no header: it is a line, or a few, that were just thought up.
    """

    def __init__(self, gear: tuple[str, ...] = (), pool: Pool | None = None):
        self.gear, self.pool = gear, pool
        self._kept: dict[tuple, tuple] = {}

    def read(self, lines: Sequence[str]) -> Reading:
        """What the page says now; its lines are kept in mind for the next time."""
        page = self._page(lines)
        self._kept = page.used
        return page.reading

    def would(self, lines: Sequence[str]) -> Reading:
        """What a page with these lines would say, without keeping it in mind."""
        return self._page(lines).reading

    def _page(self, lines: Sequence[str]) -> _LivePage:
        page = _LivePage(self.gear, self.pool, self._kept)
        page.read_live(list(lines))
        return page


class _LivePage(Page):
    """A page that takes what it can from `kept`, and gathers in `used` what is to be kept of it."""

    def __init__(self, gear: tuple[str, ...], pool: Pool | None, kept: dict[tuple, tuple]):
        super().__init__(gear, Header() if pool is None else None, pool)
        self.kept = kept
        self.used: dict[tuple, tuple] = {}
        self.kinds: list[str] = []
        self.starts: list[int] = []
        self.reading = Reading(None, (), (), ())

    def read_live(self, lines: list[str]) -> None:
        """Read the lines into `reading`."""
        self.kinds = [BLANK if not line or line.isspace() else COMMENT for line in lines]
        self.starts = [0] * len(lines)
        plan = None
        try:
            check_page("\n".join(lines))
            self.read_lines(lines)
            plan = self._readable()
            self.plan()
            if problem := too_many_repeats(plan):
                self.problems.append(replace(problem, source=lines[problem.line - 1]))
        except Unreadable as error:
            self.problems = self.problems or error.problems
        self.reading = Reading(plan, tuple(sorted(self.problems)), tuple(self.kinds), tuple(self.starts))

    def _readable(self) -> Plan | None:
        """The plan of the lines that can be read."""
        sections = tuple(section for section in map(_swimmable, self.sections) if section.items)
        if "pool" not in self.header.values or not sections:
            return None
        return Plan(sections=sections, comments=tuple(self.comments), **self.header.values)

    # -- what kind of line it is ------------------------------------------------------------------

    def read_row(self, row: Row) -> None:
        """Read a row, and note what kind of line it is."""
        at = row.number - 1
        self.kinds[at] = UNKNOWN
        header = self.in_header
        try:
            super().read_row(row)
        finally:
            if self.kinds[at] == UNKNOWN and header and self.in_header:
                self.kinds[at] = HEADER

    def read_cue(self, row: Row) -> None:
        """A cue alone on its line."""
        self.kinds[row.number - 1] = CUE
        super().read_cue(row)

    def read_section(self, row: Row) -> None:
        """A section's name and its details."""
        self.kinds[row.number - 1] = SECTION
        super().read_section(row)

    def read_item(self, row: Row, start: int, groups: tuple[str, ...] = ()) -> None:
        """A set line, a break or rounds."""
        self.kinds[row.number - 1] = LINE
        self.starts[row.number - 1] = start
        super().read_item(row, start, groups)

    # -- what was read before ---------------------------------------------------------------------

    def _known(self, row: Row, what: tuple, read: Callable[[], object]) -> object:
        """What was read of such a row before, from the same line of the page if it stood there, or what `read` gives now."""
        key = (row.code, *what)
        here = (row.number, *key)
        for place in (here, key):
            known = self.used.get(place) or self.kept.get(place)
            if known is not None:
                break
        else:
            known = (row.number, read())
        number, found = known
        if number != row.number:
            found = _on_line(found, row.number)
        self.used.setdefault(key, (row.number, found))
        self.used[here] = (row.number, found)
        return found

    def item_of(self, row: Row, start: int) -> tuple[Item | None, list[Token], list[Mistake]]:
        """What stands in a row."""
        return self._known(row, (start, len(self.blocks)), lambda: super(_LivePage, self).item_of(row, start))

    def cue_of(self, row: Row) -> tuple[list[Token], list[Mistake]]:
        """The tokens of a row that begins with a cue."""
        return self._known(row, ("cue",), lambda: super(_LivePage, self).cue_of(row))

    def section_of(self, row: Row, section: Section, at: int) -> tuple[Section, list[Mistake]]:
        """A section's details."""
        def read():
            try:
                return *super(_LivePage, self).section_of(row, section, at), None
            except Mistake as mistake:
                return section, [], mistake

        found, mistakes, stopped = self._known(row, ("section",), read)
        if stopped is not None:
            raise stopped
        return replace(found, span=section.span), mistakes


def _swimmable(section: Section) -> Section:
    """A section without rounds in which nothing stands that can be read."""
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
    """What was read of a row, for the same row on another line of the page."""
    first, *rest = found
    return (_moved(first, number) if isinstance(first, SetLine | Break | Group) else first, *rest)


def _moved(item: Item, number: int) -> Item:
    span = item.span and replace(item.span, line=number)
    if isinstance(item, Group):
        return replace(item, span=span, items=tuple(_moved(inner, number) for inner in item.items))
    if isinstance(item, Break):
        return replace(item, span=span)
    parts = tuple(replace(part, segments=tuple(replace(segment, span=segment.span and replace(segment.span, line=number))
                                               for segment in part.segments)) for part in item.pattern.parts)
    return replace(item, span=span, pattern=replace(item.pattern, parts=parts))
