"""The driver: what a press would do, said before it is done, and done as it was said."""

import re
import subprocess
import sys
import time
from dataclasses import replace

import pytest

from pacer.session.journal.entries import Begun, Ended, Matched, Moved, Resumed, Stopped, TakenBack, Unit
from pacer.session.journal.recordentries import Corrected, HeadsCounted, Withdrawn
from pacer.session.poolclock import TRUSTED_MS, WallTop
from pacer.session.records.touches import swim, times, touched
from pacer.session.running import presses
from pacer.session.running.brokenrepeats import swum
from pacer.session.running.finish import finish_ms
from pacer.session.running.instant import NOTICE_MS, State, lane_states
from pacer.session.running.replay import replay
from pacer.session.running.whereabouts import back_ms, last_swims
from pacer.show.drive.beforestart import ready
from pacer.show.drive.deckchanges import offered, undoes_last
from pacer.show.drive.driver import PROPOSAL_HOLDS_MS, Driver
from pacer.show.view.instantview import pool_view
from pacer.show.wording.forecasttext import finish_at
from pacer.show.wording.timereadings import wall_reading
from pacer.signal.clipschedule import SECTION_START, Wanted
from pacer.timeline.timeline import build_timeline
from tests.face.sessions import timeline

# 2026-03-02 18:01:23.456 in Paris, an hour before UTC's 18:01 (the offset then is +01:00).
EVENING_MS = 1_772_470_883_456


class Clocks:
    """A time source that moves only when told to."""

    def __init__(self, boot_ms=5_000_000, wall_ms=EVENING_MS):
        self.boot_ms, self.wall_ms = boot_ms, wall_ms

    def boot(self):
        return self.boot_ms

    def wall(self):
        return self.wall_ms

    def go(self, ms):
        self.boot_ms += ms
        self.wall_ms += ms


class Store:
    def __init__(self):
        self.kept, self.refuses = [], False

    def append(self, entry):
        if self.refuses:
            raise OSError(28, "No space left on device")
        self.kept.append(entry)


@pytest.fixture
def clocks(monkeypatch):
    monkeypatch.setenv("TZ", "Europe/Paris")
    time.tzset()
    yield Clocks()
    monkeypatch.undo()
    time.tzset()


@pytest.fixture
def store():
    return Store()


@pytest.fixture
def driver(clocks, store):
    return Driver(timeline(), now_ms=clocks.boot, wall_ms=clocks.wall, boot=lambda: "this start", store=store)


def done(driver, proposal):
    assert driver.do(proposal) == ()
    return proposal.says


def begun_at(driver, clocks, at_ms):
    """Bring the session to `at_ms` from its zero."""
    done(driver, driver.begin())
    clocks.go(10_000 + at_ms)
    assert driver.at_ms() == at_ms


def states(driver):
    return [str(state.state) for state in lane_states(driver.run.timeline, driver.at_ms())]


# -- beginning ----------------------------------------------------------------------------------


def test_begin_says_when_and_sets_the_zero(driver, clocks, store):
    proposal = driver.begin()
    assert proposal.says == "starts in 10 s, at :00 on the app clock"
    assert driver.at_ms() is None and not driver.running
    done(driver, proposal)
    assert store.kept == [Begun(-10_000, 5_010_000, EVENING_MS + 10_000, "+01:00", "this start")]
    assert driver.at_ms() == -10_000 and driver.running
    clocks.go(10_250)
    assert driver.at_ms() == 250


@pytest.mark.parametrize(
    ("past_the_minute_ms", "says", "zero_in_ms"),
    [
        (23_456, "starts 18:02:00", 36_544),
        (55_000, "starts 18:02:00", 5_000),
        (55_001, "starts 18:03:00", 64_999),
        (0, "starts 18:02:00", 60_000),
    ],
)
def test_begin_at_the_next_top_leaves_time_to_get_ready(driver, clocks, past_the_minute_ms, says, zero_in_ms):
    clocks.wall_ms += past_the_minute_ms - 23_456
    proposal = driver.begin_at_top()
    assert proposal.says == says
    assert proposal.entry.boot_ms - clocks.boot_ms == zero_in_ms
    assert proposal.entry.wall_ms % 60_000 == 0


def test_begin_at_a_time_of_day(driver, clocks):
    proposal = driver.begin_at(18, 30)
    assert proposal.says == "starts 18:30:00"
    assert proposal.entry.boot_ms == clocks.boot_ms + 29 * 60_000 - 23_456
    assert driver.begin_at(18, 1).says == "18:01 has passed"
    assert driver.begin_at(18, 1).entry is None
    clocks.wall_ms += 32_000
    assert driver.begin_at(18, 2).says == "18:02 is too soon"
    assert driver.begin_at(0, 15).entry.boot_ms == clocks.boot_ms + (6 * 60 + 15 - 2) * 60_000 + 4_544


