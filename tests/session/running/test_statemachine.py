"""Random presses: compare the engine with a session run second by second.

The presses are the same every time; `PACER_EXAMPLES=2000 python -m pytest
tests/session/running/test_statemachine.py` tries others.
"""

from __future__ import annotations

import os
from copy import deepcopy

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from pacer.session.journal.entries import LeftLate, LineLeftOut, LinePutIn, Missed, Paused, Resumed, Stopped, TakenBack
from pacer.session.running import presses
from pacer.session.running.leavingagain import late_mark, next_mark, resume_mark
from pacer.session.running.replay import apply, fresh, replay
from pacer.session.running.undo import is_over
from pacer.timeline.findings import CannotRun
from tests.session.naive import Naive, Repeat
from tests.session.pages import check, sends, session

PLAN = """\
pool: 25 m
Warm-up
  4 / 3 / 2 x 50 on 1:00 / 1:15 / 1:30
Main set
  3 / 3 / 2 x 100 on 2:00 / 2:10 / 2:30
  2 x 50 on 1:00 / 1:05 / 1:20
Swim-down
  2 x 50 on 1:30
"""
SQUAD = """\
[[lane]]
base = "1:20"
swimmers = 2
[[lane]]
base = "1:30"
[[lane]]
base = "1:40"
swimmers = 3
"""
#: The same by hand: section, how many, interval, swimmers' seconds.
TURNS = {40: 1, 45: 1, 50: 1, 80: 2, 90: 2, 100: 2}  #: of who swims a repeat in so many seconds: 50 m, 100 m
BY_HAND = (
    ((0, 4, 60, (40, 40)), (1, 3, 120, (80, 80)), (1, 2, 60, (40, 40)), (2, 2, 90, (40, 40))),
    ((0, 3, 75, (45,)), (1, 3, 130, (90,)), (1, 2, 65, (45,)), (2, 2, 90, (45,))),
    ((0, 2, 90, (50,) * 3), (1, 2, 150, (100,) * 3), (1, 2, 80, (50,) * 3), (2, 2, 90, (50,) * 3)),
)
#: Lines to add: the text, and by hand each line's repeats, interval and swimmers' seconds per lane.
PUT_IN = {
    "2 x 50 on 1:10": [(2, 70, ((40, 40), (45,), (50,) * 3))],
    "100 on 2:00 / 2:15": [(1, (120, 135, 135), ((80, 80), (90,), (100,) * 3))],
    "50 on 1:00\n2 x 100 on 2:30": [(1, 60, ((40, 40), (45,), (50,) * 3)), (2, 150, ((80, 80), (90,), (100,) * 3))],
}
TIMELINE = session(PLAN, SQUAD)
S = 1000
LANES = st.sets(st.integers(0, 2), min_size=1).map(sorted)


def by_hand() -> Naive:
    lanes = []
    for lines in BY_HAND:
        numbers = {
            line: 1 + sum(section == line[0] for section, *_ in lines[:place]) for place, line in enumerate(lines)
        }
        lanes.append(
            [
                Repeat(
                    section,
                    interval,
                    list(swims),
                    5,
                    numbers[section, count, interval, swims],
                    turns=TURNS[swims[0]],
                    nth=nth,
                )
                for section, count, interval, swims in lines
                for nth in range(count)
            ]
        )
    return Naive(lanes)


