"""Text that fits, whatever it says and however little room it has."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pacer.show.measure.fitting import LINE, PITCH, Item, cue_words, filled, fit, lines_height, shortened, wrapped


def measure(text: str, cap: float, bold: bool = False) -> float:
    """Every character as wide as it is high, bold ones a tenth wider."""
    return len(text) * cap * (1.1 if bold else 1.0)


words = st.lists(st.text("abcdefgh", min_size=1, max_size=14), min_size=1, max_size=9).map(" ".join)


@given(
    st.lists(words, min_size=1, max_size=4),
    st.floats(20, 900),
    st.floats(10, 200),
    st.floats(5, 90),
    st.integers(1, 3),
    st.booleans(),
)
def test_never_leaves_its_box(ways, width, height, cap, lines, bold):
    floor = cap * 0.6
    found = fit(ways, width, height, cap, floor, measure, bold=bold, lines=lines)
    assert max(measure(row, found.cap, bold) for row in found.lines) <= width + 1e-6 or found.cap <= 1
    assert lines_height(len(found.lines), found.cap) <= height + 1e-6
    assert len(found.lines) <= lines and found.cap <= cap
    assert found.small == (found.cap < min(floor, cap) - 0.01)


def test_shrinks_to_the_floor_before_it_says_less():
    assert fit(("50 drill six-kick switch", "50 drill"), 240, 20, 12, 10, measure).lines == (
        "50 drill six-kick switch",
    )
    assert fit(("50 drill six-kick switch", "50 drill"), 239, 20, 12, 10, measure).lines == ("50 drill",)


def test_wraps_before_it_says_less():
    found = fit(("50 drill six-kick switch", "50 drill"), 150, 40, 12, 10, measure, lines=2)
    assert found.lines == ("50 drill", "six-kick switch")


def test_takes_another_line_only_for_much_larger_text():
    one = fit(("six kicks",), 90, 100, 12, 5, measure, lines=2)
    assert one.lines == ("six kicks",) and one.cap == 10
    two = fit(("six kicks",), 60, 100, 12, 5, measure, lines=2)
    assert two.lines == ("six", "kicks") and two.cap == 12


def test_says_shorter_by_words_then_leaves_words_out():
    assert list(shortened("carry shoulders forward now")) == [
        "carry shou. forward now",
        "carry shou. forw. now",
        "carry shou. forw.…",
        "carry shou.…",
        "carry…",
    ]
    assert list(shortened("roll")) == []


def test_what_never_fits_is_small_and_marked():
    found = fit(("Streckenschwimmen",), 30, 20, 12, 10, measure)
    assert found.small and measure(found.lines[0], found.cap) <= 30


@given(words, st.integers(1, 5))
def test_wrapping_loses_nothing(text, count):
    rows = wrapped(text, count, measure, False)
    assert (rows is None) == (count > len(text.split(" ")))
    if rows:
        assert " ".join(rows) == text and len(rows) <= count


def test_cues_are_never_one_word_of_many():
    assert cue_words("") == ("",)
    assert cue_words("build") == ("“build”",)
    assert cue_words("long, tall; still head")[-1] == "“long, tall…”"


def test_a_row_holds_first_what_matters_most():
    items = (
        Item("distance", ("200",), 0),
        Item("repeat", ("repeat 3 of 4", "3 of 4"), 1),
        Item("cue", ("same roll",), 3),
        Item("round", ("round 2",), 2),
    )
    assert filled(items, 400, 10, 10, measure) == {
        "distance": "200",
        "repeat": "repeat 3 of 4",
        "cue": "same roll",
        "round": "round 2",
    }
    assert filled(items, 190, 10, 10, measure) == {"distance": "200", "repeat": "3 of 4", "round": "round 2"}
    assert filled(items, 100, 10, 10, measure) == {"distance": "200", "repeat": "3 of 4"}
    assert filled(items, 20, 10, 10, measure) == {}


@given(st.lists(st.tuples(words, st.integers(0, 5)), max_size=6), st.floats(10, 800))
def test_a_row_is_never_fuller_than_it_is_wide(rows, width):
    items = tuple(Item(str(number), (way, way[:5]), rank) for number, (way, rank) in enumerate(rows))
    chosen = filled(items, width, 8, 5, measure)
    assert sum(measure(way, 8) + 5 for way in chosen.values()) <= width + 5


def test_heights_of_lines():
    assert lines_height(1, 10) == LINE * 10
    assert lines_height(3, 10) == (LINE + 2 * PITCH) * 10
