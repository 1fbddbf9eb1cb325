"""The part of a lane's track that stays when the lane is sent elsewhere: the repeats it has left on.

Every function here that makes a track returns a new one and leaves the old one unchanged.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from pacer.session.running.instant import lates
from pacer.timeline.laneline import LaneLine
from pacer.timeline.track import NEVER, Track


def last_touch(track: Track, index: int, *, predicted: bool = False) -> int:
    """When the last swimmer who swims repeat `index` touches or is stopped; 0 if nobody swims it.

    By the planned send-offs; `predicted`: a swimmer who is not back for one leaves at their own touch.
    """
    found = track.pass_at(index)
    line = found.laneline
    repeat = found.repeat_in_line(index)
    behind = lates(track) if predicted else {}
    if not any(behind.values()) and (
        index not in track.closed
        and line.own is None
        and (track.paused_ms is None or track.sendoffs[index] + line.behind(len(line.bases)) <= track.paused_ms)
    ):
        return track.sendoffs[index] - line.offsets[repeat] + line.ends[repeat]  # everybody left, and nobody broke off
    leaves_by, done_by = track.bounds(index)
    latest = 0
    for swimmer in range(len(line.bases)):
        leaves = found.leaves(index, swimmer)
        if behind:
            leaves = behind[line.who[swimmer]].get(index, leaves)
        if leaves <= leaves_by:
            latest = max(latest, min(done_by, leaves + line.times(repeat, swimmer)[-1]))
    return latest


def kept(track: Track, count: int) -> Track:
    """The first `count` repeats of a lane that is not paused; the rest is open."""
    made = track.copy()
    made.paused_ms, made.again = None, False
    del made.sendoffs[count:], made.pass_of[count:]
    while made.passes and made.passes[-1].first >= count:
        made.passes.pop()
    made.closed = {index: at_ms for index, at_ms in track.closed.items() if index < count}
    made.cuts = {index: at_ms for index, at_ms in track.cuts.items() if index < count}
    made.gathers = {index: told for index, told in track.gathers.items() if index < count}
    reached = -1
    if made.passes:
        last = made.passes[-1]
        reached = last.section
        if last.first + last.count > count:
            made.passes[-1] = last._replace(count=count - last.first)
            _end_anew(made, count - 1)
    made.starts = {section: at_ms for section, at_ms in track.starts.items() if section <= reached}
    _end_anew(made)
    return made


def closed(track: Track, at_ms: int, *, cut: bool = False) -> Track:
    """The whole track, with nobody leaving any more on repeats on which the leader had left by `at_ms`.

    Those who are swimming finish, or with `cut` stop there.
    """
    made = track.copy()
    newest, behind = track.index_at(at_ms), lates(track)
    for index in range(newest, -1, -1):
        found, repeat = track.pass_at(index), track.repeat_in_line(index)
        leaves_by, done_by = track.bounds(index)
        leaves = [
            (k, at)
            for k, number in enumerate(found.laneline.who)
            if (at := behind[number].get(index, found.leaves(index, k))) <= leaves_by
        ]
        waiting = index == newest or any(at > at_ms for _, at in leaves)
        going = any(at <= at_ms < min(done_by, at + found.laneline.times(repeat, k)[-1]) for k, at in leaves)
        if not (waiting or going):
            break
        if waiting or (cut and going):
            made.closed[index] = min(at_ms, made.closed.get(index, NEVER))
        if cut and going:
            made.cuts[index] = at_ms
    _end_anew(made, *made.closed.keys() - track.closed.keys() | made.cuts.keys() - track.cuts.keys())
    return made


def stopped(track: Track, count: int, at_ms: int) -> Track:
    """The whole track, with all who are still swimming one of the first `count` repeats at `at_ms` stopped there."""
    made = track.copy()
    for index in range(count - 1, -1, -1):
        if last_touch(track, index, predicted=True) <= at_ms:
            break
        made.cuts[index] = at_ms
        made.closed.setdefault(index, at_ms)
    _end_anew(made, *made.cuts.keys() - track.cuts.keys())
    return made


def under_way(track: Track, index: int, at_ms: int) -> bool:
    """Whether the leader is still swimming at `at_ms`: repeat `index`, or an earlier one if that is too tight."""
    behind = lates(track)
    for here in range(index, -1, -1):
        found = track.pass_at(here)
        leaves = behind[found.laneline.who[0]].get(here, track.sendoffs[here])
        if leaves <= at_ms:
            touch = leaves + found.laneline.times(track.repeat_in_line(here), 0)[-1]
            return at_ms < min(touch, track.cuts.get(here, NEVER))
    return False


def without(track: Track, index: int, count: int) -> Track:
    """The track without the `count` repeats from `index` on, which are in one pass; all others keep their times."""
    made = kept(track, index)
    made.starts = dict(track.starts)
    behind = index + count
    for found in track.passes[track.pass_of[index] :]:
        first = max(found.first, behind)
        gone = first - found.first
        remaining = found.count - gone
        if remaining <= 0:
            continue
        start = track.sendoffs[first]
        made.pass_of += [len(made.passes)] * remaining
        made.passes.append(
            found._replace(
                skipped=found.skipped + gone,
                ordinal=found.ordinal + gone,
                first=len(made.sendoffs),
                count=remaining,
                start_ms=start,
            )
        )
        made.sendoffs += track.sendoffs[first : found.first + found.count]
    for index_, table in ((i, t) for t in ("closed", "cuts", "gathers") for i in getattr(track, t)):
        if index_ >= behind:
            getattr(made, table)[index_ - count] = getattr(track, table)[index_]
    _end_anew(made, *range(index, len(made.sendoffs)))
    made.paused_ms = track.paused_ms
    return made


def leave_newcomers_out(track: Track, joining: Sequence[int], swimmers: int, at_ms: int) -> None:
    """Leave the lane's last swimmers out of the repeats for which they are not back from another lane, on this track.

    `joining`: from when on each of them can leave. Of the `swimmers`, those who leave after one who is there are there,
    too; somebody always is. Repeats that were left on by `at_ms` stay.
    """
    before = swimmers - len(joining)
    earliest = [min(joining[place:]) for place in range(len(joining))]
    lines: dict[tuple[int, int], LaneLine] = {}
    passes, made = track.passes, []
    for found in passes:
        line, own = found.laneline, found.laneline.own is not None
        until = found.first + found.count
        here = [len(line.bases)] * found.count
        if at_ms < track.sendoffs[until - 1] and found.start_ms < max(joining):
            for gone, index in enumerate(range(found.first, until)):
                leaves_ms = found.start_ms if own else track.sendoffs[index]
                if leaves_ms > at_ms:
                    there = [leaves_ms + line.behind(before + k) >= ms for k, ms in enumerate(earliest)]
                    here[gone] = min(here[gone], max(1, before + [*there, False].index(False)))
        gone = 0
        for count, group in groupby(here):
            repeats = len(list(group))
            swum_by = line
            if count < len(line.bases):
                swum_by = lines.setdefault((id(line), count), line.of_first(count))
            made.append(
                found._replace(
                    laneline=swum_by,
                    skipped=found.skipped + gone,
                    ordinal=found.ordinal + gone,
                    first=found.first + gone,
                    count=repeats,
                    start_ms=track.sendoffs[found.first + gone] if gone else found.start_ms,
                )
            )
            gone += repeats
    track.passes = made
    track.pass_of = [number for number, found in enumerate(made) for _ in range(found.count)]
    _end_anew(track, *(found.first for found in made if found.start_ms > at_ms))


def goes_by(track: Track, index: int, line: LaneLine) -> None:
    """Let repeat `index`, the last of its pass, go by `line` on this track: its line with the interval that it has now.

    Swimmers who left on it swim as before; a line that is swum straight through stays, and so does a repeat that
    `line` no longer has.
    """
    found = track.pass_at(index)
    if found.laneline is line or found.laneline.bases != line.bases or line.own or found.laneline.own:
        return
    if found.repeat_in_line(index) >= line.count:
        return
    before = index - found.first
    now = found._replace(
        laneline=line,
        skipped=found.skipped + before,
        ordinal=found.ordinal + before,
        first=index,
        count=1,
        start_ms=track.sendoffs[index],
    )
    number = track.pass_of[index]
    track.passes[number : number + 1] = [*([found._replace(count=before)] if before else []), now]
    track.pass_of = [number for number, each in enumerate(track.passes) for _ in range(each.count)]
    _end_anew(track, *([index - 1] if before else []), index)


def _end_anew(track: Track, *indexes: int) -> None:
    """Work out the ends of these repeats' passes, and of the track, again."""
    for number in {track.pass_of[index] for index in indexes}:
        found = track.passes[number]
        end_ms = max(last_touch(track, index) for index in range(found.first, found.first + found.count))
        track.passes[number] = found._replace(end_ms=end_ms)
    track.end_ms = max([found.end_ms for found in track.passes], default=0)
