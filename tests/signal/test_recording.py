"""Analyse a real recording of the Kivy back end: every clip is heard to the sample, and nothing else.

A clip's position in a recording is only exact to a buffer. `tests/bench/bench_sound.py` measures when clips
start, and `test_player.py` and `tests/face/clock/test_countdowns.py` check, on a fake clock, when the player gets
which call.
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
    # SDL asks for a buffer every millisecond instead of every 11.6: nothing here uses the recording's own time.
    facts, raw = child(tmp_path_factory.mktemp("heard"), "clips", SDL_DISKAUDIODELAY="1")
    assert facts["name"] == "kivy" and facts["notes"] == [] and facts["fine_grid"]
    frames, starts, at = samples(raw), [], 0
    for clip in (*CLIPS, *[COUNTDOWNS[3]] * facts["tries"]):
        starts.append(at + int(np.flatnonzero(frames[at:])[0]) - int(np.flatnonzero(form(clip))[0]))
        at = starts[-1] + len(form(clip))
    return frames, starts


def test_every_clip_is_heard_to_the_sample_in_order_and_nothing_else(recorded):
    """Subtracting the rendered clips from the recording leaves silence: no sample inside a clip is wrong."""
    frames, starts = recorded
    rest = frames.copy()
    for clip, start in zip((*CLIPS, *[COUNTDOWNS[3]] * (len(starts) - len(CLIPS) - 1)), starts):
        wanted = form(clip)
        assert (frames[start : start + len(wanted)] == wanted).all(), clip.name
        rest[start : start + len(wanted)] = 0
    assert not rest[: starts[-1]].any()


def test_a_stopped_clip_is_heard_up_to_the_stop_and_no_farther(recorded):
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
