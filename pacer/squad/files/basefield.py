"""The base pace of a lane or a swimmer, as a file states it: written out, or as test swims."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from pacer.plan.model import Unit
from pacer.squad.files.document import Table
from pacer.squad.pace import pace_from_text
from pacer.squad.refusal import Refused
from pacer.squad.squad import Lane, Pace, Swimmer
from pacer.squad.trials.endurance import DEFAULT_EXPONENT, LEAST_EXPONENT, MOST_EXPONENT
from pacer.squad.trials.testset import trial_from_text
from pacer.squad.trials.testswims import FoundBase, base_from_tests


def has_base(table: Table) -> bool:
    """Whether a lane or swimmer says its pace, rightly or wrongly."""
    return "base" in table or "tests" in table


def base_and_tests(table: Table, exponent: Decimal) -> tuple[Pace | None, FoundBase | None]:
    """The base pace that a lane or swimmer says or swam, None where there is none or a wrong one.

    And what the test swims came to.
    """
    base = table.parsed("base", "1:18", pace_from_text)
    if "tests" not in table:
        return base, None
    if "base" in table:
        table.problem(
            "tests", "a pace is written or found from test swims, not both", "leave base out, or tests", at_key=True
        )
    found = _found_base(table, exponent)
    return (found.pace if found else None), found


def _found_base(table: Table, exponent: Decimal) -> FoundBase | None:
    """What the table's `tests` come to; None where something is wrong with them."""
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
                "a test swim is a distance and its time",
                '"400" = "5:40", or for a timed swim "30 min" = "2400 m"',
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
    """The file's `endurance`: the exponent for a base from one race."""
    return root.decimal("endurance", LEAST_EXPONENT, MOST_EXPONENT, 4) or DEFAULT_EXPONENT


def slowest_pace(paces: Iterable[Pace]) -> Pace:
    """The slowest pace, the first such. Raises Refused if only some of them say of which unit they are.

    >>> slowest_pace([Pace(78_000), Pace(80_000)])
    Pace(ms=80000, unit=None)
    """
    paces = tuple(paces)
    if len({pace.unit is None for pace in paces}) > 1:
        raise Refused(
            "some paces say /100 m or /100 yd and some do not", "write the unit with all of them or with none"
        )
    return max(paces, key=lambda pace: pace.per_100(Unit.METRE))


def slowest_of(swimmers: Iterable[Swimmer]) -> Pace | None:
    """The base of the slowest swimmer; None where nobody is there, or only some say of which unit theirs is."""
    try:
        return slowest_pace(swimmer.base for swimmer in swimmers)
    except ValueError:
        return None


def follows_slowest(lane: Lane) -> bool:
    """Whether a lane goes by its slowest swimmer, having no base that those without one of their own would go by."""
    return not lane.tests and all(swimmer.own for swimmer in lane.swimmers) and lane.base == slowest_of(lane.swimmers)