def test_a_time_of_day_across_the_change_to_summer_time(driver, clocks):
    # Paris, 29 March 2026: 02:00 becomes 03:00.
    clocks.wall_ms = 1_774_742_400_000  # 01:00 of that night
    assert driver.begin_at(3, 30).entry.wall_ms - clocks.wall_ms == 90 * 60_000
    assert driver.begin_at(3, 30).entry.zone == "+02:00"


# -- the clock on the wall ------------------------------------------------------------------------


def test_without_a_match_the_clock_stands_until_the_start(driver, clocks):
    assert (driver.whose(clocks.boot()), driver.clock_ms(clocks.boot())) == ("off", 0)
    clocks.go(7_000)
    assert driver.clock_ms(clocks.boot()) == 0
    done(driver, driver.begin())
    assert (driver.whose(clocks.boot()), driver.clock_ms(clocks.boot())) == ("own", -10_000)


def test_a_clock_matched_in_one_session_leads_the_next_one(driver, clocks):
    seen = []
    driver.keep_top = seen.append
    begun_at(driver, clocks, 20_000)
    driver.append(presses.matched(driver.at_ms()))
    assert seen == [WallTop(clocks.boot(), "this start")] and driver.whose(clocks.boot()) == "wall"
    done(driver, driver.end())

    following = Driver(timeline(), now_ms=clocks.boot, wall_ms=clocks.wall, boot=lambda: "this start")
    following.top = seen[0]
    clocks.go(63_000)
    assert (following.whose(clocks.boot()), following.clock_ms(clocks.boot())) == ("wall", 3_000), (
        "before the start, too"
    )
    proposal = following.begin()
    assert proposal.says == "starts in 27 s, at :30 on the pool clock", "on the wall's next bottom that gives 10 s"
    done(following, proposal)
    reading = [(following.clock_ms(clocks.boot()) + following.run.phase_ms) % 60_000]
    assert reading == [3_000], "the clock goes on as it did before the press"
    assert following.whose(clocks.boot()) == "wall" and following.run.phase_ms == 30_000
    assert following.journal[0].phase_ms == 30_000
    carried = Driver(timeline(), now_ms=clocks.boot, wall_ms=clocks.wall, journal=following.journal)
    assert carried.matched and carried.run.phase_ms == 30_000


def test_with_a_match_the_next_top_is_the_one_on_the_wall(driver, clocks):
    driver.top = WallTop(clocks.boot() - 17_000, "this start")
    proposal = driver.begin_at_top()
    assert proposal.says == "starts in 43 s, at :00 on the pool clock"
    assert (proposal.entry.boot_ms, proposal.entry.phase_ms) == (clocks.boot() + 43_000, 0)
    later = driver.begin_at(18, 30)
    assert later.says == "starts 18:30:06, at :00 on the pool clock"
    assert (later.entry.phase_ms, later.entry.boot_ms) == (0, clocks.boot() + 28 * 60_000 + 43_000)
    driver.top = WallTop(clocks.boot() - 29_000, "this start")  # the pool clock is ahead of the tablet's
    assert driver.begin_at(18, 30).says == "starts 18:29:54, at :00 on the pool clock"
    clocks.go(28 * 60_000 + 28_000)  # the :00 nearest to 18:30 is too soon by now
    assert driver.begin_at(18, 30).says == "starts 18:30:54, at :00 on the pool clock"


@pytest.mark.parametrize(
    "top", [WallTop(0, "this start"), WallTop(4_990_000, "the start before"), WallTop(5_010_000, "this start")]
)
def test_a_match_of_another_start_of_the_machine_or_of_another_day_is_not_gone_by(driver, clocks, top):
    driver.top = top
    clocks.boot_ms += 0 if top.boot_ms else TRUSTED_MS
    assert driver.whose(clocks.boot()) == "off"
    assert driver.begin().entry.phase_ms is None and driver.begin().says.endswith("at :00 on the app clock")


def test_another_start_can_be_chosen_until_the_zero(driver, clocks):
    done(driver, driver.begin_at(18, 30))
    done(driver, driver.begin())
    assert driver.at_ms() == -10_000
    clocks.go(10_000)
    assert driver.begin().entry is None
    assert driver.do(driver.begin())[0] == "this session has already started"


def test_what_was_only_taken_down_and_starts_chosen_before_leave_the_start_open(driver, clocks):
    done(driver, driver.begin_at(18, 30))
    driver.append(HeadsCounted(driver.at_ms(), 12, into=True))
    done(driver, driver.begin_at(18, 20))
    done(driver, driver.begin())
    assert driver.at_ms() == -10_000
    done(driver, driver.pause((0,)))
    assert driver.begin().says == "this session has already started", "a change of it does not"


# -- holding and leaving again ---------------------------------------------------------------------


def test_hold_and_resume_one_lane(driver, clocks):
    begun_at(driver, clocks, 30_000)
    assert done(driver, driver.pause((1,))) == "lane 5 stops at the wall and pauses"
    assert states(driver)[1] == State.PAUSED and states(driver)[0] != State.PAUSED
    clocks.go(61_200)
    proposal = driver.resume((1,))
    assert proposal.says == "lane 5 leaves :40 on 2 × 50"
    assert proposal.entry == Resumed(91_200, 100_000, (1,))
    done(driver, proposal)
    clocks.go(8_800)
    assert driver.run.timeline.tracks[1].index_at(99_999) < driver.run.timeline.tracks[1].index_at(driver.at_ms())


