"""The effect of an offer on the next plan: send-offs, rest, rounds and the finish, set by set and lane by lane."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.model import Plan, SetLine
from pacer.plan.text.standardform import write_line
from pacer.squad.squad import Squad
from pacer.timeline.laneline import LaneLine
from pacer.timeline.summary.planned import planned
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Track


class Way(NamedTuple):
    """How a lane swims a set: the number of repeats, the first interval, and its slowest swimmer's least rest.

    Interval and rest are None if the set is swum straight through.
    """

    repeats: int
    interval_ms: int | None
    rest_ms: int | None


class SetChange(NamedTuple):
    """A set that changes for a lane. `lane` is the number on the wall, `section` its name, `line` from 1.

    `before` or `after` is None if the lane does not swim the set then.
    """

    lane: int
    section: str
    line: int
    text: str
    before: Way | None
    after: Way | None

    @property
    def send_offs(self) -> bool:
        """Whether its send-offs change."""
        return (
            self.before is None
            or self.after is None
            or (self.before.interval_ms, self.before.repeats) != (self.after.interval_ms, self.after.repeats)
        )


class PlanChange(NamedTuple):
    """The effect of another squad on a plan: the sets that change, those with new send-offs first, and the end."""

    title: str
    sets: tuple[SetChange, ...]
    end_before_ms: int
    end_after_ms: int


def plan_change(plan: Plan, before: Squad, after: Squad) -> PlanChange:
    """The changes in a plan if the squad changes. Raises CannotRun if either squad cannot swim it."""
    return change_between(planned(plan, before)[0], planned(plan, after)[0])


def change_between(old: Timeline, new: Timeline) -> PlanChange:
    """The changes from one timeline of a plan to another."""
    sets = sorted(_sets(old, new), key=lambda one: not one.send_offs)
    return PlanChange(old.plan.title, tuple(sets), old.end_ms, new.end_ms)


def _sets(old: Timeline, new: Timeline) -> Iterator[SetChange]:
    for lane, was, now in zip(old.squad.lanes, old.tracks, new.tracks):
        before, after = dict(_ways(was)), dict(_ways(now))
        for section, line in sorted(before.keys() | after.keys()):
            one, other = before.get((section, line)), after.get((section, line))
            if (one and one[0]) != (other and other[0]):
                written: SetLine = (one or other)[1].line  # type: ignore[index]
                name = old.plan.sections[section].name or tr("section {section}", section=section + 1)
                text = " ".join(write_line(written).split())
                yield SetChange(lane.number, name, line, text, one and one[0], other and other[0])


def _ways(track: Track) -> Iterator[tuple[tuple[int, int], tuple[Way, LaneLine]]]:
    """Each set that a lane swims, all its rounds together."""
    passes: dict[tuple[int, int], list[tuple[LaneLine, int]]] = {}
    for found in track.passes:
        passes.setdefault((found.section, found.laneline.number), []).append((found.laneline, found.count))
    for key, mine in passes.items():
        line = mine[0][0]
        tightest = line.tightest
        rest_ms = None if tightest is None else max(0, tightest[1] - tightest[0])
        interval_ms = None if line.own is not None else line.intervals[0]
        yield key, (Way(sum(count for _, count in mine), interval_ms, rest_ms), line)
