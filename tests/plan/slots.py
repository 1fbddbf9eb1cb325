"""Single sets made from tables of words, with the meaning that a coach gives them.

`slots.toml` has the words for each slot: work, effort, gear, interval or rest, a note. `lines` combines them in the
usual orders with the usual marks between them; `differences` says how a reading differs from what was meant. Each
question gets its first answer.
"""

from __future__ import annotations

import random
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pacer.plan.model import Break, FixedInterval, Flexible, Group, SetLine
from pacer.plan.pasted.understood import understand
from pacer.plan.text.livepage import LivePage

WORDS: dict[str, Any] = tomllib.loads((Path(__file__).parent / "slots.toml").read_text(encoding="utf-8"))
ORDERS = [
    *[("work", "effort", "gear", "time", "note")] * 3,
    *[("work", "effort", "time", "gear", "note")] * 2,
    ("time", "work", "effort", "gear", "note"),
    ("effort", "work", "time", "gear", "note"),
    ("work", "gear", "note", "effort", "time"),
    ("work", "note", "time", "effort", "gear"),
]
POOL = 25
MOST_ANSWERS = 10
#: Kicks and cues that are drills just as well.
KICKED = ("vertical", "side kick", "superman", "6 kick", "kick switch")


@dataclass(frozen=True)
class Meant:
    """What a set means; `gear_too` is gear that its words may have besides."""

    often: int
    far: int
    activity: str = "swim"
    stroke: str = ""
    effort: str = ""
    gear: frozenset[str] = frozenset()
    rest: int | None = None
    on: int | None = None
    also: frozenset[str] = frozenset()  #: other activities that are right


@dataclass(frozen=True)
class Line:
    """A line as written, what it means, and the words of its slots."""

    written: str
    meant: Meant
    slots: dict[str, str]


def lines(count: int, seed: int) -> Iterator[Line]:
    """So many lines; the same for the same seed."""
    draw = random.Random(seed)
    for _ in range(count):
        yield _line(draw)


def _line(draw: random.Random) -> Line:
    far = draw.choice([25, 50, 50, 100, 100, 75, 200, 150, 300])
    often = draw.choice([2, 3, 4] if far >= 200 else [2, 3, 4, 4, 5, 6, 8, 8, 10, 12])
    meant, slots = Meant(often, far), dict[str, str]()
    if draw.random() < 0.85:
        slots["work"], meant = _work(draw, meant)
    if draw.random() < 0.2:
        effort, slots["effort"] = _pick(draw, "efforts")
        meant = replace(meant, effort=effort)
    if draw.random() < 0.25:
        gear, slots["gear"] = _pick(draw, "gear")
        meant = replace(meant, gear=frozenset(gear.split()))
        meant = replace(meant, also=meant.also | ({"pull"} if "buoy" in gear else set()))
    if draw.random() < 0.75:
        slots["time"], meant = _time(draw, meant)
    if draw.random() < 0.2:
        slots["note"] = draw.choice(WORDS["notes"]["said"])
    return Line(_written(draw, meant, slots), meant, slots)


def _pick(draw: random.Random, table: str) -> tuple[str, str]:
    """A meaning of a table, and one way to write it."""
    meaning = draw.choice([*WORDS[table]])
    return meaning, draw.choice(WORDS[table][meaning])


def _work(draw: random.Random, meant: Meant) -> tuple[str, Meant]:
    """A stroke, an activity, both, a kind of kick, or a drill with or without a stroke."""
    stroke, said = _pick(draw, "strokes")
    activity, doing = _pick(draw, "activities")
    kind = draw.random()
    if kind < 0.25:
        return said, replace(meant, stroke=stroke)
    if kind < 0.5:
        words = f"{said} {doing}" if draw.random() < 0.6 else f"{doing} {said}"
        return words, replace(meant, activity=activity, stroke=stroke)
    if kind < 0.65:
        return doing, replace(meant, activity=activity)
    if kind < 0.8:
        kicked, words = _pick(draw, "kinds")
        activity, _, stroke = kicked.partition(" ")
        return words, replace(meant, activity=activity, stroke=stroke)
    _, drill = _pick(draw, "drills")
    also = frozenset({"kick"} if any(each in drill for each in KICKED) else {"swim"})
    meant = replace(meant, activity="drill", also=also)
    if kind < 0.93 or stroke in ("IM", "choice"):
        return drill, meant
    return (f"{drill} {said}" if draw.random() < 0.5 else f"{said} {drill}"), replace(meant, stroke=stroke)


