"""What the times taken predict, in words: a finish over the booking with ways to bring it back, and catches.

For the screen, so in several ways, the longest first. No Kivy.
"""

from __future__ import annotations

from collections.abc import Sequence

from pacer.language import either, tr
from pacer.plan.times import text_from_ms, whole_up
from pacer.session.journal.entries import IntervalChanged
from pacer.session.records.foretoldcatches import Foretold
from pacer.session.records.overrun import Remedy
from pacer.session.running.countchanges import line_in_hand
from pacer.session.running.runstate import Run
from pacer.show.wording.timereadings import wall_reading
from pacer.show.wording.waitingtext import named
from pacer.timeline.checks.traffic import Apart, InOrder


def finish_ways(run: Run, over_ms: int) -> tuple[str, ...]:
    """The finish by the times taken: `at this pace: finish 19:04, 0:03 over`."""
    booked, begun = run.timeline.plan.booking_ms or 0, run.begun
    if begun is None:
        return ("",)
    finish, over = wall_reading(begun.wall_ms + booked + over_ms, begun.zone), whole_up(over_ms)
    return (
        tr("at this pace: finish {finish}, {over} over", finish=finish, over=over),
        tr("finish {finish}, {over} over", finish=finish, over=over),
        tr("{over} over", over=over),
    )


def overrun_ways(run: Run, over_ms: int, found: Sequence[Remedy]) -> tuple[str, ...]:
    """That the finish runs over the booking, and what would bring it back."""
    finish, ways = finish_ways(run, over_ms), [remedy_ways(run, remedy) for remedy in found]
    if not ways:
        return finish
    same = len({remedy.press.lanes for remedy in found}) == 1
    helps = either([ways[0][0], *(short if same else full for full, short in ways[1:])])
    return (
        tr("{finish}. To fix it ({helps}), press Change, then Finish by", finish=finish[0], helps=helps),
        *(tr("{way}. Press Change, then Finish by", way=way) for way in finish[:2]),
        *finish,
    )


def catch_ways(run: Run, found: Foretold) -> tuple[str, ...]:
    """Who catches whom by the times taken: `lane 4: swimmer 2 catches the one ahead after 37 m`."""
    lane, length = named(run, [found.lane]), int(found.catch.distance)
    where = (
        tr("after {length} {unit}", length=length, unit=run.timeline.plan.pool.unit) if length else tr("straight away")
    )
    told = {"lane": lane, "swimmer": found.catch.swimmer}
    short = tr("{lane}: swimmer {swimmer} catches the one ahead", **told)
    there = tr("{lane}: swimmer {swimmer} catches the one ahead {where}", where=where, **told)
    full = tr("at this pace, {catch}", catch=there)
    if isinstance(found.help, InOrder):
        return (
            tr("{full}; send them in order of pace: {order}", full=full, order=", ".join(map(str, found.help.order))),
            full,
            there,
            short,
        )
    if isinstance(found.help, Apart):
        return (
            tr("{full}; send them {spacing} apart", full=full, spacing=text_from_ms(found.help.spacing_ms)),
            full,
            there,
            short,
        )
    return full, there, short


def remedy_ways(run: Run, remedy: Remedy) -> tuple[str, ...]:
    """What brings it back: `lane 4: rest cut by 0:05`, `lane 4: one round fewer`."""
    lanes = list(run.lanes(remedy.press.lanes))
    who = named(run, lanes)
    if isinstance(remedy.press, IntervalChanged):
        lines = [line_in_hand(run.timeline.tracks[lane], remedy.press.at_ms, ahead=True) for lane in lanes]
        now = max([max(found.laneline.intervals) for found in lines if found is not None], default=0)
        less = tr("rest cut by {time}", time=whole_up(max(0, now - remedy.press.interval_ms)))
        return f"{who}: {less}", less
    fewer = tr("one round fewer") if remedy.press.rounds else tr("one repeat fewer")
    return f"{who}: {fewer}", fewer
