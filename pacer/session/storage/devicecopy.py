"""Copy all of a device's data into one zip file: plans, squads, sessions, settings."""

from __future__ import annotations

import contextlib
import sqlite3
import tempfile
import zipfile
from pathlib import Path

from pacer.disk import free_path, reason_of, whole_file
from pacer.language import tr
from pacer.session.storage.store import FILE, LOCK, OWN_FILE

#: Files not worth copying: half-written ones, and SQLite's own files beside the sessions.
_LEFT_OUT = (LOCK, f"{LOCK}-journal", *(f"{name}{end}" for name in (FILE, OWN_FILE) for end in ("-wal", "-shm")))
COPIES = "copies"  #: the folder of backups
_FOLDERS_LEFT_OUT = ("sounds", "out", COPIES)  # sounds can be made again; the others are earlier exports


class CopyTrouble(Exception):
    """No copy could be made; the message says why."""


def path_of_copy(folder: Path, day: str) -> Path:
    """Where in `folder` a backup goes; `day` is today, "" if it is unknown. No backup is replaced."""
    return free_path(folder / COPIES / f"pacer-{day or 'copy'}.zip")


def copy_all(folder: Path, to: Path) -> int:
    """Write all of `folder` into the zip file `to`, whole or not at all; return the number of files in it.

    Sessions are copied as they are at that instant, even while one is running. The copy has swimmers' names in it.
    Raises CopyTrouble.
    """
    to = Path(to)
    try:
        with (
            whole_file(to) as file,
            zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, strict_timestamps=False) as archive,
        ):
            count = _put_all(archive, Path(folder), to.resolve())
    except (OSError, sqlite3.Error) as error:
        raise CopyTrouble(tr("No backup was made: {reason}.", reason=reason_of(error))) from None
    return count


def _put_all(archive: zipfile.ZipFile, folder: Path, own: Path) -> int:
    count = 0
    for path in sorted(folder.rglob("*")):
        at = path.relative_to(folder)
        out = path.name in _LEFT_OUT or at.parts[0] in _FOLDERS_LEFT_OUT or path.name.endswith(".part")
        if out or not path.is_file() or path.resolve() == own:
            continue
        if path.name in (FILE, OWN_FILE) and len(at.parts) == 1:
            _put_sessions(archive, path)
        else:
            archive.write(path, f"pacer/{at.as_posix()}")
        count += 1
    return count


def _put_sessions(archive: zipfile.ZipFile, path: Path) -> None:
    """Add the sessions as one complete file, or its raw bytes if SQLite cannot read it."""
    with tempfile.TemporaryDirectory() as rough:
        whole = Path(rough) / path.name
        try:
            with (
                contextlib.closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as found,
                contextlib.closing(sqlite3.connect(whole)) as made,
            ):
                found.backup(made)
        except sqlite3.Error:
            whole = path
        archive.write(whole, f"pacer/{path.name}")
