"""Lanes that are done long before the last one, though there is time for more."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.language import tr, tr_n
from pacer.plan.times import whole_down, whole_up
from pacer.timeline.checks.fillingrepeats import filling_repeats
from pacer.timeline.findings import Finding, Remedy, Severity
from pacer.timeline.timeline import Timeline

#: Lanes that end within this of the last one count as done with it. Our own choice; common practice, no source.
EARLY_MS = 600_000


def done_early(timeline: Timeline) -> Iterator[Finding]:
    """Lanes that end more than `EARLY_MS` before the last one, with the repeats that fill their time."""
    last_ms = timeline.end_ms
    early = [lane for lane, track in enumerate(timeline.tracks) if last_ms - track.end_ms > EARLY_MS]
    if not early:
        return
    first = min(early, key=lambda lane: timeline.tracks[lane].end_ms)
    end_ms = timeline.tracks[first].end_ms
    others = [lane for lane, track in enumerate(timeline.tracks) if track.end_ms < last_ms]
    more = _more(timeline, first, others)
    yield Finding(
        Severity.CARE,
        more[0] if more else None,
        tuple(timeline.lanes[lane].number for lane in early),
        tr_n(
            "done at {end}, {before} before the last lane: could swim more",
            "done from {end} on, up to {before} before the last lane: could swim more",
            len(early),
            end=whole_up(end_ms),
            before=whole_down(last_ms - end_ms),
        ),
        tr("give these lanes more rounds or repeats"),
        (Remedy("counts", more[1], 0),) if more else (),
    )


def _more(timeline: Timeline, first: int, lanes: list[int]) -> tuple[int, str] | None:
    """A line of the page and its counts by lane: of the section that the first lane is longest in and that can grow."""
    passes = timeline.tracks[first].passes
    spent = {each.section: 0 for each in passes}
    for each in passes:
        spent[each.section] += each.laneline.takes_ms
    found = (filling_repeats(timeline, section, lanes) for section in sorted(spent, key=lambda at: -spent[at]))
    return next((each for each in found if each is not None), None)
