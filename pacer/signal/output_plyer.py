"""The device's own player through plyer's audio facade: Android and Windows.

plyer 2.1.0 also has audio on macOS, but there it plays only its own last recording, whatever
its `file_path` says, so macOS is not supported here. The facade has no volume: the clips are
rendered at the wanted one.
"""

from __future__ import annotations

from pathlib import Path

from pacer.language import tr
from pacer.signal.clip import CLIPS, STOP_ALL, Clip, clear_files, clip_file
from pacer.signal.output import Output, Unavailable
from pacer.signal.plyerfacade import Facade, open_facade


class PlyerOutput(Output):
    """Play files, one at a time. `audio` is the facade; None means plyer's own."""

    name = "plyer"
    label = tr("the device's own player")
    usual_latency_ms = 120  # each play opens the file again

    def __init__(self, folder: Path, audio: Facade | None = None):
        super().__init__(folder)
        self._audio: Facade = audio or open_facade("audio")
        if self._audio is None:
            raise Unavailable(tr("The device's own player can't be reached."))

    def prepare(self, volume: int) -> None:
        files = {clip_file(clip, self.folder, volume) for clip in CLIPS}
        files.add(clip_file(STOP_ALL, self.folder, 100))
        clear_files(self.folder, files)

    def play(self, clip: Clip, volume: int) -> None:
        self.stop()  # on Android the facade keeps a player for each play until it is told to stop
        self._audio.file_path = str(clip_file(clip, self.folder, volume))
        self._audio.play()

    def stop(self) -> None:
        self._audio.stop()

    def close(self) -> None:
        self.stop()
