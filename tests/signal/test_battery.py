import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.signal.battery import RESERVE_PERCENT, SPAN_MS, WORST_PERCENT_PER_HOUR, BatteryReading, minutes_left, warning

MINUTE_MS = 60_000


@pytest.mark.parametrize(
    "first, last, minutes",
    [
        ((0, 100), (0, 100), 216),  # 90 % at 25 % an hour
        ((0, 35), (0, 35), 60),
        ((0, 10), (0, 10), 0),
        ((0, 3), (0, 3), 0),
        ((0, 80), (9 * MINUTE_MS, 79), 165),  # too near: 69 % at 25 % an hour
        ((0, 80), (10 * MINUTE_MS, 79), 345),  # 2 % in 10 minutes: 69 % lasts 345
        ((0, 80), (10 * MINUTE_MS, 80), 700),  # less than 1 % in 10 minutes
        ((0, 80), (60 * MINUTE_MS, 30), 23),  # 51 % an hour: 20 % lasts 23.5
    ],
)
def test_minutes_left(first, last, minutes):
    assert minutes_left(BatteryReading(*first), BatteryReading(*last)) == minutes


def test_a_charging_battery_has_no_minutes_left_to_count():
    assert minutes_left(BatteryReading(0, 50, True), BatteryReading(0, 50, True)) is None


@given(st.integers(0, 100), st.integers(0, 100), st.integers(SPAN_MS, 10 * SPAN_MS))
def test_it_never_promises_more_than_the_fall_itself_does(high, low, span_ms):
    low, high = sorted((low, high))
    left = minutes_left(BatteryReading(0, high), BatteryReading(span_ms, low))
    assert left >= 0
    if high > low:
        assert left * MINUTE_MS * (high - low) <= max(0, low - RESERVE_PERCENT) * span_ms


def test_the_worst_rate_is_used_until_readings_are_far_enough_apart():
    near = minutes_left(BatteryReading(0, 50), BatteryReading(SPAN_MS - 1, 50))
    assert near == (50 - RESERVE_PERCENT) * 60 // WORST_PERCENT_PER_HOUR


def test_the_warning_says_how_long_or_is_empty():
    low, full = BatteryReading(0, 20), BatteryReading(0, 100)
    assert warning(full, full, 60) == "" and warning(low, low, 24) == ""
    assert warning(low, low, 25) == "Battery 20%: may last 24 min, the session needs 25."


def test_charging_warns_of_leads_on_the_wet_deck():
    assert "wet deck" in warning(BatteryReading(0, 90, True), BatteryReading(0, 90, True), 10)
