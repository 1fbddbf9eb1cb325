"""A set put together from keys: how often, how far, what, and how the lanes leave. No Kivy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pacer.language import tr
from pacer.plan.model import Plan, Pool
from pacer.plan.notation.planreader import read_line
from pacer.plan.problem import Unreadable
from pacer.plan.times import ms_from_text, text_from_ms
from pacer.squad.squad import Squad
from pacer.timeline.findings import CannotRun
from pacer.timeline.restlimits import LEAST_REST_MS
from pacer.timeline.rewrite.intervals import suggest
from pacer.timeline.shape import up_to

COUNTS = (1, 2, 3, 4, 6, 8, 10, 12, 16, 20)
DISTANCES = (25, 50, 75, 100, 150, 200, 300, 400)
WORKS = ("free", "back", "breast", "fly", "IM", "choice", "kick", "pull")
RESTS_MS = (10_000, 20_000, 30_000)
OWN_REST_MS = 10_000  #: the rest left by intervals of each lane's own
STEP_MS = 5_000
MOST_INTERVALS = 5
OWN = tr("no interval")  #: the name for intervals that differ by lane


@dataclass(frozen=True, slots=True)
class LineChoice:
    """What is chosen: `leave` is an interval or a rest as written (`on 1:40`, `rest 0:15`), "" for straight through."""

    count: int = 10
    distance: int = 100
    work: str = "free"
    leave: str = "rest 0:20"

    @property
    def text(self) -> str:
        """The set as text.

        >>> LineChoice(10, 100, "free", "on 1:40").text
        '10 x 100 free, on 1:40'
        """
        many = f"{self.count} x " if self.count > 1 else ""
        return f"{many}{self.distance} {self.work}" + (f", {self.leave}" if self.leave else "")

    def in_pool(self, pool: Pool) -> LineChoice:
        """The same with the nearest distance that this pool has."""
        return replace(self, distance=min(distances(pool), key=lambda distance: abs(distance - self.distance)))


def distances(pool: Pool) -> tuple[int, ...]:
    """The distances to choose from: those that are whole lengths of the pool; all of them if none is.

    >>> from fractions import Fraction
    >>> from pacer.plan.model import Unit
    >>> distances(Pool(Fraction(50), Unit.METRE))
    (50, 100, 150, 200, 300, 400)
    """
    return tuple(distance for distance in DISTANCES if distance % pool.length == 0) or DISTANCES


def leaves(choice: LineChoice, pool: Pool, squad: Squad) -> tuple[tuple[str, str], ...]:
    """Ways to leave that suit the squad's paces: as written, and as named on a key.

    First intervals for all lanes, each of which one lane more can make than the one before; then each lane's own; then
    rests.
    """
    made: list[tuple[str, str]] = []
    try:
        plan = read_line(f"2 x {choice.distance} {choice.work}", pool, squad.words)
        found = suggest(plan, squad, rest_ms=OWN_REST_MS).suggestions
    except (Unreadable, CannotRun):
        found = ()
    lanes = found[0].lanes if found else ()
    intervals = sorted({up_to(lane.swims_ms + LEAST_REST_MS, STEP_MS) for lane in lanes})
    made += [(f"on {text_from_ms(ms)}",) * 2 for ms in _spread(intervals, MOST_INTERVALS)]
    own = [text_from_ms(lane.interval_ms) for lane in lanes]
    if len(set(own)) > 1:
        made.append((f"on {' / '.join(own)}", OWN))
    made += [(f"rest {text_from_ms(ms)}",) * 2 for ms in RESTS_MS]
    return tuple(made)


def _spread(values: Sequence[int], most: int) -> list[int]:
    """At most `most` of the values, always with the first and the last."""
    if len(values) <= most:
        return list(values)
    return [values[round(place * (len(values) - 1) / (most - 1))] for place in range(most)]


def stepped(leave: str, step_ms: int) -> str:
    """An interval or rest longer by `step_ms`; one that is not a single time stays as it is.

    >>> stepped("on 1:40", 5000), stepped("rest 0:05", -5000), stepped("on 1:40 / 1:50", 5000)
    ('on 1:45', 'rest 0:05', 'on 1:40 / 1:50')
    """
    word, _, time = leave.partition(" ")
    if not time or "/" in time:
        return leave
    ms = ms_from_text(time) + step_ms
    return f"{word} {text_from_ms(ms)}" if ms >= STEP_MS else leave


def plan_of(text: str, pool: Pool, squad: Squad) -> Plan:
    """The plan of one set. Raises Unreadable."""
    return read_line(text, pool, squad.words)
