import random
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from pacer.signal.clip import COUNTDOWNS, LEAD_MS
from pacer.signal.clipschedule import OCCUPIED_MS, SECTION_START, Programme, Sound, Wanted, plan_sounds

# Instants close together, on both sides of zero and of the limit of 3,600 ms.
instants = st.integers(-10, 60).map(lambda n: n * 600) | st.integers(-5_000, 40_000)
wanted_lists = st.lists(st.builds(Wanted, instants, st.integers(SECTION_START, 5)), max_size=30)


def at(programme: Programme) -> list[int]:
    return [sound.at_ms for sound in programme.sounds]


def overlap(one: int, other: int) -> bool:
    """By the intervals themselves: [t - 3000, t + 600) of each."""
    return max(one, other) - 3_000 < min(one, other) + 600


def naive(wanted: list[Wanted]) -> list[int]:
    """Round by round: the first of those left sounds, and silences all that it overlaps."""
    left = {each.at_ms: min(other.order for other in wanted if other.at_ms == each.at_ms) for each in wanted}
    sounding: list[int] = []
    while left:
        first = min(left, key=lambda at_ms: (left[at_ms], at_ms))
        sounding.append(first)
        left = {at_ms: order for at_ms, order in left.items() if not overlap(at_ms, first)}
    return sorted(sounding)


def test_the_whole_count_down_occupies_what_the_rule_says():
    assert COUNTDOWNS[3].length_ms == OCCUPIED_MS == 3_600
    assert COUNTDOWNS[3].tones[-1].at_ms == LEAD_MS == 3_000


@given(wanted_lists)
def test_the_result_is_the_same_as_a_naive_models(wanted):
    programme = plan_sounds(wanted)
    programme.check()
    assert at(programme) == naive(wanted)
    for sound in programme.sounds:
        assert set(sound.orders) == {each.order for each in wanted if each.at_ms == sound.at_ms}


@given(wanted_lists, st.randoms(use_true_random=False))
def test_the_order_of_the_input_does_not_matter(wanted, shuffler):
    shuffled = wanted[:]
    shuffler.shuffle(shuffled)
    assert plan_sounds(shuffled) == plan_sounds(wanted)


@given(wanted_lists)
def test_every_silent_instant_lost_to_one_of_higher_rank(wanted):
    programme = plan_sounds(wanted)
    rank = {sound.at_ms: (min(sound.orders), sound.at_ms) for sound in programme.sounds}
    for each in wanted:
        if each.at_ms not in programme:
            assert any(overlap(each.at_ms, other) and rank[other] < (each.order, each.at_ms) for other in rank)


@given(wanted_lists, st.lists(st.integers(-15_000, 45_000), max_size=40))
def test_consecutive_windows_give_each_sound_once(wanted, cuts):
    programme = plan_sounds(wanted)
    edges = [-20_000, *sorted(cuts), 50_000]
    given_out = [sound for a, b in pairwise(edges) for sound in programme.due(a, b)]
    assert tuple(given_out) == programme.sounds
    for a, b in pairwise(edges):
        assert all(a <= sound.start_ms < b for sound in programme.due(a, b))


def test_two_equal_instants_sound_once():
    assert plan_sounds([Wanted(9_000, 2), Wanted(9_000, 0), Wanted(9_000, 2)]).sounds == (Sound(9_000, (0, 2)),)


def test_the_section_start_wins_whichever_comes_first():
    assert at(plan_sounds([Wanted(9_000, 0), Wanted(10_000)])) == [10_000]
    assert at(plan_sounds([Wanted(9_000), Wanted(10_000, 0)])) == [9_000]


def test_then_the_lane_first_in_order():
    assert at(plan_sounds([Wanted(9_000, 1), Wanted(10_000, 0)])) == [10_000]


def test_a_silent_instant_silences_no_other():
    # Lane 2 gives way to lane 1, so lane 3, which overlaps only lane 2, sounds.
    assert at(plan_sounds([Wanted(9_000, 0), Wanted(12_000, 1), Wanted(15_000, 2)])) == [9_000, 15_000]


def test_the_limit_is_exact():
    assert at(plan_sounds([Wanted(9_000, 0), Wanted(12_599, 1)])) == [9_000]
    assert at(plan_sounds([Wanted(9_000, 0), Wanted(12_600, 1)])) == [9_000, 12_600]


def test_a_whole_session_of_ten_lanes():
    chance = random.Random(7)
    wanted = [Wanted(n * 1_000 * chance.randrange(80, 110), lane) for lane in range(10) for n in range(80)]
    wanted += [Wanted(n * 900_000) for n in range(8)]
    assert at(plan_sounds(wanted)) == naive(wanted)


def test_nothing_wanted_nothing_sounds():
    programme = plan_sounds([])
    assert programme.sounds == programme.due(-1, 10**9) == () and 0 not in programme
