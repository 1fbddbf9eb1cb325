"""Read a squad file: TOML to a `Squad`, or a list of everything that is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from pacer.language import tr
from pacer.plan.filetext import text_from_bytes
from pacer.plan.model import GEAR, MAX_REPEATS
from pacer.plan.problem import Unreadable
from pacer.plan.words.labels import WORK_LETTERS
from pacer.plan.words.vocabulary import EFFORTS_SAID, LINE_WORDS, SECTION_WORDS
from pacer.squad.factors import DECIMALS, LEAST_FACTOR, MOST_FACTOR, factor_name
from pacer.squad.files.basefield import base_and_tests, exponent_of, has_base, slowest_pace
from pacer.squad.files.tomldocument import Document, Table
from pacer.squad.refusal import Refused, shown
from pacer.squad.squad import (
    DEFAULT_SPACING_MS,
    LEAST_SPACING_MS,
    MAX_GEAR,
    MAX_LANE_NUMBER,
    MAX_LANES,
    MAX_SWIMMERS,
    MOST_SPACING_MS,
    Lane,
    Pace,
    Squad,
    Swimmer,
    numbered,
    too_many,
)

#: Words of the plan's notation; they cannot be the name of a group or of a piece of gear.
NOTATION = frozenset(["x", *GEAR, *LINE_WORDS, *SECTION_WORDS, *" ".join([*LINE_WORDS, *SECTION_WORDS]).split()])

_WORD = re.compile(r"(?!.{21})[^\W\d_]\w*(?:-\w+)*")


def squad_from_bytes(data: bytes) -> Squad:
    """The squad in a file. Raises Unreadable with every problem."""
    return read_squad(text_from_bytes(data, "squad"))


def read_squad(text: str) -> Squad:
    """The squad that a TOML text describes. Raises Unreadable with every problem.

    >>> read_squad('[[lane]]\\nbase = "1:18"\\nswimmers = 5').lanes[0].base
    Pace(ms=78000, unit=None)
    """
    document = Document(text)
    squad = _squad(document.root)
    if document.problems:
        raise Unreadable(document.problems)
    assert squad is not None
    return squad


def _squad(root: Table) -> Squad | None:
    hints = {
        "swimmer": tr("swimmers belong to a lane: write [[lane.swimmer]] below its [[lane]]"),
        "base": tr("a pace belongs to a lane: write it below [[lane]]"),
        "rounds": tr("rounds belong to a lane: write them below [[lane]]"),
    }
    root.known(tr("a squad"), ("name", "spacing", "gear", "endurance", "lane", "factors", "efforts"), hints)
    name = root.text("name", tr("Thursday squad"))
    spacing = root.time_ms("spacing", LEAST_SPACING_MS, MOST_SPACING_MS) or DEFAULT_SPACING_MS
    gear = _gear(root)
    exponent = exponent_of(root)
    efforts = _efforts(root)
    factors = MappingProxyType({**_factors(root, tr("[factors]"), gear), **efforts})
    lanes = [
        _lane(table, place, spacing, gear, exponent)
        for place, table in enumerate(root.tables("lane", tr("[[lane]]")), 1)
    ]
    if "lane" not in root or root.values["lane"] == []:
        root.problem(
            None, tr("the squad has no lanes"), tr('start a lane with [[lane]] and give it a base: base = "1:18"')
        )
    if len(lanes) > MAX_LANES:
        root.problem(
            "lane", tr("{lanes} lanes are too many; the limit is {max_lanes}", lanes=len(lanes), max_lanes=MAX_LANES)
        )
    numbers: set[int] = set()
    for index, lane in enumerate(lanes):
        if lane and lane.number in numbers:
            root.document.problem(
                ("lane", index, "number"),
                tr("two lanes have the number {number}", number=lane.number),
                tr("give each lane its own number, or none"),
            )
        elif lane:
            numbers.add(lane.number)
    swimmers = sum(len(lane.swimmers) for lane in lanes if lane)
    if swimmers > MAX_SWIMMERS:
        root.problem(
            "lane",
            too_many(swimmers),
        )
    if root.document.problems:
        return None
    read = tuple(lane for lane in lanes if lane is not None)
    assert len(read) == len(lanes)
    return numbered(Squad(read, name or "", factors, gear, efforts=tuple(efforts)))


def _lane(table: Table, place: int, squad_spacing_ms: int, gear: tuple[str, ...], exponent: Decimal) -> Lane | None:
    hints = {"name": tr("only swimmers have names; a lane has a number and a group")}
    keys = ("number", "group", "base", "tests", "swimmers", "spacing", "rounds", "swimmer", "factors")
    table.known(tr("a lane"), keys, hints)
    number = table.whole("number", 0, MAX_LANE_NUMBER)
    group = table.parsed("group", "A", group_from_text)
    rounds = table.whole("rounds", 0, MAX_REPEATS)
    spacing = table.time_ms("spacing", LEAST_SPACING_MS, MOST_SPACING_MS)
    factors = _factors(table, tr("[lane.factors]"), gear)
    base, found = base_and_tests(table, exponent)
    swimmers = _swimmers(table, base, exponent, gear)
    if base is None and swimmers:
        try:
            base = slowest_pace(swimmer.base for swimmer in swimmers)
        except Refused as wrong:
            table.problem("swimmer", wrong.message, tr("{hint}, or give the lane a base", hint=wrong.hint))
    if base is None or not swimmers:
        return None
    return Lane(
        place if number is None else number,
        base,
        swimmers,
        spacing or squad_spacing_ms,
        group,
        rounds,
        factors,
        found.trials if found else (),
    )


def _swimmers(lane: Table, base: Pace | None, exponent: Decimal, gear: tuple[str, ...]) -> tuple[Swimmer, ...]:
    """The lane's swimmers in leaving order; () if something about them is wrong."""
    count = lane.whole("swimmers", 1, MAX_SWIMMERS)
    if "swimmer" in lane and "swimmers" in lane:
        lane.problem(
            "swimmers",
            tr("a lane has either swimmers = … or [[lane.swimmer]], not both"),
            tr("delete this number"),
            at_key=True,
        )
    if "swimmer" not in lane:
        if base is None and not has_base(lane):
            lane.problem(None, tr("the lane has no base pace"), tr('for example: base = "1:18"'))
        return (Swimmer(base, own=False),) * (count or 1) if base else ()
    if lane.values["swimmer"] == []:
        lane.problem(
            "swimmer",
            tr("the lane has no swimmers"),
            tr("delete the line: the lane then has one swimmer, at its base pace"),
        )
        return ()
    if isinstance(lane.values["swimmer"], int):
        lane.problem(
            "swimmer",
            tr("the number of swimmers is written swimmers = 5"),
            tr("write that, or [[lane.swimmer]] for each of them"),
            at_key=True,
        )
        return ()
    swimmers: list[Swimmer] = []
    for entry in lane.tables("swimmer", tr("[[lane.swimmer]]")):
        entry.known(tr("a swimmer"), ("name", "base", "tests", "factors"))
        name = entry.text("name", tr("Kit")) or ""
        factors = _factors(entry, tr("[lane.swimmer.factors]"), gear)
        swims, found = base_and_tests(entry, exponent)
        if not has_base(entry):
            swims = base
            if base is None and not has_base(lane):
                entry.problem(
                    None, tr("neither the swimmer nor the lane has a base pace"), tr('for example: base = "1:18"')
                )
        if swims:
            swimmers.append(Swimmer(swims, name, found.trials if found else (), has_base(entry), factors))
    return tuple(swimmers)


