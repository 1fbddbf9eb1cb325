"""One lane read for the face: what its band says at an instant.

What stays the same for a while is worked out once and remembered (`BandText`, one for each repeat and state of the
lane), so that a frame only fills in the count-downs.
"""

from __future__ import annotations

from bisect import bisect_right

from pacer.language import tr
from pacer.session.running.brokenrepeats import in_all, swum
from pacer.session.running.instant import READY_MS, LaneState, State, go_ends, lane_state, segment_at
from pacer.session.running.replay import Run
from pacer.session.running.whereabouts import last_swims, stops, swim_backs
from pacer.show.view.ribbontext import ribbon_of, with_details
from pacer.show.view.swimmerplaces import FAR, HOME, LanePaths
from pacer.show.view.viewvalues import SHAPES, STOP, TALK, WAIT, Band, BandCard, BandText
from pacer.show.wording.notimetext import leave_together, mates_of
from pacer.show.wording.settext import doing_words, length_words, name_words
from pacer.show.wording.timereadings import clock_reading, count_down, count_up
from pacer.show.wording.viewtext import say
from pacer.show.wording.waitingtext import named
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import NEVER

_KEPT = 512  #: texts remembered for a lane, and repeats
_BEFORE_MS = -(10**12)  #: an instant before every lead-in
_tuple = tuple.__new__  #: a named tuple without the cost of its constructor

_NAMES = {State.READY: "ready", State.GO: "go", State.SWIMMING: "swim", State.RESTING: "rest",
          State.CHANGEOVER: TALK, State.PAUSED: "paused", State.DONE: "done"}  # fmt: skip


