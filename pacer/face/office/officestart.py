"""The part of the office that goes from a text to the clock: the session worked out, the page before the start."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from pacer.face.office.officepart import WORKING, OfficePart, T
from pacer.language import tr
from pacer.plan.filetext import lines_of
from pacer.plan.library.shelf import ShelfTrouble
from pacer.plan.model import Plan
from pacer.plan.notation.planreader import pool_from_text, read_line, read_plan
from pacer.plan.text.fixes import Fix
from pacer.plan.times import MINUTE_MS
from pacer.session.storage.startandresume import SessionToRun, open_new, reopens
from pacer.session.storage.store import StoreTrouble
from pacer.show.drive.asidethread import Answers
from pacer.show.drive.preparation import CannotStart, Start, started
from pacer.show.wording.commonkeys import CLOSE
from pacer.show.wording.recoverytext import no_way_back
from pacer.signal.output_silent import NO_SOUND
from pacer.timeline.findings import Finding
from pacer.timeline.timeline import Timeline


class OfficeStart(OfficePart):
    """Starting a plan, or a set made up on deck."""

    def run(
        self,
        text: str,
        at_once: bool = False,
        demo: str = "",
        refused: Callable[[CannotStart], None] | None = None,
    ) -> None:
        """Get a plan ready for those who are here; if something prevents that the coach is told, or `refused` is
        called.
        """
        roster = self.roster
        self._start(lambda: read_plan(text, roster.squad.words), text, at_once, demo=demo, refused=refused)

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
        """Start a plan with that `text`, or the text on a `page` that is not a plan.

        Worked out on another thread: the window keeps running. `then` is called when it is ready to begin.
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
            name = self._name_of(text)
            self.opened = open_new(
                self.store,
                found.timeline,
                found.text,
                name=name,
                absent=self.roster.absent,
                clock=self.clocks.now,
            )
            if at_once:
                told, shown = (*(() if page else self.no_way_back()), *self.opened.told), text or page
                self.show_session(self.opened, found.findings(), again=again, told=told, page=shown, demo=demo)
            else:
                self._ready(self.opened, text, found.findings(), again)
            then()

        self.work_out(
            work, lambda found: done(found, lambda why: self._tell(*why.ways)), later=lambda found: done(found, home)
        )

    def work_out(
        self,
        work: Callable[[], T],
        done: Callable[[T], None],
        *,
        later: Callable[[T], None] | None = None,
        leave: Callable[[], None] | None = None,
        says: Sequence[tuple[str, str]] = WORKING,
    ) -> None:
        """Work something out on another thread, with a page that says so if it takes long."""
        answers: Answers[T] = Answers("start")
        answers.ask("start", work)
        answers.wait(self.patience_s)
        if (found := answers.ask("start", work)) is not None:
            done(found)
            return
        self._show_working(answers, says, leave or self.home)
        self._starting = answers, later or done

    def no_way_back(self) -> tuple[str, ...]:
        """That another session could still be resumed, and can't be once this one starts."""
        now = self.clocks.now()
        try:
            listed = reopens(self.store, now)
        except StoreTrouble:
            return ()
        return () if listed is None else (no_way_back(listed, now.wall_ms),)

    def _show_working(self, answers: Answers, says: Sequence[tuple[str, str]], leave: Callable[[], None]) -> None:
        """A page that says that something is being worked out, and can be closed."""
        from pacer.face.pages.textpage import TextPage

        def give_up() -> None:
            answers.drop()
            leave()

        self.show(TextPage(says, (("leave", CLOSE, give_up),), **self.looks))

    def _go_on_starting(self) -> None:
        """Show the result once it is there."""
        if self._starting is not None:
            answers, done = self._starting
            if (found := answers.ask("start", _asked_already)) is not None:
                self._starting = None
                done(found)

    def _name_of(self, text: str | None) -> str:
        """The plan on the shelf with that text, "" for none."""
        return next((card.name for card in self.shelf.cards() if card.text == text), "")

    def _is_demo(self, text: str | None) -> bool:
        """Whether it is an unchanged demo plan."""
        try:
            return any(path.read_text("utf-8").strip() == (text or "").strip() for path in self._demos)
        except OSError:
            return False

    def quick_set(self) -> None:
        """A quick set."""
        from pacer.face.editor.quicksetpage import QuickSetPage
        from pacer.show.editing.quickset import plan_of
        from pacer.timeline.summary.planned import planned

        def run(text: str, pool: str) -> None:
            self._quick_choice = page.choice
            gear = self.roster.squad.words
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
                shell.act("begin", shell.ask("begin"))  # it was made up on deck: it starts at once

        self.told += self.no_way_back()
        page = QuickSetPage(
            self.squad_here,
            self.settings.pool,
            choice=self._quick_choice,
            on_run=run,
            on_close=self.home,
            now_ms=self.clocks.boot,
            begins=lambda: self.starts(planned(plan_of(page.text, page.pool, page.squad), page.squad)[0], "begin"),
            **self.looks,
        )
        self.show(page)

    def _ready(
        self, opened: SessionToRun, text: str | None, found: Sequence[Finding], again: Callable[[], None]
    ) -> None:
        """The page before the start of the plan `text`."""
        from pacer.face.pages.readypage import ReadyPage

        self.told += opened.told
        name = self._name_of(text)
        page = ReadyPage(
            opened.timeline,
            text or "",
            ReadySession(self, opened, name, again),
            found,
            title=opened.timeline.plan.title or name,
            away=len(self.roster.away),
            demo=self._is_demo(text),
            counted=self._counted,
            book=self.drills.book,
            **self.looks,
        )
        self.show(page)

    def starts(self, timeline: Timeline, how: str, at: tuple[int, int] = (0, 0)) -> tuple[str, ...]:
        """When a session of that timeline would start if it were started now.

        `how` is one of the keys that start it, `at` the time of day for the one that needs it.
        """
        from pacer.show.drive.driver import Driver

        driver = Driver(timeline, now_ms=self.clocks.boot, wall_ms=self.clocks.wall, boot=self.clocks.started)
        driver.top = self.settings.wall_top
        return (
            driver.begin() if how == "begin" else driver.begin_at_top() if how == "top" else driver.begin_at(*at)
        ).ways

    def show_session(
        self,
        opened: SessionToRun,
        found: Sequence[Finding] = (),
        *,
        again: Callable[[], None] | None = None,
        back: Callable[[], None] | None = None,
        told: Sequence[str] = (),
        page: str = "",
        demo: str = "",
    ) -> None:
        """The session's shell.

        `back` is where Close leads before it has begun, `page` the page that flagged lines are on.
        """
        from pacer.face.window.sessionkeyboard import Keyboard
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
            absent=opened.absent,
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
            folder=self.store.folder,
        )
        self.told = []
        self.show(shell)
        self.shell, self.keyboard = shell, Keyboard(shell)
        if self.player is not None:
            shell.sounds.open(self.player, self.device)
        shell.notices.demo, shell.notices.page = demo, page
        if driver.run.begun is None or told:
            shell.notices.greet()


