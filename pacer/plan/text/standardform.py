"""Write a `Plan` in its standard form; reading that gives the same plan again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from pacer.plan.model import (
    ALL_BUT,
    CHANGEOVER_MS,
    CLOCK_MS,
    STARTS_MS,
    Activity,
    BaseHold,
    BaseInterval,
    Break,
    ByLane,
    FixedInterval,
    Flexible,
    Group,
    Hold,
    Interval,
    Item,
    Part,
    Pattern,
    PerHundredInterval,
    Plan,
    Section,
    Segment,
    SetLine,
    Work,
)
from pacer.plan.notation.headerline import long_text
from pacer.plan.notation.linevalues import least_distance, up_and_down
from pacer.plan.times import text_from_ms

INDENT = "  "
_ONCE = ByLane((1,))

#: A row of the page, and the line of the file from which it came (0: none).
Row = tuple[str, int]


def write_plan(plan: Plan) -> str:
    """A plan's page in standard form: short forms written out, one order of details, two spaces a level.

    Comments stay on the line, or above the line, where they were; those above the first
    section go to the top of the page or right above that section. Raises ValueError for a
    plan that cannot be written, such as one with a nameless section that is not the first.

    >>> from pacer.plan.notation.planreader import read_line, pool_from_text
    >>> print(write_plan(read_line("8x50 fr ez on 1:00", pool_from_text("25m"))), end="")
    pool: 25 m
    <BLANKLINE>
      8 x 50 free easy, on 1:00
    """
    remarks = list(plan.comments)
    first = min((line for section in plan.sections for _, line in _section_rows(section, 0) if line), default=0)
    rows: list[str] = []
    number = 1
    while remarks and remarks[0][0] == number < first:
        rows.append(f"# {remarks.pop(0)[1]}".rstrip())
        number += 1
    rows += _header_rows(plan)
    for place, section in enumerate(plan.sections):
        if not section.name and place:
            raise ValueError("only the first section can be without a name")
        blank = True
        for text, line in _section_rows(section, least_distance(plan.pool)):
            above: list[str] = []
            beside: list[str] = []
            while remarks and line and remarks[0][0] <= line:
                (beside if remarks[0][0] == line else above).append(remarks.pop(0)[1])
            if blank:
                rows.append("")
                blank = False
            indent = text[: len(text) - len(text.lstrip())]
            rows += [f"{indent}# {remark}".rstrip() for remark in above]
            rows.append("  # ".join([text, *beside]).rstrip())
    rows += [f"# {remark}".rstrip() for _, remark in remarks]
    return "\n".join(rows) + "\n"


def rows_by_line(plan: Plan) -> dict[int, tuple[str, ...]]:
    """Each line of the page from which a plan was read, in standard form; a cue belongs to the line it is for.

    >>> from pacer.plan.notation.planreader import read_plan
    >>> rows_by_line(read_plan("pool: 25m\\nMain\\n2x50 kick"))
    {2: ('Main',), 3: ('  2 x 50 kick',)}
    """
    found: dict[int, tuple[str, ...]] = {}
    for section in plan.sections:
        last = 0
        for text, line in _section_rows(section, least_distance(plan.pool)):
            last = line or last
            found[last] = (*found.get(last, ()), text)
    return found


def write_line(line: SetLine) -> str:
    """A set line as text, without indentation; its own cue is at the end.

    >>> from pacer.plan.notation.planreader import read_line, pool_from_text
    >>> write_line(read_line('6 x 50 d catch-up "long" rest 15', pool_from_text("25m")).sections[0].items[0])
    '6 x 50 drill catch-up, rest 0:15 "long"'
    """
    return _set_line(line) + (f" {_cue(line.cue)}" if line.cue else "")


# ---- rows


def _header_rows(plan: Plan) -> list[str]:
    values = {
        "title": plan.title,
        "date": plan.date,
        "pool": str(plan.pool),
        "booking": "" if plan.booking_ms is None else long_text(plan.booking_ms),
        "spare": text_from_ms(plan.spare_ms) if plan.spare_ms else "",
        "focus": plan.focus,
        "revisits": plan.revisits,
        "changeover": text_from_ms(plan.changeover_ms) if plan.changeover_ms != CHANGEOVER_MS else "",
        "starts": text_from_ms(plan.starts_ms) if plan.starts_ms != STARTS_MS else "",
        "clock": text_from_ms(plan.clock_ms) if plan.clock_ms != CLOCK_MS else "",
    }
    return [f"{key}: {value}" for key, value in values.items() if value]


def _section_rows(section: Section, least: int) -> Iterator[Row]:
    if section.name:
        yield section_head(section), section.span.line if section.span else 0
    if section.cue:
        yield INDENT + _cue(section.cue), 0
    for item in section.items:
        yield from _item_rows(item, INDENT, least)


def section_head(section: Section) -> str:
    """A section's first line: `Main set, 1 to 3 rounds`."""
    details = [section.name]
    if section.rounds == Flexible(0, 1):
        details.append("if time")
    elif section.rounds != _ONCE:
        details.append(_rounds(section.rounds))
    if section.effort:
        details.append(section.effort)
    if section.for_ms is not None:
        details.append(f"for {long_text(section.for_ms)}")
    if section.at_most_ms is not None:
        details.append(f"at most {long_text(section.at_most_ms)}")
    if section.run_on:
        details.append("run on")
    return ", ".join(details)


