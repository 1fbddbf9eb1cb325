"""Check a plan before anyone is in the water: `findings(timeline)`, worst first.

These checks need no model of traffic. Each is a function of the timeline that yields findings; the
list at the end names them all.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from pacer.language import either, tr, tr_n
from pacer.plan.decimals import decimals
from pacer.plan.model import ByLane, SetLine
from pacer.plan.planlines import all_items, numbered_lines
from pacer.plan.text.standardform import entries_by_lane
from pacer.plan.times import late_by, text_from_ms, whole_up
from pacer.squad.trials.basefromtrials import doubts_of
from pacer.timeline.cancellation import step
from pacer.timeline.checks.earlylanes import done_early
from pacer.timeline.checks.fillingrepeats import filling_repeats
from pacer.timeline.checks.gathering import by_lanes, each_line, page_line
from pacer.timeline.checks.gearchecks import gear_not_announced, no_time_for_gear
from pacer.timeline.checks.restchecks import hard_without_rest
from pacer.timeline.checks.sendoffchecks import faster_than_meant, off_the_clock, too_tight
from pacer.timeline.course import Course
from pacer.timeline.findings import Finding, Remedy, Severity
from pacer.timeline.fit.mostdistance import missed_said
from pacer.timeline.hazards import BREATH_WARNING, hazards
from pacer.timeline.laneline import LaneLine
from pacer.timeline.restlimits import COLD_MS, MOST_REST_MS
from pacer.timeline.timeline import Timeline


def findings(timeline: Timeline) -> tuple[Finding, ...]:
    """All findings, worst first, then in the order of the page."""
    return worst_first([finding for check in CHECKS for finding in check(timeline)])


def worst_first(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort findings: worst first, then in the order of the page."""
    return tuple(sorted(found, key=lambda f: (f.severity, f.line or 0, f.lanes, f.message)))


# -- waiting ----------------------------------------------------------------------------------------


def standing(timeline: Timeline) -> Iterator[Finding]:
    """Lanes that wait longer than MOST_REST_MS, or long enough to get cold."""
    worst: dict[tuple[int | None, bool], dict[int, int]] = defaultdict(dict)
    sections: dict[int | None, int] = {}  # by lines of the page
    for lane, track in enumerate(timeline.tracks):
        for number, found in enumerate(track.passes):
            step()
            line, i = found.laneline, found.skipped + found.count - 1
            shift = found.start_ms - (line.offsets[found.skipped] if line.own is None else 0)
            inner = []
            if line.own is None and found.count > 1:
                inner = [
                    found.start_ms + line.offsets[j + 1] - line.offsets[found.skipped] - (shift + line.ends[j])
                    for j in range(found.skipped, i)
                ]
            after = 0
            if number + 1 < len(track.passes):
                after = track.passes[number + 1].start_ms - max(
                    shift + line.ends[j] for j in range(found.skipped, i + 1)
                )
            stands = max([*inner, after])
            if stands > MOST_REST_MS:
                key = (page_line(line.line), after == stands and track.passes[number + 1].section != found.section)
                sections[key[0]] = found.section
                known = worst[key].get(lane, 0)
                worst[key][lane] = max(known, stands)
    for (at, before_section), lanes in worst.items():
        longest = max(lanes.values())
        numbers = tuple(timeline.lanes[lane].number for lane in lanes)
        longest_said, cold = whole_up(longest), longest > COLD_MS
        said = tr("swimmers wait up to {longest} here", longest=longest_said)
        hint = tr("shorten the interval or the rest")
        if before_section:
            said = tr("swimmers wait up to {longest} before the next section", longest=longest_said)
            hint = tr(
                "give these lanes more rounds or repeats, or write “run on” after the section's name: "
                "then each lane goes straight on in its own time"
            )
        yield Finding(
            Severity.CARE if cold else Severity.REMARK,
            at,
            numbers,
            tr("{waits}, and get cold", waits=said) if cold else said,
            tr("{hint}; keep everybody moving while they wait", hint=hint) if cold else hint,
            _remedies(timeline, at, sections[at], list(lanes)) if before_section else (),
            wait_ms=longest,
        )


def _remedies(timeline: Timeline, at: int | None, section: int, lanes: list[int]) -> tuple[Remedy, ...]:
    """What would help lanes that wait after a section, whose last set is on line `at`."""
    run_on = Remedy("run on in all"), Remedy("run on")
    more = None if at is None else filling_repeats(timeline, section, lanes)
    return (Remedy("counts", more[1], more[0] - at), *run_on) if more and at is not None else run_on


# -- distances and the pool ------------------------------------------------------------------------


