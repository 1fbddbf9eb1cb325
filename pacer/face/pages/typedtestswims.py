"""One swimmer's test swims typed in, and the base they give before it is taken."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.pages.squadchangepage import SquadActs
from pacer.face.pages.squadtiles import pace_said
from pacer.face.pages.testswimtiles import DOUBTED, doubt_tiles
from pacer.face.tiles.board import Tile
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.numberpad import Pad, pad_tiles, pressed
from pacer.face.tiles.page import PageKey
from pacer.language import tr
from pacer.plan.times import text_from_ms
from pacer.show.wording.commonkeys import CANCEL, SAVE
from pacer.squad.refusal import Refused
from pacer.squad.register import roster as edit
from pacer.squad.squad import Trial, called
from pacer.squad.trials.basefromtrials import TIMED_SWIM_MS, FoundBase, base_from_tests

DISTANCES = (100, 200, 400, 800, 1500, 3000)


class TypedTests:
    """The trials of the swimmer that `page` is about; `trials` are those already there."""

    def __init__(self, page: SquadActs, trials: Sequence[Trial]):
        self.page = page
        self.trials = {trial.distance: trial for trial in trials if trial.time_ms != TIMED_SWIM_MS}
        self.pad: Pad | None = None
        self.distance = 0
        self.doubts: tuple[str, ...] = ()  #: to ask about before the base is taken

    def found(self) -> tuple[FoundBase | None, str]:
        """The base they give, or why they give none."""
        try:
            return base_from_tests(self.trials.values()), ""
        except Refused as wrong:
            return None, f"{wrong.message}: {wrong.hint}" if wrong.hint else wrong.message

    def keys(self) -> Sequence[PageKey]:
        """What can be done with them."""
        if self.pad is not None:
            return PageKey("take time", SAVE, not self.pad.wrong, main=True), PageKey("leave time", CANCEL)
        if self.doubts:
            return DOUBTED
        return (PageKey("take base", tr("Save the base"), self.found()[0] is not None, main=True),)

    def pinned(self) -> Sequence[PageKey]:
        """The way out of the trials."""
        return () if self.pad is not None or self.doubts else (PageKey("leave it", CANCEL),)

    def tiles(self, column: Column, upright: bool) -> list[Tile]:
        """The trials and the base they give; or the pad for a time."""
        if self.pad is not None:
            column.room = self.page.room_for_pad
            return pad_tiles(self.pad, column, upright)
        if self.doubts:
            return doubt_tiles(self.doubts, column)
        page = self.page
        swimmer = page.roster.squad.lanes[page.at].swimmers[page.swimmer]
        column.say(tr("Test swims of {called}, each all out", called=called(swimmer, page.swimmer)), bold=True, most=2)
        column.skip(0.3)
        cells = []
        for distance in sorted({*DISTANCES, *self.trials}):
            trial = self.trials.get(distance)
            cells.append(
                Cell(
                    f"distance {distance}",
                    (text_from_ms(trial.time_ms) if trial else "–",),
                    label=(str(distance),),
                    look="lit" if trial else "key",
                )
            )
        column.grid(cells, 3)
        found, refused = self.found() if self.trials else (None, "")
        if found is not None:
            column.say(
                tr("Base {pace} per 100, confidence: {trust}", pace=pace_said(found.pace)[0], trust=found.trust.said),
                bold=True,
            )
            for advice in found.advice:
                column.say(advice)
        else:
            column.say(refused or tr("Tap a distance and type its time."), colour="warn" if refused else "dim")
        return column.tiles

    def press(self, name: str) -> bool:
        """Do what a tile or key is for; False if it is neither."""
        what, _, rest = name.partition(" ")
        if what == "pad" and self.pad is not None:
            self.pad = pressed(self.pad, rest)
        elif what == "distance":
            self.distance = int(rest)
            trial = self.trials.get(self.distance)
            self.pad = Pad(
                tr("Time for the {rest}? Leave empty to delete", rest=rest),
                trial.time_ms if trial else None,
                empty=True,
            )
        elif name == "take time":
            self._take_time()
        elif name == "leave time":
            self.pad = None
        elif name == "take base":
            found, _ = self.found()
            self.doubts = found.doubts if found is not None else ()
            if not self.doubts:
                self._take_base()
        elif name == "save anyway":
            self._take_base()
        elif name == "correct":
            self.doubts = ()
        else:
            return False
        return True

    def _take_time(self) -> None:
        pad = self.pad
        if pad is None or pad.wrong:
            self.page.tell("" if pad is None else pad.wrong)
            return
        time_ms = pad.number
        if time_ms is None:
            self.trials.pop(self.distance, None)
        else:
            unit = next((trial.unit for trial in self.trials.values()), None)
            self.trials[self.distance] = Trial(self.distance, time_ms, unit, self.page.day)
        self.pad = None

    def _take_base(self) -> None:
        page, trials = self.page, tuple(self.trials.values())
        if page.change(lambda roster: edit.with_tests(roster, page.at, page.swimmer, trials)):
            page.asked = "swimmer"
