"""An upper bound on the distance of a session, worked out without a search.

It says how much a search that was cut short may have missed.

Each lane counts by itself, as if it never waited for another: a section's distance grows with its time no faster than
its best repeat allows, and the time is spent where it brings the most distance.
"""

from __future__ import annotations

from pacer.language import tr
from pacer.plan.model import MAX_SESSION_MS
from pacer.timeline.fit.choices import Choices
from pacer.timeline.fit.pruningbydistance import MostAhead


def missed_said(missed: int, unit: str) -> str:
    """A sentence that a choice may not be the best, with the most that it can miss."""
    if not missed:
        return tr("no other choice gives more distance; one may finish sooner")
    return tr(
        "there are too many choices to try them all: this is the best found so far; another could add "
        "at most {missed:,} {unit}",
        missed=missed,
        unit=unit,
    )


def at_most(choices: Choices) -> int:
    """An upper bound on the distance of any choice, summed over swimmers."""
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
    ceiling = MostAhead(points, choices.limit_ms, plan.changeover_ms)
    # If not even the least is sure to fit, count as if there were enough time for it.
    return max(ceiling.most(0, begin_ms), sum([least[0][1] for least in points]))


def _points(choices: Choices, section: int, lane: int) -> list[tuple[int, int]]:
    """Times, each with the changeover after it, and the most that is swum in them.

    Straight lines between these points, and beyond the last, are never below what can be swum.
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
        # the slope above was rounded down, so let the distance be reached a little sooner
        points[-1] = (max(points[0][0] + 1, points[-1][0] - 2), farthest)
    return points if least_ms is not None or points[0][0] == 0 else [(0, 0), *points]
