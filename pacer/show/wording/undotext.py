"""What the Undo key over the view says: what it undoes, and for which lanes. No Kivy."""

from __future__ import annotations

from typing import NamedTuple

from pacer.language import tr
from pacer.session.journal import entries as j
from pacer.session.journal.recordentries import Corrected, Noted, Record
from pacer.session.records.entrytext import Names, said
from pacer.show.wording.commonkeys import UNDO
from pacer.show.wording.timereadings import finish_reading

#: Changes, named as on the keys that make them.
_CALLED = {
    j.Paused: tr("pause"),
    j.Stopped: tr("stop all"),
    j.Resumed: tr("resume"),
    j.LeftLate: tr("delayed send-off"),
    j.Missed: tr("sitting one out"),
    j.IntervalChanged: tr("new interval"),
    j.LinePutIn: tr("added set"),
    j.LineLeftOut: tr("skipped set"),
    j.SwimmerJoined: tr("added swimmer"),
    j.SwimmerLeft: tr("swimmer out"),
    j.SwimmerChanged: tr("moved swimmer"),
    j.LaneJoined: tr("joining a lane"),
    j.Refitted: tr("finish by"),
}


class Undoing(NamedTuple):
    """What can be undone.

    Its entry, the lanes it is about (by index; None: all) and what it was, the longest way first.
    """

    entry: j.Entry | Record
    lanes: j.Lanes
    what: tuple[str, ...]

    def ways(self, names: Names) -> tuple[str, ...]:
        """What the key says.

        Undo, what and whose; rather whose than what, and neither only where there is room for no more than a word.

        >>> Undoing(j.Paused(0, (1,)), (1,), ("pause",)).ways(Names((1, 2, 3), ()))
        ('Undo pause, lane 2', 'Undo, lane 2', 'Undo 2', 'Undo')
        """
        if len(names.lanes) == 1:
            return (*(tr("Undo {what}", what=what) for what in self.what), UNDO)
        of = names.of(self.lanes)
        ways = [tr("Undo {what}, {lanes}", what=what, lanes=of) for what in self.what]
        ways += [tr("Undo, {lanes}", lanes=of)]
        if self.lanes is not None and len(self.lanes) == 1:
            ways += [tr("Undo {lane}", lane=names.lanes[self.lanes[0]])]  # as the bar says `Pause 4`
        return (*ways, UNDO)


def undoing_change(entry: j.Entry) -> Undoing | None:
    """A change of the session; None for one that can't be undone."""
    if isinstance(entry, j.Moved):
        what = (
            tr("next {unit}", unit=entry.unit.said) if entry.step > 0 else tr("previous {unit}", unit=entry.unit.said)
        )
    elif isinstance(entry, j.CountChanged):
        what = (
            (tr("one round more") if entry.by > 0 else tr("one round fewer"))
            if entry.rounds
            else tr("one repeat more")
            if entry.by > 0
            else tr("one repeat fewer")
        )
    elif isinstance(entry, j.SectionSet):
        what = tr("start a section")
    else:
        what = _CALLED.get(type(entry), "")
    return Undoing(entry, _lanes_of(entry), (what,)) if what else None


def _lanes_of(entry: j.Entry) -> j.Lanes:
    if isinstance(entry, j.SwimmerChanged):
        return tuple(sorted({entry.lane, entry.to_lane}))
    lane = getattr(entry, "lane", None)
    return getattr(entry, "lanes", None) if lane is None else (lane,)


def undone(entry: j.Entry, names: Names, begun: j.Begun | None, booking_ms: int | None = None) -> str:
    """What Undo undoes, in the words of the screen: without session times, which the screen never shows.

    >>> begun = j.Begun(0, 0, 61_200_000, "+00:00")
    >>> undone(j.Refitted(0, 6_900_000, 0, ()), Names((1, 2), ()), begun)
    'finish by 18:55'
    >>> undone(j.Resumed(0, 95_000, (1,)), Names((1, 2), ()), begun)
    'lane 2: resume'
    """
    if isinstance(entry, j.Refitted) and begun is not None:
        return tr("finish by {wall}", wall=finish_reading(begun.wall_ms, entry.out_ms, booking_ms, begun.zone))
    if isinstance(entry, j.SectionSet):
        return tr("{of}: start {section}", of=names.of(entry.lanes), section=names.section(entry.section))
    undoing = undoing_change(entry)
    if undoing is not None and hasattr(entry, "leave_ms"):
        return f"{names.of(undoing.lanes)}: {undoing.what[0]}"
    return said(entry, names)


def undoing_record(entry: Record, journal: tuple, what: tuple[str, ...]) -> Undoing:
    """A record: a note, or a corrected time (its lane is the time's)."""
    about = journal[entry.entry - 1] if isinstance(entry, Corrected) else entry
    lane = getattr(about, "lane", None)
    quoted = tuple(f"“{each}”" for each in what[:1]) + what[1:] if isinstance(entry, Noted) else what
    return Undoing(entry, None if lane is None else (lane,), quoted)
