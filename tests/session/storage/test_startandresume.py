"""Start, be killed, resume: the text form on a clock that moves only while it waits."""

import contextlib
import io
from dataclasses import replace

import pytest

from pacer.cli.textform import run_in_text
from pacer.plan.model import Unit
from pacer.plan.problem import Unreadable
from pacer.session.journal.entries import CarriedOn, Ended, Paused, TakenBack
from pacer.session.running.replay import REOPEN_MS
from pacer.session.storage.startandresume import open_again, open_new, reopen, reopens, running
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timesource import Now
from pacer.show.drive.driver import Driver
from pacer.show.drive.journalwriter import OnDisk
from pacer.squad.files.withoutnames import without_names
from pacer.squad.squad import Absent, Pace
from tests.session.pages import THREE_SECTIONS, session

S = 1000
WALL = 1_772_470_883_456


class Tablet:
    """Both clocks; they move while the text form waits for a key."""

    def __init__(self, keys=None):
        self.ms, self.waits, self.keys, self.boot = 5_000_000, 0, keys or {}, "boot-1"
        self.set_ms = 0

    def now(self):
        return Now(self.ms, WALL + self.ms + self.set_ms, self.boot)

    def wait(self, seconds):
        self.waits += 1
        self.ms += round(seconds * 1000)
        key = self.keys.get(self.waits, "")
        if key == "kill":
            raise KeyboardInterrupt
        return key

    def run(self, opened):
        out = io.StringIO()
        driver = Driver(
            opened.timeline,
            now_ms=lambda: self.ms,
            wall_ms=lambda: self.now().wall_ms,
            boot=lambda: self.boot,
            store=OnDisk(opened.keeper, 2.0, wait=True),
            journal=opened.journal,
        )
        with contextlib.suppress(KeyboardInterrupt):
            run_in_text(driver, out=out, wait=self.wait)
        assert opened.keeper.close()
        return driver, out.getvalue()


@pytest.fixture
def store(tmp_path):
    return Store(tmp_path / "deck")


def test_power_cut_in_the_middle_and_on_again(store):
    tablet = Tablet({60: " ", 65: " ", 140: "kill"})
    opened = open_new(store, session(), THREE_SECTIONS, clock=tablet.now)
    assert opened.told == () and opened.journal == () and opened.recovery is None
    driver, _ = tablet.run(opened)
    there = driver.at_ms()
    assert running(store).number == 1
    tablet.ms += 37 * S
    tablet.set_ms = -5 * 3_600_000
    again = open_again(store, clock=tablet.now)
    assert again.recovery.at_ms == there + 37 * S and not again.recovery.rebooted
    assert isinstance(again.journal[-1], CarriedOn) and again.told == ()
    second, text = tablet.run(again)
    assert [t.sendoffs for t in second.run.timeline.tracks] == [t.sendoffs for t in driver.run.timeline.tracks]
    first = next(part for part in text.split("\n\n") if part.startswith(":"))
    assert f"session time {(there // S + 37) // 60}:{(there // S + 37) % 60:02d}" in first
    assert text.endswith("The session is over.\n")
    assert [type(entry).__name__ for entry in store.session(1).journal] == ["Begun", "Paused", "Resumed", "CarriedOn"]


def test_after_a_reboot(store):
    tablet = Tablet({100: "kill"})
    driver, _ = tablet.run(open_new(store, session(), clock=tablet.now))
    there = driver.at_ms()
    tablet.boot, wall = "boot-2", tablet.now().wall_ms
    tablet.ms = 9_000
    tablet.set_ms = wall + 60 * S - WALL - 9_000
    again = open_again(store, clock=tablet.now)
    assert again.recovery.at_ms == there + 60 * S and again.recovery.rebooted
    assert tablet.run(again)[0].run.at_ms(tablet.ms) >= again.timeline.end_ms


def test_nothing_to_carry_on(store):
    with pytest.raises(StoreTrouble, match="No session is running"):
        open_again(store, clock=Tablet().now)
    assert running(store) is None
    tablet = Tablet({30: "q"})
    driver, text = tablet.run(open_new(store, session(), clock=tablet.now))
    assert isinstance(driver.journal[-1], Ended) and text.endswith("The session is over.\n")
    tablet.ms += REOPEN_MS + S
    with pytest.raises(StoreTrouble, match="No session is running"):
        open_again(store, clock=tablet.now)
    with pytest.raises(StoreTrouble, match="Session 1 is over"):
        open_again(store, 1, clock=tablet.now)
    opened = open_new(store, session(), clock=tablet.now)
    opened.keeper.append(Paused(0))
    assert opened.keeper.close()
    with pytest.raises(StoreTrouble, match="Session 2 never started"):
        open_again(store, 2, clock=tablet.now)
    claim = store.claim()  # a failed resume has released the store
    claim.close()