class BandReader:
    """One lane's texts."""

    __slots__ = (
        "backs",
        "hazards",
        "home_ms",
        "lane",
        "number",
        "over_ms",
        "phase_ms",
        "phases",
        "stops",
        "texts",
        "timeline",
        "track",
        "ways",
    )

    def __init__(self, timeline: Timeline, lane: int, hazards: frozenset[tuple[int, int]]):
        self.timeline = timeline
        self.lane = lane
        self.track = timeline.tracks[lane]
        self.hazards = hazards
        self.number = str(timeline.squad.lanes[lane].number)
        self.ways = LanePaths(timeline, lane)
        self.stops, self.backs = stops(timeline, lane), swim_backs(timeline, lane)
        paused_ms = self.track.paused_ms  # if the lane is paused: when the last of those under way is home
        swims = () if paused_ms is None else last_swims(timeline, lane, paused_ms)
        self.home_ms = max([swim.home_ms for swim in swims if swim is not None], default=paused_ms or 0)
        self.texts: dict[tuple, BandText] = {}
        self.phases: dict[int, tuple[list[int], list[BandCard]]] = {}
        self.phase_ms = 0
        self.over_ms: int | None = None  #: when the session was ended, for a lane that is still on the way home

    def band(self, at_ms: int, run: Run, phase_ms: int, places: bool, glide_ms: int = 1) -> Band:
        index = bisect_right(self.track.sendoffs, at_ms) - 1
        text, leave_ms, sent_ms, from_ms, takes_ms = self.card(at_ms, run, phase_ms, index)
        glides_ms = at_ms - at_ms % glide_ms
        return _tuple(
            Band,
            (
                text,
                "" if leave_ms is None else count_down(-((at_ms - leave_ms) // 1000)),
                "" if sent_ms is None else count_up((at_ms - sent_ms) // 1000),
                0.0 if from_ms is None else min(1.0, max(0.0, (glides_ms - from_ms) / takes_ms)),  # type: ignore[operator]
                () if not places else self._places(index, glides_ms, run),
            ),
        )

    def _places(self, index: int, at_ms: int, run: Run) -> tuple[float, ...]:
        if run.begun is None:
            return (HOME,) * self.ways.here
        paused_ms = self.track.paused_ms
        last = index if paused_ms is None else self.track.index_at(min(at_ms, paused_ms))
        places = self.ways.seen(last, at_ms)
        if run.ended_ms is None:
            return places
        return tuple([FAR if place == FAR else HOME for place in places[: self.ways.here]])  # nobody swims any more

    def card(self, at_ms: int, run: Run, phase_ms: int, index: int) -> BandCard:
        """What the band says at `at_ms` and for a while after it; `index` is the send-off before it (-1: none)."""
        if run.begun is None or run.ended_ms is not None or self.track.paused_ms is not None:
            return self._still(at_ms, run, phase_ms)
        if phase_ms != self.phase_ms:
            self.phase_ms = phase_ms
            self.phases.clear()
        starts, cards = self.phases.get(index) or self._phases(index, run)
        return cards[bisect_right(starts, at_ms) - 1]

    def _still(self, at_ms: int, run: Run, phase_ms: int) -> BandCard:
        """The band of a lane that does not run: before the session, after it, or paused."""
        found = lane_state(self.track, at_ms if run.begun else _BEFORE_MS)
        if found.state is State.PAUSED:
            found = self._swimming_in(found, at_ms)
        text = self._text(found, phase_ms, run, at_ms)
        if run.begun is None or run.ended_ms is not None:
            found = found._replace(leaves_in_ms=None)
        return self._card(found, text, at_ms)

    def _card(self, found: LaneState, text: BandText, at_ms: int) -> BandCard:
        from_ms = takes_ms = None
        if text.lit >= 0:
            times = self.track.pass_at(found.index).laneline.times(self.track.repeat_in_line(found.index), 0)
            before = times[found.segment - 1] if found.segment else 0
            from_ms, takes_ms = self.track.sendoffs[found.index] + before, times[found.segment] - before
        return BandCard(
            text,
            None if found.leaves_in_ms is None else at_ms + found.leaves_in_ms,
            at_ms - found.swum_ms if text.timed and found.swum_ms is not None else None,
            from_ms,
            takes_ms,
        )

    def changes(self, run: Run, from_ms: int, until_ms: int) -> set[int]:
        """The instants after `from_ms` and before `until_ms` at which the band may say something else."""
        track, sendoffs = self.track, self.track.sendoffs
        first, last = track.index_at(from_ms), track.index_at(until_ms)
        found: set[int] = set()
        if run.begun is None:
            return found
        if run.ended_ms is not None or track.paused_ms is not None:
            found |= {run.ended_ms or 0, track.paused_ms or 0, self.home_ms, track.end_ms, *track.cuts.values()}
            found |= {at for window in (*self.stops, *self.backs) for at in window}
            index = first if track.paused_ms is None else track.index_at(min(from_ms, track.paused_ms))
            if index >= 0:
                times = track.pass_at(index).laneline.times(track.repeat_in_line(index), 0)
                found |= {sendoffs[index] + time for time in times}
        else:
            for index in range(first, last + 1):
                found.update((self.phases.get(index) or self._phases(index, run))[0])
        return {at for at in found if from_ms < at < until_ms}

    def _swimming_in(self, found: LaneState, at_ms: int) -> LaneState:
        """The state of a paused lane; `upcoming` is the current repeat while its leader still swims it to the end."""
        track, index = self.track, found.index
        if index < 0 or at_ms >= track.cuts.get(index, NEVER):
            return found
        line, repeat = track.pass_at(index).laneline, track.repeat_in_line(index)
        times, since = line.times(repeat, 0), at_ms - track.sendoffs[index]
        if since >= times[-1]:
            return found
        return found._replace(upcoming=index, segment=segment_at(times, since))

    def _phases(self, index: int, run: Run) -> tuple[list[int], list[BandCard]]:
        """What the lane says from its send-off `index` to the next: instants, and what holds from each.

        `lane_state` decides the state at an instant; here is only known when it may change.
        """
        if len(self.phases) >= _KEPT:
            self.phases.clear()
        track, sendoffs = self.track, self.track.sendoffs
        begins = sendoffs[index] if index >= 0 else _BEFORE_MS
        until = sendoffs[index + 1] if index + 1 < len(sendoffs) else NEVER
        changes = {begins, until - READY_MS}
        if index >= 0:
            found = track.pass_at(index)
            line = found.laneline
            times = line.times(track.repeat_in_line(index), 0)
            following = found.first + found.count
            changes |= {begins + time for time in times}
            changes |= {begins + go_ends(line), track.end_ms, track.bounds(index)[1]}
            if following < len(sendoffs):
                changes.add(sendoffs[following] - READY_MS)
            changes |= {self.ways.late[k].get(index, begins) for k in range(self.ways.swimmers)}
        changes |= {at for window in (*self.stops, *self.backs) for at in window}
        starts = sorted(at for at in changes if begins <= at < until)
        cards = []
        for at in starts:
            state = lane_state(track, at)
            cards.append(self._card(state, self._text(state, self.phase_ms, run, at), at))
        made = self.phases[index] = starts, cards
        return made

    def _text(self, found: LaneState, phase_ms: int, run: Run, at_ms: int) -> BandText:
        name = WAIT if run.begun is None else "done" if run.ended_ms is not None else _NAMES[found.state]
        if name == "paused" and self.over_ms is not None:
            name = "done"
        if (
            self.stops
            and name != WAIT
            and run.ended_ms is None
            and any(since <= at_ms < until for since, until in self.stops)
        ):
            name = STOP
        behind = 0 if name == "paused" else sum(late.get(found.index, at_ms) > at_ms for late in self.ways.late)
        finish = name == "paused" and at_ms < self.home_ms
        back = name != WAIT and run.ended_ms is None and any(since <= at_ms < until for since, until in self.backs)
        key = (name, found.index, found.upcoming, found.segment, phase_ms, behind, finish, back, run.ended_ms)
        text = self.texts.get(key)
        if text is None:
            if len(self.texts) >= _KEPT:
                self.texts.clear()
            text = self.texts[key] = self._worked_out(run, *key[:8])
        return text

    def _worked_out(
        self,
        run: Run,
        name: str,
        index: int,
        upcoming: int,
        segment: int,
        phase_ms: int,
        behind: int,
        finish: bool,
        back: bool,
    ) -> BandText:
        track = self.track
        paused = name == "paused"
        swimming = name in ("swim", "go") or (paused and upcoming == index >= 0)
        shown = index if swimming else index + (not track.again) if paused else upcoming
        shown = min(index if shown < 0 else shown, len(track.sendoffs) - 1)
        if name == "done" and shown < 0 and track.sendoffs:  # the session was ended before the lane left
            shown = 0
        clock = (
            clock_reading(track.sendoffs[upcoming], phase_ms)
            if upcoming >= 0 and name not in ("done", WAIT, "paused")
            else ""
        )
        label = say("finish") if finish else say("leaves at") if clock else ""
        word, shape = say(name), SHAPES[name]
        told = (say("swim back"), say("swim back short")) if back else ()
        if shown < 0 or name == "done":
            section = track.pass_at(shown).section if shown >= 0 else -1
            swum_in_all = self._swum_ways(run) if shown >= 0 else ()
            return BandText(
                self.number,
                name,
                word,
                shape,
                swum_in_all[0] if swum_in_all else "",
                ("",),
                ("",),
                (),
                -1,
                "",
                ("",),
                "",
                section,
                clock,
                label,
                shown,
                -1,
                False,
                tight=told,
                swum=swum_in_all,
            )
        if name == STOP:
            return BandText(
                self.number,
                name,
                word,
                shape,
                say("stop at wall"),
                ("",),
                ("",),
                (),
                -1,
                "",
                (say("stop at wall"),),
                "",
                track.pass_at(index).section,
                clock,
                label,
                index,
                upcoming,
                False,
                tight=told,
            )
        found = track.pass_at(shown)
        line = found.laneline
        repeat = track.repeat_in_line(shown)
        swum = line.shapes[repeat]
        lit = segment if swimming else -1
        present = max(lit, 0)
        return BandText(
            self.number,
            name,
            word,
            shape,
            length_words(swum),
            self._repeat_words(repeat + 1, self.track.repeats_of(found)),
            self._round_words(found.section, found.round),
            ribbon_of(swum, line.line),
            lit,
            say("NOW") if swimming else say("NEXT"),
            with_details(doing_words(swum, present), line.line),
            swum.cues[present],
            found.section,
            clock,
            label,
            shown,
            -1 if paused else upcoming,
            swimming and not paused and (found.section, line.number) not in self.hazards,
            name_words(swum.works[present]),
            told or self._tight_words(shown, index, behind),
            mates=() if paused else self._mates_words(run, track.sendoffs[index] if index >= 0 else _BEFORE_MS),
        )

    def _mates_words(self, run: Run, at_ms: int) -> tuple[str, ...]:
        """The lanes that it is joined to and leaves with."""
        lanes = [
            mate
            for mate in mates_of(run.course, self.lane)
            if leave_together(run, (min(self.lane, mate), max(self.lane, mate)), at_ms)
        ]
        return (tr("with {lanes}", lanes=named(run, lanes)),) if lanes else ()

    def _tight_words(self, shown: int, index: int, behind: int) -> tuple[str, ...]:
        """Says that the repeat `shown` is in a set too tight for the lane, and how many are not back although the lane
        has left on `index`.
        """
        if behind:
            number = self.track.repeat_in_line(index)
            still = "one still" if behind == 1 else "still"
            return (
                *(
                    (say(f"{still} on", n=behind, repeat=number),)
                    if number and self.track.pass_at(index).first < index
                    else ()
                ),
                say(f"{still} out", n=behind),
            )
        return (say("tight"),) if self.track.pass_at(shown).laneline.too_tight else ()

    def _swum_ways(self, run: Run) -> tuple[str, ...]:
        """What the lane has swum, the longest way first; swims cut short count in whole lengths.

        If the session was ended early, with what it would have swum: `50/2,200 m`.

        () if nothing is counted in metres.
        """
        if not self.timeline.distance(self.lane):
            return ()
        done, unit = swum(self.timeline, self.lane), self.timeline.plan.pool.unit
        ended_ms = self.over_ms if run.ended_ms is None else run.ended_ms
        whole = in_all(self.timeline, self.lane, ended_ms)
        early = ended_ms is not None and done < whole
        of = (say("swum of", done=f"{done:,}", of=f"{whole:,}", unit=unit),) if early else ()
        return (*of, f"{done:,} {unit}")

    @staticmethod
    def _repeat_words(n: int, of: int) -> tuple[str, ...]:
        return ("",) if of == 1 else (say("repeat", n=n, of=of), say("repeat short", n=n, of=of))

    def _round_words(self, section: int, number: int) -> tuple[str, ...]:
        written = self.timeline.plan.sections[section]
        if written.for_ms is not None:
            return (say("round open", n=number),)
        of = max(each.round for each in self.track.passes if each.section == section)
        if of <= 1:
            return ("",)
        return (say("round", n=number, of=of), say("round open", n=number))
