"""Correct the expected times of a session by the times recorded in it.

Each time is compared with its prediction, as a natural logarithm of the ratio. First comes the deviation of the lane
as a whole: the mean of its times at plain swimming, or while there are none, a part of the mean of all. Then the
further deviation of each kind of work, then of each swimmer. A prior, a standard deviation from before anything was
timed, pulls each mean towards zero.

A mean counts once it is beyond chance: two times or more, and three and a half standard errors, where one time varies
by 2 %, or more if the times show it. Until then swimmers are expected as predicted. A lane that is 5 % slower is seen
after three times, for which 2.8 standard errors are enough; with two of them at plain swimming, it is enough if all
times together are beyond chance, and these beyond two standard errors. Once the lane is off as a whole, its kinds of
work and swimmers need three.

So who swims as written is expected as written, where times vary by chance as little as is published, 1 to 1.4 %: of
9,600 moments of 400 lanes, in none otherwise. It is not quite so where they vary more: at 2 % in one moment of 500, and
the mean error of the expected arrivals grows by 0.1 %; at 2.5 % in one of 60, by 0.5 %; at 3 % in one of 25, by 1 %
(`tests/session/records/test_expectedtimes.py`: each time varies for itself).

Outliers are left out by the review's rule (`outlyingtimes`); the lane as a whole is allowed a quarter, and a robust
standard deviation is at least 2 %. Priors and limits are our own, no source. Send-offs never move.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from math import exp, log, sqrt
from typing import NamedTuple

from pacer.plan.model import Activity
from pacer.session.journal.recordentries import Touched
from pacer.session.records.outlyingtimes import FEW_TIMES, LANE_FAR, far_off, limit, middle
from pacer.session.records.touches import TakenTime, swim_of, times
from pacer.session.running.instant import lates
from pacer.session.running.runstate import Run
from pacer.timeline.laneline import LaneLine
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Pass, Track

LANE_SPREAD, KIND_SPREAD, SWIMMER_SPREAD = 0.06, 0.08, 0.04
LEAST_NOISE = 0.015  #: the least variation of one time
LEAST_NOISE_WEIGHT = 4  #: the number of times that it counts as
CHANCE = 0.02  #: variation up to this is always taken for chance: some swimmers vary by that
BELIEVED, FEWEST_TIMES = 3.5, 2  #: standard errors, and number of times, that a mean needs to count
EARLY, EARLY_BELIEVED = 3, 2.8  #: with only this many times of a lane, fewer standard errors are enough
HINTED = 2  #: so do a lane's few times at plain swimming, if all its times are beyond chance
WITHIN = 3  #: so do the kinds of work and the swimmers of a lane that is off as a whole
LEAST_SCALE = 0.02
LATEST = 24  #: how many of a lane's latest times count
STEP = 0.005  #: deviations are rounded to half a per cent: nobody sees less
SWIM = str(Activity.SWIM)
HELD = "held"  #: the kind of a line with a hold time


class Off(NamedTuple):
    """The deviation of one time: the logarithm of its ratio to the prediction; `swimmer` is a number, None: anybody."""

    kind: str
    swimmer: int | None
    log: float


@dataclass(frozen=True, slots=True)
class Pace:
    """A lane's deviation: `lane` as a whole, plus `kinds` for each kind of work, plus `swimmers` for each swimmer by
    number.
    """

    lane: float = 0.0
    kinds: Mapping[str, float] = field(default_factory=dict)
    swimmers: Mapping[int, float] = field(default_factory=dict)

    def log(self, kind: str, swimmer: int | None) -> float:
        """The expected deviation of a swimmer's time; None: of the lane as a whole."""
        own = 0.0 if swimmer is None else self.swimmers.get(swimmer, 0.0)
        return self.lane + self.kinds.get(kind, 0.0) + own

    def ratio(self, kind: str, swimmer: int | None) -> float:
        """How many times as long as predicted a swimmer is expected to take.

        >>> Pace().ratio("swim", 0), Pace(0.05).ratio("kick", None)
        (1.0, 1.0512710963760241)
        """
        return exp(self.log(kind, swimmer))


