"""Write a squad in its standard form, which reads back as the same squad."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from pacer.plan.decimals import half_up, short_decimal
from pacer.plan.times import text_from_ms
from pacer.squad.factors import DECIMALS
from pacer.squad.files.basefield import follows_slowest
from pacer.squad.files.tomlsyntax import quoted
from pacer.squad.pace import text_from_pace
from pacer.squad.refusal import Refused
from pacer.squad.squad import DEFAULT_SPACING_MS, Lane, Squad, Swimmer, Trial
from pacer.squad.trials.basefromtrials import TIMED_SWIM_MS, base_from_tests


def write_squad(squad: Squad) -> str:
    """TOML that `read_squad` reads as an equal squad.

    A pace from test swims is written as those test swims. Other paces are rounded to the nearest
    millisecond and factors to six decimal places, halves up. Rounding changes nothing in a squad that
    was read from a file, except a base from one race if the file set its own exponent. A lane's base is
    left out if it is its slowest swimmer's. `assumed` is not written.
    """
    blocks = []
    head = [f"name = {quoted(squad.name)}"] if squad.name else []
    if squad.gear:
        head.append(f"gear = [{', '.join(map(quoted, squad.gear))}]")
    if head:
        blocks.append(head)
    for place, lane in enumerate(squad.lanes, 1):
        blocks += _lane(lane, place)
    own = {name: squad.factors[name] for name in squad.efforts}
    if factors := {name: factor for name, factor in squad.factors.items() if name not in own}:
        blocks.append(["[factors]", *_factors(factors)])
    if own:
        blocks.append(["[efforts]", *_factors(own)])
    return "\n\n".join("\n".join(rows) for rows in blocks) + "\n"


def _lane(lane: Lane, place: int) -> list[list[str]]:
    rows = ["[[lane]]"]
    if lane.number != place:
        rows.append(f"number = {lane.number}")
    if lane.group is not None:
        rows.append(f"group = {quoted(lane.group)}")
    alike = all(one.base == lane.base and not one.name and not one.tests and not one.factors for one in lane.swimmers)
    follows = not alike and follows_slowest(lane)
    if not follows:
        rows.append(_base(lane))
    if alike and len(lane.swimmers) > 1:
        rows.append(f"swimmers = {len(lane.swimmers)}")
    if lane.spacing_ms != DEFAULT_SPACING_MS:
        rows.append(f"spacing = {quoted(text_from_ms(lane.spacing_ms))}")
    if lane.rounds is not None:
        rows.append(f"rounds = {lane.rounds}")
    blocks = [rows]
    if lane.factors:
        blocks.append(["[lane.factors]", *_factors(lane.factors)])
    for swimmer in () if alike else lane.swimmers:
        name = [f"name = {quoted(swimmer.name)}"] if swimmer.name else []
        own = [_base(swimmer)] if swimmer.own or swimmer.base != lane.base else []
        blocks.append(["[[lane.swimmer]]", *name, *own])
        if swimmer.factors:
            blocks[-1] += ["  " + row for row in ("[lane.swimmer.factors]", *_factors(swimmer.factors))]
    return blocks[:1] + [["  " + row for row in rows] for rows in blocks[1:]]


def _base(of: Lane | Swimmer) -> str:
    """The pace as test swims if reading them gives the same pace, otherwise as a base."""
    if of.tests:
        try:
            found = base_from_tests(of.tests).pace
        except Refused:
            found = None
        if found == of.base:
            return f"tests = {{ {', '.join(map(_trial, of.tests))} }}"
    return f"base = {quoted(text_from_pace(of.base))}"


def _trial(trial: Trial) -> str:
    unit = f" {trial.unit}" if trial.unit else ""
    distance = short_decimal(Fraction(trial.distance), 2) + unit
    day = f" on {trial.day}" if trial.day else ""
    if trial.time_ms == TIMED_SWIM_MS:
        return f'"30 min" = "{distance}{day}"'
    return f'"{distance}" = "{text_from_ms(trial.time_ms)}{day}"'


def _factors(factors: Mapping[str, Fraction]) -> list[str]:
    return [
        f"{name if name.isascii() and name.isalpha() else quoted(name)} = {_decimal(factor)}"
        for name, factor in factors.items()
    ]


def _decimal(factor: Fraction) -> str:
    whole, part = divmod(half_up(factor * 10**DECIMALS), 10**DECIMALS)
    return f"{whole}.{part:0{DECIMALS}d}".rstrip("0").rstrip(".")
