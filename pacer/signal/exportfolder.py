"""The folder for files that somebody copies off the device."""

from __future__ import annotations

import logging
from pathlib import Path

log = logging.getLogger(__name__)


def outside(platform: str, otherwise: Path) -> Path:
    """On Android, the app's own folder that a cable and other apps can reach; elsewhere `otherwise`.

    On Android this folder needs no permission (developer.android.com, getExternalFilesDir; not tried on a device).
    """
    if platform != "android":
        return otherwise
    try:
        from jnius import autoclass

        found = autoclass("org.kivy.android.PythonActivity").mActivity.getExternalFilesDir(None)
        return Path(found.getAbsolutePath()) if found is not None else otherwise
    except Exception:  # on any Java error, the copy goes to the app's own folder
        log.exception("The folder that other apps can reach is not available")
        return otherwise
