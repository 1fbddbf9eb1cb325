"""Fixes for a finding, as changes of the written page that one touch applies.

A fix keeps the coach's own wording of the line; it changes only the part in question.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import NamedTuple

from pacer.language import listed, tr
from pacer.plan.cutting.linecutter import tokens_of
from pacer.plan.cutting.token import Token
from pacer.plan.notation.pagelines import row_of
from pacer.plan.text.fixes import Fix
from pacer.plan.text.livepage import SECTION, LivePage, PageReading
from pacer.plan.times import text_from_ms
from pacer.squad.bygroup import one_or_each
from pacer.squad.lanenumbers import lane_numbers
from pacer.squad.squad import Squad
from pacer.timeline.checks.shortening import Shorter
from pacer.timeline.findings import Finding, Remedy, Severity

#: A section that has `run on`, or can't have it.
_RUNS_ON = re.compile(r",\s*(?:run on|for\s+[0-9])", re.IGNORECASE)

#: Tokens in the values of `on`.
_VALUES = {"LABEL", "TIME", "NUMBER", "BASE", "PER_100", "_THEN"}


class _Row(NamedTuple):
    """A row of a page (from 0), and the finding about it."""

    finding: Finding
    at: int
    lines: Sequence[str]
    reading: PageReading
    squad: Squad

    @property
    def text(self) -> str:
        return self.lines[self.at]

    def tokens(self) -> tuple[list[Token], int]:
        """Its tokens, and where its code ends."""
        row = row_of(self.at + 1, self.text, False)
        return tokens_of(row.code, max(self.reading.starts[self.at], row.start), self.squad.words)[0], len(row.code)


def fixes_of(
    finding: Finding, lines: Sequence[str], reading: PageReading, squad: Squad, live: LivePage
) -> tuple[Fix, ...]:
    """The fixes to offer for a finding on the page `lines`, which `live` read as `reading`.

    A fix that would make an error is left out.
    """
    if finding.line is None or not 1 <= finding.line <= len(lines):
        return ()
    row = _Row(finding, finding.line - 1, lines, reading, squad)
    offered: list[Fix] = []
    for remedy in finding.remedies:
        fix = _KINDS[remedy.kind](remedy, row)
        if (
            fix is not None
            and fix not in offered
            and len(live.would(fix.applied(lines)).problems) <= len(reading.problems)
        ):
            offered.append(fix)
    return tuple(offered)


def fix_together(
    found: Sequence[Finding], lines: Sequence[str], reading: PageReading, squad: Squad, live: LivePage
) -> Fix | None:
    """One change that fixes the intervals of several findings about a line together; None for fewer than two."""
    wanted = [(each, remedy) for each in found for remedy in each.remedies[:1] if remedy.kind == "on"]
    if len(wanted) < 2 or (line := wanted[0][0].line) is None:
        return None
    at, page, start, end = line - 1, list(lines), 0, 0
    for each, remedy in wanted:
        fix = _on(remedy, _Row(each, at, page, reading, squad))
        if fix is None:
            return None
        page, start, end = fix.applied(page), fix.start, fix.start + len(fix.text)
    was, now = lines[at], page[at]
    if len(live.would(page).problems) > len(reading.problems):
        return None
    return Fix(f"on {now[start:end]}", at, start, len(was) - (len(now) - end), now[start:end])


def fixes_to_fit(
    ways: Sequence[Sequence[Shorter]], lines: Sequence[str], reading: PageReading, squad: Squad, live: LivePage
) -> tuple[Fix, ...]:
    """The changes of the page that bring a plan back within its booking: one for each of the `ways_to_fit`."""
    whole, offered = Finding(Severity.WRONG, None, (), ""), []
    for way in ways:
        if way:
            rows = [(each, _Row(whole, each.line - 1, lines, reading, squad)) for each in way]
            alone = len(rows) == 1
            made = [_counts(Remedy("counts", each.counts), row, alone) for each, row in rows if each.line <= len(lines)]
        else:
            last = _Row(whole, len(lines) - 1, lines, reading, squad)
            made = [
                _run_on_all(Remedy("run on in all"), last)
                or _run_on(Remedy("run on"), last._replace(at=_first_section(last)))
            ]
        fixes = [fix for fix in made if fix is not None]
        if not fixes or len(fixes) < len(made):
            continue
        fix = replace(fixes[0], says=listed([each.says for each in fixes]), also=(*fixes[0].also, *fixes[1:]))
        if len(live.would(fix.applied(lines)).problems) <= len(reading.problems):
            offered.append(fix)
    return tuple(offered)


def _on(remedy: Remedy, row: _Row) -> Fix | None:
    """Give the finding's lanes another interval; the others keep theirs."""
    tokens, _ = row.tokens()
    opens = next((place for place, token in enumerate(tokens) if token.type == "ON"), None)
    if opens is None:
        return None
    entries: list[list[Token]] = [[]]
    for token in tokens[opens + 1 :]:
        if token.type == "_SLASH":
            entries.append([])
        elif token.type in _VALUES:
            entries[-1].append(token)
        else:
            break
    if not all(entries) or any(token.type == "_THEN" for entry in entries for token in entry):
        return None
    source, time = row.text, text_from_ms(int(remedy.value))
    labels = [entry[0].text if entry[0].type == "LABEL" else None for entry in entries]
    meant = [lane for lane in row.squad.lanes if lane.number in row.finding.lanes]
    start, end = entries[0][0].start, entries[-1][-1].end
    if labels[0] is not None:
        groups = {lane.group for lane in meant}
        said = [
            f"{label} {time}" if label in groups else source[entry[0].start : entry[-1].end]
            for label, entry in zip(labels, entries)
        ]
        whom = " / ".join(f"{label} {time}" for label in labels if label in groups)
        return Fix(f"on {whom}", row.at, start, end, " / ".join(said))
    texts = [source[entry[0].start : entry[-1].end] for entry in entries]
    by_lane = [
        time if lane in meant else texts[min(place, len(texts) - 1)] for place, lane in enumerate(row.squad.lanes)
    ]
    written = " / ".join(one_or_each(by_lane))
    return Fix(_for_lanes(f"on {time}", row.finding, row.squad), row.at, start, end, written)