class Deck(RuleBasedStateMachine):
    """Both sessions side by side; the engine's journal is also replayed."""

    @initialize()
    def begin(self):
        self.naive, self.run, self.journal = by_hand(), fresh(TIMELINE), []
        self.naive.go(1)
        self.before = []
        self.held: list[tuple[int, int, int]] = []

    @property
    def at_ms(self) -> int:
        return self.naive.now * S

    def do(self, entry):
        self.before.append((deepcopy(self.naive), self.run, entry))
        was, self.run = self.run, apply(self.run, entry)
        self.journal.append(entry)
        for old, new in zip(was.timeline.tracks, self.run.timeline.tracks):
            if new.paused_ms is None:
                left_by = self.at_ms if old.paused_ms is None else old.paused_ms
                left = {ms for ms in new.sendoffs if ms <= self.at_ms}
                assert left <= {ms for ms in old.sendoffs if ms <= left_by}, "nobody has left who had not"

    @rule(seconds=st.one_of(st.integers(1, 9), st.integers(1, 150)))
    def time_passes(self, seconds):
        self.naive.go(seconds)

    @rule(lanes=LANES)
    def pause(self, lanes):
        self.do(Paused(self.at_ms, tuple(lanes), breaks_off=True, again=True))
        self.naive.pause(lanes)

    @rule()
    def stop_all(self):
        self.do(Stopped(self.at_ms, again=True))
        self.naive.stop()

    @rule(lanes=LANES, later=st.sampled_from((0, 0, 5, 30)))
    def resume(self, lanes, later):
        leave_ms = resume_mark(self.run, self.at_ms, tuple(lanes)) + later * S
        self.do(Resumed(self.at_ms, leave_ms, tuple(lanes)))
        self.naive.resume(lanes, leave_ms // S)

    @rule()
    def resume_all(self):
        leave_ms = resume_mark(self.run, self.at_ms)
        self.do(Resumed(self.at_ms, leave_ms))
        self.naive.resume([0, 1, 2], leave_ms // S)

    @rule(lane=st.integers(0, 2))
    def late(self, lane):
        leave_ms = late_mark(self.run, self.at_ms, (lane,))
        self.do(LeftLate(self.at_ms, leave_ms, (lane,)))
        self.naive.late(lane, leave_ms // S)

    @rule(lane=st.integers(0, 2))
    def miss(self, lane):
        self.do(Missed(self.at_ms, (lane,)))
        self.naive.miss(lane)

    @rule(lanes=LANES, text=st.sampled_from(sorted(PUT_IN)))
    def put_in(self, lanes, text):
        if any(index in lane.last for lane in self.naive.lanes for _, index in lane.ahead):
            return  # the model knows a repeat only once: nothing comes before one that is swum again
        leave_ms = next_mark(self.run, self.at_ms)
        naive = deepcopy(self.naive)
        new = {
            lane: [
                Repeat(
                    0,
                    interval if isinstance(interval, int) else interval[lane],
                    list(swims[lane]),
                    5,
                    line,
                    turns=TURNS[swims[lane][0]],
                    nth=nth,
                )
                for line, (count, interval, swims) in enumerate(PUT_IN[text])
                for nth in range(count)
            ]
            for lane in lanes
        }
        swum = self.naive.put_in(lanes, new, leave_ms // S)
        entry = LinePutIn(self.at_ms, text, leave_ms, tuple(lanes), one_place=True, in_wait=True, in_time=True)
        if swum:
            after, self.naive = self.naive, naive
            self.do(entry)
            self.naive = after
            return
        self.naive = naive
        try:
            apply(self.run, entry)
            raise AssertionError("there was no time for it")
        except CannotRun:
            self.journal.append(entry)  # replay skips it

    @rule(lanes=LANES, line=st.sampled_from(((0, 1), (0, 2), (1, 1), (1, 2), (1, 3), (2, 1), (2, 2))))
    def leave_out(self, lanes, line):
        self.do(LineLeftOut(self.at_ms, *line, tuple(lanes)))
        self.naive.leave_out(lanes, *line)

    @rule()
    def take_back(self):
        if not self.before:
            return
        now = self.naive.now
        was, run, _ = self.before.pop()
        self.journal.append(TakenBack(self.at_ms))
        self.run = apply(self.run, self.journal[-1])
        assert self.run.timeline is run.timeline and self.run.paused() == run.paused(), "exactly as it was"
        self.naive = was
        self.naive.go(now - was.now)

    @rule()
    def undo(self):
        """Undo as the app does it: what has happened stays."""
        entry = presses.take_back(self.run, self.at_ms)
        if entry is None:
            assert not self.before or is_over(self.run, self.at_ms)
            return
        was, _, change = self.before[-1]
        naive = self.naive.take_back(was, entry.leave_ms // S, isinstance(change, LinePutIn))
        self.journal.append(entry)
        try:
            self.run = apply(self.run, entry)
        except CannotRun:
            assert naive is None, "it had not been swum"
            return
        assert naive is not None, "it has been swum"
        self.naive = naive
        self.before.pop()

    @invariant()
    def the_same_send_offs(self):
        check(self.run.timeline)  # ascending, among other things
        for lane in range(3):
            assert sends(self.run.timeline, lane) == self.naive.sends(lane), f"lane {lane}"
        gates = self.run.timeline.gates
        alone = {
            p.section
            for track in self.run.timeline.tracks
            for p in track.passes
            if not p.ordinal and p.start_ms != gates.get(p.section)
        }
        swum = {p.section for track in self.run.timeline.tracks for p in track.passes}
        ahead = {
            s: start for s, start in gates.items() if start is not None and start > self.at_ms and s in swum - alone
        }
        assert {s: self.naive.gates[s] * S for s in ahead} == ahead
        assert self.run.paused() == tuple(i for i, lane in enumerate(self.naive.lanes) if lane.held_at is not None)

    @invariant()
    def nobody_leaves_while_paused(self):
        for lane, track in enumerate(self.run.timeline.tracks):
            if track.paused_ms is not None:
                assert all(e.at_ms <= track.paused_ms for e in self.run.timeline.events(lane) if e.kind == "send-off")

    @invariant()
    def lanes_rejoin_together(self):
        """A lane that is not held and comes to a section that nobody has begun starts it with the others."""
        begun = {
            section
            for track in self.run.timeline.tracks
            for section, at_ms in track.starts.items()
            if at_ms <= self.at_ms
        }
        for section, start in self.run.timeline.gates.items():
            if start is not None and start > self.at_ms and section not in begun:
                for track in self.run.timeline.tracks:
                    firsts = [
                        p.start_ms for p in track.passes if p.section == section and p.ordinal == 0 and not p.skipped
                    ]
                    if track.paused_ms is None and firsts and firsts[-1] > self.at_ms and len(firsts) == 1:
                        assert firsts[0] >= start

    def teardown(self):
        if hasattr(self, "journal"):
            again = replay(TIMELINE, self.journal)
            assert [t.sendoffs for t in again.timeline.tracks] == [t.sendoffs for t in self.run.timeline.tracks]


#: How many new examples to try each time; 0: the same few as always.
SEARCH = int(os.environ.get("PACER_EXAMPLES", "0"))

TestDeck = Deck.TestCase
TestDeck.settings = settings(
    max_examples=SEARCH or 60,
    derandomize=not SEARCH,
    stateful_step_count=25,
    deadline=None,
    print_blob=True,
    report_multiple_bugs=False,
)

MAIN_1, MAIN_2 = (1, 1), (1, 2)
ALL = [0, 1, 2]

#: Past finds of the search: presses after which engine and model differed.
FOUND = {
    "a lane waits for the swim-down, nobody swims the main set": [
        ("time_passes", 90),
        ("stop_all",),
        ("leave_out", ALL, MAIN_2),
        ("leave_out", [1], MAIN_1),
        ("leave_out", [0, 2], MAIN_1),
        ("resume_all",),
    ],
    "the main set is skipped from its second repeat on": [
        ("time_passes", 5),
        ("miss", 1),
        ("miss", 1),
        ("leave_out", [1], MAIN_2),
        ("miss", 1),
        ("leave_out", ALL, MAIN_1),
    ],
    "the main set's first is sat out by a lane that leaves alone": [
        ("stop_all",),
        ("leave_out", [2], (0, 1)),
        ("leave_out", [0, 1], MAIN_2),
        ("resume", [2], 5),
        ("miss", 2),
        ("leave_out", ALL, MAIN_1),
    ],
    "a line put in while a lane waits for the swim-down": [
        ("leave_out", [2], MAIN_1),
        ("leave_out", ALL, MAIN_2),
        ("time_passes", 80),
        ("miss", 1),
        ("leave_out", [0, 1], MAIN_1),
        ("put_in", ALL, "100 on 2:00 / 2:15"),
    ],
    "stopped with the first of the main set sat out": [
        ("time_passes", 8),
        ("leave_out", [2], MAIN_1),
        ("time_passes", 128),
        ("miss", 2),
        ("time_passes", 5),
        ("stop_all",),
        ("resume", [2], 5),
    ],
    "resumed one after the other": [
        ("time_passes", 120),
        ("miss", 2),
        ("stop_all",),
        ("resume", [0], 0),
        ("resume", [2], 30),
    ],
    "a lane that left late on a start, where others had left, misses a repeat": [
        ("late", 0),
        ("stop_all",),
        ("resume_all",),
        ("miss", 0),
        ("pause", ALL),
        ("resume", [2], 30),
    ],
    "a lane that begins a section behind others misses its first repeat, and gets a line": [
        ("miss", 0),
        ("undo",),
        ("pause", ALL),
        ("resume", [0], 30),
        ("miss", 0),
        ("put_in", [0], "2 x 50 on 1:10"),
    ],
    "a lane that is done is resumed": [
        ("leave_out", [0], (2, 1)),
        ("leave_out", [0], (0, 1)),
        ("leave_out", [0], MAIN_2),
        ("time_passes", 45),
        ("leave_out", [0], MAIN_1),
        ("stop_all",),
        ("resume", [0], 5),
    ],
    "resumed to the very start of the section": [
        ("time_passes", 5),
        ("miss", 2),
        ("miss", 2),
        ("pause", [2]),
        ("resume_all",),
        ("put_in", [2], "50 on 1:00\n2 x 100 on 2:30"),
    ],
    "resumed when the section it leaves out has begun": [
        ("leave_out", [0], MAIN_1),
        ("stop_all",),
        ("leave_out", [0], MAIN_2),
        ("resume", [2], 0),
        ("time_passes", 201),
        ("resume", [0], 30),
    ],
    "resumed after the section's start that it sat out": [
        ("leave_out", [1], (0, 1)),
        ("time_passes", 45),
        ("miss", 1),
        ("pause", [1]),
        ("resume", [1], 5),
        ("put_in", [1], "50 on 1:00\n2 x 100 on 2:30"),
    ],
    "resumed when all that it had left is over": [
        ("time_passes", 132),
        ("leave_out", [0], (2, 1)),
        ("pause", [0]),
        ("time_passes", 129),
        ("leave_out", [0], MAIN_1),
        ("leave_out", [0], MAIN_2),
        ("time_passes", 60),
        ("resume_all",),
    ],
    "late as well as sat out": [
        ("time_passes", 95),
        ("late", 2),
        ("miss", 2),
        ("leave_out", ALL, MAIN_2),
        ("leave_out", [1], MAIN_1),
        ("leave_out", [0, 2], MAIN_1),
        ("put_in", ALL, "50 on 1:00\n2 x 100 on 2:30"),
    ],
    "a line put in for a lane that sat out its last two": [
        ("time_passes", 118),
        ("miss", 0),
        ("miss", 0),
        ("stop_all",),
        ("resume_all",),
        ("take_back",),
        ("time_passes", 118),
        ("put_in", ALL, "100 on 2:00 / 2:15"),
    ],
    "a lane that has not left is told later to, when others have": [
        ("miss", 0),
        ("undo",),
        ("leave_out", ALL, (0, 1)),
        ("late", 1),
        ("late", 2),
    ],
    "a lane that was broken off sits out all that it had left": [
        ("stop_all",),
        ("leave_out", [0, 1], (0, 1)),
        ("resume_all",),
        ("leave_out", [1], MAIN_2),
        ("leave_out", [0, 1], MAIN_1),
        ("miss", 1),
        ("miss", 1),
        ("stop_all",),
    ],
    "a lane that was broken off is paused and has nothing left": [
        ("leave_out", [0], (0, 1)),
        ("stop_all",),
        ("leave_out", [0], MAIN_2),
        ("resume_all",),
        ("pause", [0]),
        ("leave_out", [0], MAIN_1),
        ("leave_out", [0], (2, 1)),
        ("resume_all",),
        ("stop_all",),
    ],
    "a line put in for all, one of whom had no time for its main set": [
        ("time_passes", 150),
        ("leave_out", ALL, MAIN_1),
        ("miss", 0),
        ("put_in", [2], "100 on 2:00 / 2:15"),
        ("miss", 0),
        ("miss", 0),
        ("miss", 0),
        ("miss", 2),
        ("put_in", ALL, "100 on 2:00 / 2:15"),
    ],
    "a line put in after an undo that counts what was swum by the plan before": [
        ("time_passes", 256),
        ("leave_out", [2], MAIN_1),
        ("time_passes", 124),
        ("undo",),
        ("put_in", [2], "100 on 2:00 / 2:15"),
    ],
    "a line put in while a lane waited is undone after it went on": [
        ("put_in", ALL, "2 x 50 on 1:10"),
        ("pause", [1]),
        ("put_in", [1], "100 on 2:00 / 2:15"),
        ("resume_all",),
        ("time_passes", 5),
        ("undo",),
        ("undo",),
        ("resume_all",),
    ],
    "a line is put in after that": [
        ("stop_all",),
        ("put_in", [2], "2 x 50 on 1:10"),
        ("resume_all",),
        ("time_passes", 5),
        ("undo",),
        ("undo",),
        ("put_in", [2], "50 on 1:00\n2 x 100 on 2:30"),
    ],
    "a line put in for two lanes, one of which sits out a line that the other has not begun": [
        ("put_in", ALL, "2 x 50 on 1:10"),
        ("time_passes", 155),
        ("miss", 1),
        ("miss", 1),
        ("put_in", [1, 2], "50 on 1:00\n2 x 100 on 2:30"),
    ],
    "a line put in for two lanes, one of which sits out the line that the other swims": [
        ("stop_all",),
        ("resume_all",),
        ("time_passes", 7),
        ("put_in", ALL, "100 on 2:00 / 2:15"),
        ("time_passes", 123),
        ("miss", 0),
        ("put_in", [0, 2], "50 on 1:00\n2 x 100 on 2:30"),
    ],
    "a line put in for two lanes, one of which has no time any more for the line that the other swims": [
        ("miss", 0),
        ("undo",),
        ("put_in", [0], "50 on 1:00\n2 x 100 on 2:30"),
        ("put_in", [0, 1], "100 on 2:00 / 2:15"),
    ],
    "a start at which the others have left stays, though they are paused": [
        ("late", 0),
        ("stop_all",),
        ("resume_all",),
        ("stop_all",),
        ("resume", [0], 0),
        ("miss", 0),
        ("stop_all",),
        ("resume", [0], 30),
    ],
    "a start stays, though a lane in an earlier section is given more to swim": [
        ("time_passes", 144),
        ("pause", [1]),
        ("time_passes", 156),
        ("put_in", ALL, "2 x 50 on 1:10"),
        ("resume_all",),
    ],
    "a start that comes earlier, but not before the press": [
        ("pause", [2]),
        ("time_passes", 278),
        ("miss", 0),
        ("late", 0),
        ("leave_out", ALL, MAIN_2),
    ],
}
ARGUMENTS = {
    "time_passes": ("seconds",),
    "resume": ("lanes", "later"),
    "pause": ("lanes",),
    "miss": ("lane",),
    "late": ("lane",),
    "leave_out": ("lanes", "line"),
    "put_in": ("lanes", "text"),
}


@pytest.mark.parametrize("presses", FOUND.values(), ids=FOUND)
def test_what_was_found_before(presses):
    deck = Deck()
    deck.begin()
    for name, *given in presses:
        getattr(deck, name)(**dict(zip(ARGUMENTS.get(name, ()), given, strict=True)))
        deck.the_same_send_offs()
        deck.nobody_leaves_while_paused()
        deck.lanes_rejoin_together()
    deck.teardown()
