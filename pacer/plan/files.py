"""Files written whole or not at all, names for them that every system takes, and what a disk's refusal means."""

from __future__ import annotations

import errno
import os
import re
import unicodedata
from pathlib import Path

MAX_NAME_BYTES = 100

_NO_NAME = re.compile(r"[^\w]+")
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}

_REASONS = {
    errno.ENOSPC: "the tablet's memory is full",
    errno.EDQUOT: "the tablet's memory is full",
    errno.EROFS: "this place can only be read",
    errno.EACCES: "this place may not be written to",
    errno.EPERM: "this place may not be written to",
    errno.ENOENT: "it is not there any more",
    errno.ENOTDIR: "there is a file where a folder should be",
    errno.EISDIR: "there is a folder of that name",
    errno.ENAMETOOLONG: "the name is too long",
}


def name_from_title(title: str, otherwise: str = "plan") -> str:
    """A file's name that a title gives, on every system; `otherwise` where it gives none.

    >>> name_from_title("Long-axis rotation 3"), name_from_title("?"), name_from_title("CON")
    ('long-axis-rotation-3', 'plan', 'con-plan')
    """
    name = _NO_NAME.sub("-", unicodedata.normalize("NFC", title).casefold()).strip("-_")
    name = name.encode()[:MAX_NAME_BYTES].decode("utf-8", "ignore").strip("-") or otherwise
    return f"{name}-{otherwise}" if name in _RESERVED else name


def reason_of(error: Exception) -> str:
    """Why the disk refused, in a coach's words."""
    why = _REASONS.get(getattr(error, "errno", None))
    return why or getattr(error, "strerror", None) or str(error) or "the disk does not answer"


def write_whole(path: Path, data: bytes, *, sure: bool = True, fresh: bool = False) -> None:
    """Write a file, whole or not at all; `sure` waits until the disk has it, `fresh` wants a name that is not taken. Raises OSError."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if fresh and path.exists():
        raise FileExistsError(errno.EEXIST, "there is a file of that name already")
    rough = path.with_name(f".{path.name}.part")
    try:
        with open(rough, "wb") as file:
            file.write(data)
            if sure:
                file.flush()
                os.fsync(file.fileno())
        os.replace(rough, path)
    except OSError:
        try:
            rough.unlink(missing_ok=True)
        except OSError:
            pass
        raise
    if sure:
        _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    """Have the disk know the file's new name, where a system can be told so."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)
