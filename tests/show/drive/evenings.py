"""Random evenings at the tablet: a session, a clock that moves only when told to, and presses."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import NamedTuple

from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import Stopped, Unit
from pacer.session.records.expectedtimes import expected, paces
from pacer.session.records.touches import due, touched
from pacer.session.running import presses
from pacer.session.running.addandskip import lines_ahead
from pacer.session.running.brokenrepeats import in_all
from pacer.session.running.finish import going
from pacer.session.running.runstate import Run
from pacer.show.drive.deckchanges import CHANGES, MOVES, offered
from pacer.show.drive.driver import Driver
from pacer.show.drive.pressproposal import Proposal
from pacer.show.view.instantview import pool_view
from pacer.timeline.findings import CannotRun
from pacer.timeline.timeline import Timeline, build_timeline
from tests.reference.random_plans import random_plan_text
from tests.reference.random_squads import meeting, random_squad
from tests.session.pages import session
from tests.session.refits import refit

S = 1_000
EVENING_MS = 1_772_470_883_456
#: Plans with everything that a session can have, and how many swimmers of which base are in the lanes.
PAGES = {
    "25 m, five lanes, at most, run on, rounds": (
        """\
title: Long-axis rotation 3
pool: 25 m
booking: 40 min
Warm-up, at most 6 min
  200 choice
  4 x 50 as 25 kick / 25 back, rest 0:15
Skill set, run on
  4 x 50 as 25 scull / 25 back easy, rest 0:20
Main set, 1 to 3 rounds
  3 x 100 as 50 drill / 50 back, on 1:50 / 2:05 / 2:20 / 2:20 / 2:40
  rest 0:30
  2 x 50 back build, on base+0:25
Swim-down
  2 x 100 choice
""",
        (("1:18", 3), ("1:26", 4), ("1:34", 2), ("1:40", 3), ("1:52", 1)),
    ),
    "33 1/3 m, three lanes, for, timed repeats": (
        """\
pool: 33 1/3 m
booking: 30 min
Warm-up, for 5 min
  100 choice
Skill set
  3 x 0:40 kick vertical, rest 0:20
  2 x 100 drill back, rest 0:15
Main set, 2 to 4 rounds
  200 back, on 3:20 / 3:40 / 4:00
  2 x 0:30 scull, on 1:00
Swim-down, at most 4 min
  3 x 100 choice, rest 0:10
""",
        (("1:20", 4), ("1:31", 3), ("1:43", 2)),
    ),
    "50 m, one lane, laps, run on": (
        """\
pool: 50 m
Warm-up, at most 5 min, run on
  300 choice
Main set, 1 to 4 rounds, run on
  4 x 50 free, on 1:10
  100 back easy
Swim-down, if time
  100 choice
""",
        (("1:33", 5),),
    ),
    "25 yd, ten lanes, by lane, straight through": (
        """\
pool: 25 yd
booking: 35 min
Warm-up, 2 rounds
  100 choice
  4 x 25 kick, rest 0:15
Main set
  2 to 6 x 75 free, on base+0:15
  rest 1:00
  3 x (50 fly + 50 free), rest 0:20
Swim-down, for 3 min
  50 choice
""",
        tuple((f"1:{10 + 5 * place}", 1 + place % 3) for place in range(10)),
    ),
    "25 m, two lanes, too tight, far walls": (
        """\
pool: 25 m
booking: 25 min
Warm-up
  5 x 25 choice, on 0:35
Skill set, for 4 min
  25 scull, rest 0:10
Main set, at most 8 min
  6 x 75 back, on 1:10
  4 x 25 fly sprint, on 0:45
Swim-down
  125 choice
