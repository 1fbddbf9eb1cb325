"""Files that another Android app hands over: they have a URI, and the system opens them, not a path.

plyer turns such URIs into paths, which an app must not open since Android 10 (developer.android.com, "Scoped
storage"). So this module gets the unchanged URIs from plyer's chooser, and asks the system for their content. Not
tried on a device.
"""

from __future__ import annotations

import logging
import os
from collections.abc import Callable

from pacer.language import tr
from pacer.signal.plyerfacade import Facade

log = logging.getLogger(__name__)

MOST_FILE_BYTES = 4 * 1024 * 1024  #: of a file; a plan has a few thousand

#: Reads the name and content of a URI's file. Raises OSError.
Reader = Callable[[str], tuple[str, bytes]]


def by_uri(chooser: Facade, most: int = MOST_FILE_BYTES) -> Reader | None:
    """Make plyer's chooser return URIs unchanged, and return a function that reads one; None without Java.

    Call it on the thread on which the app starts (only that thread finds the app's own class); the reader may be called
    on any thread.
    """
    try:
        from jnius import autoclass

        resolver = autoclass("org.kivy.android.PythonActivity").mActivity.getContentResolver()
        uris, column = autoclass("android.net.Uri"), autoclass("android.provider.OpenableColumns").DISPLAY_NAME
        chooser._resolve_uri = lambda uri: None if uri is None else str(uri.toString())
    except Exception:  # on any Java error, the chooser stays as it was
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
        except Exception as error:  # a Java error: the file is gone, or its app refuses
            log.exception("A file of another app cannot be read")
            raise OSError(0, tr("the app that has it won't share it")) from error
        if len(data) > most:
            raise OSError(0, tr("it is too large"))
        return name, data

    return read


def _name(resolver, uri, column: str) -> str:
    """The file's name, "" if it is not known."""
    try:
        cursor = resolver.query(uri, [column], None, None, None)
        if cursor is None:
            return ""
        try:
            return (cursor.getString(0) if cursor.moveToFirst() else "") or ""
        finally:
            cursor.close()
    except Exception:  # a file without a name can still be read
        log.exception("A file has no name")
        return ""
