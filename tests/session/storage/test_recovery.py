"""Killed, asleep, rebooted, with the wall time set forward and back: the session is as if it had never stopped."""

import contextlib

import pytest

from pacer.session.journal.entries import Begun, CarriedOn, Ended, Matched, Paused, Resumed, TakenBack
from pacer.session.poolclock import next_top
from pacer.session.running.presses import matched
from pacer.session.running.replay import apply, fresh, replay
from pacer.session.storage.datafolder import home_of
from pacer.session.storage.keeper import begin, carry_on
from pacer.session.storage.recovery import recover, recovered
from pacer.session.storage.savedsession import session_of
from pacer.session.storage.store import Store
from pacer.session.timesource import Now, boot_id, now
from pacer.timeline.summary.timelinetable import clock_reading
from tests.session.pages import THREE_SECTIONS, session

S = 1000
HOUR = 3_600_000
WALL = 1_772_470_883_456
ZERO = Begun(-10 * S, 5_000_000, WALL, "+01:00", "boot-1")


@pytest.fixture(scope="module")
def timeline():
    return session()


class Device:
    """Two clocks under the test's control: wall time can be set, the other restarts with the machine."""

    def __init__(self, boot="boot-1"):
        self.boot_ms, self.wall_ms, self.boot = 4_990_000, WALL - 10_000, boot

    def go(self, ms):
        self.boot_ms += ms
        self.wall_ms += ms

    def set_wall(self, by_ms):
        self.wall_ms += by_ms

    def reboot(self, takes_ms):
        self.wall_ms += takes_ms
        self.boot_ms = 20_000
        self.boot = self.boot and self.boot + "'"

    def now(self):
        return Now(self.boot_ms, self.wall_ms, self.boot)


def test_killed_and_back_as_if_it_had_never_stopped(timeline):
    found = recovered(
        timeline, (ZERO, Paused(70 * S), Resumed(90 * S, 120 * S)), Now(5_000_000 + 200 * S, WALL + 200 * S, "boot-1")
    )
    assert (found.at_ms, found.rebooted, found.doubtful, found.over) == (200 * S, False, False, False)
    assert found.run.at_ms(5_000_000 + 201 * S) == 201 * S
    assert found.entry == CarriedOn(200 * S, 5_000_000, WALL, "boot-1")


@pytest.mark.parametrize("by_ms", [-11 * HOUR, -1, 1, 2 * HOUR, 400 * 24 * HOUR])
def test_a_jump_of_wall_time_moves_nothing(timeline, by_ms):
    found = recovered(timeline, (ZERO,), Now(5_000_000 + 200 * S, WALL + 200 * S + by_ms, "boot-1"))
    assert found.at_ms == 200 * S and not found.doubtful


def test_sleep_counts(timeline):
    assert recovered(timeline, (ZERO,), Now(5_000_000 + 700 * S, WALL + 700 * S, "boot-1")).at_ms == 700 * S


def test_after_a_reboot_by_wall_time(timeline):
    found = recovered(timeline, (ZERO,), Now(20 * S, WALL + 300 * S, "boot-2"))
    assert (found.at_ms, found.rebooted) == (300 * S, True)
    assert found.run.at_ms(20 * S) == 300 * S and found.run.at_ms(25 * S) == 305 * S
    # Resumed, killed and found again on the same start of the machine.
    again = recovered(timeline, (ZERO, found.entry), Now(60 * S, WALL + 340 * S + 5 * HOUR, "boot-2"))
    assert (again.at_ms, again.rebooted) == (340 * S, False)
    assert again.run.begun.zone == "+01:00"


def test_a_clock_that_was_set_before_the_reboot_is_allowed_for(timeline):
    # Last saved at 250 s with wall time two hours ahead: so the zero is two hours later by that clock.
    found = recovered(
        timeline,
        (ZERO,),
        Now(20 * S, WALL + 2 * HOUR + 300 * S, "boot-2"),
        WALL + 2 * HOUR + 250 * S,
        5_000_000 + 250 * S,
    )
    assert found.at_ms == 300 * S


def test_if_the_start_of_the_machine_is_not_known(timeline):
    nameless = Begun(-10 * S, 5_000_000, WALL)

    def at(boot_ms, wall_ms):
        found = recovered(timeline, (nameless,), Now(boot_ms, wall_ms), WALL + 100 * S, 5_000_000 + 100 * S)
        return found.at_ms, found.rebooted, found.doubtful

    assert at(5_000_000 + 200 * S, WALL + 200 * S) == (200 * S, False, False)
    assert at(20 * S, WALL + 300 * S) == (300 * S, True, False)  # it ran backwards: restarted
    assert at(5_000_000 + 200 * S, WALL + HOUR) == (200 * S, False, True)  # set, or started long ago: doubtful


