"""Bounds that keep the fit from trying the hopeless: how early a lane can start a section, how much must follow it.

They are lower bounds, from the least that each lane has to swim, without rounding up to `starts` and
`clock`. They do not change the fit's answer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.plan.model import Plan


class Bounds:
    """Bounds for `lanes` lanes, by place. `least(section, place)` is the shortest time that a lane has to swim
    there, None if it can leave the section out; `optional[section]`: all lanes can.

    `starts[section][place]` is the earliest start of a section, and `after[section][place]` the least
    time from the lane's last touch in it to the session's end. Before section `first` lanes may be
    anywhere: their bound is only `begin_ms`.
    """

    __slots__ = ("after", "starts")

    def __init__(
        self,
        plan: Plan,
        lanes: int,
        least: Callable[[int, int], int | None],
        optional: Sequence[bool],
        first: int,
        begin_ms: int,
    ):
        count, places = len(plan.sections), range(lanes)
        needs = {section: [least(section, place) for place in places] for section in range(first, count)}
        self.starts = [[begin_ms] * lanes for _ in range(min(first, count) + 1)]
        for number in range(first, count):
            swum = [
                start if takes is None else start + takes + plan.changeover_ms
                for start, takes in zip(self.starts[-1], needs[number])
            ]
            self.starts.append([max(swum)] * lanes if _together(plan, optional, number) else swum)
        self.after = [[0] * lanes for _ in range(count)]
        follows = [0] * lanes  # from a lane's start of the section to the end
        for number in range(count - 1, first - 1, -1):
            rest = [max(follows)] * lanes if _together(plan, optional, number) else follows
            self.after[number] = [plan.changeover_ms + more if more else 0 for more in rest]
            follows = [
                max(0, more - plan.clock_ms) if takes is None else takes + later
                for takes, more, later in zip(needs[number], rest, self.after[number])
            ]


def _together(plan: Plan, optional: Sequence[bool], number: int) -> bool:
    """Whether a common start follows the section for every choice of counts."""
    return not plan.sections[number].run_on and not optional[number]