def _factors(table: Table, header: str, gear: tuple[str, ...]) -> Mapping[str, Fraction]:
    found: dict[str, Fraction] = {}
    entries = table.table("factors", header)
    if entries is None:
        return MappingProxyType(found)
    for key in entries.values:
        try:
            name = factor_name(key, gear)
        except Refused as wrong:
            entries.problem(key, f"“{shown(key)}”: {wrong.message}", wrong.hint, at_key=True)
            continue
        value = entries.decimal(key, LEAST_FACTOR, MOST_FACTOR, DECIMALS)
        if name in found:
            entries.problem(key, tr("{name} is given twice", name=name), tr("keep one"), at_key=True)
        if value is not None:
            found[name] = Fraction(value)
    return MappingProxyType(found)


def _efforts(root: Table) -> dict[str, Fraction]:
    """The squad's own words for efforts, with their factors."""
    found: dict[str, Fraction] = {}
    entries = root.table("efforts", tr("[efforts]"))
    if entries is None:
        return found
    for key in entries.values:
        word = " ".join(key.casefold().split())
        taken = word in NOTATION and word not in EFFORTS_SAID
        if not _WORD.fullmatch(word) or len(word) < 2 or taken:
            entries.problem(
                key,
                tr("“{key}” is a word of the plan's notation", key=shown(key))
                if taken
                else tr("“{key}” is not one word", key=shown(key)),
                tr("for example: cruise = 1.03"),
                at_key=True,
            )
            continue
        value = entries.decimal(key, LEAST_FACTOR, MOST_FACTOR, DECIMALS)
        if value is not None:
            found[word] = Fraction(value)
    return found


def _gear(root: Table) -> tuple[str, ...]:
    words = root.given("gear")
    if words is None:
        return ()
    if not isinstance(words, list) or not all(isinstance(word, str) for word in words):
        root.problem("gear", tr("gear must be a list of words"), tr('for example: gear = ["bands"]'))
        return ()
    found: list[str] = []
    for index, word in enumerate(words[:MAX_GEAR]):
        try:
            found.append(_gear_word(word, found))
        except Refused as wrong:
            root.document.problem(("gear", index), wrong.message, wrong.hint)
    if len(words) > MAX_GEAR:
        root.problem(
            "gear", tr("{words} words are too many; the limit is {max_gear}", words=len(words), max_gear=MAX_GEAR)
        )
    return tuple(found)


def _gear_word(text: str, known: list[str]) -> str:
    name = " ".join(text.lower().split())
    parts = name.split()
    if name in GEAR or name in known:
        raise Refused(tr("pacer already knows {name}", name=name), tr("delete it here"))
    if not 1 <= len(parts) <= 2 or not all(map(_WORD.fullmatch, parts)):
        raise Refused(tr("gear is one or two words, each beginning with a letter"), tr('for example: gear = ["bands"]'))
    if taken := [part for part in parts if part in NOTATION]:
        raise Refused(tr("“{taken}” is a word of the plan's notation", taken=taken[0]), tr("call it something else"))
    return name


def group_from_text(text: str) -> str:
    """A group's label. Raises Refused if a plan could read it as something else."""
    if not _WORD.fullmatch(text):
        raise Refused(tr("a group is one word that begins with a letter"), tr("for example A, B, C or juniors"))
    letter = len(text) == 1 and text.isupper() and text not in ("X", *WORK_LETTERS)  # D is a group
    if text.lower() in NOTATION and not letter:
        raise Refused(
            tr("“{text}” is a word of the plan's notation", text=text),
            tr("call the group something else, such as A, B or C"),
        )
    return text