def pace_of(offs: Sequence[Off]) -> Pace:
    """A lane's deviation by its times, without outliers."""
    far = far_off([off.log for off in offs], LANE_FAR)
    kept = [off for at, off in enumerate(offs) if at not in far] if far else offs
    found = _found(kept)
    if len(kept) >= FEW_TIMES:
        rests = [off.log - found.log(off.kind, off.swimmer) for off in kept]
        usual = middle(rests)  # of what is not believed yet
        distances = [abs(rest - usual) for rest in rests]
        most = limit(distances, LEAST_SCALE)
        if max(distances) > most:
            found = _found([off for off, away in zip(kept, distances) if away <= most])
    return found


def _found(offs: Sequence[Off]) -> Pace:
    """Work out the parts one after another, each from what the earlier ones leave unexplained."""
    lane = _lane(offs)
    errors = WITHIN if lane else BELIEVED
    kinds: dict[str, list[float]] = {}
    for off in offs:
        if off.kind != SWIM:
            kinds.setdefault(off.kind, []).append(off.log - lane)
    found = Pace(lane, {kind: _believed(rests, KIND_SPREAD, errors) for kind, rests in kinds.items()})
    swimmers: dict[int, list[float]] = {}
    for off in offs:
        if off.swimmer is not None:
            swimmers.setdefault(off.swimmer, []).append(off.log - found.log(off.kind, None))
    return replace(found, swimmers={who: _believed(rests, SWIMMER_SPREAD, errors) for who, rests in swimmers.items()})


def _lane(offs: Sequence[Off]) -> float:
    """The lane as a whole."""
    every, swims = [off.log for off in offs], [off.log for off in offs if off.kind == SWIM]
    if not swims:  # only the share that, by the priors, is not due to the kind of work
        whole = _believed(every, LANE_SPREAD, _needed(every))
        return _stepped(whole * LANE_SPREAD**2 / (LANE_SPREAD**2 + KIND_SPREAD**2))
    if len(swims) < EARLY and _beyond_chance(every, _needed(every)):
        return _believed(swims, LANE_SPREAD, HINTED)
    return _believed(swims, LANE_SPREAD, _needed(swims))


def _needed(logs: Sequence[float]) -> float:
    """How many standard errors a lane's times need."""
    return EARLY_BELIEVED if len(logs) == EARLY else BELIEVED


def _believed(logs: Sequence[float], prior: float, errors: float) -> float:
    """The mean, pulled towards zero by its prior; 0 if it is not beyond that many standard errors."""
    if not _beyond_chance(logs, errors):
        return 0.0
    times = len(logs)
    return _stepped(sum(logs) / (times + (_noise(logs) / prior) ** 2))


def _beyond_chance(logs: Sequence[float], errors: float) -> bool:
    """Whether a mean is more than that many standard errors from zero."""
    times = len(logs)
    return times >= FEWEST_TIMES and abs(sum(logs)) > errors * max(_noise(logs), CHANCE) * sqrt(times)


def _noise(logs: Sequence[float]) -> float:
    """The variation of one time: from the times, and the least one, which counts as four of them."""
    mean = sum(logs) / len(logs)
    spread = sum((each - mean) ** 2 for each in logs)
    return max(LEAST_NOISE, sqrt((LEAST_NOISE_WEIGHT * LEAST_NOISE**2 + spread) / (LEAST_NOISE_WEIGHT + len(logs) - 1)))


def _stepped(off: float) -> float:
    return round(off / STEP) * STEP


# -- of a session -----------------------------------------------------------------------------------------


def paces(run: Run, taken: Iterable[TakenTime]) -> tuple[Pace, ...]:
    """The deviation of each lane, in the squad's order."""
    lanes: list[list[TakenTime]] = [[] for _ in run.timeline.tracks]
    for one in taken:
        lanes[one.touched.lane].append(one)
    return tuple([_pace(run, times) for times in lanes])


def _pace(run: Run, times: Sequence[TakenTime]) -> Pace:
    return pace_of([off for one in times[-LATEST:] if (off := _off(run, one.touched)) is not None])


