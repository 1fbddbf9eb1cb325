"""Whom it is about: a swimmer of the chosen lane by place, or the whole lane. No Kivy."""

from __future__ import annotations

from collections.abc import Callable, Hashable

from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.tiles.column import Cell, Column
from pacer.language import tr
from pacer.show.wording.viewtext import nth

CHOOSE = (tr("tap the lane's number"), tr("tap a lane"))
WHOLE = tr("The lane")


def who_ways(place: int | None) -> tuple[str, ...]:
    """A place as named on a key; None is the whole lane."""
    return (WHOLE if place is None else nth(place),)


def swimmer_ways(place: int | None) -> tuple[str, ...]:
    """The same if nothing near it says that a swimmer is meant."""
    return who_ways(place) if place is None else (tr("{nth} swimmer", nth=nth(place)), nth(place))


def place_cells(count: int, chosen: int | None, whole: bool) -> tuple[Cell, ...]:
    """A key for each of `count` swimmers, named `place 0` and so on.

    With `whole`, before them one for the lane, `place lane`.
    """
    lane = (Cell("place lane", who_ways(None), look="lit" if chosen is None else "key"),) if whole else ()
    return (
        *lane,
        *(Cell(f"place {place}", who_ways(place), look="lit" if place == chosen else "key") for place in range(count)),
    )


def place_of(name: str) -> int | None:
    """Whom a key of `place_cells` means."""
    said = name.removeprefix("place ")
    return None if said == "lane" else int(said)


def swimmers_of(deck: Deck, lane: int) -> int:
    """How many swimmers a lane has now."""
    return len(deck.driver.run.timeline.squad.lanes[lane].swimmers)


class LaneLeaf(Leaf):
    """A leaf about one lane, to be chosen first."""

    def note(self) -> tuple[str, ...]:
        """What to do first."""
        return CHOOSE if self.deck.hand is None else ("",)


class PlaceLeaf(LaneLeaf):
    """Choose a swimmer of the chosen lane.

    `take(place)` is called with the choice. With `whole`, the lane itself can be chosen too.
    """

    follows = True

    def __init__(self, deck: Deck, take: Callable[[int | None], None], chosen: int | None, *, whole: bool = False):
        super().__init__(deck)
        self._take, self._chosen, self._whole = take, chosen, whole

    @property
    def title(self) -> str:
        """Of which lane."""
        return tr("Which swimmer, {lane_name}?", lane_name=self.deck.lane_name())

    def stamp(self) -> Hashable:
        """The lane, and how many swim there."""
        hand = self.deck.hand
        return hand, 0 if hand is None else swimmers_of(self.deck, hand)

    def build(self, column: Column, upright: bool) -> None:
        """The swimmers, in leaving order."""
        if self.deck.hand is not None:
            column.keys(
                *place_cells(swimmers_of(self.deck, self.deck.hand), self._chosen, self._whole),
                across=6 if upright else 4,
            )

    def press(self, name: str) -> None:
        """Choose one."""
        self.deck.back()
        self._take(place_of(name))
