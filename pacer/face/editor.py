"""A page to write a plan on: its text, what it comes to for the squad, and keys.

Every key is on disk before it is painted; mistakes are told as the page is read, totals and checks follow when the
fingers rest. A plan with mistakes is kept like any other, only not run.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from kivy.clock import Clock
from kivy.core.window import Window

from pacer.face.aside import Aside
from pacer.face.board import Board, Text, Tile
from pacer.face.drills import drills_in
from pacer.face.keypace import KeyPace
from pacer.face.legibility import Glass
from pacer.face.notes import lanes_said, notes_of, underlines
from pacer.face.page import CLOSE, Page, PageKey
from pacer.face.rows import rows_of
from pacer.face.theme import DARK, Theme
from pacer.face.totalsboard import ROW, totals_tiles
from pacer.face.wordkeys import PREFIX, put, word_keys
from pacer.face.writing import WritingPane
from pacer.plan.draft import Draft, Spot
from pacer.plan.fixes import Fix, fixes_for
from pacer.plan.live import BLANK, SECTION, LiveReading, Reading
from pacer.plan.problem import Problem
from pacer.plan.shelf import Shelf, ShelfTrouble
from pacer.signal.worker import Worker
from pacer.squad.model import Squad
from pacer.timeline.findings import Finding, Severity
from pacer.timeline.remedies import fix_together, fixes_of
from pacer.timeline.totals import Totals, totals
from pacer.timeline.wanted import GivenUp

REST_S = 0.3          #: so long after the last key the totals are worked out, and fixes are tried out
TRY_S = 0.05          #: so long from one fix that is tried out to the next
QUIET_S = 0.8         #: so long after the last key a mistake in the line in hand is told
TOTALS_SHARE = 0.36   #: of the page, at most
READ_SHARE = 0.5      #: the same while nothing is written


class EditorPage(Page):
    """Writes the plan `name` of `shelf`.

    `on_run(text)` is called to run it, `on_close(text)` when it is left; `drills` are names for the keys (None: those of the shelf's
    plans, the last used first).
    """

    def __init__(self, shelf: Shelf, name: str, squad: Squad, *, theme: Theme = DARK, glass: Glass | None = None,
                 drills: Sequence[str] | None = None, on_run: Callable[[str], None] = lambda text: None,
                 on_close: Callable[[str], None] = lambda text: None, **kwargs):
        super().__init__(theme, glass, **kwargs)
        self.shelf, self.name, self.squad, self.drills = shelf, name, squad, _drills(shelf, drills)
        self.on_run, self.on_close = on_run, on_close
        self.totals: Totals | None = None
        self.stale = True                   #: whether the totals are of an earlier text
        self.trouble = ""                   #: why what is written cannot be kept, "" while it is
        self.findings: tuple[Finding, ...] = ()
        self.list: Board | None = None      #: of all mistakes and checks, while it is open
        draft = Draft(shelf.open(name))
        self._first = draft.text
        self.pane = WritingPane(draft, LiveReading(squad.gear), changed=self._changed, moved=self._moved, apply=self.apply,
                                leave=self.back, theme=self.theme, glass=self.glass)
        self.board = Board(self.press)
        self.boards = []
        self._saver, self._counter = Worker("plan"), Aside("totals")
        self._pace: KeyPace | None = None
        self._rest = Clock.create_trigger(self._work_out, REST_S)
        self._settle = Clock.create_trigger(self._settled, QUIET_S)
        self._looking = Clock.create_trigger(self._look_for_fixes, TRY_S)
        self._quiet = False
        self._lines = list(draft.lines)
        self._fixes: dict[tuple, tuple[tuple[str, int, int, str], ...]] = {}
        self.pane.bind(focus=lambda *_: self._writes())
        self.add_widget(self.pane, index=len(self.children))
        self.add_widget(self.board, index=len(self.children))
        self._say()
        self._rest()

    @property
    def draft(self) -> Draft:
        """What is being written."""
        return self.pane.draft

    @property
    def reading(self) -> Reading:
        """What it says."""
        return self.pane.reading

    @property
    def writing(self) -> bool:
        """Whether keys write."""
        return self.pane.focus

    def _writes(self) -> None:
        """Writing begins or ends."""
        if self.writing and self._pace is None:
            self._pace = KeyPace()
        elif not self.writing and self._pace is not None:
            self._pace.close()
            self._pace = None
        self.lay_out()

    # -- places --------------------------------------------------------------------------------------------

    def bar_rows(self) -> int:
        """One row where the soft keyboard leaves little room."""
        return 1 if self.covered and not self.upright else super().bar_rows()

    def lay_page(self) -> None:
        """The text above the totals above the bar."""
        room = self.top - self.bar.top
        for part in (self.board, self.pane):
            part.theme, part.glass = self.theme, self.glass
        high = self._show_totals()
        self.pane.cap = self.cap
        self.pane.pos = (self.x, self.board.top)
        size = (self.width, room - high)
        if tuple(self.pane.size) == size:
            self.pane.lay_out()
        self.pane.size = size
        if self.list is not None:
            self._lay_list()

    def _show_totals(self) -> float:
        """Show the totals as they are known; how high they are."""
        room = self.top - self.bar.top
        most = 0 if self.covered else (TOTALS_SHARE if self.writing else READ_SHARE) * room
        waits = self.totals is None and self.reading.plan is not None
        tiles = totals_tiles(self.totals, -1 if waits else self.reading.unread, self.width, self.cap, self.padding, most, self.stale)
        high = max(tile.bottom for tile in tiles)
        self.board.pos, self.board.size = (self.x, self.bar.top), (self.width, high)
        self.board.show(tiles, self.cap, self.padding)
        return high

    # -- keys --------------------------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out; while writing, what ends that, and what takes the last change back."""
        if self.list is not None:
            return ()
        if not self.writing:
            return (CLOSE,)
        return PageKey("done", "Done"), PageKey("undo", "Undo", self.draft.can_undo)

    def keys(self) -> Sequence[PageKey]:
        """What there is to do with the plan; while writing, what is hard to type."""
        if self.list is not None:
            return (PageKey("unlist", "Close list"),)
        if not self.writing:
            bad, found = len(self.reading.problems), len(self.findings)
            checks = f"Mistakes {bad}" if bad else f"Checks {found}" if found else "No checks"
            return (PageKey("run", "Run", self._may_run(), main=True), PageKey("write", "Write"), PageKey("list", checks, bool(bad or found)),
                    PageKey("undo", "Undo", self.draft.can_undo), PageKey("redo", "Redo", self.draft.can_redo),
                    PageKey("as it was", "As it was", self.draft.text != self._first))
        keys = [PageKey(key.name, key.label) for key in word_keys(self.drills)]
        chosen = [PageKey("cut", "Cut"), PageKey("copy", "Copy")] if self.draft.chosen else []
        marks = sum(1 for key in keys if key.label in ("x", ":", "/", "“ ”", ",", "-", "( )"))
        more = [PageKey("redo", "Redo", self.draft.can_redo), PageKey("paste", "Paste"), PageKey("right", "Indent"), PageKey("left", "Outdent"),
                PageKey("remark", "Remark"), PageKey("all", "Choose all")]
        return (*chosen, *keys[:marks], *keys[marks:], *more)

    def press(self, name: str) -> None:
        """Do what a key is for."""
        if name.startswith(PREFIX):
            put(self.draft, name.removeprefix(PREFIX))
            self.pane.edited()
        elif name.startswith("line "):
            self._close_list()
            self.go_to(int(name.split()[1]))
        else:
            {"run": self.run, "write": self.write, "done": self.stop_writing, "undo": self.pane.undo, "redo": self.pane.redo,
             "list": self._open_list, "totals": self._open_list, "unlist": self._close_list, "leave": self.leave, "cut": self.pane.cut, "copy": self.pane.copy,
             "paste": self.pane.paste, "right": lambda: self.pane.indent(1), "left": lambda: self.pane.indent(-1),
             "remark": self.pane.toggle_comment, "all": self.pane.choose_all, "as it was": self.as_it_was}[name]()

    def back(self) -> None:
        """Escape: first the list, then writing, then the page."""
        if self.list is not None:
            self._close_list()
        elif self.writing:
            self.stop_writing()
        else:
            self.leave()

    def write(self) -> None:
        """Let keys write."""
        self.pane.focus = True
        self.pane.reveal()

    def go_on(self) -> None:
        """Write at once where a section waits for its first line, as in a new plan."""
        lines, kinds = self.draft.lines, self.reading.kinds
        for at, (kind, below) in enumerate(zip(kinds, (*kinds[1:], ""))):
            if kind == SECTION and below == BLANK and all(each in (BLANK, SECTION) for each in kinds[at + 1 : at + 3]) and not lines[at + 1].strip():
                self.go_to(at + 1)
                return

    def stop_writing(self) -> None:
        """Let keys write no more; the bar has the page's own keys again."""
        self.pane.focus = False

    def as_it_was(self) -> None:
        """The text as it was when the page was opened; that can be undone."""
        self.draft.choose_all()
        self.draft.write(self._first)
        self.draft.go(Spot(0, 0))
        self.pane.edited()

    def leave(self) -> None:
        """Keep everything and close."""
        self.close_down()
        self.on_close(self.draft.text)

    def close_down(self) -> None:
        """Keep what is written, for good, before the page goes."""
        self.pane.focus = False
        for trigger in (self._rest, self._settle, self._looking):
            trigger.cancel()
        self._saver.close(2)
        self._counter.drop()
        try:
            self.shelf.keep(self.name, self.draft.text)
        except ShelfTrouble as error:
            self.trouble = str(error)

    def _may_run(self) -> bool:
        return self.reading.whole and not (self.totals is not None and not self.stale and self.totals.stops)

    def run(self) -> None:
        """Run the plan; or say why it cannot be run, and go there."""
        problem = self.reading.problems[0] if self.reading.problems else None
        if problem is not None:
            self.tell(f"line {problem.line}: {problem.message}", f"line {problem.line} cannot be read")
            self.go_to(problem.line - 1, problem.column - 1, focus=False)
            return
        found = totals(self.reading.plan, self.squad, checks=False)
        if found.stops:
            worst = found.findings[0]
            place = f"line {worst.line}: " if worst.line else ""
            self.tell(f"{place}{worst.message}", "cannot be run")
            if worst.line:
                self.go_to(worst.line - 1, focus=False)
            return
        self.close_down()
        self.on_run(self.draft.text)

    # -- writing ---------------------------------------------------------------------------------------------------

    def _changed(self) -> None:
        """A key was typed: note it on disk, read it, tell what is wrong."""
        self._counter.drop()
        text = self.draft.text
        self._keep(text)
        self._shift_findings()
        self.stale = True
        self._quiet = True
        self._looking.cancel()
        self._rest.cancel()
        self._rest()
        self._say()
        self._settle.cancel()
        self._settle()
        self.show_bar()
        self._show_totals()

    def _moved(self) -> None:
        """The cursor is elsewhere: another line is the one in hand."""
        if self._quiet and not self._settle.is_triggered:
            self._quiet = False
        self._say()
        if self.writing:
            self.show_bar()

    def _keep(self, text: str) -> None:
        try:
            self.shelf.jot(self.name, text)
        except ShelfTrouble as error:
            self._in_trouble(str(error))
        self._saver.put(lambda: self._keep_for_good(text))

    def _keep_for_good(self, text: str) -> None:
        try:
            self.shelf.keep(self.name, text)
        except ShelfTrouble as error:
            said = str(error)
        else:
            said = ""
        if said != self.trouble:
            Clock.schedule_once(lambda _dt: self._in_trouble(said), 0)

    def _in_trouble(self, said: str) -> None:
        if said and said != self.trouble:
            self.tell(f"{said}; it stays here while the page is open", said)
        self.trouble = said

    def _shift_findings(self) -> None:
        """Checks go with their lines until they are made anew."""
        old, new = self._lines, self.draft.lines
        more = len(new) - len(old)
        if more and self.findings:
            same = next((at for at, (a, b) in enumerate(zip(old, new)) if a != b), min(len(old), len(new)))
            self.findings = tuple(_on_line(each, each.line + more) if each.line and each.line - 1 > same else each for each in self.findings)
        self._lines = list(new)

    def _settled(self, _dt: float) -> None:
        self._quiet = False
        self._say()
        self.pane.lay()
        self.pane.reveal()

    def _say(self) -> None:
        """Underline what is wrong, and say it below."""
        problems = self.reading.problems
        self.pane.underlined = underlines(problems)
        here = self.draft.cursor.line
        shown_here = any(note.mistake for note in self.pane.notes.get(here, ()))
        self.pane.notes = notes_of(problems, self.findings, here, self._quiet and not shown_here, self._known_fixes, len(self.squad.lanes),
                                   self._together)
        if not self._rest.is_triggered and any(self._key_of(each) not in self._fixes for each in (*problems[:8], *self._findings_at(here))):
            self._looking()

    def _findings_at(self, line: int) -> list[Finding]:
        return [each for each in self.findings if each.line == line + 1 and each.remedies]

    # -- fixes ------------------------------------------------------------------------------------------------------

    def _key_of(self, said: Problem | Finding) -> tuple:
        line = self.draft.lines[said.line - 1] if said.line and said.line <= len(self.draft.lines) else ""
        return line, said.message, said.hint, getattr(said, "column", 0), getattr(said, "lanes", ())

    def _known_fixes(self, said: Problem | Finding) -> tuple[Fix, ...]:
        line = (said.line or 1) - 1
        return tuple(Fix(says, line + step, start, end, text) for says, step, start, end, text in self._fixes.get(self._key_of(said), ()))

    def _together(self, found: Sequence[Finding]) -> Fix | None:
        if self.stale:
            return None
        return fix_together(found, self.draft.lines, self.reading, self.squad, self.pane.live)

    def _look_for_fixes(self, _dt: float) -> None:
        """Try one fix out after another, a few milliseconds in each frame."""
        live, lines = self.pane.live, self.draft.lines
        for said in (*self.reading.problems[:8], *self._findings_at(self.draft.cursor.line)):
            key = self._key_of(said)
            if key in self._fixes:
                continue
            if isinstance(said, Problem):
                offered = fixes_for(said, lines, lambda page: live.would(page).problems)
            else:
                offered = fixes_of(said, lines, self.reading, self.squad, live)
            self._fixes[key] = tuple((fix.says, fix.line - (said.line - 1), fix.start, fix.end, fix.text) for fix in offered)
            self._say()
            self.pane.lay()
            self.pane.reveal()
            self._looking()
            return

    def apply(self, fix: Fix) -> None:
        """Make a change that was offered."""
        if fix.line >= len(self.draft.lines):
            return
        self.draft.replace(fix.line, fix.start, fix.end, fix.text)
        self.draft.settle()
        self.pane.edited()
        self._settled(0)

    # -- totals -----------------------------------------------------------------------------------------------------

    def _work_out(self, _dt: float) -> None:
        """Have the totals worked out aside; typing never waits for them."""
        plan, squad, edits = self.reading.plan, self.squad, self.draft.edits
        self._looking()
        if plan is None:
            self._take(edits, None)
            return
        self._counter.put(lambda: self._count(plan, squad, edits))

    def _count(self, plan, squad: Squad, edits: int) -> None:
        if self._pace is not None:
            self._pace.rest()
        try:
            found = totals(plan, squad)
        except GivenUp:
            raise
        except Exception:     # a page half written must never end the app
            found = None
        Clock.schedule_once(lambda _dt: self._take(edits, found), 0)

    def _take(self, edits: int, found: Totals | None) -> None:
        """Show totals that have been worked out, if they are of the present text."""
        if edits != self.draft.edits:
            return
        self.totals, self.stale = found, False
        self.findings = found.findings if found else ()
        self._lines = list(self.draft.lines)
        self._say()
        self.lay_out()

    # -- the list of mistakes and checks ----------------------------------------------------------------------------

    def go_to(self, line: int, column: int | None = None, focus: bool = True) -> None:
        """Put the cursor on a line (from 0)."""
        line = min(line, len(self.draft.lines) - 1)
        text = self.draft.lines[line]
        self.draft.go(Spot(line, len(text) - len(text.lstrip()) if column is None else column))
        if focus:
            self.pane.focus = True
        self._quiet = False
        self.pane.went()

    def _open_list(self) -> None:
        if not self.reading.problems and self.totals is None:
            self.tell("nothing to say against it")
            return
        self.pane.focus = False
        self.list = Board(self.press)
        self.boards = [self.list]
        self.add_widget(self.list)
        self.lay_out()

    def _close_list(self) -> None:
        if self.list is not None:
            self.remove_widget(self.list)
            self.list, self.boards = None, []
            self.lay_out()

    def _lay_list(self) -> None:
        board = self.list
        board.theme, board.glass = self.theme, self.glass
        board.pos, board.size = (self.x, self.bar.top), (self.width, self.top - self.bar.top)
        tiles = totals_tiles(self.totals, self.reading.unread, self.width, self.cap, self.padding, 1e9, self.stale)
        tiles[0] = tiles[0]._replace(name="")
        top = tiles[-1].bottom + self.gap
        rows = [(each.line, f"Line {each.line}", each.message, True) for each in self.reading.problems]
        for each in self.findings:
            place = f"Line {each.line}" if each.line else "Whole session"
            lanes = lanes_said(each.lanes, len(self.squad.lanes))
            rows.append((each.line, f"{place}, {lanes}" if lanes else place, each.message, each.severity <= Severity.WRONG))
        for line, head, message, bad in rows:
            inner = self.width - 2 * self.gap - 2 * self.padding
            count = len(rows_of(message, inner, self.cap))
            row = round(ROW * self.cap)
            high = max(self.target, (count + 1) * row + self.padding)
            texts = (Text((head,), (self.padding, 0.4 * self.padding, inner, row), bold=True, colour="warn" if bad else "ink"),
                     Text((message,), (self.padding, row + 0.4 * self.padding, inner, count * row), colour="ink", lines=count, up="top"))
            tiles.append(Tile(f"line {line - 1}" if line else "", self.gap, top, self.width - 2 * self.gap, high, texts, "key" if line else "row"))
            top += high + self.gap
        tiles.append(Tile("", 0, top, self.width, 1, (), "plain"))
        board.show(tiles, self.cap, self.padding)

    # -- the soft keyboard ------------------------------------------------------------------------------------------

    def on_parent(self, instance, parent) -> None:
        """Follow the soft keyboard while the page is on the window."""
        super().on_parent(instance, parent)
        Window.unbind(keyboard_height=self._keyboard_moved)
        if parent is not None:
            Window.softinput_mode = ""
            Window.bind(keyboard_height=self._keyboard_moved)

    def _keyboard_moved(self, _window, height: float) -> None:
        self.covered = max(0, height)
        self.pane.reveal()


def _drills(shelf: Shelf, drills: Sequence[str] | None) -> tuple[str, ...]:
    return drills_in(card.text for card in shelf.cards()) if drills is None else tuple(drills)


def _on_line(finding: Finding, line: int) -> Finding:
    return replace(finding, line=line)
