"""Predict catches that only the recorded times show, not the plan."""

from __future__ import annotations

from typing import NamedTuple

from pacer.session.running.addandskip import lines_ahead
from pacer.session.running.runstate import Run
from pacer.timeline.checks.traffic import Catch, Help, rooms


class Foretold(NamedTuple):
    """The first catch of a lane (index) on a set still ahead, and a way to help if there is one."""

    lane: int
    section: int
    line: int
    catch: Catch
    help: Help | None


def foretold(run: Run, seen: Run, at_ms: int) -> tuple[Foretold, ...]:
    """For each lane, its next set with a catch that only the times show; lanes without one are left out."""
    lanes = [lane for lane, (now, was) in enumerate(zip(seen.timeline.tracks, run.timeline.tracks)) if now is not was]
    if not lanes:
        return ()
    free = {(room.lane, room.section, room.line) for room in rooms(run.timeline) if room.first_catch is None}
    caught = {(room.lane, room.section, room.line): room for room in rooms(seen.timeline) if room.catches}
    made = []
    for lane in lanes:
        for section, line in lines_ahead(run, at_ms, (lane,)):
            room = caught.get((lane, section, line))
            if room is not None and room.first_catch is not None and (lane, section, line) in free:
                made.append(Foretold(lane, section, line, room.first_catch, next(iter(room.helps), None)))
                break
    return tuple(made)