def item_rows(item: Item, indent: str) -> list[str]:
    """The lines of a set, a break or rounds."""
    return [text for text, _ in _item_rows(item, indent, 0)]


def _item_rows(item: Item, indent: str, least: int) -> Iterator[Row]:
    """The rows of an item; a distance below `least` is never alone."""
    groups = groups_said(item.groups)
    line = item.span.line if item.span else 0
    if isinstance(item, Break):
        yield f"{indent}{groups}rest {_by_lane(item.rest_ms, text_from_ms)}", line
        if item.cue:
            yield indent + _cue(item.cue), 0
    elif isinstance(item, Group):
        yield f"{indent}{groups}{_rounds(item.rounds)}", line
        for inner in item.items:
            yield from _item_rows(inner, indent + INDENT, least)
    else:
        yield f"{indent}{groups}{_set_line(item, least)}", line
        if item.cue:
            yield indent + _cue(item.cue), 0


def groups_said(groups: tuple[str, ...]) -> str:
    """`A, B: `, `lanes 1-3, 6: `, `all but A: `; "" for an item that all lanes swim."""
    if groups and groups[0].startswith(ALL_BUT):
        return ALL_BUT + groups_said(tuple(group.removeprefix(ALL_BUT) for group in groups))
    numbers = [int(group.removeprefix("lane ")) for group in groups if group.startswith("lane ")]
    said = [group for group in groups if not group.startswith("lane ")]
    if numbers:
        said.append(f"lane{'s' if len(numbers) > 1 else ''} {', '.join(_runs(numbers))}")
    return ", ".join(said) + ": " if said else ""


def _runs(numbers: list[int]) -> Iterator[str]:
    """Numbers in order, with consecutive ones written as `1-3`."""
    numbers = sorted(numbers)
    first = last = numbers[0]
    for number in [*numbers[1:], -1]:
        if number == last + 1:
            last = number
            continue
        yield str(first) if first == last else f"{first}-{last}"
        first = last = number


def entries_by_lane(item: Item | Section) -> tuple[ByLane[str], ...]:
    """The values by lane of an item or of a section's rounds, each as written; () if they are the same for all lanes.

    >>> from pacer.plan.model import Group
    >>> entries_by_lane(Group(ByLane((3, 2)), ()))
    (ByLane(entries=('3 rounds', '2 rounds'), labels=None),)
    """
    found: list[tuple[ByLane | Flexible | None, Callable[[Any], str]]]
    if isinstance(item, Group | Section):
        found = [(item.rounds, lambda count: f"{count} round{'s' if count > 1 else ''}")]
    elif isinstance(item, Break):
        found = [(item.rest_ms, lambda ms: f"rest {text_from_ms(ms)}")]
    else:
        found = [
            (item.count, lambda count: f"{count} x"),
            (item.distance, str),
            (item.interval, lambda entry: f"on {' then '.join(map(_interval, entry))}"),
            (item.rest_ms, lambda ms: f"rest {text_from_ms(ms)}"),
            (item.hold, lambda hold: f"hold {_hold(hold)}"),
        ]
    return tuple(
        ByLane(tuple(map(text, by_lane.entries)), by_lane.labels)
        for by_lane, text in found
        if isinstance(by_lane, ByLane) and (len(by_lane.entries) > 1 or by_lane.labels)
    )


