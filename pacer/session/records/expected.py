"""What the times taken in a session say of those to come.

Each time is compared with its prediction, as a natural logarithm. First comes what the lane as a whole is off by: the
mean of its times at plain swimming, or while there are none, a part of the mean of all. Then what each kind of work is
off by beyond that, then each swimmer. A mean counts once it is more than chance would make it: of two times and more,
three standard errors, where one time differs by 1.5 % of itself, or by more where the times show it. It is drawn
towards nothing by its prior, a standard deviation before anything was timed. Until a mean counts, swimmers are expected
as written.

A time that is 40 % and more from its prediction, once what the lane is off by is allowed for (a quarter at the most),
is left out: a missed touch about doubles a time. From five times on so is one that is more than 3.5 robust standard
deviations (the median of the distances times 1.4826, 2 % at the least) from what the rest makes of it. Priors and
limits are ours, no source. The send-offs are never moved.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import exp, log, sqrt
from statistics import median
from typing import NamedTuple

from pacer.plan.model import Activity
from pacer.session.records.touches import Taken, swim_of
from pacer.session.running.instant import lates
from pacer.session.running.ongoing import Run
from pacer.timeline.laneline import LaneLine
from pacer.timeline.layout import Timeline
from pacer.timeline.track import Pass, Track

LANE_PRIOR, KIND_PRIOR, SWIMMER_PRIOR = 0.06, 0.08, 0.04
NOISE, NOISE_WEIGHT = 0.015, 4  #: what one time is off by of itself at the least, and as how many times that counts
BELIEVED, LEAST = 3, 2  #: standard errors, and times
FAR, LANE_FAR = log(1.4), log(1.25)
OUTLIER, ROBUST, LEAST_SCALE, FEW = 3.5, 1.4826, 0.02, 5
LATEST = 24  #: so many of a lane's times count
STEP = 0.005  #: what is found goes by steps of half a per cent: less is not seen
SWIM = str(Activity.SWIM)
HELD = "held"  #: the kind of a line that holds everybody to a time


class Off(NamedTuple):
    """What one time is off by: the logarithm of its ratio to the prediction.

    `swimmer` (place from 0) is None where another swimmer stands at that place by now.
    """

    kind: str
    swimmer: int | None
    log: float


@dataclass(frozen=True, slots=True)
class Pace:
    """What a lane is off by: `lane` in all, more for each of `kinds`, more for each of `swimmers`."""

    lane: float = 0.0
    kinds: Mapping[str, float] = field(default_factory=dict)
    swimmers: Mapping[int, float] = field(default_factory=dict)

    def log(self, kind: str, swimmer: int | None) -> float:
        """What a swimmer's time is expected to be off by; None: the lane's as a whole."""
        own = 0.0 if swimmer is None else self.swimmers.get(swimmer, 0.0)
        return self.lane + self.kinds.get(kind, 0.0) + own

    def ratio(self, kind: str, swimmer: int | None) -> float:
        """How many times as long as predicted a swimmer is expected to take.

        >>> Pace().ratio("swim", 0), Pace(0.05).ratio("kick", None)
        (1.0, 1.0512710963760241)
        """
        return exp(self.log(kind, swimmer))


def pace_of(offs: Sequence[Off]) -> Pace:
    """What a lane's times say of it, those far off left out."""
    middle = max(-LANE_FAR, min(LANE_FAR, median([off.log for off in offs] or [0.0])))
    kept = [off for off in offs if abs(off.log - middle) < FAR]
    found = _found(kept)
    if len(kept) >= FEW:
        rests = [abs(off.log - found.log(off.kind, off.swimmer)) for off in kept]
        limit = OUTLIER * max(LEAST_SCALE, ROBUST * median(rests))
        if max(rests) > limit:
            found = _found([off for off, rest in zip(kept, rests) if rest <= limit])
    return found


