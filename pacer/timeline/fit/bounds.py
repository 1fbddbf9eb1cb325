"""How early a lane can start a section and how much must follow it: what keeps the fit from trying the hopeless.

Lower bounds only, by what each lane has to swim at the least; rounding up to `starts` and `clock`
is left out. The fit is as exact with them as without.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.plan.model import Plan


class Bounds:
    """For `lanes` lanes, by place. `least(section, place)` is the shortest that a lane has to swim there,
    None where it can leave the section out; `optional[section]`: all can.

    `starts[section][place]` is the earliest start of a section and `after[section][place]` the least
    time from the lane's last touch in it to the session's end. Before section `first` lanes may be
    anywhere: nothing is claimed but that it is `begin_ms` or later.
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
    """Whether a common start follows the section whatever is chosen."""
    return not plan.sections[number].run_on and not optional[number]
