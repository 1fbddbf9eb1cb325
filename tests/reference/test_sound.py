"""The sounds against published values, measured with SciPy on the played WAV.

Sources: ISO 16:1975, A4 = 440 Hz, hence in equal temperament A5 = 880 Hz and A6 = 1,760 Hz
(from memory, certain). ISO 7731:2003, audible danger signals: 500-2,500 Hz, pulses of
0.5-4 Hz (from memory). RIFF/WAVE: read by SciPy's own reader.
"""

import io

import numpy as np
import pytest
from scipy import signal
from scipy.io import wavfile

from pacer.signal.clip import CLIPS, COUNTDOWNS, STOP_ALL, clip_bytes

A5_HZ = 440 * 2 ** ((81 - 69) / 12)  # f = 440 * 2^((n - 69)/12), ISO 16:1975
A6_HZ = 440 * 2 ** ((93 - 69) / 12)


def read(clip):
    rate, frames = wavfile.read(io.BytesIO(clip_bytes(clip)))
    assert frames.dtype == np.int16 and frames.ndim == 1
    return rate, frames.astype(float)


def pitch(frames, rate):
    tapered = frames * signal.windows.blackmanharris(len(frames))
    return np.argmax(np.abs(np.fft.rfft(tapered, 1 << 20))) * rate / (1 << 20)


def test_short_beeps_are_a5_and_the_long_one_is_a6():
    rate, frames = read(COUNTDOWNS[3])
    heard = [pitch(frames[n * rate : n * rate + rate], rate) for n in range(4)]
    assert heard[:3] == pytest.approx([A5_HZ] * 3, abs=0.1)
    assert heard[3] == pytest.approx(A6_HZ, abs=0.1)


@pytest.mark.parametrize("clip", CLIPS, ids=lambda clip: clip.name)
def test_the_power_lies_between_500_and_2500_hz(clip):
    rate, frames = read(clip)
    hertz, power = signal.periodogram(frames, rate)
    inside = power[(hertz >= 500) & (hertz <= 2500)].sum() / power.sum()
    assert inside > 0.999


@pytest.mark.parametrize("clip, pulse_hz", [(COUNTDOWNS[3], 1), (STOP_ALL, 4)], ids=["countdown", "stop-all"])
def test_pulses_come_between_half_a_time_and_four_times_a_second(clip, pulse_hz):
    # For stop all the pulse is the fall from the upper to the lower tone, so follow the upper one.
    rate, frames = read(clip)
    band = signal.butter(4, (1300, 1700), "band", fs=rate, output="sos") if clip is STOP_ALL else None
    followed = signal.sosfiltfilt(band, frames) if band is not None else frames
    loudness = np.abs(signal.hilbert(followed[: rate * clip.tones[7].at_ms // 1000] if clip is STOP_ALL else followed))
    smooth = np.convolve(loudness, np.ones(441) / 441, "same")
    rises = np.flatnonzero(np.diff((smooth > smooth.max() / 2).astype(int)) == 1)
    rate_hz = rate / np.diff(rises).mean()
    assert rate_hz == pytest.approx(pulse_hz, rel=0.02)
    assert 0.5 <= rate_hz <= 4.08


def test_stop_all_shares_no_pitch_with_a_count_down():
    rate, frames = read(STOP_ALL)
    hertz, power = signal.periodogram(frames, rate)
    for own in (A5_HZ, A6_HZ):
        near = (hertz > own * 2 ** (-1 / 24)) & (hertz < own * 2 ** (1 / 24))  # a quarter tone to each side
        assert power[near].sum() / power.sum() < 0.01