def test_what_cannot_be_is_said_and_changes_nothing(driver, clocks):
    for proposal in (driver.pause(), driver.resume(), driver.stop_all(), driver.move(Unit.LINE, 1), driver.end()):
        assert (proposal.entry, proposal.says) == (None, "no session has started")
        assert driver.do(proposal)[0] == "no session has started"
    begun_at(driver, clocks, 1_000)
    assert driver.resume().says == "no lane is paused"
    assert done(driver, driver.pause()).startswith("all lanes stop at the wall and pause; ")
    assert driver.pause().says == "nothing left to pause"
    assert driver.pause((0,)).entry is None
    assert len(driver.journal) == 2


def test_stop_all_and_resume(driver, clocks):
    begun_at(driver, clocks, 20_000)
    done(driver, driver.stop_all())
    assert driver.journal[-1] == Stopped(20_000, again=True)
    assert driver.run.stopped and states(driver) == ["paused"] * 3
    clocks.go(100)
    assert done(driver, driver.resume()) == "all lanes leave :10 on 2 × 50", "who is stopped in a 50 comes to its end"
    assert not driver.run.stopped


def test_what_was_broken_off_is_said_with_the_repeat_that_comes_next(driver, clocks):
    begun_at(driver, clocks, driver.run.timeline.tracks[0].sendoffs[2] + 30_000)  # the first 100 of the main set
    done(driver, driver.stop_all())
    clocks.go(100)
    says = driver.resume().says
    assert says.startswith("skip the rest of repeat 1; ") and " on 3 × 100, repeat 2; 50 m less; finish 18:" in says
    assert says.endswith("; Previous repeat swims it again"), "STOP ALL may have been pressed by mistake"
    done(driver, driver.resume())
    before = [len(track.sendoffs) for track in driver.run.timeline.tracks]
    done(driver, driver.move(Unit.REPEAT, -1))
    assert [len(track.sendoffs) for track in driver.run.timeline.tracks] == [count + 1 for count in before]


def test_what_was_broken_off_and_is_left_is_said_where_a_line_is_over_or_lanes_differ(driver, clocks):
    begun_at(driver, clocks, driver.run.timeline.tracks[0].sendoffs[4] + 30_000)  # the last 100 of the main set
    done(driver, driver.pause((0,)))
    done(driver, driver.stop_all())  # lane 5 has hardly begun it
    clocks.go(100)
    assert driver.resume().says.startswith("lane 5 swims repeat 3 again; lane 4 skips the rest of the 100; ")
    clocks.go(300_000)
    assert "lane 4 skips the rest of the 100; " in driver.resume().says, "however long they wait"


def test_what_was_hardly_begun_is_swum_again_and_next_repeat_skips_it(driver, clocks):
    begun_at(driver, clocks, driver.run.timeline.tracks[0].sendoffs[2] + 10_000)  # the first 100 of the main set
    before = [len(track.sendoffs) for track in driver.run.timeline.tracks]
    done(driver, driver.stop_all())
    clocks.go(100)
    says = driver.resume().says
    assert says.startswith("swim repeat 1 again; all lanes leave :30 on 3 × 100; ") and "50 m more" in says, says
    assert says.endswith("; Next repeat skips it")
    clocks.go(60_000)
    skipped = driver.move(Unit.REPEAT, 1)
    assert {band.text.repeat[0] for band in pool_view(driver.run, driver.at_ms()).bands} == {"repeat 1 of 3"}, (
        "and not the next"
    )
    assert skipped.told is not None
    assert [len(track.sendoffs) for track in skipped.told.run.timeline.tracks] == before
    done(driver, driver.resume())
    assert [len(track.sendoffs) for track in driver.run.timeline.tracks] == [count + 1 for count in before]


def test_end(driver, clocks):
    begun_at(driver, clocks, 20_000)
    assert driver.running
    assert done(driver, driver.end()) == "ends the session: 50 m swum, 650 m cut; all lanes stop at the wall"
    assert driver.journal[-1] == Ended(20_000)
    assert {band.text.distance for band in pool_view(driver.seen, 600_000).bands} == {"50/700 m"}
    assert driver.ended and not driver.running
    assert driver.pause().says == "the session is over; press Resume session first"
    assert driver.begin().entry is None


def test_the_end_of_a_paused_session_says_what_it_cuts(driver, clocks):
    begun_at(driver, clocks, 20_000)
    done(driver, driver.stop_all())
    clocks.go(300_000)
    assert done(driver, driver.end()) == "ends the session: 50 m swum, 650 m cut"


def test_the_end_says_nothing_of_metres_that_it_does_not_cut(driver, clocks):
    begun_at(driver, clocks, driver.run.timeline.end_ms + 1_000)
    assert done(driver, driver.end()) == "ends the session: everything is swum, 700 m"


