"""The notes on a plan while it is written: when they may take room on the page, and the fixes they offer.

Nothing moves under a finger. While keys come, a line that had no notes gets only a mark; the words come once the
fingers rest and everything about them, including fixes, is known. Anything later goes after what is offered already.
Notes are below their lines, or, if the page shows the notes of the current line in a place of its own (`here`), the
text is left alone.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from kivy.clock import Clock

from pacer.face.editor.writingpane import WritingPane
from pacer.plan.freewords.fixesoffered import fixes_offered
from pacer.plan.notation.blocks import NOT_INDENTED
from pacer.plan.problem import Problem
from pacer.plan.text.fixes import Fix
from pacer.plan.text.livepage import LivePage, begins_section
from pacer.show.drive.asidethread import Answers
from pacer.show.editing.linenotes import notes_of, underlines
from pacer.show.editing.missingparts import is_missing
from pacer.show.editing.pagelayout import Note
from pacer.squad.squad import Squad
from pacer.timeline.cancellation import GivenUp
from pacer.timeline.findings import Finding, Severity
from pacer.timeline.summary.triedfixes import Offers, offers_for

QUIET_S = 0.8  #: how long after the last key notes may take room
TRY_S = 0.05  #: from trying one fix to trying the next
TRIED = 8  #: how many errors have their fixes tried

_log = logging.getLogger(__name__)


class NoteTiming:
    """Shows what is wrong with the lines of `pane`, and the `findings` of the checks, made for `squad`.

    `stale`: whether the findings are about an earlier text. `lifted()` is called before anything that has waited for
    fingers is shown. With `show()`, called when the notes change, nothing is shown below the lines; the page shows
    `here` itself.
    """

    def __init__(
        self,
        pane: WritingPane,
        squad: Squad,
        lifted: Callable[[], None] = lambda: None,
        show: Callable[[], None] | None = None,
    ):
        self.pane, self.squad, self.lifted, self.show = pane, squad, lifted, show
        self.notes: Mapping[int, Sequence[Note]] = {}  #: by line; a closed note is only a mark
        self.findings: tuple[Finding, ...] = ()
        self.stale = True
        self.fingers: set = set()  #: those on the screen
        self._waits = True  #: waits for the first checks, which give the page its layout
        self.fixes: dict[tuple, tuple[Fix, ...]] = {}  #: as if what they fix were on the page's first line
        self.together: dict[tuple, Fix] = {}  #: the same for all checks of a line
        self._offers: Answers[Offers] = Answers("offers")
        self._lines = list(pane.draft.lines)
        self._open: set[tuple[int, bool]] = set()  #: lines with something below them, and whether that is an error
        self._said_of, self._settled_at = -1, (-1, -1)
        self._quiet = Clock.create_trigger(lambda _dt: self.settle(), QUIET_S)
        self.trying = Clock.create_trigger(lambda _dt: self.try_next(), TRY_S)
        self._calm = Clock.create_trigger(lambda _dt: self._say_what_waited(), 0)

    # -- events -----------------------------------------------------------------------------------------

    def edited(self) -> None:
        """The text has changed: notes move with their lines."""
        old, new = self._lines, self.pane.draft.lines
        more = len(new) - len(old)
        if more:
            same = next((at for at, (a, b) in enumerate(zip(old, new)) if a != b), min(len(old), len(new)))
            self.findings = tuple(
                replace(each, line=each.line + more) if each.line and each.line - 1 > same else each
                for each in self.findings
            )
            self._open = {(line + more if line > same else line, mistake) for line, mistake in self._open}
        self._lines = list(new)
        self.stale = True
        self.trying.cancel()
        self._quiet.cancel()
        self._quiet()
        self.say()

    def take(self, findings: Sequence[Finding]) -> None:
        """The text as it is now has been checked."""
        self.findings, self.stale, self._waits = tuple(findings), False, False
        self.say()

    def settle(self) -> None:
        """The fingers rest, or the coach did something that is answered at once."""
        self._quiet.cancel()
        self.say()
        self.pane.lay_again()

    def finger_down(self, touch) -> None:
        """A finger is on the screen: move nothing."""
        self.fingers.add(touch.uid)

    def finger_up(self, touch) -> None:
        """It is lifted; in the next frame, after its effect, show what has waited for the last finger."""
        if touch.uid in self.fingers:
            self.fingers.discard(touch.uid)
            self._calm()

    def _say_what_waited(self) -> None:
        if not self.fingers:
            self.lifted()
            self.say()
            self.pane.lay_again()

    def leave(self) -> None:
        """Show nothing more."""
        for trigger in (self._quiet, self.trying, self._calm):
            trigger.cancel()
        self._offers.drop()

    # -- showing -------------------------------------------------------------------------------------------

    def say(self) -> None:
        """Underline what is wrong; and say it, if there may be room for it now."""
        pane, draft = self.pane, self.pane.draft
        problems, here = pane.reading.problems, draft.cursor.line
        pane.underlined = underlines(problems)
        typing = self._quiet.is_triggered
        untried = bool(self.untried())
        if untried and not typing:
            self.trying()
        at = draft.edits, here
        if typing or untried or self.fingers or self._waits:
            if draft.edits == self._said_of:
                return
            wanted = self._wanted(typing and (here, True) not in self._open)
            self.notes = {line: self._closed(line, notes) for line, notes in wanted.items()}
        else:
            wanted = self._wanted(False)
            self.notes = self._below_what_is_offered(wanted) if at == self._settled_at and self.show is None else wanted
            self._settled_at = at
        self._said_of = draft.edits
        self._open = {(line, note.mistake) for line, notes in self.notes.items() for note in notes if note.open}
        pane.notes = self.notes if self.show is None else {line: _marks(notes) for line, notes in self.notes.items()}
        if self.show is not None:
            self.show()

    @property
    def here(self) -> tuple[Note, ...]:
        """The notes of the current line."""
        return tuple(note for note in self.notes.get(self.pane.draft.cursor.line, ()) if note.open)

    @property
    def settled(self) -> bool:
        """Whether the fingers rest, so that checks of other lines may be shown."""
        return not self._quiet.is_triggered and not self.fingers

    def fixes_of(self, said: Problem | Finding) -> tuple[Fix, ...] | None:
        """The known fixes of an error or a check.

        None if it is not to be shown yet: while keys come, an error of the line that is being written, or one whose
        fixes were not tried yet.
        """
        writes = (said.line or 1) - 1 == self.pane.draft.cursor.line
        if not self.settled and (writes or self._key_of(said) not in self.fixes):
            return None
        return self._known(said)

    def _wanted(self, quiet: bool) -> Mapping[int, tuple[Note, ...]]:
        """All notes to show; if the current line is `quiet`, without its errors."""
        problems = self.pane.reading.problems
        return notes_of(
            problems if self.show is None else [each for each in problems if not is_missing(each)],
            self.findings,
            self.pane.draft.cursor.line,
            quiet,
            self._known,
            len(self.squad.lanes),
            self._together,
        )

    def _closed(self, line: int, notes: Sequence[Note]) -> tuple[Note, ...]:
        """The same as marks only, if nothing of the kind is below the line yet."""
        return tuple(note if (line, note.mistake) in self._open else replace(note, open=False) for note in notes)

    def _below_what_is_offered(self, wanted: Mapping[int, tuple[Note, ...]]) -> Mapping[int, tuple[Note, ...]]:
        """The same without notes that would push down a fix already on the screen."""
        offered = max(
            (line for line, notes in self.notes.items() if any(note.open and note.fixes for note in notes)), default=-1
        )
        return {line: self._closed(line, notes) if line < offered else notes for line, notes in wanted.items()}

    # -- fixes --------------------------------------------------------------------------------------------

    def _fixable(self) -> list[Problem | Finding]:
        here = self.pane.draft.cursor.line + 1
        return [
            *self.pane.reading.problems[:TRIED],
            *(each for each in self.findings if each.line == here and each.remedies),
            *((self.worst,) if self.worst is not None else ()),
        ]

    @property
    def worst(self) -> Finding | None:
        """The worst check of the text as it is now that has a remedy."""
        found = None if self.stale else next((each for each in self.findings if each.line and each.remedies), None)
        return found if found is not None and found.severity <= Severity.CARE else None

    def untried(self) -> list[Problem | Finding]:
        """What may have a fix that was not tried yet."""
        return [each for each in self._fixable() if self._key_of(each) not in self.fixes]

    def try_next(self) -> None:
        """Try the fixes of one error, a few milliseconds in each frame; those of checks are tried on another thread.

        Show them all once they are known.
        """
        untried = self.untried()
        if not untried:
            return
        said = untried[0]
        if isinstance(said, Problem):
            offered = fixes_offered(said, self.pane.draft.lines, self._live)
            self.fixes[self._key_of(said)] = tuple(fix.moved(1 - (said.line or 1)) for fix in offered)
        elif not self._tried(said):
            self.trying()
            return
        if self.untried():
            self.trying()
        elif not self._quiet.is_triggered:
            self.settle()

    def _tried(self, said: Finding) -> bool:
        """Whether the fixes of a check and of the others about its line are known by now."""
        lines = tuple(self.pane.draft.lines)
        there = [] if self.stale else [each for each in self.findings if each.line == said.line and each.remedies]
        found = tuple(there) if said in there else (said,)
        offers = self._offers.ask((lines, found), lambda: _offers(found, lines, self.squad))
        if offers is None:
            return False
        by = 1 - (said.line or 1)
        for each, fixes in zip(found, offers.fixes, strict=True):
            self.fixes[self._key_of(each)] = tuple(fix.moved(by) for fix in fixes)
        if offers.together is not None:
            self.together[self._keys_of(found)] = offers.together.moved(by)
        return True

    @property
    def _live(self) -> LivePage:
        """What reads the plan while it is written."""
        assert self.pane.live is not None, "the text is a plan"
        return self.pane.live

    def _key_of(self, said: Problem | Finding) -> tuple:
        lines = self.pane.draft.lines
        at = (said.line or 1) - 1
        line = lines[at] if at < len(lines) else ""
        heads: tuple = ()
        remedies = getattr(said, "remedies", ())
        if any(remedy.kind.startswith("run on") for remedy in remedies):  # its fix is there
            heads = tuple((place - at, text) for place, text in enumerate(lines) if begins_section(text))
            further = next((remedy.was for remedy in remedies if remedy.kind == "counts"), None)
            if further is not None and at + int(further) < len(lines):
                heads = (*heads, lines[at + int(further)])
        elif said.message == NOT_INDENTED or "same" in line.casefold():  # the sets around are in its fix
            heads = tuple(lines)
        return line, said.message, said.hint, getattr(said, "column", 0), getattr(said, "lanes", ()), heads, remedies

    def _known(self, said: Problem | Finding) -> tuple[Fix, ...]:
        return tuple(fix.moved((said.line or 1) - 1) for fix in self.fixes.get(self._key_of(said), ()))

    def _together(self, found: Sequence[Finding]) -> Fix | None:
        fixable = [each for each in found if each.remedies]
        fix = None if self.stale or not fixable else self.together.get(self._keys_of(fixable))
        return None if fix is None else fix.moved((fixable[0].line or 1) - 1)

    def _keys_of(self, found: Sequence[Finding]) -> tuple:
        return tuple(self._key_of(each) for each in found)


def _offers(found: Sequence[Finding], lines: Sequence[str], squad: Squad) -> Offers:
    """The fixes to offer. Never raises for what is written."""
    try:
        return offers_for(found, lines, squad)
    except GivenUp:
        raise
    except Exception:  # noqa: BLE001 - an error of ours in an offer must not end the app
        _log.exception("Trying fixes failed")
        return Offers(((),) * len(found))


def _marks(notes: Sequence[Note]) -> tuple[Note, ...]:
    return tuple(replace(note, open=False) for note in notes)
