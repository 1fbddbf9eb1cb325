"""Where pacer keeps its data on this device."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path, PurePath

NAME = "pacer"


def home() -> Path:
    """The folder on this device: PACER_HOME, otherwise the platform's place for a user's data."""
    return Path(home_of(os.environ, sys.platform, os.path.expanduser("~")))


def home_of(environment: Mapping[str, str], platform: str, user_home: str) -> PurePath:
    """The same, computed from the environment, platform and user's home. An empty variable counts as missing.

    >>> str(home_of({}, "linux", "/home/kit")), str(home_of({"PACER_HOME": "/srv/deck"}, "linux", "/home/kit"))
    ('/home/kit/.local/share/pacer', '/srv/deck')
    """
    if given := environment.get("PACER_HOME"):
        return PurePath(given)
    if private := environment.get("ANDROID_PRIVATE"):  # set for apps by python-for-android
        return PurePath(private) / NAME
    base = PurePath(user_home)
    if platform == "win32":
        return PurePath(environment.get("LOCALAPPDATA") or base / "AppData" / "Local") / NAME
    if platform in ("darwin", "ios"):
        return base / "Library" / "Application Support" / NAME
    return PurePath(environment.get("XDG_DATA_HOME") or base / ".local" / "share") / NAME
