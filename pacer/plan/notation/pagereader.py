"""Reads the rows of a page one by one: the kind of each line, and what it says."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from pacer.language import tr
from pacer.plan.cutting import wordsfirst
from pacer.plan.cutting.linecutter import tokens_of
from pacer.plan.cutting.ordermistakes import LINE_EXAMPLE, Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.filetext import lines_of
from pacer.plan.model import ALL_BUT, POOLS, Break, ByLane, Group, Item, Plan, Pool, Section, SetLine, Span
from pacer.plan.notation.blocks import Block, Blocks, Rounds
from pacer.plan.notation.headerline import Header
from pacer.plan.notation.linemeaning import LineMeaning
from pacer.plan.notation.mistakesafterfirst import further_in_section, further_mistakes, one_a_word
from pacer.plan.notation.pagelines import BESIDE, COLON, GROUPS, ITEM, LABELLED, QUOTES, SET_LIKE, Row, row_of
from pacer.plan.notation.parser import tree_of
from pacer.plan.notation.sectionmeaning import SectionMeaning
from pacer.plan.notation.workmeaning import joined
from pacer.plan.problem import MAX_SHOWN, Edit, Problem, Unreadable, unreadable
from pacer.plan.regex import regex
from pacer.plan.repeattotal import too_many_repeats
from pacer.plan.words.labels import WORK_LETTERS, groups_of, is_work
from pacer.plan.words.ownwords import OwnWords
from pacer.plan.words.vocabulary import HEADER_KEYS, LINE_WORDS, SECTION_WORDS

#: The lines that may be missing at the top of a page.
POOL_LINES = tuple(Edit(0, 0, f"pool: {pool}\n", f"pool: {pool}") for pool in POOLS)

_NAME_END = regex(r"[,\"“„”]|$")
#: A set after a section's name, without a colon.
_SET_BEHIND = regex(
    r"\s*[-–—]?\s+(?=[0-9])(?!\s*[0-9]+(?:\s*(?:-|–|to|/)\s*[0-9]+)*\s*(?:rounds?|times|rds|x\s*$|min))", re.IGNORECASE
)
#: A detail in a section's name, because the comma before it was forgotten.
_LOST_DETAIL = regex(
    r"[\s(](?:(?:[0-9]+\s*(?:to|/|[-–])\s*)*[0-9]+\s+(?:rounds?|rds|times)\b|x\s?[0-9]+$|[0-9]+\s?x$"
    r"|rounds\s+[0-9]|for\s+[0-9:]|at\s+most\b|run\s+on$|if\s+time\b|optional$)",
    re.IGNORECASE,
)
_DASHED_ROUNDS = regex(r"(?<=[0-9])\s*[-–]\s*(?=[0-9]+\s+round)", re.IGNORECASE)
#: The details that can follow a section's name and a colon: `Set 2: sprint`, `Main: 3 rounds, easy`.
_DETAILS = regex(
    rf"(?:\s*(?:{'|'.join(sorted(map(re.escape, SECTION_WORDS), key=len, reverse=True))}|[0-9]+)(?![\w:])[\s,]*)+",
    re.IGNORECASE,
)
_TIMES = regex(r"x\s?([0-9]+)|([0-9]+)\s?(?:x|times|rds)", re.IGNORECASE)
_LOST_TIME = regex(r"[\s(][0-9]+\s*(?::[0-9]+|mins?\b|minutes?\b|['’′])|\s[x×]\s*[0-9]+$", re.IGNORECASE)


class PageReader(Blocks):
    """What has been read of a page so far."""

    def __init__(self, own: OwnWords, header: Header | None, pool: Pool | None = None):
        super().__init__()
        self.own = own
        self.header = header or Header(pool)
        self.in_header = header is not None
        self.first: Row | None = None
        self.comments: list[tuple[int, str]] = []

    @property
    def pool(self) -> Pool | None:
        """The pool, if the header has named one."""
        return self.header.values.get("pool")

    def read(self, text: str) -> Plan:
        """The plan of a whole page. Raises Unreadable."""
        lines = lines_of(text)
        self.read_lines(lines)
        plan = self.plan()
        if problem := too_many_repeats(plan):
            raise Unreadable([replace(problem, source=lines[problem.line - 1])])
        return plan

    def read_lines(self, lines: Sequence[str], first: int = 1) -> None:
        """Read the lines in turn and note what is wrong; the first is line `first` of the page."""
        for number, source in enumerate(lines, start=first):
            if not source or source.isspace():
                continue
            row = row_of(number, source, self.in_header)
            if row.comment is not None:
                self.comments.append((number, row.comment))
            if row.code:
                self.first = self.first or row
                try:
                    self.read_row(row)
                except Mistake as mistake:
                    self.problems.append(row.problem(mistake))
        self.end_section()

    def read_row(self, row: Row) -> None:
        """Find out what kind of line a row is, and read it. Raises Mistake."""
        if row.code[row.start] in QUOTES:
            self.read_cue(row)
        elif sets := _beside(row.code):
            self.read_beside(row, sets)
        elif self.in_header and self.header.read(row):
            pass
        elif ITEM.match(row.code, row.start):
            self.read_item(row, row.start)
        elif row.indent:
            self.read_indented(row)
        elif match := COLON.match(row.code) or GROUPS.match(row.code):
            self.read_colon(row, match)
        elif row.code[0].isalpha():
            self.read_section(row)
        else:
            self.read_item(row, row.start)

    def plan(self) -> Plan:
        """The plan, or all problems. Raises Unreadable."""
        if self.first is None:
            begin = (
                LINE_EXAMPLE if "pool" in self.header.values else tr("a plan starts with a line such as “pool: 25 m”")
            )
            pools = () if "pool" in self.header.values else POOL_LINES
            raise Unreadable([Problem(1, 1, 2, tr("this plan is empty"), begin, edits=pools)])
        if "pool" not in self.header.values and "pool" not in self.header.keys:
            hint = tr("write a line such as “pool: 25 m” above the first section")
            pool = replace(self.first.whole(tr("how long is the pool?"), hint), edits=POOL_LINES, whole_page=True)
            self.problems.append(pool)
        if not self.sections:
            hint = tr("write a section's name, and sets below it")
            empty = replace(self.first.whole(tr("there is nothing to swim in this plan"), hint), whole_page=True)
            self.problems.append(empty)
        if self.problems:
            raise unreadable(self.problems)
        return Plan(sections=tuple(self.sections), comments=tuple(self.comments), **self.header.values)

    def is_work(self, words: str) -> bool:
        """Whether words before a colon say what is swum, in the app's words or the squad's own."""
        return is_work(words) or words.casefold() in map(str.casefold, self.own.efforts)

    # ---- sections

    def read_section(self, row: Row) -> None:
        """A section's name and its details."""
        end = row.section_end
        if end and (behind := _SET_BEHIND.match(row.code, end)):
            self.open_section(Section(" ".join(row.code[:end].split()), (), span=Span(row.number, 1, end + 1)), row)
            self.read_item(row, behind.end())
            return
        name = _name_of(row.code)
        if SET_LIKE.search(name):
            self.place(row)
            raise Mistake(0, len(name), tr("a set starts with a number: how many, or how far"), LINE_EXAMPLE)
        section = Section(" ".join(name.split()), (), span=Span(row.number, 1, len(name.rstrip()) + 1))
        self.open_section(section, row)
        if match := _LOST_DETAIL.search(name):
            rounds, words = _round_words(name[match.start() + 1 :].strip(" )")), name[: match.start()].rstrip(" ,-–—(")
            raise Mistake(
                match.start() + 1,
                len(name),
                tr("a comma is missing before “{rounds}”", rounds=rounds),
                tr("write {words}, {rounds}", words=words, rounds=rounds),
                Edit(len(words), len(name), f", {rounds}", f"{words}, {rounds}"),
            )
        if match := _LOST_TIME.search(name):
            raise Mistake(
                match.start() + 1,
                len(name),
                tr("is this part of the section's name?"),
                tr("details follow a comma, such as “Main set, for 15 min” or “Main set, 3 rounds”"),
                *_long(name, match),
            )
        section, mistakes = self.section_of(row, section, len(name))
        self.section = self.above = section
        self.problems += map(row.problem, mistakes)

    def section_of(self, row: Row, section: Section, at: int) -> tuple[Section, list[Mistake]]:
        """A section with the details that begin at `at`, and what is wrong with them."""
        tokens, mistakes = tokens_of(row.code, at, self.own, section=True)
        try:
            if not mistakes:
                meaning = SectionMeaning(row.number)
                return meaning.section(section, tree_of(tokens, len(row.code), "section")), meaning.mistakes
        except Mistake as mistake:
            mistakes = [mistake]
        return section, [*mistakes, *further_in_section(row.code, at, row.number, mistakes, self.own)]

    def read_colon(self, row: Row, match: re.Match[str]) -> None:
        """A line with a colon, not indented and not in the header: a section's name, or a set for some of the lanes."""
        words, rest = match[1], row.code[match.end() :].strip()
        if words.casefold() in HEADER_KEYS:
            self.body.lines += 1
            hint = tr("write it above the first section")
            raise Mistake(row.start, match.end(), tr("“{words}” belongs at the top of the plan", words=words), hint)
        at = match.end() + len(row.code[match.end() :]) - len(row.code[match.end() :].lstrip())
        if rest and (ITEM.match(rest) or SET_LIKE.search(rest)):
            groups = groups_of(words)
            if groups is not None and (len(groups) != 1 or len(words) == 1 or groups[0].startswith(("lane ", ALL_BUT))):
                self.read_item(row, at, groups)
            elif self.is_work(words) and self.section is not None:
                self.read_item(row, row.start)
            else:
                self.open_section(Section(" ".join(words.split()), (), span=Span(row.number, 1, len(words) + 1)), row)
                self.read_item(row, row.start if self.is_work(words) else at)
        elif self.in_header and rest and not _DETAILS.fullmatch(rest):
            known = tr("it can have {header_keys}", header_keys=", ".join(HEADER_KEYS))
            raise Mistake(row.start, match.end(), tr("“{words}” can't be at the top of a plan", words=words), known)
        else:
            colon = match.end(1) + row.code[match.end(1) :].index(":")
            code = row.code[:colon] + ("," if rest else " ") + row.code[colon + 1 :]
            self.read_section(replace(row, code=code.rstrip()))

    def open_section(self, section: Section, row: Row | None) -> None:
        """Begin a section; its name is in `row`."""
        super().open_section(section, row)
        self.in_header = False

    # ---- lines

    def read_indented(self, row: Row) -> None:
        """A line that begins with a word: the groups that swim it, or a mistake."""
        match = LABELLED.match(row.code, row.start) or GROUPS.match(row.code, row.start)
        if not match or match[1].casefold() in ("rest", "odd", "odds", "even", "evens") or self.is_work(match[1]):
            self.read_item(row, row.start)
            return
        words = match[1]
        groups = groups_of(words)
        if groups is None:
            self.read_item(row, row.start)
            return
        if match.end() < len(row.code) and len(set(groups)) == len(groups) and words.casefold() not in HEADER_KEYS:
            self.read_item(row, match.end(), groups)
            return
        self.place(row)
        self.above = None
        if words.casefold() in HEADER_KEYS:
            raise Mistake(
                row.start,
                match.end(),
                tr("“{words}” belongs at the top of the plan", words=words),
                tr("write it above the first section"),
            )
        if match.end() == len(row.code):
            raise Mistake(
                row.start,
                match.end(),
                tr("“{words}:” has nothing after it", words=words),
                tr("such as “{words}: 4 x 100 free”", words=words),
            )
        once = ", ".join(dict.fromkeys(groups))
        raise Mistake(
            row.start,
            match.end(1),
            tr("the same group is given twice"),
            tr("name each group once"),
            Edit(row.start, match.end(1), once),
        )

    def read_beside(self, row: Row, sets: list[re.Match[str]]) -> None:
        """Sets side by side, each for some of the groups."""
        for match, after in zip(sets, [*sets[1:], None]):
            end = row.code.rindex(match.string[after.start() - 1], 0, after.start()) if after else len(row.code)
            part = replace(row, code=row.code[:end].rstrip())
            self.read_item(part, match.end(), groups_of(match["groups"]) or ())

    def read_item(self, row: Row, start: int, groups: tuple[str, ...] = ()) -> None:
        """A set line, a break or rounds."""
        self.place(row)
        self.above = None
        items, tokens, mistakes = self.items_of(row, start)
        if items is None:
            self.problems += (row.problem(better(row, mistake)) for mistake in mistakes)
            if _are_rounds(tokens):
                self.rounds.append(Rounds(row=row, group=Group(ByLane((1,)), ())))
            return
        if len(items) == 1:
            span = Span(row.number, min(t.start for t in tokens) + 1, max(t.end for t in tokens) + 1)
            if groups or items[0].span != span:
                items = (replace(items[0], groups=groups, span=span),)
        elif groups:
            items = tuple(replace(item, groups=groups) for item in items)
        item = items[0]
        if isinstance(item, Group) and not item.items:
            self.open_rounds(row, item)
        else:
            self.innermost.items += items
            self.above = self.innermost

    def items_of(self, row: Row, start: int) -> tuple[tuple[Item, ...] | None, list[Token], list[Mistake]]:
        """The items of a row from `start` on (None if there are mistakes), its tokens, and its mistakes."""
        if wordsfirst.races(row.code, start) and (question := wordsfirst.question_of(row.code, start)):
            return None, [], [question]
        tokens, mistakes = tokens_of(row.code, start, self.own, pool=self.pool)
        try:
            if not mistakes:
                meaning = LineMeaning(row.number, self.own, self.pool)
                items = meaning.items(tree_of(tokens, len(row.code)), len(self.rounds))
                return (
                    (None, tokens, one_a_word(row.code, meaning.mistakes)) if meaning.mistakes else (items, tokens, [])
                )
        except Mistake as mistake:
            mistakes = [mistake]
        named = start - row.start > len("A: ") and wordsfirst.about_time(row.code[row.start :])  # Game: sharks 5 mins
        first = row.start if named else start
        if row.code[first].isalpha() and (question := wordsfirst.question_of(row.code, first)):
            return None, tokens, [question]
        if len(self.problems) < MAX_SHOWN:  # further ones are only counted
            mistakes += further_mistakes(row.code, start, self.own, mistakes)
        return None, tokens, one_a_word(row.code, mistakes)

    def read_cue(self, row: Row) -> None:
        """A cue alone on its line, for the line above it or for the section."""
        tokens, mistakes = self.cue_of(row)
        if mistakes:
            raise mistakes[0]
        if len(tokens) > 1:
            raise Mistake(
                tokens[1].start, len(row.code), tr("a cue needs a line of its own"), tr("write the set above it")
            )
        cue, whole = tokens[0].value, Mistake(row.start, len(row.code), "", "")
        block = self.above if isinstance(self.above, Block) else None
        line = block.items[-1] if block else self.above
        if isinstance(line, Section):
            self.section = self.above = replace(line, cue=joined([line.cue, cue]) if line.cue else cue)
        elif isinstance(line, SetLine | Break) and block:
            block.items[-1] = replace(line, cue=joined([line.cue, cue]) if line.cue else cue)
        elif isinstance(line, Group) and line.items and block:  # 3 x (100 fast, 50 easy)
            block.items[-1] = _with_cue(line, cue)
        elif line is not None or self.section is None:
            whole.message, whole.hint = (
                tr("rounds can't have a cue") if line else tr("the top of a plan can't have a cue"),
                tr("write it below a set or below a section's name"),
            )
            raise whole

    def cue_of(self, row: Row) -> tuple[list[Token], list[Mistake]]:
        """The tokens of a row that begins with a cue."""
        return tokens_of(row.code, row.start)


