"""A quick set: one set for all lanes, put together with a few presses or typed, without a plan."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from pacer.face.editor.notetiles import room_for_one, said_tiles, who_gets_what
from pacer.face.editor.notetiming import NoteTiming
from pacer.face.editor.writingpane import WritingPane
from pacer.face.kit.textures import measure
from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.tiles.board import Board, Text, Tile
from pacer.face.tiles.column import ROW
from pacer.face.tiles.longpresspage import LongPressPage
from pacer.face.tiles.page import CLOSE, PageKey
from pacer.face.tiles.pagegrid import LARGER
from pacer.language import tr
from pacer.plan.model import POOLS
from pacer.plan.notation.planreader import pool_from_text
from pacer.plan.problem import Unreadable
from pacer.plan.sentence import capital
from pacer.plan.text.fixes import Fix
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.textbuffer import TextBuffer
from pacer.session.timesource import boot_ms
from pacer.show.editing.quickoutcome import outcome, tight_lanes, would_start
from pacer.show.editing.quickset import COUNTS, OWN, STEP_MS, WORKS, LineChoice, distances, leaves, plan_of, stepped
from pacer.show.editing.wordkeys import PREFIX, put, word_keys
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import TITLE
from pacer.show.wording.commonkeys import UNDO
from pacer.squad.squad import Squad
from pacer.timeline.summary.totals import Totals, totals

RUNS = ("run", "run tight")  #: the keys that start it


class QuickSetPage(LongPressPage):
    """One set for the squad, in a pool.

    `choice` is what the keys show first; save it, and the page begins with it next time.

    `on_run(text, pool)` is called with a text for `read_line`, `on_close()` when the page is closed; `run_label` names
    the key that starts the set (or, for a running session, adds it). Held down, it says what `begins()` returns.
    """

    zooms = LARGER
    _bare = False  # whether intervals are shown without `on`

    def __init__(
        self,
        squad: Squad,
        pool: str,
        *,
        choice: LineChoice | None = None,
        drills: Sequence[str] = (),
        run_label: str = tr("Start"),
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_run: Callable[[str, str], None] = lambda text, pool: None,
        on_close: Callable[[], None] = lambda: None,
        begins: Callable[[], tuple[str, ...]] = lambda: (),
        now_ms: Callable[[], int] = boot_ms,
        **kwargs,
    ):
        super().__init__(RUNS, now_ms, theme, glass, **kwargs)
        self.squad, self.pool_text, self.drills, self.run_label = squad, pool, tuple(drills), run_label
        self.on_run, self.on_close, self.begins = on_run, on_close, begins
        self.choice = choice or LineChoice()
        self.totals: Totals | None = None
        self.asked = ""  #: the set that does not fit but was started: one more press runs it
        self.pane: WritingPane | None = None  #: while the set is typed
        self.remarks: NoteTiming | None = None  #: its notes meanwhile
        self._left: dict[
            str, TextBuffer
        ] = {}  #: what was typed from the chosen set: it is there again until another one is chosen
        self.fixes: dict[str, Fix] = {}  #: by the keys below the set
        self.board = Board(self.press)
        self.boards = [self.board]
        self.add_widget(self.board, index=len(self.children))
        self.work_out()

    @property
    def text(self) -> str:
        """The set as it is now."""
        return self.pane.draft.text if self.pane is not None else self.choice.text

    @property
    def pool(self):
        """The pool it is for."""
        return pool_from_text(self.pool_text)

    def work_out(self) -> None:
        try:
            self.totals = totals(plan_of(self.text, self.pool, self.squad), self.squad)
        except Unreadable:
            self.totals = None
        self.lay_out()

    # -- what is shown ------------------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out; while the set is typed, also the key that starts it."""
        return (CLOSE,) if self.pane is None or not self.pane.focus else (CLOSE, self._run_key())

    def _run_key(self) -> PageKey:
        if self.asked and self.asked == self.text:
            return PageKey("run tight", tr("{label} anyway", label=self.run_label), self._fine(), main=True)
        return PageKey("run", self.run_label, self._fine(), main=True)

    def keys(self) -> Sequence[PageKey]:
        """What can be done with the set; while it is typed, the way back to choosing, and what is hard to type."""
        choose = PageKey("keys", tr("Back to buttons"))
        if self.pane is not None and self.pane.focus:
            keys = [PageKey(key.name, key.label) for key in word_keys(self.drills)]
            return choose, *self.letters_key(), *keys, PageKey("undo", UNDO, self.pane.draft.can_undo)
        if self.pane is not None:
            return self._run_key(), PageKey("type", tr("Type it")), choose
        return self._run_key(), PageKey("type", tr("Type it")), PageKey("pool", tr("Pool {pool}", pool=self.pool_text))

    def _fine(self) -> bool:
        return self.totals is not None and not self.totals.stops

    def lay_page(self) -> None:
        """The set, its totals, and the keys to choose it; a typed one has five rows, to be near what comes of it."""
        top = self.top
        if self.pane is not None:
            self.pane.theme, self.pane.glass, self.pane.cap = self.theme, self.glass, self.cap
            high = max(self.target, min(5 * round(ROW * self.cap), self.top - self.bar.top - self._said_height()))
            self.pane.pos, self.pane.size = (self.x, self.top - high), (self.width, high)
            self.pane.lay_out()
            top -= high
        self.board.pos, self.board.size = (self.x, self.bar.top), (self.width, max(1, top - self.bar.top))
        self.board.show(self._tiles(), self.cap, 0.5 * self.padding)

    def roomy(self) -> bool:
        """Whether there is room for `on` before the intervals, too."""
        return not self._bare and super().roomy()

    def _said_height(self) -> float:
        """The height always reserved below the typed set for its totals and notes, so that nothing moves."""
        return self._outcome_rows() * round(ROW * self.cap) + 0.9 * self.gap + room_for_one(self)

    def _outcome_rows(self) -> int:
        return 2 if self.upright else 1

    def _tiles(self) -> list[Tile]:
        inner, top, tiles = self.width - 2 * self.gap, 0.4 * self.gap, []
        if self.pane is None:
            scale = TITLE
            rows = rows_of(self.choice.text, inner, self.cap * scale, True)
            high = len(rows) * round(ROW * self.cap * scale)
            line = Text((self.choice.text,), (0, 0, inner, high), True, lines=len(rows), cap=scale)
            tiles.append(Tile("", self.gap, top, inner, high, (line,), "plain"))
            top += high
        told, colour = outcome(self.totals, len(self.squad.lanes), asked=self.asked == self.text)
        count = len(rows_of(told, inner, self.cap)) if self.pane is None else self._outcome_rows()
        high = count * round(ROW * self.cap)
        said_of_it = Text((capital(told),), (0, 0, inner, high), colour=colour, lines=count, up="top")
        tiles.append(Tile("", self.gap, top, inner, high, (said_of_it,), "plain"))
        top += high + 0.5 * self.gap
        if self.pane is not None:
            gets = who_gets_what(self.pane.reading.plan, self.pane.draft.cursor.line, self.squad)
            said, self.fixes = said_tiles((*self.said.here, *gets), self, self.width)
            return [*tiles, *(tile._replace(top=tile.top + top) for tile in said)]
        choice = self.choice
        chosen = {f"count {choice.count}", f"far {choice.distance}", f"work {choice.work}", f"leave {choice.leave}"}
        ways, rests = self._leaves()
        ways += [("shorter", "−5 s"), ("longer", "+5 s")]
        groups = [
            [(f"count {count}", f"{count} x") for count in COUNTS],
            [(f"far {distance}", str(distance)) for distance in distances(self.pool)],
            [(f"work {work}", work) for work in WORKS],
            ways,
            rests,
        ]
        for group in groups:
            placed = self._in_rows(group, inner)
            if group is ways:
                self._bare = len(placed) > 1
            if group is ways and self._bare:
                placed = self._in_rows([(name, label.removeprefix("on ")) for name, label in group], inner)
            for across in placed:
                x, spare = self.gap, inner - sum(wide for *_, wide in across) - (len(across) - 1) * self.gap
                for name, label, wide in across:
                    wide += spare / len(across)
                    words, look = Text((label,), bold=True, across="middle"), "lit" if name in chosen else "key"
                    tiles.append(Tile(name, x, top, wide, self.target, (words,), look))
                    x += wide + self.gap
                top += self.target + self.gap
        return tiles

    def _leaves(self) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
        """The intervals and rests offered, always with the chosen one, each with its key's name."""
        offered = list(leaves(self.choice, self.pool, self.squad))
        chosen = self.choice.leave
        if chosen and chosen not in [leave for leave, _ in offered]:
            offered.insert(0, (chosen, chosen if "/" not in chosen else OWN))
        named = [(f"leave {leave}", label) for leave, label in offered]
        named.sort(key=lambda key: (key[1] == OWN, len(key[1]), key[1]))
        return [key for key in named if key[0].startswith("leave on ")], [
            key for key in named if key[0].startswith("leave rest ")
        ]

    def _in_rows(self, group: Sequence[tuple[str, str]], inner: float) -> list[list[tuple[str, str, float]]]:
        """A group's keys in as few rows as they need, evenly filled."""
        wide = [max(self.target, measure(label, self.cap, True) + 2 * self.padding) for _, label in group]
        for count in range(1, len(group) + 1):
            share = -(-len(group) // count)
            sized = [(name, label, width) for (name, label), width in zip(group, wide)]
            rows = [sized[first : first + share] for first in range(0, len(sized), share)]
            if all(sum(each[2] for each in row) + (len(row) - 1) * self.gap <= inner for row in rows):
                return rows
        return rows

    # -- actions ----------------------------------------------------------------------------------------------------

    def would(self, name: str) -> tuple[str, ...]:
        """When it starts, or what is asked first."""
        return would_start(self.totals, len(self.squad.lanes), anyway=name != "run") or self.begins()

    def press(self, name: str) -> None:
        """Do what a key is for."""
        word, _, value = name.partition(" ")
        if name.startswith(PREFIX):
            put(self.typed.draft, name.removeprefix(PREFIX))
            self.typed.edited()
        elif name in self.fixes:
            self._apply(self.fixes[name])
        elif name == "letters":
            self.show_letters(self.typed)
        elif word == "count":
            self._choose(count=int(value))
        elif word == "far":
            self._choose(distance=int(value))
        elif word == "work":
            self._choose(work=value)
        elif word == "leave" and value:
            self._choose(leave=value)
        elif name in ("shorter", "longer"):
            self._choose(leave=stepped(self.choice.leave, STEP_MS if name == "longer" else -STEP_MS))
        elif name == "pool":
            place = POOLS.index(self.pool_text) + 1 if self.pool_text in POOLS else 0
            self.pool_text = POOLS[place % len(POOLS)]
            self._choose()
        elif name == "type":
            self._type()
        elif name == "keys":
            self.end_typing()
        elif name == "undo":
            self.typed.undo()
        elif name in RUNS:
            self.run(all_the_same=name == "run tight")
        elif name == "leave":
            self.close_down()
            self.on_close()

    def _choose(self, **values) -> None:
        """Choose something else; intervals of each lane's own are worked out again."""
        own = "/" in self.choice.leave and "leave" not in values
        self.choice = replace(self.choice, **values).in_pool(self.pool)
        if own:
            self.choice = replace(
                self.choice,
                leave=next(
                    (leave for leave, _ in leaves(self.choice, self.pool, self.squad) if "/" in leave),
                    self.choice.leave,
                ),
            )
        self.work_out()

    def run(self, all_the_same: bool = False) -> None:
        """Start the set, or say why it can't run.

        A set that some lanes can't make is asked about first, unless `all_the_same`.
        """
        try:
            plan_of(self.text, self.pool, self.squad)
        except Unreadable as error:
            problem = error.problems[0]
            self.tell(
                f"{problem.message}; {problem.hint}" if problem.hint else problem.message,
                problem.message,
                tr("not understood"),
            )
            return
        if self.totals is not None and self.totals.stops:
            self.tell(self.totals.findings[0].message, tr("can't run"))
            return
        text = self.text
        if tight_lanes(self.totals) and not all_the_same:
            self.asked = text
            self.lay_out()
            return
        self.close_down()
        self.on_run(text, self.pool_text)

    def close_down(self) -> None:
        """Release the keyboard."""
        if self.pane is not None:
            self.said.leave()
            self.pane.focus = False

    def back(self) -> None:
        """Escape: first typing, then the page."""
        if self.pane is not None:
            self.end_typing()
        else:
            self.press("leave")

    @property
    def typed(self) -> WritingPane:
        """What the set is typed in, while it is."""
        assert self.pane is not None, "a set is typed"
        return self.pane

    @property
    def said(self) -> NoteTiming:
        """Its notes meanwhile."""
        assert self.remarks is not None, "a set is typed"
        return self.remarks

    # -- typing -----------------------------------------------------------------------------------------------------

    def _type(self) -> None:
        if self.pane is None:
            draft = self._left.get(self.choice.text)
            if draft is None:
                draft = TextBuffer(self.choice.text)
                draft.go(draft.end)
            self._left = {self.choice.text: draft}
            self.pane = WritingPane(
                draft,
                LivePage(self.squad.words, self.pool),
                changed=self._typed,
                moved=self._moved,
                apply=self._apply,
                leave=self.back,
            )
            self.remarks = NoteTiming(self.pane, self.squad, show=self._say)
            self.remarks.take(())
            self.pane.bind(focus=lambda *_: self.lay_out())
            self.add_widget(self.pane)
        self.lay_out()
        self.pane.focus = True
        self.wait_for_keyboard()

    def end_typing(self) -> None:
        """Back to the keys."""
        if self.pane is not None:
            self.said.leave()
            self.pane.focus = False
            self.remove_widget(self.pane)
            self.pane = self.remarks = None
            self.fixes = {}
        self.work_out()

    def _typed(self) -> None:
        self._work_out_quietly()
        self.said.edited()

    def _moved(self) -> None:
        self.said.say()
        self.show_bar()

    def _work_out_quietly(self) -> None:
        reading = self.typed.reading
        self.totals = totals(reading.plan, self.squad) if reading.whole and reading.plan is not None else None
        self._say()
        self.show_bar()

    def _say(self) -> None:
        """Show its totals and notes below it."""
        if self.remarks is not None and self.width > 2:
            self.board.show(self._tiles(), self.cap, 0.5 * self.padding)

    def _apply(self, fix: Fix) -> None:
        self.typed.fix(fix)
        self.said.settle()

    def on_touch_down(self, touch) -> bool:
        """While a finger is on the screen nothing moves."""
        if self.remarks is not None:
            self.remarks.finger_down(touch)
        return super().on_touch_down(touch)

    def on_touch_up(self, touch) -> bool:
        """When the last finger is lifted, show what has waited."""
        if self.remarks is not None:
            self.remarks.finger_up(touch)
        return super().on_touch_up(touch)
