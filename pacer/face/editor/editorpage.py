"""A page to write a plan on: its text, what it comes to for the squad, and keys.

Every key is on disk before it is painted; mistakes are told as the page is read, totals and checks follow when the
fingers rest. A plan with mistakes is kept like any other, only not run.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence

from kivy.clock import Clock

from pacer.face.editor.checklist import check_tiles, mistake_tiles
from pacer.face.editor.linetiles import room_for_one, said_tiles, who_gets_what
from pacer.face.editor.remarks import Remarks
from pacer.face.editor.saving import Saving
from pacer.face.editor.writingpane import WritingPane
from pacer.face.kit.typingpace import KeyPace
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.page import CLOSE, Page, PageKey
from pacer.face.tiles.totalsboard import totals_height, totals_tiles
from pacer.plan.library.shelf import Shelf
from pacer.plan.text.draft import Draft, Spot
from pacer.plan.text.fixes import Fix
from pacer.plan.text.livepage import BLANK, SECTION, LiveReading, Reading
from pacer.plan.text.whereabouts import line_said
from pacer.show.drive.asidethread import Aside
from pacer.show.editing.drillkeys import drills_in
from pacer.show.editing.wordkeys import MARKS, PREFIX, put, word_keys
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.wording.closing import KEYS_AWAY
from pacer.squad.squad import Squad
from pacer.timeline.cancellation import GivenUp
from pacer.timeline.findings import Finding
from pacer.timeline.summary.totals import Totals, failed_totals, totals

log = logging.getLogger(__name__)

REST_S = 0.3  #: so long after the last key the totals are worked out, and fixes are tried out
TOTALS_SHARE = 0.36  #: of the page, at most
AIR = 0.5  #: between the text and the totals below it: a row that goes on under the edge is not taken for one of them
READ_SHARE = 0.5  #: the same while nothing is written
MOST_SAID = 0.6  #: of what is left of a small glass by letters or a keyboard: the rest is the text's
BESIDE_SHARE = 0.38  #: of the page's width, where the totals stand beside the text


class EditorPage(Page):
    """Writes the plan `name` of `shelf`.

    `on_run(text)` is called to run it, `on_close(text)` when it is left; `drills` are names for the keys (None: those
    of the shelf's plans, the last used first).
    """

    def __init__(
        self,
        shelf: Shelf,
        name: str,
        squad: Squad,
        *,
        theme: Theme = DARK,
        glass: Glass | None = None,
        drills: Sequence[str] | None = None,
        on_run: Callable[[str], None] = lambda text: None,
        on_close: Callable[[str], None] = lambda text: None,
        **kwargs,
    ):
        super().__init__(theme, glass, **kwargs)
        self.shelf, self.name, self.squad, self.drills = shelf, name, squad, _drills(shelf, drills)
        self.on_run, self.on_close = on_run, on_close
        self.totals: Totals | None = None
        self.list: Board | None = None  #: of all mistakes and checks, while it is open
        draft = Draft(shelf.open(name))
        self._first = draft.text
        self.pane = WritingPane(
            draft,
            LiveReading(squad.gear),
            changed=self._changed,
            moved=self._moved,
            apply=self.apply,
            leave=self.back,
            tell=self.tell,
            theme=self.theme,
            glass=self.glass,
        )
        self.board = Board(self.press)
        self.boards = []
        self.saving, self._counter = Saving(shelf, name, self.tell), Aside("totals")
        self._pace: KeyPace | None = None
        self._rest = Clock.create_trigger(self._work_out, REST_S)
        self._waiting: tuple | None = None  #: totals that came while a finger was on the glass
        self._fixes: dict[str, Fix] = {}  #: by the keys that stand in the place of the totals
        self.remarks = Remarks(self.pane, squad, self._take_what_waited, self._say)
        self.pane.bind(focus=lambda *_: self._writes())
        self.add_widget(self.pane, index=len(self.children))
        self.add_widget(self.board, index=len(self.children))
        self.remarks.say()
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
    def findings(self) -> tuple[Finding, ...]:
        """The checks as they were made last."""
        return self.remarks.findings

    @property
    def stale(self) -> bool:
        """Whether totals and checks are of an earlier text."""
        return self.remarks.stale

    @property
    def writing(self) -> bool:
        """Whether keys write."""
        return self.pane.focus

    def _writes(self) -> None:
        """Writing begins or ends."""
        if self.writing and self._pace is None:
            self._pace = KeyPace()
            self.wait_for_keyboard()
        elif not self.writing and self._pace is not None:
            self._pace.close()
            self._pace = None
        self.lay_out()

    # -- places --------------------------------------------------------------------------------------------

    def bar_rows(self) -> int:
        """Two upright, and while writing, as there are many keys, where the totals and what is said of a line have room
        beside the text all the same.
        """
        spare = self.height - 2 * self.target - 3 * self.gap - self._totals_high() - room_for_one(self)
        return 2 if self.upright or self.writing and not self.covered and spare >= 0 else 1

    def lay_page(self) -> None:
        """The text, the totals beside it or below it, and the bar."""
        for part in (self.board, self.pane):
            part.theme, part.glass = self.theme, self.glass
        size = self._show_totals()
        self.pane.cap = self.cap
        self.pane.pos = (self.x, self.top - size[1])
        if tuple(self.pane.size) == size:
            self.pane.lay_out()
        self.pane.size = size
        if self.list is not None:
            self._lay_list()

    def _say(self) -> None:
        """Something else is said of the line in hand."""
        if self.width > 2 and self.height > 2:
            self._show_totals()

    def _show_totals(self) -> tuple[float, float]:
        """Show the totals as they are known, and what is said of the line in hand.

        The size that is left for the text, with both the same.
        """
        room, beside = self.top - self.bar.top, self._beside()
        wide = round(BESIDE_SHARE * self.width) if beside else self.width
        most = room if beside else 0 if self.covered else (TOTALS_SHARE if self.writing else READ_SHARE) * room
        waits = self.totals is None and self.reading.plan is not None
        tiles = totals_tiles(
            self.totals,
            -1 if waits else self.reading.unread,
            wide,
            self.cap,
            self.padding,
            most,
            self.stale,
            2 if beside else 1,
        )
        high = room if beside else min(max(room_for_one(self), *(tile.bottom for tile in tiles)), MOST_SAID * room)
        here, self._fixes = (
            (*self.remarks.here, *who_gets_what(self.reading.plan, self.draft.cursor.line, self.squad)),
            {},
        )
        if here:
            said, self._fixes = said_tiles(here, self, wide)
            tiles = (_below if beside else _instead)(tiles, said, high)
        if self.list is None:
            self.boards = [self.board] if self._fixes else []
        self.board.pos, self.board.size = (self.right - wide, self.bar.top), (wide, high)
        self.board.show(tiles, self.cap, self.padding)
        return (self.width - wide, room) if beside else (self.width, room - high - round(AIR * self.cap))

    def _beside(self) -> bool:
        """Whether the totals have room beside the text.

        Across, where no soft keyboard leaves little of the page, and a row for each lane.
        """
        return not self.upright and not self.covered and self._totals_high() <= self.top - self.bar.top

    def _totals_high(self) -> float:
        return totals_height(len(self.squad.lanes), self.cap)

    # -- keys --------------------------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out and what runs the plan.

        While writing, what takes the last change back and what brings keys to write with or puts them away too.
        """
        if self.list is not None:
            return (CLOSE._replace(name="unlist"),)
        run = PageKey("run", "Start", self._may_run(), main=True)
        if not self.writing:
            return CLOSE, run
        return (
            CLOSE,
            run,
            PageKey("undo", "Undo", self.draft.can_undo),
            *(self._glass_keys() if self.bar_rows() > 1 else ()),
        )

    def _glass_keys(self) -> Sequence[PageKey]:
        """What brings keys to write with onto the glass, or puts them away."""
        return self.letters_key() or (PageKey("done", KEYS_AWAY),)

    def keys(self) -> Sequence[PageKey]:
        """What there is to do with the plan; while writing, what is hard to type."""
        if self.list is not None:
            return ()
        bad, found = len(self.reading.problems), len(self.findings)
        checks = PageKey(
            "list", f"Errors {bad}" if bad else f"Checks {found}" if found else "No errors", bool(bad or found)
        )
        undo_all = PageKey("as it was", "Undo all", self.draft.text != self._first)
        if not self.writing:
            return (
                PageKey("write", "Write"),
                checks,
                PageKey("undo", "Undo", self.draft.can_undo),
                PageKey("redo", "Redo", self.draft.can_redo),
                undo_all,
            )
        keys = [PageKey(key.name, key.label) for key in word_keys(self.drills)]
        unpinned = self._glass_keys() if self.bar_rows() == 1 else ()
        chosen = [PageKey("cut", "Cut"), PageKey("copy", "Copy")] if self.draft.chosen else []
        more = [
            PageKey("redo", "Redo", self.draft.can_redo),
            PageKey("paste", "Paste"),
            PageKey("right", "Indent"),
            PageKey("left", "Outdent"),
            PageKey("remark", "Comment"),
            PageKey("all", "Select all"),
        ]
        if self.covered:
            return (*unpinned, *chosen, *keys, *more)
        marks = len(MARKS)
        return (*unpinned, *chosen, *keys[:marks], checks, *keys[marks:], *more, undo_all)

    def press(self, name: str) -> None:
        """Do what a key is for."""
        if name.startswith(PREFIX):
            put(self.draft, name.removeprefix(PREFIX))
            self.pane.edited()
        elif name.startswith("fix "):
            self.apply(self._fixes[name])
        elif name.startswith("line "):
            self._close_list()
            self.go_to(int(name.split()[1]))
        else:
            {
                "run": self.run,
                "write": self.write,
                "done": self.stop_writing,
                "letters": lambda: self.show_letters(self.pane),
                "undo": self.pane.undo,
                "redo": self.pane.redo,
                "list": self._open_list,
                "totals": self._open_list,
                "unlist": self._close_list,
                "leave": self.leave,
                "cut": self.pane.cut,
                "copy": self.pane.copy,
                "paste": self.pane.paste,
                "right": lambda: self.pane.indent(1),
                "left": lambda: self.pane.indent(-1),
                "remark": self.pane.toggle_comment,
                "all": self.pane.choose_all,
                "as it was": self.as_it_was,
            }[name]()

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
            if (
                kind == SECTION
                and below == BLANK
                and all(each in (BLANK, SECTION) for each in kinds[at + 1 : at + 3])
                and not lines[at + 1].strip()
            ):
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
        self._rest.cancel()
        self.remarks.leave()
        self._counter.drop()
        self.saving.close(self.draft.text)

    def _may_run(self) -> bool:
        return self.reading.whole and not (self.totals is not None and not self.stale and self.totals.stops)

    def run(self) -> None:
        """Run the plan; or say why it cannot be run, and go there."""
        problem = self.reading.problems[0] if self.reading.problems else None
        if problem is not None:
            self.tell(
                f"{line_said(self.draft.lines, problem.line)}: {problem.message}",
                problem.message,
                "a line can't be read",
            )
            self.go_to(problem.line - 1, problem.column - 1, focus=False)
            return
        found = totals(self.reading.plan, self.squad, checks=False)
        if found.stops:
            worst = found.findings[0]
            place = f"{line_said(self.draft.lines, worst.line)}: " if worst.line else ""
            self.tell(*(f"{place}{way}" for way in worst.ways), "can't run")
            if worst.line:
                self.go_to(worst.line - 1, focus=False)
            return
        self.close_down()
        self.on_run(self.draft.text)

    # -- writing ---------------------------------------------------------------------------------------------------

    def _changed(self) -> None:
        """A key was typed: note it on disk, read it, tell what is wrong."""
        self._counter.drop()
        self.saving.put(self.draft.text)
        self.remarks.edited()
        self._rest.cancel()
        self._rest()
        self.show_bar()
        self._show_totals()

    def _moved(self) -> None:
        """The cursor is elsewhere: another line is the one in hand."""
        self.remarks.say()
        self._show_totals()
        if self.writing:
            self.show_bar()

    def apply(self, fix: Fix) -> None:
        """Make a change that was offered."""
        if fix.line >= len(self.draft.lines):
            return
        self.pane.fix(fix)
        self.remarks.settle()

    # -- totals -----------------------------------------------------------------------------------------------------

    def _work_out(self, _dt: float) -> None:
        """Have the totals worked out aside; typing never waits for them."""
        plan, squad, edits = self.reading.plan, self.squad, self.draft.edits
        self.remarks.try_next()
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
        except Exception:  # an error of ours on a page half written must not end the app
            log.exception("The totals of the page failed")
            found = failed_totals(plan)
        Clock.schedule_once(lambda _dt: self._take(edits, found), 0)

    def _take(self, edits: int, found: Totals | None) -> None:
        """Show totals that have been worked out, if they are of the present text.

        Not while a finger is on the glass.
        """
        if edits != self.draft.edits:
            return
        if self.remarks.fingers:
            self._waiting = (edits, found)
            return
        self.totals = found
        self.remarks.take(found.findings if found else ())
        if self._show_totals() != tuple(self.pane.size) or self.list is not None:
            self.lay_out()
        else:
            self.show_bar()
            self.pane.lay_again()

    # -- fingers ----------------------------------------------------------------------------------------------------

    def on_touch_down(self, touch) -> bool:
        """While a finger is on the glass nothing is moved."""
        self.remarks.finger_down(touch)
        return super().on_touch_down(touch)

    def on_touch_up(self, touch) -> bool:
        """Once the last is lifted, what has waited is shown."""
        self.remarks.finger_up(touch)
        return super().on_touch_up(touch)

    def _take_what_waited(self) -> None:
        waiting, self._waiting = self._waiting, None
        if waiting is not None:
            self._take(*waiting)

    # -- the list of mistakes and checks ----------------------------------------------------------------------------

    def go_to(self, line: int, column: int | None = None, focus: bool = True) -> None:
        """Put the cursor on a line (from 0)."""
        line = min(line, len(self.draft.lines) - 1)
        text = self.draft.lines[line]
        self.draft.go(Spot(line, len(text) - len(text.lstrip()) if column is None else column))
        if focus:
            self.pane.focus = True
        self.pane.went()
        self.remarks.settle()

    def _open_list(self) -> None:
        if not self.reading.problems and self.totals is None:
            self.tell("no problems found")
            return
        self.pane.focus = False
        self.list = Board(self.press)
        self.boards = [self.list]
        self.add_widget(self.list)
        self.lay_out()

    def _close_list(self) -> None:
        if self.list is not None:
            self.remove_widget(self.list)
            self.list = None
            self.lay_out()

    def _lay_list(self) -> None:
        board = self.list
        board.theme, board.glass = self.theme, self.glass
        board.pos, board.size = (self.x, self.bar.top), (self.width, self.top - self.bar.top)
        # Mistakes are known at once; what comes in later stands below them.
        tiles = mistake_tiles(self.reading.problems, self.draft.lines, self.gap, self)
        top = tiles[-1].bottom + self.gap if tiles else 0.0
        for tile in totals_tiles(self.totals, self.reading.unread, self.width, self.cap, self.padding, 1e9, self.stale):
            tiles.append(tile._replace(name="", top=top + tile.top))
        tiles += check_tiles(self.findings, self.draft.lines, len(self.squad.lanes), tiles[-1].bottom + self.gap, self)
        tiles.append(Tile("", 0, tiles[-1].bottom + self.gap, self.width, 1, (), "plain"))
        board.show(tiles, self.cap, self.padding)

    def _keyboard_moved(self, window, height: float) -> None:
        super()._keyboard_moved(window, height)
        self.pane.reveal()


def _below(totals: Sequence[Tile], said: Sequence[Tile], high: float) -> list[Tile]:
    """What is said below the totals, which stay where they are; below their heading alone where that is too high."""
    for above in (totals, totals[:1]):
        down = max(tile.bottom for tile in above) + max(tile.top for tile in said[:1])
        tiles = [*above, *(tile._replace(top=tile.top + down) for tile in said)]
        if max(tile.bottom for tile in tiles) <= high:
            break
    return tiles


def _instead(totals: Sequence[Tile], said: Sequence[Tile], high: float) -> list[Tile]:
    """What is said in the totals' place, with their heading at the foot where there is room."""
    heading = totals[0]._replace(name="", top=high - totals[0].height)
    return [*said, heading] if max(tile.bottom for tile in said) <= heading.top else list(said)


def _drills(shelf: Shelf, drills: Sequence[str] | None) -> tuple[str, ...]:
    return drills_in(card.text for card in shelf.cards()) if drills is None else tuple(drills)
