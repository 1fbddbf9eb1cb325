"""Every change that a coach makes to a squad."""

from fractions import Fraction

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from pacer.plan.model import Pool, Unit
from pacer.squad.files.basefield import slowest_of
from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.refusal import Refused
from pacer.squad.register import roster as edit
from pacer.squad.register.roster import Roster, present
from pacer.squad.squad import MAX_LANES, MAX_SWIMMERS, Lane, Pace, Squad, Swimmer, Trial

SQUAD = read_squad("""
name = "Brackenmere"
[[lane]]
group = "A"
base = "1:16"
swimmers = 3
[[lane]]
group = "B"
[[lane.swimmer]]
name = "Orla"
base = "1:27"
[[lane.swimmer]]
name = "Bram"
base = "1:31"
[[lane]]
base = "1:42"
""")
POOL = Pool(Fraction(25), Unit.METRE)


def names(roster, lane):
    return [swimmer.name for swimmer in roster.squad.lanes[lane].swimmers]


def bases(roster, lane):
    return [swimmer.base.ms for swimmer in roster.squad.lanes[lane].swimmers]


# -- who is here ------------------------------------------------------------------------------------------


def test_absent_swimmers_are_not_in_the_lane():
    squad = present(SQUAD, {(0, 0), (1, 1)})
    assert [len(lane.swimmers) for lane in squad.lanes] == [2, 1, 1]
    assert squad.lanes[1].swimmers[0].name == "Orla"


def test_a_base_that_follows_the_slowest_follows_the_slowest_who_is_here():
    assert SQUAD.lanes[1].base == Pace(91_000)
    assert present(SQUAD, {(1, 1)}).lanes[1].base == Pace(87_000)
    assert present(SQUAD, {(0, 0)}).lanes[0].base == Pace(76_000)


def test_a_base_that_was_written_stays():
    squad = read_squad('[[lane]]\nbase = "1:40"\n[[lane.swimmer]]\nbase = "1:20"\n[[lane.swimmer]]\nbase = "1:30"\n')
    assert present(squad, {(0, 1)}).lanes[0].base == Pace(100_000)


def test_an_empty_lane_is_left_out():
    roster = Roster(SQUAD, frozenset({(1, 0), (1, 1)}))
    assert [lane.number for lane in present(SQUAD, roster.away).lanes] == [1, 3]
    assert roster.lanes_here() == (0, 2) and roster.heads == 4 and roster.here(1) == 0


def test_marking_absent_and_here_again():
    roster = edit.turned(Roster(SQUAD), 1, 0)
    assert roster.away == {(1, 0)}
    assert edit.turned(roster, 1, 0).away == frozenset()
    assert edit.all_here(roster, 1).away == frozenset()
    assert edit.all_here(Roster(SQUAD), 1).away == {(1, 0), (1, 1)}


def test_one_fewer_is_the_last_to_leave_and_one_more_undoes_that():
    roster = Roster(SQUAD)
    fewer = edit.one_fewer(edit.one_fewer(roster, 1), 1)
    assert fewer.away == {(1, 0), (1, 1)} and edit.one_fewer(roster, 1).away == {(1, 1)}
    with pytest.raises(Refused, match="everybody in this lane is absent"):
        edit.one_fewer(fewer, 1)
    assert edit.one_more(fewer, 1).away == {(1, 1)} and edit.one_more(edit.one_more(fewer, 1), 1) == roster
    known = edit.turned(roster, 1, 0)  # one absent swimmer is named: only those behind come and go
    assert edit.one_more(edit.one_fewer(known, 1), 1).away == {(1, 1)} and edit.one_more(known, 1) == roster
    more = edit.one_more(roster, 1)
    assert (
        more.heads == roster.heads + 1
        and more.squad.lanes[1].swimmers[-1].base == SQUAD.lanes[1].base
        and not more.away
    )


# -- paces -----------------------------------------------------------------------------------------------------


def test_swimmers_at_the_lanes_base_follow_it():
    roster = edit.with_base(Roster(SQUAD), 0, Pace(80_000))
    assert roster.squad.lanes[0].base == Pace(80_000) and bases(roster, 0) == [80_000] * 3


def test_swimmers_with_their_own_pace_keep_it():
    roster = edit.with_base(Roster(SQUAD), 1, Pace(95_000))
    assert roster.squad.lanes[1].base == Pace(95_000) and bases(roster, 1) == [87_000, 91_000]
    assert edit.with_swimmer_base(roster, 1, 0, Pace(99_000)).squad.lanes[1].base == Pace(95_000)


