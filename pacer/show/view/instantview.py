"""What the face shows of a run at an instant, ready to draw.

Nothing here draws and nothing here knows what time it is. A drawing that gets the same `BandText` again need not touch
its texts.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import lru_cache

from pacer.plan.times import whole_up
from pacer.session.journal.entries import Begun
from pacer.session.running.finish import finish_ms
from pacer.session.running.replay import Run
from pacer.show.view.bandreader import BandReader
from pacer.show.view.onelaneview import lane_at
from pacer.show.view.viewvalues import STOP, TALK, WAIT, Band, BandText, DialNow, LaneNow, Mark, PoolNow
from pacer.show.wording.notimetext import mates_of
from pacer.show.wording.settext import doing_words
from pacer.show.wording.timereadings import (
    clock_reading,
    count_down,
    count_up,
    finish_reading,
    hand_degrees,
    seconds_to_go,
)
from pacer.show.wording.viewtext import say
from pacer.squad.lanenumbers import spans
from pacer.timeline.course import Course
from pacer.timeline.hazards import hazard_lines
from pacer.timeline.timeline import Timeline

_BEGUN = Begun(0, 0, 0, "+00:00")  #: for a run that is only looked at

# -- what each frame asks for --------------------------------------------------------------------


def pool_view(
    run: Run,
    at_ms: int,
    *,
    phase_ms: int = 0,
    places: bool = True,
    walls: Sequence[Collection[int]] = (),
    glide_ms: int = 1,
) -> PoolNow:
    """The pool at `at_ms` from the session's zero.

    `phase_ms` is how far the pace clock is ahead of it. Before the session has begun `at_ms` only moves the clock.
    `places` false leaves the swimmers out; `walls` are, by lane, the numbers of those who are at the wall because
    they have touched, whatever the prediction says. What glides (swimmers, how far a segment is done, the hand) moves
    every `glide_ms`, in all views.
    """
    reader = reader_of(run.timeline, run.course)
    clock_ms, at_ms = at_ms, _instant(run, at_ms)
    bands = tuple([lane.band(at_ms, run, phase_ms, places, glide_ms) for lane in reader.lanes])
    if run.ended_ms is not None:
        home = _homeward(run.timeline, run.course)
        bands = tuple([home.band(lane, band, clock_ms, phase_ms, places, glide_ms) for lane, band in enumerate(bands)])
    elif any(walls):
        bands = tuple([_re_anchored(band, wall, lane, at_ms) for band, wall, lane in zip(bands, walls, reader.lanes)])
    label, session = session_words(run, at_ms)
    out, spare, over = out_words(run, at_ms)
    return PoolNow(
        clock_reading(clock_ms, phase_ms),
        label,
        session,
        section_of(reader, [band.text for band in bands]),
        reader.title,
        out,
        spare,
        run.begun is not None and at_ms >= 0,
        run.stopped,
        hand_degrees((clock_ms + phase_ms) // glide_ms * glide_ms),
        reader.near_wall,
        bands,
        over=over,
    )


def lane_view(run: Run, lane: int, at_ms: int, *, phase_ms: int = 0, glide_ms: int = 1) -> LaneNow:
    """The lane at index `lane` of the squad, for its swimmers."""
    reader = reader_of(run.timeline, run.course)
    clock_ms, at_ms = at_ms, _instant(run, at_ms)
    if run.ended_ms is not None:
        home = _homeward(run.timeline, run.course)
        if home.is_out(lane, clock_ms):
            reader, run, at_ms = home.reader, home.run, clock_ms
    return lane_at(reader.lanes[lane], at_ms, run, phase_ms, clock_reading(clock_ms, phase_ms), glide_ms)


def dial_view(run: Run, at_ms: int, *, phase_ms: int = 0, glide_ms: int = 1) -> DialNow:
    """The dial: where the hand is, and where on its rim each lane leaves next."""
    view = pool_view(run, at_ms, phase_ms=phase_ms, places=False, glide_ms=glide_ms)
    texts = [band.text for band in view.bands]
    return DialNow(
        view.hand,
        view.clock,
        marks_of(texts, [":" in band.count for band in view.bands]),
        view.bands,
        view.session_label,
        view.session,
        dial_section(texts, view.section),
        view.begun,
        view.stopped,
    )


def marks_of(texts: Sequence[BandText], later: Sequence[bool]) -> tuple[Mark, ...]:
    """Where on the dial's rim lanes leave next; `later` says of each lane whether that is a minute away or more."""
    marks: dict[tuple[str, bool], list[BandText]] = {}
    for text, late in zip(texts, later):
        if text.clock:
            marks.setdefault((text.clock, late), []).append(text)
    return tuple(
        Mark(int(clock[1:]), tuple(text.lane for text in found), _shared({text.state for text in found}), late)
        for (clock, late), found in sorted(marks.items())
    )


def dial_section(texts: Sequence[BandText], section: str) -> str:
    """What the dial says in place of the section: who has to stop, where not everybody has."""
    stopping = [int(text.lane) for text in texts if text.state == STOP]
    if not stopping:
        return section
    if len(stopping) == len(texts):
        return say("stop at wall")
    return f"{say('one lane' if len(stopping) == 1 else 'lanes', numbers=spans(stopping))}: {say('stop')}"


def _re_anchored(band: Band, wall: Collection[int], lane: BandReader, at_ms: int) -> Band:
    """The band with those who have touched moved to the wall."""
    if not wall or not band.places:
        return band
    index = lane.track.index_at(at_ms)
    return band._replace(
        places=tuple(
            [
                lane.ways.wall(index, row, at_ms) if lane.ways.who[row] in wall and place >= 0 else place
                for row, place in enumerate(band.places)
            ]
        )
    )