def walls(timeline: Timeline) -> Iterator[Finding]:
    """Distances that are not whole lengths, lines and repeats that end at the far wall, changes in mid-pool."""
    pool = timeline.plan.pool

    def told():
        for lane, line in each_line(timeline):
            distances = [shape.distance for shape in line.shapes]
            odd = next((d for d in distances if d % pool.length), None)
            if odd is not None:
                yield lane, line.line, ("part", odd)
                continue
            lengths = [int(d / pool.length) for d in distances]
            if sum(lengths) % 2:
                yield lane, line.line, ("far line", sum(lengths))
            elif any(n % 2 for n in lengths):
                yield lane, line.line, ("far repeat", next(d for d, n in zip(distances, lengths) if n % 2))
            inside = next((end for shape in line.shapes for end in shape.ends[:-1] if end % pool.length), None)
            if inside is not None:
                yield lane, line.line, ("mid", inside)

    for line, (kind, value), lanes in by_lanes(timeline, told()):
        if kind == "part":
            below = int(value // pool.length)
            near = [n * pool.length for n in (below, below + 1) if n]
            shown = either([_distance(n) for n in near])
            yield Finding(
                Severity.WRONG,
                page_line(line),
                lanes,
                tr(
                    "{value} {unit} is not a whole number of {pool} lengths: it ends in mid-pool",
                    value=value,
                    unit=pool.unit,
                    pool=pool,
                ),
                tr("nearest: {shown}", shown=shown),
                tuple(Remedy("distance", int(n), value) for n in near if n == int(n)),
            )
        elif kind == "far line":
            yield Finding(
                Severity.WRONG,
                page_line(line),
                lanes,
                tr("ends at the far wall, away from the clock ({value} lengths in all)", value=value),
                tr("make it an even number of lengths, so that everybody comes back"),
                tuple(_even_counts(line)),
            )
        elif kind == "far repeat":
            yield Finding(
                Severity.REMARK,
                page_line(line),
                lanes,
                tr("a repeat of {value} ends at the far wall, away from the clock", value=value),
            )
        else:
            yield Finding(
                Severity.REMARK,
                page_line(line),
                lanes,
                tr("stroke, drill or effort changes in mid-pool, after {value} {unit}", value=value, unit=pool.unit),
                tr("one length is {pool}", pool=pool),
            )


def _distance(value) -> str:
    return str(int(value)) if value == int(value) else decimals(value)


def _even_counts(line: SetLine) -> Iterator[Remedy]:
    """One repeat more or fewer, if all lanes have equally many."""
    if isinstance(line.count, ByLane) and len(line.count.entries) == 1 and line.count.entries[0] > 1:
        count = line.count.entries[0]
        yield Remedy("count", count + 1, count)
        yield Remedy("count", count - 1, count)


def cut_short(timeline: Timeline) -> Iterator[Finding]:
    """Sections in which `at most` skips repeats."""
    sections = timeline.plan.sections
    course = Course(timeline.plan, timeline.squad, timeline.counts)
    left_out: dict[int, list[int]] = defaultdict(list)
    numbers: dict[int, list[int]] = defaultdict(list)
    for lane, track in enumerate(timeline.tracks):
        for section, written in enumerate(sections):
            if written.at_most_ms is None:
                continue
            asked = sum(item.count for item in course.program(section, lane) if isinstance(item, LaneLine))
            swum = sum(found.count for found in track.passes if found.section == section)
            if swum < asked:
                numbers[section].append(timeline.lanes[lane].number)
                left_out[section].append(asked - swum)
    for section, lanes in numbers.items():
        written = sections[section]
        assert written.at_most_ms is not None, "only such sections are counted"
        yield Finding(
            Severity.REMARK,
            written.span.line if written.span else None,
            tuple(lanes),
            _skipped_said(text_from_ms(written.at_most_ms), left_out[section]),
            tr("fine if that is what you meant by “at most”"),
        )


def _skipped_said(at_most: str, counts: Sequence[int]) -> str:
    """How many repeats lanes skip; the least and the most, if they skip unlike numbers."""
    least, most = min(counts), max(counts)
    if least < most:
        return tr(
            "this doesn't fit in {at_most}: lanes lose {least} to {most} repeats at the end",
            at_most=at_most,
            least=least,
            most=most,
        )
    return tr_n(
        "this doesn't fit in {at_most}: each loses {n} repeat at the end",
        "this doesn't fit in {at_most}: each loses {n} repeats at the end",
        most,
        at_most=at_most,
    )


# -- words ----------------------------------------------------------------------------------------------


def shared_entries(timeline: Timeline) -> Iterator[Finding]:
    """Fewer entries by lane than lanes: say which lanes share the last one."""
    lanes = timeline.squad.lanes
    told = set()
    for section in timeline.plan.sections:
        for item in (section, *all_items(section.items)):
            for entries in entries_by_lane(item):
                count = len(entries.entries)
                if entries.labels is None and 1 < count < len(lanes) and (key := (item.span, entries)) not in told:
                    told.add(key)
                    yield Finding(
                        Severity.REMARK,
                        item.span.line if item.span else None,
                        tuple(lane.number for lane in lanes[count - 1 :]),
                        tr_n(
                            "no value of its own: it gets the last, {entry}",
                            "no value of their own: they get the last, {entry}",
                            len(lanes) - count + 1,
                            entry=entries.entries[-1],
                        ),
                        tr("write a value for each lane, or put every lane in a Group and write one for each group"),
                    )


def change_without_effect(timeline: Timeline) -> Iterator[Finding]:
    """`descend` or `ascend` on a line in which every segment names its own effort."""
    for _, _, _, line in numbered_lines(timeline.plan):
        if line.change and all(s.work.effort for p in line.pattern.parts for s in p.segments):
            yield Finding(
                Severity.REMARK,
                page_line(line),
                (),
                tr("{trend} does nothing here: every part names its own effort", trend=line.change.trend),
                tr("delete one of them"),
                (Remedy("without", str(line.change.trend)),),
            )


# -- the whole session -----------------------------------------------------------------------------


def overrun(timeline: Timeline) -> Iterator[Finding]:
    """A session that ends later than booking less spare."""
    plan = timeline.plan
    if plan.booking_ms is None or plan.out_ms is None:
        return
    over = timeline.end_ms - plan.out_ms
    if over > 0:
        late = [
            lane.number for lane, track in zip(timeline.lanes, timeline.tracks) if late_by(track.end_ms, plan.out_ms)
        ]
        told = {"end": whole_up(timeline.end_ms), "over": whole_up(over), "booking": text_from_ms(plan.booking_ms)}
        yield Finding(
            Severity.WRONG,
            None,
            tuple(late),
            tr(
                "lasts {end}, {over} too long: {booking} is booked, {spare} of it kept free",
                spare=text_from_ms(plan.spare_ms),
                **told,
            )
            if plan.spare_ms
            else tr("lasts {end}, {over} too long: {booking} is booked", **told),
            tr("write fewer rounds or repeats, or a shorter changeover"),
        )


def not_all_tried(timeline: Timeline) -> Iterator[Finding]:
    """Counts that may not be the best possible."""
    if timeline.missed is not None:
        yield Finding(
            Severity.REMARK,
            None,
            (),
            missed_said(timeline.missed, str(timeline.plan.pool.unit)),
            tr("fix the rounds of one section yourself"),
        )


def flagged(timeline: Timeline) -> Iterator[Finding]:
    """Lines that can hurt people.

    A set under water that sends off several swimmers, or anybody more than once, breaks the rules that it is flagged
    with: the flag says so.
    """
    for section, number, finding in hazards(timeline.plan):
        swimmers, repeats = 0, 0
        for lane, track in zip(timeline.squad.lanes, timeline.tracks):
            count = sum(
                found.count for found in track.passes if (found.section, found.laneline.number) == (section, number)
            )
            swimmers += len(lane.swimmers) if count else 0
            repeats = max(repeats, count)
        if finding.hint == BREATH_WARNING and max(swimmers, repeats) > 1:
            broken = tr(
                "as written, the set breaks the rules below: {swimmers}, {repeats} each. Change it or leave it out",
                swimmers=tr_n("{n} swimmer", "{n} swimmers", swimmers),
                repeats=tr_n("{n:,} repeat", "{n:,} repeats", repeats),
            )
            finding = replace(finding, hint=f"{broken}; {finding.hint}")
        yield finding


def doubtful_tests(timeline: Timeline) -> Iterator[Finding]:
    """Paces that come from test swims which can hardly be right."""
    for number, doubt in doubts_of(timeline.squad):
        said, _, asked = doubt.rpartition(": ")
        yield Finding(Severity.CARE, None, (number,), tr("the base comes from a test swim: {said}", said=said), asked)


CHECKS: tuple[Callable[[Timeline], Iterator[Finding]], ...] = (
    flagged,
    too_tight,
    faster_than_meant,
    overrun,
    walls,
    standing,
    done_early,
    cut_short,
    off_the_clock,
    gear_not_announced,
    no_time_for_gear,
    hard_without_rest,
    shared_entries,
    change_without_effect,
    not_all_tried,
    doubtful_tests,
)
