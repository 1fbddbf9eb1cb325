"""A whole lane's test swims, timed with one watch."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.plan.times import in_tenths
from pacer.squad.refusal import Refused
from pacer.squad.squad import Trial
from pacer.squad.trials.basefromtrials import Trust
from pacer.squad.trials.trialwatch import (
    Phase,
    arrived,
    begun,
    broken_off,
    check,
    data_from_swim,
    gave_up,
    goes_on,
    moment,
    offers,
    swapped,
    swim_from_data,
    taken_back,
)
from pacer.squad.trials.trialwatch import new_swim as fresh_swim

ZERO = 1_000_000


def swim(places=(0, 1, 2), distance=400, spacing_ms=10_000):
    return begun(fresh_swim(distance, places, spacing_ms), ZERO)


def test_each_time_counts_from_the_swimmers_own_send_off():
    made = swim()
    for at_ms in (340_004, 356_006, 372_004):
        made = arrived(made, ZERO + at_ms)
    assert [made.time_ms(place) for place in (0, 1, 2)] == [340_000, 346_010, 352_000]
    assert made.is_in and made.coming == ()


def test_absent_swimmers_leave_no_gap():
    made = swim(places=(0, 2, 5))
    assert [made.leaves_ms(place) - ZERO for place in (0, 2, 5)] == [0, 10_000, 20_000]


def test_who_leaves_when():
    made = fresh_swim(400, (1, 3), 10_000)
    assert moment(made, 5) == moment(made, 9) and moment(made, 5).who == 1 and moment(made, 5).phase is Phase.READY
    made = begun(made, ZERO)
    told = [
        (moment(made, ZERO + at).phase, moment(made, ZERO + at).who, moment(made, ZERO + at).in_ms)
        for at in (-3_000, 0, 1_999, 2_000, 11_000, 12_000)
    ]
    assert told == [
        (Phase.READY, 1, 3_000),
        (Phase.LEAVING, 1, 0),
        (Phase.LEAVING, 1, -1_999),
        (Phase.LEAVING, 3, 8_000),
        (Phase.LEAVING, 3, -1_000),
        (Phase.SWIMMING, None, None),
    ]
    assert moment(made, ZERO + 12_000).swum_ms == {1: 12_000, 3: 2_000}


def test_running_times_stop_when_swimmers_finish():
    made = arrived(swim(), ZERO + 300_000)
    assert moment(made, ZERO + 310_000).swum_ms == {0: 300_000, 1: 300_000, 2: 290_000}
    made = arrived(arrived(made, ZERO + 310_000), ZERO + 320_000)
    told = moment(made, ZERO + 400_000)
    assert told.phase is Phase.IN and told.swum_ms == {0: 300_000, 1: 300_000, 2: 300_000}


def test_an_impossible_tap_is_ignored():
    made = swim()
    with pytest.raises(Refused, match="too soon"):
        arrived(made, ZERO + 79_999)
    with pytest.raises(Refused, match="nobody is left to finish"):
        arrived(fresh_swim(400, (0,), 5_000), ZERO)
    for at_ms in (300_000, 300_001, 300_002):
        made = arrived(made, ZERO + at_ms)
    with pytest.raises(Refused, match="nobody is left to finish"):
        arrived(made, ZERO + 301_000)


def test_undoing_a_tap():
    made = arrived(arrived(swim(), ZERO + 300_000), ZERO + 301_000)
    assert taken_back(made) == arrived(swim(), ZERO + 300_000)
    assert taken_back(taken_back(taken_back(made))) == swim()


def test_swapping_two_who_finished_the_other_way_round():
    made = arrived(arrived(swim(), ZERO + 300_000), ZERO + 320_000)
    made = swapped(made, 0, 1)
    assert (made.time_ms(0), made.time_ms(1)) == (320_000, 290_000) and made.coming == (2,)
    ahead = swapped(made, 1, 2)  # the third overtook the second
    assert ahead.time_ms(1) is None and ahead.time_ms(2) == 280_000


def test_an_impossible_swap():
    made = arrived(swim((0, 1), spacing_ms=600_000), ZERO + 300_000)
    with pytest.raises(Refused, match="nobody swims that fast"):
        swapped(made, 0, 1)


def test_a_swimmer_who_gives_up_is_not_expected():
    made = gave_up(swim(), 1)
    made = arrived(arrived(made, ZERO + 300_000), ZERO + 330_000)
    assert made.is_in and made.trials() == {0: Trial(400, 300_000), 2: Trial(400, 310_000)}
    assert 1 not in moment(made, ZERO + 340_000).swum_ms
    again = goes_on(made, 1)
    assert again.coming == (1,) and arrived(again, ZERO + 400_000).time_ms(1) == 390_000
    with pytest.raises(Refused, match="has finished"):
        gave_up(made, 0)


def test_nobody_here():
    with pytest.raises(Refused, match="everybody in this lane is absent"):
        fresh_swim(400, (), 5_000)


# -- results ----------------------------------------------------------------------------------------------


def finished(distance, *times_ms):
    made = swim(tuple(range(len(times_ms))), distance)
    for place, time_ms in enumerate(times_ms):
        made = arrived(made, made.leaves_ms(place) + time_ms)
    return made


def test_a_400_and_a_200_make_a_base():
    # The coach's shortcut, half the difference: (5:40 - 2:40) / 2 = 1:30.
    made = offers([finished(400, 340_000, 364_000), finished(200, 160_000, 172_000)])
    assert [offer.found.pace.ms for offer in made] == [90_000, 96_000]
    assert made[0].found.trust is Trust.FAIR and made[0].words


def test_the_later_of_two_alike_counts():
    made = offers([finished(400, 340_000), finished(200, 150_000), finished(200, 160_000)])
    assert made[0].found.pace.ms == 90_000


def test_one_new_test_swim_is_combined_with_older_ones():
    made = offers([finished(200, 160_000, 172_000)], {0: (Trial(200, 150_000), Trial(400, 340_000))})
    assert made[0].found.pace.ms == 90_000 and made[0].words.startswith("With 400 in 5:40 from before. ")
    assert made[1].found.trust is Trust.ROUGH and made[1].earlier == ()


def test_contradictory_test_swims_are_refused_with_the_reason():
    made = offers([finished(400, 300_000), finished(200, 160_000)])
    assert made[0].found is None and "faster per 100" in made[0].words and "swim it again" in made[0].words


def test_a_swimmer_who_swam_nothing_is_offered_nothing():
    assert offers([swim()]) == ()


# -- saved -----------------------------------------------------------------------------------------------------


ACTS = st.lists(
    st.one_of(
        st.tuples(st.just("tap"), st.integers(0, 900_000)),
        st.tuples(st.just("back"), st.just(0)),
        st.tuples(st.just("swap"), st.integers(0, 15)),
        st.tuples(st.just("out"), st.integers(0, 3)),
        st.tuples(st.just("on"), st.integers(0, 3)),
    ),
    max_size=30,
)


@given(ACTS)
def test_any_presses_leave_a_test_swim_that_can_be_saved(acts):
    made, now = swim((0, 1, 2, 3)), ZERO
    for act, number in acts:
        try:
            if act == "tap":
                now += number
                made = arrived(made, now)
            elif act == "back":
                made = taken_back(made)
            elif act == "swap":
                made = swapped(made, *divmod(number, 4))
            elif act == "out":
                made = gave_up(made, number)
            elif number in made.out:
                made = goes_on(made, number)
        except Refused as wrong:
            assert wrong.message
        check(made)
        assert swim_from_data(json.loads(json.dumps(data_from_swim(made)))) == made
        assert set(moment(made, now).swum_ms) <= set(made.order)
    check(broken_off(made))
    assert broken_off(made).coming == () or broken_off(made).zero_ms is None


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"distance": 400},
        [],
        "x",
        {**data_from_swim(swim()), "order": [0, 1]},
        {**data_from_swim(swim()), "arrivals": [3, 2]},
        {**data_from_swim(swim()), "zero_ms": None, "arrivals": [5]},
        {**data_from_swim(swim()), "distance": "far"},
        {**data_from_swim(swim()), "places": [0, 0, 1]},
    ],
)
def test_data_that_is_not_a_test_swim_is_refused(data):
    with pytest.raises(ValueError):
        swim_from_data(data)


def test_times_are_shown_in_tenths():
    assert [in_tenths(ms) for ms in (342_340, 342_350, 59_950, 59_940, 3_600_000)] == [
        "5:42.3",
        "5:42.4",
        "1:00.0",
        "0:59.9",
        "1:00:00.0",
    ]
