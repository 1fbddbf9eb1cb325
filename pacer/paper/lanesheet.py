"""A sheet for one lane, read from the water: sets, when to leave, cues. Without names.

Characters subtend 20 minutes of arc at the reading distance, cues 16 (ISO 9241-303 and NUREG-0700: 20 to 22 preferred,
16 the least). If 19 or 18 save a page, that is what they subtend: nobody wants a page for one line.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.language import listed, tr
from pacer.paper.letterwidths import spelt, width_of
from pacer.paper.papersize import LANE_MARGIN_MM, Page, PaperSize
from pacer.paper.settable import numbered_items
from pacer.paper.sheetpages import Cell, Flow, Piece, bookmark, gap, row, rule, words
from pacer.plan.model import Break, Effort, SetLine, swum_by
from pacer.plan.times import text_from_ms
from pacer.plan.titles import titled
from pacer.show.measure.legibility import character_mm
from pacer.show.wording.settext import line_words
from pacer.timeline.laneline import LaneLine
from pacer.timeline.summary.timelinetable import clock_reading
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Pass

#: From how far a swimmer at the wall reads a sheet at the lane's end, in metres; our choice.
READ_FROM_M = 1.5
MINUTES = (20, 19, 18)  #: of arc, for characters, the preferred first


def lane_sheet(timeline: Timeline, lane: int, size: PaperSize, read_from_m: float = READ_FROM_M) -> list[Page]:
    """The pages of the lane at index `lane`, as few as can be; `size` upright."""
    cues = character_mm(read_from_m, 16)
    ways = [_pages(timeline, lane, size, (character_mm(read_from_m, minutes), cues)) for minutes in MINUTES]
    return min(ways, key=len)


def _pages(timeline: Timeline, lane: int, size: PaperSize, caps: tuple[float, float]) -> list[Page]:
    number, plan = timeline.lanes[lane].number, timeline.plan
    foot, foot_cap = tr("Lane {number} · {title}", number=number, title=titled(plan.title)), min(caps[1], 6.0)
    page_said = tr("lane {number}, {{at}} of {{of}}", number=number)
    wide = width_of(spelt(foot), foot_cap) + width_of(page_said.format(at=10, of=10), foot_cap) + 3 * foot_cap
    flow = Flow(size, LANE_MARGIN_MM, foot_cap, 1 if wide <= size.width - 2 * LANE_MARGIN_MM else 2)
    flow.block([*_head(timeline, lane, flow.width, caps), gap(caps[0] * 0.4)])
    sections: dict[int, list[Pass]] = {}
    for found in timeline.tracks[lane].passes:
        sections.setdefault(found.section, []).append(found)
    said = tr("LANE {number}", number=number)
    for section, passes in sections.items():
        blocks = list(_sets(timeline, lane, section, passes, flow.width, caps))
        head = _section(timeline, section, passes, flow.width, caps)
        flow.repeated = tuple(words(said, flow.width, caps[0], bold=True))
        flow.block([*head, *blocks[0]])
        if name := plan.sections[section].name:
            flow.repeated = tuple(words(f"{said} · {name}", flow.width, caps[0], bold=True))
        for block in blocks[1:]:
            flow.block(block)
    if not sections:
        flow.block(words(tr("Nothing to swim"), flow.width, caps[0]))
    return flow.finished(foot, page_said)


def _head(timeline: Timeline, lane: int, width: float, caps: tuple[float, float]) -> list[Piece]:
    of = timeline.lanes[lane]
    apart = (
        tr("{swimmers} swimmers, {spacing} apart", swimmers=len(of.swimmers), spacing=text_from_ms(of.spacing_ms))
        if len(of.swimmers) > 1
        else ""
    )
    facts = [timeline.plan.title, apart]
    rows = [
        bookmark(tr("Lane {number}", number=of.number)),
        *words(tr("LANE {number}", number=of.number), width, 1.5 * caps[0], bold=True),
    ]
    return rows + [piece for fact in facts if fact for piece in words(fact, width, caps[1], colour="dim")]


def _section(
    timeline: Timeline, section: int, passes: list[Pass], width: float, caps: tuple[float, float]
) -> list[Piece]:
    rounds = max(found.round for found in passes)
    name = timeline.plan.sections[section].name or tr("Session")
    effort = timeline.plan.sections[section].effort
    facts = (name, str(effort or ""), tr("{rounds} rounds", rounds=rounds) if rounds > 1 else "")
    said = ", ".join(filter(None, facts))
    start = tr("starts {start}", start=clock_reading(passes[0].start_ms))
    rows = [rule(width, "ink"), *words(said, width, caps[0], bold=True)]
    if width_of(spelt(f"{said}   {start}"), caps[0], True) <= width:
        rows[-1] = _with_right(rows[-1], start, width, caps[0])
    else:
        rows += words(start, width, caps[1])
    cue = timeline.plan.sections[section].cue
    return rows + (words(f"“{cue}”", width, caps[1]) if cue else [])


def _with_right(piece: Piece, text: str, width: float, cap: float) -> Piece:
    """The same row with a text at its right end."""
    right = row([Cell(width, text, "right")], cap)

    def put(page: Page, left: float, top: float) -> None:
        piece.put(page, left, top)
        right.put(page, left, top)

    return Piece(piece.height, put)


def _sets(
    timeline: Timeline, lane: int, section: int, passes: list[Pass], width: float, caps: tuple[float, float]
) -> Iterator[list[Piece]]:
    """A block for each set, once however many rounds there are, with the rests and rounds written above it."""
    first: dict[int, Pass] = {}
    for found in passes:
        first.setdefault(found.laneline.number, found)
    of, written = timeline.lanes[lane], timeline.plan.sections[section]
    several = len(passes) > len(first)
    waiting: list[Piece] = []
    for depth, number, item in numbered_items(written.items):
        indent = depth * caps[0]
        if isinstance(item, SetLine):
            if number in first:
                yield [
                    *waiting,
                    gap(caps[0] * 0.25),
                    *_set(first[number], written.effort, several, indent, width, caps),
                ]
                waiting = []
        elif not swum_by(item.groups, of.number, of.group):
            continue
        elif isinstance(item, Break):
            rest = item.rest_ms.for_lane(lane, of.group)
            said = (
                tr("rest {rest}: {cue}", rest=text_from_ms(rest), cue=item.cue)
                if item.cue
                else tr("rest {rest}", rest=text_from_ms(rest))
            )
            waiting += words(said, width, caps[0], indent=indent)
        else:
            rounds = item.rounds.for_lane(lane, of.group)
            waiting += words(tr("{rounds} rounds of", rounds=rounds), width, caps[0], indent=indent)


def _set(
    found: Pass, effort: Effort | str | None, several: bool, indent: float, width: float, caps: tuple[float, float]
) -> list[Piece]:
    line, inner = found.laneline, indent + caps[0]
    rows = words(_said(line, effort), width, caps[0], indent=indent, hang=caps[0])
    leave = _leave(found, several, width - inner, caps[0])
    if leave:
        rows += words(leave, width, caps[0], bold=True, indent=inner)
    if line.line.gear:
        rows += words(tr("with {gear}", gear=listed(line.line.gear)), width, caps[1], indent=inner)
    for cue in dict.fromkeys(cue for shape in line.shapes for cue in shape.cues if cue):
        rows += words(f"“{cue}”", width, caps[1], indent=inner)
    return rows


def _said(line: LaneLine, effort: Effort | str | None) -> str:
    """The set in words, with what else it asks: a target, a stroke rate, an effort that changes.

    The section's own effort is in its heading and not repeated with every set.
    """
    ways = line_words(line)
    alike = effort is not None and all(work.effort is effort for shape in line.shapes for work in shape.works)
    said = [ways[min(1, len(ways) - 1)] if alike else ways[0]]
    if line.line.change is not None:
        said.append(f"{line.line.change.trend} 1–{line.line.change.over}")
    if line.line.hold is not None:
        said.append(tr("hold {hold}", hold=text_from_ms(round((line.holds[0] or 0) / 100) * 100)))
    if line.line.rate is not None:
        rate = line.line.rate
        said.append(
            tr("rate {start} cycles a minute", start=rate.start)
            if rate.start == rate.end
            else tr("rate {start}–{end} cycles a minute", start=rate.start, end=rate.end)
        )
    if line.line.apart_ms is not None:
        said.append(tr("{apart} apart", apart=text_from_ms(line.line.apart_ms)))
    return ", ".join(said)


def _leave(found: Pass, again: bool, width: float, cap: float) -> str:
    """When to leave: the interval, and as many pace clock readings as there is room for.

    The readings are left out if they differ from round to round.
    """
    line = found.laneline
    if line.own is not None:
        return tr("no rest") if found.count > 1 else ""
    if found.count < 2 and line.line.interval is None:
        return ""
    intervals = list(dict.fromkeys(line.intervals[found.skipped : found.skipped + found.count]))
    every = tr("every {interval}", interval=", ".join(map(text_from_ms, intervals)))
    if again or found.count < 2:
        return every
    leaves = list(map(clock_reading, line.leader_leaves(found.skipped, found.count, found.start_ms)))
    ways = (
        (
            tr("{every}, at {leaves} …", every=every, leaves=" ".join(leaves[:n]))
            if n < len(leaves)
            else tr("{every}, at {leaves}", every=every, leaves=" ".join(leaves[:n]))
        )
        for n in range(len(leaves), 1, -1)
    )
    return next((way for way in ways if width_of(way, cap, True) <= width), every)
