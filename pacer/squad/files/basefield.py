"""The base pace of a lane or a swimmer in a file: either a pace or test swims."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from pacer.language import tr
from pacer.plan.model import Unit
from pacer.squad.files.tomldocument import Table
from pacer.squad.pace import pace_from_text
from pacer.squad.refusal import Refused
from pacer.squad.squad import Lane, Pace, Swimmer
from pacer.squad.trials.basefromtrials import FoundBase, base_from_tests
from pacer.squad.trials.endurance import DEFAULT_EXPONENT, LEAST_EXPONENT, MOST_EXPONENT
from pacer.squad.trials.trial import trial_from_text


def has_base(table: Table) -> bool:
    """Whether a lane or swimmer has an entry for its pace, correct or not."""
    return "base" in table or "tests" in table


def base_and_tests(table: Table, exponent: Decimal) -> tuple[Pace | None, FoundBase | None]:
    """The base pace of a lane or swimmer (None if it is missing or wrong), and the result of its test swims."""
    base = table.parsed("base", "1:18", pace_from_text)
    if "tests" not in table:
        return base, None
    if "base" in table:
        table.problem(
            "tests",
            tr("give either a base pace or test swims, not both"),
            tr("delete base, or delete tests"),
            at_key=True,
        )
    found = _found_base(table, exponent)
    return (found.pace if found else None), found


def _found_base(table: Table, exponent: Decimal) -> FoundBase | None:
    """The base that the table's `tests` give; None if something is wrong with them."""
    tests = table.table("tests", 'tests = { "200" = "2:40", "400" = "5:40" }')
    if tests is None:
        return None
    trials = []
    for swum, result in tests.values.items():
        if tests.given(swum) is None:
            continue
        if isinstance(result, int) and not isinstance(result, bool):
            result = str(result)
        if not isinstance(result, str):
            tests.problem(
                swum,
                tr("a test swim needs a distance and a time"),
                tr('write "400" = "5:40", or for a timed swim "30 min" = "2400 m"'),
            )
            continue
        try:
            trials.append(trial_from_text(swum, result))
        except Refused as wrong:
            tests.problem(swum, wrong.message, wrong.hint)
    if len(trials) < len(tests.values):
        return None
    try:
        return base_from_tests(trials, exponent=exponent)
    except Refused as wrong:
        table.problem("tests", wrong.message, wrong.hint)
        return None


def exponent_of(root: Table) -> Decimal:
    """The file's `endurance`: the exponent used to work out a base from one race."""
    return root.decimal("endurance", LEAST_EXPONENT, MOST_EXPONENT, 4) or DEFAULT_EXPONENT


def mixed_units() -> Refused:
    """Some paces name a unit, others do not."""
    return Refused(
        tr("some paces say /100 m or /100 yd and some do not"), tr("write the unit with all paces or with none")
    )


def slowest_pace(paces: Iterable[Pace]) -> Pace:
    """The slowest pace, the first if several are equal. Raises Refused if only some of them name a unit.

    >>> slowest_pace([Pace(78_000), Pace(80_000)])
    Pace(ms=80000, unit=None)
    """
    paces = tuple(paces)
    if len({pace.unit is None for pace in paces}) > 1:
        raise mixed_units()
    return max(paces, key=lambda pace: pace.per_100(Unit.METRE))


def slowest_of(swimmers: Iterable[Swimmer]) -> Pace | None:
    """The base of the slowest swimmer; None if there are no swimmers, or only some of their paces name a unit."""
    try:
        return slowest_pace(swimmer.base for swimmer in swimmers)
    except ValueError:
        return None


def follows_slowest(lane: Lane) -> bool:
    """Whether a lane's base is its slowest swimmer's: every swimmer has their own base, and the lane has no tests."""
    return not lane.tests and all(swimmer.own for swimmer in lane.swimmers) and lane.base == slowest_of(lane.swimmers)
