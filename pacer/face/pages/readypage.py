"""Before the start: one page that shows whether everything is ready, and leads to the clock."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.clock.lanelayout import too_small
from pacer.face.kit.textures import measure
from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.tiles.board import Board, Picture, Text, Tile
from pacer.face.tiles.column import ROW
from pacer.face.tiles.longpresspage import LongPressPage
from pacer.face.tiles.page import CLOSE, PageKey
from pacer.face.tiles.pagegrid import LARGER
from pacer.face.tiles.tile import STRIP_LANE
from pacer.face.tiles.totalsboard import lane_tiles, lanes_wide
from pacer.language import tr
from pacer.plan.filetext import lines_of
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.plan.sentence import capital, capitals
from pacer.plan.text.fixes import Fix
from pacer.show.drive.beforestart import CHECKS_SHOWN, Check, ReadyActs, counted_said, ready
from pacer.show.drive.sessionstart import STEP_MIN, StartTime
from pacer.show.figures.drawing import height_for
from pacer.show.figures.planstrip import strip
from pacer.show.measure.fitting import lines_height
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import SMALL, TITLE
from pacer.timeline.findings import Finding
from pacer.timeline.summary.triedfixes import offers_for
from pacer.timeline.timeline import Timeline

BEGINS = ("begin", "top", "time")
UNCONFIRMED = tr("Confirm each flagged set first"), tr("confirm each flagged set first")
STEPS = tr("–{n} min", n=STEP_MIN), tr("+{n} min", n=STEP_MIN)  #: beside the time of day
DEMO = tr("A demo plan"), tr("Write your own")
TABLE_SHARE = 0.6  #: of these for their table, if the sets are beside it
LANES_SHARE = 0.64  #: share of the width for the lanes, if lanes and checks are side by side


class ReadyPage(LongPressPage):
    """A session of the written `page` before its start.

    `demo`: it says that the plan came with the app. `counted`: how many heads went in; None: not yet.

    Once every flagged line is confirmed, a long press on one of `BEGINS` begins the session; meanwhile it says when it
    would start.
    """

    frame_s = 1
    zooms = LARGER

    def __init__(
        self,
        timeline: Timeline,
        page: str,
        acts: ReadyActs,
        findings: Sequence[Finding] = (),
        *,
        away: int = 0,
        title: str = "",
        demo: bool = False,
        counted: int | None = None,
        theme: Theme = DARK,
        glass: Glass | None = None,
        book: DrillBook = EMPTY_BOOK,
        **kwargs,
    ):
        super().__init__(BEGINS, acts.now_ms, theme, glass, **kwargs)
        self.timeline = timeline
        self.told = ready(timeline, page, findings, away=away, title=title, book=book)
        self.figure = strip(timeline)
        self.demo, self.counted, self.acts = demo, counted, acts
        self.heads = sum(len(lane.swimmers) for lane in timeline.squad.lanes)
        self.start = StartTime(acts)
        self.confirmed: set[int] = set()
        self.opened: set[int] = set()  #: checks whose hint is shown
        self._page = page
        self._helps: dict[int, tuple[Fix, ...]] = {}  #: by check
        self.mends: dict[str, Fix] = {}  #: of opened checks, by their keys
        self._opened: list[int] = []  #: the same in the order of opening
        self.all_checks = False
        self._moving = ("", "", "", "")
        self.board = Board(self.press)
        self.boards = [self.board]
        self.add_widget(self.board, index=len(self.children))
        self.lay_out()

    # -- the time -------------------------------------------------------------------------------------------

    def frame(self, _dt: float = 0) -> None:
        """Show what has changed with time, if anything has."""
        if self._now() != self._moving:
            self.lay_out()

    def _now(self) -> tuple[str, str, str, str]:
        return self.told.out_at(self.acts.wall_ms()), self.acts.battery(), self.acts.sound(), str(self.start)

    # -- what is shown --------------------------------------------------------------------------------------

    @property
    def all_confirmed(self) -> bool:
        """Whether every flagged line was confirmed for this session."""
        return len(self.confirmed) == len(self.told.confirm)

    def keys(self) -> Sequence[PageKey]:
        """What can be done now."""
        able, (sooner, later) = self.all_confirmed, STEPS
        return (
            PageKey("begin", tr("Start"), able, main=True, note=tr("hold down")),
            PageKey("top", tr("At next :00"), able),
            PageKey("squad", tr("Who is here")),  # before the time of day: all keys then fit an upright screen
            PageKey("time", tr("At {start}", start=self.start), able),
            *(PageKey("earlier", sooner, beside=True), PageKey("later", later, beside=True)),
            *((PageKey("write", tr("Edit")),) if self.acts.can_write else ()),
            PageKey("start", tr("Start later"), able),
        )

    def pinned(self) -> Sequence[PageKey]:
        """The way out."""
        return (CLOSE,)

    def lay_page(self) -> None:
        """Everything the coach is told, above the bar."""
        self._moving = self._now()
        self.fill_room(self.board)
        self.board.show(self._tiles(), self.cap, self.padding)

    def _tiles(self) -> list[Tile]:
        gap, told = self.gap, self.told
        inner = self.width - 2 * gap
        out, battery, sound, _ = self._moving
        tiles, top = list[Tile](), 0.5 * gap
        colour = "warn" if told.late else "ink"
        title = (f"{told.title}, {told.about}", told.title) if told.about else (told.title,)
        lasts = capitals((*(f"{way}; {out}" for way in told.out), out))
        for ways, ink, scale in ((title, "ink", TITLE), (lasts, colour, 1.0)):
            row = round(ROW * scale * self.cap)
            text = Text(tuple(ways), (0, 0, inner, row), True, ink, cap=scale)
            tiles.append(Tile("", gap, top, inner, row, (text,), "plain"))
            top += row
        for words, colour in ((battery, "warn"), (sound, "ink")):
            if words:
                tiles.append(self._words(words, gap, top, inner, colour=colour))
                top = tiles[-1].bottom
        top = self._confirms(tiles, gap, top + 0.5 * gap, inner)
        high = round(height_for(len(told.swimmers), SMALL * self.cap, STRIP_LANE * self.cap))
        picture = Picture((0, 0, inner, high), self.figure, True)
        tiles.append(Tile("", gap, top, inner, high, (), "plain", pictures=(picture,)))
        top += high + gap
        if self.upright:
            top = self._ways(tiles, gap, top, inner)
            top = self._gear(tiles, gap, top, inner)
            top = self._lanes(tiles, gap, top, inner) + gap
            top = self._checks(tiles, gap, top, inner) + 0.5 * gap
            top = self._sets(tiles, gap, self._drills(tiles, gap, top, inner), inner)
        else:
            left = round((inner - gap) * LANES_SHARE)
            x, wide = gap + left + 2 * gap, inner - left - 2 * gap
            table = min(lanes_wide(told.totals, self._swimmers(), told.bases, self.cap) + 2 * gap, left)
            if table <= TABLE_SHARE * left:
                self._lanes(tiles, gap, top, table)
                self._sets(tiles, table + 3 * gap, top, left - table - 2 * gap)
            else:
                self._sets(tiles, gap, self._lanes(tiles, gap, top, left) + gap, left)
            top = self._ways(tiles, x, top, wide)
            top = self._gear(tiles, x, top, wide)
            self._drills(tiles, x, self._checks(tiles, x, top, wide) + 0.5 * gap, wide)
        return tiles

    def _sets(self, tiles: list[Tile], x: float, top: float, width: float) -> float:
        """The sets as they are written, to read out; before them the bases if the table can't say all of them."""
        if not self.told.bases:
            tiles.append(self._words(self.told.paces, x, top, width, colour="dim"))
            top = tiles[-1].bottom + 0.5 * self.gap
        for text, head in self.told.sets:
            inset = (len(text) - len(text.lstrip())) * 0.5 * self.cap
            tiles.append(self._words(text.strip(), x + inset, top, width - inset, head))
            top = tiles[-1].bottom
        return top

    def _words(
        self, text: str, x: float, top: float, width: float, bold: bool = False, colour: str = "ink", scale: float = 1.0
    ) -> Tile:
        rows = rows_of(text, width, self.cap * scale, bold)
        high = len(rows) * round(ROW * self.cap * scale)
        return Tile(
            "",
            x,
            top,
            width,
            high,
            (Text((text,), (0, 0, width, high), bold, colour, up="top", lines=len(rows), cap=scale),),
            "plain",
        )

    def _ways(self, tiles: list[Tile], x: float, top: float, width: float) -> float:
        """Who is here, which leads to the head count.

        For a demo also the way to a plan of one's own. Side by side on an upright screen.
        """
        both = self.demo and self.upright
        wide = (width - self.gap) / 2 if both else width
        if not self.acts.counts_heads:
            tiles.append(self._words(self.told.heads[0], x, top, wide, True))
        else:
            differ = 0 if self.counted is None else self.counted - self.heads
            count = tr("Count heads") if self.counted is None else counted_said(self.counted, differ)
            head = next(
                (way for way in self.told.heads if measure(way, self.cap, True) <= wide - 2 * self.padding),
                self.told.heads[-1],
            )
            tiles.append(self._pressed("heads", head, count, x, top, wide, "ink", "warn" if differ else "ink"))
        bottom = tiles[-1].bottom
        if self.demo:
            place = (x + wide + self.gap, top) if both else (x, bottom + self.gap)
            tiles.append(self._pressed("new", *DEMO, *place, wide, "dim", "ink"))
            bottom = max(bottom, tiles[-1].bottom)
            if both:
                tiles[-2:] = [tile._replace(height=bottom - top) for tile in tiles[-2:]]
        return bottom + self.gap

    def _gear(self, tiles: list[Tile], x: float, top: float, width: float) -> float:
        """The gear to get."""
        if self.told.gear:
            tiles.append(self._words(tr("Get: {gear}", gear=", ".join(self.told.gear)), x, top, width, True))
            top = tiles[-1].bottom + 0.5 * self.gap
        return top

    def _drills(self, tiles: list[Tile], x: float, top: float, width: float) -> float:
        """How the drills are swum, to tell the swimmers."""
        for how in self.told.drills:
            tiles.append(self._words(capital(how), x, top, width))
            top = tiles[-1].bottom + 0.5 * self.gap
        return top

    def _confirms(self, tiles: list[Tile], x: float, top: float, width: float) -> float:
        """Flagged lines with their warning, and below each the key that confirms it.

        The keys are below, so nobody reaches them without scrolling past the warning; a confirmed line keeps only its.
        """
        for number, check in enumerate(self.told.confirm):
            done = number in self.confirmed
            flag = tr("Flagged: {place}", place=check.place)
            for text, bold in () if done else ((flag, True), (f"{check.says} {check.hint}", False)):
                tiles.append(self._words(text, x, top, width, bold, "warn" if bold else "ink"))
                top = tiles[-1].bottom
            words = tr("{place}: confirmed", place=check.place) if done else tr("Confirm: run it only by these rules")
            count = len(rows_of(words, width - 2 * self.padding, self.cap, True))
            high = max(self.target, lines_height(count, self.cap) + self.padding)
            tiles.append(
                Tile(
                    f"confirm {number}",
                    x,
                    top,
                    width,
                    high,
                    (Text((words,), bold=True, across="middle", lines=count),),
                    "lit" if done else "key",
                )
            )
            top = tiles[-1].bottom + self.gap
        return top

    def _checks(self, tiles: list[Tile], x: float, top: float, width: float) -> float:
        """What will not work as written, in short; a tap shows all of it and what would help."""
        checks = self.told.checks
        if not checks and not self.told.confirm:
            tiles.append(self._words(tr("No problems found."), x, top, width, colour="dim"))
            return self._small(tiles, x, tiles[-1].bottom + 0.5 * self.gap, width)
        shown = checks if self.all_checks else checks[:CHECKS_SHOWN]
        for number, check in enumerate(shown):
            fixes = self._helping(number, check) if number in self.opened else ()
            helps = tr("Tap for what helps.") if check.hint or check.finding.remedies else ""
            text = f"{check.says} {check.hint}" if number in self.opened else f"{check.short} {helps}"
            tiles.append(
                self._pressed(
                    f"check {number}", check.place, text.strip(), x, top, width, "warn" if check.bad else "ink"
                )
            )
            top = tiles[-1].bottom + self.gap
            top = self._mends(tiles, fixes, x, top, width)
        if len(checks) > len(shown):
            label = Text((tr("And {checks} more", checks=len(checks) - len(shown)),), bold=True, across="middle")
            tiles.append(Tile("more checks", x, top, width, self.target, (label,)))
            top = tiles[-1].bottom + self.gap
        return self._small(tiles, x, top, width)

    def _helping(self, number: int, check: Check) -> tuple[Fix, ...]:
        """The changes of the plan that would help."""
        if self.acts.can_mend and number not in self._helps:
            self._helps[number] = offers_for((check.finding,), lines_of(self._page), self.timeline.squad).fixes[0]
        return self._helps.get(number, ())

    def _mends(self, tiles: list[Tile], fixes: Sequence[Fix], x: float, top: float, width: float) -> float:
        """A key for each of these changes; it is made at once."""
        for fix in fixes:
            name = f"mend {fix.line} {fix.says}"
            self.mends[name] = fix
            count = len(rows_of(fix.says, width - 2 * self.inset, self.cap, True))
            high = max(self.target, lines_height(count, self.cap) + self.padding)
            text = Text((fix.says,), (self.inset, 0, width - 2 * self.inset, high), True, across="middle", lines=count)
            tiles.append(Tile(name, x, top, width, high, (text,)))
            top = tiles[-1].bottom + self.gap
        return top

    def _small(self, tiles: list[Tile], x: float, top: float, width: float) -> float:
        """Last of all, from how far the screen can be read, if that is nearer than it should be."""
        if small := too_small(self.width, self.height, self.glass):
            said = tr(
                "Too small to read from {tier_1_m:g} m: the swimmers' count-down is {small}. Put the "
                "tablet nearer, or use Full screen.",
                tier_1_m=self.glass.tier_1_m,
                small=small,
            )
            tiles.append(self._words(said, x, top, width, colour="dim"))
            top = tiles[-1].bottom
        return top

    def _pressed(
        self, name: str, head: str, text: str, x: float, top: float, width: float, colour: str, below: str = "ink"
    ) -> Tile:
        """A tile to tap: a bold heading above its text, each in its colour."""
        pad, side = self.padding, self.inset
        inner, row = width - 2 * side, round(ROW * self.cap)
        heads, rows = rows_of(head, inner, self.cap, True), rows_of(text, inner, self.cap)
        tall = (len(heads) + len(rows)) * row
        high = max(self.target, tall + 1.5 * pad)
        texts, down = [], (high - tall) / 2 + 0.2 * pad  # the middle of capitals is above the middle of their row
        for words, count, bold, ink in ((head, len(heads), True, colour), (text, len(rows), False, below)):
            texts.append(Text((words,), (side, down, inner, count * row), bold, ink, up="top", lines=count))
            down += count * row
        return Tile(name, x, top, width, high, tuple(texts))

    def _lanes(self, tiles: list[Tile], x: float, top: float, width: float) -> float:
        """What each lane swims, as a table."""
        told = self.told
        tiles += lane_tiles(told.totals, x, top, width, self.cap, swimmers=self._swimmers(), bases=told.bases)
        return tiles[-1].bottom

    def _swimmers(self) -> Sequence[int]:
        """How many each lane has, if that differs; else the head count says it."""
        return self.told.swimmers if len(set(self.told.swimmers)) > 1 else ()

    # -- actions ------------------------------------------------------------------------------------------------

    def would(self, name: str) -> tuple[str, ...]:
        """When it would start."""
        return self.acts.starts(name, self.start.hour_minute()) if self.all_confirmed else UNCONFIRMED

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        what, _, number = name.partition(" ")
        acts = self.acts
        if what in (*BEGINS, "start") and not self.all_confirmed:
            self.tell(*UNCONFIRMED)
        elif what in BEGINS:
            acts.begin(what, self.start.chosen)
        elif what == "start":
            acts.clock()
        elif what in ("earlier", "later"):
            self.start.step(1 if what == "later" else -1)
            self.lay_out()
        elif what == "confirm":
            self.confirmed ^= {int(number)}
            self.lay_out()
        elif what == "check":
            check = int(number)
            self.opened ^= {check}
            self._opened = [each for each in self._opened if each != check] + [check] * (check in self.opened)
            self.lay_out()
            self.board.scroll_to(name)
        elif what == "mend":
            acts.mend(self.mends[name])
        elif what == "more":
            self.all_checks = True
            self.lay_out()
        elif what == "write":
            acts.write(self._line())
        else:
            {"squad": acts.squad, "heads": acts.heads, "new": acts.new, "leave": acts.close}[what]()

    def _line(self) -> int | None:
        """The plan's line to show in the editor.

        That of the check opened last, else of the first flagged line or check that has one.
        """
        checks = self.told.checks
        named = [checks[number] for number in reversed(self._opened) if number < len(checks)] or [
            *self.told.confirm,
            *checks,
        ]
        return next((check.line for check in named if check.line is not None), None)

    def back(self) -> None:
        """Escape: close it."""
        self.acts.close()
