"""Journal entries in a coach's words, one sentence each."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from typing import Any

from pacer.language import tr, tr_n
from pacer.plan.decimals import decimals
from pacer.plan.times import text_from_ms
from pacer.session.journal import entries as j
from pacer.session.journal import recordentries as r
from pacer.session.journal.recordentries import was_entered
from pacer.session.records.strokefigures import counted, rating
from pacer.session.records.touches import tenths
from pacer.squad.lanenumbers import lane_numbers
from pacer.timeline.timeline import Timeline


@dataclass(frozen=True, slots=True)
class Names:
    """Names for the indexes in entries.

    The lanes' numbers on the wall, the sections' names, and which sections have several rounds.
    """

    lanes: Sequence[int]
    sections: Sequence[str]
    several: Collection[int] = ()

    def lane(self, index: int) -> str:
        """`lane 4`."""
        return tr("lane {lane}", lane=self._number(index))

    def _number(self, index: int) -> int:
        return self.lanes[index] if index < len(self.lanes) else index + 1

    def of(self, lanes: j.Lanes) -> str:
        """`all lanes`, `lane 4`, `lanes 1–3, 6`."""
        if lanes is None:
            return tr("all lanes")
        if len(lanes) == 1:
            return self.lane(lanes[0])
        return lane_numbers([self._number(index) for index in lanes], len(self.lanes))

    def section(self, index: int) -> str:
        """A section's name, or else its number."""
        name = self.sections[index] if index < len(self.sections) else ""
        return name or tr("section {index}", index=index + 1)

    def line(self, section: int, line: int | None, round: int | None = None) -> str:
        """`Warm-up, set 2`, `Main set, round 2, set 1`; with the round if there are several."""
        rounds = round is not None and (round > 1 or section in self.several)
        return ", ".join(
            [
                self.section(section),
                *([tr("round {round}", round=round)] if rounds else []),
                *([] if line is None else [tr("set {line}", line=line)]),
            ]
        )

    def who(self, lane: int | None, swimmer: int | None) -> str:
        """`lane 4`, `lane 4, swimmer 2`; "" for everybody."""
        if lane is None:
            return ""
        return (
            self.lane(lane)
            if swimmer is None
            else tr("{lane}, swimmer {swimmer}", lane=self.lane(lane), swimmer=swimmer + 1)
        )


def names_of(timeline: Timeline) -> Names:
    """The names for a session's journal."""
    several = {found.section for track in timeline.tracks for found in track.passes if found.round > 1}
    return Names(
        [lane.number for lane in timeline.squad.lanes], [section.name for section in timeline.plan.sections], several
    )


def clock(at_ms: int) -> str:
    """A session time to the second, `-0:10` before the zero.

    >>> clock(95_900), clock(-9_100)
    ('1:35', '-0:10')
    """
    whole = at_ms // 1000 * 1000
    return f"-{text_from_ms(-whole)}" if whole < 0 else text_from_ms(whole)


def said(entry: j.Entry | r.Record, names: Names) -> str:
    """The entry as a sentence, without its time and without a full stop. No swimmer is named."""
    return SAID[type(entry)](entry, names)


def _wall(phase_ms: int) -> str:
    return f":{phase_ms // 1000:02d}"


def _begun(e: j.Begun, n: Names) -> str:
    if e.source:
        return tr("the session ran without pacer, entered {source}", source=e.source)
    if e.phase_ms is None:
        return tr("the session is set to start")
    return tr("the session is set to start when the pool clock shows {wall}", wall=_wall(e.phase_ms))


def _carried_on(e: j.CarriedOn, n: Names) -> str:
    return tr("resumed after an interruption")


def _resumed(e: j.Resumed, n: Names) -> str:
    return tr("{of} resumed from {clock}", of=n.of(e.lanes), clock=clock(e.leave_ms))


def _moved(e: j.Moved, n: Names) -> str:
    lanes, unit, at = n.of(e.lanes), e.unit.said, clock(e.leave_ms)
    if e.step > 0:
        return tr("{of}: on to the next {unit} from {clock}", of=lanes, unit=unit, clock=at)
    return tr("{of}: back to the previous {unit} from {clock}", of=lanes, unit=unit, clock=at)


