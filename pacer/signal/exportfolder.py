"""Where files can be put that somebody takes off the device."""

from __future__ import annotations

import logging
from pathlib import Path

log = logging.getLogger(__name__)


def outside(platform: str, otherwise: Path) -> Path:
    """The app's own folder that a cable and other apps can reach, where a device keeps its apps apart.

    Else `otherwise`.

    On Android this folder needs no permission (developer.android.com, getExternalFilesDir; not tried on a device).
    """
    if platform != "android":
        return otherwise
    try:
        from jnius import autoclass

        found = autoclass("org.kivy.android.PythonActivity").mActivity.getExternalFilesDir(None)
        return Path(found.getAbsolutePath()) if found is not None else otherwise
    except Exception:  # whatever Java raises, the copy goes to the app's own folder
        log.exception("The folder that other apps reach is not to be had")
        return otherwise
