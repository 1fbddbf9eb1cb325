"""The settings that the coach can change on the bar, also during a session: their keys, and what a press does. No
Kivy.

A switch says what it is, on or off; a step names the value as it is. Nothing here covers the view, so every
change shows at once.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from pacer.language import tr
from pacer.show.drive.barkeychoice import Key
from pacer.show.drive.settings import RANGES, Settings

GROWTH_STEP = 25  #: per cent
BOOKING_STEP = 5  #: minutes
VOLUME_STEP = 10
LATENCY_STEP_MS = 10
DISTANCE_STEP_M = 1

_SWITCHES = {"flash": "flash", "vibration": "vibration", "speech": "speech", "lock at start": "locked"}
_STEPS = {
    "louder": ("volume", VOLUME_STEP),
    "softer": ("volume", -VOLUME_STEP),
    "farther": ("reading_distance_m", DISTANCE_STEP_M),
    "nearer": ("reading_distance_m", -DISTANCE_STEP_M),
}


def setting_keys(settings: Settings, *, several: bool, running: bool) -> tuple[Key, ...]:
    """All settings keys, those needed most during a session first."""
    return (
        Key("close"),
        _step_key("softer", settings),
        _step_key("louder", settings),
        *((Key("sounding"),) if several else ()),
        Key("flash", variant=0 if settings.flash else 1),
        Key("theme", variant=0 if settings.theme == "dark" else 1),
        _step_key("nearer", settings),
        _step_key("farther", settings),
        Key("vibration", variant=0 if settings.vibration else 1),
        Key("speech", variant=1 if settings.speech else 0),
        Key("lock at start", variant=1 if settings.locked else 0),
        *(() if running else (Key("tune"),)),
        Key("tablet"),
    )


def _step_key(name: str, settings: Settings) -> Key:
    """A key that names the value it would change."""
    field, _ = _STEPS[name]
    unit = "%" if field == "volume" else " m"
    return Key(name, values=(f"{getattr(settings, field)}{unit}", f"{RANGES[field][1]}{unit}"))


def lane_keys(settings: Settings, numbers: tuple[int, ...]) -> tuple[Key, ...]:
    """A key for each lane: whether its send-offs are counted down."""
    return (
        Key("close"),
        *(Key("lane", lane=number, variant=1 if number in settings.lanes_that_sound else 0) for number in numbers),
    )


def tuning_keys() -> tuple[Key, ...]:
    """The keys while the sound delay is being adjusted."""
    return Key("sooner"), Key("tardier"), Key("close")


def adjusted(settings: Settings, key: Key, usual_latency_ms: int = 0) -> tuple[Settings, str]:
    """The settings after a press on `key`, and what to say about it ("" where the screen already shows it)."""
    name = key.name
    if name in _SWITCHES:
        return _with(settings, _SWITCHES[name], not getattr(settings, _SWITCHES[name])), ""
    if name == "theme":
        return replace(settings, theme="bright" if settings.theme == "dark" else "dark"), ""
    if name == "lane" and key.lane is not None:
        chosen = set(settings.lanes_that_sound) ^ {key.lane}
        return replace(settings, lanes_that_sound=tuple(sorted(chosen))), ""
    if name in ("sooner", "tardier"):
        now = usual_latency_ms if settings.latency_ms is None else settings.latency_ms
        made = within("latency_ms", now + (LATENCY_STEP_MS if name == "sooner" else -LATENCY_STEP_MS))
        return replace(settings, latency_ms=made), tr("beep {ms} ms sooner", ms=made)
    field, step = _STEPS[name]
    made = within(field, getattr(settings, field) + step)
    return _with(settings, field, made), tr("volume {percent}%", percent=made) if field == "volume" else tr(
        "read from {metres} m", metres=made
    )


def within(field: str, value: int) -> int:
    """`value`, limited to the setting's range."""
    least, most = RANGES[field]
    return min(most, max(least, value))


def _with(settings: Settings, field: str, value: Any) -> Settings:
    return replace(settings, **{field: value})
