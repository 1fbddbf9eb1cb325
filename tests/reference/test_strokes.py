"""Stroke rate, length and index against published cases."""

from fractions import Fraction

import pytest

from pacer.session.journal.recordentries import LengthCounted, Rated
from pacer.session.records.strokefigures import counted, rated, rating, stroke_index, stroke_length, stroke_rate


@pytest.mark.parametrize(
    ("cycles", "time_cs", "rate"),
    # 60 n / t, worked out by hand: 3 cycles in 4.5 s, 5 in 6.0 s, 10 in 15 s (the formula from memory).
    [(3, 450, 40), (5, 600, 50), (10, 1500, 40)],
)
def test_rate_is_sixty_times_cycles_over_seconds(cycles, time_cs, rate):
    assert stroke_rate(cycles, time_cs) == rate
    assert rating(Rated(0, 0, (0, time_cs), cycles)).rate == rate


def test_length_and_index_of_a_clean_swim():
    """20 m of clean swimming in 14.0 s at 40 cycles a minute.

    Worked out by hand from v = rate x length (Craig and Pendergast 1979).
    """
    rate = rating(Rated(0, 0, (0, 450), 3)).rate
    length = stroke_length(Fraction(20, 14), rate)
    assert float(length) == pytest.approx(2.142857, abs=5e-7)
    assert float(stroke_index(Fraction(20, 14), length)) == pytest.approx(3.061224, abs=5e-7)


#: Group means at critical speed and over 30 minutes, 23 men: speed in m/s, cycles a minute, metres a cycle
#: (SciELO S1517-86922007000300004; read).
GROUPS = [("1.30", "33.07", "2.41"), ("1.17", "35.57", "2.04"), ("1.23", "31.38", "2.38"), ("1.07", "33.54", "1.97")]
#: Means of products are not products of means: the source's own columns agree only to 3.5 %.
APART = 0.035


@pytest.mark.parametrize(("speed", "rate", "length"), GROUPS)
def test_strokes_counted_come_to_the_published_rate(speed, rate, length):
    """Time and count a swimmer with a group's speed and stroke length over 200 m: the rate is the group's."""
    strokes = round(2 * 200 / float(length))  # of single arms, as a coach counts them
    found = counted(LengthCounted(0, 0, strokes, 200, round(200 / float(speed) * 100)))
    assert float(found.rate) == pytest.approx(float(rate), rel=APART)
    assert float(found.length) == pytest.approx(float(length), rel=0.01)
    # The index, speed x length (Costill et al. 1985, from memory), and by the rate instead: 60 v^2 / S.
    assert float(found.index) == pytest.approx(60 * float(speed) ** 2 / float(rate), rel=APART)


@pytest.mark.parametrize(("speed", "rate", "length"), GROUPS)
def test_cycles_tapped_come_to_the_published_length(speed, rate, length):
    """Tap the same swimmer's cycles at the group's rate: the stroke length is the group's."""
    taps = tuple(round(cycle * 60_000 / float(rate)) for cycle in range(6))
    found = rating(rated(0, taps))
    assert found.cycles == 5 and float(found.rate) == pytest.approx(float(rate), rel=0.001)
    assert float(stroke_length(Fraction(speed), found.rate)) == pytest.approx(float(length), rel=APART)


@pytest.mark.parametrize(
    ("seconds", "strokes", "both"),
    # Seconds and arm strokes of one length added up: marathonswimmers, 2012.
    [(40, 32, 72), (35, 37, 72), (25, 20, 45)],
)
def test_seconds_and_strokes_of_one_length(seconds, strokes, both):
    assert counted(LengthCounted(0, 0, strokes, 25, seconds * 100)).seconds_and_strokes == both


def test_arm_strokes_are_twice_the_cycles():
    """The trap in the same source.

    Counted in cycles, the 40 s length sums to 60, not 72; here strokes are counted, cycles derived.
    """
    by_arm = counted(LengthCounted(0, 0, 40, 25, 4000))
    by_action = counted(LengthCounted(0, 0, 20, 25, 4000, strokes_per_cycle=1))
    assert by_arm.rate == by_action.rate == 30 and by_arm.length == by_action.length == Fraction(25, 20)
    assert by_arm.seconds_and_strokes == 80 and by_action.seconds_and_strokes == 60
