"""An outlook in a sentence or two, so that a test shows at a glance what a press would do."""

from __future__ import annotations

from pacer.plan.times import text_from_ms, whole_up
from pacer.session.running.outlook import Outlook, longer


def outlook_text(told: Outlook) -> str:
    """An outlook in one or two sentences, lanes by the numbers on the wall, times from the session's zero."""
    if told.refused:
        return f"Not possible: {told.refused}."
    if not told.changes:
        return "Nothing would change."
    squad, plan = told.run.timeline.squad, told.run.timeline.plan
    groups: dict[tuple[bool, int | None, int], list[int]] = {}
    for lane in told.lanes:
        waits = told.run.timeline.tracks[lane.lane].paused_ms is not None
        groups.setdefault((waits, lane.leaves_ms, lane.distance), []).append(squad.lanes[lane.lane].number)
    rows = (
        [
            f"too tight for lane{'s' if len(told.tight) > 1 else ''} "
            f"{', '.join(str(squad.lanes[lane].number) for lane, _ in told.tight)}"
        ]
        if told.tight
        else []
    )
    rows += [
        f"{_numbers_text(numbers)} wait{'s' if len(numbers) == 1 else ''} {minutes} min longer"
        + ("" if before is None else f" before {plan.sections[before].name or 'the next section'}")
        for (minutes, before, _), numbers in longer(told).items()
    ]
    rows += [_lanes_text(numbers, *fate, str(plan.pool.unit)) for fate, numbers in groups.items()]
    rows += [
        f"{plan.sections[section].name or 'the next section'} starts at {text_from_ms(will)} instead of "
        f"{text_from_ms(was)}"
        for section, was, will in told.starts
    ]
    if told.end_ms != told.end_was_ms:
        rows.append(f"lasts {whole_up(told.end_ms)} instead of {whole_up(told.end_was_ms)}")
    return "; ".join(rows)


def _lanes_text(numbers: list[int], waits: bool, leaves_ms: int | None, distance: int, unit: str) -> str:
    """The effect on lanes with the same effect."""
    ending = "s" if len(numbers) == 1 else ""
    words = (
        f"wait{ending}"
        if waits
        else "nothing left to swim"
        if leaves_ms is None
        else f"leave{ending} at {text_from_ms(max(0, leaves_ms))}"
    )
    if distance:
        words += f", swim{ending} {abs(distance):,} {unit} {'more' if distance > 0 else 'less'}"
    return f"{_numbers_text(numbers)}: {words}"


def _numbers_text(numbers: list[int]) -> str:
    return f"{'lane' if len(numbers) == 1 else 'lanes'} {', '.join(map(str, numbers))}"
