"""Proposed lanes against brute force: every way to put swimmers into lanes, every way to cut them."""

import random
from fractions import Fraction
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.plan.model import Pool, Unit
from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.squad import Pace, Squad, Swimmer
from pacer.squad.trials.laneproposal import LanesRefused, propose_lanes

SHORT = Pool(Fraction(25), Unit.METRE)
LONG = Pool(Fraction(50), Unit.METRE)
YARDS = Pool(Fraction(25), Unit.YARD)


def swimmers(*seconds: float) -> list[Swimmer]:
    return [Swimmer(Pace(round(second * 1000)), f"S{place}") for place, second in enumerate(seconds)]


def sizes(squad: Squad) -> list[int]:
    return [len(lane.swimmers) for lane in squad.lanes]


def paces(squad: Squad) -> list[list[int]]:
    return [[swimmer.base.ms // 1000 for swimmer in lane.swimmers] for lane in squad.lanes]


def score(lanes: list[list[int]]) -> tuple[int, int]:
    """Rules 2 and 3 of `propose_lanes`."""
    return sum((max(lane) - min(lane)) ** 2 for lane in lanes), sum(len(lane) ** 2 for lane in lanes)


def fits(lanes: list[list[int]], least: int, most: int) -> bool:
    """5 s each within the leader's first 50 m of a 25 m pool."""
    return all(least <= len(lane) <= most and len(lane) * 5_000 <= Fraction(min(lane), 2) for lane in lanes)


def partitions(items: list[int], parts: int):
    """Every way to put the items into so many lanes, none empty, whether or not they are neighbours in pace."""
    if parts == 0:
        if not items:
            yield []
        return
    if not items:
        return
    first, rest = items[0], items[1:]
    for size in range(len(rest) + 1):
        for others in combinations(range(len(rest)), size):
            lane = [first, *(rest[place] for place in others)]
            remaining = [item for place, item in enumerate(rest) if place not in others]
            for lanes in partitions(remaining, parts - 1):
                yield [lane, *lanes]


def cuts(items: list[int], parts: int):
    """Every way to cut the sorted items into so many lanes."""
    items = sorted(items)
    for places in combinations(range(1, len(items)), parts - 1):
        edges = [0, *places, len(items)]
        yield [items[start:end] for start, end in pairwise(edges)]


def best_of(ways, least: int, most: int):
    return min(((*score(way), list(map(len, way))) for way in ways if fits(way, least, most)), default=None)


def proposed(seconds: list[int], lanes: int, least: int, most: int):
    """The score of the proposal; None if it is refused or uses fewer lanes."""
    try:
        squad = propose_lanes(swimmers(*seconds), lanes, SHORT, least=least, most=most)
    except LanesRefused:
        return None
    made = [[swimmer.base.ms for swimmer in lane.swimmers] for lane in squad.lanes]
    return (*score(made), list(map(len, made))) if len(made) == lanes else None


def test_counts_of_the_brute_force():
    """Stirling numbers of the second kind S(6, 3) = 90 and S(9, 3) = 3,025; C(8, 2) = 28 cuts (computed)."""
    assert sum(1 for _ in partitions(list(range(6)), 3)) == 90
    assert sum(1 for _ in partitions(list(range(9)), 3)) == 3_025
    assert sum(1 for _ in cuts(list(range(9)), 3)) == 28


@pytest.mark.parametrize("seed", range(40))
def test_no_way_at_all_is_better(seed):
    """Up to 9 swimmers and 3 lanes: keeping neighbours in pace together is best of all ways, not only of all cuts."""
    rng = random.Random(seed)
    seconds = [rng.randint(70, 70 + rng.choice((6, 20, 60))) for _ in range(rng.randint(3, 9))]
    lanes, least, most = rng.randint(1, 3), rng.choice((1, 1, 2)), rng.choice((3, 4, 9))
    found = proposed(seconds, lanes, least, most)
    ms = [second * 1000 for second in seconds]
    scores = [score(way) for way in partitions(ms, lanes) if fits(way, least, most)]
    if found is None:
        assert not scores
    else:
        assert found[:2] == min(scores)
        assert found == best_of(cuts(ms, lanes), least, most)


def larger_case(seed: int) -> tuple[list[int], int, int, int]:
    rng = random.Random(1000 + seed)
    count = rng.randint(10, 19)
    seconds = [rng.randint(65, 65 + rng.choice((8, 30, 90))) for _ in range(count)]
    return seconds, rng.randint(2, 5), rng.choice((1, 2, 3)), rng.choice((4, 5, 6, 20))


@pytest.mark.parametrize("seed", range(40))
def test_no_cut_is_better(seed):
    seconds, lanes, least, most = larger_case(seed)
    assert proposed(seconds, lanes, least, most) == best_of(cuts([s * 1000 for s in seconds], lanes), least, most)


def test_brute_force_meets_both_ways_out():
    """The cases above mean something: some fit, some do not."""
    outcomes = {proposed(*larger_case(seed)) is None for seed in range(40)}
    assert outcomes == {True, False}


@pytest.mark.parametrize(
    ("seconds", "lanes", "expected"),
    [
        ([80, 81, 82, 100, 101, 102], 2, [[80, 81, 82], [100, 101, 102]]),
        ([80, 90, 100, 110], 1, [[80, 90, 100, 110]]),
        ([80, 90, 100, 110], 4, [[80], [90], [100], [110]]),
        ([80, 90], 6, [[80], [90]]),
        # ties: the most even sizes, then the fewest in the faster lane
        ([80, 80, 80, 80], 2, [[80, 80], [80, 80]]),
        ([80, 80, 80, 80, 80], 2, [[80, 80], [80, 80, 80]]),
        ([80, 90, 100], 2, [[80], [90, 100]]),
        # one wide lane is worse than two less wide: 100 + 100 < 0 + 400
        ([80, 90, 100, 110], 2, [[80, 90], [100, 110]]),
        ([80, 85, 90, 95, 100], 2, [[80, 85], [90, 95, 100]]),
    ],
)
def test_cases_by_hand(seconds, lanes, expected):
    assert paces(propose_lanes(swimmers(*seconds), lanes, SHORT)) == expected


@pytest.mark.parametrize(
    ("count", "pool", "spacing_ms"),
    [
        # leader's first two lengths at 1:20: 40 s in 25 m, 80 s in 50 m
        (1, SHORT, 10_000), (4, SHORT, 10_000), (5, SHORT, 5_000), (8, SHORT, 5_000), (9, SHORT, None),
        (8, LONG, 10_000), (9, LONG, 5_000), (16, LONG, 5_000), (17, LONG, None),
        (8, YARDS, 5_000), (9, YARDS, None),
    ],
)  # fmt: skip
def test_room_in_a_lane(count, pool, spacing_ms):
    """n × spacing may reach the leader's time for two lengths, but not exceed it.

    40 s hold 8 at 5 s and 4 at 10 s, computed.
    """
    try:
        (lane,) = propose_lanes(swimmers(*[80] * count), 1, pool).lanes
    except LanesRefused as refused:
        assert spacing_ms is None
        assert "use 2 or more" in refused.hint
    else:
        assert lane.spacing_ms == spacing_ms


def test_a_pool_in_yards_reads_paces_of_either_unit():
    mixed = [
        Swimmer(Pace(80_000, Unit.METRE), "m"),
        Swimmer(Pace(74_000, Unit.YARD), "yd"),
        Swimmer(Pace(73_000), "pool's"),
    ]
    # 1:20 for 100 m is 1:13.152 for 100 yd
    (lane,) = propose_lanes(mixed, 1, YARDS).lanes
    assert [swimmer.name for swimmer in lane.swimmers] == ["pool's", "m", "yd"]
    assert lane.base == Pace(74_000, Unit.YARD)


@given(
    st.lists(st.integers(65_000, 160_000), min_size=1, max_size=40),
    st.integers(1, 10),
    st.randoms(use_true_random=False),
)
@settings(max_examples=60, deadline=None)
def test_what_always_holds(ms, lanes, rng):
    everyone = [Swimmer(Pace(pace), f"S{place % 7}") for place, pace in enumerate(ms)]
    try:
        squad = propose_lanes(everyone, lanes, SHORT, most=8)
    except LanesRefused as refused:
        assert len(everyone) > 6 * lanes  # nobody is faster than 1:05, and such a lane has room for 6
        assert refused.hint
        return
    order = [swimmer for lane in squad.lanes for swimmer in lane.swimmers]
    assert sorted(order, key=repr) == sorted(everyone, key=repr)
    assert [swimmer.base.ms for swimmer in order] == sorted(ms)
    assert len(squad.lanes) == min(lanes, len(everyone))
    assert [lane.number for lane in squad.lanes] == list(range(1, len(squad.lanes) + 1))
    for lane in squad.lanes:
        assert lane.base == lane.swimmers[-1].base
        first_two_lengths = Fraction(lane.swimmers[0].base.ms, 2)
        assert len(lane.swimmers) * lane.spacing_ms <= first_two_lengths
        assert lane.spacing_ms == (10_000 if len(lane.swimmers) * 10_000 <= first_two_lengths else 5_000)
    shuffled = list(everyone)
    rng.shuffle(shuffled)
    assert propose_lanes(shuffled, lanes, SHORT, most=8) == squad
    assert read_squad(write_squad(squad)) == squad


def test_eighty_swimmers_in_twenty_lanes():
    rng = random.Random(80)
    everyone = [Swimmer(Pace(Fraction(rng.randint(650_000, 1_500_000), 10))) for _ in range(80)]
    squad = propose_lanes(everyone, 20, SHORT)
    assert sum(sizes(squad)) == 80
    assert len(squad.lanes) == 20


@pytest.mark.parametrize(
    ("seconds", "lanes", "limits", "message", "hint"),
    [
        ([], 3, {}, "no swimmers", "base pace"),
        ([80] * 81, 20, {}, "81 swimmers", "leave some out"),
        ([80], 0, {}, "not 0", "how many"),
        ([80], 21, {}, "not 21", "how many"),
        ([80], 1, {"least": 2, "most": 1}, "2 to 1", "no more than"),
        ([80], 1, {"spacings_ms": ()}, "0:01", "usual"),
        (
            [80] * 26,
            3,
            {},
            "26 swimmers don't fit in 3 lanes",
            "use 4 or more: a lane holds 8 at most, a slow one fewer",
        ),
        ([80] * 26, 3, {"most": 5}, "don't fit in 3 lanes", "use 6 or more: a lane holds 5 at most"),
        ([80] * 8, 2, {"least": 9, "most": 12}, "a lane holds 8 at most", "8 or fewer"),
        ([80] * 3, 1, {"least": 2, "most": 2}, "2 to 2", "fewer in a lane"),
    ],
)
def test_what_is_refused(seconds, lanes, limits, message, hint):
    with pytest.raises(LanesRefused) as refused:
        propose_lanes(swimmers(*seconds), lanes, SHORT, **limits)
    assert message in refused.value.message
    assert hint in refused.value.hint


def test_fewer_lanes_where_each_must_be_full_enough():
    assert sizes(propose_lanes(swimmers(80, 85, 90, 95, 100), 4, SHORT, least=2)) == [2, 3]
