"""The base class of all back ends; each has its own file.

A back end is opened on the thread on which the app starts; after that, only the player's thread
calls `prepare`, `play` and `stop`, one at a time.
"""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from pacer.signal.clip import Clip


class Unavailable(Exception):
    """This back end makes no sound on this device; the text is a plain sentence that says so."""


class Output:
    """A way to play clips. The constructor raises `Unavailable` if it cannot.

    `label` is its name in sentences. `usual_latency_ms`: the time from `play` to the ear, as a
    first value until the coach tunes it (rule of thumb, no source; it differs from device to
    device).
    """

    name: ClassVar[str]
    label: ClassVar[str]
    usual_latency_ms: ClassVar[int] = 0

    def __init__(self, folder: Path):
        self.folder = folder  #: where the clips' files may be stored

    def prepare(self, volume: int) -> None:
        """Prepare everything that `play` at this volume needs, so that it loses no time."""

    def play(self, clip: Clip, volume: int) -> None:
        """Play `clip` from its start, at once, instead of the current one; raises any error.

        `volume` is per cent of the amplitude, 0 to 100.
        """
        raise NotImplementedError

    def stop(self) -> None:
        """Silence the current clip at once; it is fine if there is none."""

    def close(self) -> None:
        """Release the device."""
