"""What is kept of lane screens beside a session, so that they find it again after the tablet was killed.

A file of its own, which no archive and no export takes along: it holds keys. The next session takes its devices over:
nobody scans twice, but who helps is asked again.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pacer.disk import write_whole
from pacer.screens.devices import Devices, devices_from

FILE = "screens.json"
VERSION = 2


@dataclass(frozen=True, slots=True)
class KeptScreens:
    """The devices of session `number` of the store, the port that they know, and whether screens are on."""

    number: int
    on: bool
    port: int
    devices: dict[str, Any]

    def opened(self) -> Devices:
        """The devices. Raises ValueError."""
        return devices_from(self.devices)


def keep_screens(folder: Path, kept: KeptScreens) -> None:
    """Write it down. Raises OSError."""
    told = {"v": VERSION, "number": kept.number, "on": kept.on, "port": kept.port, "screens": kept.devices}
    path = folder / FILE
    write_whole(path, json.dumps(told, indent=1).encode())
    path.chmod(0o600)


def kept_screens(folder: Path) -> KeptScreens | None:
    """The screens of the last session that had any; None if they cannot be read: then all pair again."""
    try:
        told = json.loads((folder / FILE).read_bytes())
        if told["v"] != VERSION:
            return None
        made = KeptScreens(int(told["number"]), bool(told["on"]), int(told["port"]), told["screens"])
        made.opened()
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    return made


def were_on(folder: Path, number: int | None) -> bool:
    """Whether session `number` was running with lane screens when the tablet was killed."""
    kept = kept_screens(folder)
    return kept is not None and kept.on and kept.number == number
