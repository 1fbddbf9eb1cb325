"""How far a session can be swum at the very most, told without a search.

What is missed at most where a search was cut short.

Each lane by itself, as if it never waited for another: a section's distance grows with its time by no more than its
best repeat allows, and the time goes to where it brings the most.
"""

from __future__ import annotations

from pacer.plan.model import MAX_SESSION_MS
from pacer.timeline.fit.ceiling import Ceiling
from pacer.timeline.fit.choices import Choices


def missed_said(missed: int, unit: str) -> str:
    """That a choice may not be the best, and what it misses at most."""
    if not missed:
        return "nothing swims farther; too many choices to check whether it could take less time"
    return (
        "there is too much to choose from to try it all: this is the best that was found; "
        f"any other swims {missed:,} {unit} more at the most"
    )


def at_most(choices: Choices) -> int:
    """A distance, summed over swimmers, that no choice exceeds."""
    total = 0
    for lane, members in choices.together.items():
        total += _lane_at_most(choices, lane) * sum([len(choices.squad.lanes[member].swimmers) for member in members])
    return total


def _lane_at_most(choices: Choices, lane: int) -> int:
    entry, plan = choices.entries.get(lane), choices.plan
    first, begin_ms = (0, 0) if entry is None else (entry.section, entry.at_ms)
    points = [_points(choices, section, lane) for section in range(first, len(plan.sections))]
    if not points:
        return 0
    ceiling = Ceiling(points, choices.limit_ms, plan.changeover_ms)
    # Where not even the least is sure to fit, as if there were all the time that the least takes.
    return max(ceiling.most(0, begin_ms), sum([least[0][1] for least in points]))


def _points(choices: Choices, section: int, lane: int) -> list[tuple[int, int]]:
    """Time with the changeover behind it, and the most that is swum in it, between which and beyond which nothing is
    better.
    """
    written, changeover = choices.plan.sections[section], choices.plan.changeover_ms
    repeats, most = choices.repeats(section, lane)
    if not repeats:
        return [(0, 0)]
    rate, longest = max([distance / max(1, takes) for distance, takes in repeats]), max([each for each, _ in repeats])
    allowed = min(choices.limit_ms, written.for_ms or written.at_most_ms or MAX_SESSION_MS)
    farthest = int(rate * allowed) + 1 + longest
    if most is not None:
        farthest = min(farthest, most)
    entry = choices.entries.get(lane)
    least_ms = 0 if entry is not None and entry.section == section else choices.least_ms(section, lane)
    begun = min(farthest, int(rate * (least_ms or 0)) + 1 + longest)
    points = [((least_ms or 0) + changeover, begun)]
    if farthest > begun and rate:
        points.append((points[0][0] + int((farthest - begun) / rate) + 1, farthest))
        # rounded to the flatter side above, so let the distance be reached a little sooner
        points[-1] = (max(points[0][0] + 1, points[-1][0] - 2), farthest)
    return points if least_ms is not None or points[0][0] == 0 else [(0, 0), *points]
