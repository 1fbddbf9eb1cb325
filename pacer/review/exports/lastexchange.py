"""What a tablet had when it last exported or imported, so that a later change or new name is known as one.

Also which of its texts are other versions that came from another tablet, and on which day; what the files of its
plans were called when they were new, by which a calendar knows a plan again; and where plans are from.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Collection, Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from pacer.disk import write_whole
from pacer.plan.filetext import text_from_bytes
from pacer.review.exports.archivecontent import BARE, KINDS, SUFFIXES, TabletTexts
from pacer.review.exports.textcounts import Count, Remembered, ShownText, TextKey, Texts, name_key, remembered
from pacer.shippedfiles import PLANS, SQUADS

EXCHANGED = "exchanged.json"
_FORMAT = 1


def remember(
    folder: Path,
    texts: TabletTexts,
    came: Mapping[str, Iterable[str]] | None = None,
    day: str = "",
    renamed: Mapping[str, str] | None = None,
    new: Iterable[str] = (),
) -> None:
    """Remember what the tablet has. Raises OSError.

    `came`: by kind, the names of other versions that came from another tablet on `day` (`2026-03-22`). `renamed`: the
    new names of plans' files. `new`: plans that came on that day.
    """
    days = came_on(folder)
    for kind, mine in zip(KINDS, texts):
        kept = {name: on for name, on in days[kind].items() if name in mine.shown or name in mine.hidden}
        days[kind] = kept | dict.fromkeys((came or {}).get(kind, ()), day)
    first, froms = _first(folder), plans_from(folder)
    for old, name in (renamed or {}).items():
        first[name] = _known_by(first, old)
        froms |= {name: froms[old]} if old in froms else {}
    froms |= {name: PlanFrom("", day) for name in new}
    there = {*texts.plans.shown, *texts.plans.hidden}
    first = {name: was for name, was in first.items() if name in there}
    froms = {name: one for name, one in froms.items() if name in there}
    _write(folder, {kind: remembered(mine, bare) for kind, bare, mine in zip(KINDS, BARE, texts)}, days, first, froms)


class PlanFrom(NamedTuple):
    """Where a plan is from: `after` which session or plan it was drafted, or on which `day` it came from elsewhere."""

    after: str
    day: str


def plans_from(folder: Path) -> dict[str, PlanFrom]:
    """Where plans are from, by the names of their files, as far as that is known."""
    with contextlib.suppress(OSError, ValueError, TypeError, KeyError, AttributeError):
        told = json.loads((folder / EXCHANGED).read_bytes())["from"]
        return {str(name): PlanFrom(str(after), str(day)) for name, (after, day) in told.items()}
    return {}


def drafted_plan(folder: Path, name: str, after: str) -> None:
    """Remember after which session or plan a plan was drafted. Raises OSError."""
    froms = plans_from(folder) | {name: PlanFrom(after, "")}
    _write(folder, recall(folder), came_on(folder), _first(folder), froms)


def came_on(folder: Path) -> dict[str, dict[str, str]]:
    """By kind, the names of other versions that came from another tablet, each with its day ("" if not known)."""
    with contextlib.suppress(OSError, ValueError, TypeError, KeyError, AttributeError):
        told = json.loads((folder / EXCHANGED).read_bytes())["came"]
        return {kind: {str(name): str(day) for name, day in told.get(kind, {}).items()} for kind in KINDS}
    return {kind: {} for kind in KINDS}


def renamed_plan(folder: Path, old: str, new: str) -> None:
    """Remember that a plan's file has another name: on other tablets too, and in calendars. Raises OSError."""
    if old == new:
        return
    was, days, first = dict(recall(folder)), came_on(folder), _first(folder)
    shown = dict(was["plans"].shown)
    if old in shown:
        shown[new] = shown.pop(old)
        was["plans"] = Remembered(shown, was["plans"].hidden, was["plans"].counts)
    if old in days["plans"]:
        days["plans"][new] = days["plans"].pop(old)
    first[new] = _known_by(first, old)
    first.pop(old, None)
    froms = plans_from(folder)
    if old in froms:
        froms[new] = froms.pop(old)
    _write(folder, was, days, first, froms)


def plans_known_by(folder: Path, names: Collection[str]) -> dict[str, str]:
    """By which name each plan's file is known for good: the one that it had first, no two the same."""
    first = {name: was for name, was in _first(folder).items() if name in names}
    for name in sorted(set(names) - first.keys()):
        first[name] = _known_by(first, name)
    return first


def _known_by(first: Mapping[str, str], name: str) -> str:
    """What a file is known by; with a number if another one, which has a new name, had its name before."""
    if name in first:
        return first[name]
    known, number = name_key(name), 2
    while known in first.values():
        known, number = f"{name_key(name)} {number}", number + 1
    return known


def _first(folder: Path) -> dict[str, str]:
    """What the files of renamed plans were called first."""
    with contextlib.suppress(OSError, ValueError, TypeError, KeyError, AttributeError):
        told = json.loads((folder / EXCHANGED).read_bytes())["first"]
        return {str(name): str(was) for name, was in told.items()}
    return {}


def recall(folder: Path) -> dict[str, Remembered]:
    """What was remembered, by kind; nothing if that can't be read.

    Before the first time, it is what every tablet starts with, so that a changed demo replaces an unchanged one.
    """
    if not (folder / EXCHANGED).exists():
        return _at_the_start()
    with contextlib.suppress(OSError, ValueError, TypeError, KeyError, AttributeError):
        told = json.loads((folder / EXCHANGED).read_bytes())
        if told["format"] == _FORMAT:
            return {kind: _recalled(told[kind]) for kind in KINDS}
    return {kind: Remembered() for kind in KINDS}


@cache
def _at_the_start() -> dict[str, Remembered]:
    """The demo plans and squads; no tablet starts with a drill book of its own."""
    made = {}
    for kind, bare, folder, suffix in zip(KINDS, BARE, (PLANS, SQUADS, None), SUFFIXES.values()):
        paths = sorted(folder.glob(f"*{suffix}")) if folder else ()
        made[kind] = remembered(Texts({path.stem: text_from_bytes(path.read_bytes()) for path in paths}), bare)
    return made


def _recalled(told: dict[str, Any]) -> Remembered:
    return Remembered(
        {
            str(file): ShownText(TextKey(str(name), str(mark)), str(whole))
            for file, (name, mark, whole) in told["files"].items()
        },
        [TextKey(str(name), str(mark)) for name, mark in told["hidden"]],
        {
            TextKey(str(name), str(mark)): Count(int(state), int(words), str(now))
            for name, mark, state, words, now in told["counts"]
        },
    )


def _write(
    folder: Path,
    every: dict[str, Remembered],
    days: Mapping[str, Mapping[str, str]],
    first: Mapping[str, str],
    froms: Mapping[str, PlanFrom],
) -> None:
    made: dict[str, Any] = {"format": _FORMAT, "came": days, "first": first, "from": froms}
    for kind, was in every.items():
        made[kind] = {
            "files": {file: [*one.key, one.whole] for file, one in sorted(was.shown.items())},
            "hidden": sorted(map(list, was.hidden)),
            "counts": [[*key, *count] for key, count in sorted(was.counts.items())],
        }
    write_whole(folder / EXCHANGED, (json.dumps(made, ensure_ascii=False, indent=1) + "\n").encode())
