"""Fixes to offer for an error on the page: do what its hint says, and read the page to see whether it helps.

A hint is written for a coach. A fix replaces the wrong text with the text in the hint (`write 1:30`,
`perhaps breast`, `leave m out`), and is offered only if the page then has fewer errors. Nothing changes unless the
coach asks for it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from pacer.plan.model import GEAR, POOLS
from pacer.plan.problem import Edit, Problem
from pacer.plan.words.vocabulary import DETAILS, HEADER_KEYS, LINE_WORDS, SECTION_WORDS, UNITS

REMARK, QUOTED = "a remark that is not swum", "in quotes, for the swimmers"
MAX_FIXES = 4  #: to offer for one error

_SAID = re.compile(r"(?:^|[;,] )(?:write|perhaps) (?!1 or more)(.+?)(?=; |$)")
_OR = re.compile(r",? or | for the \w+(?:, )?|, and |, as in .*$| for [^,0-9].*$")
_NEAREST = re.compile(r"(?:distances? that works?|distances that work) (?:is|are) (.+)$")
_NOTATION = {*" ".join((*LINE_WORDS, *SECTION_WORDS, *GEAR, *HEADER_KEYS, *UNITS)).casefold().split(), "x", "min"}
_WORK = {word for word, (kind, _) in LINE_WORDS.items() if kind in ("ACTIVITY", "STROKE", "EFFORT")}
_DETAIL = re.compile(rf"\s*,|\s+(?:{'|'.join(DETAILS)})\b", re.IGNORECASE)
_TWICE = ("one of them is enough", "keep one of them")
_LEAVE_OUT = re.compile(r"\bleave (?!the comma)[^,;]*\bout\b")
#: The text in front of something deleted that must go with it.
_LEADS = tuple(map(re.compile, (r"(?:\s*,|\s+and|\s+)\s*$", r"(?:\s*,|)\s*\b(?:on|rest|hold|rate|apart)\s*$")))


@dataclass(frozen=True, slots=True)
class Fix:
    """A named change of one line: replace columns `start` to `end` of `line` (all from 0) with `text`."""

    says: str
    line: int
    start: int
    end: int
    text: str

    def applied(self, lines: Sequence[str]) -> list[str]:
        """The page with the fix."""
        old = lines[self.line]
        return [*lines[: self.line], *self.row(old).split("\n"), *lines[self.line + 1 :]]

    def row(self, old: str) -> str:
        """The new text of its line, which may be several lines."""
        return old[: self.start] + self.text + old[self.end :]


def fixes_for(
    problem: Problem, lines: Sequence[str], problems_of: Callable[[list[str]], Sequence[Problem]]
) -> tuple[Fix, ...]:
    """The fixes to offer for a problem on the page `lines`.

    `problems_of` reads a page and returns its problems.

    >>> from pacer.plan.text.livepage import LiveReading
    >>> page = ["pool: 25 m", "Main set", "  4 x 100 brest, on 2:00"]
    >>> problem = LiveReading().read(page).problems[0]
    >>> [fix.says for fix in fixes_for(problem, page, lambda page: LiveReading().read(page).problems)]
    ['breast', '“brest”']
    """
    before = problems_of(list(lines))
    offered: list[Fix] = []
    rows: set[str] = set()
    for ways in _candidates(problem, lines):
        for fix in ways:
            if _helps(fix, problem, before, problems_of(fix.applied(lines))):
                if (row := fix.row(lines[fix.line])) not in rows:
                    rows.add(row)
                    offered.append(fix)
                break
        if len(offered) == MAX_FIXES:
            break
    if len(offered) > 1:  # the last resort, if nothing else helps the line
        offered = [fix for fix in offered if fix.says not in (REMARK, QUOTED)] or offered[:1]
    return tuple(offered)


def _helps(fix: Fix, problem: Problem, before: Sequence[Problem], after: Sequence[Problem]) -> bool:
    """Whether a fix helps: the page has fewer problems, or the line's next problem is behind the fix.

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
    return own and len(after) <= len(before) and bool(left) and all(p.column - 1 >= mended for p in left)