def test_the_end_names_who_stops_at_the_wall_though_it_cuts_no_metres(driver, clocks):
    """On the last length: everybody swims on to the wall where the last repeat ends."""
    begun_at(driver, clocks, driver.run.timeline.end_ms - 5_000)
    proposal = driver.end()
    done(driver, proposal)
    stop = {int(band.text.lane) for band in pool_view(driver.seen, driver.at_ms()).bands if band.text.word == "STOP"}
    assert stop == {6}
    assert proposal.ways[0] == "ends the session: 700 m swum; lane 6 stops at the wall"
    assert all("lane 6 stops" in way for way in proposal.ways), "however narrow the place"


def test_the_end_names_lanes_that_stop_already(driver, clocks):
    begun_at(driver, clocks, 20_000)
    done(driver, driver.stop_all())
    clocks.go(2_000)
    assert done(driver, driver.end()).endswith("; all lanes stop at the wall")


def test_an_end_after_everybody_is_home_moves_neither_metres_nor_the_finish(driver, clocks):
    """Lane 4 was paused in the first 50: it stopped at the wall, and that is 50 m less of what comes."""
    begun_at(driver, clocks, 10_000)
    done(driver, driver.pause((0,)))
    clocks.go(60_000)
    done(driver, driver.resume((0,)))
    clocks.go(driver.run.timeline.end_ms + 150_000 - driver.at_ms())
    before = pool_view(driver.seen, driver.at_ms())
    assert "everything is swum" in done(driver, driver.end())
    after = pool_view(driver.seen, driver.at_ms())
    assert (after.out, after.over) == (before.out, before.over)
    assert [band.text.distance for band in after.bands] == [band.text.distance for band in before.bands]


def test_the_finish_of_an_ended_session_is_the_last_touch(driver, clocks):
    begun_at(driver, clocks, 20_000)
    done(driver, driver.end())
    run = driver.run
    homes = [swim.home_ms for lane in range(3) for swim in last_swims(run.timeline, lane, 20_000) if swim]
    assert finish_ms(run, 20_000) == finish_ms(run, 900_000) == max(homes) > 20_000


def test_a_finish_is_said_as_the_screen_says_it_in_every_place(clocks, store):
    """Booked to 18:01:33 + 20 s, out 15 s before: all within the minute to which the pool is booked."""
    made = timeline()
    made = build_timeline(replace(made.plan, booking_ms=made.end_ms + 15_000), made.squad)
    driver = Driver(made, now_ms=clocks.boot, wall_ms=clocks.wall, boot=lambda: "", store=store)
    seconds = (EVENING_MS + 10_000 + made.end_ms) // 1000 % 60
    clocks.go((20 - seconds) * 1000)
    asked = ready(made, "").out_at(clocks.wall_ms + 10_000)
    begun_at(driver, clocks, 20_000)
    header = pool_view(driver.seen, driver.at_ms()).out
    assert asked.endswith(header) and header.endswith(finish_at(driver.run, made.end_ms))
    assert wall_reading(driver.run.begun.wall_ms + made.end_ms) not in header, "its seconds are not said as a minute"
    later = driver.offer(lambda run, at_ms: presses.change_count(run, at_ms, 1), "nothing")
    done(driver, later)
    assert pool_view(driver.seen, driver.at_ms()).out in later.says


def test_a_finish_goes_by_the_times_as_on_the_screen(driver, clocks):
    """Everybody swims a tenth slower than predicted: the header knows, and so does what is said before a press."""
    begun_at(driver, clocks, 0)
    for track in driver.run.timeline.tracks:
        lane = driver.run.timeline.tracks.index(track)
        for index in range(2):
            swum = swim(track, lane, index, 0)
            clocks.boot_ms += max(0, swum.left_ms + round(swum.predicted_ms * 1.1) - driver.at_ms())
            driver.append(touched(swum, swum.left_ms + round(swum.predicted_ms * 1.1)))
    assert driver.seen.timeline.end_ms > driver.run.timeline.end_ms
    for name in ("one more", "fewer"):
        proposal = offered(driver, name, None)
        done(driver, proposal)
        assert pool_view(driver.seen, driver.at_ms()).out in proposal.says


def test_a_session_that_is_paused_as_a_whole_says_its_finish_as_the_screen_does(driver, clocks):
    begun_at(driver, clocks, 20_000)
    done(driver, driver.stop_all())
    clocks.go(400_000)
    proposal = offered(driver, "one more", None)
    assert done(driver, proposal).endswith(", 1:30 later"), "the pause is no effect of the press"
    assert pool_view(driver.seen, driver.at_ms()).out in proposal.says
    proposal = driver.resume()
    done(driver, proposal)
    assert pool_view(driver.seen, driver.at_ms()).out in proposal.says


def test_a_session_runs_to_its_last_touch(driver, clocks):
    begun_at(driver, clocks, driver.run.timeline.end_ms - 1)
    assert driver.running
    clocks.go(1)
    assert not driver.running


