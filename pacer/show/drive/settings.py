"""What the coach has set for this tablet, saved as JSON in the app's own folder.

A file that cannot be read is set aside under another name and the defaults are used; a single wrong value falls back
to its default alone. Neither stops the app.
"""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Any

from pacer.disk import reason_of, write_whole
from pacer.language import tr
from pacer.plan.notation.planreader import pool_from_text
from pacer.plan.problem import Unreadable
from pacer.review.series.due import Gaps
from pacer.session.poolclock import WallTop

THEMES = ("dark", "bright")
ORIENTATIONS = ("any", "landscape", "portrait")
FILE_NAME = "settings.json"

#: Whole-number settings and the range of each.
RANGES = {
    "reading_distance_m": (1, 25),
    "volume": (0, 100),
    "latency_ms": (0, 1_000),
    "cautions_read": (0, 1_000),
    "booking_min": (10, 600),
    "revisit_days": (1, 60),
    "revisit_growth": (100, 300),
    "locked_over": (1, 2**53),
}


@dataclass(frozen=True, slots=True)
class Settings:
    """The settings of one tablet.

    `reading_distance_m`: metres from which swimmers read the screen. `volume`: per cent of the clips' amplitude.
    `lanes_that_sound`: numbers on the wall. `latency_ms`: how much earlier sound is started; None for the device's
    usual value. `locked`: the splash lock closes when a session begins; `locked_over`: the number of the session over
    which it is closed now, None for none. `orientation`: which way up the screen stays;
    `any` follows how the tablet is held. `pool`: of new plans and sets; `booking_min`: for how many minutes new plans
    have it. `cautions_read`: how many cautions there were
    when the coach confirmed them. `wall_top`: when the pool clock was last seen to pass :00, None for never.
    `revisit_days` and `revisit_growth`: when a drill is due again, as `Gaps` has it.
    """

    reading_distance_m: int = 8
    theme: str = "dark"
    volume: int = 100
    muted: bool = False
    lanes_that_sound: tuple[int, ...] = ()
    latency_ms: int | None = None
    speech: bool = False
    vibration: bool = True
    flash: bool = True
    locked: bool = False
    orientation: str = "any"
    pool: str = "25 m"
    booking_min: int = 60
    cautions_read: int = 0
    wall_top: WallTop | None = None
    revisit_days: int = Gaps().first_days
    revisit_growth: int = Gaps().growth_percent
    locked_over: int | None = None

    @property
    def booking(self) -> str:
        """The booking of new plans, as a plan has it."""
        return f"{self.booking_min} min"

    @property
    def gaps(self) -> Gaps:
        """When what was swum is due again."""
        return Gaps(self.revisit_days, self.revisit_growth)


def read_settings(folder: Path) -> tuple[Settings, str]:
    """The settings in `folder`, and a sentence if something was wrong with them ("" if not).

    A broken file is renamed to `settings.json.broken`. Never raises.
    """
    path = folder / FILE_NAME
    try:
        data = json.loads(path.read_bytes().decode("utf-8"))
        if not isinstance(data, dict):
            raise ValueError(tr("not an object"))
    except FileNotFoundError:
        return Settings(), ""
    except OSError as error:
        return Settings(), tr(
            "The settings could not be read ({strerror}); the defaults are used.", strerror=error.strerror
        )
    except (ValueError, RecursionError):
        return Settings(), _set_aside(path)
    return _settings_from(data)


def write_settings(folder: Path, settings: Settings) -> str:
    """Save `settings` in `folder`, whole or not at all; returns a sentence if that failed, else "". Never raises."""
    path = folder / FILE_NAME
    try:
        write_whole(path, json.dumps(asdict(settings), indent=1).encode())
    except OSError as error:
        return tr(
            "The settings could not be saved: {reason}. You will lose them when the app closes.",
            reason=reason_of(error),
        )
    return ""


def _set_aside(path: Path) -> str:
    aside, number = path.with_name(f"{FILE_NAME}.broken"), 2
    while aside.exists():  # keep a file that was set aside before
        aside, number = path.with_name(f"{FILE_NAME}.broken-{number}"), number + 1
    try:
        os.replace(path, aside)
    except OSError:
        return tr("The settings file is damaged; the default settings are used.")
    return tr("The settings file was damaged and is kept as {name}; the default settings are used.", name=aside.name)


def _settings_from(data: dict) -> tuple[Settings, str]:
    """The values in `data` that are right; wrong values and keys of other versions are left out."""
    found: dict[str, Any] = {
        key: _value(key, data[key]) for key in (field.name for field in fields(Settings)) if key in data
    }
    wrong = [key for key, value in found.items() if value is _WRONG]
    settings = replace(Settings(), **{key: value for key, value in found.items() if value is not _WRONG})
    if not wrong:
        return settings, ""
    named = ", ".join(key.replace("_", " ") for key in wrong)
    return settings, tr("Some settings were damaged and are back to default: {named}.", named=named)


_WRONG = object()


def _value(key: str, value: object) -> object:
    """`value` as the setting `key` holds it, or `_WRONG`."""
    if key == "theme":
        return value if value in THEMES else _WRONG
    if key == "orientation":
        return value if value in ORIENTATIONS else _WRONG
    if key == "pool":
        return _pool(value)
    if key == "wall_top":
        return _wall_top(value)
    if key == "lanes_that_sound":
        if isinstance(value, list) and all(type(each) is int and 0 <= each <= 99 for each in value):
            return tuple(dict.fromkeys(value))
        return _WRONG
    if key in ("latency_ms", "locked_over") and value is None:
        return None
    if key in RANGES:
        least, most = RANGES[key]
        return value if type(value) is int and least <= value <= most else _WRONG
    return value if type(value) is bool else _WRONG


def _wall_top(value: object) -> object:
    match value:
        case None:
            return None
        case {"boot_ms": int(boot_ms), "boot": str(boot)}:
            return WallTop(boot_ms, boot) if boot else None  # None: unknown since which start of the machine
    return _WRONG


def _pool(value: object) -> object:
    try:
        return str(pool_from_text(value)) if isinstance(value, str) else _WRONG
    except Unreadable:
        return _WRONG