def _time(draw: random.Random, meant: Meant) -> tuple[str, Meant]:
    """A rest or an interval."""
    if draw.random() < 0.45:
        if draw.random() < 0.1:
            return draw.choice(WORDS["rests"]["minute"]), replace(meant, rest=60)
        seconds = draw.choice([10, 15, 20, 30, 45, 5])
        return draw.choice(WORDS["rests"]["seconds"]).format(s=seconds), replace(meant, rest=seconds)
    if meant.far == 50 and draw.random() < 0.25:
        return draw.choice(WORDS["intervals"]["minute"]), replace(meant, on=60)
    seconds = draw.choice([35, 40, 45] if meant.far == 25 else [meant.far, meant.far + 10, 6 * meant.far // 5])
    seconds -= seconds % 5
    ways = WORDS["intervals"]["seconds" if seconds < 60 else "minutes"]
    minutes, left = divmod(seconds, 60)
    text = draw.choice(ways).format(s=seconds, c=f"{minutes}:{left:02d}", d=f"{minutes}.{left:02d}")
    return text, replace(meant, on=seconds)


def _written(draw: random.Random, meant: Meant, slots: dict[str, str]) -> str:
    head = draw.choice(WORDS["heads"])
    if "{lengths}" in head and meant.far not in (50, 75, 100, 150, 200):
        head = "{n} x {far}"
    text = head.format(n=meant.often, far=meant.far, lengths=meant.far // POOL)
    order = [slot for slot in draw.choice(ORDERS) if slot in slots]
    if order and order[0] == "work" and draw.random() < 0.08:
        text, order = f"{slots['work'].capitalize()}: {text}", order[1:]
    mark = draw.choice(WORDS["separators"])
    for place, slot in enumerate(order):
        joint = " " if slot in ("work", "effort") and not place and draw.random() < 0.8 else mark
        words = slots[slot]
        if slot == "work" and draw.random() < 0.08:
            words = f"({words})"
        if slot == "note":
            joint = draw.choice([", ", " - ", ", ", " (", ", "])
            words += ")" if joint == " (" else ""
        text += joint + words
    return text


def read(written: str) -> tuple[list[tuple[Any, int]], bool]:
    """The sets and breaks that a line becomes with the first answers, each with how often; whether it was asked."""
    page, asked = understand(f"{POOL}m pool\nMain\n  {written}"), False
    for _ in range(MOST_ANSWERS):
        if not page.questions:
            break
        page, asked = page.answered(page.questions[0], 0), True
    plan = LivePage(page.gear).read([line for row in page.rows for line in row.plan]).plan
    sections = plan.sections if plan else ()
    return [each for section in sections for each in _items(section.items, first_of(section.rounds))], asked


def _items(items: tuple[Any, ...], often: int) -> Iterator[tuple[Any, int]]:
    for item in items:
        if isinstance(item, Group):
            yield from _items(item.items, often * first_of(item.rounds))
        else:
            yield item, often


def first_of(by_lane: Any) -> Any:
    """The value for the first lane, or the greatest that it can have; 1 for none."""
    return by_lane.most if isinstance(by_lane, Flexible) else by_lane.entries[0] if by_lane else 1


def differences(items: list[tuple[Any, int]], meant: Meant) -> list[str]:
    """How the sets that a line has become differ from its meaning; [] if they don't."""
    sets = [item for item, often in items if isinstance(item, SetLine) and often == 1]
    if len(sets) != 1 or len(items) != 1:
        return [f"{len(items)} sets: {sum(isinstance(item, Break) for item, _ in items)} of them breaks"]
    one, found = sets[0], []
    if one.ladder or (first_of(one.count), first_of(one.distance)) != (meant.often, meant.far):
        return [f"{first_of(one.count)} x {first_of(one.distance)}"]
    rest = first_of(one.rest_ms) // 1000 if one.rest_ms else None
    first = one.interval.entries[0][0] if one.interval else None
    on = first.interval_ms // 1000 if isinstance(first, FixedInterval) else first
    gear = frozenset(one.gear)
    for name, got, wanted in (("rest", rest, meant.rest), ("on", on, meant.on), ("gear", gear, meant.gear)):
        found += [f"{name} {got} for {wanted}"] * (got != wanted)
    for place in range(1, meant.often + 1):
        segments = one.pattern.part_of(place).segments
        if len(segments) != 1:
            return [*found, f"repeat {place} in {len(segments)} parts"]
        if other := _other_work(segments[0].work, meant):
            return [*found, *other]
    return found


def _other_work(work: Any, meant: Meant) -> list[str]:
    activity, stroke, effort = (str(each or "") for each in (work.activity, work.stroke, work.effort))
    found = []
    if activity != meant.activity and activity not in meant.also:
        found.append(f"{activity} for {meant.activity}")
    plain = {stroke, meant.stroke} <= {"", "free", "choice"} and (meant.stroke != "choice" or stroke != "free")
    if stroke != meant.stroke and not plain:
        found.append(f"{stroke or 'no stroke'} for {meant.stroke or 'no stroke'}")
    if effort != meant.effort:
        found.append(f"{effort or 'no effort'} for {meant.effort or 'no effort'}")
    return found
