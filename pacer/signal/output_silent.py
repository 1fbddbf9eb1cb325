"""The last resort: no sound. Everything that sounds is also on the screen."""

from __future__ import annotations

from pacer.language import tr
from pacer.signal.clip import Clip
from pacer.signal.output import Output

#: What is said where it is used.
NO_SOUND = tr("This tablet has no sound: everything is on the screen.")


class SilentOutput(Output):
    """Accept every clip and play none."""

    name = "silent"
    label = tr("silence")

    def play(self, clip: Clip, volume: int) -> None:
        pass
