"""When lanes leave, in words: as a clock reading, and how long that is where it is long; and what they then swim again
or not to its end. No Kivy.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from typing import NamedTuple

from pacer.language import tr, tr_n
from pacer.plan.times import MINUTE_MS
from pacer.session.running.brokenrepeats import to_its_end
from pacer.session.running.runstate import Run, repeat_key
from pacer.show.wording.settext import length_words
from pacer.show.wording.timereadings import clock_reading, count_down, seconds_to_go
from pacer.show.wording.waitingtext import named

#: What a lane that was cut short can do instead, after STOP ALL by mistake too.
SWUM_AGAIN = tr("Previous repeat swims it again")
_SKIPPED = tr("Next repeat skips it")  #: what it can do instead of swimming again what was hardly begun


def when(run: Run, leave_ms: int, at_ms: int) -> str:
    """A send-off as a clock reading; if it is more than a minute away, also the time until then."""
    reading = clock_reading(leave_ms, run.phase_ms)
    if leave_ms - at_ms <= MINUTE_MS or run.begun is None:
        return reading
    return tr("{reading} (in {seconds_to_go})", reading=reading, seconds_to_go=_to_go(leave_ms, at_ms))


def first_leaves(run: Run, clocks: Mapping[int, list[int]], at_ms: int) -> tuple[str, ...]:
    """When the first of several lanes leaves; `clocks`: the lanes (indexes) by when they leave next, in ms.

    If the last leave more than a minute after that, also which these are and how long that is; at the shortest only
    that: `first leaves :10, lanes 2, 4 in 11:19`, `lanes 2, 4 leave in 11:19`.
    """
    first_ms, last_ms = min(clocks), max(clocks)
    first = when(run, first_ms, at_ms)
    if last_ms - max(first_ms, at_ms) <= MINUTE_MS:
        return (tr("first leaves {first}", first=first),)
    last = clocks[last_ms]
    said = {"lanes": named(run, last), "time": _to_go(last_ms, at_ms)}
    return (
        tr("first leaves {first}, {lanes} in {time}", first=first, **said),
        tr_n("{lanes} leaves in {time}", "{lanes} leave in {time}", len(last), **said),
    )


def _to_go(leave_ms: int, at_ms: int) -> str:
    return count_down(seconds_to_go(leave_ms - at_ms))


class CutShort(NamedTuple):
    """What becomes of repeats that were cut short, once lanes are resumed: `swim the 300 again`,
    `lanes 4, 5 skip the rest of the 300`; "" without any.

    `repeat`: the number of the one on which all leave next, if they skip the rest of the one before it in its set; else
    0. `instead`: what could be done in place of that.
    """

    words: str = ""
    repeat: int = 0
    instead: tuple[str, ...] = ()


def cut_short(after: Run, lanes: list[int], at_ms: int) -> CutShort:
    """What becomes of the repeats that were cut short in lanes that are resumed."""
    swum, skips, following = dict[str, list[int]](), dict[str, list[int]](), set[int]()
    more = False
    for lane in lanes:
        track = after.timeline.tracks[lane]
        index = bisect_right(track.sendoffs, at_ms)
        before = index - 1
        if before not in track.cuts or to_its_end(after.timeline, lane, before, 0):
            following.add(0)
            continue
        line, repeat = track.pass_at(before).laneline, track.repeat_in_line(before)
        again = index < len(track.sendoffs) and repeat_key(track, index) == repeat_key(track, before)
        more = more or again and index + 1 < len(track.sendoffs)
        what = tr("the {length}", length=length_words(line.shapes[repeat]))
        if again:
            what = tr("repeat {repeat}", repeat=repeat + 1) if line.count > 1 else what
            following.add(0)
        elif index < len(track.sendoffs) and track.pass_at(index).laneline is line:
            what = tr("repeat {repeat}", repeat=repeat + 1)
            following.add(track.repeat_in_line(index) + 1)
        (swum if again else skips).setdefault(what, []).append(lane)
    instead = (*([_SKIPPED] if more else []), *([SWUM_AGAIN] if skips else []))
    words = "; ".join(filter(None, (_again_said(after, lanes, swum), _skips_said(after, lanes, skips))))
    return CutShort(words, following.pop() if len(following) == 1 else 0, instead)


def _again_said(after: Run, lanes: list[int], swum: dict[str, list[int]]) -> str:
    out, who = _who_of(after, lanes, swum)
    if len(swum) > 1:
        return tr_n("{who}swims again what was cut short", "{who}swim again what was cut short", out, who=who)
    return "".join(tr_n("{who}swims {what} again", "{who}swim {what} again", out, who=who, what=what) for what in swum)


def _skips_said(after: Run, lanes: list[int], skips: dict[str, list[int]]) -> str:
    out, who = _who_of(after, lanes, skips)
    if len(skips) > 1:
        return tr_n("{who}skips what was cut short", "{who}skip what was cut short", out, who=who)
    said = [
        tr_n("{who}skips the rest of {what}", "{who}skip the rest of {what}", out, who=who, what=what) for what in skips
    ]
    return "".join(said)


def _who_of(after: Run, lanes: list[int], found: dict[str, list[int]]) -> tuple[int, str]:
    """How many of the lanes do what was found, and which, if not all of them."""
    out = [lane for lane in lanes if any(lane in who for who in found.values())]
    return len(out), "" if out == lanes else f"{named(after, out)} "
