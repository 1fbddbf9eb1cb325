"""Pages of text in front of the view: the cautions, lines to confirm, things to know. One at a time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pacer.face.window.pageshost import ShellForPages
from pacer.language import tr
from pacer.plan.filetext import lines_of
from pacer.plan.sentence import sentence
from pacer.plan.times import MINUTE_MS
from pacer.session.cautions import CAUTIONS, IN_BRIEF, IN_FULL
from pacer.session.running.instant import lane_states
from pacer.show.drive.barkeychoice import Key
from pacer.show.wording.timereadings import clock_reading, count_down, seconds_to_go
from pacer.timeline.findings import Finding

if TYPE_CHECKING:
    from pacer.face.window.noticepage import Notice

_CLOSE, _CONFIRM, _READ_ON, _FULL = Key("close"), Key("confirm", long_press=True), Key("read on"), Key("in full")


class Notices:
    """The pages of one shell. `notice` is the one shown, `key` closes it."""

    def __init__(self, stage: ShellForPages, told: Sequence[str], hazards: Sequence[Finding]):
        self.stage = stage
        self.told, self.hazards = tuple(told), tuple(hazards)
        self.page = ""  #: the written page that flagged lines are on, "" if only the command line knows it
        self.demo = ""  #: what is said above the cautions if a demo is ready
        self.notice: Notice | None = None
        self.key = _CLOSE
        self._asks = False  #: whether the cautions wait to be confirmed
        self._hazards_confirmed = not hazards
        self._warned = False

    @property
    def confirmed(self) -> bool:
        """Whether there is nothing to read before the session may begin."""
        return self.stage.settings.cautions_read >= len(CAUTIONS) and self._hazards_confirmed

    # -- what is shown -----------------------------------------------------------------------------

    def greet(self) -> None:
        """Before the start.

        First what the coach is told, then the cautions if they have not been read, then what has to be confirmed.
        """
        if self.told:
            told, self.told = self.told, ()
            self._open([(tr("Please note"), text) for text in told], _CLOSE)
        elif self.stage.settings.cautions_read < len(CAUTIONS):
            demo = [(tr("A demo"), self.demo)] if self.demo else []
            brief = [("", tr("{about}. {text}", about=about, text=text)) for about, text in IN_BRIEF]
            self._open((*demo, (tr("Cautions"), brief[0][1]), *brief[1:]), _CONFIRM, asks=True)
        elif not self._hazards_confirmed:
            self._open([_hazard_words(finding, self.page) for finding in self.hazards], _CONFIRM)

    def show_cautions(self) -> None:
        """The cautions in full."""
        self._open(((tr("Cautions"), ""), *IN_FULL), _CLOSE)

    def show_tablet(self) -> None:
        """What this tablet lacks, each thing once."""
        sounds = self.stage.sounds
        notes = [note for part in (sounds.player, sounds.device) if part is not None for note in part.notes()]
        first, *others = notes or [tr("Everything works.")]
        self._open([(tr("This tablet"), first), *(("", text) for text in others)], _CLOSE)

    def read_on(self) -> None:
        """The next page; the last one closes, in case the key is late in saying so."""
        if self.notice is None or self.notice.last:
            self.leave()
        else:
            self.notice.show(self.notice.page + 1)
            self.stage.bar_keys()

    def confirm(self) -> None:
        """What is shown has been read."""
        cautions = self._asks
        self.close()
        if cautions:
            self.stage.change(replace(self.stage.settings, cautions_read=len(CAUTIONS)))
        else:
            self._hazards_confirmed = True
        self.greet()

    def leave(self) -> None:
        """Close it; before the session, continue with what is still to be read."""
        self.close()
        if not self.stage.driver.running:
            self.greet()

    def close(self) -> None:
        """Close it, if one is open."""
        if self.notice is not None:
            notice, self.notice, self._asks = self.notice, None, False
            self.stage.take_down(notice)

    def keys(self) -> tuple[Key, ...] | None:
        """The keys of the page shown; None without one."""
        if self.notice is None:
            return None
        full = (_FULL,) if self._asks else ()
        if self.notice.last:
            return self.key, *full
        return (_CLOSE, _READ_ON) if self.key is _CLOSE else (_READ_ON, *full)

    def lay_out(self) -> None:
        """Lay the text out again."""
        stage = self.stage
        if self.notice is None:
            return
        self.notice.lay_out(stage.theme, stage.glass.coach_px, stage.glass.px_per_mm, clock=stage.driver.running)
        stage.bar_keys()  # it may be on more pages than before

    # -- each frame --------------------------------------------------------------------------------

    def frame(self, at_ms: int | None) -> None:
        """Keep the clock on the page; before the session, warn once about a battery that may not last."""
        run = self.stage.driver.run
        if self.notice is not None:
            if self.notice.clocked and at_ms is not None:
                self.notice.clock = _clock_words(run, at_ms)
        elif run.begun is None and not self._warned:
            device = self.stage.device
            warning = device.battery_warning(-(-run.timeline.end_ms // MINUTE_MS)) if device is not None else ""
            if warning:
                self._warned = True
                self._open([(tr("Battery"), warning)], _CLOSE)

    def _open(self, paragraphs: Sequence[tuple[str, str]], key: Key, asks: bool = False) -> None:
        from pacer.face.window.noticepage import Notice

        self.close()
        self.notice, self.key, self._asks = Notice(paragraphs), key, asks
        self.stage.put_up(self.notice)
        if self.notice.clocked:
            self.frame(self.stage.driver.at_ms())


def _clock_words(run, at_ms: int) -> str:
    """The pace clock, and who leaves next: a page of text covers the view, but not the clock."""
    clock = clock_reading(at_ms, run.phase_ms)
    waits = [
        (state.leaves_in_ms, lane.number)
        for state, lane in zip(lane_states(run.timeline, at_ms), run.timeline.lanes)
        if state.leaves_in_ms is not None
    ]
    if not waits:
        return clock
    leaves_in_ms, number = min(waits)
    return tr(
        "{clock}   lane {number} leaves in {seconds_to_go}",
        clock=clock,
        number=number,
        seconds_to_go=count_down(seconds_to_go(leaves_in_ms)),
    )


def _hazard_words(finding: Finding, page: str) -> tuple[str, str]:
    from pacer.plan.text.linename import line_said  # needed only if a hazard is to be confirmed

    place = (
        tr("Whole session")
        if finding.line is None
        else line_said(lines_of(page), finding.line)
        if page
        else tr("Line {line}", line=finding.line)
    )
    return place, " ".join(sentence(part) for part in (finding.message, finding.hint) if part)
