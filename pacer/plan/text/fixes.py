"""Fixes to offer for an error on the page: its edits, each tried on the page to see whether it helps.

An error carries its edits from where it was found (`Problem.edits`), the likeliest first; a fix is offered only if the
page then has fewer errors. Nothing changes unless the coach asks for it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from pacer.language import tr
from pacer.plan.notation.pagelines import KEY
from pacer.plan.problem import Edit, Problem
from pacer.plan.regex import regex
from pacer.plan.words.countedwords import has_a_set
from pacer.plan.words.labels import SECTION_NAMES, USUAL_NAMES, WORK_ALONE
from pacer.plan.words.vocabulary import HEADER_KEYS, near

EMPTY = tr("has no sets yet")  #: the end of what is said of a section without sets
REMARK, QUOTED = tr("Keep it as a comment"), tr("In quotes, for the swimmers")
MAX_FIXES = 4  #: to offer for one error

_TIME = regex(r"[0-9]*:[0-9]{2}")
#: As coaches write how long the pool is booked.
_MINUTES = regex(
    r"(?:(?P<minutes>\d{2,3})\s*(?:min(?:ute)?s?\b\.?|['’′])|(?P<hours>\d)\s*(?:h|hrs?|hours?)\b\.?)\s*", re.IGNORECASE
)
#: A small number that counts what comes next.
_COUNTS_NEXT = regex(r"(?:(?P<joint>\s*\+\s*)|[,(&]\s*|\band\s*)(?P<n>\d{1,2})\s*$", re.IGNORECASE)
#: The text in front of something deleted that must go with it.
_JOINT_LEAD = regex(r"(?:\s*,|\s+and|\s+)\s*$")
_DETAIL_LEAD = regex(r"(?:\s*,|)\s*\b(?:on|rest|hold|rate|apart)\s*$")


@dataclass(frozen=True, slots=True)
class Fix:
    """A named change of one line: replace columns `start` to `end` of `line` (all from 0) with `text`.

    `also` are changes of other lines that belong to it; they add no lines.
    """

    says: str
    line: int
    start: int
    end: int
    text: str
    also: tuple[Fix, ...] = ()

    def applied(self, lines: Sequence[str]) -> list[str]:
        """The page with the fix."""
        page = list(lines)
        for fix in self.also:
            page[fix.line] = fix.row(page[fix.line])
        return [*page[: self.line], *self.row(page[self.line]).split("\n"), *page[self.line + 1 :]]

    def moved(self, by: int) -> Fix:
        """The same fix that many lines further down."""
        return replace(self, line=self.line + by, also=tuple(fix.moved(by) for fix in self.also))

    def row(self, old: str) -> str:
        """The new text of its line, which may be several lines."""
        return old[: self.start] + self.text + old[self.end :]


def fixes_for(
    problem: Problem, lines: Sequence[str], problems_of: Callable[[list[str]], Sequence[Problem]]
) -> tuple[Fix, ...]:
    """The fixes to offer for a problem on the page `lines`.

    `problems_of` reads a page and returns its problems.

    >>> from pacer.plan.text.livepage import LivePage
    >>> page = ["pool: 25 m", "Main set", "  4 x 100 brest, on 2:00"]
    >>> problem = LivePage().read(page).problems[0]
    >>> [fix.says for fix in fixes_for(problem, page, lambda page: LivePage().read(page).problems)]
    ['breast', '“brest”']
    """
    if problem.message.endswith(EMPTY):  # it wants a set: nothing on its own line helps
        return ()
    before = _but_empty(problems_of(list(lines)), problem.line)
    offered: list[Fix] = []
    rows: set[tuple[str, tuple[Fix, ...]]] = set()
    for ways in _candidates(problem, lines):
        for fix in ways:
            if fix.applied(lines) == list(lines) or _loses_a_set(fix, lines[fix.line]):
                continue
            if _helps(fix, problem, before, _but_empty(problems_of(fix.applied(lines)), problem.line)):
                if (row := (fix.row(lines[fix.line]), fix.also)) not in rows:
                    rows.add(row)
                    offered.append(fix)
                break
        if len(offered) == MAX_FIXES:
            break
    if len(offered) > 1:  # the last resort, if nothing else helps the line
        offered = [fix for fix in offered if fix.says not in (REMARK, QUOTED)] or offered[:1]
    return tuple(offered)


def _loses_a_set(fix: Fix, source: str) -> bool:
    """Whether a fix that quotes a part of a line quotes a distance with its stroke: `non-pull 200 IM`."""
    if not source[: fix.start].strip() or '"' in source:
        return False
    return has_a_set(*re.findall(r'"([^"]*)"', fix.text))


def _but_empty(problems: Sequence[Problem], line: int) -> list[Problem]:
    """The problems but that a section named on `line` has no sets: it may be about to get some."""
    return [problem for problem in problems if problem.line != line or not problem.message.endswith(EMPTY)]


def _helps(fix: Fix, problem: Problem, before: Sequence[Problem], after: Sequence[Problem]) -> bool:
    """Whether a fix helps: the page has fewer problems, or the line's next problem is after the fix.

    Turning a line into a comment always helps, even if its section then has a new problem.
    """
    if fix.says == REMARK:
        return True
    old = {p.message for p in before if p.line == problem.line}
    fresh = [p for p in after if p.line == problem.line and p.message not in old]
    if len(after) < len(before) and not fresh:
        return True
    mended = fix.start + len(fix.text)
    left = [p for p in after if p.line == problem.line]
    own = any(fix.says == (edit.says or edit.text) for edit in problem.edits)
    elsewhere = sum(p.line != problem.line for p in after) <= sum(p.line != problem.line for p in before)
    return (
        own
        and elsewhere
        and bool(left)
        and all(p.column - 1 >= mended or p.column - 1 == fix.start and _TIME.fullmatch(fix.text) for p in left)
    )


def _candidates(problem: Problem, lines: Sequence[str]) -> Iterator[list[Fix]]:
    """The fixes of a problem, the likeliest first; the last resorts are to quote the rest and to make it a remark.

    Each is a list of ways to do it; the first way that helps is used.
    """
    at = problem.line - 1
    if at >= len(lines):
        return
    source = lines[at]
    if ways := _as_section(at, source):
        yield ways
    if (ways := _as_booking(at, lines)) and not any(edit.text.startswith("pool:") for edit in problem.edits):
        yield ways
    yield from _as_header(at, lines)
    for edit in problem.edits:
        yield _edited(edit, at, source)
    start, last = min(problem.column - 1, len(source)), len(source.rstrip())
    if start < last and not any('"' in edit.text for edit in problem.edits):
        yield [_quoted(at, source, start)]
    if problem.source.strip():
        first = len(source) - len(source.lstrip())
        yield [Fix(REMARK, at, first, first, "# ")]


def _as_section(at: int, source: str) -> list[Fix]:
    """An indented section's name at the left edge, where it begins a section; its rounds after a comma.

    Also a name that is misspelt.
    """
    name = source.strip()
    if not source[:1].isspace():
        return []
    if WORK_ALONE.fullmatch(name):
        said = name.rstrip(" :")
        return [Fix(tr("{way}: a new section", way=said), at, 0, len(source), said)]
    found = SECTION_NAMES.match(name)
    head, comma, details = name.partition(",")
    if SECTION_NAMES.fullmatch(head.strip()) is None and (meant := near(" ".join(head.split()), USUAL_NAMES, 0.8)):
        said = f"{meant}{comma}{details}"
        return [Fix(tr("{way}: a new section", way=said), at, 0, len(source), said)]
    if found is None:
        return []
    behind = name[found.end() :].strip(" ,:")
    ways = dict.fromkeys([name, f"{found[0]}, {behind}" if behind else name])
    return [Fix(tr("{way}: a new section", way=way), at, 0, len(source), way) for way in ways]


def _as_booking(at: int, lines: Sequence[str]) -> list[Fix]:
    """Minutes alone at the head of a page: how long the pool is booked, instead of what it says already."""
    match, above = _MINUTES.fullmatch(lines[at]), lines[:at]
    if match is None or not all(_is_head(line) for line in above):
        return []
    says = tr("booking: {minutes} min", minutes=int(match["minutes"] or 60 * int(match["hours"] or 0)))
    number = next((n for n, line in enumerate(above) if line.strip().casefold().startswith("booking")), None)
    if number is None:
        return [Fix(says, at, 0, len(lines[at]), says)]
    return [Fix(says, at, 0, len(lines[at]), "", also=(Fix("", number, 0, len(above[number]), says),))]


def _is_head(line: str) -> bool:
    """Whether a line can be above the first section: a header's line, a remark, a title, the pool."""
    text = line.strip()
    key = KEY.match(text)
    return (
        not text
        or text.startswith("#")
        or bool(key and key[1].casefold() in HEADER_KEYS)
        or not line[:1].isspace()
        and SECTION_NAMES.match(text) is None
        and re.search(r"\d", text) is None
    )


