"""Lines on a coach's page that get their numbers, or what they are parts of, from the line above them."""

from __future__ import annotations

import pytest

from tests.plan.pasted.pagereading import read


@pytest.mark.parametrize(
    ("page", "plan"),
    [
        (  # for each of them
            "Drills, all 4 x 25, rest 15s\n a) front scull, head up\n b) doggy paddle\n c) zip up\n4 x 50 swim",
            'Drills\n  4 x 25 scull front, rest 0:15\n  "head up"\n  4 x 25 drill doggy paddle, rest 0:15\n'
            "  4 x 25 drill zip up, rest 0:15\n  4 x 50 free\n",
        ),
        (
            "Drills (50 of each, 15s rest):\n- catch up\n- fists\nMain\n4 x 100",
            "Drills\n  50 drill catch up, rest 0:15\n  50 drill fists, rest 0:15\n\nMain\n  4 x 100 free\n",
        ),
        (
            "Main set: all 4 x 50 on 1:00\n- fly drill\n- breast kick\n100 easy",
            "Main set\n  4 x 50 drill fly, on 1:00\n  4 x 50 kick breast, on 1:00\n  100 free easy\n",
        ),
        ("100 easy\n25m of each:\n* torpedo kick\n* scull", '  100 free easy\n  25 kick\n  "torpedo"\n  25 scull\n'),
        (  # as many as repeats
            "Drill set: 2 x 50 drills, 20 secs rest\n 1. catch up\n 2. fists",
            "Drill set\n  50 drill catch up, rest 0:20\n  50 drill fists, rest 0:20\n",
        ),
        ("Drills 8 x 25\n- catch up\n- fists", '  8 x 25 drill\n  "catch up; fists"\n'),
        (  # parts
            "4 x 100 on 2:00:\n  50 kick\n  50 swim\n200 easy",
            "  4 x 100 as 50 kick / 50 free, on 2:00\n  200 free easy\n",
        ),
        ("8 x 50, each one:\n - 25 kick\n - 25 swim", "  8 x 50 as 25 kick / 25 free\n"),
        ("400\n- 200 free\n- 100 kick", "  400 free\n  200 free\n  100 kick\n"),
        (  # some of the repeats
            "M/S  24 x 100 fs\n  1-8 on 1.30 hold 75%\n  9-24 on 1.25\ns/d 200",
            'M/S\n  8 x 100 free, on 1:30\n  "hold 75%"\n  16 x 100 free, on 1:25\n\ns/d\n  200 free\n',
        ),
        ("20 x 100 fs\n1-12 on 1.30\n13-20 on 1.25", "  12 x 100 free, on 1:30\n  8 x 100 free, on 1:25\n"),
    ],
)
def test_lines_below_get_what_the_line_above_says(page, plan):
    assert read(page) == plan
