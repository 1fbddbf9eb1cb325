"""What of a lane's track stays when it is told to do something else: the repeats it has left on.

Every function gives a new track and leaves the old one as it was.
"""

from __future__ import annotations

from pacer.timeline.model import NEVER, Pass, Track


def left(found: Pass, index: int, swimmer: int) -> int:
    """When `swimmer` (from 0) leaves on repeat `index` of a track, which is one of the pass `found`."""
    return found.start_ms + found.laneline.leaves(found.skipped + index - found.first, swimmer, found.skipped)


def last_touch(track: Track, index: int) -> int:
    """When the last swimmer who swims repeat `index` touches or is stopped; 0 where nobody does."""
    found = track.pass_at(index)
    line = found.laneline
    leaves_by, done_by = track.bounds(index)
    repeat = found.skipped + index - found.first
    latest = 0
    for swimmer in range(len(line.bases)):
        leaves = left(found, index, swimmer)
        if leaves <= leaves_by:
            latest = max(latest, min(done_by, leaves + line.times(repeat, swimmer)[-1]))
    return latest


def kept(track: Track, count: int) -> Track:
    """The first `count` repeats, by a lane that does not wait; the rest of the way is open."""
    made = track.copy()
    made.held_ms = None
    del made.sendoffs[count:], made.pass_of[count:]
    while made.passes and made.passes[-1].first >= count:
        made.passes.pop()
    if made.passes:
        last = made.passes[-1]
        made.passes[-1] = last._replace(count=count - last.first)
    made.closed = {index: at_ms for index, at_ms in track.closed.items() if index < count}
    made.cuts = {index: at_ms for index, at_ms in track.cuts.items() if index < count}
    reached = made.passes[-1].section if made.passes else -1
    made.starts = {section: at_ms for section, at_ms in track.starts.items() if section <= reached}
    made.end_ms = _end(made)
    return made


def closed(track: Track, at_ms: int, *, cut: bool = False) -> Track:
    """The whole track, with nobody leaving any more on what the leader had left on by `at_ms`.

    Those under way finish, or with `cut` stop there.
    """
    made = track.copy()
    newest = track.index_at(at_ms)
    for index in range(newest, -1, -1):
        found, repeat = track.pass_at(index), track.repeat_in_line(index)
        leaves_by, done_by = track.bounds(index)
        leaves = [(k, at) for k in range(len(found.laneline.bases)) if (at := left(found, index, k)) <= leaves_by]
        waiting = index == newest or any(at > at_ms for _, at in leaves)
        going = any(at <= at_ms < min(done_by, at + found.laneline.times(repeat, k)[-1]) for k, at in leaves)
        if not (waiting or going):
            break
        if waiting or (cut and going):
            made.closed[index] = min(at_ms, made.closed.get(index, NEVER))
        if cut and going:
            made.cuts[index] = at_ms
    return made


def stopped(track: Track, count: int, at_ms: int) -> Track:
    """The first `count` repeats, with whoever is still swimming one of them at `at_ms` stopped there."""
    made = track.copy()
    for index in range(count - 1, -1, -1):
        if last_touch(track, index) <= at_ms:
            break
        made.cuts[index] = at_ms
        made.closed.setdefault(index, at_ms)
    return kept(made, count)


def under_way(track: Track, index: int, at_ms: int) -> bool:
    """Whether the leader is still swimming repeat `index` at `at_ms`."""
    if index < 0:
        return False
    found = track.pass_at(index)
    touch = track.sendoffs[index] + found.laneline.times(track.repeat_in_line(index), 0)[-1]
    return at_ms < min(touch, track.cuts.get(index, NEVER))


def without(track: Track, index: int, count: int) -> Track:
    """The track without the `count` repeats from `index` on, which are of one pass; all others stay when they are."""
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
        made.passes.append(found._replace(skipped=found.skipped + gone, ordinal=found.ordinal + gone,
                                          first=len(made.sendoffs), count=remaining, start_ms=start))
        made.sendoffs += track.sendoffs[first : found.first + found.count]
    for index_, table in ((i, t) for t in ("closed", "cuts") for i in getattr(track, t)):
        if index_ >= behind:
            getattr(made, table)[index_ - count] = getattr(track, table)[index_]
    made.end_ms = _end(made)
    made.held_ms = track.held_ms
    return made


def _end(track: Track) -> int:
    """The last touch of the whole track."""
    latest = 0
    for found in track.passes:
        line, behind = found.laneline, found.first + found.count
        if any(found.first <= index < behind for index in track.closed) or (line.own is not None and found.skipped):
            latest = max([latest, *(last_touch(track, index) for index in range(found.first, behind))])
        else:
            lead = found.start_ms - (line.offsets[found.skipped] if line.own is None else 0)
            latest = max(latest, lead + max(line.ends[found.skipped : found.skipped + found.count]))
    return latest