""",
        (("1:25", 3), ("1:38", 4)),
    ),
}


def timeline_of(page: str) -> Timeline:
    """One of the pages, its lanes numbered from 2."""
    plan, lanes = PAGES[page]
    rows = [
        f'[[lane]]\nnumber = {number}\nbase = "{base}"\nswimmers = {swimmers}\n'
        for number, (base, swimmers) in enumerate(lanes, 2)
    ]
    return session(plan, "".join(rows))


def random_timeline(seed: int) -> Timeline | None:
    """Any plan with any squad, its lanes numbered from 2; None if it cannot run."""
    rng = random.Random(seed)
    plan, squad = meeting(read_plan(random_plan_text(rng)), random_squad(rng))
    lanes = tuple(replace(lane, number=place + 2) for place, lane in enumerate(squad.lanes))
    try:
        return build_timeline(plan, replace(squad, lanes=lanes))
    except CannotRun:
        return None


TIMELINE = timeline_of(next(iter(PAGES)))


def sets_of(timeline: Timeline) -> tuple[str, ...]:
    """Sets to add, in whole lengths of the pool."""
    near, far = (("50", "100"), ("100", "200"))[timeline.plan.pool.length not in (25, 50)]
    half = "25" if timeline.plan.pool.length == 25 else near
    return f"4 x {near} on 1:15", f"{far} choice", f"2 x {half} sprint, rest 0:20\nrest 0:30\n{near} easy"


class State(NamedTuple):
    """What the screen shows, and what each lane still does."""

    finish: str
    words: tuple[str, ...]
    marks: tuple[tuple[str, ...], ...]
    metres: tuple[int, ...]
    leaves_ms: tuple[int | None, ...]
    shown: tuple[str, ...]
    starts: dict[int, int | None]
    run: Run


class Evening:
    """A tablet with a clock that moves only when told to."""

    def __init__(self, seed: int, timeline: Timeline = TIMELINE):
        self.rng, self.now_ms, self.sets = random.Random(seed), 5_000_000, sets_of(timeline)
        self.driver = Driver(
            timeline,
            now_ms=lambda: self.now_ms,
            wall_ms=lambda: EVENING_MS + self.now_ms,
            boot=lambda: "one",
        )
        assert self.driver.do(self.driver.begin()) == ()
        self.now_ms += self.rng.choice((3_000, 10_000, 60_000, 400_000, 1_000_000))
        self.pace = self.rng.choice((0.9, 1.0, 1.1))
        self.timing = self.rng.random() < 0.4
        self.stopped = False  # whether all were stopped after the end
        self.paused: set[int] = set()  # the lanes that were paused at the last end

    @property
    def at_ms(self) -> int:
        """Session time."""
        found = self.driver.at_ms()
        assert found is not None
        return found

    def go(self) -> None:
        """Let time pass; where times are taken, leaders touch."""
        until_ms = self.now_ms + self.rng.choice((400, 3_000, 3_000, 15_000, 40_000, 130_000))
        while self.timing and self.now_ms < until_ms and not self.driver.ended:
            self.now_ms += 2_000
            for lane in range(len(self.driver.run.timeline.tracks)):
                swim = due(self.driver.run, self.driver.times, lane, self.at_ms)
                if swim is not None and self.at_ms >= swim.left_ms + round(swim.predicted_ms * self.pace):
                    self.driver.append(touched(swim, swim.left_ms + round(swim.predicted_ms * self.pace)))
        self.now_ms = max(self.now_ms, until_ms)

    def state(self, waits: bool = False) -> State:
        """What is so now; metres as if a session that is paused as a whole were resumed now, and sections' starts if it
        `waits` before and after.
        """
        run, seen, at_ms = self.driver.run, self.driver.seen, self.at_ms
        resumed = going(run, at_ms)
        starts = (resumed if waits else run).timeline.gates
        view = pool_view(seen, at_ms)
        leaves = []
        for track in run.timeline.tracks:
            index = track.index_at(at_ms) + 1
            ahead = track.paused_ms is None and run.ended_ms is None and index < len(track.sendoffs)
            leaves.append(track.sendoffs[index] if ahead else None)
        return State(
            view.out.rpartition(" ")[2],
            tuple(band.text.word for band in view.bands),
            tuple(band.text.tight for band in view.bands),
            self._metres(resumed),
            tuple(leaves),
            tuple(band.text.distance for band in view.bands),
            dict(starts),
            run,
        )

    def _metres(self, run: Run) -> tuple[int, ...]:
        plan = expected(run, paces(run, self.driver.times))
        return tuple(in_all(plan.timeline, lane) for lane in range(len(plan.timeline.tracks)))

    def promised(self) -> tuple[int, ...]:
        """The metres of which a coach who resumes knows: at the pause, or before STOP ALL, which says none."""
        run = self.driver.run
        if run.stopped and isinstance(run.by, Stopped):
            assert run.before is not None
            return self._metres(going(run.before, run.by.at_ms))
        paused = [track.paused_ms for track in run.timeline.tracks if track.paused_ms is not None]
        return self._metres(going(run, min(paused, default=self.at_ms)))

    def waits(self) -> bool:
        """Whether all who have still to swim are paused."""
        return going(self.driver.run, self.at_ms) is not self.driver.run

    def next_press(self) -> tuple[str, Proposal] | None:
        """Let time pass, then one press and what it says; None if it can't be made."""
        self.go()
        try:
            return self.press()
        except CannotRun:
            return None

    def press(self) -> tuple[str, Proposal] | None:
        """One press and what it says; None if it can't be made."""
        rng, driver, run, at_ms = self.rng, self.driver, self.driver.run, self.at_ms
        count = len(run.timeline.tracks)
        some = min(count, rng.choice((1, 1, 2, 3)))
        lanes = None if rng.random() < 0.4 else tuple(sorted(rng.sample(range(count), some)))
        lane, other = rng.sample([*range(count), *([0] if count == 1 else [])], 2)
        names = [*CHANGES, *MOVES, "pause", "pause", "resume", "resume", "stop all", "interval", "line in", "line in"]
        names += ["line out", "section", "next section", "join", "leave", "swap", "with", "out", "out", "end"]
        name = rng.choice(names if not driver.run.paused() else [*names, *["resume"] * 6])
        if driver.ended:
            name = rng.choice(("reopen", "reopen", "stop all"))
            self.stopped = run.stopped
        squad = run.timeline.squad.lanes
        made: Proposal
        match name:
            case "pause":
                made = driver.pause(lanes)
            case "resume":
                made = driver.resume(None if run.stopped else lanes)
            case "stop all":
                made = driver.stop_all()
            case "end":
                self.paused = set(run.paused())
                made = driver.end()
            case "reopen":
                made = driver.reopen()
            case "next section":
                made = driver.move(Unit.SECTION, 1, lanes)
            case _ if name in MOVES:
                made = driver.move(MOVES[name][1], MOVES[name][2], lanes)
            case _ if name in CHANGES:
                made = offered(driver, name, lanes)
            case "interval":
                to_ms = rng.choice((60, 90, 120, 150)) * S
                made = driver.offer(lambda run, at: presses.change_interval(run, at, to_ms, lanes), "nothing")
            case "line in":
                text = rng.choice(self.sets)
                made = driver.offer(lambda run, at: presses.put_line_in(run, at, text, lanes), "nothing")
            case "line out":
                coming = lines_ahead(run, at_ms, lanes)
                if not coming:
                    return None
                which = rng.choice(coming)
                made = driver.offer(lambda run, at: presses.leave_line_out(run, at, *which, lanes), "nothing")
            case "section":
                to = rng.randrange(len(run.timeline.plan.sections))
                made = driver.offer(lambda run, at: presses.start_section(run, at, to, lanes), "nothing")
            case "join":
                base = rng.choice((None, 95_000, 120_000))
                made = driver.offer(lambda run, at: presses.join(run, at, lane, base_ms=base), "nothing")
            case "leave":
                if len(squad[lane].swimmers) < 2:
                    return None
                made = driver.offer(lambda run, at: presses.leave(run, at, lane, 0), "nothing")
            case "swap":
                if len(squad[lane].swimmers) < 2:
                    return None
                made = driver.offer(lambda run, at: presses.change_lane(run, at, lane, 0, other), "nothing")
            case "with":
                made = driver.offer(lambda run, at: presses.join_lane(run, at, lane, other), "nothing")
            case _:
                out_ms = at_ms + rng.choice((300, 900, 1_500, 2_400)) * S
                made = driver.offer(lambda run, at: refit(run, at, out_ms)[0], "nothing")
        if made.entry is None:
            return None
        return f"{name} {made.entry}", made
