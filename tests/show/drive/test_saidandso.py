"""What the tablet says before a press is what is so after it: finish, metres, send-offs, who stops, who is paused.

The evenings are the same every time; `PACER_EXAMPLES=2000 python -m pytest tests/show/drive/test_saidandso.py` tries
others.
"""

import os

import pytest

from tests.show.drive.evenings import PAGES, random_timeline, timeline_of
from tests.show.drive.saidandso import evening

SEARCH = int(os.environ.get("PACER_EXAMPLES", "0"))
SEEDS = range(1_000, 1_000 + SEARCH // 10) if SEARCH else range(30)

#: Evenings on which something was said that was not so.
FOUND = {
    "a resume that lets lanes swim more in a section with a time limit": 1,
    "metres of one lane said of the lanes that stop": 3,
    "a repeat fewer while all are paused": 7,
    "a lane that is home by its times was said to stop": 12,
    "a pause of all undone: the finish comes back": 103,
    "one lane leaves while all are paused": 219,
    "the end named a lane that had nobody out": 63,
    "several groups of lanes, all of which stop": 92,
    "a lane's last set was called the new one": 14,
    "a lane waits longer also before it first leaves": 1038,
    "who goes to another lane swims home in the old one, behind its leader": 1073,
}


#: The same for other plans: a page of `evenings.PAGES`, or any plan with any squad by the evening's seed.
FOUND_ELSEWHERE = {
    "a lane that stops with nothing left to swim was not named": (None, 6058),
    "a lane was said to stop still that is home by its times": (None, 6010),
    "back to a repeat at the same send-off: its metres": (None, 6025),
    "metres of two lanes said of the one that stops": ("25 m, two lanes, too tight, far walls", 12_045),
    "a swimmer of a lane that joins another is back for their own send-off": (
        "25 yd, ten lanes, by lane, straight through",
        12_020,
    ),
    "a wait before a section counts from when the slowest are home": (
        "33 1/3 m, three lanes, for, timed repeats",
        12_075,
    ),
    "who got out does not miss the repeat": ("33 1/3 m, three lanes, for, timed repeats", 12_107),
    "a newcomer's place was taken for a swimmer at the far wall": (None, 51),
    "a pause that stops nobody did not say who swims back": ("33 1/3 m, three lanes, for, timed repeats", 28),
    "swimmers are ahead of a leader who is late": (None, 12_018),
    "who got out counts as behind the leader until the next send-off": (None, 35),
    "who comes to a paused lane was said to miss a repeat": ("33 1/3 m, three lanes, for, timed repeats", 12_008),
    "a lane that is home by its times was said to stop still, after an end": (
        "33 1/3 m, three lanes, for, timed repeats",
        1112,
    ),
    "a pause in the instant of a send-off costs a repeat": ("25 m, two lanes, too tight, far walls", 46),
    "a lane that stays paused was said to leave with those that move": (
        "25 yd, ten lanes, by lane, straight through",
        2187,
    ),
    "a count-down of more than an hour": (None, 1093),
    "a section is started while somebody has not left": ("33 1/3 m, three lanes, for, timed repeats", 6001),
}


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_said_is_so(seed):
    assert list(evening(seed)) == []


@pytest.mark.parametrize("page", list(PAGES)[1:])
@pytest.mark.parametrize("seed", SEEDS[: max(6, SEARCH // 10)])
def test_what_is_said_is_so_with_other_plans(page, seed):
    assert list(evening(seed, timeline=timeline_of(page))) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_said_is_so_with_any_plan(seed):
    timeline = random_timeline(seed)
    assert timeline is None or list(evening(seed, timeline=timeline)) == []


@pytest.mark.parametrize(("page", "seed"), FOUND_ELSEWHERE.values(), ids=FOUND_ELSEWHERE)
def test_what_was_found_with_other_plans(page, seed):
    timeline = random_timeline(seed) if page is None else timeline_of(page)
    assert timeline is not None
    assert list(evening(seed, timeline=timeline)) == []


@pytest.mark.parametrize("seed", FOUND.values(), ids=FOUND)
def test_what_was_found_before(seed):
    assert list(evening(seed)) == []
