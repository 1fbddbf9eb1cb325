"""What the tablet says before a press is what is so after it: finish, metres, send-offs, who stops, who is paused.

The evenings are the same every time; `PACER_EXAMPLES=2000 python -m pytest tests/show/drive/test_saidandso.py` tries
others.
"""

import os

import pytest

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
}


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_said_is_so(seed):
    assert list(evening(seed)) == []


@pytest.mark.parametrize("seed", FOUND.values(), ids=FOUND)
def test_what_was_found_before(seed):
    assert list(evening(seed)) == []
