"""The coach's sheet: the plan, what it asks of every lane, when it ends, and what to watch for. No names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from pacer.language import tr, tr_n
from pacer.paper.letterwidths import width_of
from pacer.paper.papersize import Page, PaperSize
from pacer.paper.settable import LaneRow, numbered_items, passes_of, set_rows
from pacer.paper.sheetpages import HAND_CAP, Cell, Flow, Piece, bookmark, gap, picture, row, rule, words
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook, drills_of
from pacer.plan.model import Break, Item, Plan, Section, SetLine
from pacer.plan.planlines import set_lines
from pacer.plan.text.linename import line_said
from pacer.plan.text.standardform import groups_said, section_head, write_line
from pacer.plan.times import text_from_ms, whole_down, whole_up
from pacer.plan.titles import titled
from pacer.session.cautions import CAUTIONS
from pacer.session.timezone import planned_said
from pacer.show.figures.drawing import drawn, height_for
from pacer.show.figures.planstrip import strip
from pacer.show.wording.drilltext import coach_lines, how_said
from pacer.squad.lanenumbers import lane_numbers
from pacer.timeline.findings import Finding, Severity
from pacer.timeline.summary.planned import all_findings
from pacer.timeline.timeline import Timeline

CAP = HAND_CAP
TITLE, SET_CAP = 2.0, 1.1  #: capitals of the title and of a set, relative to the text's
LANE_ROW_MM = 5.5  #: height of a lane in the strip
#: How bad a finding is, in a word.
BAD = {
    Severity.STOPS: tr("Error"),
    Severity.HAZARD: tr("Danger"),
    Severity.WRONG: tr("Warning"),
    Severity.CARE: tr("Warning"),
    Severity.REMARK: tr("Note"),
}
#: The cautions that are on every sheet, by their headings; the others are in the app.
HEEDED = (tr("Lifeguard first"), tr("Health"))


def coach_sheet(timeline: Timeline, size: PaperSize, book: DrillBook = EMPTY_BOOK) -> list[Page]:
    """The pages. `size` upright; if there are too many lanes to fit side by side, they are put below one another."""
    flow = Flow(size)
    plan = timeline.plan
    flow.block([*_head(timeline, flow.width), gap(2), _strip(timeline, flow.width), gap(2)])
    table = LaneTable(timeline, flow.width)
    for index, section in enumerate(plan.sections):
        _section(flow, timeline, table, index, section, book)
    flow.repeated = ()
    flow.block([*_heading(tr("Totals"), flow.width), *table.rows(_totals(timeline), heads=True), gap(2)])
    findings = all_findings(timeline, book)
    named_lines = _lines_said(plan)
    checks = [piece for finding in findings for piece in _check(finding, timeline, named_lines, flow.width)]
    first = checks or words(tr("No problems found."), flow.width, CAP)
    flow.block([*_heading(tr("Checks"), flow.width), *first[:2]])
    for piece in first[2:]:
        flow.block([piece])
    flow.block([gap(2), rule(flow.width), *_cautions(flow.width)])
    named = titled(plan.title)
    squad = f", {timeline.squad.name}" if timeline.squad.name else ""
    return flow.finished(f"{named}{squad}")


def _head(timeline: Timeline, width: float) -> list[Piece]:
    plan, squad = timeline.plan, timeline.squad
    facts = [squad.name, tr("{pool} pool", pool=plan.pool), tr_n("{n} lane", "{n} lanes", len(squad.lanes))]
    facts.append(tr("lasts {time}", time=whole_up(timeline.end_ms)))
    if plan.booking_ms is not None:
        over, booked = timeline.end_ms - plan.booking_ms, text_from_ms(plan.booking_ms)
        facts.append(
            tr("{over} longer than the {booking} booked", booking=booked, over=whole_up(over))
            if over > 0
            else tr("booked {booking}", booking=booked)
        )
    rows = words(titled(plan.title), width, TITLE * CAP, bold=True)
    rows += words(" · ".join(fact for fact in facts if fact), width, CAP)
    if plan.date:
        rows += words(planned_said(plan.date), width, CAP, bold=True)
    if plan.focus:
        rows += words(tr("Focus: {focus}", focus=plan.focus), width, CAP)
    if plan.revisits:
        rows += words(tr("Revisits: {revisits}", revisits=plan.revisits), width, CAP)
    return rows


def _strip(timeline: Timeline, width: float) -> Piece:
    high = height_for(len(timeline.lanes), CAP, LANE_ROW_MM)
    return picture(drawn(strip(timeline), width, high, CAP, width_of))


def _heading(text: str, width: float) -> list[Piece]:
    return [bookmark(text), rule(width, "ink"), *words(text, width, 1.25 * CAP, bold=True), gap(0.5)]


class LaneTable:
    """Rows of values with a column for each lane; as many lanes side by side as there is room for."""

    def __init__(self, timeline: Timeline, width: float):
        self.numbers = [str(lane.number) for lane in timeline.lanes]
        self.width = width
        self.label = width_of(tr("first leaves"), CAP) + 2 * CAP
        most = max(1, int((width - self.label) / (width_of("10:00:00", CAP) + CAP)))
        self.groups = [range(at, min(at + most, len(self.numbers))) for at in range(0, len(self.numbers), most)]

    def rows(self, rows: Sequence[LaneRow], heads: bool = False) -> list[Piece]:
        """The pieces; lane numbers are above each group of lanes if `heads`, or if there are several groups."""
        made: list[Piece] = []
        for lanes in self.groups:
            if heads or len(self.groups) > 1:
                made.append(self.head(lanes))
            made += [self._row(one, lanes) for one in rows]
        return made

    def head(self, lanes: range) -> Piece:
        """The numbers of the lanes."""
        cells = [Cell(0, tr("lane"), bold=True)]
        cells += [Cell(self._right(at), self.numbers[lane], "right", True) for at, lane in enumerate(lanes)]
        return row(cells, CAP, "water", self.width)

    def _row(self, one: LaneRow, lanes: range) -> Piece:
        cells = [Cell(0, one.head, colour="dim")]
        for at, lane in enumerate(lanes):
            text = one.values[lane]
            if width_of(text, CAP) > self._column() - 0.4 * CAP:  # a span that is too wide: one end below the other
                return self._tall(one, lanes)
            cells.append(Cell(self._right(at), text, "right"))
        return row(cells, CAP)

    def _tall(self, one: LaneRow, lanes: range) -> Piece:
        """A row in two: first the spans' first values, then their last."""
        parts = [one.values[lane].partition("–") for lane in lanes]
        first = row(
            [Cell(0, one.head, colour="dim")]
            + [Cell(self._right(at), a + sep, "right") for at, (a, sep, _) in enumerate(parts)],
            CAP,
        )
        last = row([Cell(self._right(at), b, "right") for at, (_, _, b) in enumerate(parts)], CAP)

        def put(page: Page, left: float, top: float) -> None:
            first.put(page, left, top)
            last.put(page, left, top - first.height)

        return Piece(first.height + last.height, put)

    def _column(self) -> float:
        return (self.width - self.label) / max(map(len, self.groups))

    def _right(self, at: int) -> float:
        return self.label + (at + 1) * self._column()