def _for_lanes(detail: str, finding: Finding, squad: Squad) -> str:
    """A detail, and the lanes that it is for unless it is for all."""
    if len(finding.lanes) == len(squad.lanes):
        return detail
    return tr("{detail} in {lanes}", detail=detail, lanes=lane_numbers(finding.lanes, len(squad.lanes)))


def _number(remedy: Remedy, row: _Row) -> Fix | None:
    """Replace a count or distance, before the details."""
    tokens, _ = row.tokens()
    for place, token in enumerate(tokens):
        if token.type == "_COMMA" or token.type in ("ON", "REST", "HOLD", "_AS"):
            return None
        counts = place + 1 < len(tokens) and tokens[place + 1].type == "_X"
        if token.type == "NUMBER" and token.value == remedy.was and counts == (remedy.kind == "count"):
            says = f"{remedy.value} x" if counts else str(remedy.value)
            return Fix(says, row.at, token.start, token.end, str(remedy.value))
    return None


def _counts(remedy: Remedy, row: _Row, named: bool = True) -> Fix | None:
    """Counts by lane for a set of the section; `named`: with what they replace, so that nobody looks for the line."""
    row = row._replace(at=row.at + int(remedy.was))
    tokens, _ = row.tokens()
    last = next((place for place, token in enumerate(tokens) if token.type == "_X"), 0)
    first = last
    while first and tokens[first - 1].type in ("NUMBER", "_SLASH"):
        first -= 1
    if first or not last or last + 1 == len(tokens) or tokens[last + 1].type != "NUMBER":  # as a group on one line
        return None
    start, end = tokens[first].start, tokens[last - 1].end
    counts = f"{remedy.value} " if tokens[last].start == end else str(remedy.value)  # 10x100
    was = row.text[start : tokens[last + 1].end]
    now = f"{remedy.value} x {tokens[last + 1].text}"
    return Fix(tr("{was} becomes {now}", was=was, now=now) if named else now, row.at, start, end, counts)