def _shared(states: set[str]) -> str:
    return states.pop() if len(states) == 1 else WAIT


def forget() -> None:
    """Forget every text worked out so far: needed after the words have changed."""
    reader_of.cache_clear()
    _newest.clear()
    _homeward.cache_clear()
    doing_words.cache_clear()


_newest: list[PoolReader] = []  #: what was worked out last: unchanged lanes keep it


@lru_cache(maxsize=4)
def reader_of(timeline: Timeline, course: Course) -> PoolReader:
    """The pool's reader for a timeline, kept for the next frames."""
    made = PoolReader(timeline, course, _newest[0] if _newest else None)
    _newest[:] = [made]
    return made


def _instant(run: Run, at_ms: int) -> int:
    return at_ms if run.ended_ms is None else min(at_ms, run.ended_ms)


class Homeward:
    """The lanes of a session that was ended midway: swimmers out in the pool stop at the home wall."""

    def __init__(self, timeline: Timeline, course: Course):
        self.run = Run(course, timeline, _BEGUN)
        self.reader = PoolReader(timeline, course)
        paused = [track.paused_ms for track in timeline.tracks if track.paused_ms is not None]
        for told in self.reader.lanes:
            told.over_ms = max(paused, default=None)  # the end pauses every lane that is not done

    def home_ms(self, lane: int) -> int:
        """When the last of a lane is home who was out at the end."""
        told = self.reader.lanes[lane]
        return max([until for _, until in (*told.stops[-1:], *told.backs[-1:])], default=0)

    def is_out(self, lane: int, at_ms: int) -> bool:
        """Whether somebody of the lane is still on the way home."""
        return at_ms < self.home_ms(lane)

    def band(self, lane: int, ended: Band, at_ms: int, phase_ms: int, places: bool, glide_ms: int) -> Band:
        """The lane's band: `ended` once everybody is home."""
        if not self.is_out(lane, at_ms):
            return ended
        return self.reader.lanes[lane].band(at_ms, self.run, phase_ms, places, glide_ms)


@lru_cache(maxsize=2)
def _homeward(timeline: Timeline, course: Course) -> Homeward:
    return Homeward(timeline, course)


# -- the top line ------------------------------------------------------------------------------------


def session_words(run: Run, at_ms: int) -> tuple[str, str]:
    """What the time in the session is called, and that time."""
    if run.begun is None:
        return say("session"), say("not begun")
    if at_ms < 0:
        return say("begins in"), count_down(seconds_to_go(-at_ms))
    return (say("ended") if run.ended_ms is not None else say("in the session")), count_up(at_ms // 1000)


def out_words(run: Run, at_ms: int) -> tuple[str, tuple[str, ...], bool]:
    """When everybody is out, until when the pool is booked, and whether that is over."""
    end_ms = finish_ms(run, at_ms)
    swims_home = run.ended_ms is not None and end_ms > run.ended_ms
    return finish_words(run.begun, end_ms, run.timeline.plan.booking_ms, "home" if swims_home else "out")


@lru_cache(64)
def finish_words(begun, end_ms: int, booking_ms: int | None, called: str = "out") -> tuple[str, tuple[str, ...], bool]:
    """Before a start is set, how much time is spare.

    After that two times of day, the finish and the minute to which the pool is booked. The finish is `called` so:
    "home" if somebody still had to swim to the wall when the session was ended.
    """
    if begun is None:
        end_s = -(-end_ms // 1000)
        out = say("takes", time=whole_up(end_ms))
        if booking_ms is None:
            return out, (), False
        spare_s = booking_ms // 1000 - end_s
        return out, (say("over" if spare_s < 0 else "spare", time=count_up(abs(spare_s))),), spare_s < 0
    out = say(called, time=finish_reading(begun.wall_ms, end_ms, booking_ms, begun.zone))
    if booking_ms is None:
        return out, (), False
    over = end_ms > booking_ms
    time = finish_reading(begun.wall_ms, booking_ms, booking_ms, begun.zone)
    ways = ("over booked", "over booked short") if over else ("booked", "booked short")
    return out, tuple(say(way, time=time) for way in ways), over


def section_of(reader: PoolReader, texts: Sequence[BandText]) -> str:
    """The section that most lanes are in; the earlier one if two have as many.

    Lanes that wait for their next section are in none, unless all lanes wait.
    """
    sections = {text.section for text in texts}
    if len(sections) == 1:
        return reader.sections.get(sections.pop(), "")
    going = [text for text in texts if text.state != "done"]
    counted = [text.section for text in going if text.state != TALK] or [text.section for text in going]
    return reader.sections.get(min(sections, key=lambda number: (-counted.count(number), number), default=-1), "")


class PoolReader:
    """All lanes of a timeline, with what was worked out for them."""

    def __init__(self, timeline: Timeline, course: Course, known: PoolReader | None = None):
        self.course = course
        self.title = timeline.plan.title
        self.near_wall = min(0.25, 5 / float(timeline.plan.pool.length))
        self.sections = {number: section.name for number, section in enumerate(timeline.plan.sections)}
        hazards = hazard_lines(timeline.plan)
        same: tuple[BandReader, ...] = known.lanes if known is not None and known.course is course else ()
        self.lanes: tuple[BandReader, ...] = tuple(
            same[lane]
            if same and same[lane].track is track and not same[lane].ways.joins and not mates_of(course, lane)
            else BandReader(timeline, lane, hazards)
            for lane, track in enumerate(timeline.tracks)
        )
