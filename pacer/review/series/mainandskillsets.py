"""Which section of a page is its main set, which are its skill sets, and how much is written in them."""

from __future__ import annotations

from pacer.plan.model import Activity, ByLane, Effort, Group, Item, Plan, Section, SetLine
from pacer.plan.planlines import set_lines
from pacer.review.swum.practised import inner_sections

#: How the names of what comes before and after all else begin: Warm-up, Cool-down and so on.
_ENDS = ("warm", "cool", "swim-down", "swim down")


def main_section(plan: Plan) -> int:
    """The main set's index: the section called that, else the longest between warm-up and swim-down."""
    inner = inner_sections(plan)
    names = {at: plan.sections[at].name.casefold() for at in inner}
    named = [at for at in inner if "main" in names[at]]
    others = [at for at in inner if not names[at].startswith(_ENDS)] or inner
    return (
        named[0]
        if named
        else max(others, key=lambda at: (_far(plan.sections[at].items) * most_rounds(plan.sections[at]), -at))
    )


def skill_sections(plan: Plan) -> tuple[int, ...]:
    """The indexes of the skill sets: sections called that, or with a drill or scull; not the main set or easy ones."""
    main = main_section(plan)
    return tuple(at for at in inner_sections(plan) if at != main and is_skill(plan.sections[at]))


def is_skill(section: Section) -> bool:
    """Whether a section is there to learn something."""
    name = section.name.casefold()
    if "skill" in name or "drill" in name or "technique" in name:
        return True
    return section.effort is not Effort.EASY and has_drill(section.items)


def has_drill(items: tuple[Item, ...]) -> bool:
    """Whether a drill or a scull is among these items."""
    return any(
        segment.work.activity in (Activity.DRILL, Activity.SCULL)
        for line in set_lines(items)
        for part in line.pattern.parts
        for segment in part.segments
    )


def most_rounds(section: Section | Group) -> int:
    """The most rounds that a lane swims."""
    return max(section.rounds.entries) if isinstance(section.rounds, ByLane) else section.rounds.most


def _far(items: tuple[Item, ...]) -> int:
    """The most that a lane swims of items, once through."""
    total = 0
    for item in items:
        if isinstance(item, Group):
            total += most_rounds(item) * _far(item.items)
        elif isinstance(item, SetLine):
            total += distance_of(item)
    return total


def in_turn(line: SetLine) -> bool:
    """Whether its repeats take different intervals, one after the other."""
    return line.interval is not None and any(len(entry) > 1 for entry in line.interval.entries)


def distance_of(line: SetLine) -> int:
    """The most that a lane swims of a line; for a line by time, its hundredths of a second, which is about as far."""
    if line.ladder is not None:
        return sum(line.ladder)
    count = 1 if line.count is None else most_of(line)
    return count * (max(line.distance.entries) if line.distance is not None else (line.time_ms or 0) // 1000)


def most_of(line: SetLine) -> int:
    """The most repeats that a lane swims of a line without a ladder."""
    if line.count is None:
        return 1
    return max(line.count.entries) if isinstance(line.count, ByLane) else line.count.most
