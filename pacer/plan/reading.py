"""A written page to a `Plan`, or to all that is wrong with it in one go."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from pacer.plan.checking import too_many_repeats
from pacer.plan.header import header_time, pool_of
from pacer.plan.meaning import LineMeaning, SectionMeaning
from pacer.plan.mistakes import LINE_EXAMPLE, Mistake
from pacer.plan.model import MAX_NESTING, ByLane, Group, Item, Plan, Pool, Section, SetLine, Span
from pacer.plan.notation import tree_of
from pacer.plan.pages import check_page, lines_of, shown, text_from_bytes
from pacer.plan.problem import Problem, Unreadable
from pacer.plan.tokens import tokens_of
from pacer.plan.words import HEADER_KEYS, LINE_WORDS, near

MAX_SHOWN = 50            #: problems that are listed; the rest are counted
_ONE_ROUND = ByLane((1,))

_SPACES = re.compile("[\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000\f\v]")
_COMMENT = re.compile(r"""(?<=[0-9])["”″](?=[\s,/)+\#]|$)|"[^"]*"|[“„”][^“”]*[“”]|\#""")
_KEY = re.compile(r"([^\W\d_][\w -]*?)\s*:\s*")
_COLON = re.compile(r"([^\W\d_][^,\"“„:]*?)\s*:(?![0-9])")
_GROUPS = re.compile(r"([^\W\d_][\w-]*(?:\s*,\s*[^\W\d_][\w-]*)*)\s*:\s*")
_SECTION_NAME = re.compile(r"[^,\"“„”]*")
_ITEM = re.compile(
    r"[0-9:(+–−-]|rest\b\s*(?:[\w-]*\s*)[0-9:]|rest$|rounds?\s+(?:[\w-]+\s+)?[0-9]"
    r"|(?P<label>[^\W\d_][\w-]*)\s+[0-9]+\s*(?:/\s*[\w-]+\s+[0-9]|[xX×]\s*[0-9(])", re.I
)
_LOST_DETAIL = re.compile(
    r"\s((?:[0-9]+\s*(?:to|/)\s*)?[0-9]+\s+rounds?|rounds\s+[0-9]|for\s+[0-9]|at\s+most\b|run\s+on$|if\s+time$).*", re.I
)
_SETLIKE = re.compile(r"[0-9]+\s*[x×]\s*[0-9]", re.I)


@dataclass
class _Row:
    """A line of the page that says something; `code` is without its comment."""

    number: int
    source: str
    code: str
    indent: str

    @property
    def start(self) -> int:
        return len(self.indent)


@dataclass
class _Block:
    """Where items gather: a section, or the lines below `3 rounds`."""

    row: _Row | None
    group: Group | None = None
    items: list[Item] = field(default_factory=list)
    indent: str | None = None     # of the first line below a group
    lines: int = 0                # readable or not


class _Page:
    """What has been read of a page so far."""

    def __init__(self, gear: tuple[str, ...], pool: Pool | None = None):
        self.gear = gear
        self.pool = pool
        self.header: dict[str, object] = {}
        self.keys: set[str] = set()
        self.first: _Row | None = None
        self.sections: list[Section] = []
        self.section: Section | None = None
        self.blocks: list[_Block] = []
        self.cue_at: object = None     # the block whose last line, or the section, a cue below belongs to
        self.problems: list[Problem] = []
        self.comments: list[tuple[int, str]] = []

    # ---- problems

    def wrong(self, row: _Row, mistake: Mistake) -> None:
        self.problems.append(Problem(row.number, mistake.start + 1, max(mistake.end, mistake.start + 1) + 1, mistake.message, mistake.hint, shown(row.source)))

    def wrong_row(self, row: _Row, message: str, hint: str = "") -> None:
        self.wrong(row, Mistake(row.start, len(row.code), message, hint))

    # ---- rows

    def read(self, text: str) -> None:
        for number, source in enumerate(lines_of(text), start=1):
            code = _SPACES.sub(" ", source) if not source.isascii() else source
            comment = None
            in_header = self.section is None and self.pool_from_header and _KEY.match(code)
            if "#" in code and not in_header:
                for match in _COMMENT.finditer(code):
                    if match[0] == "#":
                        comment = code[match.start() + 1:].strip()
                        code = code[: match.start()]
                        break
            code = code.rstrip()
            if comment is not None:
                self.comments.append((number, comment))
            if not code:
                continue
            row = _Row(number, source, code, code[: len(code) - len(code.lstrip())])
            self.first = self.first or row
            self.read_row(row)
        self.end_section()

    pool_from_header = True

    def read_row(self, row: _Row) -> None:
        code, start = row.code, row.start
        first = code[start]
        if first in '"“„”':
            self.read_cue(row)
        elif self.section is None and self.pool_from_header and self.read_header(row):
            pass
        elif _ITEM.match(code, start):
            self.read_item(row, start)
        elif row.indent:
            self.read_indented(row)
        elif match := _COLON.match(code):
            self.read_colon(row, match)
        elif first.isalpha():
            self.start_section(row)
        else:
            self.read_item(row, start)

    def read_header(self, row: _Row) -> bool:
        """Whether the row is one of the header's, right or wrong."""
        match = _KEY.match(row.code, row.start)
        if not match:
            return False
        key, value = match[1].casefold(), row.code[match.end():]
        at = match.end()
        if key not in HEADER_KEYS:
            if row.indent or _COLON.match(row.code) is None:
                return False
            meant = near(key, HEADER_KEYS)
            if not meant:
                return False
            self.wrong(row, Mistake(row.start, row.start + len(match[1]), f"the header knows no “{match[1]}”", f"perhaps {meant}"))
            self.keys.add(meant)
            return True
        if key in self.keys:
            self.wrong(row, Mistake(row.start, row.start + len(match[1]), f"“{key}” stands here twice", "one line for each"))
            return True
        self.keys.add(key)
        if not value:
            self.wrong(row, Mistake(row.start, len(row.code), f"“{key}” says nothing", "write its value after the colon, or leave the line out"))
            return True
        try:
            if key == "pool":
                self.pool = pool_of(value, at)
            elif key in ("title", "focus", "revisits"):
                self.header[key] = " ".join(value.split())
            else:
                self.header[f"{key}_ms"] = header_time(key, value, at)
        except Mistake as mistake:
            if "#" in value:
                mistake.hint = "a comment in the header has a line of its own"
            self.wrong(row, mistake)
        return True

    def read_colon(self, row: _Row, match: re.Match) -> None:
        """An unindented line with a colon that is no header: an error with a hint that fits."""
        words, rest = match[1], row.code[match.end():].strip()
        key = words.casefold()
        caret = Mistake(row.start, match.end(), "", "")
        if key in HEADER_KEYS:
            caret.message, caret.hint = f"“{key}” belongs to the header", "write it above the first section"
        elif key == "rest" and rest:
            caret.message, caret.hint = "a break has no colon", f"write rest {rest}"
        elif rest and (_ITEM.match(rest) or _SETLIKE.search(rest)):
            if " " in words:
                caret.message, caret.hint = "a section's name stands on a line of its own", f"write {words}, and the set line below it"
            else:
                caret.message, caret.hint = "a line for one group alone is indented", f"put two spaces before {words}:"
        elif self.section is None and rest:
            caret.message, caret.hint = f"the header knows no “{words}”", "it knows " + ", ".join(HEADER_KEYS)
            self.wrong(row, caret)
            return
        else:
            caret.message, caret.hint = "a section's name has no colon", f"write {words}" + (f", {rest}" if rest else "")
        self.wrong(row, caret)
        if not rest:
            self.open_section(Section(words, (), span=Span(row.number, row.start + 1, match.end() + 1)), row)

    def read_indented(self, row: _Row) -> None:
        """An indented line that begins with a word: groups' own lines, or a mistake."""
        match = _GROUPS.match(row.code, row.start)
        if match:
            groups = tuple(re.split(r"\s*,\s*", match[1]))
            if match.end() == len(row.code):
                self.place(row, None)
                self.wrong_row(row, f"nothing stands after “{match[1]}:”", "as in A: 4 x 100 free")
            elif len(groups) == 1 and groups[0].casefold() in (*HEADER_KEYS, "rest"):
                self.place(row, None)
                self.wrong(row, Mistake(row.start, match.end(), f"“{groups[0]}:” has no meaning here",
                                        "write rest 1:00 without a colon" if groups[0].casefold() == "rest" else "the header stands above the first section"))
            elif len(set(groups)) < len(groups):
                self.place(row, None)
                self.wrong(row, Mistake(row.start, match.end(), "a group stands here twice", "name each group once"))
            else:
                self.read_item(row, match.end(), groups)
            return
        self.read_item(row, row.start)

    # ---- sections

    def start_section(self, row: _Row) -> None:
        name = _SECTION_NAME.match(row.code)[0]
        end = len(name)
        name = " ".join(name.split())
        mistakes: list[Mistake] = []
        if match := _LOST_DETAIL.search(row.code, 0, end):
            mistakes.append(Mistake(match.start(1), end, "a comma is missing before this", f"write {' '.join(row.code[:match.start()].split())}, {match[0].strip()}"))
        elif _SETLIKE.search(row.code, 0, end):
            mistakes.append(Mistake(0, end, "a set line begins with a number: how often, or how far", LINE_EXAMPLE))
        section = Section(name, (), span=Span(row.number, 1, end + 1))
        tokens, wrong = tokens_of(row.code, end, self.gear, section=True)
        mistakes += wrong
        if not mistakes:
            try:
                meaning = SectionMeaning(row.number)
                section = meaning.section(section, tree_of(tokens, len(row.code), "section"))
                mistakes = meaning.mistakes
            except Mistake as mistake:
                mistakes = [mistake]
        for mistake in mistakes:
            self.wrong(row, mistake)
        self.open_section(section, row)

    def open_section(self, section: Section, row: _Row | None) -> None:
        self.end_section()
        self.section = section
        self.blocks = [_Block(row)]
        self.cue_at = section

    def end_section(self) -> None:
        if self.section is None:
            return
        while len(self.blocks) > 1:
            self.end_group()
        block = self.blocks.pop()
        if not block.lines:
            self.wrong_row(block.row, f"“{self.section.name}” has no lines", "write what is swum below it; a section that nobody swims is left out")
        self.sections.append(replace(self.section, items=tuple(block.items)))
        self.section = None

    # ---- lines

    def place(self, row: _Row, opens: Group | None) -> bool:
        """Find the block that a line belongs to by its indentation."""
        if self.section is None:
            self.open_section(Section("", ()), None)
        while len(self.blocks) > 1:
            above = self.blocks[-1].row.indent
            if row.indent.startswith(above):
                if len(row.indent) > len(above):
                    break
            elif not above.startswith(row.indent):
                self.wrong(row, Mistake(0, row.start, "tabs and spaces are mixed, it is unclear what this line belongs to", "indent all lines of a group alike"))
                break
            self.end_group()
        block = self.blocks[-1]
        if block.row is not None and len(self.blocks) > 1:
            if block.indent is None:
                block.indent = row.indent
            elif not row.indent.startswith(block.indent):
                if block.indent.startswith(row.indent):
                    self.wrong(row, Mistake(0, row.start, "this line is indented less than the one above it, and more than its rounds", "indent all lines of a group alike"))
                elif not row.indent.startswith(block.indent):
                    self.wrong(row, Mistake(0, row.start, "tabs and spaces are mixed, it is unclear what this line belongs to", "indent all lines of a group alike"))
        block.lines += 1
        return True

    def end_group(self) -> None:
        block = self.blocks.pop()
        if not block.lines:
            self.wrong_row(block.row, "nothing is indented below these rounds", "put two more spaces before each line that belongs to them")
        self.blocks[-1].items.append(replace(block.group, items=tuple(block.items)))

    def read_item(self, row: _Row, start: int, groups: tuple[str, ...] = ()) -> None:
        self.place(row, None)
        self.cue_at = None
        tokens, mistakes = tokens_of(row.code, start, self.gear)
        if not mistakes:
            try:
                tree = tree_of(tokens, len(row.code))
                meaning = LineMeaning(row.number, self.gear)
                item = meaning.item(tree, len(self.blocks) - 1)
                mistakes = meaning.mistakes
            except Mistake as mistake:
                mistakes = [mistake]
        if mistakes:
            for mistake in mistakes:
                self.wrong(row, self.better(row, mistake))
            if re.search(r"\brounds?\s*:?$", row.code):
                self.blocks.append(_Block(row, Group(_ONE_ROUND, ())))
            return
        if groups:
            item = replace(item, groups=groups)
        if isinstance(item, Group) and not item.items:
            if len(self.blocks) > MAX_NESTING:
                self.wrong_row(row, f"rounds inside rounds go {MAX_NESTING} deep", "write some of them out")
            self.blocks.append(_Block(row, item))
            self.cue_at = item
            return
        self.blocks[-1].items.append(item)
        self.cue_at = self.blocks[-1]

    def better(self, row: _Row, mistake: Mistake) -> Mistake:
        """A mistake at a line's first word may be a section that was indented."""
        if mistake.start == row.start and row.code[row.start].isalpha() and row.indent:
            word = re.match(r"\w+", row.code[row.start:])[0]
            if not _SETLIKE.search(row.code) and word.casefold() not in LINE_WORDS and near(word, ("rest",), 0.7):
                return Mistake(mistake.start, mistake.start + len(word), mistake.message, "perhaps rest, as in rest 1:00")
            if not re.search("[0-9]", row.code.split(",")[0]):
                mistake.hint += "; a section's name begins at the left edge"
        return mistake

    def read_cue(self, row: _Row) -> None:
        tokens, mistakes = tokens_of(row.code, row.start, self.gear)
        if not mistakes and len(tokens) > 1:
            mistakes = [Mistake(tokens[1].start, len(row.code), "a cue stands alone on its line", "write the set line above it")]
        if mistakes:
            for mistake in mistakes:
                self.wrong(row, mistake)
            return
        cue = tokens[0].value
        if isinstance(self.cue_at, Section):
            if self.section.cue:
                self.wrong_row(row, "a section has one cue", "put both thoughts into one")
            self.section = replace(self.section, cue=cue)
        elif isinstance(self.cue_at, _Block):
            line = self.cue_at.items[-1]
            if not isinstance(line, SetLine):
                self.wrong_row(row, "a cue belongs to a set line or to a section", "write it below one of them")
            elif line.cue:
                self.wrong_row(row, "a line has one cue", "put both thoughts into one, or a cue to each segment")
            else:
                self.cue_at.items[-1] = replace(line, cue=cue)
        elif isinstance(self.cue_at, Group):
            self.wrong_row(row, "rounds have no cue of their own", "write it below a set line or below the section's name")
        elif self.section is None:
            self.wrong_row(row, "a cue belongs to a set line or to a section", "write it below one of them")

    # ---- the whole

    def plan(self) -> Plan:
        first = self.first
        if first is None:
            raise Unreadable([Problem(1, 1, 2, "this plan is empty", "a plan begins with a line such as pool: 25 m")])
        if self.pool is None and "pool" not in self.keys:
            self.wrong_row(first, "how long is the pool?", "write a line such as pool: 25 m above the first section")
        if not self.sections:
            self.wrong_row(first, "there is nothing to swim in this plan", "write a section's name, and set lines below it")
        if not self.problems:
            plan = Plan(self.pool, tuple(self.sections), comments=tuple(self.comments), **self.header)
            problem = too_many_repeats(plan)
            if problem is None:
                return plan
            self.problems.append(problem)
        raise unreadable(self.problems)


def unreadable(problems: list[Problem]) -> Unreadable:
    """All problems, or the first `MAX_SHOWN` and how many more there are."""
    problems = sorted(problems)
    if len(problems) > MAX_SHOWN:
        more, last = len(problems) - MAX_SHOWN, problems[MAX_SHOWN]
        problems = problems[:MAX_SHOWN] + [Problem(last.line, 1, 2, f"and {more} more from this line on", "they may have a common cause; begin with the first")]
    return Unreadable(problems)


def read_plan(text: str, gear: tuple[str, ...] = ()) -> Plan:
    """The plan that a page says; `gear` are words that the squad adds to the closed list.

    Raises Unreadable with all that is wrong.

    >>> plan = read_plan("pool: 25 m\\nWarm-up\\n  4 x 50 free on 1:00")
    >>> plan.sections[0].items[0].count
    ByLane(entries=(4,), labels=None)
    """
    check_page(text)
    page = _Page(gear)
    page.read(text)
    return page.plan()


def plan_from_bytes(data: bytes, gear: tuple[str, ...] = ()) -> Plan:
    """The plan in a file's bytes: UTF-8, with or without a byte order mark. Raises Unreadable."""
    return read_plan(text_from_bytes(data), gear)


def read_line(text: str, pool: Pool, gear: tuple[str, ...] = ()) -> Plan:
    """A plan of a set line, or of several, for a pool: no header. Raises Unreadable."""
    check_page(text)
    page = _Page(gear, pool)
    page.pool_from_header = False
    page.read(text)
    return page.plan()


def pool_from_text(text: str) -> Pool:
    """The pool that `25 m`, `25 yd` or `33 1/3 m` names. Raises Unreadable."""
    try:
        return pool_of(text.strip())
    except Mistake as mistake:
        raise Unreadable([Problem(1, mistake.start + 1, mistake.end + 1, mistake.message, mistake.hint, text.strip())]) from None