# -- moving -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("at_ms", "unit", "step", "lanes", "says"),
    [
        (20_000, Unit.REPEAT, 1, None, "all lanes to repeat 2 of 2: 50 free, leave :00"),
        (
            20_000,
            Unit.REPEAT,
            -1,
            (0,),
            "lane 4: no time for 1 of 2 × 50 free; lane 4 to 50 free, leaves :50",
        ),
        (20_000, Unit.SECTION, 1, None, "all lanes to Main set: 3 × 100 free, leave :00"),
        (250_000, Unit.LINE, 1, None, "all lanes to 2 × 100 free, leave :30"),
        (250_000, Unit.LINE, -1, (0, 1), "lanes 4, 5 to repeat 1 of 3: 100 free, leave :25"),
        (
            250_000,
            Unit.SECTION,
            -1,
            (2,),
            "lane 6: no time for 1 of 2 × 100 free; lane 6 to Main set: 3 × 100 free, leaves :30",
        ),
        (900_000, Unit.LINE, 1, None, "no set after this one"),
        (500, Unit.REPEAT, 1, (1,), "lane 5 to repeat 2 of 2: 50 free, leaves :50"),
    ],
)
def test_a_move_says_where_to_and_when(driver, clocks, at_ms, unit, step, lanes, says):
    begun_at(driver, clocks, at_ms)
    proposal = driver.move(unit, step, lanes)
    assert proposal.says.partition("; stop")[0] == says
    if proposal.entry:
        assert proposal.entry == Moved(
            at_ms, unit, step, proposal.entry.leave_ms, lanes, together=unit is Unit.LINE and lanes is None
        )
        done(driver, proposal)
        for i in lanes or (0, 1, 2):
            assert proposal.entry.leave_ms in driver.run.timeline.tracks[i].sendoffs


def without_stops(ways):
    """Where lanes go to, in each of the ways, without who stops and what comes of it, and how much later they leave."""
    rest = r"; (lanes? [\d, –]+ |\d lanes? )?stops? at.*|, (up to )?[\d:]+ later"
    return tuple(dict.fromkeys(re.sub(rest, "", way) for way in ways[:-1]))


def test_a_move_of_lanes_that_are_on_different_repeats_says_next_what(driver, clocks):
    begun_at(driver, clocks, 250_000)
    done(driver, driver.move(Unit.REPEAT, 1, (0,)))
    assert without_stops(driver.move(Unit.REPEAT, 1).ways) == (
        "lane 4 to repeat 3 of 3: 100 free; lanes 5, 6 to repeat 2 of 3: 100 free, leave :30",
        "lane 4 to repeat 3 of 3: 100 fr; lanes 5, 6 to repeat 2 of 3: 100 fr, leave :30",
        "lane 4 to repeat 3 of 3: 100; lanes 5, 6 to repeat 2 of 3: 100, leave :30",
        "lane 4 to repeat 3 of 3; lanes 5, 6 to repeat 2 of 3, leave :30",
        "lane 4 to 3 of 3; lanes 5, 6 to 2 of 3, leave :30",
        "4: 3 of 3; 5, 6: 2 of 3, leave :30",
        "next repeat: leave :30",
        "leave :30",
    )


def test_a_move_names_the_lanes_that_stay(clocks):
    driver = Driver(timeline(run_on=True), now_ms=clocks.boot, wall_ms=clocks.wall)
    begun_at(driver, clocks, 740_000)  # lane 4 swims down already, the others finish the main set
    assert without_stops(driver.move(Unit.SECTION, 1).ways) == (
        "lanes 5, 6 to Swim-down: 100 free, leave :00",
        "lanes 5, 6 to Swim-down: 100 free, leave :00, not lane 4",
        "Swim-down: 100 free, leave :00, not lane 4",
        "Swim-down: 100 fr, leave :00, not lane 4",
        "Swim-down: 100, leave :00, not lane 4",
        "Swim-down, leave :00, not lane 4",
        "next section: leave :00, not lane 4",
        "leave :00",
    )


def test_the_shortest_way_still_says_when(driver, clocks):
    begun_at(driver, clocks, 20_000)
    assert without_stops(driver.move(Unit.REPEAT, 1).ways) == (
        "all lanes to repeat 2 of 2: 50 free, leave :00",
        "repeat 2 of 2: 50 free, leave :00",
        "repeat 2 of 2: 50 fr, leave :00",
        "repeat 2 of 2: 50, leave :00",
        "repeat 2 of 2, leave :00",
        "2 of 2, leave :00",
        "next repeat: leave :00",
        "leave :00",
    )
    assert driver.move(Unit.REPEAT, 1, (0,)).ways[-2].startswith("leaves :50; stop at wall")


def test_readings_are_those_of_the_clock_on_the_wall(driver, clocks):
    begun_at(driver, clocks, 20_000)
    assert driver.append(Matched(20_000, 17_000)) == ()
    assert driver.move(Unit.REPEAT, 1).ways[-2] == "leave :17; stop at wall, finish 18:18"


