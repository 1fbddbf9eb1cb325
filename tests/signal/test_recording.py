"""A real recording of the Kivy back end, analysed: is what should be heard heard, to the sample, and nothing else?

Where in a recording a clip begins is exact only against the others' buffers: when clips start is measured by
`tests/bench/bench_sound.py`, and what the player is told when is checked on a clock of the test's own
(`test_player.py`, `tests/face/clock/test_countdowns.py`).
"""

import numpy as np
import pytest

from pacer.signal.clip import CLIPS, COUNTDOWNS, LONG_HZ, SHORT_HZ
from pacer.signal.clip import samples as rendered
from pacer.signal.output_kivy import GRID_FRAMES
from tests.signal.recording import RATE_HZ, child, heard, samples

KIVYS_OWN_GRID = 4_096


def form(clip) -> np.ndarray:
    return np.array(rendered(clip))[: clip.length_ms * RATE_HZ // 1000]


@pytest.fixture(scope="module")
def recorded(tmp_path_factory):
    """The frames, where each clip starts in them, and where the last one ends."""
    # A buffer is asked for every millisecond instead of every 11.6: nothing here goes by the recording's own time.
    facts, raw = child(tmp_path_factory.mktemp("heard"), "clips", SDL_DISKAUDIODELAY="1")
    assert facts["name"] == "kivy" and facts["notes"] == [] and facts["fine_grid"]
    frames, starts, at = samples(raw), [], 0
    for clip in (*CLIPS, *[COUNTDOWNS[3]] * facts["tries"]):
        starts.append(at + int(np.flatnonzero(frames[at:])[0]) - int(np.flatnonzero(form(clip))[0]))
        at = starts[-1] + len(form(clip))
    return frames, starts


def test_every_clip_is_heard_to_the_sample_in_order_and_nothing_else(recorded):
    """Taking the rendered clips out of the recording leaves silence: inside a clip nothing is off by a sample."""
    frames, starts = recorded
    rest = frames.copy()
    for clip, start in zip((*CLIPS, *[COUNTDOWNS[3]] * (len(starts) - len(CLIPS) - 1)), starts):
        wanted = form(clip)
        assert (frames[start : start + len(wanted)] == wanted).all(), clip.name
        rest[start : start + len(wanted)] = 0
    assert not rest[: starts[-1]].any()


def test_what_is_stopped_is_heard_up_to_there_and_no_farther(recorded):
    frames, starts = recorded
    rest, whole = frames[starts[-1] :], form(COUNTDOWNS[3])
    ends = int(np.flatnonzero(rest)[-1]) + 1
    assert (rest[:ends] == whole[:ends]).all() and ends < int(np.flatnonzero(whole)[-1])


def test_beeps_inside_a_count_down_are_a_second_apart_to_the_sample(recorded):
    frames, starts = recorded
    place = CLIPS.index(COUNTDOWNS[3])
    tones = heard(frames[starts[place] : starts[place + 1]])
    assert [tone.hertz for tone in tones] == pytest.approx([SHORT_HZ] * 3 + [LONG_HZ], abs=1)
    assert np.diff([tone.first for tone in tones]).tolist() == [RATE_HZ] * 3


def test_clips_start_on_our_grid_and_not_on_kivys(recorded):
    _, starts = recorded
    apart = np.diff(starts)
    assert not (apart % GRID_FRAMES).any() and (apart % KIVYS_OWN_GRID).any()
    assert GRID_FRAMES * 1000 / RATE_HZ < 15
