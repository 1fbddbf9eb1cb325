"""A squad in its one written form, which reads back as the same squad."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from pacer.plan.times import text_from_ms
from pacer.squad.factors import DECIMALS
from pacer.squad.model import Lane, Squad
from pacer.squad.pace import text_from_pace
from pacer.squad.reading import DEFAULT_SPACING_MS


def write_squad(squad: Squad) -> str:
    """TOML that `read_squad` reads as an equal squad.

    Paces are rounded to the nearest millisecond and factors to six decimal places, halves
    up; a squad that was read from a file has none that this changes, but for paces from
    `tests`, which are written as the base they came to. `assumed` is not written.
    """
    blocks = []
    head = [f"name = {_quoted(squad.name)}"] if squad.name else []
    if squad.gear:
        head.append(f"gear = [{', '.join(map(_quoted, squad.gear))}]")
    if head:
        blocks.append(head)
    for place, lane in enumerate(squad.lanes, 1):
        blocks += _lane(lane, place)
    if squad.factors:
        blocks.append(["[factors]", *_factors(squad.factors)])
    return "\n\n".join("\n".join(rows) for rows in blocks) + "\n"


def _lane(lane: Lane, place: int) -> list[list[str]]:
    rows = ["[[lane]]"]
    if lane.number != place:
        rows.append(f"number = {lane.number}")
    if lane.group is not None:
        rows.append(f"group = {_quoted(lane.group)}")
    rows.append(f"base = {_quoted(text_from_pace(lane.base))}")
    alike = all(swimmer.base == lane.base and not swimmer.name for swimmer in lane.swimmers)
    if alike and len(lane.swimmers) > 1:
        rows.append(f"swimmers = {len(lane.swimmers)}")
    if lane.spacing_ms != DEFAULT_SPACING_MS:
        rows.append(f"spacing = {_quoted(text_from_ms(lane.spacing_ms))}")
    if lane.rounds is not None:
        rows.append(f"rounds = {lane.rounds}")
    blocks = [rows]
    if lane.factors:
        blocks.append(["[lane.factors]", *_factors(lane.factors)])
    for swimmer in () if alike else lane.swimmers:
        name = [f"name = {_quoted(swimmer.name)}"] if swimmer.name else []
        own = [] if swimmer.base == lane.base else [f"base = {_quoted(text_from_pace(swimmer.base))}"]
        blocks.append(["[[lane.swimmer]]", *name, *own])
    return blocks[:1] + [["  " + row for row in rows] for rows in blocks[1:]]


def _factors(factors: Mapping[str, Fraction]) -> list[str]:
    return [
        f"{name if name.isascii() and name.isalpha() else _quoted(name)} = {_decimal(factor)}"
        for name, factor in factors.items()
    ]


def _decimal(factor: Fraction) -> str:
    whole, part = divmod((2 * factor * 10**DECIMALS + 1) // 2, 10**DECIMALS)
    return f"{whole}.{part:0{DECIMALS}d}".rstrip("0").rstrip(".")


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
