"""What every back end offers: a small base, one file for each below it.

Opening happens on the thread that the app starts on; `prepare`, `play` and `stop` are then
called from the player's thread alone, one at a time.
"""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from pacer.signal.clip import Clip


class Unavailable(Exception):
    """This back end does not sound on this device; the text is a plain sentence saying so."""


class Output:
    """A way to make clips heard. The constructor raises `Unavailable` where it cannot.

    `label` is what a sentence calls it. `usual_latency_ms`: from `play` to the ear, as a
    first value until the coach tunes it (rule of thumb, no source; it differs from device
    to device).
    """

    name: ClassVar[str]
    label: ClassVar[str]
    usual_latency_ms: ClassVar[int] = 0

    def __init__(self, folder: Path):
        self.folder = folder  #: where the clips' files may be kept

    def prepare(self, volume: int) -> None:
        """Have at hand what `play` at this volume needs, so that it loses no time."""

    def play(self, clip: Clip, volume: int) -> None:
        """Sound `clip` from its start, at once, instead of what sounds; what goes wrong is raised.

        `volume` is per cent of the amplitude, 0 to 100.
        """
        raise NotImplementedError

    def stop(self) -> None:
        """Silence what sounds, at once; nothing sounding is fine."""

    def close(self) -> None:
        """Let go of the device."""
