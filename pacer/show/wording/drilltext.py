"""Drills in words: what is read out to swimmers, what the coach looks for, and a drill in full."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pacer.language import tr
from pacer.plan.library.drillbook import Drill, DrillBook
from pacer.review.alignedrows import aligned


def how_said(drill: Drill, several: bool = False) -> str:
    """How a drill is swum, in a line; with its name if there are several.

    >>> how_said(Drill("catch-up", "One hand waits."), True)
    'catch-up: One hand waits.'
    """
    return f"{drill.name}: {drill.how}" if several else drill.how


def hows(drills: Iterable[Drill]) -> tuple[str, ...]:
    """The same for the drills of a set."""
    found = tuple(dict.fromkeys(drills))
    return tuple(how_said(drill, len(found) > 1) for drill in found)


def coach_lines(drill: Drill) -> Iterator[str]:
    """What a coach's sheet says about a drill besides how it is swum."""
    if drill.look_for:
        yield tr("look for: {look_for}", look_for="; ".join(drill.look_for))
    if drill.faults:
        yield tr("common faults: {faults}", faults="; ".join(drill.faults))


def drill_text(drill: Drill) -> str:
    """A drill in full."""
    rows = [drill.name]
    if drill.also:
        rows.append("  " + tr("also: {also}", also=", ".join(drill.also)))
    if drill.focus:
        rows.append("  " + tr("for: {focus}", focus=drill.focus))
    rows.append("  " + tr("how: {how}", how=drill.how))
    rows += ["  " + tr("look for: {one}", one=one) for one in drill.look_for]
    rows += ["  " + tr("common fault: {one}", one=one) for one in drill.faults]
    if drill.gear:
        rows.append("  " + tr("gear: {gear}", gear=", ".join(drill.gear)))
    rows += [f"  {key}: {name}" for key, name in (("easier", drill.easier), ("harder", drill.harder)) if name]
    return "\n".join(rows)


def book_text(book: DrillBook) -> str:
    """The whole book: each drill by its name and what it is for."""
    return "\n".join(aligned([(drill.name, drill.focus) for drill in book.drills], left=(0, 1)))
