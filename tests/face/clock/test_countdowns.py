"""The app sounds a session by itself: which clips it starts, and when, on a clock that goes on by 20 ms a frame.

What the clips sound like is in tests/signal/test_recording.py; the same session in real time, recorded, is
`tests/bench/bench_session_sound.py`.
"""

from __future__ import annotations

from pathlib import Path

from tests.face.clock.listening import expected_countdowns, told

#: The player starts a clip at the step after which it would be less than this away, and sleeps the rest.
FINE_MS = 20


def test_every_countdown_is_started_in_its_place_and_nothing_else(tmp_path: Path):
    facts = told("short", tmp_path)
    expected = expected_countdowns("short", facts)
    assert len(expected) >= 3
    *countdowns, (stopped_ms, last) = facts["called"]
    assert [name for _, name in countdowns] == ["countdown-3"] * len(expected) and last == "stop-all"
    assert all(0 <= wanted - 3_000 - at_ms <= FINE_MS for (at_ms, _), wanted in zip(countdowns, expected)), (
        countdowns,
        expected,
    )
    assert (
        0
        <= stopped_ms
        - next(at_ms for name, at_ms in [(name, at_ms) for at_ms, name in facts["pressed"]] if name == "stop")
        <= 600
    )


def test_of_a_countdown_that_is_late_the_rest_is_started_on_time(tmp_path: Path):
    """The device is busy from 2.8 to 4.1 s; the count-down to the send-off at 6 s was to begin at 3 s."""
    called = told("late", tmp_path)["called"]
    assert [name for _, name in called] == ["countdown-3", "countdown-1"]
    assert 0 <= 5_000 - called[1][0] <= FINE_MS, called
