"""The last resort: no sound. Everything that would be heard is also seen."""

from __future__ import annotations

from pacer.signal.clip import Clip
from pacer.signal.output import Output


class SilentOutput(Output):
    """Takes every clip and plays none."""

    name = "silent"
    label = "silence"

    def play(self, clip: Clip, volume: int) -> None:
        pass
