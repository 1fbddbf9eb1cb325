"""Where a move takes lanes, in a coach's words, the longest way first. No Kivy."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from pacer.language import tr
from pacer.session.journal.entries import Moved, Unit
from pacer.session.running.replay import Run
from pacer.show.wording.settext import line_words, repeat_words
from pacer.show.wording.viewtext import say
from pacer.squad.lanenumbers import spans


def ways_to(before: Run, after: Run, lanes: Sequence[int], entry: Moved) -> tuple[str, ...]:
    """What `lanes` leave on next once `entry` has turned `before` into `after`.

    Said once if it is the same for all, else lane by lane.

    `all lanes to 2 × 100 back build`, `2 × 100 back build`, `2 × 100 back`; `lane 4 to repeat 3 of 3: 100 free; lane 5
    to …`. () if one of them has nothing left.
    """
    found: dict[tuple[str, ...], list[int]] = {}
    for lane in lanes:
        found.setdefault(_target(before, after, lane, entry), []).append(lane)
    if not found or () in found:
        return ()
    numbers = [lane.number for lane in after.timeline.lanes]
    if len(found) == 1:
        (ways,) = found
        return (tr("{lanes} to {way}", lanes=_named(numbers, lanes), way=ways[0]), *ways)
    rows = [[ways[min(level, len(ways) - 1)] for ways in found] for level in range(max(map(len, found)))]
    whole = [
        "; ".join(tr("{lanes} to {way}", lanes=_named(numbers, who), way=way) for who, way in zip(found.values(), row))
        for row in rows
    ]
    brief = "; ".join(f"{spans([numbers[lane] for lane in who])}: {way}" for who, way in zip(found.values(), rows[-1]))
    return (*dict.fromkeys(whole), brief)


def _named(numbers: Sequence[int], lanes: Sequence[int]) -> str:
    if len(lanes) == len(numbers) > 1:
        return tr("all lanes")
    return say("one lane" if len(lanes) == 1 else "lanes", numbers=spans([numbers[lane] for lane in lanes]))


def _target(before: Run, after: Run, lane: int, entry: Moved) -> tuple[str, ...]:
    """What the lane leaves on next.

    A line that it moves to, or a repeat of the current one; with the section or round first if that changes too; ()
    for nothing.
    """
    track, was = after.timeline.tracks[lane], before.timeline.tracks[lane]
    index = bisect_right(track.sendoffs, entry.at_ms)
    if index == len(track.sendoffs):
        return ()
    found, repeat = track.pass_at(index), track.repeat_in_line(index)
    here = was.pass_at(max(0, bisect_right(was.sendoffs, entry.at_ms) - 1))
    line = found.laneline
    goes_over = entry.unit is Unit.SECTION or (found.section, found.round, line.number) != (
        here.section,
        here.round,
        here.laneline.number,
    )
    of = track.repeats_of(found)
    if of == 1 or (repeat == 0 and goes_over):
        ways = line_words(line, of)
    else:
        place = say("repeat", n=repeat + 1, of=of)
        ways = (
            *(f"{place}: {way}" for way in repeat_words(line, repeat)),
            place,
            say("repeat short", n=repeat + 1, of=of),
        )
    lead = ""
    if found.section != here.section or entry.unit is Unit.SECTION:
        lead = after.timeline.plan.sections[found.section].name
    elif found.round != here.round:
        lead = say("round open", n=found.round)
    return (*(f"{lead}: {way}" for way in ways), lead) if lead else ways
