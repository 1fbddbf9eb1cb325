import sys
import wave

import pytest

from pacer.signal.clip import CLIPS, STOP_ALL, TICK, TUNING
from pacer.signal.output import Unavailable
from pacer.signal.output_plyer import PlyerOutput
from pacer.signal.player import Player


class FakeAudio:
    """The parts of plyer's audio facade for playing: `file_path`, `play`, `stop`."""

    def __init__(self, fails: bool = False):
        self.log: list[str] = []
        self.file_path = ""
        self.fails = fails

    def play(self):
        if self.fails:
            raise NotImplementedError
        with wave.open(self.file_path) as reader:
            assert reader.getnframes() > 0
        assert isinstance(self.file_path, str)  # the facade asserts it
        self.log.append(self.file_path.rsplit("beep-")[-1].rsplit("-", 1)[0])

    def stop(self):
        self.log.append("stop")


def test_it_stops_before_each_play_and_plays_the_file_at_the_volume(tmp_path):
    audio = FakeAudio()
    output = PlyerOutput(tmp_path, audio)
    output.play(TICK, 100)
    output.play(STOP_ALL, 60)
    output.stop()
    assert audio.log == ["stop", "tick-100", "stop", "stop-all-60", "stop"]


def test_preparing_renders_all_clips_and_deletes_those_of_another_volume(tmp_path):
    output = PlyerOutput(tmp_path, FakeAudio())
    output.prepare(40)
    output.prepare(70)
    names = {path.name.rsplit("-", 1)[0] for path in tmp_path.iterdir()}
    assert names == {f"beep-{clip.name}-70" for clip in CLIPS} | {"beep-stop-all-100"}


def test_a_missing_facade_is_reported_plainly(tmp_path):
    # On the desktop that runs the tests plyer has no audio: its proxy falls back to the empty base.
    pytest.importorskip("plyer")
    if sys.platform != "linux":
        pytest.skip("plyer has audio here")
    with pytest.raises(Unavailable, match="can't be reached"):
        PlyerOutput(tmp_path)


def test_a_facade_that_raises_while_playing_does_not_stop_the_session(tmp_path):
    class Failing(PlyerOutput):
        def __init__(self, folder):
            super().__init__(folder, FakeAudio(fails=True))

    player = Player((Failing,), tmp_path, lambda: 0.0)
    player.start(TUNING)
    thread = player.thread
    while player.name != "silent" and thread.is_alive():
        thread.join(0.01)
    player.close()
    assert player.notes()[0] == "Sound: the device's own player failed and is off."
