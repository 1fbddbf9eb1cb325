"""Whether there is a screen, and setting up Kivy for it. Import this before anything imports Kivy.

By default Kivy reads the command line's arguments, makes a folder in the home directory and writes to the terminal.
"""

from __future__ import annotations

import logging
import os
import sys
from pathlib import Path

from pacer.face.kit.garbagecollection import settle_in, wait_for_first_picture
from pacer.language import tr

NO_SCREEN = tr("There is no screen to draw on, so the session is running here as text.")
NO_OPENGL = tr(
    "No window can be drawn without OpenGL, which this system lacks (Debian and Ubuntu: libgl1), so "
    "the session is running here as text."
)

_VARIABLES = {
    "KIVY_NO_ARGS": "1",
    "KIVY_NO_CONFIG": "1",
    "KIVY_NO_FILELOG": "1",
    "KIVY_NO_ENV_CONFIG": "1",
    "KIVY_LOG_MODE": "PYTHON",
    "KIVY_IMAGE": "sdl2",  # no pictures are shown: another library would only cost time
    "KIVY_WINDOW": "sdl2",  # the others end the whole process if they find no display
}


_DESKTOP_LINUX = sys.platform.startswith("linux") and not hasattr(sys, "getandroidapilevel")


def has_screen() -> bool:
    """Whether a window can be opened. If that is likely, the app's window is opened to find out."""
    return _is_named() and open_window() is not None


def why_none() -> str:
    """If `has_screen` says no: the sentence that tells the coach."""
    if _DESKTOP_LINUX and _is_named():
        import ctypes

        try:
            ctypes.CDLL("libGL.so.1")
        except OSError:
            return NO_OPENGL
    return NO_SCREEN


def _is_named() -> bool:
    """Whether the environment names a display; only a Linux desktop does."""
    return not _DESKTOP_LINUX or any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"))


def open_window(full: bool = True):
    """Kivy's window, over the whole screen if `full`.

    None if there is no screen. A second call returns the same window.

    From here until the first picture garbage collection is off.
    """
    prepare_kivy(full)
    if "kivy.core.window" not in sys.modules:
        wait_for_first_picture()
    # If there is no window, Kivy logs tracebacks of its own; the caller says it in a sentence.
    talk = logging.getLogger("kivy")
    talk.setLevel(logging.CRITICAL + 1)
    try:
        from kivy.core.window import Window
    finally:
        talk.setLevel(logging.WARNING)
    if Window is None:
        settle_in()
    return Window


def prepare_kivy(full: bool = True) -> None:
    """Set Kivy up for this app. Does nothing once Kivy has been imported."""
    if "kivy" in sys.modules:
        return
    for name, value in _VARIABLES.items():
        os.environ.setdefault(name, value)
    if _DESKTOP_LINUX:
        # Only drivers that somebody can see: left alone, SDL would go on to draw where nobody looks.
        os.environ.setdefault("SDL_VIDEODRIVER", "x11,wayland" if os.environ.get("DISPLAY") else "wayland")
    _short_style()
    from kivy.config import Config

    Config.set("kivy", "exit_on_escape", "0")
    Config.set("kivy", "window_icon", "")
    Config.set("input", "mouse", "mouse,disable_multitouch")
    Config.set("graphics", "multisamples", "0")  # the shapes are smooth already
    if full:
        from pacer.signal.kivysdl import desktop_size

        Config.set("graphics", "fullscreen", "auto")
        if size := desktop_size() if _DESKTOP_LINUX else None:
            # Without a window manager, a window keeps its first size.
            Config.set("graphics", "width", size[0])
            Config.set("graphics", "height", size[1])


def _short_style() -> None:
    """Have Kivy read only the one style rule that the app uses, not those of all its widgets.

    Those would take a fifth of an empty app's start.
    """
    import kivy

    whole, kivy.kivy_data_dir = kivy.kivy_data_dir, str(Path(__file__).parent / "rules")
    try:
        import kivy.lang.builder
    finally:
        kivy.kivy_data_dir = whole