def _rounds(rounds: ByLane[int] | Flexible) -> str:
    if isinstance(rounds, Flexible):
        return f"{rounds.least} to {rounds.most} rounds"
    if rounds.labels is None and len(rounds.entries) == 1:
        return f"{rounds.entries[0]} round" + ("s" if rounds.entries[0] > 1 else "")
    return f"rounds {_by_lane(rounds, str)}"


# ---- a set line


def _set_line(line: SetLine, least: int = 0) -> str:
    words = []
    if isinstance(line.count, Flexible):
        words.append(f"{line.count.least} to {line.count.most} x")
    elif line.count is not None and (line.count != _ONCE or _said_once(line, least)):
        words.append(f"{_by_lane(line.count, str)} x")
    if line.ladder:
        words.append(" - ".join(map(str, line.ladder)))
    elif line.distance is not None:
        words.append(_by_lane(line.distance, str))
    elif line.time_ms is not None:
        words.append(text_from_ms(line.time_ms))
    words.append(_pattern(line.pattern))
    return ", ".join([" ".join(words), *_details(line)])


def _said_once(line: SetLine, least: int) -> bool:
    """Whether to write a count of one: without it, the distances would be asked about."""
    if line.distance is None or line.distance.labels:
        return False
    distances = line.distance.entries
    return up_and_down(distances) or len(distances) == 1 and distances[0] < least


def _details(line: SetLine) -> Iterator[str]:
    if line.change:
        yield f"{line.change.trend} 1-{line.change.over}"
    if line.rate:
        rate = line.rate
        yield f"rate {rate.start}" if rate.start == rate.end else f"rate {rate.start}-{rate.end}"
    if line.hold:
        yield f"hold {_by_lane(line.hold, _hold)}"
    if line.interval:
        yield f"on {_by_lane(line.interval, lambda entry: ' then '.join(map(_interval, entry)))}"
    if line.rest_ms:
        yield f"rest {_by_lane(line.rest_ms, text_from_ms)}"
    if line.apart_ms is not None:
        yield f"apart {text_from_ms(line.apart_ms)}"
    if line.gear:
        yield f"with {' and '.join(line.gear)}"


def _interval(interval: Interval) -> str:
    match interval:
        case FixedInterval(ms):
            return text_from_ms(ms)
        case BaseInterval(ms):
            return f"base+{text_from_ms(ms)}"
        case PerHundredInterval(ms):
            return f"{text_from_ms(ms)} per 100"


def _hold(hold: Hold) -> str:
    return f"base+{text_from_ms(hold.extra_ms)}" if isinstance(hold, BaseHold) else text_from_ms(hold.hold_ms)


def _pattern(pattern: Pattern) -> str:
    parts = pattern.parts
    if len(parts) == 1:
        return _part(parts[0], alone=True)
    if not pattern.cycles:
        ranges, first = [], 1
        for part in parts:
            last = first + part.count - 1
            ranges.append(f"{first if first == last else f'{first}-{last}'} {_part(part)}")
            first = last + 1
        return f"repeats {' / '.join(ranges)}"
    if [part.count for part in parts] == [1, 1]:
        return f"odd {_part(parts[0])} / even {_part(parts[1])}"
    return f"in turn {' / '.join(f'{part.count} {_part(part)}' for part in parts)}"


def _part(part: Part, alone: bool = False) -> str:
    whole = part.segments[0].distance is None
    text = " / ".join(map(_segment, part.segments))
    if whole:
        return text
    return f"as {text}" if alone else f"({text})"


def _segment(segment: Segment) -> str:
    words = [] if segment.distance is None else [str(segment.distance)]
    words.append(_work(segment.work))
    if segment.cue:
        words.append(_cue(segment.cue))
    return " ".join(words)


def _work(work: Work) -> str:
    words: list[str] = [] if work.activity is Activity.SWIM else [work.activity]
    words += [word for word in (work.name, work.stroke, work.effort) if word]
    return " ".join(words)


def _cue(cue: str) -> str:
    if '"' in cue and any(quote in cue for quote in "“„”"):
        raise ValueError(f"a cue cannot have both kinds of quotes inside: {cue}")
    return f"“{cue}”" if '"' in cue else f'"{cue}"'


def _by_lane(value: ByLane, text: Callable) -> str:
    entries = [text(entry) for entry in value.entries]
    if value.labels is not None and value.said:
        entries = [f"{label} {entry}" for label, entry in zip(value.labels, entries)]
    return " / ".join(entries)