# -- doing ------------------------------------------------------------------------------------------------


def test_what_was_said_before_the_session_changed_is_not_done(driver, clocks):
    begun_at(driver, clocks, 20_000)
    early = driver.pause((0,))
    done(driver, driver.stop_all())
    assert driver.do(early)[-1] == "press again"
    assert len(driver.journal) == 2


def test_what_was_said_too_long_ago_is_not_done(driver, clocks):
    begun_at(driver, clocks, 20_000)
    proposal = driver.move(Unit.REPEAT, 1)
    clocks.go(PROPOSAL_HOLDS_MS + 1)
    assert driver.do(proposal)[-1] == "press again"
    assert len(driver.journal) == 1


def test_what_the_store_refuses_does_not_count(driver, clocks, store):
    begun_at(driver, clocks, 20_000)
    store.refuses = True
    assert driver.do(driver.pause())[0] == "not saved (No space left on device): nothing changed"
    assert states(driver) != ["paused"] * 3 and len(driver.journal) == 1


def test_what_the_store_is_slow_to_keep_counts_and_is_said_not_to_be_saved_yet(driver, clocks, store):
    begun_at(driver, clocks, 20_000)
    store.append = lambda entry: lambda: "the tablet's storage is slow"
    assert driver.do(driver.pause())[0] == "done, but not saved yet (the tablet's storage is slow)"
    assert states(driver) == ["paused"] * 3


def test_stop_all_counts_even_where_the_store_refuses(driver, clocks, store):
    begun_at(driver, clocks, 20_000)
    store.refuses = True
    assert "all lanes paused" in driver.do(driver.stop_all())[0]
    assert states(driver) == ["paused"] * 3


def test_the_store_has_the_entry_before_the_run(driver, clocks, store):
    begun_at(driver, clocks, 20_000)
    seen = []
    store.append = lambda entry: seen.append(driver.run.paused())
    done(driver, driver.pause())
    assert seen == [()] and driver.run.paused() == (0, 1, 2)


def test_the_journal_alone_gives_the_same_run(driver, clocks, store):
    begun_at(driver, clocks, 20_000)
    for act in (lambda: driver.pause((1,)), lambda: driver.move(Unit.REPEAT, 1, (0,)), driver.stop_all, driver.resume):
        done(driver, act())
        clocks.go(7_300)
    again = Driver(timeline(), now_ms=clocks.boot, wall_ms=clocks.wall, journal=store.kept)
    assert again.at_ms() == driver.at_ms()
    assert [t.sendoffs for t in again.run.timeline.tracks] == [t.sendoffs for t in driver.run.timeline.tracks]
    assert replay(timeline(), store.kept).paused() == ()


# -- what is to be heard ---------------------------------------------------------------------------------------


