"""Rounds on a coach's page: what opens and closes them, and what is said of all their sets."""

from __future__ import annotations

import pytest

from pacer.plan.layout.roundsaid import headed_rounds, rounds_said
from tests.plan.pasted.pagereading import read


@pytest.mark.parametrize(
    ("page", "plan"),
    [
        (  # gear of all sets, where they have none of their own
            "3 RDS  w/ fins + paddles\n   4x25 fast\n   150 ez with snorkel\n200 back",
            "  3 rounds\n    4 x 25 free fast, with fins and paddles\n    150 free easy, with snorkel\n  200 back\n",
        ),
        (  # their rest below says that they are below, too
            "6 x 50 kick\n3 rds\n4 x 25\n100 ez\n1 min btw rds\nsd 200",
            "  6 x 50 kick\n  3 rounds\n    4 x 25 free\n    100 free easy\n    rest 1:00\n\nsd\n  200 free\n",
        ),
        (  # `twice`, and what says so once more
            "Main thing. Do all this twice:\n  4 x 50\n  2 x 100 IM\n  1 minute rest then again\n8 x 25",
            "Main thing\n  2 rounds\n    4 x 50 free\n    2 x 100 IM\n    rest 1:00\n  8 x 25 free\n",
        ),
        ("All twice:\n  4 x 50\n  100 IM\n100 fly", "  2 rounds\n    4 x 50 free\n    100 IM\n  100 fly\n"),
        (
            "Main set. Swim this 3 times\n  200 free\n  100 IM\n100 fly",
            "Main set\n  3 rounds\n    200 free\n    100 IM\n  100 fly\n",
        ),
        ("Set 1 (do twice)\n100 IM\n50 fly", "Set 1, 2 rounds\n  100 IM\n  50 fly\n"),
        (  # the rest between rounds in words
            "Main, x2 with a minute between\n  200 free\n  100 IM\n100 fly",
            "Main\n  2 rounds\n    200 free\n    100 IM\n    rest 1:00\n  100 fly\n",
        ),
        (
            "polo fit, 4 rounds\n100 hard\n25 fly\n2 min float/water between rounds\n3 x 100 legs\nswim down 100",
            'polo fit\n  4 rounds\n    100 free fast\n    25 fly\n    rest 2:00\n    "float/water"\n  3 x 100 kick\n\n'
            "swim down\n  100 free\n",
        ),
        (  # the last set of rounds counts as many lengths as the first has repeats
            "2 rounds of:\n  4 x 2 lengths breast\n  4 lengths back\n  a minute at the wall\n300 free",
            "  2 rounds\n    4 x 50 breast\n    100 back\n    rest 1:00\n  300 free\n",
        ),
        (
            "100 free\n100 IM\n1 min rest, then do it all again",
            "  2 rounds\n    100 free\n    100 IM\n    rest 1:00\n",
        ),
        (  # a name, in front of rounds
            "Drills x 2 thro:\n   2x25 catch up\n   50 free\n200 back",
            "Drills\n  2 rounds\n    2 x 25 drill catch up\n    50 free\n  200 back\n",
        ),
        (
            "CSS: 3 rounds of -\n- 4x100 threshold, 10s rest\n- 200 pull easy\n1 min between rounds\n200 back",
            "CSS\n  3 rounds\n    4 x 100 free threshold, rest 0:10\n    200 pull easy\n    rest 1:00\n  200 back\n",
        ),
        (
            "Main set 3 rounds, 30s btwn\n   100 free\n   50 back\n200 fly",
            "Main set\n  3 rounds\n    100 free\n    50 back\n    rest 0:30\n  200 fly\n",
        ),
        (  # rounds of what is below
            "3 lots of\n100 free\n50 back, 1 min after each round\n200 fly",
            "  3 rounds\n    100 free\n    50 back\n    rest 1:00\n  200 fly\n",
        ),
        (
            "Main: 3 of these\n- 100 free\n- 50 back",
            "Main, 3 rounds\n  100 free\n  50 back\n",
        ),
        (  # between rounds, without the word
            "3 x\n   4 x 50 free\n   100 easy\n   extra 1:00 between\n200 back",
            "  3 rounds\n    4 x 50 free\n    100 free easy\n    rest 1:00\n  200 back\n",
        ),
        (  # below one set: after each of its repeats
            "8 x 50 kick\nRest 20 secs between",
            "  8 x 50 kick, rest 0:20\n",
        ),
        (  # what is behind their last set closes them
            "200 back\nX3\n2 x 50 fly\n50 free easy, 1 min after each rd\n100 breast",
            "  200 back\n  3 rounds\n    2 x 50 fly\n    50 free easy\n    rest 1:00\n  100 breast\n",
        ),
        (  # a bracket over two lines, the second begins with a plus
            "3 x (4x100 free on 1:35\n     + 100 back easy on 2:15)",
            "  3 rounds\n    4 x 100 free, on 1:35\n    100 back easy, on 2:15\n",
        ),
        (  # how often others swim them, who are no lanes
            "3 rounds (Dev 2)\n   100 free\n   50 back",
            '  3 rounds\n    100 free\n    "Dev 2"\n    50 back\n',
        ),
        (
            "3x (slow lane x2)\n   100 free\n   50 back",
            '  3 rounds\n    100 free\n    "slow lane x2"\n    50 back\n',
        ),
        (  # what single rounds are like
            "2 x (400 on 7:00, 300 on 5:15), 2nd round buoy & paddles\n3 x 50 - R1 hr 140, R2 hr 155",
            '  2 rounds\n    400 free, on 7:00\n    300 free, on 5:15\n    "2nd round buoy, paddles"\n'
            '  3 x 50 free\n  "R1 hr 140, R2 hr 155"\n',
        ),
    ],
)
def test_rounds_have_their_sets_and_what_is_said_of_all(page, plan):
    assert read(page) == plan


def test_lanes_have_their_own_number_of_rounds():
    assert read("[100 IM, 4 x 25 fly] x 2  - L3&4 x1\n") == "  rounds 2 / 2 / 1 / 1\n    100 IM\n    4 x 25 fly\n"


@pytest.mark.parametrize("text", ["3 x 100", "2 rounds of 50 kick", "2 x warm up 4 lengths", "4 rounds of 3 x 50"])
def test_a_set_is_no_count_of_rounds(text):
    assert rounds_said(text) is None
    assert headed_rounds(f"Main: {text}") is None
