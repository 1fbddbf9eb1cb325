"""The part of the office that finds an interrupted session, asks about it, and resumes it."""

from __future__ import annotations

from collections.abc import Callable

from pacer.face.office.officepart import OfficePart
from pacer.language import tr
from pacer.plan.problem import Unreadable
from pacer.session.storage.recovery import Recovery
from pacer.session.storage.startandresume import SessionToRun, end_again, open_again, reopen
from pacer.session.storage.store import InUse, StoreTrouble
from pacer.show.drive.preparation import broken_off
from pacer.timeline.findings import CannotRun


class OfficeResume(OfficePart):
    """No step back leaves a running session."""

    def _broken_off(self) -> tuple[int, Recovery] | None:
        try:
            return broken_off(self.store, self.clocks.now())
        except (StoreTrouble, Unreadable, CannotRun) as trouble:
            self.told.append(tr("The last session can't be resumed: {trouble}", trouble=trouble))
            return None

    def _ask_about_session(self, again: bool = False) -> bool:
        """Ask whether to resume the running session, or say that another copy of the app has it.

        False if there is none.

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
        """Only one copy of the app can resume the session."""
        from pacer.face.pages.textpage import TextPage
        from pacer.show.wording.recoverytext import in_use_words

        if again:
            self.told.append(tr("it is still running in the other copy"))
        ways = ("again", tr("Try again"), lambda: self.go_on(again=True)), ("shelf", tr("Go to plans"), self.home)
        self.show(TextPage(in_use_words(recovery), ways, **self.looks))

    def go_on(self, again: bool = False) -> None:
        """Ask about the running session; if it is gone, show the shelf."""
        if not self._ask_about_session(again):
            self.home()

    def _ask_to_carry_on(self, number: int, recovery: Recovery) -> None:
        from pacer.face.office.resumepage import ResumePage

        def stop() -> None:
            self.carry_on(number)
            if self.shell is not None:
                self.shell.stop_all()

        self.show(
            ResumePage(
                recovery,
                on_carry_on=lambda: self.carry_on(number),
                on_over=lambda: self.end_broken_off(number),
                on_stop=stop,
                now_ms=self.clocks.boot,
                **self.looks,
            )
        )

    def resume(self, number: int) -> None:
        """Resume a session that was ended just now."""
        self.carry_on(number, reopen)

    def carry_on(self, number: int, how: Callable[..., SessionToRun] = open_again) -> None:
        """Resume an interrupted session, as if it had never stopped."""
        try:
            opened = how(self.store, number, clock=self.clocks.now)
        except InUse:
            self.go_on()
            return
        except (StoreTrouble, Unreadable, CannotRun) as trouble:
            self.told.append(str(trouble))
            self.home()
            return
        self.show_session(opened, told=opened.told)

    def end_broken_off(self, number: int) -> None:
        """End the interrupted session."""
        try:
            end_again(self.store, number, clock=self.clocks.now)
        except InUse:
            self.go_on()
            return
        except (StoreTrouble, Unreadable, CannotRun) as trouble:
            self.told.append(str(trouble))
        self.home()
