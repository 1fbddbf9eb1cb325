"""The next page of a series before it is written: each step with a switch, the page beside it, new lines marked."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.review.reviewcolumns import beside
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.column import ROW, Cell, Column
from pacer.face.tiles.page import CLOSE, Page, PageKey
from pacer.face.tiles.tile import Bar, Text
from pacer.language import tr, tr_n
from pacer.plan.filetext import lines_of
from pacer.plan.library.plancards import Card
from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.linename import line_said
from pacer.review.series.nextpage import NextPage
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import TITLE
from pacer.show.wording.totalstext import span, summary
from pacer.squad.lanenumbers import lane_numbers
from pacer.squad.squad import Squad
from pacer.timeline.findings import Severity
from pacer.timeline.summary.totals import Totals, totals

STEPS_SHARE = 0.46  #: share of the width for the steps beside the page
MARK = 0.4  #: width of the bar before a new line, in character heights
FINDINGS_SHOWN = 3  #: findings shown in full


class NextPlanPage(Page):
    """Shows `draft`, made from the session called `after`; its totals are those of the swimmers who are `here`.

    `there` is a plan on the shelf that already follows that session. `on_write(text)` writes the page and opens it,
    `on_open(name)` opens that plan, `on_close()` closes without writing.
    """

    def __init__(
        self,
        draft: NextPage,
        after: str,
        there: Card | None = None,
        here: Squad | None = None,
        *,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_write: Callable[[str], None] = lambda text: None,
        on_open: Callable[[str], None] = lambda name: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, on_close, **kwargs)
        self.draft, self.after, self.there = draft, after, there
        self.here = here if here is not None and _same_lanes(here, draft.squad) else draft.squad
        self.on_write, self.on_open = on_write, on_open
        self.without: frozenset[int] = frozenset()
        self._totals: dict[frozenset[int], Totals] = {}
        self.board = Board(self.press)
        self.boards = [self.board]
        self.add_widget(self.board)
        self.lay_out()

    @property
    def totals(self) -> Totals:
        """The page's totals with the current switches."""
        if self.without not in self._totals:
            plan = read_plan(self.draft.text(self.without), self.draft.squad.words)  # its lines, as they would be
            self._totals[self.without] = totals(plan, self.here)
        return self._totals[self.without]

    # -- what is shown ----------------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out."""
        return (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """Write it, or open the one already there."""
        write = PageKey("write", tr("Save and open"), main=True)
        return (
            (write, PageKey("open", tr("Open {title}", title=self.there.title))) if self.there is not None else (write,)
        )

    def lay_page(self) -> None:
        """Steps and page side by side; on an upright screen one below the other."""
        gap, width = self.gap, self.width - 2 * self.gap
        self.fill_room(self.board)
        share = 1.0 if self.upright else STEPS_SHARE
        left = Column(share * width, self.cap, self.padding, gap, self.target, x=gap, top=gap, room=self.board.height)
        self._steps(left)
        if self.upright:
            left.skip(1.5)
            right = left
        else:
            x = gap + share * width + 2 * gap
            right = Column(self.width - gap - x, self.cap, self.padding, gap, self.target, x=x, top=gap)
        self._text(right)
        tiles = left.tiles if right is left else [*left.tiles, *right.tiles]
        self.board.show(tiles, self.cap, self.padding)

    def _steps(self, column: Column) -> None:
        plan = self.draft.base
        column.say(plan.title, bold=True, scale=TITLE, most=2)
        column.say(tr("Drafted from {after}. Nothing is saved yet.", after=self.after), colour="dim")
        if self.there is not None:
            column.say(tr("You already have a follow-up to this plan: {title}.", title=self.there.title), colour="warn")
        sums = self.totals
        said = summary(sums)[0]
        column.say(said if sums.failed else f"{span(sums)}, {said}", bold=True)
        for note in self.draft.notes:
            column.say(note, colour="dim")
        column.skip(1.0)
        if not self.draft.steps:
            column.say(tr("No changes needed."), bold=True)
        for number, step in enumerate(self.draft.steps, 1):
            on = number not in self.without
            key = Cell(f"step {number}", (tr("on") if on else tr("off"),), look="lit" if on else "key")
            beside(column, key, [(step.text, False, "ink" if on else "dim")])
            column.skip(1.0)
        self._checks(column)

    def _checks(self, column: Column) -> None:
        """What the checks say, the worst first."""
        worst = [one for one in self.totals.findings if one.severity <= Severity.CARE]
        written = lines_of(self.draft.text(self.without))
        for one in worst[:FINDINGS_SHOWN]:
            place = line_said(written, one.line) if one.line else tr("Whole session")
            lanes = lane_numbers(one.lanes, len(self.draft.squad.lanes))
            head = f"{place}, {lanes}: " if lanes else f"{place}: "
            column.say(head + one.message, colour="warn" if one.severity <= Severity.WRONG else "dim")
        if len(worst) > FINDINGS_SHOWN:
            column.say(
                tr("And {counted}", counted=tr_n("{n:,} more check", "{n:,} more checks", len(worst) - FINDINGS_SHOWN)),
                colour="dim",
            )

    def _text(self, column: Column) -> None:
        """The page as it would be written: new lines bold, with a bar before them."""
        cap, pitch = column.cap, round(ROW * column.cap)
        for line in self.draft.lines(self.without):
            said = line.text.strip()
            if not said:
                column.skip(0.5)
                continue
            head = not line.text[:1].isspace() and ":" not in said.split(",")[0]
            indent = 2 * MARK * cap + min(3, (len(line.text) - len(line.text.lstrip())) // 2) * cap
            room = column.width - indent
            bold = line.new or head
            high = len(rows_of(said, room, cap, bold)) * pitch
            colour = "ink" if line.new or line.text[:1].isspace() or head else "dim"
            text = Text((said,), (indent, 0, room, high), bold, colour, up="top", lines=high // pitch)
            bars = (Bar((0, 0.1 * pitch, MARK * cap, high - 0.2 * pitch), "ink"),) if line.new else ()
            column.tiles.append(Tile("", column.x, column.top, column.width, high, (text,), "plain", True, bars))
            column.top += high
        column.skip(0.5)
        column.say(tr("A bar marks what is new."), colour="dim")

    # -- actions -------------------------------------------------------------------------------------------------

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        what, _, rest = name.partition(" ")
        match what:
            case "leave":
                self.close()
                return
            case "write":
                self.on_write(self.draft.text(self.without))
                return
            case "open":
                if self.there is not None:
                    self.on_open(self.there.name)
                return
            case "step":
                self.without = self.draft.turned(int(rest), self.without)
        self.lay_out()


def _same_lanes(one: Squad, other: Squad) -> bool:
    """Whether a squad is another one without those who are absent: a plan may say a value for each lane."""
    lanes = ([(lane.number, lane.group) for lane in squad.lanes] for squad in (one, other))
    return one.name == other.name and next(lanes) == next(lanes)
