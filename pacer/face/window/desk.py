"""The coach's desk: one page at a time on the window, from the shelf to the session that runs, and the way back.

It owns what the pages share: settings, plans, squads, the store of sessions, player and device. A session that
runs is never left by a step back; only its own key ends it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.base import EventLoop
from kivy.metrics import Metrics
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.widget import Widget

from pacer.plan.library.shelf import Shelf, ShelfTrouble
from pacer.plan.model import Plan
from pacer.plan.notation.reader import pool_from_text, read_line, read_plan
from pacer.plan.problem import Unreadable
from pacer.plan.times import MINUTE_MS
from pacer.review.wasswum import counts_as_swum
from pacer.session.cautions import CAUTIONS
from pacer.session.journal.recordentries import HeadsCounted
from pacer.session.storage.openings import Opened, end_again, open_again, open_new, reopen, reopens, running
from pacer.session.storage.recovery import Recovery
from pacer.session.storage.store import InUse, Store, StoreTrouble
from pacer.show.drive.asidethread import Answers
from pacer.show.drive.preparation import CannotStart, Clocks, Start, broken_off, started
from pacer.show.drive.settings import Settings
from pacer.show.editing.drillkeys import drills_offered
from pacer.show.measure.legibility import COACH_M, Glass
from pacer.show.measure.theme import THEMES
from pacer.show.wording.closing import CLOSE
from pacer.squad.register.drillfile import DrillFile
from pacer.squad.register.roster import Roster, present
from pacer.squad.register.squadfolder import Squads
from pacer.timeline.findings import CannotRun, Finding

if TYPE_CHECKING:
    from pacer.face.window.keyboard import Keyboard
    from pacer.face.window.shell import Shell
    from pacer.session.storage.kept import Listed
    from pacer.timeline.layout import Timeline

#: So long a session is worked out before a page says so: the usual one is there by then.
PATIENCE_S = 0.05
FIRST_PLAN = "long-axis-rotation-3"  #: what the first start is ready to run
DEMO = "This is a demo plan with a demo squad. For your own, press Close, then New."

WORKING = (("Working out the session", "More can be chosen than usual: it takes a moment."),)


class Desk(FloatLayout):
    """Everything the coach does, in one window.

    `assets` is the folder with the demo plans and squads that the first start puts on the shelf. `keep(settings)` is
    called when a setting has changed, `close()` when the coach closes the app.
    """

    def __init__(
        self,
        folder: Path,
        settings: Settings,
        assets: Path,
        *,
        told: Sequence[str] = (),
        clocks: Clocks | None = None,
        keep: Callable[[Settings], None] = lambda settings: None,
        close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(**kwargs)
        self.folder, self.settings, self.clocks = Path(folder), settings, clocks or Clocks()
        self._keep, self._close = keep, close
        self._demos = sorted((assets / "plans").glob("*.txt"))
        self.shelf = Shelf(self.folder, self._demos)
        self.squads = Squads(self.folder, sorted((assets / "squads").glob("*.toml"), reverse=True))
        self.drills = DrillFile(self.folder, assets / "drills.toml")
        self.store = Store(self.folder)
        self.told = [*told, *self.shelf.told, *self.squads.told, *self.drills.told]
        self.squads.told = ()
        self.player = self.device = None
        self.page: Widget | None = None  #: what is on the window
        self.shell: Shell | None = None  #: the session's own face, while it is what is on the window
        self.opened: Opened | None = None  #: the session that is kept, while one is in hand
        self.keyboard: Keyboard | None = None
        self.patience_s = PATIENCE_S
        self._starting: tuple[Answers[Start | CannotStart], Callable[[Start | CannotStart], None]] | None = None
        self._line = None  #: what the last line now was
        self._counted: int | None = None  #: heads that went in, counted before the session that stands ready has begun
        Metrics.bind(dpi=lambda *_: self._looks(), fontscale=lambda *_: self._looks())

    # -- what is on the window -------------------------------------------------------------------------------

    @property
    def glass(self) -> Glass:
        """The screen as it is now.

        Words for the coach grow with the tablet's own size of text as far as there is room.
        """
        return Glass.of_dpi(
            Metrics.dpi, tier_1_m=float(self.settings.reading_distance_m), coach_m=COACH_M * max(1.0, Metrics.fontscale)
        )

    @property
    def looks(self) -> dict:
        """Theme and glass, for a page to be made with."""
        return {"theme": THEMES[self.settings.theme], "glass": self.glass}

    def show(self, page: Widget) -> None:
        """Put a page on the window in place of the one before."""
        self._take_down()
        self.page = page
        if EventLoop.window is not None:
            EventLoop.window.clearcolor = (*THEMES[self.settings.theme].ground, 1)
        self.add_widget(page)
        if self.told and hasattr(page, "tell"):
            page.tell(" ".join(self.told))
            self.told = []

    def _take_down(self) -> None:
        if self._starting is not None:
            self._starting[0].drop()
            self._starting = None
        if self.page is None:
            return
        if self.keyboard is not None:
            self.keyboard.close()
            self.keyboard = None
        if self.shell is not None:
            self.shell.leave()
        elif hasattr(self.page, "close_down"):
            self.page.close_down()
        self.remove_widget(self.page)
        self.page = self.shell = None

    def _looks(self) -> None:
        if self.page is not None and self.shell is None:
            self.page.theme, self.page.glass = self.looks["theme"], self.glass
            self.page.lay_out()

    def frame(self, _dt: float = 0) -> None:
        """Show the present instant of the session, if it is on the window, or what has been worked out for one."""
        self._go_on_starting()
        if self.shell is not None:
            self.shell.frame()
            if self._counted is not None and self.shell.driver.run.begun is not None:
                self._keep_count()

    def _keep_count(self) -> None:
        """The heads that were counted before the start go into the journal as soon as it has a beginning."""
        driver, counted, self._counted = self.shell.driver, self._counted, None
        told = driver.append(HeadsCounted(driver.at_ms(), counted, into=True))
        if told:
            self.shell.bar.tell(*told)

    def change(self, settings: Settings) -> None:
        """Settings have changed."""
        self.settings = settings
        self._keep(settings)
        if self.player is not None:
            self.player.volume, self.player.muted = settings.volume, settings.muted

    def open_sound(self, player, device) -> None:
        """Player and device are there, after the first picture."""
        self.player, self.device = player, device
        self.change(self.settings)
        if self.shell is not None:
            self.shell.sounds.open(player, device)
        elif hasattr(self.page, "player"):
            self.page.player, self.page.device = player, device

    # -- the start ----------------------------------------------------------------------------------------------

    def begin(self) -> None:
        """What the coach sees first.

        A session that was broken off, test swims likewise, something that works, or the shelf.
        """
        if self._ask_about_session():
            return
        if self._tests_under_way():
            self.go_on_testing()
        elif self.settings.cautions_read == 0 and not self._was_swum():
            self._first()
        else:
            self.home()

    def _first(self) -> None:
        """The demo session, ready: one press begins it."""
        try:
            text = self.shelf.text(FIRST_PLAN)
        except ShelfTrouble:
            self.home()
        else:
            self.run(text, at_once=True, demo=DEMO, refused=lambda why: self.home())

    def _was_swum(self) -> bool:
        try:
            return bool(self.store.sessions())
        except StoreTrouble:
            return False

    def _broken_off(self) -> tuple[int, Recovery] | None:
        try:
            return broken_off(self.store, self.clocks.now())
        except (StoreTrouble, Unreadable, CannotRun) as trouble:
            self.told.append(f"The last session can't be resumed: {trouble}")
            return None

    def _ask_about_session(self, again: bool = False) -> bool:
        """Ask whether the session that is running is gone on with, or say that another copy of the app has it.

        False where there is none.

        `again`: it has been said before.
        """
        in_use = ""
        try:
            self.told += self.store.open()
        except InUse as trouble:
            in_use = str(trouble)
        except StoreTrouble as trouble:
            self.told.append(str(trouble))
        found = self._broken_off()
        if found is None:
            self.told += [in_use] if in_use else []
        elif in_use:
            self._say_in_use(found[1], again)
        else:
            self._ask_to_carry_on(*found)
        return found is not None

    def _say_in_use(self, recovery: Recovery, again: bool = False) -> None:
        """The session can be gone on with by one copy of the app alone."""
        from pacer.face.pages.textpage import TextPage
        from pacer.show.wording.recoverytext import in_use_words

        if again:
            self.told.append("it is still running there")
        ways = ("again", "Try again", lambda: self.go_on(again=True)), ("shelf", "Cancel", self.home)
        self.show(TextPage(in_use_words(recovery), ways, **self.looks))

    def go_on(self, again: bool = False) -> None:
        """Ask about the session that is running; where there is none any more, the shelf."""
        if not self._ask_about_session(again):
            self.home()

    def _ask_to_carry_on(self, number: int, recovery: Recovery) -> None:
        from pacer.face.window.recallpage import RecallPage

        def stop() -> None:
            self.carry_on(number)
            if self.shell is not None:
                self.shell.stop_all()

        self.show(
            RecallPage(
                recovery,
                on_carry_on=lambda: self.carry_on(number),
                on_over=lambda: self.end_broken_off(number),
                on_stop=stop,
                now_ms=self.clocks.boot,
                **self.looks,
            )
        )

    def resume(self, number: int) -> None:
        """Go on with a session that was ended just now."""
        self.carry_on(number, reopen)

    def carry_on(self, number: int, how: Callable[..., Opened] = open_again) -> None:
        """Go on with a session that was broken off, at the second where it would have been."""
        try:
            opened = how(self.store, number, clock=self.clocks.now)
        except InUse:
            self.go_on()
            return
        except (StoreTrouble, Unreadable, CannotRun) as trouble:
            self.told.append(str(trouble))
            self.home()
            return
        self._clock(opened, told=opened.told)

    def end_broken_off(self, number: int) -> None:
        """The session that was broken off is over."""
        try:
            end_again(self.store, number, clock=self.clocks.now)
        except InUse:
            self.go_on()
            return
        except (StoreTrouble, Unreadable, CannotRun) as trouble:
            self.told.append(str(trouble))
        self.home()

    # -- pages ---------------------------------------------------------------------------------------------------

    @property
    def roster(self) -> Roster:
        """The squad in hand, and who is away today."""
        return self.squads.roster(self.clocks.day())

    @property
    def squad_here(self):
        """Those who are here; all of the squad where that is nobody."""
        roster = self.roster
        here = present(roster.squad, roster.away)
        return here if here.lanes else roster.squad

    def home(self) -> None:
        """The shelf, and the ways to everything else."""
        from pacer.face.pages.home import HomePage

        self._let_go()
        self._counted = None
        ways = {
            "line": self.line,
            "squad": self.squad,
            "settings": self.set_up,
            "log": self.log,
            "cautions": self.cautions,
        }
        if self._running() is not None:
            ways["on"] = self.go_on
        if self.squads.tests(self.clocks.started()) is not None:
            ways["test"] = self.go_on_testing
        self.show(
            HomePage(
                self.shelf,
                self.squad_here,
                roster=self.roster,
                ways=ways,
                swum=self._swum(),
                pool=self.settings.pool,
                on_run=self.run,
                on_write=self.write,
                on_close=self.close,
                **self.looks,
            )
        )

    def _swum(self) -> dict[str, int]:
        """When each title was last swum.

        A session that was broken off after seconds does not count, nor yet one that may still be running.
        """
        try:
            sessions = self.store.sessions()
        except StoreTrouble:
            return {}
        on = self._running()
        return {
            listed.title: listed.begun_ms
            for listed in reversed(sessions)
            if counts_as_swum(listed) and listed.title and listed != on
        }

    def _running(self) -> Listed | None:
        """The session that was begun last, where it was not ended."""
        try:
            return running(self.store)
        except StoreTrouble:
            return None

    def log(self, number: int | None = None) -> None:
        """The sessions that were swum, or one of them."""
        from pacer.face.pages.logpage import LogPage

        self.show(
            LogPage(
                self.store,
                number,
                on_squad=lambda opened: self.squad(lambda: self.log(opened)),
                on_close=self.home,
                reopens=lambda: reopens(self.store, self.clocks.now()),
                on_resume=self.resume,
                **self.looks,
            )
        )

    def new(self) -> None:
        """Write a plan of one's own."""
        try:
            self.write(self.shelf.new(self.settings.pool).name)
        except ShelfTrouble as trouble:
            self._tell(str(trouble))

    def write(self, name: str, line: int | None = None) -> None:
        """Write a plan, from `line` on where one is named (from 1)."""
        from pacer.face.editor.editorpage import EditorPage

        def run(text: str) -> None:
            def back(why: CannotStart) -> None:  # the page has been left already: back on it, with the reason
                self.write(name)
                self._tell(*why.ways)

            self.run(text, refused=back)

        self.show(
            EditorPage(
                self.shelf,
                name,
                self.squad_here,
                drills=drills_offered((card.text for card in self.shelf.cards()), self.drills.book),
                on_run=run,
                on_close=lambda _text: self.home(),
                **self.looks,
            )
        )
        if line is not None:
            self.page.go_to(line - 1, focus=False)
        else:
            self.page.go_on()

    def line(self) -> None:
        """A line now."""
        from pacer.face.editor.quicksetpage import LineNowPage
        from pacer.show.editing.quickset import plan_of
        from pacer.timeline.summary.planned import planned

        def run(text: str, pool: str) -> None:
            self._line = page.choice
            gear = self.roster.squad.gear
            self._start(
                lambda: replace(read_line(text, pool_from_text(pool), gear), title=text),
                None,
                at_once=True,
                page=text,
                then=begin,
            )

        def begin() -> None:
            shell = self.shell
            if shell is not None and shell.notices.confirmed:
                shell.act("begin", shell.ask("begin"))  # it was thought up on deck: it runs at once

        page = LineNowPage(
            self.squad_here,
            self.settings.pool,
            choice=self._line,
            on_run=run,
            on_close=self.home,
            now_ms=self.clocks.boot,
            begins=lambda: self._begins(planned(plan_of(page.text, page.pool, page.squad), page.squad)[0], "begin"),
            **self.looks,
        )
        self.show(page)

    def squad(self, then: Callable[[], None] | None = None, lane: int | None = None) -> None:
        """The squad, or one lane of it; afterwards home, or what `then` shows."""
        from pacer.face.pages.squadpage import SquadPage

        self.show(
            SquadPage(
                self.squads,
                self.clocks.day(),
                self.settings.pool,
                lane=lane,
                on_test=lambda tested: self.test(tested, then=lambda: self.squad(then, lane)),
                on_close=lambda _roster: (then or self.home)(),
                **self.looks,
            )
        )

    def heads(self, then: Callable[[], None]) -> None:
        """Heads before the start; a count is kept with the session that is then begun. Afterwards what `then` shows."""
        from pacer.face.pages.headspage import HeadsPage

        def count(heads: int) -> None:
            self._counted = heads
            then()

        self.show(
            HeadsPage(
                self.squads,
                self.clocks.day(),
                self._counted,
                on_count=count,
                on_close=then,
                on_lane=lambda lane: self.squad(lambda: self.heads(then), lane),
                **self.looks,
            )
        )

    def test(self, lane: int, swims: Sequence = (), then: Callable[[], None] | None = None) -> None:
        """Test swims of a lane."""
        from pacer.face.pages.testpage import TestPage

        self.show(
            TestPage(
                self.squads,
                lane,
                self.clocks.day(),
                swims=swims,
                now_ms=self.clocks.boot,
                wall_ms=self.clocks.wall,
                boot=self.clocks.started,
                player=self.player,
                latency_ms=self.settings.latency_ms,
                on_close=then or self.home,
                **self.looks,
            )
        )

    def _tests_under_way(self) -> bool:
        found = self.squads.tests(self.clocks.started())
        return found is not None and found[2][-1].zero_ms is not None and not found[2][-1].is_in

    def go_on_testing(self) -> None:
        """Take up test swims where they were left."""
        found = self.squads.tests(self.clocks.started())
        if found is None:
            self.home()
            return
        name, lane, swims = found
        self.squads.choose(name)
        self.test(lane, swims)

    def set_up(self) -> None:
        """The settings."""
        from pacer.face.pages.settingspage import SettingsPage

        self.show(
            SettingsPage(
                self.settings,
                self.folder,
                [lane.number for lane in self.roster.squad.lanes],
                player=self.player,
                device=self.device,
                now_ms=self.clocks.boot,
                day=self.clocks.day,
                keep=self._set,
                on_cautions=lambda: self.cautions(self.set_up),
                on_close=self.home,
                **self.looks,
            )
        )

    def _set(self, settings: Settings) -> None:
        self.change(settings)
        self.page.glass = self.glass
        if EventLoop.window is not None:
            EventLoop.window.clearcolor = (*THEMES[settings.theme].ground, 1)

    def cautions(self, then: Callable[[], None] | None = None) -> None:
        """The cautions, to be read again."""
        from pacer.face.pages.textpage import TextPage

        self.show(TextPage(CAUTIONS, (("leave", CLOSE, then or self.home),), **self.looks))

    # -- a session -------------------------------------------------------------------------------------------------

    def run(
        self,
        text: str,
        at_once: bool = False,
        demo: str = "",
        refused: Callable[[CannotStart], None] | None = None,
    ) -> None:
        """Make a plan ready to run with those who are here; what stands in the way is told, or `refused` is."""
        roster = self.roster
        self._start(lambda: read_plan(text, roster.squad.gear), text, at_once, demo=demo, refused=refused)

    def _start(
        self,
        read: Callable[[], Plan],
        text: str | None,
        at_once: bool,
        page: str = "",
        demo: str = "",
        refused: Callable[[CannotStart], None] | None = None,
        then: Callable[[], None] = lambda: None,
    ) -> None:
        """The session of a plan of that `text`, or of what stands on a `page` that is no plan.

        Worked out aside: the window goes on. `then` is done once it is ready to begin.
        """
        roster = self.roster

        def work() -> Start | CannotStart:
            try:
                return started(read, text, roster, self.drills.book)
            except CannotStart as why:
                return why

        def again() -> None:
            self._start(read, text, at_once, page, refused=home)

        def home(why: CannotStart) -> None:  # nobody is here: back home, with the reason
            self.home()
            self._tell(*why.ways)

        def done(found: Start | CannotStart, tell: Callable[[CannotStart], None]) -> None:
            if isinstance(found, CannotStart):
                (refused or tell)(found)
                return
            self._let_go()
            self.opened = open_new(self.store, found.timeline, found.text, clock=self.clocks.now)
            if at_once:
                told, shown = self.opened.told, text or page
                self._clock(self.opened, found.findings(), again=again, told=told, page=shown, demo=demo)
            else:
                self._ready(self.opened, text, found.findings(), again)
            then()

        answers: Answers[Start | CannotStart] = Answers("start")
        answers.ask("start", work)
        answers.wait(self.patience_s)
        if (found := answers.ask("start", work)) is not None:
            done(found, lambda why: self._tell(*why.ways))
            return
        self._show_working(answers)
        self._starting = answers, lambda found: done(found, home)

    def _show_working(self, answers: Answers[Start | CannotStart]) -> None:
        """A page that says that the session is worked out, and leads back."""
        from pacer.face.pages.textpage import TextPage

        def leave() -> None:
            answers.drop()
            self.home()

        self.show(TextPage(WORKING, (("leave", CLOSE, leave),), **self.looks))

    def _go_on_starting(self) -> None:
        """Show what was worked out, once it is there."""
        if self._starting is not None:
            answers, done = self._starting
            if (found := answers.ask("start", _asked_already)) is not None:
                self._starting = None
                done(found)

    def _name_of(self, text: str | None) -> str:
        """The plan on the shelf that a text is of, "" for none."""
        return next((card.name for card in self.shelf.cards() if card.text == text), "")

    def _is_demo(self, text: str | None) -> bool:
        """Whether that is a demo plan as it came."""
        try:
            return any(path.read_text("utf-8").strip() == (text or "").strip() for path in self._demos)
        except OSError:
            return False

    def _tell(self, *ways: str) -> None:
        if self.page is not None and hasattr(self.page, "tell"):
            self.page.tell(*ways)

    def _ready(self, opened: Opened, text: str, found: Sequence[Finding], again: Callable[[], None]) -> None:
        """The page before the start of the plan `text`."""
        from pacer.face.pages.readypage import ReadyPage

        def begin(how: str) -> None:
            chosen = page.start.chosen
            self._clock(opened, again=again, back=again)
            self.shell.start.chosen = chosen
            self.shell.act(how, self.shell.ask(how))

        name, minutes = self._name_of(text), -(-opened.timeline.end_ms // MINUTE_MS)
        self.told += opened.told
        page = ReadyPage(
            opened.timeline,
            text,
            found,
            away=len(self.roster.away),
            demo=self._is_demo(text),
            counted=self._counted,
            wall_ms=self.clocks.wall,
            now_ms=self.clocks.boot,
            battery=lambda: self.device.battery_warning(minutes) if self.device is not None else "",
            on_begin=begin,
            begins=lambda how: self._begins(opened.timeline, how, page.start.hour_minute()),
            on_start=lambda: self._clock(opened, again=again, back=again),
            on_heads=None if self.roster.squad.assumed else lambda: self.heads(again),
            on_squad=lambda: self.squad(again),
            on_write=(lambda line: self.write(name, line)) if name else None,
            on_new=self.new,
            on_close=self.home,
            book=self.drills.book,
            **self.looks,
        )
        self.show(page)

    def _begins(self, timeline: Timeline, how: str, at: tuple[int, int] = (0, 0)) -> tuple[str, ...]:
        """When a session of that timeline would start if it were begun now.

        `how` is one of the keys that do it, `at` the time of day for that one.
        """
        from pacer.show.drive.driver import Driver

        driver = Driver(timeline, now_ms=self.clocks.boot, wall_ms=self.clocks.wall, boot=self.clocks.started)
        driver.top = self.settings.wall_top
        return (
            driver.begin() if how == "begin" else driver.begin_at_top() if how == "top" else driver.begin_at(*at)
        ).ways

    def _clock(
        self,
        opened: Opened,
        found: Sequence[Finding] = (),
        *,
        again: Callable[[], None] | None = None,
        back: Callable[[], None] | None = None,
        told: Sequence[str] = (),
        page: str = "",
        demo: str = "",
    ) -> None:
        """The session's own face.

        `back` is where it is left for before it has begun, `page` what flagged lines are found on.
        """
        from pacer.face.window.keyboard import Keyboard
        from pacer.face.window.shell import Shell
        from pacer.show.drive.driver import Driver
        from pacer.show.drive.journalwriter import OnDisk

        self.opened = opened
        driver = Driver(
            opened.timeline,
            now_ms=self.clocks.boot,
            wall_ms=self.clocks.wall,
            boot=self.clocks.started,
            store=OnDisk(opened.keeper),
            journal=opened.journal,
        )

        def leave() -> None:
            (self.home if driver.run.begun is not None else back or self.home)()

        shell = Shell(
            driver,
            self.settings,
            findings=found,
            told=(*self.told, *told),
            keep=self.change,
            close=leave,
            again=again or self.home,
            book=self.drills.book,
        )
        self.told = []
        self.show(shell)
        self.shell, self.keyboard = shell, Keyboard(shell)
        if self.player is not None:
            shell.sounds.open(self.player, self.device)
        shell.notices.demo, shell.notices.page = demo, page
        if driver.run.begun is None or told:
            shell.notices.greet()

    def _let_go(self) -> None:
        """Nobody keeps a session any more."""
        if self.opened is not None:
            self._take_down()
            self.opened.keeper.close()
            self.opened = None

    # -- the end ----------------------------------------------------------------------------------------------------

    @property
    def busy(self) -> bool:
        """Whether something is under way that must not be closed by the way."""
        return (self.shell is not None and self.shell.driver.running) or getattr(self.page, "running", False)

    def close(self) -> None:
        """Close the app, unless something is under way."""
        if not self.refuse():
            self._close()

    def refuse(self) -> bool:
        """Whether the app must not be closed now; why is told."""
        if not self.busy:
            return False
        if self.shell is not None:
            from pacer.face.window.keyboard import STILL_RUNNING

            self.shell.bar.tell(*STILL_RUNNING)
        else:
            self._tell("Stop the test swim first")
        return True

    def leave(self) -> None:
        """The app ends: everything is written down."""
        self._take_down()
        self._let_go()


def _asked_already() -> Start | CannotStart:
    raise AssertionError("what is asked again was asked before")
