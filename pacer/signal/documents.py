"""Files that another Android app hands over: known by a URI, opened by the system, never by a way through folders.

plyer makes folders' ways of such URIs, which since Android 10 an app must not open (developer.android.com, "Scoped
storage"); so its chooser is asked for the URIs as they are, and the system for what they stand for. Not tried on a
device.
"""

from __future__ import annotations

import logging
import os
from collections.abc import Callable

from pacer.signal.facade import Facade

log = logging.getLogger(__name__)

MOST_BYTES = 4 * 1024 * 1024  #: of a file; a plan has thousands

#: Name and content of the file that a URI stands for. Raises OSError.
Reader = Callable[[str], tuple[str, bytes]]


def by_uri(chooser: Facade, most: int = MOST_BYTES) -> Reader | None:
    """Have plyer's chooser hand over URIs as they are, and give what reads one; None where Java is not to be reached.

    To be called on the thread that the app starts on (only there is the app's own class found); the reader may be
    called on any.
    """
    try:
        from jnius import autoclass

        resolver = autoclass("org.kivy.android.PythonActivity").mActivity.getContentResolver()
        uris, column = autoclass("android.net.Uri"), autoclass("android.provider.OpenableColumns").DISPLAY_NAME
        chooser._resolve_uri = lambda uri: None if uri is None else str(uri.toString())
    except Exception:  # whatever Java raises, the chooser is as it was
        log.exception("The system does not hand over files by URI")
        return None

    def read(text: str) -> tuple[str, bytes]:
        try:
            uri = uris.parse(text)
            name = _name(resolver, uri, column)
            with os.fdopen(resolver.openFileDescriptor(uri, "r").detachFd(), "rb") as file:
                data = file.read(most + 1)
        except OSError:
            raise
        except Exception as error:  # Java's own: the file is gone, or whoever has it refuses
            raise OSError(0, "the app that has it does not hand it over") from error
        if len(data) > most:
            raise OSError(0, "it is too large")
        return name, data

    return read


def _name(resolver, uri, column: str) -> str:
    """What the file is called, "" where nobody says."""
    try:
        cursor = resolver.query(uri, [column], None, None, None)
        if cursor is None:
            return ""
        try:
            return (cursor.getString(0) if cursor.moveToFirst() else "") or ""
        finally:
            cursor.close()
    except Exception:  # a file without a name is a file
        log.exception("A file has no name")
        return ""
