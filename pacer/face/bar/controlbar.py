"""The bar of controls: keys to keep pressed until they fill, stop all, and the splash lock.

What a key would do is shown beside it while it is pressed, because a finger hides the key itself. It is done when a
full key is let go; sliding off it first changes nothing. Only stop all acts at once when its half second is over,
locked or not.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kivy.properties import ColorProperty
from kivy.uix.widget import Widget

from pacer.face.bar.barkeypages import BarKeys, KeyLook
from pacer.face.bar.barmessage import HINT, BarAnswer, Message, fullest, room_beside, rooms_for_message, words_for
from pacer.face.bar.keyface import KeyFace
from pacer.face.bar.stopkey import StopKey, stop_width
from pacer.face.kit.background import Ground
from pacer.face.kit.focus import next_name
from pacer.face.kit.ink import Box
from pacer.face.tiles.longpress import LongPress
from pacer.language import tr
from pacer.show.drive.barkeychoice import BACK, MORE, Key, Moment, keys_for
from pacer.show.measure.keyrows import GAP_MM, bar_height, key_mm
from pacer.show.measure.legibility import COACH_M, Glass, character_mm
from pacer.show.measure.messagetime import BAR_MS, HINT_MS
from pacer.show.measure.presstime import ASK_MS
from pacer.show.measure.theme import DARK
from pacer.show.wording.stopalltext import HOW_TO_STOP_ALL

if TYPE_CHECKING:
    from pacer.face.bar.locktrack import LockTrack
    from pacer.show.drive.pressproposal import Proposal

#: After this long without a touch the first page of the session's keys is back: Pause is never far. Longer than anybody
#: reads a page of keys.
IDLE_MS = 20_000
#: A touch so soon after the keys changed by themselves was aimed at those before; it does nothing.
AIMED_MS = 700


class ControlBar(Widget):
    """All controls, along the lower edge.

    `ask(name)` returns a `Proposal` for a key to keep pressed, `act(name, proposal)` does it; `press(name)` is called
    for keys that act at a touch, `stop()` for stop all, `unlock()` when the splash lock opens. `now_ms` is the time
    source. Call `tick` in each frame.
    """

    ground = ColorProperty((0, 0, 0))

    def __init__(
        self,
        now_ms: Callable[[], int],
        ask: Callable[[str], Proposal],
        act: Callable[[str, Proposal], object],
        press: Callable[[str], None],
        stop: Callable[[], None],
        unlock: Callable[[], None],
        **kwargs,
    ):
        super().__init__(**kwargs)
        self.now_ms, self.ask, self.act, self.press, self.stop, self.unlock = now_ms, ask, act, press, stop, unlock
        self.theme, self.glass = DARK, Glass()
        self.moment, self.time = Moment(), "18:30"
        self.keys_shown: tuple[Key, ...] | None = None  #: in place of the moment's own
        self.pressed: Key | None = None  #: the last pressed key that acts at a touch
        self.locked = False
        self.away = False  #: whether all but STOP ALL are away, keys and splash lock
        self.keys = BarKeys(self)
        self.stop_key = StopKey(lambda: self.stop())
        self.answer = BarAnswer()
        self._track: LockTrack | None = None
        self._pressed: tuple[object, int] | None = None  # touch, index of the key
        self._long_press = LongPress(lambda: self.now_ms())
        self._proposal: Proposal | None = None
        self._asked_ms: int | None = 0
        self._touched_ms = 0
        self._changed_ms = -AIMED_MS  # when the keys last changed by themselves
        self._told: Message | None = None
        self._corner_ground = Ground(self.canvas.before)
        self.add_widget(self.stop_key)

    @property
    def track(self) -> LockTrack:
        """The splash lock; made when the screen is first locked."""
        if self._track is None:
            from pacer.face.bar.locktrack import LockTrack

            self._track = LockTrack()
        return self._track

    # -- sizes -----------------------------------------------------------------------------------------

    def height_for(self, width: float, height: float) -> float:
        """The height of the bar on a window of that size."""
        return bar_height(width, height, self.glass.px_per_mm)

    def lay_out(self, window: tuple[float, float]) -> None:
        """Lay out the bar again: after the window, the moment, the theme or the lock has changed.

        A key that is pressed stays so if it is still there; if not, the bar says that the press did nothing.
        """
        told, pressed = self._told, self._pressed
        was = pressed and self.keys.place(pressed[1])
        self._share_out(window)
        usable = not self.locked and not self.away
        if pressed and usable and was == self.keys.place(pressed[1]):
            self._asked_ms = None
            self._press_look(pressed[1])
            return
        self._let_go()
        if pressed and usable:
            told = Message((tr("The buttons changed: press again"), tr("press again")), BAR_MS)
        if told and not told.is_over(self.now_ms()):
            self._say_told(told)

    def _share_out(self, window: tuple[float, float]) -> None:
        self.ground = self.theme.ground
        mm = self._mm = key_mm(*window, self.glass.px_per_mm)
        self.cap = character_mm(COACH_M) * mm
        rows, gap = 2 if window[1] > window[0] else 1, GAP_MM * mm
        self._rows, look = rows, KeyLook(self.theme, mm)
        stop = self.stop_key
        look.dress(stop)
        stop.dress(self.moment.stops, self.theme, self.cap)
        stop.size = (stop_width(mm), self.height - 2 * gap)
        stop.pos = (self.x + gap, self.y + gap)
        self._room_pos = (stop.right + 2 * gap, self.y + gap)
        self._room = (self.right - gap - self._room_pos[0], stop.height)
        self.keys.take_away()
        if self._track is not None:
            self.remove_widget(self._track)
        if self.away:
            self.width = self.corner[0]
            self._corner_ground.put(Box(*self.pos, *self.size), self.ground[:3])
            return
        self._corner_ground.hide()
        if self.locked:
            self.track.lay_out(self._room_pos, self._room, mm, self.glass.px_per_mm, self.theme, self._words_on_track)
            self.add_widget(self.track)
            return
        keys = keys_for(self.moment) if self.keys_shown is None else self.keys_shown
        self.keys.share_out(keys, look, self._room_pos, self._room, rows, self.time)

    @property
    def corner(self) -> tuple[float, float]:
        """Width and height of what is left while the other keys are away: STOP ALL, in its place, and a gap around."""
        return self.stop_key.right + GAP_MM * self._mm - self.x, self.height

    @property
    def asked(self) -> Proposal | None:
        """What the key that is held down would do; None if none is."""
        return self._proposal

    @property
    def busy(self) -> bool:
        """Whether a key is pressed or something is said."""
        return self._pressed is not None or self._told is not None or self.stop_key.pressed

    def idle(self, now_ms: int) -> bool:
        """Whether nobody has touched the bar for so long that the session's own keys come back."""
        return self._pressed is None and now_ms - self._touched_ms > IDLE_MS

    def changed_by_itself(self, now_ms: int) -> None:
        """Other keys are on the bar, and nobody pressed for them: who was about to touch one must not hit another."""
        self._changed_ms = now_ms

    def show_page(self, page: int) -> None:
        """Show another page of keys."""
        self._touched_ms = self.now_ms()
        self.keys.turn(page)

    # -- a keyboard's focus -------------------------------------------------------------------------------

    @property
    def focus(self) -> str:
        """The name of the key that Enter presses, "" for none."""
        return self.keys.focus

    def step_focus(self, step: int) -> bool:
        """Move to the next key of the page, or the one before.

        False if there is none. `More` leads to the first key of the next page.
        """
        names = [] if self.locked else [each.key.name for each in self.keys.shown]
        self.set_focus(next_name(names, self.focus, step))
        return bool(self.focus)

    def set_focus(self, name: str) -> None:
        """Set the key that Enter presses, "" for none."""
        self._touched_ms = self.now_ms()
        self.keys.set_focus(name)

    def press_focus(self) -> Key | None:
        """Press the focused key; one that changes the session is returned, for the keyboard to do."""
        found = next((each.key for each in self.keys.shown if each.key.name == self.focus), None)
        if found is None or found.long_press:
            return found
        self.pressed = found
        self._pressed_name(found.name)
        return None

    # -- what the bar shows -------------------------------------------------------------------------------

    def placed(self) -> tuple[tuple[str, tuple[float, float, float, float]], ...]:
        """Names of the keys that can be pressed now and their boxes in the window: x, y, width, height."""
        made = [("stop", (*self.stop_key.pos, *self.stop_key.size))]
        if not self.locked and not self.away:
            made += [(each.key.name, (*face.pos, *face.size)) for face, each in zip(self.keys.faces, self.keys.shown)]
        return tuple(made)

    @property
    def mm(self) -> float:
        """Pixels of a millimetre, more of them on a large screen."""
        return self._mm

    @property
    def pages(self) -> int:
        """How many pages of keys there are."""
        return len(self.keys.pages)

    @property
    def says(self) -> str:
        """The bar's current answer or message, "" if nothing."""
        return self.answer.said if self.answer.parent else ""

    def tell(self, *ways: str, for_ms: int = BAR_MS) -> None:
        """Show a message for a while, the longest of `ways` that fits, beside the keys that are never covered.

        A touch on the bar ends it.
        """
        self._say_told(Message(ways, for_ms))

    def _words_on_track(self, ways: tuple[str, ...], width: float, height: float, bold: bool = True) -> tuple[str, int]:
        return words_for(ways, width, height, self.cap, bold)

    def _answer_with(self, ways: tuple[str, ...], pos, size, told: bool = False, hint: str = "") -> None:
        """Say it there, in place of the keys: all but the pressed one, or those that a message never covers."""
        self.answer.say(ways, pos, size, self.cap, self._mm, self.theme, told, hint)
        if self.answer.parent is None:
            self.add_widget(self.answer)
        kept = self._kept() if told else [self.keys.faces[self._pressed[1]]] if self._pressed else []
        for face in self.keys.faces:
            face.opacity = 1 if face in kept else 0

    def _quiet(self) -> None:
        if self.answer.parent is not None:
            self.remove_widget(self.answer)
        self.answer.text = ""
        for face in self.keys.faces:
            face.opacity = 1

    def _kept(self) -> list[KeyFace]:
        return [] if self.locked or self.away else self.keys.never_covered()

    def _say_told(self, message: Message) -> None:
        self._told, ways = message, message.ways
        boxes = rooms_for_message(self._kept(), self._room_pos, self._room, self._rows, GAP_MM * self._mm)
        box = fullest(ways, boxes, self.cap, self._mm)
        self._answer_with(ways, (box.x, box.y), (box.width, box.height), told=True)

    # -- touches ---------------------------------------------------------------------------------------------

    def on_touch_down(self, touch) -> bool:
        """A finger: on stop all, on a key, or anywhere on a locked screen (the shell passes all of those here)."""
        now_ms = self.now_ms()
        self._touched_ms = now_ms
        on_stop = self.stop_key.down(touch, now_ms)
        if self.away:
            if on_stop:
                touch.grab(self)
            return on_stop
        if self.locked:
            self.track.down(touch, now_ms)
            touch.grab(self)
            return True
        if on_stop:
            touch.grab(self)
            return True
        if not self.collide_point(*touch.pos):
            return False
        if self._told:
            self._told = None
            self._quiet()
        if now_ms - self._changed_ms < AIMED_MS:
            return True
        index = self.keys.at(touch)
        if index is not None and self._pressed is None:
            touch.grab(self)
            self._pressed = (touch.uid, index)
            self._long_press.begin()
            self._asked_ms = None
            self._press_look(index)
        return True

    def on_touch_move(self, touch) -> bool:
        """A finger moves: off a key, nothing is pressed any more."""
        if touch.grab_current is not self:
            return False
        self.stop_key.move(touch)
        if self.locked:
            self.track.move(touch, self.now_ms())
        elif self._pressed and self._pressed[0] == touch.uid and self.keys.at(touch) != self._pressed[1]:
            self._let_go()
        return True

    def on_touch_up(self, touch) -> bool:
        """A finger is lifted: a full key acts."""
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        now_ms = self.now_ms()
        self._touched_ms = now_ms
        self.tick(now_ms)
        if self.stop_key.up(touch) and self.moment.stops:
            self.tell(*HOW_TO_STOP_ALL, for_ms=2 * HINT_MS)
        if self.locked:
            self.track.up(touch, now_ms)
        elif self._pressed and self._pressed[0] == touch.uid:
            self._released()
        return True

    def _press_look(self, index: int) -> None:
        face = self.keys.faces[index]
        if not self.keys.key(index).long_press:
            face.ground, face.ink = self.theme.flip, self.theme.flip_ink

    def _released(self) -> None:
        if self._pressed is None:
            return
        _, index = self._pressed
        key, proposal = self.keys.key(index), self._proposal
        full = self._long_press.full
        self._let_go()
        if not key.long_press:
            self.pressed = key
            self._pressed_name(key.name)
        elif proposal is None or proposal.entry is None:
            if proposal is not None:
                self.tell(*proposal.ways, for_ms=HINT_MS)
        elif full:
            # What was read is done, at the current instant if that comes to the same.
            fresh = self.ask(key.name)
            self.act(key.name, fresh if fresh.ways == proposal.ways else proposal)
        else:
            self.tell(tr("Too short: hold it down"), tr("Hold down"), for_ms=HINT_MS)

    def _pressed_name(self, name: str) -> None:
        if name in (MORE.name, BACK.name):
            self.show_page(self.keys.page + 1 if name == MORE.name else 0)
        else:
            self.press(name)

    def _let_go(self) -> None:
        """Nothing is pressed any more."""
        if self._pressed is not None:
            self.keys.dress(self._pressed[1])
        self._pressed = self._proposal = None
        self._long_press.end()
        self._told = None
        self._quiet()

    # -- each frame --------------------------------------------------------------------------------------------

    def tick(self, now_ms: int) -> None:
        """Let presses fill, messages go, and long presses act."""
        self.stop_key.tick(now_ms)
        if self.locked:
            if self.track.tick(now_ms):
                self.unlock()
        elif self._pressed is not None:
            self._tick_press(now_ms)
        elif self.keys.page and self.idle(now_ms):
            self.keys.turn(0)
            self.changed_by_itself(now_ms)
        if self._told and self._told.is_over(now_ms):
            self._told = None
            self._quiet()
        elif self._told:
            self._told = self._told.shown(now_ms)

    def _tick_press(self, now_ms: int) -> None:
        if self._pressed is None:
            return
        _, index = self._pressed
        key, face = self.keys.key(index), self.keys.faces[index]
        if not key.long_press:
            return
        if self._proposal is None or self._asked_ms is None or now_ms - self._asked_ms >= ASK_MS:
            self._asked_ms, self._proposal = now_ms, self.ask(key.name)
            room = room_beside(face, self._room_pos, self._room, GAP_MM * self._mm)
            self._answer_with(self._proposal.ways, *room, hint=HINT if self._proposal.entry is not None else "")
        if self._proposal.entry is None:
            return
        face.filled = self._long_press.share
        if face.filled == 1 and tuple(face.ground[:3]) != tuple(self.theme.flip):
            face.ground, face.ink = self.theme.flip, self.theme.flip_ink
