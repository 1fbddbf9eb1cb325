"""The SDL libraries that Kivy brings along, for what Kivy itself does not offer. SDL is reached from here alone.

Two things: the size of the desktop before there is a window, and sound with a small buffer.
"""

from __future__ import annotations

import ctypes
import sys
from collections.abc import Iterator
from pathlib import Path

VIDEO = 0x20  # SDL_INIT_VIDEO
_S16_LITTLE_ENDIAN = 0x8010  # AUDIO_S16LSB
_STEREO = 2  # as Kivy asks for: another format would be closed and reopened


class _DisplayMode(ctypes.Structure):
    _fields_ = (
        ("format", ctypes.c_uint32),
        ("w", ctypes.c_int),
        ("h", ctypes.c_int),
        ("refresh_rate", ctypes.c_int),
        ("driver", ctypes.c_void_p),
    )


def desktop_size() -> tuple[int, int] | None:
    """The screen's size; None if that can't be asked."""
    for path in library_paths("SDL2-2"):
        try:
            sdl = ctypes.CDLL(path)
            mode = _DisplayMode()
            if sdl.SDL_InitSubSystem(VIDEO) == 0 and sdl.SDL_GetDesktopDisplayMode(0, ctypes.byref(mode)) == 0:
                return mode.w, mode.h
        except (OSError, AttributeError):
            continue
    return None


def open_mixer(rate_hz: int, frames: int) -> bool:
    """Open SDL's mixer with a buffer of that many frames; True if that worked.

    It only works before Kivy loads its first sound or asks a loader for its file types: after that,
    Kivy has opened the mixer, and this only adds a reference.
    """
    for path in library_paths("SDL2_mixer"):
        try:
            opened = ctypes.CDLL(path).Mix_OpenAudio
        except (OSError, AttributeError):
            continue
        opened.argtypes = (ctypes.c_int, ctypes.c_uint16, ctypes.c_int, ctypes.c_int)
        opened.restype = ctypes.c_int
        return opened(rate_hz, _S16_LITTLE_ENDIAN, _STEREO, frames) == 0
    return False


def library_paths(name: str) -> Iterator[str]:
    """Possible paths of a library that Kivy itself uses, the likeliest first.

    Never one that just happens to be on the system: that would be another one.
    """
    try:
        with open("/proc/self/maps", encoding="utf-8", errors="replace") as maps:  # Linux, Android
            loaded = dict.fromkeys(line.split(maxsplit=5)[-1].strip() for line in maps if name in line)
    except OSError:
        loaded = {}
    yield from loaded
    import kivy

    package = Path(kivy.__file__).parent
    folders = [package / ".dylibs", package.parent / "Kivy.libs", package.parent / "kivy.libs"]
    if sys.platform == "win32":
        folders += [Path(sys.prefix) / "share" / "sdl2" / "bin"]  # where kivy_deps.sdl2 puts it
    for folder in folders:
        yield from map(str, sorted(folder.glob(f"*{name}*")))
