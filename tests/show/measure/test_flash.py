"""The flash: at the send-off, and never more than three in a second (WCAG 2.2, success criterion 2.3.1)."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.show.measure.flash import FLASH_MS, FLASHES_APART_MS, Flash


def rises(frames, instants_at):
    """When the screen goes from dark to lit, over the frames drawn at `frames`."""
    flash, before, found = Flash(), False, []
    for now_ms in frames:
        lit = flash.lit(now_ms, instants_at(now_ms))
        if lit and not before:
            found.append(now_ms)
        before = lit
    return found


def most_in_a_second(times):
    """The greatest number of `times` in any one second, both ends counted."""
    return max([sum(1 for other in times if first <= other <= first + 1000) for first in times], default=0)


def test_it_is_lit_in_the_first_frame_after_the_send_off_and_goes_out():
    frames = range(0, 2_000, 17)
    flash = Flash()
    lit = [now for now in frames if flash.lit(now, (1_000,))]
    assert lit == [now for now in frames if 1_003 <= now < 1_003 + FLASH_MS]


def test_nothing_flashes_by_itself():
    assert rises(range(0, 5_000, 16), lambda now: ()) == []


def test_send_offs_of_lanes_that_fall_together_flash_once():
    assert len(rises(range(0, 3_000, 16), lambda now: (1_000, 1_000, 1_040, 1_300))) == 1


def test_a_send_off_that_was_missed_is_not_flashed():
    assert rises([0, 5_000, 5_016], lambda now: (1_000, 4_400)) == []
    assert rises([0, 5_000, 5_016], lambda now: (1_000, 4_900)) == [5_000]


@pytest.mark.parametrize("frame_ms", [4, 16, 33, 90])
def test_twenty_lanes_leaving_all_the_time(frame_ms):
    instants = tuple(range(0, 60_000, 50))
    times = rises(range(0, 60_000, frame_ms), lambda now: instants)
    assert most_in_a_second(times) == 3
    assert all(b - a >= FLASHES_APART_MS for a, b in pairwise(times))


@given(
    st.lists(st.integers(1, 120), min_size=1, max_size=300),
    st.lists(st.lists(st.integers(0, 20_000), max_size=80), min_size=1, max_size=5),
)
def test_never_more_than_three_whatever_the_lanes_do_and_however_plans_change(gaps, plans):
    frames, now = [], 0
    for gap in gaps:
        now += gap
        frames.append(now)
    plans = [tuple(sorted(instants)) for instants in plans]
    times = rises(frames, lambda now_ms: plans[now_ms // 700 % len(plans)])
    assert most_in_a_second(times) <= 3
