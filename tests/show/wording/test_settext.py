"""A set in words: all of its repeats, not only the first."""

import pytest

from pacer.show.wording.settext import line_words, repeat_words
from tests.session.pages import TWO_LANES, session


def line_of(written):
    return session(f"pool: 25 m\nMain set\n  {written}\n", TWO_LANES).tracks[0].passes[0].laneline


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("4 x 25 IM order, rest 0:10", "4 × 25 IM order"),
        ("4 x 25 kick IM order, rest 0:10", "4 × 25 kick IM order"),
        ("4 x 50 as 25 IM order / 25 free, rest 0:10", "4 × 50 as 25 IM order / 25 free"),
        ("6 x 50 odd free / even back, rest 0:10", "6 × 50 odd free / even back"),
        ("2 x 50 back repeats 1 build / 2 fast, rest 0:10", "2 × 50 repeats 1 back build / 2 back fast"),
        ("8 x 50 repeats 1-4 free / 5-8 back, rest 0:10", "8 × 50 repeats 1–4 free / 5–8 back"),
        ("6 x 50 in turn 2 fly / 1 free, rest 0:10", "6 × 50 in turn 2 fly / 1 free"),
        (
            "4 x 50 odd (25 scull front / 25 free) / even back, rest 0:10",
            "4 × 50 odd (25 scull front / 25 free) / even back",
        ),
        ("4 x 100 as 50 drill / 50 back, rest 0:10", "4 × 100 as 50 drill / 50 back"),
    ],
)
def test_a_set_is_named_after_all_of_its_repeats(written, said):
    ways = line_words(line_of(written))
    assert ways[0] == said
    assert all(len(way) >= len(ways[-1]) for way in ways)


def test_no_way_to_say_a_mixed_set_names_one_stroke_alone():
    for way in line_words(line_of("6 x 50 odd free / even back, rest 0:10"))[:-1]:
        assert "odd" in way and "even" in way
    assert not any("fly" in way for way in line_words(line_of("4 x 25 IM order, rest 0:10")))


def test_a_repeat_is_named_after_its_own_work():
    mixed, order = line_of("6 x 50 odd free / even back, rest 0:10"), line_of("4 x 25 IM order, rest 0:10")
    assert [repeat_words(mixed, n)[0] for n in (0, 1)] == ["50 free", "50 back"]
    assert [repeat_words(order, n)[0] for n in range(4)] == ["25 fly", "25 back", "25 breast", "25 free"]


def test_a_lane_with_too_few_repeats_for_the_last_part_does_not_name_it():
    lines = session("pool: 25 m\nMain set\n  4 / 2 x 50 repeats 1-2 free / 3-4 back, rest 0:10\n", TWO_LANES).tracks
    assert [line_words(track.passes[0].laneline)[0] for track in lines] == [
        "4 × 50 repeats 1–2 free / 3–4 back",
        "2 × 50 free",
    ]
