"""A real window for the tests of the face, drawn without a screen.

`window` is Kivy's own, large enough for every tablet; a test adds its widget and draws it with `drawn_in`.
"""

from __future__ import annotations

import os
import sys
import tempfile

import pytest

LARGEST = 2560

os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp(prefix="pacer-tests-"))
os.environ.update(KIVY_NO_ARGS="1", KIVY_NO_CONFIG="1", KIVY_NO_FILELOG="1", KIVY_NO_CONSOLELOG="1")


def pytest_collection_finish():
    """The window is opened with the size that `whole_window` sets: no test module may bring it before."""
    if "kivy.core.window" in sys.modules:
        raise pytest.UsageError(
            "a test module brings Kivy's window when it is imported; import what does inside the test"
        )


@pytest.fixture(scope="session")
def whole_window():
    """The window itself, once for all tests."""
    from kivy.config import Config

    Config.set("graphics", "width", str(LARGEST))
    Config.set("graphics", "height", str(LARGEST))
    Config.set("graphics", "maxfps", "0")
    Config.set("graphics", "multisamples", "0")
    from kivy.base import EventLoop

    EventLoop.ensure_window()
    return EventLoop.window


@pytest.fixture
def window(whole_window):
    """The window with nothing in it, before and after."""
    _empty(whole_window)
    yield whole_window
    _empty(whole_window)


def _empty(window) -> None:
    for widget in window.children[:]:
        window.remove_widget(widget)


@pytest.fixture
def deck(window):
    from tests.face.deck.leaves import Deck  # it brings Kivy

    made = []

    def make(*args, **kwargs):
        made.append(Deck(window, *args, **kwargs))
        return made[-1]

    yield make
    for each in reversed(made):
        each.leave()
