"""The fixes that look at the lines around an error."""

from __future__ import annotations

import pytest

from pacer.plan.freewords.fixesoffered import fixes_offered
from pacer.plan.text.livepage import LivePage


def first_fix(lines: list[str]) -> list[str]:
    """The page with the first fix of its first error."""
    live = LivePage()
    return fixes_offered(live.read(lines).problems[0], lines, live)[0].applied(lines)


@pytest.mark.parametrize("indent", ["", "  "])
def test_sets_below_rounds_are_put_into_them(indent):
    page = ["pool: 25 m", "", "Main", *(indent + row for row in ("2 rounds", "4 x 50 kick", '"tall"', "100 easy"))]
    fixed = first_fix([*page, "", "Swim-down", f"{indent}200 easy"])
    inside = [f"  {indent}{row}" for row in ("4 x 50 kick", '"tall"', "100 easy")]
    assert fixed == [*page[:4], *inside, "", "Swim-down", f"{indent}200 easy"]
    assert LivePage().read(fixed).whole


@pytest.mark.parametrize(
    ("above", "written", "becomes"),
    [
        ("4 x 100 on 2:00", "4 x 100 kick same", "4 x 100 kick, on 2:00"),
        ("4 x 100 RI 20", "4 x 50 pull, same rest", "4 x 50 pull, rest 0:20"),
        ("4 x 100 on 1:30 / 1:45", "4 x 100 back (same)", "4 x 100 back, on 1:30 / 1:45"),
    ],
)
def test_same_is_the_interval_or_rest_of_the_set_above(above, written, becomes):
    assert first_fix(["pool: 25 m", f"  {above}", f"  {written}"])[2] == f"  {becomes}"


def test_the_same_rest_is_no_interval():
    page = ["pool: 25 m", "  4 x 100 on 2:00", "  4 x 50 pull, same rest"]
    assert first_fix(page)[2] == '  4 x 50 pull, "same rest"'