def _section(flow: Flow, timeline: Timeline, table: LaneTable, index: int, section: Section, book: DrillBook) -> None:
    """A section: its heading stays with its first set, every set with what it asks of the lanes."""
    flow.repeated = ()
    head = _heading(section_head(section) if section.name else tr("Session"), flow.width)
    facts = _section_facts(timeline, index)
    if facts:
        head += words(facts, flow.width, CAP)
    if section.cue:
        head += words(f"“{section.cue}”", flow.width, CAP)
    rounds = _rounds(timeline, index)
    single = len(table.groups) == 1
    if single:
        head.append(table.head(table.groups[0]))
    if rounds:
        head += table.rows([rounds])
    blocks = list(_items(section.items, timeline, table, index, flow.width, book))
    flow.block([*head, *(blocks[0] if blocks else ())])
    if single:
        title = tr("{name}, continued", name=section.name) if section.name else tr("continued")
        flow.repeated = (*words(title, flow.width, CAP, colour="dim"), table.head(table.groups[0]))
    for block in blocks[1:]:
        flow.block(block)
    flow.block([gap(1)])


def _section_facts(timeline: Timeline, index: int) -> str:
    """When a section begins (or that lanes start it separately), and when its last lane is done."""
    spans = [
        (found.start_ms, found.end_ms) for track in timeline.tracks for found in track.passes if found.section == index
    ]
    if not spans:
        return tr("no lane swims this")
    start, end = min(span[0] for span in spans), max(span[1] for span in spans)
    gate = timeline.gates.get(index)
    begins = (
        tr("starts at {start}", start=whole_down(start))
        if gate is not None
        else tr("lanes start separately, from {start}", start=whole_down(start))
    )
    return tr("{begins}, all done at {end}", begins=begins, end=whole_up(end))


