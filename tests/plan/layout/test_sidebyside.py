"""Sets of lanes and groups side by side on a coach's page."""

from __future__ import annotations

import pytest

from pacer.plan.pasted.understood import understand
from tests.plan.test_pages import settled

LANES = "L1 = S9, L2 = S6-8, L3 = S3-5\n25m pool\n"
GROUPS = "Gold/Silver/Bronze together tonight\n25m pool\n"


def swum(page: str) -> str:
    return "\n".join(line for line in settled(page)[0].text.split("\n") if line.startswith("  "))


@pytest.mark.parametrize(
    ("line", "plan"),
    [
        ("4x50 / 4x50 / 4x25 drill, RI 20", "  4 x 50 / 50 / 25 drill, rest 0:20"),
        ("8x25 / 6x25 / 4x25 max, RI 45", "  8 / 6 / 4 x 25 free sprint, rest 0:45"),
        (
            "kick (pull if no kick) 6x50 / 4x50 / 4x25 +15",
            '  6 / 4 / 4 x 50 / 50 / 25 kick, rest 0:15\n  "pull if no kick"',
        ),
        ("300 / 200 / 100 choice", "  1 x 300 / 200 / 100 choice"),
        ("6 x 25 on 40/45/50", "  6 x 25 free, on 0:40 / 0:45 / 0:50"),
        ("4x50 fly / 4x50 back", "  4 x 50 fly\n  4 x 50 back"),
    ],
)
def test_sets_side_by_side_are_for_the_lanes_that_the_page_names(line, plan):
    assert swum(f"{LANES}100 easy\n{line}") == f"  100 free easy\n{plan}"


@pytest.mark.parametrize(
    ("line", "plan"),
    [
        (
            "G 6x200 S 6x150 B 6x100 all 3.00",
            "  G: 6 x 200 free, on 3:00\n  S: 6 x 150 free, on 3:00\n  B: 6 x 100 free, on 3:00",
        ),
        (
            "4 goes off 2.00 - G 100IM, S 75, B 50",
            "  G: 4 x 100 IM, on 2:00\n  S: 4 x 75 free, on 2:00\n  B: 4 x 50 free, on 2:00",
        ),
        (
            "every 90 secs for 12 mins - G 100 S 75 B 50",
            "  G: 8 x 100 free, on 1:30\n  S: 8 x 75 free, on 1:30\n  B: 8 x 50 free, on 1:30",
        ),
    ],
)
def test_capitals_that_the_page_explains_are_groups(line, plan):
    assert plan in swum(f"{GROUPS}300 easy\n{line}\nG 200 S 150 B 100 choice")


def test_without_lanes_the_coach_is_asked_who_swims_sets_that_get_shorter():
    page = understand("Wed\n25m pool\n400 easy\n12x50 / 10x50 / 8x50 kick on 1:10")
    assert page.lines[page.questions[0]].question.text == "Who swims “12x50, 10x50, 8x50”?"
    lanes, after = (page.answered(page.questions[0], choice).text for choice in (0, 1))
    assert "  12 / 10 / 8 x 50 kick, on 1:10\n" in lanes
    assert "  12 x 50 free\n  10 x 50 free\n  8 x 50 kick, on 1:10\n" in after
