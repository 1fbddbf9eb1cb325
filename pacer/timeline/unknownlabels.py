"""Findings for sets with labels of groups or lanes that the squad does not have."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.language import either, tr
from pacer.plan.model import ALL_BUT, Item, lane_label
from pacer.squad.squad import Lane
from pacer.timeline.findings import Finding, Remedy, Severity

#: Lanes and groups named by their speed: their index in the squad, which goes from fast to slow.
_SPEEDS = {"fast": 0, "slow": -1}


def nobodys(item: Item, lanes: Sequence[Lane]) -> list[Finding]:
    """Findings for an item of groups or lanes that the squad does not have: nobody would swim it."""
    borne = {lane.group for lane in lanes} | {lane_label(lane.number) for lane in lanes}
    but = ALL_BUT if item.groups and item.groups[0].startswith(ALL_BUT) else ""
    unknown = [group for group in (each.removeprefix(but) for each in item.groups) if group not in borne]
    if not unknown:
        return []
    said = [group if group.startswith("lane ") else tr("group {group}", group=group) for group in unknown]
    groups = ", ".join(own := list(dict.fromkeys(lane.group for lane in lanes if lane.group)))
    return [
        Finding(
            Severity.STOPS,
            item.span.line if item.span else None,
            (),
            tr("the squad has no {groups}: all would swim this", groups=either(said))
            if but
            else tr("the squad has no {groups}: nobody would swim this", groups=either(said)),
            tr("write one of its groups ({groups}), or delete the label", groups=groups)
            if groups
            else tr("delete the label, or give the lanes a Group in the squad"),
            _labels_instead(item, unknown, own, lanes, but),
        )
    ]


def _labels_instead(
    item: Item, unknown: Sequence[str], groups: Sequence[str], lanes: Sequence[Lane], but: str
) -> tuple[Remedy, ...]:
    """Other labels for an item whose groups the squad does not have, the likeliest first; `but` is before each."""
    known = [group for group in (each.removeprefix(but) for each in item.groups) if group not in unknown]
    ends = groups or [lane_label(lane.number) for lane in lanes]
    by_speed = [ends[place] for word, place in _SPEEDS.items() if ends and unknown[0].casefold().startswith(word)]
    named = [] if by_speed else list(groups)
    ways = [Remedy("label", but + ", ".join(known))] if known else [Remedy("label", but + group) for group in by_speed]
    if len(unknown[0]) > 1 and not by_speed and not unknown[0].startswith("lane "):
        ways.append(Remedy("label", "", unknown[0]))  # a word for the swimmers
    return (*ways, Remedy("label"), *(Remedy("label", but + group) for group in named if group not in known))
