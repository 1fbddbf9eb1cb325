"""Pages with their meaning as data, and how many of their lines are read otherwise.

`meant/*.json` are invented pages as coaches keep them (common practice, no source), ten in each, written without sight
of the notation. For each line they say what lane 1 swims: its metres, its repeats (`[how many, how far, stroke,
activity]`), its rest and interval in seconds; `also` are other meanings that are right too. Each question gets its
first answer.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pacer.plan.model import Break, FixedInterval, Flexible, Group, Item
from pacer.plan.pasted.understood import Understood, understand
from pacer.plan.text.livepage import LivePage

COLLECTIONS = sorted((Path(__file__).parent / "meant").glob("*.json"))
MOST_ANSWERS = 150
#: Lane 1, or the group that is in it.
LANE_1 = {
    "lane 1", "A", "a", "fast lane", "fast lanes", "fast group", "Fast", "1", "fastest lane", "top", "fast", "Varsity",
    "Group-1sts",
}  # fmt: skip
NOT_LANE_1 = {"all but lane 1", "all but A", "all but fast lanes"}


@dataclass
class Swum:
    """What lane 1 swims on a line."""

    metres: int = 0
    repeats: list[tuple[int, str, str]] = field(default_factory=list)  #: how far, stroke, activity
    rests: list[float] = field(default_factory=list)
    intervals: list[float | None] = field(default_factory=list)
    all_far: list[int] = field(default_factory=list)  #: how far each repeat of all rounds is


@dataclass(frozen=True)
class Wrong:
    """A line that is read otherwise: what was written and meant, what is wrong, whether it was asked about."""

    page: str
    written: str
    meant: str
    why: str
    asked: bool


def settled(page: dict[str, Any]) -> tuple[Understood, set[int]]:
    """What a page becomes with the first answer to every question, and the lines that were asked about."""
    pool = "25 yd" if page.get("unit") == "yd" else f"{page.get('pool_m', 25)} m"
    found, asked = understand(page["text"], pool=pool), set()
    for _ in range(MOST_ANSWERS):
        asked |= {line.number for line in found.lines if line.question}
        if not found.questions:
            break
        found = found.answered(found.questions[0], 0)
    return found, asked


def wrong_lines(path: Path) -> tuple[int, list[Wrong]]:
    """The number of lines of a collection, and those that are read otherwise."""
    count, wrong = 0, []
    for page in json.loads(path.read_text(encoding="utf-8")):
        found, asked = settled(page)
        swum, written = _swum(found), [line.strip() for line in page["text"].split("\n")]
        for line in page["lines"]:
            if line["kind"] == "title":
                continue
            count += 1
            number, text = line["n"], line["text"].strip()
            if text in written and (number > len(written) or written[number - 1] != text):
                number = written.index(text) + 1
            why = min((differences(each, swum[number]) for each in (line, *line.get("also", []))), key=len)
            if why:
                wrong.append(Wrong(page["page"], text, line["meaning"], "; ".join(why), number in asked))
    return count, wrong


def _swum(found: Understood) -> dict[int, Swum]:
    """What lane 1 swims, by the lines of the page."""
    lines = [(row.number, line) for row in found.rows for line in row.plan]
    plan = LivePage(found.gear).read([line for _, line in lines]).plan
    made: dict[int, Swum] = defaultdict(Swum)
    for section in plan.sections if plan else ():
        for item, often in _items(section.items, _first(section.rounds)):
            _add(made[lines[item.span.line - 1][0] if item.span else 0], item, often)
    return made


def _items(items: tuple[Item, ...], often: int) -> Iterator[tuple[Any, int]]:
    """The sets and breaks of lane 1, and how often each is swum."""
    for item in items:
        if not _of_lane_1(item.groups):
            continue
        if isinstance(item, Group):
            yield from _items(item.items, often * _first(item.rounds))
        else:
            yield item, often


def _of_lane_1(groups: tuple[str, ...]) -> bool:
    if groups and groups[0].startswith("all but "):
        return not NOT_LANE_1 & {*groups}
    return not groups or bool(LANE_1 & {*groups})


def _first(by_lane: Any) -> Any:
    if isinstance(by_lane, Flexible):
        return by_lane.most
    return by_lane.entries[0] if by_lane else 0


def _add(swum: Swum, item: Any, often: int) -> None:
    if isinstance(item, Break):
        swum.rests.append(item.rest_ms.entries[0] / 1000)
        return
    far = list(item.ladder) if item.ladder else [_first(item.distance)] * _first(item.count)
    swum.metres += often * sum(far)
    swum.all_far += often * far
    for place, each in enumerate(far, start=1):
        work = item.pattern.part_of(place).segments[0].work
        swum.repeats.append((each, str(work.stroke or "choice"), str(work.activity)))
    if item.rest_ms:
        swum.rests.append(_first(item.rest_ms) / 1000)
    if item.interval:
        first = item.interval.entries[0][0]
        swum.intervals.append(first.interval_ms / 1000 if isinstance(first, FixedInterval) else None)


def differences(meant: dict[str, Any], swum: Swum) -> list[str]:
    """How what lane 1 swims differs from a meaning; [] if it does not."""
    found = []
    if meant.get("metres_lane1", 0) != swum.metres:
        found.append(f"metres {swum.metres} for {meant.get('metres_lane1', 0)}")
    repeats = [tuple(each[1:4]) for each in meant.get("repeats_lane1") or [] for _ in range(int(each[0]))]
    far = [each[0] for each in swum.repeats]
    meant_far = [each[0] for each in repeats]
    if sorted(meant_far) == sorted(swum.all_far) and meant_far != far:  # each round is written out
        pass
    elif sum(meant_far) != sum(far) and not meant.get("rounds"):
        found.append(f"repeats {far[:12]}")
    elif len(repeats) == len(far):
        orders = [repeats, *([_turned(repeats, swum.repeats)] if len({*far}) == 1 else [])]
        others = (next(filter(None, map(_other_work, order, swum.repeats)), []) for order in orders)
        found += min(others, key=len)
    elif len({*meant_far}) > 1 or len({*far}) > 1 or meant_far and far and meant_far[0] != far[0]:
        found.append(f"repeats {far[:12]}")
    if (rest := meant.get("rest_s")) is not None and rest not in swum.rests:
        found.append(f"rest {swum.rests} for {rest}")
    interval = meant.get("interval_s")
    interval = (interval or [None])[0] if isinstance(interval, list) else interval
    if interval is not None and interval not in swum.intervals:
        found.append(f"interval {swum.intervals} for {interval}")
    return found


def _turned(repeats: list[tuple[Any, ...]], swum: list[tuple[int, str, str]]) -> list[tuple[Any, ...]]:
    """Repeats in the order in which they are swum: the data only say how many there are of each."""
    left, made = [*repeats], []
    for own in swum:
        made.append(next((each for each in left if not _other_work(each, own)), left[0]))
        left.remove(made[-1])
    return made


def _other_work(meant: tuple[Any, ...], swum: tuple[int, str, str]) -> list[str]:
    """Whether a repeat is another work than meant; a drill may be a swim or a scull, and no stroke may be free."""
    if len(meant) < 3:
        return []
    stroke, activity = (meant[1] or "").lower(), meant[2] or "swim"
    own_stroke, own_activity = swum[1].lower(), swum[2]
    if activity != own_activity and not {activity, own_activity} <= {"drill", "swim"} | ({"scull"} - {activity}):
        return [f"activity {own_activity} for {activity}"]
    alike = not stroke or stroke == own_stroke or {stroke, own_stroke} <= {"free", "choice"} or "im" in own_stroke
    return [] if alike else [f"stroke {own_stroke} for {stroke}"]