def _off(run: Run, entry: Touched) -> Off | None:
    found = swim_of(run, entry)
    if found is None or not entry.time_cs or not found.predicted_ms or not found.distance:
        return None
    track = run.timeline.tracks[entry.lane]
    line = track.pass_at(found.index).laneline
    return Off(kind_of(line), found.who, log(entry.time_cs * 10 / found.predicted_ms))


def doubted(run: Run, entry: Touched, taken: Iterable[TakenTime]) -> bool:
    """Whether a time looks wrong beside all that were `taken` in its lane: nothing is learned from it."""
    others = [one.touched for one in taken if one.touched.lane == entry.lane]
    others = [each for each in others if (each.swimmer, each.left_ms) != (entry.swimmer, entry.left_ms)]
    logs = [off.log for each in (entry, *others[-LATEST:]) if (off := _off(run, each)) is not None]
    return _off(run, entry) is not None and 0 in far_off(logs, LANE_FAR)


def kind_of(line: LaneLine) -> str:
    """The kind of work of a line: its activities, or `HELD` if it has a hold time."""
    if any(hold is not None for _, hold in line.kinds):
        return HELD
    return " ".join(sorted({str(work.activity) for shape, _ in line.kinds for work in shape.works}))


def expected(run: Run, found: Sequence[Pace]) -> Run:
    """The run with the swimmers' real speeds by their times and the same send-offs; `run` itself if nothing deviates.

    It is only for display: when everybody touches, where they are, who catches whom, when all are out. Work out
    everything else from `run`.
    """
    return _with(run, [_paced(track, pace) for track, pace in zip(run.timeline.tracks, found, strict=True)], found)


def by_times(run: Run, journal: Iterable[object]) -> Run:
    """The same by the times in the journal, after corrections."""
    taken = times(journal)
    return expected(run, paces(run, taken)) if taken else run


def _with(run: Run, tracks: Sequence[Track], found: Sequence[Pace]) -> Run:
    timeline = run.timeline
    if all(now is was for now, was in zip(tracks, timeline.tracks)):
        return run
    made = Timeline(timeline.plan, timeline.squad, timeline.counts, tuple(tracks), timeline.gates, timeline.course)
    return replace(run, timeline=made, paced_from=(run, partial(expected, found=found)))


class Following:
    """Runs by their times; a lane is worked out again only if it has a new time or another track."""

    __slots__ = ("_known", "_made", "_offs")

    def __init__(self) -> None:
        self._known: dict[int, tuple[Track, int, TakenTime, Pace, Track]] = {}
        self._made: Run | None = None
        self._offs: dict[int, tuple[Track, dict[int, tuple[Touched, Off | None]]]] = {}

    def seen(self, run: Run, times: Mapping[int, Sequence[TakenTime]]) -> Run:
        """The run with the swimmers' real speeds; `times` are by lane. The same object as before if nothing changed."""
        tracks = [self._track(run, lane, times.get(lane, ())) for lane in range(len(run.timeline.tracks))]
        made, fresh = self._made, replace(run, timeline=run.timeline)
        if (
            made is None
            or any(now is not was for now, was in zip(tracks, made.timeline.tracks))
            or replace(made, timeline=run.timeline) != fresh
        ):
            known = [self._known.get(lane) for lane in range(len(tracks))]
            found = [Pace() if each is None else each[3] for each in known]
            made = self._made = _with(run, tracks, found)
        return made

    def _track(self, run: Run, lane: int, times: Sequence[TakenTime]) -> Track:
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

    def _offs_of(self, run: Run, lane: int, times: Sequence[TakenTime]) -> list[Off]:
        track, known = self._offs.get(lane, (None, {}))
        if track is not run.timeline.tracks[lane]:
            known = {}
        made = {}
        for one in times:
            found = known.get(one.number)
            made[one.number] = (
                found if found is not None and found[0] is one.touched else (one.touched, _off(run, one.touched))
            )
        self._offs[lane] = run.timeline.tracks[lane], made
        return [off for _, off in made.values() if off is not None]


