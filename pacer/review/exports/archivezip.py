"""One file with everything: a zip of text and CSV for any program, with the same bytes for the same content.

Reading one trusts nothing in it: paths, sizes and checksums are checked before anything is returned.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
import unicodedata
import zipfile
from collections.abc import Mapping

from pacer.language import tr

FORMAT = "pacer-archive/1"
MANIFEST = "manifest.json"
MOST_FILES = 20_000
MOST_PATH = 200  #: letters
MOST_PACKED = 256 * 1024 * 1024  #: bytes of an archive that is read
MOST_UNPACKED = 512 * 1024 * 1024  #: bytes of all its files together
MOST_RATIO = 1_000  #: unpacked over packed, of one file larger than a megabyte
_TIME = (1980, 1, 1, 0, 0, 0)  #: the earliest time that a zip allows, so that the same content makes the same bytes
_PATH = re.compile(r"(?:[\w][\w .()-]*/){0,4}[\w][\w .()-]*")


class BadArchive(Exception):
    """A file is not an archive of pacer's; the message says why."""


def archive_bytes(files: Mapping[str, bytes], about: Mapping[str, object] | None = None) -> bytes:
    """The archive of these files, by their paths; `about` goes into the manifest."""
    listed = {path: _listed(data) for path, data in sorted(files.items())}
    manifest = {"format": FORMAT, **(about or {}), "files": listed}
    told = (json.dumps(manifest, ensure_ascii=False, indent=1) + "\n").encode()
    memory = io.BytesIO()
    with zipfile.ZipFile(memory, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as packed:
        for path, data in [(MANIFEST, told), *sorted(files.items())]:
            entry = zipfile.ZipInfo(path, _TIME)
            entry.compress_type, entry.create_system, entry.external_attr = zipfile.ZIP_DEFLATED, 3, 0o644 << 16
            packed.writestr(entry, data)
    return memory.getvalue()


def _listed(data: bytes) -> dict[str, object]:
    return {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}


def files_of(data: bytes) -> tuple[dict[str, bytes], dict[str, object]]:
    """The files of an archive, and the rest of its manifest. Raises BadArchive, and then returns nothing."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            return _checked(packed)
    except BadArchive:
        raise
    except (zipfile.BadZipFile, zipfile.LargeZipFile, NotImplementedError, RuntimeError, OSError, EOFError) as error:
        raise BadArchive(tr("this is not a readable zip file: {error}", error=error)) from None
    except Exception as error:  # noqa: BLE001 - zlib and struct have errors of their own for damaged data
        raise BadArchive(tr("this zip file is damaged: {error}", error=error)) from None


def _checked(packed: zipfile.ZipFile) -> tuple[dict[str, bytes], dict[str, object]]:
    entries = packed.infolist()
    if len(entries) > MOST_FILES:
        raise BadArchive(tr("{entries:,} files, at most {most_files:,}", entries=len(entries), most_files=MOST_FILES))
    seen: set[str] = set()
    total = 0
    for entry in entries:
        _check_entry(entry)
        name = unicodedata.normalize("NFC", entry.filename).casefold()  # some devices treat such names as equal
        if name in seen:
            raise BadArchive(tr("{filename} is in it twice", filename=entry.filename))
        seen.add(name)
        total += entry.file_size
    if total > MOST_UNPACKED:
        raise BadArchive(
            tr(
                "{total:,} MB unpacked, at most {most_bytes:,}",
                total=total // 1024 // 1024,
                most_bytes=MOST_UNPACKED // 1024 // 1024,
            )
        )
    if MANIFEST not in packed.namelist():
        raise BadArchive(tr("it has no {manifest}: pacer did not make it", manifest=MANIFEST))
    manifest = _manifest(_read(packed, MANIFEST))
    told = manifest.pop("files")
    assert isinstance(told, dict)
    found = {entry.filename for entry in entries} - {MANIFEST}
    if found != told.keys():
        odd = sorted(found ^ told.keys())[0]
        raise BadArchive(
            tr("{odd} is not in its list of files", odd=odd) if odd in found else tr("{odd} is missing", odd=odd)
        )
    files = {path: _read(packed, path) for path in sorted(found)}
    for path, content in files.items():
        if told[path] != _listed(content):
            raise BadArchive(tr("{path} was changed or damaged after pacer wrote it", path=path))
    return files, manifest


def _check_entry(entry: zipfile.ZipInfo) -> None:
    name = entry.filename
    odd = ".." in name or len(name) > MOST_PATH or any(part.endswith((" ", ".")) for part in name.split("/"))
    if odd or not _PATH.fullmatch(name):
        raise BadArchive(tr("“{name}” is not a path that pacer writes", name=name[:60]))
    kind = entry.external_attr >> 28
    if kind not in (0, 8):
        raise BadArchive(tr("{name} is not a plain file", name=name))
    if entry.flag_bits & 1:
        raise BadArchive(tr("{name} is locked with a password", name=name))
    if entry.file_size > 1024 * 1024 and entry.file_size > MOST_RATIO * max(1, entry.compress_size):
        raise BadArchive(
            tr(
                "{name} is damaged: a few bytes that claim to be {file_size:,} MB",
                name=name,
                file_size=entry.file_size // 1024 // 1024,
            )
        )


def _read(packed: zipfile.ZipFile, path: str) -> bytes:
    size = packed.getinfo(path).file_size
    with packed.open(path) as file:
        data = file.read(size + 1)  # never read more than it claims to have
    if len(data) != size:
        raise BadArchive(tr("{path} does not have the length that it claims", path=path))
    return data


def _manifest(data: bytes) -> dict[str, object]:
    try:
        read = json.loads(data)
    except ValueError:
        raise BadArchive(tr("{manifest} is not JSON", manifest=MANIFEST)) from None
    if not isinstance(read, dict) or not isinstance(read.get("files"), dict):
        raise BadArchive(tr("{manifest} does not list the files", manifest=MANIFEST))
    if read.get("format") != FORMAT:
        raise BadArchive(
            tr(
                "the archive is of the format {read}, this version reads {format}",
                read=str(read.get("format"))[:40],
                format=FORMAT,
            )
        )
    return read
