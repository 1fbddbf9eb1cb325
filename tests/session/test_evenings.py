"""Random evenings with every kind of change: what must hold for any presses."""

import random

import pytest

from pacer.session.journal.entries import (
    LaneJoined,
    LeftLate,
    LineLeftOut,
    LinePutIn,
    Missed,
    Moved,
    Paused,
    Refitted,
    Resumed,
    SectionSet,
    Stopped,
    SwimmerJoined,
    TakenBack,
)
from pacer.session.running.instant import State, lane_state
from pacer.session.running.lateandmissed import GRACE_MS
from pacer.session.running.replay import fresh, replay
from pacer.session.running.whereabouts import crew, places
from tests.session.deck import PLAN, SQUAD, evening
from tests.session.pages import check, session

SEEDS = range(30)
TIMELINE = session(PLAN, SQUAD)


def pressed(seed, length=40):
    """`(run before, entry, run after)` for each press."""
    run = fresh(TIMELINE)
    for entry, then in evening(random.Random(seed), run, length, steering=1.0):
        yield run, entry, then
        run = then


def about(entry, run):
    """The lanes of an entry."""
    if isinstance(entry, Stopped | Refitted):
        return set(run.lanes(None))
    named = {getattr(entry, name) for name in ("lane", "to_lane") if hasattr(entry, name)}
    return named or set(run.lanes(entry.lanes))


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_behind_stays(seed):
    """No press changes a past send-off, except one just now that a lane leaves late on or misses."""
    for before, entry, after in pressed(seed):
        if isinstance(entry, TakenBack):
            continue
        for old, new in zip(before.timeline.tracks, after.timeline.tracks):
            now = entry.at_ms if old.paused_ms is None else min(entry.at_ms, old.paused_ms)
            by = now - GRACE_MS if isinstance(entry, LeftLate | Missed) else now
            behind = [at for at in old.sendoffs if at <= by]
            assert new.sendoffs[: len(behind)] == behind


@pytest.mark.parametrize("seed", SEEDS)
def test_nobody_else_waits(seed):
    """While other lanes swim, a change for some lanes changes neither the others nor the common starts."""
    seen = 0
    for before, entry, after in pressed(seed):
        if isinstance(entry, TakenBack | Paused | Stopped):
            continue
        lanes = about(entry, before)
        others = [
            i
            for i, track in enumerate(before.timeline.tracks)
            if i not in lanes and track.paused_ms is None and entry.at_ms < track.end_ms
        ]
        for lane in others:
            assert after.timeline.tracks[lane] is before.timeline.tracks[lane]
            seen += 1
        if others:
            assert after.timeline.gates == before.timeline.gates
    assert seen or seed not in (0, 1, 2)


@pytest.mark.parametrize("seed", SEEDS)
def test_nobody_leaves_before_the_mark_that_was_shown(seed):
    for before, entry, after in pressed(seed):
        if not isinstance(entry, Resumed | Moved | SectionSet | LaneJoined):
            continue
        for lane in about(entry, before):
            old, new = before.timeline.tracks[lane], after.timeline.tracks[lane]
            if new.paused_ms is not None or new is old:
                continue
            now = entry.at_ms if old.paused_ms is None else min(entry.at_ms, old.paused_ms)
            ahead = [at for at in new.sendoffs if at > now]
            if isinstance(entry, SectionSet):
                firsts = [p.start_ms for p in new.passes if p.section >= entry.section and p.start_ms > now]
                assert all(at >= entry.leave_ms for at in firsts)
            else:
                assert all(at >= entry.leave_ms for at in ahead)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_paused_lane_does_not_leave_and_starts_no_section_early(seed):
    for _, entry, after in pressed(seed):
        check(after.timeline)
        for lane, track in enumerate(after.timeline.tracks):
            events = after.timeline.events(lane)
            sent = [e.at_ms for e in events if e.kind == "send-off"]
            assert sent == sorted(sent)
            if track.paused_ms is not None:
                assert not sent or sent[-1] <= track.paused_ms
                assert lane_state(track, max(entry.at_ms, track.paused_ms)).state is State.PAUSED
            for swimmer in range(1, 6):
                under_way = 0
                for event in events:
                    under_way += (event.kind == "send-off") - (event.kind == "touch") if event.swimmer == swimmer else 0
                    assert under_way >= 0, "nobody touches without having left"


@pytest.mark.parametrize("seed", SEEDS)
def test_undone_one_by_one_to_the_beginning(seed):
    runs = [fresh(TIMELINE)]
    for entry, run in evening(random.Random(seed), runs[0], 20, steering=1.0):
        if not isinstance(entry, TakenBack):
            runs.append(run)
        elif len(runs) > 1:
            runs.pop()
            assert run.timeline is runs[-1].timeline and run.course is runs[-1].course
        for stage, back in zip(reversed(runs), _backwards(run)):
            assert back.timeline is stage.timeline and back.stopped == stage.stopped and back.out_ms == stage.out_ms


def _backwards(run):
    while run is not None:
        yield run
        run = run.before


@pytest.mark.parametrize("seed", SEEDS)
def test_the_journal_alone_gives_the_same(seed):
    steps = list(pressed(seed))
    again = replay(session(PLAN, SQUAD), [entry for _, entry, _ in steps])
    last = steps[-1][2]
    assert [t.sendoffs for t in again.timeline.tracks] == [t.sendoffs for t in last.timeline.tracks]
    assert (again.paused(), again.stopped, again.timeline.gates) == (last.paused(), last.stopped, last.timeline.gates)
    assert again.timeline.squad == last.timeline.squad


@pytest.mark.parametrize("seed", SEEDS)
def test_every_instant_can_be_asked_for(seed):
    rng = random.Random(seed)
    for _, entry, after in pressed(seed, 25):
        for at_ms in (entry.at_ms, entry.at_ms + rng.randrange(200_000), rng.randrange(-20_000, 4_000_000)):
            for lane, track in enumerate(after.timeline.tracks):
                found = lane_state(track, at_ms)
                if found.upcoming >= 0:
                    assert track.sendoffs[found.upcoming] - at_ms == found.leaves_in_ms >= 0
                where = places(after.timeline, lane, at_ms)
                who = crew(after.timeline, lane, at_ms)
                assert len(where) == len(who) == len(set(who))
                assert set(who) >= {swimmer.number for swimmer in after.timeline.squad.lanes[lane].swimmers}
                assert all(0 <= place.along <= 1000 for place in where)


def test_all_kinds_are_pressed():
    kinds = {type(entry) for seed in SEEDS for _, entry, _ in pressed(seed)}
    assert len(kinds) >= 16 and {SwimmerJoined, LinePutIn, LineLeftOut} <= kinds