def _found(offs: Sequence[Off]) -> Pace:
    """Part by part, each from what those before it leave."""
    swims = [off.log for off in offs if off.kind == SWIM]
    lane = _believed(swims or [off.log for off in offs], LANE_PRIOR)
    if not swims:  # as much of it as the priors say is not of the kind alone
        lane = _stepped(lane * LANE_PRIOR**2 / (LANE_PRIOR**2 + KIND_PRIOR**2))
    kinds: dict[str, list[float]] = {}
    for off in offs:
        if off.kind != SWIM:
            kinds.setdefault(off.kind, []).append(off.log - lane)
    found = Pace(lane, {kind: _believed(rests, KIND_PRIOR) for kind, rests in kinds.items()})
    swimmers: dict[int, list[float]] = {}
    for off in offs:
        if off.swimmer is not None:
            swimmers.setdefault(off.swimmer, []).append(off.log - found.log(off.kind, None))
    return replace(found, swimmers={who: _believed(rests, SWIMMER_PRIOR) for who, rests in swimmers.items()})


def _believed(logs: Sequence[float], prior: float) -> float:
    """The mean, drawn towards nothing by its prior; 0 where it may be chance."""
    times = len(logs)
    if times < LEAST:
        return 0.0
    mean = sum(logs) / times
    spread = sum((each - mean) ** 2 for each in logs)
    noise = max(NOISE, sqrt((NOISE_WEIGHT * NOISE**2 + spread) / (NOISE_WEIGHT + times - 1)))
    if abs(mean) <= BELIEVED * noise / sqrt(times):
        return 0.0
    return _stepped(mean * times / (times + (noise / prior) ** 2))


def _stepped(off: float) -> float:
    return round(off / STEP) * STEP


# -- of a session -----------------------------------------------------------------------------------------


def paces(run: Run, taken: Iterable[Taken]) -> tuple[Pace, ...]:
    """What each lane is off by, in the squad's order."""
    lanes: list[list[Taken]] = [[] for _ in run.timeline.tracks]
    for one in taken:
        lanes[one.touched.lane].append(one)
    return tuple([_pace(run, times) for times in lanes])


def _pace(run: Run, times: Sequence[Taken]) -> Pace:
    return pace_of([off for one in times[-LATEST:] if (off := _off(run, one)) is not None])


def _off(run: Run, one: Taken) -> Off | None:
    found, entry = swim_of(run, one.touched), one.touched
    if found is None or not entry.time_cs or not found.predicted_ms or not found.distance:
        return None
    track = run.timeline.tracks[entry.lane]
    line = track.pass_at(found.index).laneline
    same = line.bases == track.passes[-1].laneline.bases
    return Off(kind_of(line), entry.swimmer if same else None, log(entry.time_cs * 10 / found.predicted_ms))


def kind_of(line: LaneLine) -> str:
    """The kind of work of a line: its activities, or that it holds everybody to a time."""
    if any(hold is not None for _, hold in line.kinds):
        return HELD
    return " ".join(sorted({str(work.activity) for shape, _ in line.kinds for work in shape.works}))


def expected(run: Run, found: Sequence[Pace]) -> Run:
    """The run with swimmers as fast as they are by their times, its send-offs as they are; `run` where that is as
    written.

    It is for looking at alone: when everybody touches, where they are, who is caught, when all are out. What comes next
    is worked out from `run`.
    """
    return _with(run, [_paced(track, pace) for track, pace in zip(run.timeline.tracks, found, strict=True)])


def _with(run: Run, tracks: Sequence[Track]) -> Run:
    timeline = run.timeline
    if all(now is was for now, was in zip(tracks, timeline.tracks)):
        return run
    made = Timeline(timeline.plan, timeline.squad, timeline.counts, tuple(tracks), timeline.gates, timeline.course)
    return replace(run, timeline=made)


