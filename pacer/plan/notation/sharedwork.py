"""Work that a shorthand names once for all its parts: `back drill / swim`, `easy kick / swim`, `kick fast / easy`."""

from __future__ import annotations

from dataclasses import replace

from pacer.plan.cutting.token import Token, kinds_of
from pacer.plan.model import Work


def shared_stroke(works: list[Work], tokens: list[list[Token]]) -> list[Work]:
    """The works of a shorthand: a stroke that is given once, before the first or after the last, applies to all.

    It applies if its own part names an activity: `back drill / swim`, `kick / swim breast`, not `back / drill`.
    """
    strokes = [[token for token in part if token.type == "STROKE"] for part in tokens]
    if sum(map(len, strokes)) != 1:
        return works
    at = next(place for place, found in enumerate(strokes) if found)
    kinds = [token.type for token in tokens[at] if token.type != "NOTE"]
    first = at == 0 and kinds[0] == "STROKE" and "ACTIVITY" in kinds
    last = (
        at == len(works) - 1
        and "ACTIVITY" in kinds[: kinds.index("STROKE")]
        and "ACTIVITY" not in kinds[kinds.index("STROKE") :]
    )
    if not (first or last):
        return works
    return [replace(work, stroke=work.stroke or strokes[at][0].value) for work in works]


def shared_activity(works: list[Work], tokens: list[list[Token]]) -> list[Work]:
    """The works of a shorthand: the first activity is that of parts that say only an effort too: `kick fast / easy`."""
    kinds = [{token.type for token in part if token.type != "NOTE"} for part in tokens]
    if not {"ACTIVITY", "EFFORT"} <= kinds[0] or any(own != {"EFFORT"} for own in kinds[1:]):
        return works
    first = works[0]
    return [replace(work, activity=first.activity, stroke=first.stroke, name=first.name) for work in works]


def shared_effort(works: list[Work], tokens: list[list[Token]]) -> list[Work]:
    """The works of a shorthand: an effort that is given once, before the other words of the first, applies to all."""
    efforts = [[token for token in part if token.type == "EFFORT"] for part in tokens]
    first = [token.type for token in tokens[0] if token.type != "NOTE"]
    if sum(map(len, efforts)) != 1 or len(first) < 2 or first[0] != "EFFORT":
        return works
    return [replace(work, effort=work.effort or efforts[0][0].value) for work in works]


def with_activity(names: list[str], works: list[Work], tokens: list[list[Token]]) -> list[str]:
    """The parts of a shorthand as written, each with its activity if it shares that of the first."""
    return [
        name if work.activity is None or "ACTIVITY" in kinds_of(own) else f"{work.activity} {name}"
        for name, work, own in zip(names, works, tokens)
    ]
