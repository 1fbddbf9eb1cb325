"""The coach's list of screens."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from pacer.screens.devices import Devices
from pacer.screens.screenconnection import ScreenLine


class Row(NamedTuple):
    """A screen on the coach's list. `lane` is an index; `gone_ms`: since when it is not connected, tablet's clock."""

    number: int
    lane: int | None
    view: str
    connected: bool
    gone_ms: int | None
    bound_ms: float | None
    helps: bool
    can_help: bool
    helped_before: bool = False  #: in the session before, and it has not been asked about since


def rows_of(devices: Devices, screens: Mapping[str, ScreenLine], gone: Mapping[str, int]) -> tuple[Row, ...]:
    """Those that have joined this session and were not sent away; `screens` are connected."""
    return tuple(
        Row(
            one.number,
            one.lane,
            one.view,
            one.name in screens,
            None if one.name in screens else gone.get(one.name),
            screens[one.name].bound_ms if one.name in screens else None,
            one.helps,
            bool(one.key),
            one.helped_before,
        )
        for one in devices.known.values()
        if one.here and not one.away
    )
