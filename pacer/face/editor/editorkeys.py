"""The keys of the bar while a plan is written: what coaches write most, then what changes the text."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.tiles.page import PageKey
from pacer.language import tr
from pacer.show.editing.wordkeys import DIGITS, PREFIX, word_keys


def writing_keys(drills: tuple[str, ...], digits: bool, chosen: bool, can_redo: bool) -> Sequence[PageKey]:
    """All of them; without `digits` if those are among the letters. `chosen`: whether words are selected."""
    keys = [PageKey(key.name, key.label) for key in word_keys(drills)]
    if not digits:
        keys = [key for key in keys if key.name.removeprefix(PREFIX) not in DIGITS]
    return (
        *keys,
        PageKey("cut", tr("Cut"), chosen),  # at their place also with nothing selected: no key moves under a finger
        PageKey("copy", tr("Copy"), chosen),
        PageKey("redo", tr("Redo"), can_redo),
        PageKey("paste", tr("Paste")),
        PageKey("right", tr("Move right")),
        PageKey("left", tr("Move left")),
        PageKey("remark", tr("Comment")),
        PageKey("all", tr("Select all")),
    )
