"""Times, stroke rates and notes of a session that is the same as another one, from another tablet, joined into it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from pacer.plan.problem import Unreadable
from pacer.review.enter.enteredtimes import keep
from pacer.review.swum.sessionreview import Review, review_of
from pacer.review.swum.swims import Swum
from pacer.review.swum.whoswam import Person
from pacer.session.journal.recordentries import (
    OTHER_TABLET,
    LengthCounted,
    Noted,
    PutBack,
    Rated,
    Touched,
    Withdrawn,
    standing,
)
from pacer.session.storage.savedsession import KeptSession
from pacer.session.storage.store import Store
from pacer.timeline.findings import CannotRun


class Joined(NamedTuple):
    """How many times, notes and stroke rates were added; how many times of the other one differ from those here.

    `numbers` are the new entries' numbers in the journal.
    """

    times: int = 0
    notes: int = 0
    differ: int = 0
    numbers: tuple[int, ...] = ()
    rates: int = 0


def join(store: Store, number: int, other: int) -> Joined:
    """Add to session `number` the times, stroke rates and notes of session `other` that it lacks.

    A time that was put back there counts here too. Nothing is added if this version cannot run one of them.

    Raises StoreTrouble.
    """
    here, there = store.session(number), store.session(other)
    try:
        mine, its = review_of(here), review_of(there)
        people = _same_people(mine.people, its.people)
        rates = _rates(mine, its, people, here, there)
        first = len(here.lines) + 1
        times, back, differ = _times(mine, its, people, here.lines[-1].entry.at_ms, first + len(rates))
    except (Unreadable, CannotRun):
        return Joined()
    notes = _notes(here, there)
    entries: list[Touched | Noted | Rated | LengthCounted | PutBack] = [*rates, *times, *notes, *back]
    if entries:
        # The same time on every tablet that joins the two, so that the result is the same session there.
        keep(store, here, entries, max(here.lines[-1].wall_ms, there.lines[-1].wall_ms) + 1)
    return Joined(len(times), len(notes), differ, tuple(range(first, first + len(entries))), len(rates))


def part(store: Store, number: int, entries: Sequence[int]) -> None:
    """Undo a `join` that added these entries to a session. Raises StoreTrouble."""
    kept = store.session(number)
    last = kept.lines[-1]
    keep(store, kept, [Withdrawn(last.entry.at_ms, entry) for entry in entries], last.wall_ms + 1)


def _times(
    here: Review, there: Review, people: Mapping[int, int], at_ms: int, first: int
) -> tuple[list[Touched], list[PutBack], int]:
    """The times that are there and not here, as entries of here with numbers from `first` on; those put back there and
    not here; how many times are in both and differ."""
    swims = _by_place(here)
    made: list[Touched] = []
    back, differ = [], 0
    for one in there.swims:
        mine = _same_swim(one, swims, people)
        if one.time_ms is None or mine is None or mine.shape.distance != one.shape.distance:
            continue
        if mine.time_ms is None:
            place = (mine.lane, mine.place, mine.section, mine.round, mine.line, mine.repeat, mine.left_ms)
            source = one.source or OTHER_TABLET
            if one.entry in there.put_back:
                back.append(PutBack(at_ms, first + len(made)))
            made.append(Touched(at_ms, *place, one.time_ms // 10, source=source, bound_ms=one.bound_ms))
        elif mine.time_ms != one.time_ms:
            differ += 1
        elif one.entry in there.put_back and mine.entry not in here.put_back:
            back.append(PutBack(at_ms, mine.entry))
    return made, back, differ


def _rates(
    here: Review, there: Review, people: Mapping[int, int], mine: KeptSession, its: KeptSession
) -> list[Rated | LengthCounted]:
    """The stroke rates and counted lengths that are there and not here, at the same moment of the same swim."""
    swims = _by_place(here)
    known = {_place_free(entry) for _, entry in standing(mine.journal) if isinstance(entry, Rated | LengthCounted)}
    taken = dict(standing(its.journal))
    made = []
    for stroke in there.strokes:
        entry, there_swim = taken[stroke.entry], stroke.swim
        swim = None if there_swim is None else _same_swim(there_swim, swims, people)
        if not isinstance(entry, Rated | LengthCounted) or there_swim is None or swim is None:
            continue
        at_ms = entry.at_ms + swim.left_ms - there_swim.left_ms
        one = replace(entry, at_ms=at_ms, lane=swim.lane, swimmer=None if entry.swimmer is None else swim.place)
        if isinstance(one, Rated):
            one = replace(one, source=one.source or OTHER_TABLET, act=None)
        if _place_free(one) not in known:
            made.append(one)
    return made


def _place_free(entry: Rated | LengthCounted) -> Rated | LengthCounted:
    """An entry without what differs between two tablets."""
    return replace(entry, source="", act=None, bound_ms=None) if isinstance(entry, Rated) else entry


def _by_place(review: Review) -> dict[tuple[int, ...], Swum]:
    return {(swim.section, swim.line, swim.round, swim.repeat, swim.who): swim for swim in review.swims}


def _same_swim(one: Swum, swims: Mapping[tuple[int, ...], Swum], people: Mapping[int, int]) -> Swum | None:
    """The swim here that a swim there is."""
    return swims.get((one.section, one.line, one.round, one.repeat, people.get(one.who, -1)))


def _same_people(here: Sequence[Person], there: Sequence[Person]) -> dict[int, int]:
    """The number here of each swimmer there: by name, else by lane and place if the lane has as many swimmers."""
    names = Counter(person.name for person in here if person.name)
    by_name = {person.name: person.number for person in here if names[person.name] == 1}
    heads, theirs = (Counter(person.lane for person in people) for people in (here, there))
    by_place = {(person.lane, person.place): person for person in here if heads[person.lane] == theirs[person.lane]}
    made = {}
    for person in there:
        same = by_place.get((person.lane, person.place))
        if person.name in by_name:
            made[person.number] = by_name[person.name]
        elif same is not None and not (same.name and person.name):
            made[person.number] = same.number
    return made


def _notes(here: KeptSession, there: KeptSession) -> list[Noted]:
    """The notes that are there and not here."""
    at_ms = here.lines[-1].entry.at_ms
    known = [replace(entry, at_ms=0) for _, entry in standing(here.journal) if isinstance(entry, Noted)]
    made = [replace(entry, at_ms=0) for _, entry in standing(there.journal) if isinstance(entry, Noted)]
    return [replace(entry, at_ms=at_ms) for entry in made if entry not in known and entry.text]