class ReadySession:
    """What the page before the start acts through, for one session; `name` is its plan on the shelf, "" for none.

    `again` makes the session once more, after the squad or the head count has changed.
    """

    def __init__(self, office: OfficeStart, opened: SessionToRun, name: str, again: Callable[[], None]):
        self._office, self._opened, self._name, self._again = office, opened, name, again
        self.counts_heads = not office.roster.squad.assumed
        self.can_write = bool(name)
        squad = office.roster.squad  # a plan's values are for all of its lanes
        self.can_mend = self.can_write and len(squad.lanes) == len(opened.timeline.squad.lanes)
        self.wall_ms, self.now_ms = office.clocks.wall, office.clocks.boot
        self.new, self.close = office.new, office.home
        self._lost = office.no_way_back()

    def battery(self) -> str:
        """A warning about the battery, and that another session can't be resumed then; "" for none."""
        device, timeline = self._office.device, self._opened.timeline
        warning = device.battery_warning(-(-timeline.end_ms // MINUTE_MS)) if device is not None else ""
        return " ".join(filter(None, (warning, *self._lost)))

    def sound(self) -> str:
        """That no beeps will be heard: the tablet has no sound, or it is muted."""
        if self._office.player is not None and self._office.player.silent:
            return NO_SOUND
        return tr("Sound is muted: only STOP ALL is heard.") if self._office.settings.muted else ""

    def starts(self, how: str, at: tuple[int, int]) -> tuple[str, ...]:
        """When the session would start."""
        return self._office.starts(self._opened.timeline, how, at)

    def begin(self, how: str, at: tuple[int, int] | None) -> None:
        """Start it."""
        self.clock()
        if (shell := self._office.shell) is not None:
            shell.start.chosen = at
            shell.act(how, shell.ask(how))

    def clock(self) -> None:
        """Show the clock."""
        self._office.show_session(self._opened, again=self._again, back=self._again)

    def heads(self) -> None:
        """Count heads."""
        self._office.heads(self._again)

    def squad(self) -> None:
        """Say who is here."""
        self._office.squad(self._again)

    def write(self, line: int | None) -> None:
        """Write the plan, at a line; Close leads back here, with the plan as it is then."""
        self._office.write(self._name, line, then=self._written)

    def _written(self) -> None:
        office = self._office
        try:
            text = office.shelf.text(self._name)
        except ShelfTrouble as trouble:
            office.told.append(str(trouble))
            office.home()
        else:
            office.run(text, refused=lambda why: office.to_plan(self._name))  # its page says what is wrong

    def mend(self, fix: Fix) -> None:
        """Change the plan on the shelf, and get it ready again."""
        office = self._office
        try:
            text = "\n".join(fix.applied(lines_of(office.shelf.text(self._name))))
            office.shelf.keep(self._name, text)
        except ShelfTrouble as trouble:
            office.told.append(str(trouble))
            self._again()
        else:
            office.run(text)


def _asked_already() -> Start | CannotStart:
    raise AssertionError("what is asked again was asked before")
