"""Tables on a coach's page: columns with and without names, lanes as columns, a line drawn beside rounds."""

from __future__ import annotations

import pytest

from tests.plan.pasted.pagereading import read


@pytest.mark.parametrize(
    ("page", "plan"),
    [
        (
            "WU | 300 choice\n"
            "MAIN | 3 rounds | 30 sec between\n     | 200 steady | on 3:30\n     | 4 x 50 fast | on 1:00\n"
            "POST | 10 x 100 | 10 sec rest\nCD | 200",
            "WU\n  300 choice\n\n"
            "MAIN, 3 rounds\n  200 free steady, on 3:30\n  4 x 50 free fast, on 1:00\n  rest 0:30\n\n"
            "POST\n  10 x 100 free, rest 0:10\n\nCD\n  200 free\n",
        ),
        (
            "Dist | Off | What\n400 | 6.30 | easy FC\n8x50 | 60 | kick\n300 | - | loosen",
            "# Dist | Off | What\n  400 free easy, on 6:30\n  8 x 50 kick, on 1:00\n  300 free easy\n",
        ),
        (
            "| Reps | Dist | Stroke | Rest |\n|---|---|---|---|\n| 1 | 400 | free | - |\n| 8 | 50 | kick | 15 |",
            "# | Reps | Dist | Stroke | Rest |\n  400 free\n  8 x 50 kick, rest 0:15\n",
        ),
        (
            "Dist    Off    What\n400     7.00   easy FC\n8x50    1.00   kick",
            "# Dist    Off    What\n  400 free easy, on 7:00\n  8 x 50 kick, on 1:00\n",
        ),
        (
            "Set | Distance | Interval\nWarm up | 300 |\nKick | 6x50 | 1:10",
            "# Set | Distance | Interval\n\nWarm up\n  300 free\n  6 x 50 kick, on 1:10\n",
        ),
        (
            "What | L1 | L2\nKick | 6x50 | 4x50\nDown | 200 | 200",
            "# What | L1 | L2\n  lane 1: 6 x 50 kick\n  lane 2: 4 x 50 kick\n\nDown\n  200 free\n",
        ),
        (
            "W/U\n400 easy\nMAIN\n3x | 200 FS off 2.50\n   | 4x50 fly off 50\nS/D 200",
            "W/U\n  400 free easy\n\n"
            "MAIN\n  3 rounds\n    200 free, on 2:50\n    4 x 50 fly, on 0:50\n\nS/D\n  200 free\n",
        ),
        (
            "Main\n200 FS off 2.50   |\n4x50 fly off 50   | x3\nS/D 200",
            "Main\n  3 rounds\n    200 free, on 2:50\n    4 x 50 fly, on 0:50\n\nS/D\n  200 free\n",
        ),
        ("4 x 100 on 1:40  | 400\n200 easy  | 600", "  4 x 100 free, on 1:40\n  200 free easy\n"),
    ],
)
def test_a_table_is_read_by_its_columns(page, plan):
    assert (
        "\n".join(line for line in read(page).split("\n") if line).lstrip()
        == "\n".join(line for line in plan.split("\n") if line).lstrip()
    )
