"""A coach at the office, for tests.

A real window without a screen, fingers at places of the glass, clocks that move only when told to.

What is touched is looked for by what is written on it, as a coach does.
"""

from __future__ import annotations

from pathlib import Path

from kivy.base import EventLoop
from kivy.metrics import Metrics
from kivy.tests.common import UnitTestTouch

from pacer.session.cautions import CAUTIONS
from pacer.show.drive.settings import Settings
from tests.face.deck.leaves import EVENING_MS, worked_out

ASSETS = Path(__file__).parents[2] / "assets"
READ = Settings(cautions_read=len(CAUTIONS))
ESCAPE, TAB, RETURN = 27, 9, 13


class Coach:
    """One office in the folder `home`, on a glass of `size` pixels at `dpi`."""

    def __init__(
        self,
        window,
        home,
        size=(1280, 800),
        dpi=149.5,
        settings=READ,
        boot_ms=50_000_000,
        wall_ms=EVENING_MS,
        started="boot 1",
        fontscale=1.0,
        player=None,
        device=None,
    ):
        self.window, self.whole, self.home = window, tuple(window.size), home
        self.boot_ms, self.wall_ms, self.started = boot_ms, wall_ms, started
        self.kept, self.closed = settings, 0
        Metrics.dpi, Metrics.fontscale = dpi, fontscale
        self.player, self.device = player, device
        self.office = None
        self.size = size
        self.open()

    def open(self):
        """Start the app."""
        from pacer.face.office.office import Office
        from pacer.show.drive.preparation import Clocks

        clocks = Clocks(lambda: self.boot_ms, lambda: self.wall_ms, lambda: self.started)
        self.office = Office(
            self.home, self.kept, ASSETS, clocks=clocks, keep=self._keep, close=self._close, size_hint=(None, None)
        )
        self.office.patience_s = 10
        self.turn(self.size)
        self.window.add_widget(self.office)
        self.office.begin()
        if self.player is not None:
            self.office.open_sound(self.player, self.device)
        self.frame()

    def kill(self):
        """The app is gone, in the middle of whatever it did."""
        self.window.remove_widget(self.office)
        office, self.office = self.office, None
        if office.keyboard is not None:
            office.keyboard.close()
        if office.opened is not None:
            office.opened.keeper.close()
        page = office.page
        if page is not None:
            office.remove_widget(page)

    def leave(self):
        """The test is over."""
        if self.office is not None:
            self.office.leave()
            self.window.remove_widget(self.office)
        self.window.size = self.whole
        Metrics.dpi, Metrics.fontscale = 96, 1.0

    def turn(self, size):
        """The tablet is turned, or the app gets another part of the glass."""
        self.size = size
        self.window.size = size
        self.office.size, self.office.pos = size, (0, 0)
        if self.office.parent is not None:
            self.frame()

    def _keep(self, settings):
        self.kept = settings

    def _close(self):
        self.closed += 1

    # -- time ------------------------------------------------------------------------------------------

    def frame(self, ms=0):
        """A frame, `ms` after the one before."""
        self.boot_ms += ms
        self.wall_ms += ms
        if self.office.opened is not None:
            self.office.opened.keeper.wait()  # the clock of a test is faster than any disk
        worked_out()
        self.office.frame()
        EventLoop.idle()

    def go(self, ms, step=1_000):
        """Frames for that long."""
        for _ in range(ms // step):
            self.frame(step)
        self.frame(ms % step)

    # -- fingers -----------------------------------------------------------------------------------------

    @property
    def page(self):
        return self.office.page

    @property
    def shell(self):
        return self.office.shell

    def boards(self):
        """The boards that can be touched: of the page, or of the card that is open on it."""
        page = getattr(self.page, "card", None) or self.page
        foot = getattr(page, "foot", None)  # letters along it
        boards = (*page.boards, *([foot] if foot else ()), page.note, page.bar)
        return [board for board in boards if board.parent is not None]

    def written(self):
        """What stands on the glass: text, whether it can be touched, and where."""
        found = []
        if self.shell is not None:
            return [(name, True, box) for name, box in self.shell.bar.placed()]
        for board in self.boards():
            for tile in board.tiles:
                box = board.box_of(tile)
                if box.top <= board.top + 1 and box.y >= board.y - 1:
                    found += [(text.ways[0], bool(tile.name), box) for text in tile.texts]
        return found

    def sees(self, words):
        """Whether that is written somewhere on the glass, as a part of a longer text too."""
        return any(words in text for text, _, _ in self.written()) or any(
            words in text for board in self.boards() for tile in board.tiles for t in tile.texts for text in t.ways
        )

    def place(self, words):
        """The middle of what can be touched and says so, turning pages of keys and scrolling to find it."""
        if self.shell is not None:
            return self._key(words)
        for board in self.boards():
            for tile in board.tiles:
                if tile.name and any(words == way for text in tile.texts for way in text.ways):
                    board.scroll_to(tile.name)
                    self.frame()
                    box = board.box_of(board.tile(tile.name) or tile)  # it may have been put elsewhere in that frame
                    return box.x + box.width / 2, box.y + box.height / 2
        bar = self.boards()[-1]
        more = bar.tile("more")
        if more is not None and not getattr(self, "_turned", 0) > 5:
            self._turned = getattr(self, "_turned", 0) + 1
            box = bar.box_of(more)
            self.finger(box.x + box.width / 2, box.y + box.height / 2)
            try:
                return self.place(words)
            finally:
                self._turned = 0
        raise AssertionError(f"nothing says {words!r} among {[text for text, able, _ in self.written() if able]}")

    def _key(self, name):
        """A tile of the sheet by its words, else a key of the bar by its name."""
        for board in () if self.shell.sheet is None else self.shell.sheet.boards:
            for tile in board.tiles:
                if tile.name and any(name == way for text in tile.texts for way in text.ways):
                    board.scroll_to(tile.name)
                    self.frame()
                    box = board.box_of(tile)
                    return box.x + box.width / 2, box.y + box.height / 2
        bar = self.shell.bar
        if bar.away and name != "stop":  # a tap in the keys' place brings them back
            self.finger(self.shell.right - 5, 5)
        for _ in range(bar.pages + 1):
            boxes = dict(bar.placed())
            if name in boxes:
                x, y, width, height = boxes[name]
                return x + width / 2, y + height / 2
            x, y, width, height = boxes.get("more") or boxes["go back"]
            self.finger(x + width / 2, y + height / 2)
        raise AssertionError(f"no key {name} among {list(dict(bar.placed()))}")

    def finger(self, x, y, ms=60):
        """A finger down and up again."""
        touch = UnitTestTouch(x, y)
        touch.touch_down()
        self.go(ms, 60)
        touch.touch_up()
        self.frame(20)
        self.frame()

    def number(self, index):
        """Touch the number of a lane in the pool view."""
        box = [piece for piece in self.shell.view.drawn() if piece.name == "number"][index].box
        self.finger(box.x + 5, box.y + box.height / 2)

    def water(self, index):
        """Tap the water of a lane, as a swimmer arrives."""
        box = self.shell.view.band_box(index)
        self.finger(box.x + box.width / 2, box.y + box.height / 2)

    def touch(self, words, ms=60):
        """Touch what says so."""
        self.finger(*self.place(words), ms)

    def hold(self, name):
        """Press one of the session's keys until it is full."""
        self.touch(name, 500)

    def drag(self, start, end, steps=12):
        """A finger goes from one place to another."""
        touch = UnitTestTouch(*start)
        touch.touch_down()
        self.frame(20)
        for n in range(1, steps + 1):
            touch.touch_move(start[0] + (end[0] - start[0]) * n / steps, start[1] + (end[1] - start[1]) * n / steps)
            self.frame(20)
        touch.touch_up()
        self.frame(20)

    def type(self, digits):
        """Touch the keys of the pad."""
        for digit in digits:
            self.touch(digit)

    def key(self, code, letter="", modifiers=()):
        """A key of a keyboard."""
        taken = self.window.dispatch("on_key_down", code, code, letter, list(modifiers))
        self.frame(20)
        self.window.dispatch("on_key_up", code, code)
        self.frame(20)
        return taken

    def escape_home(self, name):
        """Escape leads home from the page called `name`, but for what runs: that has to be ended first."""
        if self.office.busy:
            self.key(ESCAPE)
            self.key(ESCAPE)
            assert self.office.busy, name
            self.page.press("break")
            self.page.press("broken")
        for _ in range(6):
            if self.sees("Quick set"):
                break
            self.window.dispatch("on_key_down", ESCAPE, ESCAPE, "", [])
            self.window.dispatch("on_key_up", ESCAPE, ESCAPE)
            self.frame(20)
        assert self.sees("Quick set") and self.closed == 0, name


def in_front(coach):
    """The page that is touched: a card lies over its shelf."""
    return getattr(coach.page, "card", None) or coach.page
