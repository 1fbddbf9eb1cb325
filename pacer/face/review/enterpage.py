"""Enter times after a session: lane by lane and set by set on its timeline, or from a CSV file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from pacer.face.pages.askingpage import NEXT_TIME, AskingPage, Following
from pacer.face.pages.columnquestions import ColumnQuestions
from pacer.face.pages.filechooser import INSTEAD, Files, OneFile
from pacer.face.tiles.board import Board
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.numberpad import Pad
from pacer.face.tiles.page import CLOSE, PageKey
from pacer.language import tr, tr_n
from pacer.plan.problem import Unreadable
from pacer.plan.titles import titled
from pacer.review.enter.placedtimes import FAR_FROM_PREDICTED, Placed, SetKey
from pacer.review.enter.timesfile import TIMES, TimesFile
from pacer.review.swum.swims import Swum
from pacer.session.records.touches import tenths
from pacer.session.storage.store import StoreTrouble
from pacer.show.after.enteringtimes import EnteringTimes, SwimmerRow
from pacer.show.measure.typesizes import TITLE
from pacer.show.wording.commonkeys import CANCEL, UNDO
from pacer.squad.files.csvcolumns import UnknownColumns

ACROSS = 6  #: at most this many times side by side
CELL = 6.5  #: least width of one, in character heights
CSV = ".csv"
PROBLEMS = 6  #: problems of a file shown in full


class EnterPage(AskingPage):
    """Enters times through `entering`. `on_close()` goes back to the log."""

    def __init__(
        self,
        entering: EnteringTimes,
        *,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(close=on_close, **kwargs)
        self.entering = entering
        self.lane = next(iter(entering.lanes), 0)
        self.set = 0  #: by place among the lane's sets
        self.columns: ColumnQuestions | None = None  #: while columns of a file are asked about
        self.placed: tuple[Placed, str] | None = None  #: the times of a file waiting to be saved, and its name
        self.meant: SetKey = (0, 1)  #: the set of those that name none
        self._times: TimesFile | None = None  #: the file itself
        self._file: tuple[bytes, str] = (b"", "")
        self._swim: Swum | None = None  #: the swim whose time is being typed
        self.board = Board(self.press)

    # -- what the bar shows -------------------------------------------------------------------------------

    @property
    def asks(self) -> bool:
        """Whether something is asked; columns are many keys, which fill the page."""
        return self.typing or self.asked == "placed"

    def pinned(self) -> Sequence[PageKey]:
        """The way out of the page, or of a file's times."""
        if self.asked == "placed":
            return (PageKey("leave it", CANCEL),)
        return () if self.asked else (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """What can be done."""
        if self.typing:
            return self.answers()
        if self.asked == "columns" and self.columns is not None:
            return self.columns.keys()
        if self.asked == "placed" and self.placed is not None:
            count = len(self.placed[0].times)
            save = tr_n("Save {n} new time", "Save {n} new times", count) if count else tr("Nothing to save")
            return (PageKey("save", save, bool(count), main=True),)
        return PageKey("file", tr("From a file"), bool(self.entering.swims)), PageKey(
            "undo", UNDO, self.entering.can_undo
        )

    def lay_page(self) -> None:
        """The chosen set with its times, or the question."""
        column = self.column(self.width)
        if self.typing:
            self.asking_tiles(column)
        elif self.asked == "columns" and self.columns is not None:
            self.columns.say(column)
        elif self.asked == "placed" and self.placed is not None:
            self._say_placed(column, *self.placed)
        else:
            self._say_sets(column)
        self.show_board(self.board, self.x, self.width, column.tiles)
        self.boards = [self.board]
        self.lay_field()

    def _say_sets(self, column: Column) -> None:
        entering = self.entering
        listed = entering.kept.listed
        column.say(tr("Times for {title}", title=titled(listed.title)), bold=True, scale=TITLE)
        if not entering.swims:
            column.say(tr("Nothing in this session can be timed."))
            return
        how = [
            tr("Tap a repeat and type its time."),
            *([tr("It was swum without pacer.")] if entering.without_pacer else []),
        ]
        column.say(" ".join(how), colour="dim")
        column.skip(0.4)
        column.flow(
            *(
                Cell(
                    f"lane {lane}", (tr("Lane {lane}", lane=entering.review.lanes[lane]),), look=_lit(lane == self.lane)
                )
                for lane in entering.lanes
            )
        )
        column.skip(0.6)
        for number, row in enumerate(entering.sets(self.lane)):
            column.row(
                Cell(f"set {number}", (row.text,), share=4.0, across="left", look=_lit(number == self.set)),
                Cell(
                    look="plain",
                    ways=(tr("{times} of {of}", times=row.times, of=row.of),),
                    share=1.0,
                    bold=False,
                    colour="dim",
                ),
            )
            if number == self.set:
                self._say_times(column, entering.rows(self.lane, row.key))
                column.skip(0.6)

    def _say_times(self, column: Column, rows: Sequence[SwimmerRow]) -> None:
        across = max(2, min(ACROSS, int(column.width / (CELL * self.cap)) - 1))
        for number, row in enumerate(rows):
            for first in range(0, len(row.swims), across):
                swims = row.swims[first : first + across]
                cells = [
                    Cell(
                        f"swim {number} {first + at}",
                        ("–" if swim.time_ms is None else tenths(swim.time_ms // 10),),
                        label=(_which_said(swim, rows), _which(swim, rows)),
                        bold=swim.time_ms is not None,
                    )
                    for at, swim in enumerate(swims)
                ]
                blank = [Cell(look="plain") for _ in range(across - len(swims))]
                name = "" if first else _who_said(row.name)
                column.row(Cell(look="plain", ways=(name,), across="left", share=1.4), *cells, *blank)

    def _say_placed(self, column: Column, placed: Placed, name: str) -> None:
        column.say(name, bold=True, scale=TITLE)
        count = len(placed.times)
        column.say(tr_n("{n} time fits this session.", "{n} times fit this session.", count), bold=True)
        if placed.problems:
            bad = len(placed.problems)
            column.say(
                tr_n("{n} does not, and would be left out:", "{n} do not, and would be left out:", bad), colour="warn"
            )
        for problem in placed.problems[:PROBLEMS]:
            column.say(tr("Line {line}: {said}", line=problem.line, said=problem.said))
        if len(placed.problems) > PROBLEMS:
            column.say(tr("And {problems} more", problems=len(placed.problems) - PROBLEMS), colour="dim")
        column.say(tr("Times already there stay."), colour="dim")
        if placed.no_set:
            column.skip(0.6)
            column.say(
                tr_n("{n} time names no set. It is for:", "{n} times name no set. They are for:", placed.no_set),
                bold=True,
            )
            for number, (key, text) in enumerate(self.entering.all_sets()):
                column.row(Cell(f"for {number}", (text,), across="left", look=_lit(key == self.meant)))

    # -- actions ----------------------------------------------------------------------------------------------

    def press(self, name: str) -> None:
        """Do what a tile or key is for; problems are reported."""
        try:
            self._do(name)
        except StoreTrouble as trouble:
            self.tell(str(trouble))

    def _do(self, name: str) -> None:
        if self.press_typing(name):
            return
        if self.asked == "columns" and self.columns is not None and self.columns.press(name):
            self._columns_answered()
            return
        what, _, rest = name.partition(" ")
        match what:
            case "leave":
                self.back()
                return
            case "lane":
                self.lane, self.set = int(rest), 0
            case "set":
                self.set = int(rest)
            case "for":
                self._place(self.entering.all_sets()[int(rest)][0])
            case "swim":
                row, at = map(int, rest.split())
                self._ask_time(self.entering.rows(self.lane, self.key)[row].swims[at])
                return
            case "undo":
                count = self.entering.undo()
                self.tell(
                    tr_n("{n} time undone", "{n} times undone", count) if count else tr("There is nothing to undo.")
                )
            case "file":
                files = Files(OneFile(self.entering.store.folder), CSV, tr("Choose a CSV file of times"), INSTEAD)
                files.aside = self.chosen
                files.bring_in(lambda _names, said: self._said_of_file(said))
                return
            case "save" if self.placed is not None:
                new, other = self.entering.take(*self.placed)
                self._end_asking()
                saved = tr_n("{n} time saved", "{n} times saved", new)
                kept = [tr_n("{n} kept as it was", "{n} kept as they were", other)] if other else []
                self.tell("; ".join([saved, *kept]))
        self.lay_out()

    @property
    def key(self) -> tuple[int, int]:
        """The set in hand."""
        return self.entering.sets(self.lane)[self.set].key

    def _ask_time(self, swim: Swum) -> None:
        self._swim = swim
        rows = self.entering.rows(self.lane, self.key)
        name = next(row.name for row in rows if row.who == swim.who)
        who = _who_said(name)
        expected = tenths(swim.predicted_ms // 10)
        asked = tr(
            "{set_name}: {who}, {which}, {distance}, expected {expected}. Leave empty to delete",
            set_name=self.entering.sets(self.lane)[self.set].text,
            who=who,
            which=_which_said(swim, rows),
            distance=swim.shape.distance,
            expected=expected,
        )
        value = None if swim.time_ms is None else swim.time_ms
        after = self.entering.after(self.lane, self.key, swim)
        following = Following(NEXT_TIME, None if after is None else partial(self._ask_time, after))
        self.ask_pad(Pad(asked, value, step=1_000, empty=True), self._typed, following)

    def _typed(self, time_ms: int | None) -> bool:
        swim = self._swim
        assert swim is not None
        if (
            time_ms is not None
            and not swim.predicted_ms
            <= FAR_FROM_PREDICTED * time_ms
            <= FAR_FROM_PREDICTED * FAR_FROM_PREDICTED * swim.predicted_ms
        ):
            self.tell(tr("That can't be right: {predicted} was expected.", predicted=tenths(swim.predicted_ms // 10)))
            return False
        try:
            self.entering.enter(swim, None if time_ms is None else time_ms // 10)
        except StoreTrouble as trouble:
            self.tell(str(trouble))
            return False
        return True

    def _said_of_file(self, said: str) -> None:
        if said and not self.asked:
            self.tell(said)

    # -- a file ---------------------------------------------------------------------------------------------

    def chosen(self, data: bytes, name: str) -> bool:
        """A file was chosen: its times are placed, or its columns asked about."""
        self._file = data, name or tr("a file")
        self._read_file()
        return True

    def _read_file(self) -> None:
        data, name = self._file
        try:
            file: TimesFile = self.entering.times_in(data)
        except UnknownColumns as unknown:
            self.columns, self.asked = ColumnQuestions(TIMES, unknown.columns), "columns"
        except Unreadable as error:
            problem = error.problems[0]
            self._end_asking()
            self.tell(problem.said_of(name), problem.message)
        else:
            self._times, self.asked = file, "placed"
            self._place(self.key)
        self.lay_out()

    def _place(self, key: SetKey) -> None:
        """Place the file's times; those that name no set are for this one."""
        assert self._times is not None, "a file was chosen"
        self.meant, self.placed = key, (self.entering.place(self._times, key), self._file[1])

    def _columns_answered(self) -> None:
        assert self.columns is not None
        if self.columns.done:
            try:
                self.entering.learn(self.columns.answers)
            except OSError as error:
                self.tell(tr("The answers can't be saved: {strerror}", strerror=error.strerror))
            self.columns = None
            self._read_file()
        else:
            self.lay_out()

    def _end_asking(self) -> None:
        self.columns = self.placed = None
        self.close_sheet()

    def close_sheet(self) -> None:
        """Stop asking."""
        self.columns = self.placed = None
        super().close_sheet()


def _lit(chosen: bool) -> str:
    return "lit" if chosen else "key"


def _which(swim: Swum, rows: Sequence[SwimmerRow]) -> str:
    rounds = any(one.round != swim.round for row in rows for one in row.swims)
    return f"{swim.round}.{swim.repeat}" if rounds else str(swim.repeat)


def _which_said(swim: Swum, rows: Sequence[SwimmerRow]) -> str:
    which = _which(swim, rows)
    return tr("round {which}", which=which) if "." in which else tr("repeat {which}", which=which)


def _who_said(name: str) -> str:
    return tr("Swimmer {name}", name=name) if name.isdigit() else name
