"""The page for writing a plan: its keys, and the list of all errors and checks.

Every key is on disk before it is painted. A plan with errors is saved like any other, it just can't run.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Sequence

from kivy.clock import Clock

from pacer.face.editor.checklist import CheckList
from pacer.face.editor.editorkeys import writing_keys
from pacer.face.editor.editorsaving import Saving
from pacer.face.editor.pageresults import WorkedOut
from pacer.face.editor.plantextpage import PlanTextPage
from pacer.face.kit.keycodes import writes
from pacer.face.tiles.board import Board
from pacer.face.tiles.page import CLOSE, PageKey
from pacer.language import tr, tr_n
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.plan.library.newplan import below_header, header_of, is_sample
from pacer.plan.library.shelf import Shelf, ShelfTrouble
from pacer.plan.text.linename import line_said
from pacer.plan.text.livepage import BLANK, SECTION
from pacer.plan.text.textbuffer import Spot, TextBuffer
from pacer.show.drive.preparation import unread_ways
from pacer.show.editing.drillkeys import complete, drills_in, growing_names
from pacer.show.editing.wordkeys import HINTS, PREFIX, is_stray, put
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.wording.commonkeys import KEYBOARD, KEYS_AWAY, UNDO
from pacer.squad.squad import Squad
from pacer.timeline.summary.totals import totals

GROW = "grow "  #: before a key's name: the key completes the drill's name being written


class EditorPage(PlanTextPage):
    """Writes the plan `name` of `shelf`.

    `on_run(text)` is called to run it, `on_close(text)` when the page is closed; `drills` are names for the keys
    (None: those of the shelf's plans, the most recently used first).
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
        book: DrillBook = EMPTY_BOOK,
        on_run: Callable[[str], None] = lambda text: None,
        on_close: Callable[[str], None] = lambda text: None,
        **kwargs,
    ):
        self.list: CheckList | None = None  #: of all errors and checks, while it is open
        self.shelf, self.name, self.drills, self.book = shelf, name, _drills(shelf, drills), book
        self.on_run, self.on_close = on_run, on_close
        self._hints = dict(HINTS)  #: those not said yet
        draft = TextBuffer(shelf.open(name))
        self._first = draft.text
        super().__init__(draft, squad, theme, glass, **kwargs)
        self.saving = Saving(shelf, name, self.tell)

    def boards_now(self) -> list[Board]:
        """Only the list, while it is open."""
        return [self.list] if self.list is not None else super().boards_now()

    def lay_page(self) -> None:
        """The text, or the list over it."""
        super().lay_page()
        if self.list is not None:
            self._lay_list()

    def _lay_list(self) -> None:
        lanes, lines = len(self.squad.lanes), self.draft.lines
        if self.list is not None:
            shorter = self.fitting()
            self.list.lay(self, self.reading, lines, lanes, self.findings, self.totals, self.stale, shorter)

    def take_results(self, edits: int, found: WorkedOut) -> None:
        """Show the result, in the list of checks too."""
        super().take_results(edits, found)
        if self.list is not None:
            self._lay_list()

    # -- keys --------------------------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out and the key that runs the plan.

        While writing, also Undo and the key that shows or hides the letters.
        """
        if self.list is not None:
            return (CLOSE._replace(name="unlist"),)
        run = PageKey("run", tr("Get ready"), self.may_run(), main=True)
        if not self.writing:
            return CLOSE, run
        return (
            CLOSE,
            run,
            PageKey("undo", UNDO, self.draft.can_undo),
            *(self._glass_keys() if self.bar_rows() == 2 else ()),
        )

    def _glass_keys(self) -> Sequence[PageKey]:
        """The key that shows or hides the on-screen letters."""
        return self.letters_key() or (PageKey("done", KEYS_AWAY),)

    def keys(self) -> Sequence[PageKey]:
        """What can be done with the plan; while writing, what is hard to type."""
        if self.list is not None:
            return ()
        bad, found = len(self.reading.problems), len(self.findings)
        checks = PageKey(
            "list",
            tr_n("{n} error", "{n} errors", bad) if bad else tr("{n} to check", n=found) if found else tr("No errors"),
            bool(bad or found),
        )
        undo_all = PageKey("as it was", tr("Undo all"), self.draft.text != self._first)
        can_redo = self.draft.can_redo
        if not self.writing:
            return (
                PageKey("write", KEYBOARD),
                checks,
                PageKey("undo", UNDO, self.draft.can_undo),
                PageKey("redo", tr("Redo"), can_redo),
                undo_all,
            )
        unpinned = self._glass_keys() if self.bar_rows() != 2 else ()
        keys = writing_keys(self.drills, self.foot is None, self._chose_words, can_redo)
        growing = [PageKey(GROW + name, name) for name in growing_names(self.draft, self.book)]
        return (*growing, *unpinned, *keys, checks, undo_all)

    @property
    def _chose_words(self) -> bool:
        """Whether words are selected, other than the sample of a new plan."""
        return self.draft.chosen is not None and not is_sample(self.draft.text)

    def press(self, name: str) -> None:
        """Do what a key is for."""
        if name.startswith(PREFIX):
            if self.draft.chosen is not None and not self._chose_words:
                self.draft.write("")  # the sample is replaced, not put into quotes or brackets
            put(self.draft, name.removeprefix(PREFIX))
            self.pane.edited()
            if hint := self._hints.pop(name.removeprefix(PREFIX), ()):
                self.tell(*hint)
        elif name.startswith(GROW):
            complete(self.draft, name.removeprefix(GROW))
            self.pane.edited()
        elif name.startswith("fix "):
            self.apply((self.fixes if self.list is None else self.list.fixes)[name])
        elif name.startswith("missing "):
            self._apply_missing(self.missing[int(name.split()[1])])
        elif name == "lane":
            self.take_in_hand(self.lane + 1)
        elif name.startswith("line "):
            self._close_list()
            self.go_to(int(name.split()[1]))
        else:
            {
                "run": self.run,
                "write": self.write_with_letters,
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

    def _on_key(self, window, code: int, scancode: int = 0, text: str = "", modifiers: Sequence[str] = ()) -> bool:
        """A letter or digit of a keyboard writes, also while the page's keys are hidden: nothing typed is lost."""
        if writes(text, modifiers) and not self.writing and self.list is None and self.get_parent_window() is not None:
            self.write()
            return True
        return super()._on_key(window, code, scancode, text, modifiers)

    def write(self) -> None:
        """Let keys write."""
        self.pane.focus = True
        self.pane.reveal()

    def write_with_letters(self) -> None:
        """The same, with letters on the screen if there are no others."""
        self.write()
        if self.letters_wanted:
            self.show_letters(self.pane)

    def go_on(self) -> None:
        """Start writing at once if a section has no sets yet.

        In a new plan its sample is selected: the first letter replaces it, so nobody swims what nobody wrote.
        """
        lines, kinds = self.draft.lines, self.reading.kinds
        if is_sample(self.draft.text) and SECTION in kinds:
            self.draft.go(self.draft.end)
            self.draft.go(Spot(kinds.index(SECTION), 0), choosing=True)
            self.pane.focus = True
            self.pane.went()
            Clock.schedule_once(lambda _dt: self.pane.scroller.to(0))  # once it has its size
            return
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
        """Stop writing; the bar has the page's own keys again."""
        self._end_line()
        self.pane.focus = False

    def _end_line(self) -> None:
        """Let a name on the last line begin a section, though nobody pressed Enter after it."""
        if self.writing and self.draft.name_to_edge():
            self.pane.edited()

    def as_it_was(self) -> None:
        """Restore the text from when the page was opened; that can be undone."""
        self.draft.choose_all()
        self.draft.write(self._first)
        self.draft.go(Spot(0, 0))
        self.pane.edited()

    def leave(self) -> None:
        """Save everything and close; a new plan with nothing in it, or only one stray key, goes."""
        self.close_down()
        if not self.saving.trouble:
            self.shelf.drop_untouched(self.name, lambda text: is_stray(text, self.drills))
        self.on_close(self.draft.text)

    def close_down(self) -> None:
        """Save what is written before the page goes."""
        super().close_down()
        self.saving.close(self.draft.text)
        if below_header(self.draft.text) == below_header(self._first):  # the same plan, with another title
            titles = (header_of(text).get("title", "") for text in (self._first, self.draft.text))
            with contextlib.suppress(ShelfTrouble):
                self.shelf.follow(*titles)

    def may_run(self) -> bool:
        """Whether the plan as it is written can be run."""
        return self.reading.whole and not (self.totals is not None and not self.stale and self.totals.stops)

    def run(self) -> None:
        """Run the plan; or say why it can't run, and go there."""
        self._end_line()
        problem = self.reading.problems[0] if self.reading.problems else None
        if problem is not None:
            self.tell(*unread_ways(self.draft.lines, problem))
            self.go_to(problem.line - 1, problem.column - 1, focus=False)
            return
        plan = self.reading.plan
        if plan is None:
            return
        found = totals(plan, self.squad, checks=False)
        if found.stops:
            worst = found.findings[0]
            place = f"{line_said(self.draft.lines, worst.line)}: " if worst.line else ""
            self.tell(*(f"{place}{way}" for way in worst.ways), tr("can't run"))
            if worst.line:
                self.go_to(worst.line - 1, focus=False)
            return
        self.close_down()
        self.on_run(self.draft.text)

    def _changed(self) -> None:
        """A key was typed: save the draft to disk first."""
        self.saving.put(self.draft.text)
        super()._changed()

    # -- the list of errors and checks ------------------------------------------------------------------------------

    def _open_list(self) -> None:
        if not self.reading.problems and self.totals is None:
            self.tell(tr("no problems found"))
            return
        self.pane.focus = False
        self.list = CheckList(self.press)
        self.boards = [self.list]
        self.add_widget(self.list)
        self.lay_out()

    def _close_list(self) -> None:
        if self.list is not None:
            self.remove_widget(self.list)
            self.list = None
            self.lay_out()


def _drills(shelf: Shelf, drills: Sequence[str] | None) -> tuple[str, ...]:
    return drills_in(card.text for card in shelf.cards()) if drills is None else tuple(drills)
