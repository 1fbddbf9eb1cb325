"""Counts by lane with which waiting lanes fill a section: they wait less, and nobody finishes later."""

from __future__ import annotations

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from pacer.timeline.checks.fillingrepeats import filling_repeats
from pacer.timeline.summary.planned import planned


def squad(*bases, groups=()):
    paces = [Pace(base * 1000) for base in bases]
    labels = groups or [None] * len(bases)
    return Squad(
        tuple(Lane(n, pace, (Swimmer(pace),), group=label) for n, (pace, label) in enumerate(zip(paces, labels), 1))
    )


THREE = squad(80, 95, 110)


def laid(text, who=THREE):
    return planned(read_plan(f"pool: 25 m\n{text}\nSwim-down\n  200\n"), who)[0]


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("Main set\n  10 x 100 free on 1:40 / 1:55 / 2:15", "13 / 11 / 10"),
        ("Main set\n  4 x 25 kick, rest 0:20\n  10 x 100 free on 1:40 / 1:55 / 2:15", "13 / 11 / 10"),
        ("Main set\n  12 x 100 free, rest 0:20", "15 / 13 / 12"),
        ("Main set, 3 rounds\n  8 x 100 free on 1:40 / 1:55 / 2:15", "10 / 9 / 8"),
    ],
)
def test_they_fill_the_section_and_nobody_finishes_later(text, counts):
    before = laid(text)
    line, said = filling_repeats(before, 0, (0, 1))
    assert said == counts and text.split("\n")[line - 2].lstrip()[0].isdigit()
    count = text.split("\n")[line - 2].split(" x ")[0].strip()
    after = laid(text.replace(f"{count} x 100", f"{counts} x 100"))
    assert after.end_ms <= before.end_ms
    for lane in (0, 1):
        gap = [
            track.passes[-1].start_ms - max(each.end_ms for each in track.passes[:-1])
            for track in (before.tracks[lane], after.tracks[lane])
        ]
        assert gap[1] < gap[0] - 60_000


@pytest.mark.parametrize(
    "text",
    [
        "Main set\n  1500 free",  # no repeats
        "Main set\n  8 x 100 free descend 1-4 on 1:40 / 1:55 / 2:15",
        "Main set\n  8 x 50 free no breath on 1:00 / 1:10 / 1:30",  # can be dangerous: nothing is added to it
        "Main set\n  lane 1: 8 x 100 free on 1:40\n  lanes 2-3: 8 x 100 free on 2:15",
        "Main set\n  100 - 200 - 300 free, rest 0:20",
    ],
)
def test_some_sets_stay_as_they_are(text):
    assert filling_repeats(laid(text), 0, (0,)) is None


def test_each_lane_has_its_own_count():
    """No lanes share the last one, which a check asks about; of lanes A, A and B, two would be read by group."""
    text = "Main set, 3 rounds\n  4 x 100 free on 1:40 / 1:55 / 2:15\n  100 easy"
    assert filling_repeats(laid(text, squad(80, 95, 110, groups="AAB")), 0, (0, 1)) == (3, "5 / 4 / 4")
    assert filling_repeats(laid(text), 0, (0, 1)) == (3, "5 / 4 / 4")
