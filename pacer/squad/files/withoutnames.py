"""A squad without the names of its swimmers, a drill book without its comments, which may have some."""

from __future__ import annotations

from dataclasses import replace

from pacer.plan.problem import Unreadable
from pacer.squad.files.drillreader import read_drills
from pacer.squad.files.drillwriter import write_drill
from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.squad import Squad


def nameless(squad: Squad) -> Squad:
    """The squad without anybody's name."""
    lanes = tuple(
        replace(lane, swimmers=tuple(replace(swimmer, name="") for swimmer in lane.swimmers)) for lane in squad.lanes
    )
    return replace(squad, lanes=lanes)


def without_names(squad_text: str) -> str:
    """A squad's text with all swimmers and no names; "" if it cannot be read."""
    try:
        squad = read_squad(squad_text)
    except Unreadable:
        return ""
    return write_squad(nameless(squad))


def drills_without_comments(book_text: str) -> str:
    """A drill book's text without its comments; as it is if it has none."""
    if "#" not in book_text:
        return book_text
    try:
        return "\n".join(map(write_drill, read_drills(book_text).drills))
    except Unreadable:
        return ""
