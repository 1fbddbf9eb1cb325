"""Kivy's audio, in separate processes: importing Kivy here would affect every test."""

import sys
import types
from pathlib import Path

import pytest

from pacer.signal import kivysdl, output_kivy
from tests.signal.recording import child


def test_without_an_audio_device_the_player_is_silent_and_says_why(tmp_path):
    facts, _ = child(tmp_path, "open", driver="bogus")
    assert facts["name"] == "silent"
    assert facts["notes"] == [
        "The app's own player can't find any sound output.",
        "This tablet has no sound: everything is on the screen.",
    ]


class Loader:
    """Kivy's SoundLoader, without Kivy."""

    def __init__(self, sound):
        self.sound = sound

    def load(self, path):
        assert Path(path).read_bytes()[:4] == b"RIFF"
        return self.sound(path)


class Sound:
    length = 1.0

    def __init__(self, path):
        self.state, self.volume, self.unloaded = "stop", 1.0, False

    def play(self):
        self.state = "play"

    def stop(self):
        self.state = "stop"

    def unload(self):
        self.unloaded = True


def fake_kivy(monkeypatch, sound=Sound):
    monkeypatch.setitem(sys.modules, "kivy", types.SimpleNamespace(__file__="/nowhere/kivy/__init__.py"))
    monkeypatch.setitem(sys.modules, "kivy.core", types.SimpleNamespace())
    monkeypatch.setitem(sys.modules, "kivy.core.audio", types.SimpleNamespace(SoundLoader=Loader(sound)))


def test_with_another_provider_it_sounds_without_a_mixer(monkeypatch, tmp_path):
    fake_kivy(monkeypatch)
    monkeypatch.setattr(output_kivy, "open_mixer", lambda *_: pytest.fail("SDL's mixer is not in use"))
    output = output_kivy.KivyOutput(tmp_path)
    assert output.fine_grid is False
    output.play(output_kivy.CLIPS[0], 40)
    first = output.last
    assert (first.state, first.volume) == ("play", 0.4)
    output.play(output_kivy.CLIPS[1], 100)
    assert first.state == "stop" and output.last.state == "play"
    output.close()
    assert first.unloaded and first.state == "stop"


@pytest.mark.parametrize("sound", [lambda path: None, type("Empty", (Sound,), {"length": 0})])
def test_a_sound_that_cannot_be_loaded_is_a_refusal(monkeypatch, tmp_path, sound):
    fake_kivy(monkeypatch, sound)
    with pytest.raises(output_kivy.Unavailable, match="find any sound output"):
        output_kivy.KivyOutput(tmp_path)


def test_a_sound_that_does_not_play_is_a_refusal(monkeypatch, tmp_path):
    fake_kivy(monkeypatch, type("Mute", (Sound,), {"play": lambda self: None}))
    with pytest.raises(output_kivy.Unavailable, match="refused"):
        output_kivy.KivyOutput(tmp_path).play(output_kivy.CLIPS[0], 100)


def test_without_a_mixer_library_it_still_works(monkeypatch, tmp_path):
    monkeypatch.setattr(kivysdl, "library_paths", lambda name: iter(()))
    assert kivysdl.open_mixer(44_100, 512) is False
    text = tmp_path / "libSDL2_mixer.so"
    text.write_text("no library")
    monkeypatch.setattr(kivysdl, "library_paths", lambda name: iter((str(text), str(tmp_path / "absent"))))
    assert kivysdl.open_mixer(44_100, 512) is False


def test_the_mixer_is_only_looked_for_beside_kivy(monkeypatch, tmp_path):
    package = tmp_path / "site" / "kivy"
    beside = tmp_path / "site" / "Kivy.libs"
    for folder in (package / ".dylibs", beside):
        folder.mkdir(parents=True)
    (package / ".dylibs" / "libSDL2_mixer.dylib").touch()
    (beside / "libSDL2_mixer-2-600b.so").touch()
    (beside / "libSDL2-2.so").touch()
    monkeypatch.setitem(sys.modules, "kivy", types.SimpleNamespace(__file__=str(package / "__init__.py")))
    found = [Path(path) for path in kivysdl.library_paths("SDL2_mixer") if str(tmp_path) in path]
    assert [path.name for path in found] == ["libSDL2_mixer.dylib", "libSDL2_mixer-2-600b.so"]
