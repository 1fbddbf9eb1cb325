"""How the keyboard focus moves through a page: each place is a board, or a bar, with keys of its own."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import Protocol, TypeVar


class Place(Protocol):
    """Something with keys. `focus` is the name of the key that Enter presses, "" if the focus is elsewhere."""

    focus: str

    def step_focus(self, step: int) -> bool:
        """Move to the next key, or the one before; False if there is none."""


def next_name(names: Sequence[str], focus: str, step: int) -> str:
    """The key after `focus` (`step` 1) or before it (-1); the first or last if none has the focus; "" at the end."""
    place = names.index(focus) + step if focus in names else 0 if step > 0 else len(names) - 1
    return names[place] if 0 <= place < len(names) else ""


class Lying(Protocol):
    """Something with a place on its board: `top` counts down from the upper edge."""

    @property
    def x(self) -> float:
        """Its left edge."""

    @property
    def top(self) -> float:
        """Its upper edge."""

    @property
    def width(self) -> float:
        """Its width."""

    @property
    def height(self) -> float:
        """Its height."""


L = TypeVar("L", bound=Lying)


def nearest(here: Lying, others: Sequence[L], across: int, down: int) -> L | None:
    """The nearest in a direction, `across` or `down` by 1 or -1; None if there is none."""

    def far(other: Lying) -> float:
        dx = other.x + other.width / 2 - here.x - here.width / 2
        dy = other.top + other.height / 2 - here.top - here.height / 2
        along, beside = (dx * across, abs(dy)) if across else (dy * down, abs(dx))
        return along + 3 * beside if along > 1 else inf

    found = min(others, key=far, default=None)
    return found if found is not None and far(found) < inf else None


def step(places: Sequence[Place], step: int) -> None:
    """Tab: move to the next key of all places, and from the last to the first; `step` -1 for the one before."""
    if not places:
        return
    here = next((number for number, place in enumerate(places) if place.focus), None)
    if here is None:
        there = 0 if step > 0 else len(places) - 1
    elif places[here].step_focus(step):
        return
    else:
        there = here + step
    places[there % len(places)].step_focus(step)