@pytest.mark.parametrize("swum", [(150_000, 310_000), (160_000, 340_000)])  # faster than the lane, and slower
@pytest.mark.parametrize("named", [False, True])
@pytest.mark.parametrize("written", [False, True])
def test_after_one_swimmers_test_swims_the_others_still_follow_the_lane(swum, named, written):
    roster = Roster(SQUAD)
    for place in range(3) if named else ():
        roster = edit.with_name(roster, 0, place, f"Swimmer {place}")
    roster = edit.with_tests(roster, 0, 1, [Trial(200, swum[0]), Trial(400, swum[1])])
    tested = (swum[1] - swum[0]) // 2
    assert roster.squad.lanes[0].base == Pace(76_000) and bases(roster, 0) == [76_000, tested, 76_000]
    if written:
        roster = Roster(read_squad(write_squad(roster.squad)))
    roster = edit.with_base(roster, 0, Pace(78_000))
    assert bases(roster, 0) == [78_000, tested, 78_000]
    assert [swimmer.own for swimmer in roster.squad.lanes[0].swimmers] == [False, True, False]


def test_a_base_that_is_the_lanes_by_chance_is_kept():
    roster = edit.with_swimmer_base(edit.with_name(Roster(SQUAD), 0, 1, "Kit"), 0, 1, Pace(76_000))
    assert bases(edit.with_base(Roster(read_squad(write_squad(roster.squad))), 0, Pace(78_000)), 0) == [
        78_000,
        76_000,
        78_000,
    ]


def test_moving_to_another_lane_makes_nobody_faster():
    roster = edit.swimmer_moved(Roster(SQUAD), 0, 0, 2, 0)
    assert bases(roster, 2) == [76_000, 102_000]
    assert bases(edit.with_base(roster, 2, Pace(100_000)), 2) == [76_000, 100_000]


def test_a_swimmer_added_to_a_lane_of_own_bases_has_the_lanes_base():
    roster = edit.swimmer_added(Roster(SQUAD), 1)
    assert bases(edit.with_base(roster, 1, Pace(95_000)), 1) == [87_000, 91_000, 95_000]


def test_a_lane_follows_its_slowest():
    roster = edit.with_swimmer_base(Roster(SQUAD), 1, 1, Pace(89_000))
    assert roster.squad.lanes[1].base == Pace(89_000)
    assert edit.with_swimmer_base(roster, 1, 0, Pace(93_000)).squad.lanes[1].base == Pace(93_000)
    assert edit.swimmer_gone(roster, 1, 1).squad.lanes[1].base == Pace(87_000)


def test_test_swims_make_the_base():
    roster = edit.with_tests(Roster(SQUAD), 1, 1, [Trial(200, 160_000), Trial(400, 340_000)])
    assert roster.squad.lanes[1].swimmers[1].base == Pace(90_000)
    assert roster.squad.lanes[1].base == Pace(90_000)
    assert read_squad(write_squad(roster.squad)).lanes[1].swimmers[1].tests == (
        Trial(200, 160_000),
        Trial(400, 340_000),
    )
    typed = edit.with_swimmer_base(roster, 1, 1, Pace(92_000))
    assert typed.squad.lanes[1].swimmers[1].tests == ()


# -- order --------------------------------------------------------------------------------------------------------


def test_absent_swimmers_move_with_their_lane():
    roster = Roster(SQUAD, frozenset({(1, 0)}))
    moved = edit.lane_moved(roster, 1, 0)
    assert moved.away == {(0, 0)} and names(moved, 0) == ["Orla", "Bram"] and moved.squad.lanes[0].number == 2
    moved = edit.swimmer_moved(roster, 1, 0, 0, 3)
    assert moved.away == {(0, 3)} and names(moved, 0) == ["", "", "", "Orla"] and names(moved, 1) == ["Bram"]
    assert edit.swimmer_moved(roster, 1, 0, 0) == moved, "without a place: to the end"
    assert edit.lane_gone(roster, 0).away == {(0, 0)}


def test_a_lane_goes_with_its_last_swimmer():
    roster = edit.swimmer_moved(Roster(SQUAD), 2, 0, 0, 0)
    assert len(roster.squad.lanes) == 2 and bases(roster, 0) == [102_000, 76_000, 76_000, 76_000]
    assert edit.swimmer_gone(Roster(SQUAD), 2, 0).squad.lanes == SQUAD.lanes[:2]


def test_in_order_of_pace():
    roster = edit.swimmer_moved(Roster(SQUAD, frozenset({(1, 1)})), 1, 1, 1, 0)
    assert names(roster, 1) == ["Bram", "Orla"] and roster.away == {(1, 0)}
    sorted_ = edit.in_order_of_pace(roster, 1)
    assert names(sorted_, 1) == ["Orla", "Bram"] and sorted_.away == {(1, 1)}


