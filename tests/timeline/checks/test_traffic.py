"""Room in the lane: catches, full lanes, and offered help that really helps."""

import random
from dataclasses import replace
from fractions import Fraction

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.checks.traffic import Apart, Catch, InOrder, Into, findings_of_traffic, rooms
from pacer.timeline.findings import Severity
from pacer.timeline.timeline import build_timeline

LANE = '[[lane]]\nbase = "{}"\nswimmers = {}\nspacing = "{}"\n'


def lane_of(*bases, spacing="0:05"):
    """One lane with swimmers of these paces, in leaving order."""
    return f'[[lane]]\nspacing = "{spacing}"\n' + "".join(f'  [[lane.swimmer]]\n  base = "{base}"\n' for base in bases)


def look(line, squad, pool="25 m"):
    return rooms(build_timeline(read_plan(f"pool: {pool}\n\n  {line}\n"), read_squad(squad)))


@pytest.mark.parametrize(
    ("spacing", "swimmers", "full"),
    [("0:05", 8, False), ("0:05", 9, True), ("0:10", 4, False), ("0:10", 5, True)],
)
def test_capacity_of_a_lane(spacing, swimmers, full):
    """50 m in 40 s in a 25 m pool: 8 swimmers 5 s apart have room, or 4 who are 10 s apart; one more has none.

    Derived from the coaches' rule of 5 or 10 s (USMS, Masters Swimming 101: How do I use the pace clock?). It is no
    fault if leaving takes exactly as long as the leader is away: 8 x 5 s = 40 s does not exceed 40 s. Counting to the
    last send-off instead, (n - 1) x g < 40 s, gives the same numbers here.
    """
    [room] = look("4 x 50 free, on 1:00", LANE.format("1:20", swimmers, spacing))
    assert room.back_ms == 40_000 and room.fits == {"0:05": 8, "0:10": 4}[spacing]
    assert (room.full_from is not None) == full and not room.catches
    assert room.free != full


def test_a_single_length_or_swimmer_never_fills_the_lane():
    [room] = look("4 x 25 free, on 1:00", LANE.format("1:20", 12, "0:05"))
    assert room.back_ms is None and room.fits is None and room.free
    [room] = look("4 x 50 free, on 1:00", LANE.format("1:20", 1, "2:00"))
    assert room.fits == 1 and room.full_from is None


def test_the_first_repeat_on_which_the_lane_is_full():
    squad = LANE.format("1:20", 9, "0:05")  # 50 easy in 46 s, fast in 38
    [room] = look("4 x 50 in turn 2 easy / 1 fast, on 1:30", squad)
    assert (room.full_from, room.back_ms, room.fits) == (3, 38_000, 7)
    # Swum straight through, everybody has left when the second repeat begins.
    [room] = look("3 x 50 in turn 2 easy / 1 fast", squad)
    assert (room.full_from, room.back_ms) == (None, 46_000)


def test_two_lengths_of_an_odd_pool():
    # 66 2/3 m of 100 m at 1:30 a hundred are swum in a minute.
    [room] = look("2 x 100 free, on 2:00", LANE.format("1:30", 13, "0:05"), pool="33 1/3 m")
    assert (room.back_ms, room.fits, room.full_from) == (60_000, 12, 1)


def test_catches_by_hand():
    # 3 s to close at 3 s a hundred: after 100 m. In repeats of 100 the two touch just 2 s apart.
    assert look("2 x 200 free, on 4:00", lane_of("1:40", "1:37"))[0].catches == (Catch(1, Fraction(100), 2),)
    assert look("2 x 100 free, on 4:00", lane_of("1:40", "1:37"))[0].catches == ()
    # Swum straight through, the gap keeps closing: 1 s of 3 on the first 100, the rest by the middle of the third.
    assert look("4 x 100 free", lane_of("1:40", "1:38.8"))[0].catches == (Catch(3, Fraction(50), 2),)
    assert look("4 x 100 free, rest 0:10", lane_of("1:40", "1:38.8"))[0].catches == ()
    # Drill takes 1.3 times as long, so the gap closes 1.3 times as fast; 30 x 1.3 + 61 = 100.
    [catch] = look("100 as 25 drill / 75 free, on 4:00", lane_of("1:40", "1:36.8"))[0].catches
    assert catch.distance == 25 + (Fraction(3000, 3200) * 100 - Fraction("32.5"))
    # Nobody gains if all hold the same time, and a swimmer who leaves one second behind is too close at once.
    assert look("2 x 200 free, on 4:00, hold 3:20", lane_of("1:40", "1:30"))[0].catches == ()
    assert look("2 x 25 free, on 1:00", lane_of("1:40", "1:40", spacing="0:01"))[0].catches == (
        Catch(1, Fraction(0), 2),
    )
    assert look("2 x 25 free, on 1:00", lane_of("1:40", "1:40", spacing="0:02"))[0].catches == ()


