import io
import wave

import numpy as np
import pytest

from pacer.signal import clip as clips
from pacer.signal.clip import (
    CLIPS,
    COUNTDOWNS,
    RATE_HZ,
    STOP_ALL,
    TICK,
    TUNING,
    clear_files,
    clip_bytes,
    clip_file,
    samples,
)


def beeps(frames: np.ndarray) -> list[tuple[int, int]]:
    """First and last audible frame of each part without 10 ms of silence."""
    loud = np.flatnonzero(frames)
    breaks = np.flatnonzero(np.diff(loud) > 441)
    return list(zip(loud[np.r_[0, breaks + 1]].tolist(), loud[np.r_[breaks, loud.size - 1]].tolist()))


@pytest.mark.parametrize("clip", CLIPS, ids=lambda clip: clip.name)
def test_a_clip_is_complete_silent_at_its_ends_and_unclipped(clip):
    clip.check()
    with wave.open(io.BytesIO(clip_bytes(clip))) as reader:
        assert (reader.getnchannels(), reader.getsampwidth(), reader.getframerate()) == (1, 2, RATE_HZ)
        frames = np.frombuffer(reader.readframes(reader.getnframes()), "<i2")
    assert frames.tolist() == samples(clip).tolist()
    assert len(frames) == (clip.length_ms + clips.TAIL_MS) * RATE_HZ // 1000
    assert frames[0] == 0 and not frames[-clips.TAIL_MS * RATE_HZ // 1000 :].any()
    peak = np.abs(frames.astype(int)).max()
    loudest = 32_767 * clip.level / 100
    assert 0.9 * loudest < peak <= round(0.95 * loudest)
    # A step between neighbours larger than any tone of this pitch can make would be a click.
    steepest = max(2 * np.pi * tone.hertz / RATE_HZ for tone in clip.tones) * peak
    assert np.abs(np.diff(frames.astype(int))).max() <= steepest + 1


@pytest.mark.parametrize("clip", CLIPS, ids=lambda clip: clip.name)
def test_every_tone_rises_and_falls(clip):
    frames = np.array(samples(clip))
    for tone in clip.tones:
        start, end = (ms * RATE_HZ // 1000 for ms in (tone.at_ms, tone.at_ms + tone.length_ms))
        body = np.abs(frames[start:end].astype(int))
        assert body[0] == body[-1] == 0
        assert body[:22].max() < 0.05 * body.max() and body[-44:].max() < 0.05 * body.max()


@pytest.mark.parametrize("shorts", range(4))
def test_beeps_begin_a_second_apart_to_the_sample(shorts):
    found = beeps(np.array(samples(COUNTDOWNS[shorts])))
    assert len(found) == shorts + 1
    # All rise in the same way: each is audible from its third sample on.
    assert [first - 2 for first, _ in found] == [n * RATE_HZ for n in range(shorts + 1)]
    lengths = [last - first for first, last in found]
    assert all(length < lengths[-1] / 2 for length in lengths[:-1])


def test_all_short_beeps_are_the_same_to_the_sample():
    frames = np.array(samples(COUNTDOWNS[3]))
    first, second, third = (frames[n * RATE_HZ : n * RATE_HZ + RATE_HZ] for n in range(3))
    assert (first == second).all() and (second == third).all() and first.any()


def test_a_shortened_count_down_is_the_end_of_the_whole_one():
    whole = samples(COUNTDOWNS[3])
    for shorts in range(3):
        assert samples(COUNTDOWNS[shorts]) == whole[(3 - shorts) * RATE_HZ :]


def test_volume_scales_the_amplitude():
    full, half = np.array(samples(TUNING), float), np.array(samples(TUNING, 50), float)
    assert np.abs(full / 2 - half).max() <= 1
    assert not any(samples(TUNING, 0))


def test_nothing_cuts_off_stop_all_and_no_tick_cuts_off_a_count_down():
    assert STOP_ALL.rank > max(clip.rank for clip in COUNTDOWNS)
    assert min(clip.rank for clip in COUNTDOWNS) > max(TICK.rank, TUNING.rank)


def test_names_are_unique():
    assert len({clip.name for clip in CLIPS}) == len(CLIPS)


def test_a_file_is_rendered_once_and_named_by_its_content(tmp_path):
    folder = tmp_path / "not" / "yet"
    path = clip_file(TICK, folder)
    assert path.read_bytes() == clip_bytes(TICK)
    path.write_bytes(b"kept")
    assert clip_file(TICK, folder) == path and path.read_bytes() == b"kept"
    changed = clips.Clip("tick", TUNING.tones)
    files = {path, clip_file(TICK, folder, 40), clip_file(TUNING, folder), clip_file(changed, folder)}
    assert len(files) == 4 == len(list(folder.iterdir()))


def test_clearing_keeps_named_files_and_those_of_others(tmp_path):
    kept, old = clip_file(TICK, tmp_path), clip_file(TICK, tmp_path, 40)
    foreign = tmp_path / "plan.txt"
    foreign.write_text("8 x 50")
    clear_files(tmp_path, {kept})
    assert kept.exists() and foreign.exists() and not old.exists()


def test_a_read_only_folder_raises_oserror(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(OSError):
        clip_file(TICK, tmp_path / "file")