def _rounds(timeline: Timeline, index: int) -> LaneRow | None:
    """How often each lane repeats a section; None if all swim it once."""
    counts = [max([p.round for p in track.passes if p.section == index], default=0) for track in timeline.tracks]
    return None if set(counts) == {1} else LaneRow(tr("rounds"), tuple(map(str, counts)))


def _items(
    items: Sequence[Item], timeline: Timeline, table: LaneTable, section: int, width: float, book: DrillBook
) -> Iterator[list[Piece]]:
    """The blocks of a section, one for each set; what is written between sets is with the set after it."""
    waiting: list[Piece] = []
    for depth, number, item in numbered_items(items):
        indent = 3.0 * depth
        if isinstance(item, SetLine):
            said = groups_said(item.groups) + write_line(item)
            text = words(said, width, SET_CAP * CAP, bold=True, indent=indent, hang=4)
            text += _drills(item, book, width, indent + 4)
            yield [*waiting, gap(1), *text, *table.rows(set_rows(passes_of(timeline, section, number)))]
            waiting = []
        elif isinstance(item, Break):
            rests = " / ".join(map(text_from_ms, item.rest_ms.entries))
            said = tr("rest {rests}: {cue}", rests=rests, cue=item.cue) if item.cue else tr("rest {rests}", rests=rests)
            waiting += [gap(0.8), *words(said, width, CAP, indent=indent)]
        else:
            rounds = " / ".join(map(str, item.rounds.entries))
            waiting += [gap(1), *words(tr("{rounds} rounds of", rounds=rounds), width, CAP, bold=True, indent=indent)]
    if waiting:
        yield waiting


def _drills(line: SetLine, book: DrillBook, width: float, indent: float) -> list[Piece]:
    """For each drill of a set: how it is swum, what to look for, and the usual faults."""
    made: list[Piece] = []
    for drill in drills_of(line, book):
        for text in (how_said(drill, True), *coach_lines(drill)):
            made += words(text, width, CAP, indent=indent, hang=4)
    return made


def _totals(timeline: Timeline) -> list[LaneRow]:
    unit = timeline.plan.pool.unit
    far = [timeline.distance(lane) for lane in range(len(timeline.lanes))]
    return [
        LaneRow(tr("swims, {unit}", unit=unit), tuple(f"{each:,}" for each in far)),
        LaneRow(tr("lasts"), tuple(whole_up(track.end_ms) for track in timeline.tracks)),
        LaneRow(tr("swimmers"), tuple(str(len(lane.swimmers)) for lane in timeline.lanes)),
        LaneRow(tr("apart"), tuple(text_from_ms(lane.spacing_ms) for lane in timeline.lanes)),
    ]


def _lines_said(plan: Plan) -> dict[int, str]:
    """What each line of the page is called: the sheet has no line numbers."""
    said = {}
    for section in plan.sections:
        if section.span is not None:
            said[section.span.line] = section.name
        for line in set_lines(section.items):
            if line.span is not None:
                said[line.span.line] = line_said([section.name, f"  {write_line(line)}"], 2)
    return said


def _check(finding: Finding, timeline: Timeline, lines: Mapping[int, str], width: float) -> list[Piece]:
    lanes = lane_numbers(finding.lanes, len(timeline.lanes))
    place = lines.get(finding.line) or tr("line {line}", line=finding.line) if finding.line else ""
    where = ", ".join(part for part in (place, lanes) if part)
    said = f"{BAD[finding.severity]}" + (f", {where}" if where else "") + f": {finding.ways[0]}"
    return words(said, width, CAP, hang=4, bold=finding.severity <= Severity.HAZARD)


def _cautions(width: float) -> list[Piece]:
    told = [one for one in CAUTIONS if one.about in HEEDED]
    return [piece for one in told for piece in words(f"{one.about}: {one.text}", width, CAP, colour="dim")]
