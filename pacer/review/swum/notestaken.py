"""Notes and quick marks, each with the place where it was taken."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from pacer.review.swum.whoswam import Replayed
from pacer.session.journal.recordentries import Noted
from pacer.session.running.runstate import now_of


class NoteTaken(NamedTuple):
    """A note about a lane (index) or a swimmer (number), both None for the session; and its set.

    `section` (index) and `line` are those in the note, otherwise those of its lane's last send-off; None before that.
    """

    at_ms: int
    text: str
    lane: int | None
    who: int | None
    section: int | None
    line: int | None


def notes_taken(entries: Iterable[object], replay: Replayed) -> tuple[NoteTaken, ...]:
    """Every note among the valid entries, in the order they were taken."""
    return tuple(_taken(entry, replay) for entry in entries if isinstance(entry, Noted))


def _taken(entry: Noted, replay: Replayed) -> NoteTaken:
    tracks = replay.run.timeline.tracks
    lane = entry.lane if entry.lane is not None and entry.lane < len(tracks) else None
    who, section, line = None, entry.section, entry.line
    if tracks:
        track = tracks[lane or 0]
        index = track.index_at(now_of(track, entry.at_ms))
        if index >= 0:
            found = track.pass_at(index)
            if section is None:
                section, line = found.section, found.laneline.number if lane is not None else None
            if lane is not None and entry.swimmer is not None:
                there = replay.who(lane, track.sendoffs[index])
                who = there[entry.swimmer] if entry.swimmer < len(there) else None
        elif lane is not None and entry.swimmer is not None:
            there = replay.who(lane, 0)
            who = there[entry.swimmer] if entry.swimmer < len(there) else None
    return NoteTaken(entry.at_ms, entry.text, lane, who, section, line)