def test_nothing_to_carry_on(timeline):
    instant = Now(5_000_000 + 200 * S, WALL, "boot-1")
    assert recovered(timeline, (), instant) is None
    assert recovered(timeline, (ZERO, Ended(100 * S)), instant) is None
    assert recovered(timeline, (ZERO, Ended(100 * S), TakenBack(101 * S)), instant).at_ms == 200 * S


def test_a_session_of_last_week_is_over(timeline):
    assert recovered(timeline, (ZERO,), Now(5_000_000 + 820 * S + 31 * 60 * S, WALL, "boot-1")).over
    assert not recovered(timeline, (ZERO,), Now(5_000_000 + 820 * S + 29 * 60 * S, WALL, "boot-1")).over


def test_from_the_store_with_a_reboot_and_the_clock_set(tmp_path):
    device = Device()
    store = Store(tmp_path)
    store.open()
    with contextlib.closing(begin(store, session_of(session(), THREE_SECTIONS), clock=device.now)) as keeper:
        keeper.keep(Begun(-10 * S, 5_000_000, WALL, "+01:00"))
        device.go(80 * S)
        device.set_wall(3 * HOUR)
        device.go(10 * S)
        keeper.keep(Paused(80 * S, (0,)))
    device.go(20 * S)
    device.reboot(45 * S)
    (listed,) = store.sessions()
    keeper, kept = carry_on(store, listed.number, clock=device.now)
    with contextlib.closing(keeper):
        assert kept.journal[0].boot == "boot-1"
        found = recover(kept, device.now())
        assert (found.at_ms, found.rebooted) == (145 * S, True)
        assert found.run.paused() == (0,)
        keeper.keep(found.entry)
    device.go(5 * S)
    assert recover(store.session(1), device.now()).at_ms == 150 * S


def test_a_day_and_a_half_without_drift(timeline):
    """Every minute, through sleep and jumps in both directions: 0 ms from the source."""
    device = Device()
    run = apply(fresh(timeline), Begun(-10 * S, device.boot_ms + 10 * S, device.wall_ms + 10 * S, "", "boot-1"))
    true_ms = -10 * S
    for minute in range(36 * 60):
        step = 61_237 if minute % 7 else 3 * 60_000 + 11  # now and then it sleeps
        device.go(step)
        true_ms += step
        if minute % 13 == 0:
            device.set_wall((-1) ** minute * 4 * HOUR)
        assert run.at_ms(device.now().boot_ms) == true_ms
    assert true_ms > 36 * HOUR


@pytest.mark.real_clock
def test_the_devices_own_clock():
    first, second = now(), now()
    assert second.boot_ms >= first.boot_ms > 0 and first.boot == second.boot == boot_id()
    assert abs(first.wall_ms - second.wall_ms) < 10_000


def test_the_pool_clock_is_matched_by_a_tap(timeline):
    run = replay(timeline, (ZERO, matched(43 * S)))
    assert run.phase_ms == 17 * S and run.timeline is replay(timeline, (ZERO,)).timeline
    assert clock_reading(43 * S, run.phase_ms) == ":00" and clock_reading(300 * S, run.phase_ms) == ":17"
    assert next_top(43 * S, 17 * S) == 43 * S and next_top(43_001, 17 * S) == 103 * S
    assert (
        replay(timeline, (ZERO, matched(43 * S), Paused(50 * S), Matched(60 * S, 3 * S), TakenBack(70 * S))).phase_ms
        == 3 * S
    )


def test_two_tablets_with_the_same_start_show_the_same_second(timeline):
    """Each sets its zero by its own clocks; they share only the time of day."""
    start = WALL + 90 * S
    tablets = []
    for boot_ms, wall_ms in ((777, WALL), (98_765_432, WALL + 31_234)):
        in_ms = start - wall_ms
        tablets.append((replay(timeline, (Begun(-in_ms, boot_ms + in_ms, start),)), boot_ms - wall_ms))
    for wall_ms in range(start, start + 900 * S, 7_777):
        first, second = (run.at_ms(wall_ms + offset) for run, offset in tablets)
        assert first == second == wall_ms - start


@pytest.mark.parametrize(
    ("environment", "platform", "folder"),
    [
        ({"PACER_HOME": "/srv/deck", "XDG_DATA_HOME": "/x"}, "linux", "/srv/deck"),
        ({"PACER_HOME": ""}, "linux", "/home/kit/.local/share/pacer"),
        ({"XDG_DATA_HOME": "/x"}, "linux", "/x/pacer"),
        ({}, "darwin", "/home/kit/Library/Application Support/pacer"),
        ({"LOCALAPPDATA": "/c/Users/kit/Local"}, "win32", "/c/Users/kit/Local/pacer"),
        ({"ANDROID_PRIVATE": "/data/app"}, "linux", "/data/app/pacer"),
    ],
)
def test_the_folder_of_the_store(environment, platform, folder):
    assert str(home_of(environment, platform, "/home/kit")) == folder
