"""Writes files whole or not at all, and says why a disk refused. Nothing else in the app writes a file."""

from __future__ import annotations

import contextlib
import errno
import itertools
import os
import stat
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import BinaryIO

from pacer.language import tr

NO_ROOM = (errno.ENOSPC, errno.EDQUOT)
STORAGE_FULL = tr("the tablet's storage is full")
_REASONS = {
    **dict.fromkeys(NO_ROOM, STORAGE_FULL),
    errno.EFBIG: tr("the file would be larger than this device allows"),
    errno.EROFS: tr("this folder is read-only"),
    errno.EACCES: tr("this folder can't be written to"),
    errno.EPERM: tr("this folder can't be written to"),
    errno.ENOENT: tr("it is gone"),
    errno.ENOTDIR: tr("there is a file where a folder should be"),
    errno.EISDIR: tr("there is a folder of that name"),
    errno.ENAMETOOLONG: tr("the name is too long"),
}


#: What else a name may belong to: a file never replaces one of these.
_NO_FILES = {
    stat.S_IFDIR: (errno.EISDIR, tr("there is a folder of that name")),
    stat.S_IFIFO: (errno.EINVAL, tr("there is a named pipe of that name, not a file")),
    stat.S_IFSOCK: (errno.EINVAL, tr("there is a socket of that name, not a file")),
    stat.S_IFCHR: (errno.EINVAL, tr("there is a device of that name, not a file")),
    stat.S_IFBLK: (errno.EINVAL, tr("there is a device of that name, not a file")),
}
_COUNT = itertools.count()


def reason_of(error: Exception) -> str:
    """Why the disk refused, in a coach's words."""
    code, told = getattr(error, "errno", None), getattr(error, "strerror", None)
    if told and code is not None and told != os.strerror(code):
        return told  # raised here, and more exact than the code alone
    return (_REASONS.get(code) if code is not None else None) or told or str(error) or tr("storage is not responding")


def fill_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Make a new folder with its files in one step: it is there with all of them, or not at all. Raises OSError."""
    rough = folder.with_name(f"{folder.name}.part")
    rough.mkdir(parents=True, exist_ok=True)
    for name, data in files.items():
        write_whole(rough / name, data)
    os.replace(rough, folder)


def free_path(path: Path) -> Path:
    """The path if it is free, else one with a number after its name."""
    free, number = path, 2
    while free.exists():
        free, number = path.with_name(f"{path.stem}-{number}{path.suffix}"), number + 1
    return free


def write_whole(path: Path, data: bytes, *, sure: bool = True, fresh: bool = False) -> None:
    """Write a file in one piece; see `whole_file`. Raises OSError."""
    with whole_file(path, sure=sure, fresh=fresh) as file:
        file.write(data)


@contextlib.contextmanager
def whole_file(path: Path, *, sure: bool = True, fresh: bool = False) -> Iterator[BinaryIO]:
    """A file to write into; at the end it replaces `path`, after an error `path` stays as it was.

    It is written beside `path` and then renamed, so nobody ever reads half of it. Links are followed, and an existing
    file keeps its permissions. Anything that is not a file, or is read-only, is not replaced. `sure` waits until the
    disk has it, `fresh` demands a name that is not taken. Raises OSError.
    """
    path = Path(os.path.realpath(path))
    path.parent.mkdir(parents=True, exist_ok=True)
    if fresh and path.exists():
        raise FileExistsError(errno.EEXIST, tr("a file of that name exists"))
    _check_replaceable(path)
    rough = path.with_name(f".{os.getpid()}-{next(_COUNT)}.part")  # short: a name may be as long as the disk allows
    try:
        with open(rough, "wb") as file:
            yield file
            if sure:
                file.flush()
                os.fsync(file.fileno())
        with contextlib.suppress(FileNotFoundError, PermissionError):
            os.chmod(rough, stat.S_IMODE(path.stat().st_mode))
        os.replace(rough, path)
    except BaseException:
        with contextlib.suppress(OSError):
            rough.unlink(missing_ok=True)
        raise
    if sure:
        _sync_folder(path.parent)


def _check_replaceable(path: Path) -> None:
    """Refuse to replace what nobody may write to, or what is not a file: renaming would."""
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        return
    if not stat.S_ISREG(mode):
        raise OSError(*_NO_FILES.get(stat.S_IFMT(mode), (errno.EINVAL, tr("that name is not a file"))))
    if not mode & 0o222 or not os.access(path, os.W_OK):
        raise PermissionError(errno.EACCES, tr("the file is read-only"))


def _sync_folder(folder: Path) -> None:
    """Tell the disk the file's new name, on systems that allow it."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