def _candidates(problem: Problem, lines: Sequence[str]) -> Iterator[list[Fix]]:
    """The fixes that a hint may mean, the likeliest first.

    Each is a list of ways to do it; the first way that helps is used.
    """
    at = problem.line - 1
    if at >= len(lines):
        return
    source, hint = lines[at], problem.hint
    for edit in problem.edits:
        yield [_edited(edit, at, source)]
    start, end = min(problem.column - 1, len(source)), min(problem.end_column - 1, len(source))
    wrong, last = source[start:end], len(source.rstrip())
    if problem.message.startswith(("how long is the pool", "this plan is empty")):
        for pool in POOLS:
            yield [Fix(f"pool: {pool}", at, 0, 0, f"pool: {pool}\n")]
        return
    for text in _texts(hint, source):
        yield [_written(text, at, source, start, end), *_moved(text, at, source, start, end)]
    if hint.startswith("as in with "):
        yield [Fix(f"with {wrong}", at, start, end, f"with {wrong}")]
    if hint.startswith("close it with "):
        mark = hint.removeprefix("close it with ")[0]
        place = start if mark == ")" else last
        yield [Fix(f"close it with {mark}", at, place, place, mark)]
    if hint.startswith("put two spaces before"):
        yield [Fix("indent it", at, 0, 0, "  ")]
    if hint.endswith("a section's name starts at the left edge"):
        yield [Fix("at the left edge", at, 0, len(source) - len(source.lstrip()), "")]
    if hint == "indent all lines of a group alike":
        above = next((line for line in reversed(lines[:at]) if line.strip()), "")
        yield [
            Fix(
                "indent it as above",
                at,
                0,
                len(source) - len(source.lstrip()),
                above[: len(above) - len(above.lstrip())],
            )
        ]
    if hint.startswith("leave the comma out"):
        yield [
            Fix("without the comma", at, len(source[:start].rstrip(" ,")), start, " "),
            *_moved(wrong, at, source, start, end),
        ]
    if problem.message == "write the work before the details":
        yield _moved(wrong, at, source, start, end)
    if problem.message == "put a cue in double quotes" and (match := re.match(r"['‘]([^'‘’]*)['’]", source[start:])):
        yield [Fix(f"“{match[1]}”", at, start, start + match.end(), f'"{match[1]}"')]
    if _LEAVE_OUT.search(hint) and "1 or more" not in hint or hint in ("delete it", "one is enough", *_TWICE):
        yield _without(at, source, start, end)
    if start < last and not any('"' in edit.text for edit in problem.edits):
        yield [_quoted(at, source, start)]
    if problem.source.strip():
        first = len(source) - len(source.lstrip())
        yield [Fix(REMARK, at, first, first, "# ")]


def _edited(edit: Edit, at: int, source: str) -> Fix:
    """An edit as a fix; a deleted text takes its comma or space with it."""
    start, end = edit.start, edit.end
    if not edit.text:
        lead = len(source[:start].rstrip(" ,"))
        if not source[end:].strip() or source[end:].lstrip().startswith(","):
            start = lead
        else:
            end += len(source[end:]) - len(source[end:].lstrip())
    return Fix(edit.says or edit.text, at, start, end, edit.text)


def _quoted(at: int, source: str, start: int) -> Fix:
    """Put the rest of a line, from a place on, in quotes: it becomes a cue for the swimmers."""
    rest = re.sub(r"[\"“”„]", "", source[start:]).strip()
    lead = len(source[:start].rstrip(" ,;-–—"))
    return Fix(QUOTED, at, lead, len(source.rstrip()), f' "{rest}"')


def _written(text: str, at: int, source: str, start: int, end: int) -> Fix:
    """Write what a hint says: in place of the underlined text, or of more if the hint covers more."""
    first, last = len(source) - len(source.lstrip()), len(source.rstrip())
    if start > first and not text[:1].isdigit() and _first_word(text) == _first_word(source):
        return Fix(text, at, first, last, text)
    if source[end:].strip() and text.endswith(source[end:].strip()):
        return Fix(text, at, start, last, text)
    return Fix(text, at, start, end, text)


def _moved(text: str, at: int, source: str, start: int, end: int) -> list[Fix]:
    """Move a word of the work from behind the details to the front; no fix if it could belong to several works."""
    detail = _DETAIL.search(source[:start])
    if (
        text.casefold() not in _WORK
        or detail is None
        or re.search(r"[/(\"“”„#]", source[: detail.start()])
        or re.search(r"[(\"“”„]", source[:start])
    ):
        return []
    return [
        Fix(
            f"{text}, before the details",
            at,
            detail.start(),
            end,
            f" {text}{source[detail.start() : start].rstrip(' ,')}",
        )
    ]


def _first_word(text: str) -> str:
    match = re.match(r"[\s\W]*(\w*)", text)
    return match[1] if match else ""


def _texts(hint: str, source: str) -> list[str]:
    """The texts in a hint that could be written into the line."""
    found = []
    for said in _SAID.findall(hint):
        found += [*_OR.split(said), said]
    if match := _NEAREST.search(hint):
        found += re.split(" and ", match[1])
    own = set(re.findall(r"\w+", source.casefold()))
    made = []
    for text in found:
        text = text.strip(" ,") or text.strip()
        words = re.findall(r"[^\W\d_]+", text.casefold())
        bare_minutes = text.endswith(" min") and source[:1].isspace()  # no interval is that long
        if text and text not in made and not bare_minutes and all(word in own or word in _NOTATION for word in words):
            made.append(text)
    return made


def _without(at: int, source: str, start: int, end: int) -> list[Fix]:
    """Delete the wrong text, and the comma or word that joined it to the line."""
    what = source[start:end].strip()
    if re.match(r"(?:w|without|no)\b", what, re.IGNORECASE):
        says = "leave it out"
    elif re.match(r"\w", what):
        says = f"without {what}"
    else:
        says = f"without “{what}”" if what.isprintable() and what else "without it"
    ways = [
        Fix(says, at, lead.start(), end, "")
        for lead in (pattern.search(source[:start]) for pattern in _LEADS)
        if lead and lead.start()
    ]
    return [
        *ways,
        Fix(says, at, start, end + (1 if source[end : end + 1] == " " else 0), ""),
        Fix(says, at, start, end, ""),
    ]
