"""The running face: a view over a bar of controls, looked up again in every frame.

`frame` reads the clock once, looks up what to show at that instant and shows it; nothing counts or adds up ticks, so
the screen is never more than one frame behind the clock. The shell has no rules of the session: the driver says what a
key would do and does it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.base import EventLoop
from kivy.metrics import Metrics
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.widget import Widget

from pacer.face.bar.controlbar import ControlBar
from pacer.face.clock.runningview import NO_CORNER
from pacer.face.clock.viewwidgets import new_view
from pacer.face.kit.flashframe import light
from pacer.face.kit.ink import Box
from pacer.face.kit.tabletglass import tablet_glass
from pacer.face.window.barhiding import QuietBar
from pacer.face.window.barkeyactions import BarPresses
from pacer.face.window.notices import Notices
from pacer.face.window.viewchoice import ViewChoice, talking
from pacer.language import tr
from pacer.screens.screensonoff import ScreenSwitch
from pacer.show.drive.barkeychoice import Moment, keys_for
from pacer.show.drive.driver import Driver
from pacer.show.drive.foretelling import Foretelling
from pacer.show.drive.sessionstart import StartTime
from pacer.show.drive.settings import Settings
from pacer.show.measure.flash import FRAME_MM, Flash
from pacer.show.measure.theme import THEMES
from pacer.show.view.instantview import dial_view, lane_view, pool_view
from pacer.show.view.swimmerplaces import GLIDE_MS
from pacer.show.wording.timereadings import clock_reading
from pacer.timeline.findings import Finding, Severity

if TYPE_CHECKING:
    from pacer.face.clock.sound import Sounds
    from pacer.face.deck.ondeck import OnDeck
    from pacer.face.window.barsettingactions import BarSettingKeys
    from pacer.plan.library.drillbook import DrillBook


class Shell(ViewChoice, BarPresses, QuietBar, FloatLayout):
    """The whole window.

    `mode` is the chosen view: pool, lane or dial; `shown` the one drawn, which may be the changeover.

    `keep(settings)` is called when a setting has changed, `close()` when the coach closes the app, `again()` when the
    session is to start again.
    """

    def __init__(
        self,
        driver: Driver,
        settings: Settings,
        *,
        findings: Sequence[Finding] = (),
        told: Sequence[str] = (),
        keep: Callable[[Settings], None] = lambda settings: None,
        close: Callable[[], None] = lambda: None,
        again: Callable[[], None] = lambda: None,
        book: DrillBook | None = None,
        folder: Path | None = None,
        **kwargs,
    ):
        super().__init__(**kwargs)
        self.switch = ScreenSwitch(driver, folder, book)
        self.driver, self.settings = driver, settings
        self.keep, self.close, self.again, self.book = keep, close, again, book
        driver.top, driver.keep_top = settings.wall_top, lambda top: self.change(replace(self.settings, wall_top=top))
        self._sounds: Sounds | None = None
        self.mode, self.lane = "pool", 0
        self.shown = ""
        self.start = StartTime(driver)
        self.hand: int | None = None
        self.on_deck: OnDeck | None = None
        self.foretelling = Foretelling(driver)
        self.touched_ms = self.needed_ms = driver.now_ms()  #: when the screen was last touched
        self.views: dict[str, Any] = {}  #: each shows its own kind of values
        self._flash = Flash()
        self._gliding: tuple | None = None  #: what the swimmers' places were last looked up for
        self.lit = False  #: whether the screen is lit by a flash
        self._stop_hidden = False
        self._lock_again = driver.number is not None and driver.number == settings.locked_over and driver.running
        self._setting_up: BarSettingKeys | None = None
        self.notices = Notices(
            self, told, tuple(finding for finding in findings if finding.severity is Severity.HAZARD)
        )
        self.bar = ControlBar(driver.now_ms, self.ask, self.act, self.press, self.stop_all, self.unlock)
        self.add_widget(self.bar)
        if len(driver.run.timeline.tracks) == 1:
            self.mode = "lane"
        self.bind(size=self._changed)
        Metrics.bind(dpi=self._changed, fontscale=self._changed)
        self.lay_out()

    @property
    def sounds(self) -> Sounds:
        """The sound of this session; created at first use, after the first picture."""
        if self._sounds is None:
            from pacer.face.clock.sound import Sounds

            self._sounds = Sounds(self.driver, self.settings)
        return self._sounds

    @property
    def device(self):
        """What the device can do besides sound; None until it has been opened."""
        return None if self._sounds is None else self._sounds.device

    @property
    def setting_up(self) -> BarSettingKeys:
        """The settings on the bar; created at first use."""
        if self._setting_up is None:
            from pacer.face.window.barsettingactions import BarSettingKeys

            self._setting_up = BarSettingKeys(self)
        return self._setting_up

    def take_book(self, book: DrillBook) -> None:
        """Tell drills as `book` does from now on."""
        self.book = self.switch.book = book

    def leave(self) -> None:
        """Close the shell."""
        Metrics.unbind(dpi=self._changed, fontscale=self._changed)
        self.switch.close()
        if self._sounds is not None:
            self._sounds.close()

    def _changed(self, *_args) -> None:
        self.lay_out()

    @property
    def view(self) -> Widget | None:
        """The view in the window."""
        return self.views.get(self.shown)

    @property
    def room(self) -> Box:
        """The room above the bar, for the view and what is beside it; all of it while the bar's keys are away."""
        foot = 0.0 if self.bar.away else self.bar.height
        return Box(self.x, self.y + foot, self.width, max(1, self.height - foot))

    @property
    def mm(self) -> float:
        """The pixels of a millimetre, for what is touched."""
        return self.bar.mm

    def tell(self, *ways: str, **how: int) -> None:
        """Say something on the bar."""
        self.bar.tell(*ways, **how)

    # -- sizes and looks --------------------------------------------------------------------------------

    def lay_out(self) -> None:
        """Lay everything out again: after the window's size, its density or a setting of looks has changed."""
        glass = tablet_glass(self.settings.reading_distance_m)
        theme = THEMES[self.settings.theme]
        self.glass, self.theme = glass, theme
        if EventLoop.window is not None:
            EventLoop.window.clearcolor = (*theme.ground, 1)
        bar = self.bar
        bar.theme, bar.glass = theme, glass
        bar.size_hint = (None, None)
        bar.pos, bar.size = self.pos, (self.width, bar.height_for(self.width, self.height))
        bar.moment = self._moment(self.driver.now_ms())
        bar.time = str(self.start)
        self.bar_keys()
        if self.on_deck is not None:
            self.on_deck.lay_out()
        for view in (*self.views.values(), self.notices.notice):
            if view is not None:
                self.place(view)
        if self.on_deck is not None:
            self.on_deck.tags.dress(theme, glass)

    def place(self, view: Widget) -> None:
        """Give a view, or a page in its place, its size and its looks."""
        view.size_hint = (None, None)
        whole = self.room
        room = whole if self.on_deck is None or view is self.notices.notice else self.on_deck.left_of(whole)
        view.pos, view.size = (room.x, room.y), (room.width, room.height)
        if view is self.notices.notice:
            self.notices.lay_out()
        elif self.views.get("stop") is view:
            self.views["stop"].lay_out()
        else:
            view.glass, view.theme = self.glass, self.theme
            view.corner = self.bar.corner if self.bar.away else NO_CORNER

    def _view(self, name: str) -> Widget:
        """The widget of a view, created at first use."""
        view = self.views.get(name)
        if view is None:
            view = self.views[name] = new_view(name)
            if name != "stop":
                view.bind(
                    on_lane=lambda _, index: self.choose_lane(index),
                    on_arrival=lambda _, index: self.deck.arrival(index),
                )
            self.place(view)
        return view

    def put_up(self, page: Widget) -> None:
        """Put a page in front of the view; the sheet beside it goes."""
        if self.on_deck is not None:
            self.on_deck.put_away()
        self.place(page)
        self.add_widget(page)  # over the tags, too: they are about the view
        self.bar_keys()

    def take_down(self, page: Widget) -> None:
        """Remove it."""
        self.remove_widget(page)
        self.bar_keys()

    def _change_view(self, name: str) -> None:
        if self.shown:
            self.remove_widget(self.views[self.shown])
        self.add_widget(self._view(name), index=len(self.children))
        self.shown = name

    # -- each frame -----------------------------------------------------------------------------------------

    def frame(self, _dt: float = 0) -> None:
        """Show the current instant."""
        driver = self.driver
        now_ms = driver.now_ms()
        if told := driver.settle():
            self.bar.tell(*told)
        if self.switch.screens is not None:
            self._look_at_screens()
        at_ms = driver.clock_ms(now_ms)
        sounds = self.sounds if self._sounds or driver.run.begun else None
        tuned = self._setting_up.lit(now_ms) if self._setting_up else None
        lit = (
            self._flash.lit(now_ms, sounds.instants if sounds else ()) and self.settings.flash
            if tuned is None
            else tuned
        )
        self._show(at_ms, driver.whose(now_ms))
        if lit != self.lit:
            self.lit = lit
            light(self, lit, self.theme, self.glass.px(FRAME_MM))
        self.bar.tick(now_ms)
        if self._setting_up is not None and self._setting_up.what and driver.running and self.bar.idle(now_ms):
            self._setting_up.show("")
            self.bar.changed_by_itself(now_ms)
        if sounds:
            sounds.frame(now_ms)
        self.notices.frame(at_ms)
        moment = self._moment(now_ms)
        if self.on_deck is not None or ((moment.over or moment.run_out) and moment.zero_passed):
            self.deck.frame(now_ms)
        time = self.bar.time if moment.begun else str(self.start)
        if moment != self.bar.moment or time != self.bar.time:
            self.bar.moment, self.bar.time = moment, time
            if not self.bar.locked:
                self.bar_keys()
        self.look_after_keys(now_ms)
        if self._lock_again and self.notices.notice is None:  # first what the coach has to read
            self._lock_again = False
            self.lock()
            self.tell(tr("The lock is closed, as it was before the interruption"), tr("Locked as before"))

    def _look_at_screens(self) -> None:
        for one in self.switch.frame():
            self.helped(one)
        if news := self.switch.news():
            self.bar.tell(news, tr("Lane screens are off; trying again"))

    def _show(self, at_ms: int, whose: str) -> None:
        held = self.bar.asked or (None if self.on_deck is None else self.on_deck.asked)
        foretold = self.foretelling.said(held, at_ms)
        run, phase_ms = self.driver.seen, self.driver.run.phase_ms
        view: Any
        name = self.seen
        if run.stopped and not self._stop_hidden:
            name, view = "stop", clock_reading(at_ms, phase_ms)
        elif name == "pool":
            before, self._gliding = self._gliding, (at_ms // GLIDE_MS, run, self.driver.journal)
            moved = self._gliding != before or self.shown != "pool"
            view = pool_view(
                run,
                at_ms,
                phase_ms=phase_ms,
                places=moved,
                walls=self.driver.at_wall(at_ms) if moved else (),
                glide_ms=GLIDE_MS,
            )
            # the sheet may be about one lane after another: their numbers stay beside it
            talks = run.begun is not None and run.ended_ms is None and self.sheet is None and talking(view)
            if talks and not foretold:
                from pacer.plan.library.drillbook import EMPTY_BOOK
                from pacer.show.wording.changeovertext import changeover_view

                name = "changeover"
                view = changeover_view(run, at_ms, phase_ms=phase_ms, book=self.book or EMPTY_BOOK)
        elif name == "lane":
            view = lane_view(run, self.lane, at_ms, phase_ms=phase_ms, glide_ms=GLIDE_MS)
        else:
            view = dial_view(run, at_ms, phase_ms=phase_ms, glide_ms=GLIDE_MS)
        if name != self.shown:
            self._change_view(name)
        if name == "stop":
            self.views[name].show(view, whose)
            return
        self.views[name].foretell(foretold)
        self.views[name].show(view if whose == "own" else view._replace(whose=whose))

    def _moment(self, now_ms: int) -> Moment:
        driver = self.driver
        run, several = driver.run, len(driver.run.timeline.tracks) > 1
        at_ms = None if run.begun is None else run.at_ms(now_ms)
        paused, lanes = run.paused(), self._lanes()
        meant = [run.timeline.tracks[lane] for lane in lanes] if lanes else run.timeline.tracks
        return Moment(
            begun=at_ms is not None,
            zero_passed=at_ms is not None and at_ms >= 0,
            over=driver.ended,
            reopens=driver.reopens,
            run_out=at_ms is not None and at_ms >= run.timeline.end_ms and not paused,
            paused=bool(paused) if lanes is None else lanes[0] in paused,
            going=at_ms is not None and any(track.paused_ms is None and at_ms < track.end_ms for track in meant),
            stopped=run.stopped and not self._stop_hidden,
            view=self.seen if several or self.mode == "dial" else "pool",
            whom="" if not several else "all" if lanes is None else str(run.timeline.lanes[lanes[0]].number),
            muted=self.settings.muted,
            silent=self._sounds is not None and self._sounds.silent,
        )

    # -- what the keys do -------------------------------------------------------------------------------------

    @property
    def deck(self) -> OnDeck:
        """What the coach does during the session; created at first use."""
        if self.on_deck is None:
            from pacer.face.deck.ondeck import OnDeck

            self.on_deck = OnDeck(self)
        return self.on_deck

    def change(self, settings: Settings) -> None:
        """Use other settings, with their effect at once."""
        before, self.settings = self.settings, settings
        self.sounds.set(settings)
        self.keep(settings)
        if (before.theme, before.reading_distance_m) != (settings.theme, settings.reading_distance_m):
            self.lay_out()

    def bar_keys(self) -> None:
        """Put the right keys on the bar: a page's, the settings', or the session's own."""
        keys = self.notices.keys()
        if keys is not None and self.driver.running:
            first = keys_for(self.bar.moment)[0]  # Pause is one press away, whatever is read
            keys = (*([first] if first.name in ("pause", "resume") else []), *keys)
        if keys is None and self._setting_up is not None:
            keys = self._setting_up.keys()
        self.bar.keys_shown = keys
        self.bar.lay_out(self.size)

    def lock(self) -> None:
        """Lock the screen, except for stop all."""
        self.bar.locked = True
        self._keep_lock(self.driver.number)
        if self.on_deck is not None:
            self.on_deck.put_away()
        self.bar.show_page(0)
        self.bar.lay_out(self.size)

    def unlock(self) -> None:
        """The splash lock was opened."""
        self.bar.locked = False
        self._keep_lock(None)
        self.bar.lay_out(self.size)

    def _keep_lock(self, over: int | None) -> None:  # over which session: it closes again if the app is interrupted
        if over != self.settings.locked_over:
            self.change(replace(self.settings, locked_over=over))

    def on_touch_down(self, touch) -> bool:
        """Under the splash lock every touch goes to the bar, wherever it is."""
        self.touched_ms = self.driver.now_ms()
        if self.bar.away:
            taken = self.first_touch(touch)
            return super().on_touch_down(touch) if taken is None else taken
        if self.bar.locked:
            return self.bar.on_touch_down(touch)
        return super().on_touch_down(touch)
