"""How the keyboard focus moves through a page: each place is a board, or a bar, with keys of its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol


class Place(Protocol):
    """Something with keys. `focus` is the name of the key that Enter presses, "" if the focus is elsewhere."""

    focus: str

    def step_focus(self, step: int) -> bool:
        """Move to the next key, or the one before; False if there is none."""


def next_name(names: Sequence[str], focus: str, step: int) -> str:
    """The key after `focus` (`step` 1) or before it (-1); the first or last if none has the focus; "" at the end."""
    place = names.index(focus) + step if focus in names else 0 if step > 0 else len(names) - 1
    return names[place] if 0 <= place < len(names) else ""


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
