"""A squad without the names of its swimmers."""

from __future__ import annotations

from dataclasses import replace

from pacer.plan.problem import Unreadable
from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.squadwriter import write_squad


def without_names(squad_text: str) -> str:
    """A squad's text with all swimmers and no names; "" if it cannot be read."""
    try:
        squad = read_squad(squad_text)
    except Unreadable:
        return ""
    lanes = tuple(
        replace(lane, swimmers=tuple(replace(swimmer, name="") for swimmer in lane.swimmers)) for lane in squad.lanes
    )
    return write_squad(replace(squad, lanes=lanes))
