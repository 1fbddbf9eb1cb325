"""The part of the office about who swims: the squad, the head count before the start, test swims."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from pacer.face.office.officepart import OfficePart
from pacer.show.measure.legibility import WET


class OfficeSquad(OfficePart):
    """Pages of the squad; Close leads back to where each was opened from."""

    def squad(self, then: Callable[[], None] | None = None, lane: int | None = None) -> None:
        """The squad, or one lane of it; afterwards home, or what `then` shows."""
        from pacer.face.pages.squadpage import SquadPage

        self.show(
            SquadPage(
                self.squads,
                self.clocks.day(),
                self.settings.pool,
                lane=lane,
                on_test=lambda tested: self.test(tested, then=lambda: self.squad(then, lane)),
                on_close=lambda _roster: (then or self.home)(),
                **self.looks,
            )
        )

    def heads(self, then: Callable[[], None]) -> None:
        """Head count before the start; it is saved with the session begun next. Afterwards what `then` shows."""
        from pacer.face.pages.headcountpage import HeadCountPage

        def count(heads: int) -> None:
            self._counted = heads
            then()

        self.show(
            HeadCountPage(
                self.squads,
                self.clocks.day(),
                self._counted,
                on_count=count,
                on_close=then,
                on_lane=lambda lane: self.squad(lambda: self.heads(then), lane),
                **self.looks,
            )
        )

    def test(self, lane: int, swims: Sequence = (), then: Callable[[], None] | None = None) -> None:
        """Test swims of a lane."""
        from pacer.face.pages.testswimpage import TestSwimPage

        looks = {**self.looks, "glass": replace(self.looks["glass"], hands=WET)}  # they are taken on deck
        self.show(
            TestSwimPage(
                self.squads,
                lane,
                self.clocks.day(),
                swims=swims,
                now_ms=self.clocks.boot,
                wall_ms=self.clocks.wall,
                boot=self.clocks.started,
                player=self.player,
                latency_ms=self.settings.latency_ms,
                on_close=then or self.home,
                **looks,
            )
        )

    def _tests_under_way(self) -> bool:
        found = self.squads.tests(self.clocks.started())
        return found is not None and found[2][-1].zero_ms is not None and not found[2][-1].is_in

    def go_on_testing(self) -> None:
        """Continue test swims where they were left."""
        found = self.squads.tests(self.clocks.started())
        if found is None:
            self.home()
            return
        name, lane, swims = found
        self.squads.choose(name)
        self.test(lane, swims)
