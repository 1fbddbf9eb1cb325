"""Turns the lines of a pasted page into rows: what was written, and the lines of the plan that it becomes."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pacer.plan.filetext import lines_of
from pacer.plan.pasted.brackets import nest
from pacer.plan.pasted.characters import scraps_of
from pacer.plan.pasted.joining import join
from pacer.plan.pasted.linekinds import sort_out
from pacer.plan.pasted.pastedheader import Head, head_of
from pacer.plan.pasted.scrap import Ask, Kind, Open, Scrap, Total
from pacer.plan.pasted.setwording import reword
from pacer.plan.text.counting import changes_sets, counted
from pacer.plan.text.livepage import COMMENT, CUE, HEADER, LINE, SECTION, LivePage
from pacer.plan.text.standardform import INDENT


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
    scraps = sort_out(scraps_of(text))
    join(scraps)
    heads = (head_of(scrap.text) for scrap in scraps if scrap.kind is Kind.HEAD)
    named = next((head.pool for head in heads if head and head.pool), pool)
    for scrap in scraps:
        if scrap.kind is Kind.SET:
            reword(scrap, named)
    nest(scraps)
    lines = _plan_lines(scraps, named)
    numbers = sorted({scrap.number for scrap in scraps})
    place = {number: index for index, number in enumerate(numbers)}
    rows = []
    for number in numbers:
        own = [at for at, scrap in enumerate(scraps) if scrap.number == number]
        asks = next((scraps[at].ask for at in own if scraps[at].ask), None)
        if asks is not None:
            over, ends = (
                tuple(dict.fromkeys(place[scraps[at].number] for at in places)) for places in (asks.over, asks.ends)
            )
            asks = replace(asks, over=over, ends=ends)
        kinds = [scraps[at].kind for at in own]
        rows.append(
            Row(
                number,
                scraps[own[0]].written.strip(),
                Kind.SET if Kind.SET in kinds else kinds[0],
                tuple(line for at in own for line in lines[at]),
                next((scraps[at].total for at in own if scraps[at].total), None),
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


def _plan_lines(scraps: list[Scrap], pool: str) -> list[list[str]]:
    """The lines of the plan that each scrap becomes."""
    lines: list[list[str]] = []
    said: set[str] = set()  # the keys that the header has so far
    cued: tuple[int, int] | None = None  # the place of the current set's or section's cue, and its line there
    open_to_cue = swum_above = False
    depth = 0
    for scrap in scraps:
        made: list[str] = []
        indent = INDENT * (1 + scrap.depth)
        if scrap.kind is Kind.HEAD:
            made = _head(scrap, said)
        elif scrap.kind is Kind.TITLE:
            made = [f"title: {scrap.text}"] if "title" not in said else [f"# {scrap.text}"]
            said.add("title")
        elif scrap.kind is Kind.SECTION:
            made = ["", ", ".join([scrap.text, *scrap.details])]
            cued, open_to_cue, depth = None, True, 0
            if scrap.cue:
                made.append(f'{INDENT}"{_unquoted(scrap.cue)}"')
                open_to_cue = False
                scrap.ask = scrap.ask or asked_of_note(scrap.cue)
        elif scrap.kind is Kind.SET and scrap.text:
            made = [*_opened(scrap), indent + scrap.text]
            swum_above = True
            cued, open_to_cue, depth = None, True, scrap.depth
        elif scrap.kind is Kind.NOTE:
            note = _unquoted(scrap.text)
            if swum_above and (ask := asked_of_note(scrap.text)):
                made = [f'{INDENT * (1 + depth)}"{note}"']
                reword(scrap, pool)
                scrap.ask, cued, open_to_cue = replace(ask, said=scrap.text), None, True
            elif cued is not None:
                at, line = cued
                lines[at][line] = f'{lines[at][line][:-1]}; {note}"'
            elif open_to_cue:
                made = [f'{INDENT * (1 + depth)}"{note}"']
                cued, open_to_cue = (len(lines), 0), False
            else:
                made = [f"{indent}# {scrap.text}"]
        elif scrap.kind in (Kind.REMARK, Kind.LABEL) and scrap.text:
            made = [f"# {scrap.text}"]
        lines.append(made)
    return lines


def asked_of_note(words: str) -> Ask | None:
    """What is asked about a note: whether it is swum, or changes what some swim; None if it only says how."""
    return Ask(Open.WORDS, words) if counted(words) else Ask(Open.CHANGES, words) if changes_sets(words) else None


def _opened(scrap: Scrap) -> list[str]:
    return [f"{INDENT * (1 + depth)}{said}" for depth, said in scrap.before]


def _head(scrap: Scrap, said: set[str]) -> list[str]:
    head = head_of(scrap.text) or Head()
    made = []
    for key in ("title", "pool", "booking", "focus"):
        value = getattr(head, key)
        if value:
            made.append(f"# {value}" if key in said else f"{key}: {value}")
            said.add(key)
    return [*made, f"# {head.remark}"] if head.remark else made


def _unquoted(text: str) -> str:
    return text.strip("\"'“”„ ").replace('"', "'").replace("“", "'").replace("”", "'")
