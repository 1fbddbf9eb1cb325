"""The strip of a session as it really went: what the leaders swam, by their times where there are any."""

from __future__ import annotations

from pacer.language import tr
from pacer.review.swum.sessionreview import Review
from pacer.show.figures.figure import Bar, Figure, Spot
from pacer.show.figures.planstrip import BAR, strip_figure


def swum_strip(review: Review) -> Figure:
    """As a plan's strip; the ground of a section runs from its lane's first send-off in it to the last touch."""
    names = review.sections
    bars = [
        Bar(
            one.from_ms,
            one.until_ms,
            one.lane + BAR[0],
            one.lane + BAR[1],
            one.activity,
            tr(
                "lane {lane_number}: {activity}, {name}",
                lane_number=review.lane_number(one.lane),
                activity=one.activity,
                name=names[one.section],
            ).removesuffix(", "),
            Spot(one.lane, one.section),
        )
        for one in review.strip
    ]
    spans: dict[tuple[int, int], tuple[int, int]] = {}
    for swim in review.swims:
        if swim.swum_ms > 0:
            start, end = spans.get((swim.lane, swim.section), (swim.left_ms, 0))
            key = swim.lane, swim.section
            spans[key] = min(start, swim.left_ms), max(end, swim.left_ms + swim.swum_ms)
    grounds = [
        Bar(start, end, lane, lane + 1, "water", names[section], Spot(lane, section))
        for (lane, section), (start, end) in spans.items()
    ]
    begun = review.replay.begun
    return strip_figure(begun.plan, begun.lanes, bars, grounds)