def test_two_lanes_swap_numbers():
    roster = edit.with_number(Roster(SQUAD), 0, 3)
    assert [lane.number for lane in roster.squad.lanes] == [3, 2, 1]
    assert [lane.number for lane in edit.with_number(roster, 0, 7).squad.lanes] == [7, 2, 1]


def test_a_new_lane_has_the_next_number_and_the_last_lanes_pace():
    lane = edit.lane_added(Roster(SQUAD)).squad.lanes[-1]
    assert (lane.number, lane.base, len(lane.swimmers)) == (4, Pace(102_000), 1)


def test_counts():
    roster = edit.with_count(Roster(SQUAD, frozenset({(0, 2)})), 0, 5)
    assert bases(roster, 0) == [76_000] * 5 and roster.away == {(0, 2)}
    assert edit.with_count(roster, 0, 2).away == frozenset()


# -- proposals -------------------------------------------------------------------------------------------------------


def test_a_proposal_for_those_here_keeps_those_absent():
    roster = edit.proposed(Roster(SQUAD, frozenset({(1, 0)})), 2, POOL)
    assert [lane.number for lane in roster.squad.lanes] == [1, 2] and [lane.group for lane in roster.squad.lanes] == [
        "A",
        "B",
    ]
    assert roster.heads == 5 and len(roster.away) == 1
    ((lane, place),) = roster.away
    assert roster.squad.lanes[lane].swimmers[place].name == "Orla" and lane == 1
    assert present(roster.squad, roster.away).lanes[0].swimmers[0].base == Pace(76_000)


def test_a_proposal_keeps_how_far_apart_swimmers_leave():
    slow = Pace(150_000)  # two lengths in 75 s: there would be room for 10 s

    def apart(*now_ms):
        lanes = tuple(Lane(n + 1, slow, (Swimmer(slow), Swimmer(slow)), ms) for n, ms in enumerate(now_ms))
        made = edit.proposed(Roster(Squad(lanes, "Mine")), 2, Pool(25, Unit.METRE))
        return {lane.spacing_ms for lane in made.squad.lanes}

    assert apart(5_000, 5_000) == {5_000} and apart(10_000, 5_000) == {10_000}


def test_a_proposal_needs_somebody():
    everybody = frozenset((lane, place) for lane, told in enumerate(SQUAD.lanes) for place in range(len(told.swimmers)))
    with pytest.raises(Refused, match="no swimmers"):
        edit.proposed(Roster(SQUAD, everybody), 2, POOL)


# -- refused changes ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda r: edit.with_base(r, 0, Pace(5_000)), "between 0:20 and 10:00"),
        (lambda r: edit.with_spacing(r, 0, 0), "swimmers leave 0:01 to 10:00 apart"),
        (lambda r: edit.with_group(r, 0, "free"), "word of the plan's notation"),
        (lambda r: edit.with_group(r, 0, "two words"), "one word"),
        (lambda r: edit.with_number(r, 0, 100), "between 0 and 99"),
        (lambda r: edit.with_rounds(r, 0, -1), "rounds must be between"),
        (lambda r: edit.with_count(r, 0, 0), "at least one swimmer"),
        (lambda r: edit.with_count(r, 0, 100), "at most 80 swimmers"),
        (lambda r: edit.with_name(r, 1, 0, "x" * 61), "a name is too long"),
        (lambda r: edit.with_name(r, 1, 0, "two\nrows"), "a name has an invisible character"),
        (lambda r: edit.named(r, "x" * 61), "a squad's name is too long"),
        (lambda r: edit.with_swimmer_base(r, 1, 0, Pace(80_000, Unit.YARD)), "some paces say"),
        (lambda r: edit.lane_gone(edit.lane_gone(edit.lane_gone(r, 0), 0), 0), "at least one lane"),
    ],
)
def test_refused(change, said):
    with pytest.raises(Refused, match=said):
        change(Roster(SQUAD))


def test_a_squad_has_room_for_so_many_lanes_and_no_more():
    roster = Roster(SQUAD)
    while len(roster.squad.lanes) < MAX_LANES:
        roster = edit.lane_added(roster)
    with pytest.raises(Refused, match="at most 20 lanes"):
        edit.lane_added(roster)


# -- anything, in any order --------------------------------------------------------------------------------------------


