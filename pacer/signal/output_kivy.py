"""Kivy's own audio, for platforms on which plyer has none.

Kivy opens SDL's mixer with a buffer of 4,096 frames, so that clips can only start on a grid of 93 ms.
This module therefore opens Kivy's mixer library first, with a buffer of 512 frames (11.6 ms); Kivy then
finds it open in the same format and uses it. If the library cannot be found, the app still has sound, on
the coarser grid.
"""

from __future__ import annotations

import logging
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pacer.language import tr
from pacer.signal.clip import CLIPS, RATE_HZ, Clip, clip_file
from pacer.signal.kivysdl import open_mixer
from pacer.signal.output import Output, Unavailable

GRID_FRAMES = 512

log = logging.getLogger(__name__)


class KivyOutput(Output):
    """Play clips from memory."""

    name = "kivy"
    label = tr("the app's own player")
    usual_latency_ms = 30  # two buffers of 512 frames and some more in the system

    def __init__(self, folder: Path):
        super().__init__(folder)
        try:
            from kivy.core.audio import SoundLoader
        except Exception as error:  # whatever its libraries raise
            log.exception("Kivy's audio cannot be loaded")
            raise Unavailable(tr("The app's own player can't be loaded.")) from error
        #: Whether this module set up the fine grid of `GRID_FRAMES`.
        self.fine_grid = _uses_mixer(SoundLoader) and open_mixer(RATE_HZ, GRID_FRAMES)
        self._sounds = {clip.name: SoundLoader.load(str(clip_file(clip, folder))) for clip in CLIPS}
        self.last: Any = None  # Kivy's sounds have no types
        for sound in self._sounds.values():
            # Without a working device SDL returns sounds of zero length that never play.
            if not sound or sound.length <= 0:
                raise Unavailable(tr("The app's own player can't find any sound output."))

    def play(self, clip: Clip, volume: int) -> None:
        self.stop()
        self.last = self._sounds[clip.name]
        self.last.volume = volume / 100
        self.last.play()
        if self.last.state != "play":
            raise Unavailable(tr("The app's own player refused a sound. If you hear none, use a whistle."))

    def stop(self) -> None:
        if self.last:
            self.last.stop()
            self.last = None

    def close(self) -> None:
        self.stop()
        for sound in self._sounds.values():
            sound.unload()


def _uses_mixer(loader: object) -> bool:
    """Whether Kivy's first provider is SDL's; asking one for its file types would open it."""
    classes: Sequence[type] = getattr(loader, "_classes", ())
    return bool(classes) and classes[0].__module__.endswith("audio_sdl2")
