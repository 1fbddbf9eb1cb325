"""Check whether swimmers can make their send-offs, and read them off the clock."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.language import either, tr
from pacer.plan.model import FixedInterval, PerHundredInterval
from pacer.plan.times import text_from_ms, whole_up
from pacer.timeline.checks.gathering import by_lanes, each_line, page_line
from pacer.timeline.findings import Finding, Remedy, Severity, Tight
from pacer.timeline.laneline import LaneLine
from pacer.timeline.restlimits import LEAST_REST_MS
from pacer.timeline.shape import up_to
from pacer.timeline.timeline import Timeline


def too_tight(timeline: Timeline) -> Iterator[Finding]:
    """Predicted times that exceed their interval, and rests under LEAST_REST_MS."""

    def told():
        for lane, line in each_line(timeline):
            if line.line.interval is None or line.judged is None:
                continue
            slow, interval, repeat = line.judged
            if slow > interval - LEAST_REST_MS:
                clock = timeline.plan.clock_ms
                which = _quickest(line, repeat) if line.line.change else ""
                yield (
                    lane,
                    line.line,
                    (slow > interval, slow, interval, up_to(slow, clock), up_to(slow + LEAST_REST_MS, clock), which),
                )

    for line, (impossible, slow, interval, makes, rests, which), lanes in by_lanes(timeline, told()):
        if which:
            yield Finding(
                Severity.WRONG,
                page_line(line),
                lanes,
                tr(
                    "too tight: even the slowest swimmer's fastest repeat ({which}) takes {slow}, on {interval}",
                    which=which,
                    slow=whole_up(slow),
                    interval=whole_up(interval),
                )
                if impossible
                else tr(
                    "{rest} s rest at most: the slowest swimmer's fastest repeat ({which}) takes {slow}, on {interval}",
                    rest=(interval - slow) // 1000,
                    which=which,
                    slow=whole_up(slow),
                    interval=whole_up(interval),
                ),
                tr(
                    "on {interval} gives that repeat {rest} s rest",
                    interval=text_from_ms(rests),
                    rest=(rests - slow) // 1000,
                ),
                (Remedy("on", rests),),
            )
        elif impossible:
            yield Finding(
                Severity.WRONG,
                page_line(line),
                lanes,
                tight_said(whole_up(slow), interval),
                tr(
                    "nearest that works: on {makes}; with rest: on {rests}",
                    makes=text_from_ms(makes),
                    rests=text_from_ms(rests),
                ),
                (Remedy("on", rests), Remedy("on", makes)),
                tight=Tight(slow, interval),
            )
        else:
            rest = max(0, interval - slow) // 1000
            yield Finding(
                Severity.WRONG,
                page_line(line),
                lanes,
                tr(
                    "gives the slowest swimmer {rest} s rest ({slow} on {interval})",
                    rest=rest,
                    slow=whole_up(slow),
                    interval=whole_up(interval),
                ),
                tr("on {interval} gives {rest} s rest", interval=text_from_ms(rests), rest=(rests - slow) // 1000),
                (Remedy("on", rests),),
            )


def tight_said(slow: str, interval_ms: int) -> str:
    """The message for an interval that the slowest swimmer can't make, who needs `slow`: one time, or one by lane."""
    return tr(
        "too tight: the slowest swimmer needs {slow}, but has to leave every {interval}",
        slow=slow,
        interval=whole_up(interval_ms),
    )


def _quickest(line: LaneLine, repeat: int) -> str:
    """The fastest repeat of a set that descends or ascends: `repeat 6`, or `repeat 4 of each 4`."""
    change = line.line.change
    over = change.over if change else 1
    number = (repeat - 1) % over + 1
    if line.count <= over:
        return tr("repeat {repeat}", repeat=number)
    return tr("repeat {repeat} of each {over}", repeat=number, over=over)


def faster_than_meant(timeline: Timeline) -> Iterator[Finding]:
    """Sets that descend or ascend on an interval that can be made, but is too tight for their steady repeats."""

    def told():
        for lane, line in each_line(timeline):
            if line.line.interval is None or not line.line.change or line.judged is None or line.tightest is None:
                continue
            slow, interval = line.tightest
            if slow > interval - LEAST_REST_MS and line.judged[0] <= line.judged[1] - LEAST_REST_MS:
                yield lane, line.line, (slow, interval)

    for line, (slow, interval), lanes in by_lanes(timeline, told()):
        yield Finding(
            Severity.REMARK,
            page_line(line),
            lanes,
            tr(
                "no rest after a steady first repeat ({slow} on {interval})",
                slow=whole_up(slow),
                interval=whole_up(interval),
            )
            if slow >= interval
            else tr(
                "only {rest} s rest after a steady first repeat ({slow} on {interval})",
                rest=(interval - slow) // 1000,
                slow=whole_up(slow),
                interval=whole_up(interval),
            ),
            tr(
                "on {interval} leaves time for a steady start",
                interval=text_from_ms(up_to(slow + LEAST_REST_MS, timeline.plan.clock_ms)),
            ),
        )


def off_the_clock(timeline: Timeline) -> Iterator[Finding]:
    """Intervals whose send-offs are not on the clock's marks."""
    clock = timeline.plan.clock_ms

    def told():
        for lane, line in each_line(timeline):
            if line.line.interval is None:
                continue
            kinds = {type(i) for entry in line.line.interval.entries for i in entry}
            if kinds & {FixedInterval, PerHundredInterval}:
                for interval in dict.fromkeys(line.intervals):
                    if interval % clock:
                        yield lane, line.line, (interval,)

    for line, (interval,), lanes in by_lanes(timeline, told()):
        below, above = interval // clock * clock, up_to(interval, clock)
        marks = [text_from_ms(mark) for mark in (above, below) if mark]
        yield Finding(
            Severity.REMARK,
            page_line(line),
            lanes,
            tr(
                "swimmers can't read “every {interval}” off the clock: its marks are {clock} apart",
                interval=text_from_ms(interval),
                clock=text_from_ms(clock),
            ),
            f"on {either(marks)}",
            tuple(Remedy("on", mark) for mark in (above, below) if mark),
        )
