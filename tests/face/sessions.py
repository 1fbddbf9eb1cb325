"""Sessions for the tests of the face, put together from the plan's own values."""

from fractions import Fraction

from pacer.plan.model import ByLane, FixedInterval, Part, Pattern, Plan, Pool, Section, Segment, SetLine, Unit, Work
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from pacer.timeline.timeline import build_timeline


def line(count, distance, on=None, rest=None, cue=""):
    """`count x distance on … / …`: intervals in seconds by lane, or rest in seconds, or straight through."""
    intervals = (
        None
        if on is None
        else ByLane(tuple((FixedInterval(s * 1000),) for s in (on if isinstance(on, tuple) else (on,))))
    )
    return SetLine(
        Pattern((Part((Segment(None, Work()),)),)),
        ByLane((count,)),
        ByLane((distance,)),
        interval=intervals,
        rest_ms=None if rest is None else ByLane((rest * 1000,)),
        cue=cue,
    )


def squad(lanes=3, swimmers=2, base=80):
    """Lanes numbered from 4, each a little slower than the one before."""
    made = []
    for i in range(lanes):
        pace = Pace((base + 8 * i) * 1000)
        made.append(Lane(4 + i, pace, (Swimmer(pace),) * swimmers))
    return Squad(tuple(made))


def plan(*sections, run_on=False, booking_ms=3_600_000):
    """A plan of sections, each `(name, line, line, …)`."""
    written = tuple(Section(name, tuple(lines), run_on=run_on) for name, *lines in sections)
    return Plan(Pool(Fraction(25), Unit.METRE), written, title="Long-axis rotation 3", booking_ms=booking_ms)


def timeline(lanes=3, run_on=False):
    """Warm-up 2 x 50 on 1:10, main set 3 x 100 on 1:50 / 2:00 / 2:10 and 200 straight through, swim-down 100."""
    written = plan(
        ("Warm-up", line(2, 50, on=70)),
        ("Main set", line(3, 100, on=(110, 120, 130), cue="same roll"), line(2, 100)),
        ("Swim-down", line(1, 100, rest=10)),
        run_on=run_on,
    )
    return build_timeline(written, squad(lanes))
