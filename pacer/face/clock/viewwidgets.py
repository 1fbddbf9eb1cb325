"""The widget of each view of a running session, imported when it is first shown."""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.widget import Widget


def new_view(name: str) -> Widget:
    """The view called `name`: pool, lane, dial, changeover, or the one shown while everything is stopped."""
    return _MADE[name]()


def _pool() -> Widget:
    from pacer.face.clock.poolview import PoolView

    return PoolView()


def _lane() -> Widget:
    from pacer.face.clock.laneview import LaneView

    return LaneView()


def _dial() -> Widget:
    from pacer.face.clock.dialview import DialView

    return DialView()


def _changeover() -> Widget:
    from pacer.face.clock.changeoverview import ChangeoverView

    return ChangeoverView()


def _stop() -> Widget:
    from pacer.face.clock.stopscreen import StopScreen

    return StopScreen()


_MADE: dict[str, Callable[[], Widget]] = {
    "pool": _pool,
    "lane": _lane,
    "dial": _dial,
    "changeover": _changeover,
    "stop": _stop,
}
