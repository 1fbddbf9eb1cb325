"""A plan's text on a page: ruled, with the chosen lane's times in its margin, and its notes.

The strip of all lanes is along the foot. The notes of the current line, with their fixes, are on a slip laid over the
foot of the paper, below the cursor: so no line of the text ever moves for a note, and without notes all of the paper is
seen. Totals and checks follow when the fingers rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from kivy.clock import Clock

from pacer.face.editor.editorstrip import EditorStrip
from pacer.face.editor.notetiles import fitting, notes_now, said_height, said_tiles, who_gets_what
from pacer.face.editor.notetiming import NoteTiming
from pacer.face.editor.pagehead import head_height, head_tiles, margin_of
from pacer.face.editor.pagepainter import Margin
from pacer.face.editor.pageresults import PageResults, WorkedOut
from pacer.face.editor.writingpane import WritingPane
from pacer.face.kit.garbagecollection import TypingPace
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.page import Page
from pacer.plan.text.fixes import Fix
from pacer.plan.text.livepage import LivePage, PageReading
from pacer.plan.text.textbuffer import Spot, TextBuffer
from pacer.show.editing.fewerrounds import fewer_rounds
from pacer.show.editing.lanesendoffs import send_offs_said
from pacer.show.editing.margintimes import followed
from pacer.show.editing.missingparts import SAMPLE, missing_part
from pacer.show.editing.pagelayout import PITCH, Note
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import Theme
from pacer.squad.squad import Squad
from pacer.timeline.checks.remedies import fixes_to_fit
from pacer.timeline.findings import Finding
from pacer.timeline.summary.totals import Totals

REST_S = 0.3  #: how long after the last key totals are worked out and fixes are tried
LEAST_ROWS = 6  #: of text that must be visible before the strip gets room


class PlanTextPage(Page):
    """Writes `draft` for a squad. A subclass gives the keys; `_changed()` is called after every change."""

    def __init__(self, draft: TextBuffer, squad: Squad, theme: Theme, glass: Glass | None = None, **kwargs):
        super().__init__(theme, glass, **kwargs)
        self.squad = squad
        self.lane = 0  #: the chosen lane, by its place: the margin shows its times
        self.worked = WorkedOut()
        self._send_offs: tuple[int, tuple[str, ...]] = (0, ())  #: the line, and how often each lane leaves
        self.pane = WritingPane(
            draft,
            LivePage(squad.words),
            changed=self._changed,
            moved=self._moved,
            apply=self.apply,
            leave=self.back,
            tell=self.tell,
            theme=self.theme,
            glass=self.glass,
        )
        self.margin = margin_of(self)
        self.head, self.board, self.foot_strip = Board(self.press), Board(self.press), EditorStrip(self._touched_strip)
        self.board.says_more = False
        self.boards = [self.head]
        self._working = PageResults(squad, self.take_results)
        self.until_rest = Clock.create_trigger(self.work_out, REST_S)
        self._counted = list(draft.lines)  #: the text's lines that the margin's times belong to
        self._waiting: tuple[int, WorkedOut] | None = None  #: totals that came while a finger was on the screen
        self.fixes: dict[str, Fix] = {}  #: by the keys below the text
        self.missing: tuple[Fix, ...] = ()  #: by the keys of the head
        self.shorter: tuple[Fix, ...] = ()  #: with each of which a plan that overruns would end in time
        self.remarks = NoteTiming(self.pane, squad, self._take_what_waited, self._say)
        self.pane.bind(focus=lambda *_: self._writes())
        for part in (self.board, self.head, self.foot_strip, self.pane):  # the slip over the paper
            self.add_widget(part, index=len(self.children))
        self.remarks.say()
        self.until_rest()

    @property
    def margin(self) -> Margin:
        """The margin of the text, and the times in it."""
        return self._margin

    @margin.setter
    def margin(self, margin: Margin) -> None:
        self._margin = self.pane.margin = margin

    @property
    def draft(self) -> TextBuffer:
        """What is being written."""
        return self.pane.draft

    @property
    def reading(self) -> PageReading:
        """What it says."""
        return self.pane.reading

    @property
    def totals(self) -> Totals | None:
        """The plan's totals, as worked out last."""
        return self.worked.totals

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The checks, as made last."""
        return self.remarks.findings

    @property
    def stale(self) -> bool:
        """Whether totals and checks are for an earlier text."""
        return self.remarks.stale

    @property
    def writing(self) -> bool:
        """Whether keys write."""
        return self.pane.focus

    def _writes(self) -> None:
        """Writing begins or ends."""
        working = self._working
        if self.writing and working.pace is None:
            working.pace = TypingPace()
            self.wait_for_keyboard()
        elif not self.writing and working.pace is not None:
            working.pace.close()
            working.pace = None
        self.lay_out()

    # -- places --------------------------------------------------------------------------------------------

    def bar_rows(self) -> int:
        """While writing there are many keys: two rows, or three on an upright screen."""
        if not self.writing:
            return 2 if self.upright else 1
        rows = 3 if self.upright else 2
        return rows if self.height - self.covered > (rows + LEAST_ROWS) * (self.target + self.gap) else 1

    def lay_page(self) -> None:
        """Head, text, strip, from the top down to the bar; the notes of the current line over the foot of the text."""
        compact, room = self.covered > 0, self.top - self.bar.top
        head, said = head_height(self, compact), said_height(self)
        strip = self.foot_strip.height_for(len(self.squad.lanes), self.cap)
        pitch = max(1, round(PITCH * self.cap))
        if compact or room - head - said - strip < LEAST_ROWS * pitch:
            strip = 0.0
        clear = max(pitch, (room - head - said - strip) // pitch * pitch)
        high = max(clear, (room - head - strip) // pitch * pitch)
        margin = margin_of(self)
        self.margin = replace(margin, times=self.margin.times, stale=self.margin.stale)
        for part in (self.head, self.board, self.pane):
            part.theme, part.glass = self.theme, self.glass
        self.head.pos, self.head.size = (self.x, self.top - head), (self.width, head)
        self.pane.cap, self.pane.spared = self.cap, high - clear
        self.pane.pos = (self.x, self.top - head - high)
        if tuple(self.pane.size) == (self.width, high):
            self.pane.lay_out()
        self.pane.size = (self.width, high)
        self.foot_strip.pos, self.foot_strip.size = (self.x, self.bar.top), (self.width, max(0.0, strip))
        self._show()

    def boards_now(self) -> list[Board]:
        """The boards that a keyboard's focus goes through."""
        return [self.head, *([self.board] if self.fixes else [])]

    def _say(self) -> None:
        """The notes of the current line have changed."""
        if self.pane.laid_out:
            self._show()

    def _show(self) -> None:
        """Show the totals, the notes of the current line, and the strip with that line lit."""
        lines, reading = self.draft.lines, self.reading
        said, self.missing = missing_part(reading, lines, self.draft.chosen is not None)
        compact, here = self.covered > 0, self.draft.cursor.line + 1
        gets = who_gets_what(reading.plan, here - 1, self.squad)
        if not self.stale:  # kept until the next totals: working it out at each key would hold up the keys
            self._send_offs = here, send_offs_said(self.worked.timeline, here, self.lane)
        tiles = head_tiles(
            self,
            self.margin,
            self.pane.gutter,
            self.squad,
            self.lane,
            self.totals,
            reading.unread,
            self.stale,
            said,
            self.missing,
            compact,
            (gets[0].message,) if gets else self._send_offs[1] if self._send_offs[0] == here else (),
        )
        self.head.show(tiles, self.cap, self.padding)
        notes: Sequence[Note] = ()
        if said is not SAMPLE:  # of a sample nothing is wrong yet
            notes = notes_now(
                (*self.remarks.here, *(gets if compact else ())),
                reading,
                lines,
                0 if self.totals is None else self.totals.over_ms,
                self.remarks.fixes_of,
                self.remarks.worst if self.remarks.settled else None,
                len(self.squad.lanes),
                self.fitting(),
            )
        tiles, self.fixes = said_tiles(notes, self, self.width)
        self._lay_slip(tiles)
        self.boards = self.boards_now()
        self.foot_strip.show(
            self.worked, self.lane, self.draft.cursor.line, self.squad, self.theme, self.glass, self.cap
        )

    def fitting(self) -> tuple[Fix, ...]:
        """With each of them a plan that overruns would end in time; none while that is not known."""
        if self.stale or self.totals is None or not self.reading.whole or not self.totals.over_ms:
            return ()
        return *fewer_rounds(self.reading.plan, self.draft.lines, self.totals.over_ms), *self.shorter

    def _lay_slip(self, tiles: list[Tile]) -> None:
        """Lay the notes over whole rows of the foot of the paper, higher if need be once fingers rest, but not over the
        cursor's line.
        """
        pane, foot = self.pane, self.foot_strip.top if self.foot_strip.height else self.bar.top
        if not pane.laid_out:
            return
        pitch, beside = pane.paper.pitch, pane.y - foot
        need = max((tile.bottom for tile in tiles), default=0.0)
        room = max(pane.spared, pane.caret().y - pane.y if self.remarks.settled else 0.0) if tiles else 0.0
        slip = min(ceil(max(0.0, need - beside) / pitch) * pitch, room // pitch * pitch)
        tiles = fitting(tiles, slip + beside)
        self.board.pos, self.board.size = (self.x, foot), (self.width, slip + beside if tiles else 0.0)
        self.board.show(tiles, self.cap, self.padding)
        if pane.slip != slip:
            pane.slip = slip
            pane.draw_soon()

    def _touched_strip(self, lane: int, line: int | None) -> None:
        """A finger on the strip: choose that lane, and the line that it swims there."""
        self.take_in_hand(lane)
        if line is not None and line < len(self.draft.lines):
            self.go_to(line, focus=False)

    def take_in_hand(self, lane: int) -> None:
        """Choose the lane whose times are in the margin."""
        self.lane = lane % len(self.squad.lanes)
        self.margin = replace(self.margin, times=self.worked.times(self.lane))
        self.pane.lay_again()
        self._show()

    # -- writing ---------------------------------------------------------------------------------------------------

    def _changed(self) -> None:
        """The text was changed: show errors, and have the rest worked out when the fingers rest."""
        self._working.drop()
        self.remarks.edited()
        self.until_rest.cancel()
        self.until_rest()
        self._follow()
        self.show_bar()
        self._show()

    def _follow(self) -> None:
        """Let the margin's times move with their lines until they are worked out again."""
        old, self._counted = self._counted, list(self.draft.lines)
        times = followed(self.margin.times, old, self._counted)
        self.margin = replace(self.margin, times=times, stale=True)

    def _moved(self) -> None:
        """The cursor is elsewhere: another line is the current one."""
        self.remarks.say()
        self._show()
        if self.writing:
            self.show_bar()

    def apply(self, fix: Fix) -> None:
        """Make a change that was offered."""
        if fix.line >= len(self.draft.lines):
            return
        self.pane.fix(fix)
        self.remarks.settle()

    def _apply_missing(self, fix: Fix) -> None:
        """Make it, and continue writing where it ends."""
        self.apply(fix)
        added = fix.text.count("\n")
        line = min(fix.line + added, len(self.draft.lines) - 1)
        self.go_to(line, len(self.draft.lines[line]) if added or fix.text.startswith(" ") else None, focus=self.writing)

    def go_to(self, line: int, column: int | None = None, focus: bool = True) -> None:
        """Put the cursor on a line (from 0)."""
        line = min(line, len(self.draft.lines) - 1)
        text = self.draft.lines[line]
        self.draft.go(Spot(line, len(text) - len(text.lstrip()) if column is None else column))
        if focus:
            self.pane.focus = True
        self.pane.went()
        self.remarks.settle()

    def keyboard_moved(self, window, height: float) -> None:
        super().keyboard_moved(window, height)
        self.pane.reveal()

    # -- totals -----------------------------------------------------------------------------------------------------

    def work_out(self, _dt: float) -> None:
        """Have the totals worked out on another thread; typing never waits for them."""
        self.remarks.try_next()
        self._working.ask(self.reading.plan, self.draft.edits)

    def take_results(self, edits: int, found: WorkedOut) -> None:
        """Show the result, if it is for the current text.

        Not while a finger is on the screen.
        """
        if edits != self.draft.edits:
            return
        if self.remarks.fingers:
            self._waiting = (edits, found)
            return
        self.worked, self._counted = found, list(self.draft.lines)
        self.margin = replace(self.margin, times=found.times(self.lane), stale=False)
        if (live := self.pane.live) is not None:
            self.shorter = fixes_to_fit(found.shorter, self.draft.lines, self.reading, self.squad, live)
        self.remarks.take(found.totals.findings if found.totals else ())
        self._show()
        self.show_bar()
        self.pane.lay_again()

    # -- fingers ----------------------------------------------------------------------------------------------------

    def on_touch_down(self, touch) -> bool:
        """While a finger is on the screen nothing moves."""
        self.remarks.finger_down(touch)
        return super().on_touch_down(touch)

    def on_touch_up(self, touch) -> bool:
        """When the last finger is lifted, show what has waited."""
        self.remarks.finger_up(touch)
        return super().on_touch_up(touch)

    def _take_what_waited(self) -> None:
        waiting, self._waiting = self._waiting, None
        if waiting is not None:
            self.take_results(*waiting)

    def close_down(self) -> None:
        """Stop working things out."""
        self.pane.focus = False
        self.until_rest.cancel()
        self.remarks.leave()
        self._working.drop()