def test_if_nothing_can_be_saved_the_session_runs_anyway(tmp_path):
    (tmp_path / "deck").write_text("in the way")
    tablet = Tablet({20: " ", 22: " ", 40: "q"})
    opened = open_new(Store(tmp_path / "deck"), session(), clock=tablet.now)
    assert opened.told[0].endswith("The clock keeps running, but nothing is saved until that is fixed.")
    out = io.StringIO()
    driver = Driver(
        opened.timeline,
        now_ms=lambda: tablet.ms,
        wall_ms=lambda: tablet.now().wall_ms,
        boot=lambda: tablet.boot,
        store=OnDisk(opened.keeper, 0.0, wait=True),
    )
    run_in_text(driver, out=out, wait=tablet.wait)
    assert len(driver.journal) == 4 and out.getvalue().endswith("The session is over.\n")
    assert opened.keeper.waiting == 4 and not opened.keeper.close(0.1)


def test_the_timeline_to_run_is_the_one_that_is_found_again(store):
    """Paces from test swims are fractions of a millisecond; saved paces, and so those that run, are whole."""
    from dataclasses import replace
    from fractions import Fraction

    from pacer.squad.squad import Pace
    from pacer.timeline.timeline import build_timeline

    plain = session()
    lanes = tuple(
        replace(
            lane,
            base=Pace(Fraction(240_001, 3)),
            swimmers=tuple(replace(s, base=Pace(Fraction(240_001, 3))) for s in lane.swimmers),
        )
        for lane in plain.squad.lanes
    )
    timeline = build_timeline(plain.plan, replace(plain.squad, lanes=lanes))
    opened = open_new(store, timeline)
    opened.keeper.close()
    assert opened.timeline.squad.lanes[0].base == Pace(80_000)
    assert [t.end_ms for t in opened.timeline.tracks] == [t.end_ms for t in opened.keeper.session.timeline().tracks]


def test_a_plan_that_can_no_longer_be_read_is_reported(store):
    tablet = Tablet({30: "kill"})
    tablet.run(open_new(store, session(), clock=tablet.now))
    import sqlite3

    with contextlib.closing(sqlite3.connect(store.path)) as connection:
        connection.execute("update session set plan = 'not a plan'")
        connection.commit()
    with pytest.raises(Unreadable):
        open_again(store, clock=tablet.now)
    store.claim().close()


def test_an_ended_session_can_be_resumed_for_ten_minutes_or_until_another_starts(store):
    tablet = Tablet({60: "q"})
    driver, _ = tablet.run(open_new(store, session(), THREE_SECTIONS, clock=tablet.now))
    there = driver.at_ms()
    assert driver.ended and running(store) is None and reopens(store, tablet.now()).number == 1
    tablet.ms += 40 * S
    tablet.waits, tablet.keys = 0, {30: "q"}
    again = open_again(store, clock=tablet.now)  # as `pacer resume` does
    assert again.recovery.at_ms == there + 40 * S and [type(entry) for entry in again.journal[-3:]] == [
        Ended,
        TakenBack,
        CarriedOn,
    ]
    assert running(store).number == 1
    second, _ = tablet.run(again)
    assert second.run.paused() == (0, 1), "nobody is sent off unasked"
    assert second.ended and [t.sendoffs for t in second.run.timeline.tracks] == [
        t.sendoffs for t in driver.run.timeline.tracks
    ]
    tablet.ms += REOPEN_MS + S
    assert reopens(store, tablet.now()) is None
    with pytest.raises(StoreTrouble, match="Too late to resume"):
        reopen(store, 1, clock=tablet.now)
    with pytest.raises(StoreTrouble, match="No session is running"):
        open_again(store, clock=tablet.now)
    for _ in range(2):
        tablet.waits, tablet.keys = 0, {20: "q"}
        tablet.run(open_new(store, session(), THREE_SECTIONS, clock=tablet.now))
    with pytest.raises(StoreTrouble, match="another has started"):
        reopen(store, 2, clock=tablet.now)
    assert reopens(store, tablet.now()).number == 3


def test_who_is_absent_is_kept_with_the_session_and_swims_nothing(store):
    tablet = Tablet({100: "kill"})
    absent = (Absent("Ash Weir", 5, Pace(125_500, Unit.YARD)), Absent("Kit", 2), Absent("Orla"))
    opened = open_new(store, session(), absent=absent, clock=tablet.now)
    tablet.run(opened)
    kept = store.session(1).session
    assert kept.absent == ("Ash Weir", "Kit", "Orla") and kept.absentees == opened.absent == absent
    older = replace(kept, squad="".join(row for row in kept.squad.splitlines(True) if "# of lane" not in row))
    assert older.absentees == (Absent("Ash Weir"), Absent("Kit"), Absent("Orla")), "as an older pacer wrote it"
    assert replace(kept, squad=kept.unnamed_squad).absent == ("", "", "")
    assert kept.read()[1] == session().squad
    assert "Ash" not in without_names(kept.squad), "a name like all others"