def _paced(track: Track, pace: Pace) -> Track:
    """A lane's track with other bases; the same track if nothing deviates."""
    lines: dict[int, LaneLine] = {}
    for passed in track.passes:
        if id(passed.laneline) not in lines:
            lines[id(passed.laneline)] = _line(passed.laneline, pace)
    if all(lines[id(passed.laneline)] is passed.laneline for passed in track.passes):
        return track
    made = track.copy()
    made.passes = [passed._replace(laneline=lines[id(passed.laneline)]) for passed in track.passes]
    for passed in made.passes:
        if passed.laneline.own is not None:  # on a line swum straight through, there is only one send-off
            behind = passed.first + passed.count
            until = made.sendoffs[behind] if behind < len(made.sendoffs) else None
            leaves = passed.laneline.leader_leaves(passed.skipped, passed.count, passed.start_ms)
            for index, at_ms in enumerate(leaves, passed.first):
                made.sendoffs[index] = at_ms if until is None else min(at_ms, until - behind + index)
    _end(made)
    return made


def _line(line: LaneLine, pace: Pace) -> LaneLine:
    kind = kind_of(line)
    ratios = [pace.ratio(kind, number) for number in line.who]
    held = pace.ratio(kind, None) if kind == HELD else 1.0
    if held == 1 and (kind == HELD or all(ratio == 1 for ratio in ratios)):
        return line
    return line.paced(
        tuple([base if ratio == 1 else round(base * ratio) for base, ratio in zip(line.bases, ratios)]), held
    )


def _end(track: Track) -> None:
    """Work out the last touch of each pass, and of the track."""
    track.final = True
    behind = lates(track)
    if not track.closed and not track.cuts and track.paused_ms is None:
        ends = _whole_ends(track.passes)
        for who, late in behind.items():
            for index, leaves in late.items():
                number = track.pass_of[index]
                line = track.passes[number].laneline
                touch = leaves + line.times(track.repeat_in_line(index), line.who.index(who))[-1]
                ends[number] = max(ends[number], touch)
        track.passes = [passed._replace(end_ms=end_ms) for passed, end_ms in zip(track.passes, ends)]
        track.end_ms = max(ends, default=0)
        return
    for number, passed in enumerate(track.passes):
        touches = [
            _touch(track, passed, index, swimmer, behind[who])
            for swimmer, who in enumerate(passed.laneline.who)
            for index in range(passed.first, passed.first + passed.count)
        ]
        track.passes[number] = passed._replace(end_ms=max(touches, default=0))
    track.end_ms = max([passed.end_ms for passed in track.passes], default=0)


def _whole_ends(passes: Iterable[Pass]) -> list[int]:
    """The last touch of each pass, if everybody swims it whole and leaves in time."""
    known: dict[tuple[int, int, int], int] = {}
    ends = []
    for passed in passes:
        key = id(passed.laneline), passed.skipped, passed.count
        if key not in known:
            known[key] = _takes(passed.laneline, passed.skipped, passed.skipped + passed.count)
        ends.append(passed.start_ms + known[key])
    return ends


def _takes(line: LaneLine, first: int, behind: int) -> int:
    """From the leader's send-off on repeat `first` to the last touch before repeat `behind`."""
    if line.own is not None:
        return max([own[behind] - own[first] + line.behind(k) for k, own in enumerate(line.own)], default=0)
    last = {line.kind_of[repeat]: line.offsets[repeat] - line.offsets[first] for repeat in range(first, behind)}
    totals = line.totals()
    ends = [at + line.behind(k) + took for kind, at in last.items() for k, took in enumerate(totals[kind])]
    return max(ends, default=0)


def _touch(track: Track, passed: Pass, index: int, swimmer: int, late: Mapping[int, int]) -> int:
    """When a swimmer touches on a repeat or is stopped; 0 if they do not leave on it."""
    repeat, line = passed.repeat_in_line(index), passed.laneline
    leaves_by, done_by = track.bounds(index)
    leaves = late.get(index, passed.leaves(index, swimmer))
    ahead = track.paused_ms is not None and track.sendoffs[index] > track.paused_ms
    return min(done_by, leaves + line.times(repeat, swimmer)[-1]) if ahead or leaves <= leaves_by else 0
