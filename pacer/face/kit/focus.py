"""A keyboard's focus on its way through the places of a page: each is a board, or a bar, with keys of its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol


class Place(Protocol):
    """Something with keys. `focus` is the name of the one that return presses, "" where it is elsewhere."""

    focus: str

    def step_focus(self, step: int) -> bool:
        """Go to the next key, or the one before; False where there is none."""


def step(places: Sequence[Place], step: int) -> None:
    """Tab: the next key of all places, and round again; `step` -1 for the one before."""
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