def test_each_swimmers_first_catch_is_reported():
    [room] = look("2 x 400 free, on 8:00", lane_of("1:40", "1:38", "1:30"))
    assert room.catches == (Catch(1, Fraction(150), 2), Catch(1, Fraction(3000, 80), 3))
    assert room.first_catch == Catch(1, Fraction(3000, 80), 3)
    assert InOrder((3, 2, 1)) in room.helps


def test_a_timed_repeat_has_no_path():
    [room] = look("4 x 0:30 kick vertical, rest 0:15", lane_of("1:40", "1:20", spacing="0:01"))
    assert room.free and room.back_ms is None


def test_help_for_a_full_lane_and_for_catches():
    squad = LANE.format("1:20", 9, "0:05") + LANE.format("1:30", 4, "0:05")
    full, other = look("4 x 50 free, on 1:10", squad)
    assert full.helps == (Into(9, 1),) and other.free  # 4 s apart would be enough, but is less than usual
    full, _ = look("4 x 50 free, on 1:10, apart 0:10", squad)
    assert full.helps == ()  # nine have no room even 0:05 apart, and lane 2 has none for one more
    [full] = look("4 x 50 free, on 1:10, apart 0:10", LANE.format("1:20", 5, "0:10"))
    assert full.helps == (Apart(5_000),)
    close, _ = look("2 x 200 free, on 4:00", lane_of("1:40", "1:37") + LANE.format("1:45", 2, "0:10"))
    assert close.helps == (InOrder((2, 1)), Apart(10_000), Into(1, 1))


def apply(squad, room, help):
    """The squad after a help is applied."""
    lanes = list(squad.lanes)
    lane = lanes[room.lane]
    if isinstance(help, InOrder):
        lanes[room.lane] = replace(lane, swimmers=tuple(lane.swimmers[k - 1] for k in help.order))
    elif isinstance(help, Apart):
        lanes[room.lane] = replace(lane, spacing_ms=help.spacing_ms)
    else:
        goes = lane.swimmers[help.swimmer - 1]
        lanes[room.lane] = replace(lane, swimmers=lane.swimmers[: help.swimmer - 1] + lane.swimmers[help.swimmer :])
        there = lanes[help.lane].swimmers
        at = sum(each.base.ms <= goes.base.ms for each in there)
        lanes[help.lane] = replace(lanes[help.lane], swimmers=(*there[:at], goes, *there[at:]))
    return replace(squad, lanes=tuple(lanes))


def test_every_offered_help_helps():
    kinds = set()
    for seed in range(120):
        rng = random.Random(seed)
        squad = read_squad(
            "".join(
                lane_of(
                    *(f"1:{rng.randint(10, 50)}" for _ in range(rng.randint(1, 7))),
                    spacing=rng.choice(("0:03", "0:05", "0:10")),
                )
                for _ in range(3)
            )
        )
        plan = read_plan(
            "pool: 25 m\n\n  "
            f"{rng.choice(('4 x 100 free, on 3:00', '2 x 200 as 50 drill / 50 free, on 6:00', '300 free'))}\n"
        )
        for room in rooms(build_timeline(plan, squad)):
            assert not room.helps or not room.free
            for help in room.helps:
                kinds.add(type(help))
                after = rooms(build_timeline(plan, apply(squad, room, help)))
                touched = {room.lane, help.lane} if isinstance(help, Into) else {room.lane}
                assert all(each.free for each in after if each.lane in touched), (seed, help)
    assert kinds == {InOrder, Apart, Into}


def test_findings():
    plan = read_plan("pool: 25 m\n\nMain, 2 rounds\n  2 x 200 free, on 4:00\n  4 x 25 free, on 1:00\n")
    squad = read_squad(lane_of("1:40", "1:37") * 2 + LANE.format("1:20", 9, "0:05"))
    caught, full = findings_of_traffic(build_timeline(plan, squad))
    assert (caught.severity, caught.line, caught.lanes) == (Severity.CARE, 4, (1, 2))
    assert caught.message == "swimmer 2 comes within 2 s of the one ahead, on repeat 1 after 100 m"
    assert caught.hint == "send them in order of pace: 2, 1; or send them 0:10 apart"
    assert (full.line, full.lanes) == (4, (3,))
    assert full.message == (
        "the lane is full: 9 swimmers 0:05 apart need 0:45 to leave, and the leader is back after 0:40"
    )
    assert full.hint == "there is room for 8", "lane 2 has no room for one more"


def test_no_findings_if_there_is_room():
    assert (
        findings_of_traffic(
            build_timeline(read_plan("pool: 25 m\n\n  4 x 100 free, on 2:00\n"), read_squad(lane_of("1:20", "1:21")))
        )
        == ()
    )
