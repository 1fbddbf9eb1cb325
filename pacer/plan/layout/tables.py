"""Tables on a pasted page: cells between `|` or wide gaps, names above columns, a line drawn beside rounds."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pacer.plan.layout.headings import known_heading
from pacer.plan.layout.pastedline import Kind, PastedLine, Total
from pacer.plan.regex import regex
from pacer.plan.words.labels import groups_of, is_work

#: What the names of columns say about their cells. Common practice, no source.
_COLUMNS = {
    "often": "reps no no. nos qty x n count number times",
    "far": "dist dist. distance metres meters yards m yds far",
    "on": "on off int int. interval intervals go s/o send-off sendoff t/a turnaround cycle leave si start",
    "rest": "rest r ri r.i. recovery rec",
    "head": "section part phase stage",
    "who": "lane lanes group squad",
    "total": "total tot tot. sum volume vol",
    "said": "what set sets set/drill swim description desc details stroke drill notes focus comments intensity effort"
    " zone kit equipment activity type how work exercise pace",
}
_MEANS = {name: column for column, names in _COLUMNS.items() for name in names.split()}
_GAPS = regex(r"\s{2,}|\t+")
_RULE = regex(r"[|\s:+-]*--[|\s:+-]*")
_EMPTY = regex(r"[-–—.]*|n/?a", re.IGNORECASE)
_ROUNDS = regex(r"(?P<name>.*?)\s*\b(?P<n>\d{1,2})\s*(?:[x×]|rds?|rounds?)|[x×]\s*(?P<m>\d{1,2})", re.IGNORECASE)
_BESIDE = regex(r"(?:[x×]\s*\d{1,2}|\d{1,2}\s*(?:[x×]|times|rds?|rounds?))?", re.IGNORECASE)
_LANE = regex(r"(?:lanes?|ln|l)\s?\d", re.IGNORECASE)
_SET = regex(r"\d{1,2}\s*[x×*]\s*\d{2,4}\s*m?|\d{2,4}\s*m?", re.IGNORECASE)
_TOTAL = regex(r"\d{3,5}")
LEAST_ROWS = 2  #: lines with `|` that make a table
DEEPER = 4  #: columns that a row without its own name is indented below the named one


@dataclass(frozen=True, slots=True)
class _Row:
    """A line of a table: its cells, the first of which is "" below a name that goes on."""

    line: PastedLine
    cells: list[str]


def read_tables(page: list[PastedLine]) -> list[PastedLine]:
    """The lines of a page with those of its tables put into words, each in the order of a set."""
    drawn = [pasted for pasted in page if "|" in pasted.text]
    if len(drawn) < LEAST_ROWS:
        return _without_lines(page) if any(map(_columns_of, map(_gapped, page))) else page
    framed = all(pasted.text.startswith("|") for pasted in drawn)
    first = next((at for at, pasted in enumerate(page) if "|" in pasted.text), 0)
    made: list[PastedLine] = []
    rows: list[_Row] = []
    for at, pasted in enumerate([*page, PastedLine(0, "", "end")]):
        cells = _cells(pasted.text, framed) if "|" in pasted.text else []
        title = at == first and not any(map(_SET.match, cells)) and not _lanes(cells) and not _columns_of(cells)
        if cells and not title:
            rows.append(_Row(pasted, cells))
            continue
        made += _table(rows)
        rows = []
        made.append(pasted)
    return made[:-1]


def _without_lines(page: list[PastedLine]) -> list[PastedLine]:
    """A page whose columns have names but no lines between them."""
    made: list[PastedLine] = []
    names: list[str] = []
    for pasted in page:
        cells = _gapped(pasted)
        if columns := _columns_of(cells):
            names = columns
            made.append(replace(pasted, kind=Kind.REMARK))
        elif names and len(cells) == len(names):
            made.append(_named(_Row(pasted, cells), names))
        else:
            made.append(pasted)
    return made


def _gapped(pasted: PastedLine) -> list[str]:
    return _GAPS.split(pasted.text.strip())


def _cells(text: str, framed: bool) -> list[str]:
    """The cells of a line; a `framed` one begins and ends with `|`."""
    cells = [cell.strip() for cell in text.split("|")]
    if framed:
        return cells[1 : -1 if not cells[-1] else None]
    return cells


def _columns_of(cells: Sequence[str]) -> list[str]:
    """What each of some cells says of its column, if all are names of columns and one is of distances or sets."""
    names = [_MEANS.get(cell.casefold().strip(" :."), "") for cell in cells]
    known = len(names) > 1 and all(names) and {"far", "said"} & {*names} and {"far", "on", "rest", "often"} & {*names}
    return names if known else []


def _lanes(cells: Sequence[str]) -> bool:
    """Whether cells are the names of lanes above their columns, after a column of names or not."""
    own = [cell for cell in cells if cell]
    return len(own) > 1 and all(map(_LANE.fullmatch, own[1:])) and not _SET.match(own[0])


def _table(rows: list[_Row]) -> Iterator[PastedLine]:
    """The lines of a table."""
    names: list[str] = []
    lanes: list[str] = []
    headed = any(row.cells[0] for row in rows) and any(not row.cells[0] for row in rows)
    at = 0
    while at < len(rows):
        row = rows[at]
        at += 1
        if _RULE.fullmatch(row.line.text) or not any(row.cells):
            yield replace(row.line, text="", kind=Kind.REMARK)
        elif columns := _columns_of(row.cells):
            names, lanes = columns, []
            yield replace(row.line, kind=Kind.REMARK)
        elif _lanes(row.cells):
            names, lanes = [], [cell for cell in row.cells if _LANE.fullmatch(cell)]
            yield replace(row.line, kind=Kind.REMARK)
        elif lanes and len(row.cells) - len(lanes) in (0, 1):
            yield from _for_lanes(row, lanes)
        elif names and len(row.cells) == len(names):
            yield _named(row, names)
        elif (rounds := _ROUNDS.fullmatch(row.cells[0])) and at < len(rows) and not rows[at].cells[0]:
            end = next((after for after in range(at, len(rows)) if rows[after].cells[0]), len(rows))
            yield from _bracket(rows[at - 1 : end], rounds)
            at = end
        elif row.cells[0] and all(map(_BESIDE.fullmatch, row.cells[1:])):
            yield replace(row.line, text=f"{row.cells[0]} }} {' '.join(row.cells[1:])}".strip(), tabled=True)
        else:
            yield from _in_words(row, headed)


def _for_lanes(row: _Row, lanes: list[str]) -> Iterator[PastedLine]:
    """A row with a cell for each lane, after the name of a section or of their work."""
    lead, cells = row.cells[: len(row.cells) - len(lanes)], row.cells[-len(lanes) :]
    name = lead[0] if lead else ""
    if name and not is_work(name):
        yield replace(row.line, text=f"{name}:", total=None, tabled=True)
        name = ""
    if len({*cells}) == 1:
        cells, lanes = cells[:1], [""]
    for lane, cell in zip(lanes, cells):
        if not _EMPTY.fullmatch(cell):
            text = (
                f"{lane}: {cell} {name}".strip(" :") if not name or _SET.fullmatch(cell) else f"{lane}: {name} {cell}"
            )
            yield replace(row.line, text=text, indent=row.line.indent + DEEPER, tabled=True)


def _named(row: _Row, names: list[str]) -> PastedLine:
    """A row of a table whose columns have names, with what is said before the times."""
    said: dict[str, list[str]] = {}
    for name, cell in zip(names, row.cells):
        if not _EMPTY.fullmatch(cell):
            said.setdefault(name, []).append(cell)
    far = " x ".join([*said.get("often", []), *said.get("far", [])])
    first = [*([far] if far else []), *said.get("said", [])]
    times = [_timed(word, each) for word in ("on", "rest") for each in said.get(word, [])]
    heads = [each for each in first[1:] if far and known_heading(f"{each}:") or is_work(each) and each == row.cells[0]]
    first = [each for each in first if each not in heads]
    text = ", ".join([" ".join(first[:2]), *first[2:], *times])
    for label in (*said.get("who", []), *said.get("head", []), *heads):
        text = f"{f'lane {label}' if label.isdigit() else label}: {text}"
    total = next((int(each) for each in said.get("total", []) if _TOTAL.fullmatch(each)), 0)
    return replace(row.line, text=text, total=Total(total) if total else row.line.total, tabled=True)


def _timed(word: str, time: str) -> str:
    """A time with what its column says it is."""
    return f"{word} {time}" if re.match(r"[\d:]", time) else time


def _bracket(rows: list[_Row], rounds: re.Match[str]) -> Iterator[PastedLine]:
    """Rounds that a line is drawn beside: a bracket around their rows."""
    if rounds["name"]:
        yield replace(rows[0].line, text=f"{rounds['name']}:", total=None, tabled=True)
    count = rounds["n"] or rounds["m"]
    texts = [_joined(row.cells[1:]) for row in rows]
    inside = [at for at, text in enumerate(texts) if text]
    for at, (row, text) in enumerate(zip(rows, texts)):
        text = f"{count} x {{ {text}" if inside and at == inside[0] else text
        yield replace(row.line, text=f"{text} }}" if inside and at == inside[-1] else text, tabled=True)


def _in_words(row: _Row, headed: bool) -> Iterator[PastedLine]:
    """A row of a table whose columns have no names; those below a name are indented."""
    cells = [cell for cell in row.cells if not _EMPTY.fullmatch(cell)]
    name = cells[0] if row.cells[0] and len(cells) > 1 and not re.search(r"\d", cells[0].rstrip("0123456789")) else ""
    total = None
    if len(cells) > 1 and _TOTAL.fullmatch(cells[-1]) and any(map(re.compile(r"\d").search, cells[bool(name) : -1])):
        total = Total(int(cells.pop()))
    if len(cells) > 1 and _TOTAL.fullmatch(cells[0]) and re.match(r"\d+\s*[x×]|\d{2,4}\s", cells[1]) and not headed:
        total = Total(int(cells.pop(0)))  # a running total to the left
    if not name:
        text = _joined(cells)
        indent = row.line.indent + (DEEPER if headed and not row.cells[0] else 0)
        yield replace(row.line, text=text, indent=indent, total=total or row.line.total, tabled=True)
        return
    text = _joined(cells[1:])
    section = (
        re.search(r"\d", text)
        and not is_work(name)
        and not known_heading(f"{name}:")
        and groups_of(name) is not None
        and len(name) > 1
    )
    if section and headed and not _LANE.match(name):
        yield replace(row.line, text=f"{name}:", marked=True, total=None, tabled=True)
        yield replace(row.line, text=text, indent=row.line.indent + DEEPER, total=total, tabled=True)
    else:
        yield replace(row.line, text=f"{name}: {text}", total=total, tabled=True)


def _joined(cells: Sequence[str]) -> str:
    """Cells as the text of a set; how often and how far can be in two of them."""
    own = [cell for cell in cells if not _EMPTY.fullmatch(cell)]
    if len(own) > 1 and re.fullmatch(r"\d{1,2}", own[0]) and re.fullmatch(r"\d{2,4}\s*m?", own[1]):
        own[:2] = [f"{own[0]} x {own[1]}"]
    lead = 2 if own and _SET.fullmatch(own[0]) else 1
    return ", ".join([" ".join(own[:lead]), *own[lead:]])
