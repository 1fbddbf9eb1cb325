"""What is printed without `--names`: also in a title, a cue or a drill, a swimmer's name is "…"."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from pacer.review.exports.knownnames import known_names
from pacer.review.exports.tabletarchive import texts_of
from pacer.session.storage.savedsession import KeptSession
from pacer.session.storage.store import Store

Printed = Callable[[str], str]  #: a text as it is printed


def printed_here(store: Store, names: bool, kept: Iterable[KeptSession] = ()) -> Printed:
    """How to print a text that a coach wrote: as it is if `names`, else without the names that this device knows.

    Those are the names of its squads, those of the sessions too, and of everybody in `kept`. Raises StoreTrouble.
    """
    if names:
        return str
    squads = texts_of(Path(store.folder)).squads
    swam = {str(number): text for number, text in enumerate(store.squads())}
    return known_names((squads.shown, squads.hidden, swam), kept).masked


def masked_json(value: Any, printed: Printed) -> Any:
    """A JSON value with every text in it as it is printed; keys stay."""
    if isinstance(value, str):
        return printed(value)
    if isinstance(value, dict):
        return {key: masked_json(one, printed) for key, one in value.items()}
    return [masked_json(one, printed) for one in value] if isinstance(value, list | tuple) else value
