"""What the tablet tells a screen, as JSON texts."""

from __future__ import annotations

import json
from typing import Any

from pacer.screens.cardsending import Shown
from pacer.screens.devices import Device


def message(kind: str, **told: Any) -> str:
    """A message of the protocol.

    >>> message("role", role="helps")
    '{"type":"role","role":"helps"}'
    """
    return json.dumps({"type": kind, **told}, ensure_ascii=False, separators=(",", ":"))


def role_of(device: Device) -> str:
    """What a device may do."""
    return "helps" if device.helps else "shows"


def joined(device: Device, shown: Shown | None, *, boot: str, acts: int, hosts: tuple[str, ...]) -> str:
    """To a screen that has joined. `acts`: the highest number of its acts that was answered."""
    timeline = None if shown is None else shown.run.timeline
    return message(
        "joined",
        number=device.number,
        role=role_of(device),
        lanes=[] if timeline is None else [lane.number for lane in timeline.lanes],
        title="" if timeline is None else timeline.plan.title,
        token=device.token or None,
        boot=boot,
        acts=acts,
        lane=device.lane,
        view=device.view,
        keyed=bool(device.key),
        hosts=hosts,
    )


def state(shown: Shown | None) -> str:
    """Whether the session has begun, ended, or everything is stopped."""
    run = None if shown is None else shown.run
    begun = None if run is None else run.begun
    return message(
        "state",
        zero_ms=None if begun is None else begun.boot_ms,
        begun=begun is not None,
        ended=run is not None and run.ended_ms is not None,
        stopped=run is not None and run.stopped,
    )
