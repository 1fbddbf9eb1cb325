"""Sets whose repeats differ, made from the tables of patterns in `slots.toml`, with what each repeat means."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pacer.plan.model import SetLine
from tests.plan.slots import WORDS, first_of

#: Ways to write a time, and its rest and interval in seconds.
TIMES = [
    ("", None, None), (" on 1:00", None, 60), (", on 1.00", None, 60), (" @ 1:00", None, 60), (" 15s rest", 15, None),
    (" RI 15", 15, None), (", 15 secs rest", 15, None), (" off 60", None, 60), (" +15", 15, None),
]  # fmt: skip
PLAIN = ("swim", "", "")
Kind = tuple[str, ...]  #: activity, stroke, effort


@dataclass(frozen=True)
class Varied:
    """A line as written, how far each repeat is, the work of the equal parts of each, rest and interval in seconds."""

    written: str
    far: int
    repeats: tuple[tuple[Kind, ...], ...]
    rest: int | None
    on: int | None


def varied(count: int, seed: int) -> Iterator[Varied]:
    """So many lines; the same for the same seed."""
    draw = random.Random(seed)
    for _ in range(count):
        yield _line(draw)


def _line(draw: random.Random) -> Varied:
    pattern = draw.choice(["turns", "halves", "parts", "parts", "some", "last"])
    far, often = draw.choice([50, 50, 100]), draw.choice([6, 8] if pattern in ("some", "last") else [4, 6, 8, 12])
    one, a = _work(draw)
    other, b = _work(draw)
    while other == one or pattern in ("some", "last") and other[1]:
        other, b = _work(draw)
    said = draw.choice(WORDS["patterns"][pattern])
    if said.startswith(("1st", "first 25")):
        far = 50
    repeats = {
        "turns": [(one,), (other,)] * (often // 2),
        "halves": [(one,)] * (often // 2) + [(other,)] * (often // 2),
        "parts": [(one, other) * (far // 50)] * often,
        "some": [(other if place in (3, 6) else PLAIN,) for place in range(1, often + 1)],
        "last": [(PLAIN,)] * (often - 2) + [(other,)] * 2,
    }[pattern]
    said = said.format(a=a, b=b, n=often, h=often // 2, h1=often // 2 + 1)
    time, rest, on = draw.choice(TIMES)
    mark = draw.choice([" ", " ", ", ", " - "])
    written = f"{often} x {far}{mark}{said}{time}" if draw.random() < 0.7 else f"{often} x {far}{time}, {said}"
    return Varied(written, far, tuple(repeats), rest, on)


def _work(draw: random.Random) -> tuple[Kind, str]:
    kind = draw.choice([*WORDS["kinds_of_repeats"]])
    return tuple("" if each == "-" else each for each in kind.split()), draw.choice(WORDS["kinds_of_repeats"][kind])


def varies(items: list[tuple[Any, int]], meant: Varied) -> str:
    """How the sets that a line has become differ from its meaning; "" if they don't."""
    one = items[0][0] if items else None
    if len(items) != 1 or items[0][1] != 1 or not isinstance(one, SetLine) or one.ladder:
        return f"{len(items)} sets"
    if (first_of(one.count), first_of(one.distance)) != (len(meant.repeats), meant.far):
        return f"{first_of(one.count)} x {first_of(one.distance)}"
    rest = first_of(one.rest_ms) // 1000 if one.rest_ms else None
    on = one.interval.entries[0][0].interval_ms // 1000 if one.interval else None
    if (rest, on) != (meant.rest, meant.on):
        return f"rest {rest}, on {on} for {meant.rest}, {meant.on}"
    for place, parts in enumerate(meant.repeats, start=1):
        segments = one.pattern.part_of(place).segments
        filled = [segments[at % len(segments)] for at in range(len(parts) if len(segments) > 1 else 1)]
        if len(filled) > 1 and any(each.distance * len(parts) != meant.far for each in filled):
            return f"repeat {place}: parts of {[each.distance for each in filled]}"
        for part, segment in zip(parts, filled * (len(parts) // len(filled))):
            if other := _other(segment.work, part):
                return f"repeat {place}: {other}"
    return ""


def _other(work: Any, meant: Kind) -> str:
    activity, stroke, effort = (str(each or "") for each in (work.activity, work.stroke, work.effort))
    alike = stroke == meant[1] or {stroke, meant[1]} <= {"", "free"}
    return "" if alike and (activity, effort) == (meant[0], meant[2]) else f"{activity} {stroke} {effort} for {meant}"