def instants(driver, *lanes):
    return [(w.at_ms // 1000, w.order) for w in driver.wanted(lanes)]


def test_section_starts_are_wanted(driver):
    assert instants(driver) == [(0, SECTION_START), (210, SECTION_START), (870, SECTION_START)]


def test_chosen_lanes_are_wanted_and_a_straight_line_once(driver):
    assert instants(driver, 0) == [
        (0, SECTION_START),
        (0, 0),
        (70, 0),
        (210, SECTION_START),
        (210, 0),
        (320, 0),
        (430, 0),
        (540, 0),
        (870, SECTION_START),
        (870, 0),
    ]


def test_one_lane_sounds_by_itself():
    assert (70, 0) in instants(Driver(timeline(lanes=1)))


def test_lanes_that_start_by_themselves_each_want_their_start():
    apart = Driver(timeline(run_on=True))
    starts = {track.starts[1] for track in apart.run.timeline.tracks}
    assert {Wanted(at_ms) for at_ms in starts} <= set(apart.wanted())


def test_lanes_that_wait_want_nothing(driver, clocks):
    begun_at(driver, clocks, 20_000)
    done(driver, driver.pause((0,)))
    assert instants(driver, 0) == [(0, -1), (0, 0), (210, -1), (870, -1)]
    done(driver, driver.stop_all())
    assert instants(driver, 0, 1, 2) == [(0, -1), (0, 0), (0, 1), (0, 2)]


def test_when_all_leave_again_together_it_is_counted_down(driver, clocks):
    begun_at(driver, clocks, 20_000)
    done(driver, driver.stop_all())
    clocks.go(30_000)
    assert done(driver, driver.resume()) == "all lanes leave :10 on 2 × 50"
    assert (70, SECTION_START) in instants(driver)
    clocks.go(100)
    done(driver, driver.stop_all())
    assert (70, SECTION_START) not in instants(driver)


def test_one_lane_that_leaves_again_is_its_own_affair(driver, clocks):
    begun_at(driver, clocks, 20_000)
    done(driver, driver.pause((2,)))
    clocks.go(52_000)  # past its send-off at 70
    done(driver, driver.resume((2,)))
    assert instants(driver) == [(0, -1), (210, -1), (870, -1)]
    assert (80, 2) in instants(driver, 2)


def test_the_driver_brings_no_kivy():
    script = (
        "import sys, pacer.show.drive.driver, pacer.show.drive.settings, pacer.session.cautions; assert "
        "not {'kivy', 'plyer'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", script], check=True)


@pytest.mark.parametrize("resumed_s", [20, 50], ids=["on the way", "at the wall"])
def test_a_lane_that_was_held_and_resumed_goes_to_the_next_repeat_like_all_others(resumed_s):
    """It is not sent on by being resumed: what it leaves on next is still its next repeat."""
    boot = [0]
    driver = Driver(timeline(lanes=3), now_ms=lambda: boot[0], wall_ms=lambda: boot[0], boot=lambda: "boot")
    done(driver, driver.begin())
    boot[0] = 20_000
    done(driver, driver.pause((1,)))
    boot[0] = 10_000 + resumed_s * 1_000 - 5_000
    done(driver, driver.resume((1,)))
    boot[0] = 10_000 + resumed_s * 1_000 - 4_000
    done(driver, driver.move(Unit.REPEAT, 1))
    at_ms = driver.at_ms()
    following = {track.repeat_in_line(track.index_at(at_ms) + 1) for track in driver.run.timeline.tracks}
    assert len(following) == 1


def test_undo_looks_past_what_it_can_no_longer_change_and_names_what_it_undoes(driver, clocks):
    """Lane 4 skips a set of the main set; then lane 5 skips the warm-up, and is too far by now to go back to that."""
    begun_at(driver, clocks, 20_000)
    done(driver, driver.offer(lambda run, at_ms: presses.leave_line_out(run, at_ms, 1, 2, (0,))))
    clocks.go(1_000)
    done(driver, driver.move(Unit.LINE, 1, (1,)))
    clocks.go(80_000)
    assert not undoes_last(driver.run, driver.at_ms())
    proposal = offered(driver, "take back", None)
    named = "undoes “lane 4: Main set, set 2 skipped”"
    assert proposal.ways[-1].startswith(named) and all(way.startswith(named) for way in proposal.ways), proposal.ways
    assert "200 m more" in proposal.ways[0], proposal.ways
    done(driver, proposal)
    assert driver.run.by.lanes == (1,), "the later change stays"
    assert driver.run.timeline.tracks[0].sendoffs == timeline().tracks[0].sendoffs
    assert offered(driver, "take back", None).says == "nothing would change"


def test_a_session_that_was_ended_can_be_resumed_for_ten_minutes_like_one_that_was_paused(driver, clocks):
    """Everybody was told to stop at the wall: lanes leave again as after a pause, and the press says when."""
    begun_at(driver, clocks, 20_000)
    assert driver.reopen().entry is None and not driver.reopens
    paused = Driver(timeline(), now_ms=driver.now_ms, wall_ms=driver.wall_ms, journal=driver.journal)
    done(driver, driver.end())
    done(paused, paused.pause())
    clocks.go(600_000)
    assert driver.reopens
    said, as_paused = done(driver, driver.reopen()), done(paused, paused.resume())
    assert said == f"resumes the session: {as_paused}" and "all lanes leave :25 on 2 × 50" in said, said
    assert driver.running and driver.at_ms() == 620_000
    assert [track.sendoffs for track in driver.run.timeline.tracks] == [
        track.sendoffs for track in paused.run.timeline.tracks
    ]
    assert replay(timeline(), driver.journal).timeline.tracks[0].sendoffs == driver.run.timeline.tracks[0].sendoffs
    done(driver, offered(driver, "take back", None))
    assert driver.run.paused() == (0, 1, 2) and not driver.ended, "undone, they are paused"
    done(driver, driver.resume())
    done(driver, driver.end())
    clocks.go(600_001)
    assert not driver.reopens and driver.reopen().says.startswith("too late to resume") and driver.ended


def test_lanes_that_were_paused_before_the_end_stay_paused_when_it_is_resumed(driver, clocks):
    begun_at(driver, clocks, 20_000)
    done(driver, driver.pause((1,)))
    clocks.go(5_000)
    done(driver, driver.end())
    clocks.go(60_000)
    said = done(driver, driver.reopen())
    assert said.startswith("resumes the session: lanes 4, 6 leave :") and said.endswith("; lane 5 stays paused"), said
    assert driver.run.paused() == (1,) and not driver.run.stopped


def test_stop_all_counts_after_the_end_while_somebody_may_be_out_and_undo_still_reverses_the_end(driver, clocks):
    begun_at(driver, clocks, 20_000)
    before = driver.run.timeline
    done(driver, driver.end())
    clocks.go(5_000)
    done(driver, driver.stop_all())
    assert driver.run.stopped and driver.ended and driver.run.ended_ms == 20_000 and driver.reopens
    assert replay(timeline(), driver.journal).stopped, "read again from disk it is the same"
    shown = [band.text.distance.partition("/")[0] for band in pool_view(driver.seen, 100_000).bands]
    assert done(driver, driver.reopen()) == "resumes the session; all lanes stay paused"
    assert driver.running and driver.run.stopped and driver.run.paused() == (0, 1, 2)
    assert [str(swum(driver.run.timeline, lane)) for lane in range(3)] == shown, "what was swum stays so"
    done(driver, driver.resume())
    assert driver.run.paused() == () and not driver.run.stopped
    assert replay(timeline(), driver.journal).timeline.tracks[0].sendoffs == driver.run.timeline.tracks[0].sendoffs
    old = replay(timeline(), [*driver.journal[:3], TakenBack(25_000)])
    assert not old.stopped and not old.paused(), "in an older journal all swam on"
    assert [track.sendoffs for track in old.timeline.tracks] == [track.sendoffs for track in before.tracks]
    done(driver, driver.stop_all())
    done(driver, driver.end())
    assert driver.ended and not driver.run.stopped, "an end leaves the screen of stop all"
    clocks.go(600_001)
    assert driver.stop_all().entry is None


def test_what_is_seen_follows_the_times_and_what_comes_next_does_not(driver, clocks):
    begun_at(driver, clocks, 1_000)
    assert driver.seen is driver.run
    track = driver.run.timeline.tracks[0]
    for index in (0, 1):
        found = swim(track, 0, index, 0)
        clocks.boot_ms += found.left_ms + round(found.predicted_ms * 1.08) - driver.at_ms()
        driver.append(touched(found, driver.at_ms()))
    seen = driver.seen
    assert seen is driver.seen and seen is not driver.run
    now = seen.timeline.tracks[0]
    assert [now.sendoffs[found.first] for found in now.passes] == [found.start_ms for found in track.passes]
    assert seen.timeline.tracks[1] is driver.run.timeline.tracks[1]
    assert swim(seen.timeline.tracks[0], 0, 2, 0).predicted_ms > 1.07 * swim(track, 0, 2, 0).predicted_ms
    driver.append(Corrected(driver.at_ms(), 2))
    assert driver.seen is driver.run, "struck out, one time is left"


@pytest.mark.parametrize(
    "press",
    [
        lambda driver: driver.move(Unit.REPEAT, 1, (1,)),
        lambda driver: driver.move(Unit.LINE, 1),
        lambda driver: driver.move(Unit.SECTION, 1),
        lambda driver: driver.offer(lambda run, at_ms: presses.start_section(run, at_ms, 2)),
        lambda driver: driver.offer(lambda run, at_ms: presses.start_section_at_top(run, at_ms, 2)),
    ],
)
@pytest.mark.parametrize("since_ms", range(2_000, 120_000, 6_500))
def test_nobody_leaves_again_before_they_are_back_by_their_times(driver, clocks, press, since_ms):
    """Lane 5 swims the main set, 100s on 2:00, 15 % slower than its paces say: home at 1:42 instead of 1:28."""
    begun_at(driver, clocks, 1_000)
    track = driver.run.timeline.tracks[1]
    for index in (0, 1, 2):
        found = swim(track, 1, index, 0)
        clocks.boot_ms += found.left_ms + round(found.predicted_ms * 1.15) - driver.at_ms()
        driver.append(touched(found, driver.at_ms()))
    clocks.boot_ms += track.sendoffs[3] + since_ms - driver.at_ms()
    proposal = press(driver)
    assert proposal.entry is not None
    done(driver, proposal)
    at_ms, leave_ms = driver.at_ms(), proposal.entry.leave_ms
    assert driver.seen is not driver.run
    for lane in range(3) if proposal.entry.lanes is None else proposal.entry.lanes:
        assert back_ms(driver.seen.timeline, lane, at_ms, broken_off=False, to_come=True) + NOTICE_MS <= leave_ms


def test_times_are_read_entry_by_entry_as_in_one_go(driver, clocks):
    begun_at(driver, clocks, 1_000)
    track = driver.run.timeline.tracks[0]
    for entry in (
        touched(swim(track, 0, 0, 0), 52_000),
        touched(swim(track, 0, 1, 0), 128_000),
        Corrected(129_000, 2, 4_000),
        touched(swim(track, 1, 0, 0), 131_000),
        Withdrawn(132_000, 3),
    ):
        driver.append(entry)
        assert driver.times == times(driver.journal)


def test_a_move_in_mid_swim_says_who_stops_and_what_is_lost(driver, clocks):
    begun_at(driver, clocks, 20_000)
    ways = driver.move(Unit.LINE, 1, (1,)).ways
    assert ways[0].startswith("lane 5 to ") and "; stops at the wall, " in ways[0], ways
    # home at 0:49 instead of 1:59, it waits no more than an interval longer for the main set at 3:30
    assert ways[0].endswith(" m less"), ways
    everybody = driver.move(Unit.REPEAT, 1).ways
    assert "; stop at the wall" in everybody[0], everybody
    clocks.go(38_000)
    assert "stop" not in driver.move(Unit.REPEAT, 1, (0,)).ways[0], "nobody of lane 4 is under way"