def _long(name: str, match: re.Match[str]) -> list[Edit]:
    """The edits that turn a time in a section's name into its detail."""
    said = name[match.start() + 1 :].strip(" )(")
    if not re.fullmatch(r"[0-9]+\s*min(?:ute)?s?", said, re.IGNORECASE):
        return []
    start = len(name[: match.start()].rstrip(" ,-–—("))
    return [Edit(start, len(name), f", {how} {said}", f"{how} {said}") for how in ("for", "at most")]


def _beside(code: str) -> list[re.Match[str]]:
    """The sets side by side in a row, each for some of the groups; none if the row begins with something else.

    `A 8 x 50` alone is a count for a group, `K 4 x 50 / P 4 x 50` is kick and pull.
    """
    sets = list(BESIDE.finditer(code))
    bare = [each["groups"].casefold() for each in sets if not each["mark"] or each["groups"] in WORK_LETTERS]
    return sets if sets and not sets[0].start() and len(bare) != 1 and not LINE_WORDS.keys() & {*bare} else []


def _name_of(code: str) -> str:
    """A section's name: up to a comma or a quote."""
    end = _NAME_END.search(code)
    return code[: end.start()] if end else code


def _with_cue(item: Item, cue: str) -> Item:
    """An item with a cue; rounds in one line give it to their last set."""
    if isinstance(item, Group):
        return replace(item, items=(*item.items[:-1], _with_cue(item.items[-1], cue)))
    return replace(item, cue=joined([item.cue, cue]) if item.cue else cue)