def _section_set(e: j.SectionSet, n: Names) -> str:
    return tr("{section} at {clock} for {of}", section=n.section(e.section), clock=clock(e.leave_ms), of=n.of(e.lanes))


def _count_changed(e: j.CountChanged, n: Names) -> str:
    count, lanes = abs(e.by), n.of(e.lanes)
    if e.rounds and e.by > 0:
        return tr_n("{lanes}: one round more", "{lanes}: {n} rounds more", count, lanes=lanes)
    if e.rounds:
        return tr_n("{lanes}: one round fewer", "{lanes}: {n} rounds fewer", count, lanes=lanes)
    if e.by > 0:
        return tr_n("{lanes}: one repeat more", "{lanes}: {n} repeats more", count, lanes=lanes)
    return tr_n("{lanes}: one repeat fewer", "{lanes}: {n} repeats fewer", count, lanes=lanes)


def _joined(e: j.SwimmerJoined, n: Names) -> str:
    if e.back is not None:
        return tr("a swimmer who got out comes back, {lane}", lane=n.lane(e.lane))
    if e.absent is not None:
        return tr("a swimmer who was absent joins {lane}", lane=n.lane(e.lane))
    if e.base_ms is None:
        return tr("a swimmer joins {lane}", lane=n.lane(e.lane))
    return tr("a swimmer joins {lane}, base {base}", lane=n.lane(e.lane), base=text_from_ms(e.base_ms))


def _changed(e: j.SwimmerChanged, n: Names) -> str:
    if e.lane == e.to_lane:
        return tr("{lane}: swimmer {place} moves in the lane order", lane=n.lane(e.lane), place=e.place + 1)
    return tr(
        "swimmer {place} of {lane} moves to {to}",
        place=e.place + 1,
        lane=n.lane(e.lane),
        to=n.lane(e.to_lane),
    )


def _touched(e: r.Touched, n: Names) -> str:
    how = tr("swam") if was_entered(e.source) else tr("called") if e.called else tr("touched")
    where = tr("{line}, repeat {repeat}", line=n.line(e.section, e.line, e.round), repeat=e.repeat)
    return f"{n.who(e.lane, e.swimmer)} {how} {tenths(e.time_cs)}: {where}{_by(e.source)}"


def _by(source: str) -> str:
    return f" ({source})" if source else ""


def _corrected(e: r.Corrected, n: Names) -> str:
    if e.time_cs is None:
        return tr("the time in entry {entry} is deleted", entry=e.entry)
    return tr("the time in entry {entry} is {time}", entry=e.entry, time=tenths(e.time_cs))


def _rated(e: r.Rated, n: Names) -> str:
    found = rating(e)
    if found is None:
        return tr("{who}: a stroke rate that could not be worked out", who=n.who(e.lane, e.swimmer))
    told = {
        "who": n.who(e.lane, e.swimmer),
        "rate": decimals(found.rate),
        "cycles": tr_n("one cycle", "{n} cycles", found.cycles),
    }
    least, most = decimals(found.least), decimals(found.most)
    said = (
        tr("{who}: stroke rate {rate} over {cycles}", **told)
        if found.least == found.most
        else tr("{who}: stroke rate {rate} ({least} to {most}) over {cycles}", least=least, most=most, **told)
    )
    return said + _by(e.source)


def _counted(e: r.LengthCounted, n: Names) -> str:
    found = counted(e)
    base = tr(
        "{who}: {strokes} strokes over {distance} in {time}",
        who=n.who(e.lane, e.swimmer),
        strokes=e.strokes,
        distance=e.distance,
        time=tenths(e.time_cs),
    )
    return (
        base
        if found is None
        else (
            tr(
                "{base}, {length} a cycle, stroke index {index}, time + strokes {seconds_and_strokes}",
                base=base,
                length=decimals(found.length, 2),
                index=decimals(found.index, 2),
                seconds_and_strokes=decimals(found.seconds_and_strokes),
            )
        )
    )


