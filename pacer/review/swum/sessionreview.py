"""Everything in the review of one session, as values."""

from __future__ import annotations

from dataclasses import dataclass

from pacer.review.swum.distances import Distances, distances_of
from pacer.review.swum.leaderswims import Bar, strip_of
from pacer.review.swum.notestaken import NoteTaken, notes_taken
from pacer.review.swum.plandone import PlanDone, plan_done
from pacer.review.swum.strokework import Fall, Stroke, falls, strokes_of
from pacer.review.swum.swims import Swum, swims_of
from pacer.review.swum.timedsets import TimedSet, timed_sets
from pacer.review.swum.timespent import TimeSpent, as_counted, time_spent
from pacer.review.swum.whoswam import Person, Replayed, replayed
from pacer.session.journal.recordentries import LaneSummed, Touched, Withdrawn, standing, times_put_back
from pacer.session.records.headsandfeedback import Heads, heads, summaries
from pacer.session.records.touches import times
from pacer.session.storage.savedsession import KeptSession, Listed, Session
from pacer.squad.squad import Squad


@dataclass(frozen=True, slots=True)
class Review:
    """One session after it was swum. Lanes and sections are indexes, people are numbers; `lanes` has the numbers on the
    wall.

    `loose`: how many times belong to swims that a change has removed since. `taken`: how many times there are.
    `put_back`: the entries of times that the coach wants to count, however far off they are.
    """

    listed: Listed
    unit: str
    lanes: tuple[int, ...]
    sections: tuple[str, ...]
    people: tuple[Person, ...]
    swims: tuple[Swum, ...]
    distances: Distances
    plan: tuple[PlanDone, ...]
    sets: tuple[TimedSet, ...]
    strokes: tuple[Stroke, ...]
    falls: tuple[Fall, ...]
    spent: tuple[TimeSpent, ...]
    notes: tuple[NoteTaken, ...]
    strip: tuple[Bar, ...]
    heads: Heads
    summaries: dict[int, LaneSummed]
    taken: int
    loose: int
    squad: Squad
    replay: Replayed
    put_back: frozenset[int] = frozenset()

    def lane_number(self, lane: int) -> int:
        """The number on the wall of the lane at an index."""
        return self.lanes[lane]


def stayed_away(session: Session, review: Review) -> tuple[str, ...]:
    """The names of the absent swimmers of a session who did not come late and swim after all."""
    came = {review.people[one.who].absent for one in review.spent}
    return tuple(name for number, name in enumerate(session.absent) if number not in came)


def review_of(kept: KeptSession) -> Review:
    """The review of a session. Raises Unreadable or CannotRun if this version cannot run its plan."""
    journal = kept.journal
    put_back = times_put_back(journal)
    replay = replayed(kept)
    taken = times(journal)
    swims, loose = swims_of(replay, taken)
    counted = as_counted(swims, put_back)
    others = [(number, entry) for number, entry in standing(journal) if not isinstance(entry, Touched)]
    rest = [entry for _, entry in others if not isinstance(entry, Withdrawn)]
    strokes = strokes_of(others, swims)
    plan = replay.begun.plan
    return Review(
        kept.listed,
        str(plan.pool.unit),
        tuple(lane.number for lane in replay.begun.squad.lanes),
        tuple(section.name for section in plan.sections),
        replay.people,
        swims,
        distances_of(swims),
        plan_done(replay, swims),
        timed_sets(swims),
        strokes,
        falls(strokes, swims),
        time_spent(counted),
        notes_taken(rest, replay),
        strip_of(counted),
        heads(rest),
        summaries(rest),
        len(taken),
        len(loose),
        replay.squad,
        replay,
        put_back,
    )