def _round_words(detail: str) -> str:
    """A section's rounds as they are written: `3 rounds` for `x3` and `3 times`."""
    times = _TIMES.fullmatch(detail)
    return f"{times[1] or times[2]} rounds" if times else _DASHED_ROUNDS.sub(" to ", detail)


def _are_rounds(tokens: list[Token]) -> bool:
    """Whether a line that cannot be read was meant to have lines below it."""
    kinds = [token.type for token in tokens]
    return (
        "ROUNDS" in kinds
        and "_LEFT" not in kinds
        and "NUMBER" not in kinds[kinds.index("ROUNDS") + 2 :]
        and {"NUMBER", "LABEL", "_SLASH", "_TO"}.issuperset(kinds[: kinds.index("ROUNDS")])
    )


def better(row: Row, mistake: Mistake) -> Mistake:
    """The mistake, with a better hint if the first word of an indented line may be a section's name."""
    if row.indent and mistake.start == row.start and row.code[row.start].isalpha():
        name = _name_of(row.code[row.start :])
        if (
            not re.search("[0-9]", name)
            and name.split()[0].casefold() not in LINE_WORDS
            and mistake.hint == LINE_EXAMPLE
        ):
            mistake.hint = tr("{hint}; a section's name starts at the left edge", hint=mistake.hint)
    return mistake