def _filed(e: r.WatchFiled, n: Names) -> str:
    return tr(
        "{who}: watch {watch}: {splits}",
        who=n.who(e.lane, e.swimmer),
        watch=e.watch,
        splits=" ".join(map(tenths, e.splits_cs)),
    )


def _noted(e: r.Noted, n: Names) -> str:
    about = n.who(e.lane, e.swimmer)
    if e.section is not None:
        line = n.line(e.section, e.line)
        about = f"{about}, {line}" if about else line
    return f"{about}: {e.text}" if about else e.text


def _summed(e: r.LaneSummed, n: Names) -> str:
    return f"{n.lane(e.lane)}: {how_it_went(e)}"


def how_it_went(e: r.LaneSummed) -> str:
    """What the coach said of a lane after the session."""
    again = "" if e.again is None else tr("do it again") if e.again else tr("not again")
    said = (e.amount.said if e.amount else "", e.feel.said if e.feel else "", again)
    return ", ".join(filter(None, said)) or tr("nothing noted")


SAID: dict[type, Callable[[Any, Names], str]] = {
    j.Begun: _begun,
    j.CarriedOn: _carried_on,
    j.Matched: lambda e, n: tr("the pool clock shows {wall} at the start", wall=_wall(e.phase_ms)),
    j.Ended: lambda e, n: tr("the session is over"),
    j.TakenBack: lambda e, n: tr("the last change is undone"),
    j.Paused: lambda e, n: tr("{of} paused", of=n.of(e.lanes)),
    j.Stopped: lambda e, n: tr("stop all{by}", by=_by(e.source)),
    j.Resumed: _resumed,
    j.Moved: _moved,
    j.SectionSet: _section_set,
    j.LeftLate: lambda e, n: tr("{of}: send-off delayed to {clock}", of=n.of(e.lanes), clock=clock(e.leave_ms)),
    j.Missed: lambda e, n: tr("{of}: one repeat sat out", of=n.of(e.lanes)),
    j.CountChanged: _count_changed,
    j.IntervalChanged: lambda e, n: tr(
        "{of}: on {interval} from now on", of=n.of(e.lanes), interval=text_from_ms(e.interval_ms)
    ),
    j.SwimmerJoined: _joined,
    j.LinePutIn: lambda e, n: tr(
        "{of}: added, next: {splitlines}", of=n.of(e.lanes), splitlines="; ".join(map(str.strip, e.text.splitlines()))
    ),
    j.LineLeftOut: lambda e, n: tr("{of}: {line} skipped", of=n.of(e.lanes), line=n.line(e.section, e.line)),
    j.SwimmerLeft: lambda e, n: tr("{lane}: swimmer {place} gets out", lane=n.lane(e.lane), place=e.place + 1),
    j.SwimmerChanged: _changed,
    j.LaneJoined: lambda e, n: tr(
        "{lane} joins {leader_lane} from {clock}",
        lane=n.lane(e.lane),
        leader_lane=n.lane(e.leader),
        clock=clock(e.leave_ms),
    ),
    j.Refitted: lambda e, n: tr("changed to finish by {clock}", clock=clock(e.out_ms)),
    r.Touched: _touched,
    r.Corrected: _corrected,
    r.Withdrawn: lambda e, n: tr("the record in entry {entry} is undone", entry=e.entry),
    r.Rated: _rated,
    r.LengthCounted: _counted,
    r.Watched: lambda e, n: tr("watch {watch}: {press}", watch=e.watch, press=e.press.said),
    r.WatchFiled: _filed,
    r.Noted: _noted,
    r.HeadsCounted: lambda e, n: (
        tr("{heads} into the water", heads=e.heads) if e.into else tr("{heads} out of the water", heads=e.heads)
    ),
    r.LaneSummed: _summed,
    r.Hidden: lambda e, n: tr("the session is hidden"),
    r.ShownAgain: lambda e, n: tr("the session is shown again"),
    r.PutBack: lambda e, n: tr("the time in entry {entry} counts after all", entry=e.entry),
    r.LeftOut: lambda e, n: tr("the time in entry {entry} is left out again", entry=e.entry),
}