class Following:
    """Runs by their times, a lane worked out anew only where it has another time or another way."""

    __slots__ = ("_known", "_made", "_offs")

    def __init__(self) -> None:
        self._known: dict[int, tuple[Track, int, Taken, Pace, Track]] = {}
        self._made: Run | None = None
        self._offs: dict[int, tuple[Track, dict[Taken, Off | None]]] = {}

    def seen(self, run: Run, times: Mapping[int, Sequence[Taken]]) -> Run:
        """The run with swimmers as fast as they are by their times, by lane; the same as before where that is."""
        tracks = [self._track(run, lane, times.get(lane, ())) for lane in range(len(run.timeline.tracks))]
        made, fresh = self._made, replace(run, timeline=run.timeline)
        if (
            made is None
            or any(now is not was for now, was in zip(tracks, made.timeline.tracks))
            or replace(made, timeline=run.timeline) != fresh
        ):
            made = self._made = _with(run, tracks)
        return made

    def _track(self, run: Run, lane: int, times: Sequence[Taken]) -> Track:
        track = run.timeline.tracks[lane]
        if not times:
            return track
        known = self._known.get(lane)
        if known is not None and known[0] is track and known[1] == len(times) and known[2] is times[-1]:
            return known[4]
        pace = pace_of(self._offs_of(run, lane, times[-LATEST:]))
        same = known is not None and known[0] is track and known[3] == pace
        made = known[4] if known is not None and same else _paced(track, pace)
        self._known[lane] = track, len(times), times[-1], pace, made
        return made

    def _offs_of(self, run: Run, lane: int, times: Sequence[Taken]) -> list[Off]:
        track, known = self._offs.get(lane, (None, {}))
        if track is not run.timeline.tracks[lane]:
            known = {}
        known = {one: known[one] if one in known else _off(run, one) for one in times}
        self._offs[lane] = run.timeline.tracks[lane], known
        return [off for off in known.values() if off is not None]


def _paced(track: Track, pace: Pace) -> Track:
    """A lane's track with other bases; the same where nothing is off."""
    lines: dict[int, LaneLine] = {}
    for passed in track.passes:
        if id(passed.laneline) not in lines:
            lines[id(passed.laneline)] = _line(passed.laneline, pace)
    if all(lines[id(passed.laneline)] is passed.laneline for passed in track.passes):
        return track
    made = track.copy()
    made.passes = [passed._replace(laneline=lines[id(passed.laneline)]) for passed in track.passes]
    for passed in made.passes:
        if passed.laneline.own is not None:  # who swims straight through is sent off once
            behind = passed.first + passed.count
            until = made.sendoffs[behind] if behind < len(made.sendoffs) else None
            leaves = passed.laneline.leader_leaves(passed.skipped, passed.count, passed.start_ms)
            for index, at_ms in enumerate(leaves, passed.first):
                made.sendoffs[index] = at_ms if until is None else min(at_ms, until - behind + index)
    _end(made)
    return made


def _line(line: LaneLine, pace: Pace) -> LaneLine:
    kind = kind_of(line)
    ratios = [pace.ratio(kind, swimmer) for swimmer in range(len(line.bases))]
    held = pace.ratio(kind, None) if kind == HELD else 1.0
    if held == 1 and (kind == HELD or all(ratio == 1 for ratio in ratios)):
        return line
    return line.paced(
        tuple([base if ratio == 1 else round(base * ratio) for base, ratio in zip(line.bases, ratios)]), held
    )


def _end(track: Track) -> None:
    """Work out when everybody touches on each pass, and on all."""
    behind = track.behind = lates(track)
    for number, passed in enumerate(track.passes):
        ends = [
            _touch(track, passed, index, swimmer, late)
            for swimmer, late in enumerate(behind[: len(passed.laneline.bases)])
            for index in _lasting(track, passed, late)
        ]
        track.passes[number] = passed._replace(end_ms=max(ends, default=0))
    track.end_ms = max([passed.end_ms for passed in track.passes], default=0)


def _lasting(track: Track, passed: Pass, late: Mapping[int, int]) -> Iterable[int]:
    """The repeats of a pass on which a swimmer can touch last: where all is as told, the last of each kind."""
    repeats = range(passed.first, passed.first + passed.count)
    if late or track.closed or track.held_ms is not None:
        return repeats
    kind_of = passed.laneline.kind_of
    return {kind_of[passed.skipped + index - passed.first]: index for index in repeats}.values()


def _touch(track: Track, passed: Pass, index: int, swimmer: int, late: Mapping[int, int]) -> int:
    """When a swimmer touches on a repeat or is stopped; 0 where they do not leave on it."""
    repeat, line = passed.skipped + index - passed.first, passed.laneline
    leaves_by, done_by = track.bounds(index)
    leaves = late.get(index, passed.start_ms + line.leaves(repeat, swimmer, passed.skipped))
    ahead = track.held_ms is not None and track.sendoffs[index] > track.held_ms
    return min(done_by, leaves + line.times(repeat, swimmer)[-1]) if ahead or leaves <= leaves_by else 0