class AnyChanges(RuleBasedStateMachine):
    def __init__(self):
        super().__init__()
        self.roster = edit.new_roster("Brackenmere")

    def a_lane(self, data):
        return data.draw(st.integers(0, len(self.roster.squad.lanes) - 1))

    def a_swimmer(self, data):
        lane = self.a_lane(data)
        return lane, data.draw(st.integers(0, len(self.roster.squad.lanes[lane].swimmers) - 1))

    def try_(self, change, *args):
        before = self.roster
        try:
            self.roster = change(before, *args)
        except Refused as wrong:
            assert wrong.message
            assert self.roster is before

    @rule()
    def add_lane(self):
        self.try_(edit.lane_added)

    @rule(data=st.data())
    def drop_lane(self, data):
        self.try_(edit.lane_gone, self.a_lane(data))

    @rule(data=st.data())
    def move_lane(self, data):
        heads, away = self.roster.heads, len(self.roster.away)
        self.try_(edit.lane_moved, self.a_lane(data), self.a_lane(data))
        assert (self.roster.heads, len(self.roster.away)) == (heads, away)

    @rule(data=st.data(), ms=st.integers(10_000, 700_000))
    def base(self, data, ms):
        self.try_(edit.with_base, self.a_lane(data), Pace(ms))

    @rule(data=st.data(), ms=st.integers(20_000, 600_000))
    def swimmers_base(self, data, ms):
        self.try_(edit.with_swimmer_base, *self.a_swimmer(data), Pace(ms))

    @rule(data=st.data(), first=st.integers(60_000, 200_000), more=st.integers(1_000, 250_000))
    def tests(self, data, first, more):
        self.try_(edit.with_tests, *self.a_swimmer(data), [Trial(200, first), Trial(400, first + more)])

    @rule(data=st.data(), name=st.sampled_from(["Kit", "", "Zoë", "x" * 80]))
    def name(self, data, name):
        self.try_(edit.with_name, *self.a_swimmer(data), name)

    @rule(data=st.data(), count=st.integers(0, 12))
    def count(self, data, count):
        self.try_(edit.with_count, self.a_lane(data), count)

    @rule(data=st.data(), number=st.integers(0, 30))
    def number(self, data, number):
        self.try_(edit.with_number, self.a_lane(data), number)

    @rule(data=st.data(), group=st.sampled_from(["A", "B", "", "free", "D"]))
    def group(self, data, group):
        self.try_(edit.with_group, self.a_lane(data), group)

    @rule(data=st.data(), rounds=st.sampled_from([None, 0, 3]))
    def rounds(self, data, rounds):
        self.try_(edit.with_rounds, self.a_lane(data), rounds)

    @rule(data=st.data())
    def turn(self, data):
        lane, place = self.a_swimmer(data)
        self.roster = edit.turned(self.roster, lane, place)

    @rule(data=st.data(), more=st.booleans())
    def one(self, data, more):
        heads, before = self.roster.heads, self.roster
        self.try_(edit.one_more if more else edit.one_fewer, self.a_lane(data))
        assert self.roster.heads == heads + (1 if more else -1) or self.roster == before

    @rule(data=st.data())
    def move(self, data):
        lane, place = self.a_swimmer(data)
        to = self.a_lane(data)
        most = len(self.roster.squad.lanes[to].swimmers) - (to == lane)
        heads, away = self.roster.heads, len(self.roster.away)
        self.try_(edit.swimmer_moved, lane, place, to, data.draw(st.integers(0, most)))
        assert (self.roster.heads, len(self.roster.away)) == (heads, away)

    @rule(data=st.data())
    def drop(self, data):
        self.try_(edit.swimmer_gone, *self.a_swimmer(data))

    @rule(data=st.data())
    def sort(self, data):
        self.try_(edit.in_order_of_pace, self.a_lane(data))

    @precondition(lambda self: self.roster.heads)
    @rule(lanes=st.integers(1, 6))
    def propose(self, lanes):
        heads, away = self.roster.heads, len(self.roster.away)
        self.try_(edit.proposed, lanes, POOL)
        assert (self.roster.heads, len(self.roster.away)) == (heads, away)

    @invariant()
    def it_can_be_written_and_read(self):
        squad = self.roster.squad
        assert read_squad(write_squad(squad)) == squad
        assert 1 <= len(squad.lanes) <= MAX_LANES and sum(len(lane.swimmers) for lane in squad.lanes) <= MAX_SWIMMERS
        assert len({lane.number for lane in squad.lanes}) == len(squad.lanes)
        assert all(
            lane < len(squad.lanes) and place < len(squad.lanes[lane].swimmers) for lane, place in self.roster.away
        )
        there = present(squad, self.roster.away)
        assert sum(len(lane.swimmers) for lane in there.lanes) == self.roster.heads
        assert all(
            lane.base.ms >= slowest_of(lane.swimmers).ms
            for lane in there.lanes
            if slowest_of(lane.swimmers) == lane.base
        )


AnyChanges.TestCase.settings = settings(max_examples=25, stateful_step_count=30, deadline=None)
TestAnyChanges = AnyChanges.TestCase


def test_a_single_lane_of_one():
    pace = Pace(80_000)
    roster = Roster(Squad((Lane(1, pace, (Swimmer(pace),)),)))
    with pytest.raises(Refused):
        edit.swimmer_gone(roster, 0, 0)
