"""Gear: whether a set asks for what its words mention, and whether there is time to get it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from pacer.language import listed, tr
from pacer.plan.model import GEAR, SetLine
from pacer.plan.planlines import numbered_lines
from pacer.plan.times import SECOND_MS, text_from_ms, whole_down
from pacer.timeline.cancellation import step
from pacer.timeline.checks.gathering import page_line
from pacer.timeline.findings import Finding, Remedy, Severity
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Pass

#: Less time than this before a set is too little to get its gear: to reach the board at the wall or to put fins on.
#: Our own choice; common practice, no source.
GEAR_MS = 15_000
REST_FOR_GEAR_MS = 30_000  #: the rest that is offered instead

#: Gear that nobody should wear: `no fins`, `w/o paddles and buoy`.
_NOT_WORN = re.compile(r"\b(?:no|without|w/?o)\s+\w+(?:\s+(?:and|or)\s+\w+)*", re.I)


def gear_not_announced(timeline: Timeline) -> Iterator[Finding]:
    """Gear that a cue or a drill's name mentions and the line does not ask for."""
    words = {word: re.compile(rf"\b{re.escape(word)}\b", re.I) for word in (*GEAR, *timeline.squad.gear)}
    for _, _, _, line in numbered_lines(timeline.plan):
        texts = [line.cue] + [t for p in line.pattern.parts for s in p.segments for t in (s.cue, s.work.name)]
        for word, pattern in words.items():
            said = next((text for text in texts if pattern.search(_NOT_WORN.sub("", text))), None)
            if said and word not in line.gear:
                yield Finding(
                    Severity.REMARK,
                    page_line(line),
                    (),
                    tr("“{said}” mentions {word}, but the set doesn't ask for it", said=said, word=word),
                    tr("add: with {word}", word=word),
                    (Remedy("with", word),),
                )


def no_time_for_gear(timeline: Timeline) -> Iterator[Finding]:
    """Sets whose gear the set before did not have, with less than GEAR_MS to get it: the slowest swimmer's rest."""
    found: dict[int, tuple[SetLine, tuple[str, ...], dict[int, int]]] = {}  # by lines: what to get, each lane's time
    for lane, track in enumerate(timeline.tracks):
        for before, after in zip(track.passes, track.passes[1:]):
            step()
            line = after.laneline.line
            new = tuple(gear for gear in line.gear if gear not in before.laneline.line.gear)
            wait_ms = after.start_ms - _last_back_ms(before)
            if new and wait_ms < GEAR_MS:
                _, _, lanes = found.setdefault(id(line), (line, new, {}))
                lanes[lane] = min(wait_ms, lanes.get(lane, wait_ms))
    for line, gear, lanes in found.values():
        yield Finding(
            Severity.REMARK,
            page_line(line),
            tuple(timeline.lanes[lane].number for lane in lanes),
            _time_said(min(lanes.values()), listed(gear)),
            tr("write a rest on a line above it, such as “rest {time}”", time=text_from_ms(REST_FOR_GEAR_MS)),
            (Remedy("rest above", text_from_ms(REST_FOR_GEAR_MS)),),
        )


def _time_said(wait_ms: int, gear: str) -> str:
    if wait_ms < SECOND_MS:
        return tr("no time to get {gear} before this set", gear=gear)
    return tr("only {time} to get {gear} before this set", time=whole_down(wait_ms), gear=gear)


def _last_back_ms(found: Pass) -> int:
    """When the slowest swimmer is back from a pass, less the spacing to the leader."""
    line, last = found.laneline, found.skipped + found.count - 1
    if line.own is not None:
        return found.start_ms + max(sums[-1] for sums in line.own)
    return found.start_ms + line.offsets[last] - line.offsets[found.skipped] + line.slowest[last]
