"""A real recording of the Kivy back end, analysed: is what should be heard heard, when, and nothing else?"""

import math

import numpy as np
import pytest

from pacer.signal.clip import COUNTDOWNS, LONG_HZ, SHORT_HZ, STOP_ALL, TICK, TICK_HZ
from pacer.signal.clip import samples as rendered
from tests.signal.recording import RATE_HZ, child, heard, lateness_ms, samples


@pytest.fixture(scope="module")
def recorded(tmp_path_factory):
    facts, raw = child(tmp_path_factory.mktemp("heard"), "session")
    assert facts["name"] == "kivy" and facts["notes"] == []
    frames = samples(raw)
    return facts, frames, heard(frames)


def test_the_beeps_come_in_order_and_nothing_else(recorded):
    """Section start at 4.0; lane at 5.5 gives way; two lanes at 7.6 as one; the fourth is held after its first beep."""
    _, _, tones = recorded
    whole = [SHORT_HZ] * 3 + [LONG_HZ]
    expected = [*whole, *whole, SHORT_HZ, *[TICK_HZ] * 12]
    # A tone of 40 ms is broad; a burst of stop all has two pitches, of which either may be the stronger.
    assert [tone.hertz for tone in tones[: len(expected)]] == pytest.approx(expected, abs=5)
    bursts = tones[len(expected) :]
    assert len(bursts) == 3 and all(tone.length_ms == pytest.approx(1_000, abs=1) for tone in bursts)


def test_every_clip_is_heard_to_the_sample(recorded):
    """Taking the rendered clips out of the recording leaves silence: inside a clip nothing is off by a sample."""
    _, frames, tones = recorded
    rest = frames.copy()
    for first, clip in [(0, COUNTDOWNS[3]), (4, COUNTDOWNS[3]), *((n, TICK) for n in range(9, 21)), (21, STOP_ALL)]:
        form = np.array(rendered(clip))[: clip.length_ms * RATE_HZ // 1000]   # the next may begin in its silent tail
        start = tones[first].first - int(np.flatnonzero(form)[0])
        assert (frames[start : start + len(form)] == form).all(), clip.name
        rest[start : start + len(form)] = 0
    cut_off = np.flatnonzero(rest)     # what is left is the one beep of the count-down that was stopped
    assert [cut_off[0], cut_off[-1]] == [tones[8].first, tones[8].last]


def test_beeps_inside_a_count_down_are_a_second_apart_to_the_sample(recorded):
    _, _, tones = recorded
    for place in (0, 4):
        firsts = [tone.first for tone in tones[place : place + 4]]
        assert np.diff(firsts).tolist() == [RATE_HZ] * 3


def starts(tones):
    return [tones[0].first, tones[4].first, *(tone.first for tone in tones[8:22])]


def test_clips_start_on_a_grid_finer_than_15_ms(recorded):
    _, _, tones = recorded
    grid = math.gcd(*np.diff(starts(tones)).tolist())
    assert grid * 1000 / RATE_HZ < 15


def test_clips_start_when_they_should(recorded):
    """The calls by the clock; the recording only roughly, because its own clock wanders under load."""
    facts, _, tones = recorded
    wanted = [1_000, 4_600, 8_500, *(9_200 + 73 * n for n in range(12)), facts["stop_ms"]]
    assert 0 <= np.median(np.array(facts["called"]) - wanted) < 15
    assert np.abs(lateness_ms(wanted, starts(tones))).max() < 400
