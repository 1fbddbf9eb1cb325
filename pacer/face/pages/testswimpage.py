"""Test swims of a whole lane, timed with the app.

Who leaves when, one tap for each swimmer who comes in, the new bases.

Every tap is saved at once: a tablet that goes off in the middle still has it when it restarts.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kivy.clock import Clock

from pacer.face.kit.keycodes import SPACE
from pacer.face.pages.askingpage import AskingPage
from pacer.face.pages.testswimtiles import (
    DOUBTED,
    choice_tiles,
    doubt_tiles,
    earlier_trials,
    swim_tiles,
    taken_at_first,
    tap_tile,
)
from pacer.face.tiles.longpressboard import TapBoard
from pacer.face.tiles.numberpad import Pad
from pacer.face.tiles.page import CLOSE, PageKey
from pacer.language import tr
from pacer.plan.times import MINUTE_MS
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.replay import LEAD_IN_MS
from pacer.session.timesource import boot_id, boot_ms, wall_ms
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.wording.commonkeys import CANCEL
from pacer.signal.clipschedule import SECTION_START, Programme, Wanted, plan_sounds
from pacer.signal.clipstarter import Starter, Starts
from pacer.signal.slowcalls import Worker
from pacer.squad.refusal import Refused
from pacer.squad.register import roster as edit
from pacer.squad.register.squadfolder import SquadFolder, SquadsTrouble
from pacer.squad.squad import called
from pacer.squad.trials import trialwatch as watch
from pacer.squad.trials.trialwatch import Phase, TestSwim

ROWS_SHARE = 0.52  #: share of the width for the swimmers, beside the key to tap


class TestSwimPage(AskingPage):
    """Test swims of lane `lane` (an index) of the current squad; `swims` are those already under way.

    `player` sounds the send-offs, None for silence. `on_close()` is called when the page is closed; bases taken are
    saved by then.
    """

    frame_s = 0

    __test__ = False  # not a pytest class

    def __init__(
        self,
        squads: SquadFolder,
        lane: int,
        day: str,
        *,
        swims: Sequence[TestSwim] = (),
        now_ms: Callable[[], int] = boot_ms,
        wall_ms: Callable[[], int] = wall_ms,
        boot: Callable[[], str] = boot_id,
        player: Starts | None = None,
        latency_ms: int | None = None,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, **kwargs)
        self.squads, self.lane, self.day, self.name = squads, lane, day, squads.current
        self.now_ms, self.wall_ms, self.boot, self.on_close = now_ms, wall_ms, boot, on_close
        self.roster = squads.roster(day)
        swims = tuple(swims)
        self.swim: TestSwim | None = swims[-1] if swims and not swims[-1].is_in else None  #: the current one
        self.swims = swims[:-1] if self.swim else swims  #: the finished ones
        self.left_out: frozenset[int] = frozenset()
        self.marked: int | None = None
        self.board = TapBoard(self.press, self.tapped)
        self._writer = Worker("tests")
        self._starter = None if player is None else Starter(player, latency_ms)
        self._programme = Programme()
        self._shown: object = None
        self._written = bool(swims)
        self._plan_sounds()

    @property
    def told_lane(self):
        """The lane itself."""
        return self.roster.squad.lanes[self.lane]

    @property
    def here(self) -> tuple[int, ...]:
        """Which swimmers of the lane are here."""
        away = self.roster.away
        return tuple(place for place in range(len(self.told_lane.swimmers)) if (self.lane, place) not in away)

    @property
    def running(self) -> bool:
        """Whether a swim is under way: then the page can be left only by its own keys."""
        return self.swim is not None and self.swim.zero_ms is not None and not self.swim.is_in

    def offers(self) -> tuple[watch.Offer, ...]:
        """The bases that the swims give."""
        return watch.offers(self.swims, earlier_trials(self.told_lane)) if self.swims else ()

    # -- each frame ---------------------------------------------------------------------------------------

    def frame(self, _dt: float = 0) -> None:
        """Sound what is due, and show what has changed."""
        now = self.now_ms()
        if self._starter is not None:
            self._starter.update(now, self._programme)
        if self.running and not self.asked and now // 100 != self._shown:
            self._shown = now // 100
            self.lay_page()

    def _plan_sounds(self) -> None:
        """Count down to everybody's send-off."""
        swim = self.swim
        wanted = []
        if swim is not None and swim.zero_ms is not None:
            leaves = [swim.leaves_ms(place) for place in swim.places]
            wanted = [Wanted(ms, SECTION_START if number == 0 else number) for number, ms in enumerate(leaves)]
        self._programme = plan_sounds(wanted)

    # -- what is shown --------------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out, while nothing is asked or swum; of a swim that waits for its start."""
        if self.asked or (self.swim is not None and self.swim.zero_ms is not None):
            return ()
        return (CLOSE,) if self.swim is None else (PageKey("not now", CANCEL),)

    def keys(self) -> Sequence[PageKey]:
        """What there is to do."""
        swim = self.swim
        if self.typing:
            return self.answers()
        if self.asked == "doubt":
            return DOUBTED
        if self.asked == "break":
            return PageKey("broken", tr("Stop the test")), PageKey("leave it", tr("Keep timing"), main=True)
        if swim is None:
            offers = self.offers()
            taken = taken_at_first(offers) - self.left_out
            take = (PageKey("bases", tr("Save the bases"), bool(taken), main=True),) if offers else ()
            drop = (PageKey("forget", tr("Discard these bases")),) if self.swims else ()
            return (*take, PageKey("other", tr("Other distance")), *drop)
        if swim.zero_ms is None:
            return (
                PageKey("soon", tr("Start in 10 s"), main=True),
                PageKey("at top", tr("At next :00")),
            )
        marked: tuple[PageKey, ...] = ()
        if self.marked is not None:
            marked = (
                (PageKey("goes on", tr("Still swimming")),)
                if self.marked in swim.out
                else (PageKey("gave up", tr("Did not finish"), self.marked in swim.coming),)
            )
        back = PageKey("back", tr("Undo a tap"), bool(swim.arrivals))
        if swim.is_in:
            return (
                PageKey("keep", tr("Save the times"), main=True),
                *marked,
                back,
                PageKey("anew", tr("Delete, swim again")),
            )
        return (*marked, back, PageKey("break", tr("Stop")))

    def lay_page(self) -> None:
        """What is asked, what to swim next, or the swim under way."""
        self.show_board(self.board, self.x, self.width, self._tiles())
        self.boards = [self.board]
        self.lay_field()

    def _tiles(self) -> list:
        column = self.column(self.width)
        if self.typing:
            return self.asking_tiles(column)
        if self.asked == "doubt":
            return doubt_tiles(self._doubts(), column)
        if self.asked == "break":
            column.say(tr("Stop the test? Times already taken are kept."), bold=True)
            return column.tiles
        if self.swim is None:
            offers = self.offers()
            return choice_tiles(self.told_lane, self.swims, offers, taken_at_first(offers) - self.left_out, column)
        high = self.top - self.bar.top
        now = watch.moment(self.swim, self.now_ms())
        if self.upright:
            tap_high = max(2 * self.target, 0.34 * high)
            tap = (self.gap, self.gap, self.width - 2 * self.gap, tap_high)
            column.top += tap_high + self.gap
        else:
            column = self.column(ROWS_SHARE * self.width)
            left = ROWS_SHARE * self.width
            tap = (left, self.gap, self.width - left - self.gap, high - 2 * self.gap)
        tiles = swim_tiles(self.told_lane, self.swim, now, self.marked, column)
        return [*tiles, tap_tile(self.told_lane, self.swim, now, tap, self.cap, self.padding)]

    # -- actions ------------------------------------------------------------------------------------------------

    @property
    def current(self) -> TestSwim:
        """The current swim, for what is done with one."""
        assert self.swim is not None, "there is one"
        return self.swim

    def tapped(self) -> None:
        """Somebody has come in, at this instant."""
        now = self.now_ms()
        try:
            self._take(watch.arrived(self.current, now))
        except Refused as wrong:
            self.tell(wrong.message)
        if self.current.is_in:
            self.lay_out()

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        what, _, rest = name.partition(" ")
        if self.press_typing(name):
            return
        try:
            if what in ("swim", "row", "offer") and rest.isdigit():
                getattr(self, f"_press_{what}")(int(rest))
            else:
                self._press_named(name)
        except Refused as wrong:
            self.tell(*wrong.ways)
        self.lay_out()

    def _press_swim(self, distance: int) -> None:
        self._take(watch.new_swim(distance, self.here, self.told_lane.spacing_ms))

    def _press_row(self, place: int) -> None:
        """Mark a swimmer; if another is marked, the two came in the other way round."""
        swim = self.current
        if swim.zero_ms is None:
            return
        marked, self.marked = self.marked, None
        if marked is None:
            self.marked = place
        elif marked != place:
            self._take(watch.swapped(swim, marked, place))

    def _press_offer(self, place: int) -> None:
        self.left_out ^= {place}

    def _press_named(self, name: str) -> None:
        match name:
            case "leave":
                self.leave()
            case "other":
                self.ask_pad(Pad(tr("How far?"), 300, time=False, step=100), self._other)
            case "soon":
                self._take(watch.begun(self.current, self.now_ms() + LEAD_IN_MS))
            case "at top":
                wall = self.wall_ms()
                self._take(
                    watch.begun(self.current, self.now_ms() + -(-(wall + NOTICE_MS) // MINUTE_MS) * MINUTE_MS - wall)
                )
            case "not now" | "anew":
                self._take(None)
            case "back":
                self._take(watch.taken_back(self.current))
            case "gave up" | "goes on":
                made = (watch.gave_up if name == "gave up" else watch.goes_on)(
                    self.current, -1 if self.marked is None else self.marked
                )
                self.marked = None
                self._take(made)
            case "break":
                self.asked = "break"
            case "broken":
                self.asked = ""
                self._keep_swim(watch.broken_off(self.current))
            case "keep":
                self._keep_swim(self.current)
            case "forget":
                self.swims, self.left_out = (), frozenset()
                self._take(None)
            case "bases" if self._doubts():
                self.asked = "doubt"
            case "bases" | "save anyway":
                self.asked = ""
                self._take_bases()
            case "correct":
                self.asked = ""

    def _other(self, distance: int | None) -> bool:
        if distance is None or not 25 <= distance <= 3_000:
            self.tell(tr("enter 25 to 3,000"))
            return False
        self._press_swim(distance)
        return True

    def _take(self, swim: TestSwim | None) -> None:
        """Set the current swim, or none, and save it."""
        self.swim = swim
        if swim is None:
            self.marked = None
        self._plan_sounds()
        if self._starter is not None and swim is None:
            self._starter.clear()
        swims = (*self.swims, swim) if swim is not None else self.swims
        self._written = True
        self._writer.put(lambda: self._write(swims))
        self.lay_out()

    def _keep_swim(self, swim: TestSwim) -> None:
        if swim.arrivals:
            self.swims = (*self.swims, swim)
        self._take(None)

    def _write(self, swims: Sequence[TestSwim]) -> None:
        try:
            self.squads.keep_tests(self.name, self.lane, swims, self.boot())
        except SquadsTrouble as error:
            said = str(error)
            Clock.schedule_once(lambda _dt: self.tell(said), 0)

    def _doubts(self) -> tuple[str, ...]:
        """The doubts about the bases that would be taken, and about whom."""
        return tuple(
            f"{called(self.told_lane.swimmers[offer.place], offer.place)}: {doubt}"
            for offer in self.offers()
            if offer.found is not None and offer.place not in self.left_out
            for doubt in offer.found.doubts
        )

    def _take_bases(self) -> None:
        """Give the new bases to their swimmers; the test swims are finished."""
        roster = self.roster
        for offer in self.offers():
            if offer.found is not None and offer.place not in self.left_out:
                trials = watch.swum_on(self.day, offer.trials) + offer.earlier
                roster = edit.with_tests(roster, self.lane, offer.place, trials)
        try:
            self.squads.keep(self.name, roster, self.day)
        except SquadsTrouble as error:
            self.tell(str(error))
            return
        self.swims = ()
        self._take(None)
        self.leave()

    def leave(self) -> None:
        """Close the page; what was swum so far is saved."""
        self.close_down()
        self.on_close()

    def close_down(self) -> None:
        """Save what is waiting, and stop all sound."""
        if self._starter is not None:
            self._starter.clear()
        self._writer.close(2)
        swims = self.swims if self.swim is None else (*self.swims, self.swim)
        if swims or self._written:
            self._write(swims)

    def step_back(self) -> None:
        """A swim that has not begun, the page; never a swim under way."""
        if self.running:
            self.tell(tr("Stop the test swim first"), tr("stop it first"))
        elif self.swim is not None:
            self.press("keep" if self.swim.is_in else "not now")
        else:
            self.leave()

    def _on_key(self, window, code: int, *rest) -> bool:
        """Space is a tap while somebody is coming in."""
        if (
            code == SPACE
            and self.running
            and not self.asked
            and self.swim is not None
            and watch.moment(self.swim, self.now_ms()).phase is Phase.SWIMMING
        ):
            self.tapped()
            return True
        return super()._on_key(window, code, *rest)