def _as_header(at: int, lines: Sequence[str]) -> Iterator[list[Fix]]:
    """Keep one or the other of two header lines with the same key."""
    key = KEY.match(lines[at].strip())
    for number, above in enumerate(lines[:at]):
        other = KEY.match(above.strip())
        if key and other and key[1].casefold() == other[1].casefold() in HEADER_KEYS:
            this, gone = lines[at].strip(), Fix("", at, 0, len(lines[at]), "")
            if this != above.strip():
                yield [replace(gone, says=this, also=(Fix("", number, 0, len(above), this),))]
            yield [replace(gone, says=tr("Keep {line}", line=above.strip()))]
            return


def _edited(edit: Edit, at: int, source: str) -> list[Fix]:
    """The ways to apply an edit; what is deleted takes the comma or the word that joined it to the line with it."""
    quote = edit.text.lstrip().removeprefix('"')
    if quote != edit.text.lstrip() and (counts := _COUNTS_NEXT.search(source, 0, edit.start)):
        start = max(counts.start("joint"), 0) or counts.start("n")  # 200 + 10 press-ups
        edit = replace(edit, start=start, text=f'{" " * bool(counts["joint"])}"{counts["n"]} {quote}')
    if edit.text or edit.start == edit.end:
        return [Fix(edit.says or edit.text, at, edit.start, edit.end, edit.text)]
    before, behind = source[: edit.start], source[edit.end :]
    if before[-1:].isdigit() and behind[:1].isdigit():  # 12.5 is not 125
        return []
    start, end = edit.start, edit.end + len(behind) - len(behind.lstrip())
    if not behind.strip() or behind.lstrip().startswith(","):
        start, end = len(before.rstrip(" ,")), edit.end
    says = edit.says or tr("Leave it out")
    word, joint = (pattern.search(before) for pattern in (_DETAIL_LEAD, _JOINT_LEAD))
    ways = [Fix(says, at, start, end, "")]
    if word and word.start():  # its own word goes with it: `on 0:00`
        ways.insert(0, Fix(says, at, word.start(), edit.end, ""))
    if joint and joint.start():
        ways.append(Fix(says, at, joint.start(), edit.end, ""))
    apart = before[-1:].isalnum() and behind[:1] == " " and behind.lstrip()[:1].isalnum()
    gap = [Fix(says, at, edit.start, end, " ")] if apart else []  # two words stay apart
    return [*gap, *ways, Fix(says, at, edit.start, edit.end, "")]


def _quoted(at: int, source: str, start: int) -> Fix:
    """Put the rest of a line, from a place on, in quotes: it becomes a cue for the swimmers."""
    if counts := _COUNTS_NEXT.search(source, 0, start):  # + 10 press-ups
        start = counts.start("n")
    rest = re.sub(r"[\"“”„]", "", source[start:]).strip()
    lead = len(source[:start].rstrip(" ,;-–—"))
    return Fix(QUOTED, at, lead, len(source.rstrip()), f' "{rest}"')
