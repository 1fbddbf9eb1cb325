"""Turns the lines of a pasted page into rows: what was written, and the lines of the plan that it becomes."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pacer.plan.filetext import lines_of
from pacer.plan.layout.bulletsandsigns import page_of
from pacer.plan.layout.lanesonpage import lists_of_lanes
from pacer.plan.layout.pastedline import Ask, Kind, Open, PastedLine, Total
from pacer.plan.pasted.brackets import nest
from pacer.plan.pasted.joining import join
from pacer.plan.pasted.linekinds import sort_out
from pacer.plan.pasted.pastedheader import Head, head_of
from pacer.plan.pasted.setorder import reword
from pacer.plan.text.livepage import COMMENT, CUE, HEADER, LINE, SECTION, LivePage
from pacer.plan.text.standardform import INDENT
from pacer.plan.words.countedwords import changes_sets, counted


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the page (`number` 0: something that the page does not say), and the lines of the plan it became.

    `ask` is what the page leaves open.
    """

    number: int
    written: str
    kind: Kind
    plan: tuple[str, ...] = ()
    total: Total | None = None
    ask: Ask | None = None


def rows_of(text: str, pool: str, known: bool = False) -> list[Row]:
    """The rows of a page; if it names no pool, the first row asks for it, or is `pool` if that is `known`."""
    page = sort_out(page_of(text))
    lists_of_lanes(page)
    join(page)
    heads = (head_of(pasted.text) for pasted in page if pasted.kind is Kind.HEAD)
    named = next((head.pool for head in heads if head and head.pool), pool)
    for pasted in page:
        if pasted.kind is Kind.SET:
            reword(pasted, named)
    nest(page)
    lines = _plan_lines(page, named)
    numbers = sorted({pasted.number for pasted in page})
    place = {number: index for index, number in enumerate(numbers)}
    rows = []
    for number in numbers:
        own = [at for at, pasted in enumerate(page) if pasted.number == number]
        asks = next((page[at].ask for at in own if page[at].ask), None)
        if asks is not None:
            over, ends = (
                tuple(dict.fromkeys(place[page[at].number] for at in places)) for places in (asks.over, asks.ends)
            )
            asks = replace(asks, over=over, ends=ends)
        kinds = [page[at].kind for at in own]
        rows.append(
            Row(
                number,
                page[own[0]].written.strip(),
                Kind.SET if Kind.SET in kinds else kinds[0],
                tuple(line for at in own for line in lines[at]),
                next((page[at].total for at in own if page[at].total), None),
                asks,
            )
        )
    if not any(line.startswith("pool: ") for row in rows for line in row.plan):
        first = Row(0, "", Kind.HEAD, (f"pool: {pool}",)) if known else Row(0, "", Kind.HEAD, ask=Ask(Open.POOL))
        rows = [first, *(_later(row) for row in rows)]
    return rows


def rows_of_plan(text: str, seen: str) -> list[Row]:
    """The rows of a page that is already a plan: each line becomes itself, as it is `seen`."""
    written, lines = lines_of(text.removeprefix("\ufeff")), lines_of(seen)
    kinds = {HEADER: Kind.HEAD, SECTION: Kind.SECTION, LINE: Kind.SET, CUE: Kind.NOTE, COMMENT: Kind.REMARK}
    return [
        Row(number, row.strip(), kinds.get(kind, Kind.BLANK), (line,))
        for number, (row, line, kind) in enumerate(zip(written, lines, LivePage().read(lines).kinds), start=1)
    ]


def _later(row: Row) -> Row:
    """A row moved one place down."""
    if row.ask is None:
        return row
    over, ends = (tuple(at + 1 for at in places) for places in (row.ask.over, row.ask.ends))
    return replace(row, ask=replace(row.ask, over=over, ends=ends))


def _plan_lines(page: list[PastedLine], pool: str) -> list[list[str]]:
    """The lines of the plan that each pasted line becomes."""
    lines: list[list[str]] = []
    said: set[str] = set()  # the keys that the header has so far
    cued: list[tuple[int, int]] = []  # the places of the current set's or section's cue, and its lines there
    listed: list[int] = []  # the places of the sets of lanes that a line lists, up to here
    open_to_cue = swum_above = headed = False
    depth = 0
    for pasted in page:
        made: list[str] = []
        indent = INDENT * (1 + pasted.depth)
        if pasted.kind is Kind.HEAD:
            made = _head(pasted, said)
        elif pasted.kind is Kind.TITLE:
            made = [f"title: {pasted.text}"] if "title" not in said else [f"# {pasted.text}"]
            said.add("title")
        elif pasted.kind is Kind.SECTION:
            made = ["", ", ".join([pasted.text, *pasted.details])]
            cued, listed, open_to_cue, depth, headed = [], [], True, 0, True
            if pasted.cue:
                made.append(f'{INDENT}"{_unquoted(pasted.cue)}"')
                open_to_cue = False
                pasted.ask = pasted.ask or asked_of_note(pasted.cue)
        elif pasted.kind is Kind.SET and pasted.text:
            made = [*_opened(pasted), *(indent + line for line in pasted.text.split("\n"))]
            swum_above = True
            cued, open_to_cue, depth = [], True, pasted.depth
            listed = [*listed, len(lines)] if pasted.listed else []
        elif pasted.kind is Kind.NOTE:
            note = _unquoted(pasted.text)
            ask = asked_of_note(pasted.text) if swum_above or headed else None
            if ask and (swum_above or ask.about is Open.WORDS):
                made = [f'{INDENT * (1 + depth)}"{note}"']
                reword(pasted, pool)
                pasted.ask, cued, listed, open_to_cue = replace(ask, said=pasted.text), [], [], True
            elif cued:
                for at, line in cued:
                    lines[at][line] = f'{lines[at][line][:-1]}; {note}"'
            elif open_to_cue:
                made = [f'{INDENT * (1 + depth)}"{note}"']
                cued, open_to_cue = [(len(lines), 0)], False
                for at in listed[:-1]:  # it is for all of them
                    cued.append((at, len(lines[at])))
                    lines[at].append(made[0])
            else:
                made = [f"{indent}# {pasted.text}"]
        elif pasted.kind in (Kind.REMARK, Kind.LABEL) and pasted.text:
            made = [f"# {pasted.text}"]
        lines.append(made)
    return lines


def asked_of_note(words: str) -> Ask | None:
    """What is asked about a note: whether it is swum, or changes what some swim; None if it only says how."""
    return Ask(Open.WORDS, words) if counted(words) else Ask(Open.CHANGES, words) if changes_sets(words) else None


def _opened(pasted: PastedLine) -> list[str]:
    return [f"{INDENT * (1 + depth)}{said}" for depth, said in pasted.before]


def _head(pasted: PastedLine, said: set[str]) -> list[str]:
    head = head_of(pasted.text) or Head()
    made = []
    for key in ("title", "pool", "booking", "focus"):
        value = getattr(head, key)
        if value:
            made.append(f"# {value}" if key in said else f"{key}: {value}")
            said.add(key)
    return [*made, f"# {head.remark}"] if head.remark else made


def _unquoted(text: str) -> str:
    return text.strip("\"'“”„ ").replace('"', "'").replace("“", "'").replace("”", "'")