def _with(remedy: Remedy, row: _Row) -> Fix | None:
    """Add gear: to the line's gear if it has some, or as a new detail."""
    tokens, end = row.tokens()
    gear = [place for place, token in enumerate(tokens) if token.type in ("WITH", "_AND", "GEAR")]
    says = f"with {remedy.value}"
    if gear:
        last = gear[-1]
        while last + 1 < len(tokens) and tokens[last + 1].type in ("NAME", "GEAR"):
            last += 1
        return Fix(says, row.at, tokens[last].end, tokens[last].end, f" and {remedy.value}")
    return Fix(says, row.at, end, end, f", with {remedy.value}")


def _rest(remedy: Remedy, row: _Row) -> Fix | None:
    """Add a rest to the line."""
    _, end = row.tokens()
    return Fix(f"rest {remedy.value}", row.at, end, end, f", rest {remedy.value}")


def _without(remedy: Remedy, row: _Row) -> Fix | None:
    """Delete one detail of the line."""
    tokens, _ = row.tokens()
    for place, token in enumerate(tokens):
        if token.type == "TREND" and token.text.casefold() == remedy.value:
            last = place
            while last + 1 < len(tokens) and tokens[last + 1].type in ("NUMBER", "_DASH"):
                last += 1
            before = tokens[place - 1]
            start = before.start if before.type == "_COMMA" else before.end
            return Fix(tr("without {remedy}", remedy=remedy.value), row.at, start, tokens[last].end, "")
    return None


def _first_section(row: _Row) -> int:
    """The row of the page's first section; the first row if there is none."""
    return next((at for at, kind in enumerate(row.reading.kinds) if kind == SECTION), 0)


def _run_on(remedy: Remedy, row: _Row) -> Fix | None:
    """Let each lane start the next section by itself after the section of a line."""
    heads = [at for at in range(row.at + 1) if row.reading.kinds[at] == SECTION]
    if not heads:
        return None
    name = row_of(heads[-1] + 1, row.lines[heads[-1]], False).code.partition(",")[0].strip()
    return _running_on(heads[-1], row, tr("Each lane swims straight on after {name}", name=name))


def _run_on_all(remedy: Remedy, row: _Row) -> Fix | None:
    """The same after every section but the last, as far as they can; None if there is only one other section."""
    heads = [at for at, kind in enumerate(row.reading.kinds) if kind == SECTION][:-1]
    wanted = [at for at in heads if not _RUNS_ON.search(row_of(at + 1, row.lines[at], False).code)]
    if len(wanted) < 2:
        return None
    fixes = [_running_on(at, row, tr("Each lane swims straight on, no waiting")) for at in wanted]
    return replace(fixes[0], also=tuple(fixes[1:]))


def _running_on(head: int, row: _Row, says: str) -> Fix:
    end = len(row_of(head + 1, row.lines[head], False).code)
    return Fix(says, head, end, end, ", run on")


def _rest_above(remedy: Remedy, row: _Row) -> Fix:
    """A rest on a line of its own above the set."""
    indent = row.text[: len(row.text) - len(row.text.lstrip())]
    return Fix(tr("rest {time} before it", time=remedy.value), row.at, 0, 0, f"{indent}rest {remedy.value}\n")


def _label(remedy: Remedy, row: _Row) -> Fix | None:
    """Another group in front of a set, or none: then all lanes swim it."""
    code = row_of(row.at + 1, row.text, False).code
    first, last, begins = len(code) - len(code.lstrip()), len(code), row.reading.starts[row.at]
    if begins <= first:
        return None
    if remedy.was:
        cue = f' "{remedy.was}"'
        return Fix(tr("all lanes, “{was}” as a cue", was=remedy.was), row.at, first, last, code[begins:] + cue)
    said = f"{remedy.value}: " if remedy.value else ""
    return Fix(f"{remedy.value}:" if remedy.value else tr("all lanes"), row.at, first, begins, said)


_KINDS: dict[str, Callable[[Remedy, _Row], Fix | None]] = {
    "on": _on,
    "distance": _number,
    "count": _number,
    "counts": _counts,
    "with": _with,
    "without": _without,
    "run on": _run_on,
    "run on in all": _run_on_all,
    "label": _label,
    "rest": _rest,
    "rest above": _rest_above,
}
