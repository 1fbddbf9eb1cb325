"""Which view is shown, which lane is chosen, and the way back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pacer.face.window.notices import Notices
from pacer.show.drive.driver import Driver

if TYPE_CHECKING:
    from pacer.face.deck.ondeck import OnDeck


class ViewChoice:
    """Mixed into the shell, which has all of these.

    `mode` is the chosen view: pool, lane or dial; `lane` the one that the lane view shows.
    """

    driver: Driver
    notices: Notices
    mode: str
    lane: int
    hand: int | None  #: the chosen lane in the pool view: the sheet is for it
    on_deck: OnDeck | None
    views: dict[str, Any]

    @property
    def deck(self) -> OnDeck:
        """What the coach does during the session."""
        raise NotImplementedError

    @property
    def sheet(self) -> Any:
        """The sheet beside the view, None if there is none."""
        return None if self.on_deck is None else self.on_deck.sheet

    def _lanes(self) -> tuple[int, ...] | None:
        """The lanes that the keys on the bar are for: in the lane view that lane, else all."""
        return (self.lane,) if self.mode == "lane" and len(self.driver.run.timeline.tracks) > 1 else None

    def chosen(self) -> int | None:
        """The lane that the sheet is for, None for all."""
        return self.lane if self.mode == "lane" else self.hand

    @property
    def seen(self) -> str:
        """The view in sight: half a screen is too little for a dial, so the pool is beside a sheet."""
        return "pool" if self.mode == "dial" and self.sheet is not None else self.mode

    def show_view(self, mode: str) -> None:
        """Show the session in another view; the dial over the whole screen."""
        if mode == "dial" and self.sheet is not None:
            self.deck.put_away()
        self.mode = "lane" if mode == "pool" and len(self.driver.run.timeline.tracks) == 1 else mode

    def back(self) -> bool:
        """One step towards the pool view; returns whether there was one. A page to confirm stays."""
        if self.notices.notice is not None:
            if self.notices.key.name != "close":
                return False
            self.notices.leave()
        elif self.sheet is not None:
            self.deck.back()
        elif self.mode != "pool" and len(self.driver.run.timeline.tracks) > 1:
            self.show_view("pool")
        else:
            return False
        return True

    def choose_lane(self, index: int) -> None:
        """Choose a lane.

        The sheet shows what can be done with it; choosing it again closes the sheet. If no session is running it gets
        the full screen.
        """
        if not 0 <= index < len(self.driver.run.timeline.tracks):
            return
        if self.mode == "lane":
            self.lane = index
        elif (
            self.on_deck is not None
            and self.sheet is not None
            and not self.driver.running
            and self.on_deck.asks_about(index)
        ):
            return
        elif self.driver.at_ms() is None or self.driver.ended:
            self.fill(index)
        elif index == self.hand:
            self.deck.put_away()
        else:
            self.take_in_hand(index)
            self.deck.show_lane()

    def take_in_hand(self, lane: int | None) -> None:
        """Make this lane the sheet's from now on, None for all of them."""
        self.hand = lane
        self.frame_lane(lane)

    def frame_lane(self, lane: int | None) -> None:
        """Frame a lane in the pool view; None: no lane."""
        if "pool" in self.views:
            self.views["pool"].chosen = -1 if lane is None else lane

    def fill(self, lane: int) -> None:
        """Show one lane on the full screen."""
        self.take_in_hand(None)
        self.mode, self.lane = "lane", lane


def talking(view) -> bool:
    """Whether everybody who has still to swim waits for the next section."""
    states = {band.text.state for band in view.bands} - {"done"}
    return states == {"talk"}
