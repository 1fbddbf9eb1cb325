"""Every swimmer is drawn in one lane, and nobody jumps when somebody comes, goes or changes lanes in mid-swim."""

from __future__ import annotations

import pytest

from pacer.show.view.instantview import pool_view, reader_of
from pacer.show.view.swimmerplaces import AWAY
from tests.session.test_evenings import pressed


def drawn(run, at_ms):
    """Where each swimmer is drawn, by number: lanes (indexes) and places."""
    made = {}
    reader = reader_of(run.timeline, run.course)
    for lane, band in enumerate(pool_view(run, at_ms).bands):
        for number, place in zip(reader.lanes[lane].ways.who, band.places):
            if place != AWAY:
                made.setdefault(number, []).append((lane, place))
    return made


@pytest.mark.parametrize("seed", range(30))
def test_everybody_is_drawn_once(seed):
    for _, entry, after in pressed(seed, 40):
        if after.ended_ms is not None:
            break
        here = {one.number for lane in after.timeline.squad.lanes for one in lane.swimmers}
        for at_ms in (entry.at_ms, *range(entry.at_ms + 700, entry.at_ms + 90_000, 7_300)):
            found = drawn(after, at_ms)
            assert here <= found.keys(), (entry, at_ms)
            assert all(len(places) == 1 for places in found.values()), (entry, at_ms, found)
            out = found.keys() - here
            assert all(found[number][0][1] >= 0 for number in out), (entry, at_ms, "who got out stands at no wall")


@pytest.mark.parametrize("seed", range(30))
def test_nobody_jumps_at_a_press(seed):
    for before, entry, after in pressed(seed, 40):
        if after.ended_ms is not None or before.ended_ms is not None:
            break
        was, now = drawn(before, entry.at_ms), drawn(after, entry.at_ms)
        for number in was.keys() & now.keys():
            (old, there), (new, here) = was[number][0], now[number][0]
            if there >= 0 or here >= 0:
                assert (old, pytest.approx(there)) == (new, here), (entry, number)
