"""A deck for tests.

A real window without a screen, the shell in it, fingers on it, and clocks that move only when told to.
"""

import threading

from kivy.base import EventLoop
from kivy.metrics import Metrics
from kivy.tests.common import UnitTestTouch

from pacer.session.cautions import CAUTIONS
from pacer.show.drive.driver import Driver
from pacer.show.drive.settings import Settings
from tests.face.sessions import timeline

#: 2 March 2026, 17:01:20 UTC.
EVENING_MS = 1_772_470_880_000
READ = Settings(cautions_read=len(CAUTIONS))


def worked_out():
    """What is worked out aside is there: the clock of a test is faster than any thread."""
    for thread in threading.enumerate():
        if thread.name in ("fit", "start", "sessions", "strips", "offers"):
            thread.join(10)


class Deck:
    """One shell on a glass of `size` pixels at `dpi`. `tries` counts frames; a frame is `frame_ms` long unless said."""

    frame_ms = 20

    def __init__(
        self, window, size=(1280, 800), dpi=149.5, lanes=3, settings=READ, made=None, store=None, journal=(), **shell
    ):
        from pacer.face.window.sessionkeyboard import Keyboard  # it brings the window, which a fixture opens
        from pacer.face.window.shell import Shell

        self.window, self.whole = window, tuple(window.size)
        self.now_ms, self.wall_ms = 50_000_000, EVENING_MS
        self.kept, self.closed, self.begun_again, self.reads = [], 0, 0, 0
        Metrics.dpi = dpi
        window.size = size
        self.driver = Driver(
            made or timeline(lanes), now_ms=self._read, wall_ms=lambda: self.wall_ms, store=store, journal=journal
        )
        self.shell = Shell(self.driver, settings, keep=self.kept.append, close=self._closed, again=self._again, **shell)
        self.keyboard = Keyboard(self.shell)
        window.add_widget(self.shell)
        EventLoop.idle()
        self.shell.size, self.shell.pos = size, (0, 0)
        self.shell.notices.greet()
        self.frame()

    def _read(self):
        self.reads += 1
        return self.now_ms

    def _closed(self):
        self.closed += 1

    def _again(self):
        self.begun_again += 1

    def leave(self):
        """Take the shell off the window."""
        self.keyboard.close()
        self.shell.leave()
        self.window.remove_widget(self.shell)
        self.window.size = self.whole
        Metrics.dpi = 96

    # -- time --------------------------------------------------------------------------------

    def frame(self, ms=0):
        """A frame, `ms` after the one before."""
        self.now_ms += ms
        self.wall_ms += ms
        worked_out()
        self.shell.frame()

    def go(self, ms):
        """Frames for that long."""
        for _ in range(ms // self.frame_ms):
            self.frame(self.frame_ms)
        self.frame(ms % self.frame_ms)

    def skip_to(self, at_ms):
        """One long frame, to that session time."""
        self.frame(at_ms - self.driver.at_ms())

    def settle(self):
        """Let Kivy lay out and draw."""
        EventLoop.idle()
        EventLoop.idle()

    def begin(self, at_ms=0):
        """Begin by touch, and go to that session time."""
        self.press("begin")
        assert self.driver.at_ms() == -10_000 + self.frame_ms, (self.driver.at_ms(), self.bar.says)
        self.skip_to(at_ms)

    # -- fingers -------------------------------------------------------------------------------

    @property
    def bar(self):
        return self.shell.bar

    def names(self):
        """The keys that can be seen, stop all among them."""
        return [name for name, _ in self.bar.placed()]

    def middle(self, name):
        """The middle of a key, turning pages to find it; if the keys are away, a tap in their place first."""
        if self.bar.away and name != "stop":
            self.tap(self.shell.right - 5, 5)
        for _ in range(self.bar.pages):
            boxes = dict(self.bar.placed())
            if name in boxes:
                x, y, width, height = boxes[name]
                return x + width / 2, y + height / 2
            x, y, width, height = boxes.get("more") or boxes["go back"]
            self.tap(x + width / 2, y + height / 2)
        raise AssertionError(f"no key {name} among {self.names()}")

    def finger(self, x, y):
        """A finger that is put down there."""
        touch = UnitTestTouch(x, y)
        touch.touch_down()
        return touch

    def tap(self, x, y, ms=60):
        touch = self.finger(x, y)
        self.go(ms)
        touch.touch_up()
        self.frame(self.frame_ms)

    def press(self, name, ms=500):
        """Press a key that long and let it go; what the bar said just before."""
        touch = self.finger(*self.middle(name))
        self.go(ms)
        says = self.bar.says
        touch.touch_up()
        self.frame(self.frame_ms)
        return says

    def open_lock(self, touch=None):
        """The splash lock's gesture, as a careful finger makes it."""
        track = self.bar.track
        touch = self.finger(track.first_x, track.center_y)
        self.go(450)
        for n in range(1, 31):
            touch.touch_move(track.first_x + (track.last_x - track.first_x) * n / 30, track.center_y)
            self.frame(20)
        self.go(450)
        touch.touch_up()
        self.frame(20)

    def key(self, code, letter=""):
        """A key of a keyboard goes down and up. Whether it was taken."""
        taken = self.window.dispatch("on_key_down", code, code, letter, [])
        self.frame(self.frame_ms)
        self.window.dispatch("on_key_up", code, code)
        return taken
