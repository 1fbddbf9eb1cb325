"""The page laid out.

Rows hold all of a line and no more than fits; places and spots agree; notes stand below their lines.
"""

from __future__ import annotations

from itertools import accumulate, pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from pacer.plan.text.fixes import Fix
from pacer.plan.text.styledstretches import Stretch
from pacer.plan.text.textbuffer import Spot
from pacer.show.editing.pagelayout import Note, Paper, wrapped

CAP, TARGET, GAP = 10.0, 60.0, 12.0


def advance(text, bold):
    """Widths as a proportional font has them, an `a` close to the `b` before it."""
    return sum(
        (4 if char in " il.,:" else 9 if char.isupper() else 7) + (1 if bold else 0) for char in text
    ) - 2 * text.count("ba")


def paper(texts, notes=None, width=200.0):
    made = Paper(advance, CAP, width, TARGET, GAP)
    made.lay(texts, lambda number: (Stretch(0, len(texts[number]), "plain"),) if texts[number] else (), notes or {})
    return made


@given(st.text("ab cdW  ", max_size=80), st.integers(8, 120), st.integers(0, 20))
@example("word " * 9 + "      ", 20, 4)
@example("a" * 70, 15, 5)
@example(" WW", 8, 0)
def test_rows_hold_all_of_a_line_and_no_more_than_fits(text, width, hang):
    width += hang + 10
    edges = tuple(accumulate((advance(char, False) for char in text), initial=0))
    rows = wrapped(text, edges, width, hang)
    assert rows[0][0] == 0 and rows[-1][1] == len(text)
    assert all(one[1] == other[0] for one, other in pairwise(rows))
    for number, (start, end) in enumerate(rows):
        seen = text[start:end].rstrip()
        limit = width - (hang if number else 0)
        assert edges[start + len(seen)] - edges[start] <= limit or len(seen) == 1 or not text[start:].strip()
        if number and text[start - 1] not in " ":
            # Inside a word only where the word is too long for a row.
            first = max((at for at in range(start) if text[at] == " "), default=-1) + 1
            last = next((at for at in range(start, len(text)) if text[at] == " "), len(text))
            assert edges[last] - edges[first] > width - hang


@given(st.lists(st.text("ab Wd ", max_size=40), min_size=1, max_size=6), st.data())
def test_where_a_spot_is_shown_is_where_it_is_found(texts, data):
    made = paper(texts, width=90.0)
    line = data.draw(st.integers(0, len(texts) - 1))
    spot = Spot(line, data.draw(st.integers(0, len(texts[line]))))
    x, top = made.place_of(spot)
    assert made.spot_at(x, top + 1) == spot
    assert made.tops[line] <= top < made.tops[line + 1]
    row = made.row_of(spot)
    start, end = made.lines[line].rows[row]
    assert start <= spot.column <= end


@given(st.lists(st.text("ab Wd ", max_size=40), min_size=1, max_size=5), st.data())
def test_down_and_up_again_passes_every_row(texts, data):
    made = paper(texts, width=90.0)
    spot, seen = Spot(0, 0), [(0, 0)]
    for _ in range(40):
        following = made.beside(spot, 1, 0.0)
        if (following.line, made.row_of(following)) == seen[-1]:
            break
        spot = following
        seen.append((spot.line, made.row_of(spot)))
    assert seen == [(line, row) for line, laid in enumerate(made.lines) for row in range(len(laid.rows))]
    for line, row in reversed(seen):
        assert (spot.line, made.row_of(spot)) == (line, row)
        spot = made.beside(spot, -1, 0.0)
    assert spot == Spot(0, 0)


def test_past_the_ends_lie_the_ends():
    made = paper(["abc", "de"])
    assert made.beside(Spot(0, 2), -1, 20) == Spot(0, 0)
    assert made.beside(Spot(1, 0), 1, 0) == Spot(1, 2)
    assert made.spot_at(-50, -50) == Spot(0, 0) and made.spot_at(1e6, 1e6) == Spot(1, 2)
    assert made.row_ends(Spot(0, 1)) == (Spot(0, 0), Spot(0, 3))


def fix(says="2:15"):
    return Fix(says, 0, 0, 1, "x")


def test_notes_push_down_what_follows_and_only_while_they_are_open():
    plain = paper(["4 x 50", "100"])
    shut = paper(["4 x 50", "100"], {0: (Note(4, "stands long", open=False),)})
    opened = paper(["4 x 50", "100"], {0: (Note(2, "stands long", "more rounds"),)})
    assert shut.tops == plain.tops
    assert opened.tops[1] > plain.tops[1] + 2 * opened.pitch
    assert opened.spot_at(50, opened.tops[1] - 5) == Spot(0, 6), "on a note: the end of its line"


def test_a_note_says_who_and_what_and_a_hint_only_where_no_fix_takes_its_place():
    made = paper(
        ["x"],
        {
            0: (
                Note(-1, "no word", "Perhaps free.", (fix(),), mistake=True),
                Note(2, "can't be made", "on 2:00", (), "lanes 1, 2"),
            )
        },
        width=900,
    )
    first, second = made.lines[0].notes
    assert [row.text for row in first.rows] == ["No word"]
    assert [(row.text, row.hint) for row in second.rows] == [("Lanes 1, 2: can't be made", False), ("on 2:00", True)]
    assert second.top == first.top + first.height


@pytest.mark.parametrize("width", [120.0, 300.0, 900.0])
def test_chips_are_large_apart_and_inside(width):
    fixes = tuple(fix(says) for says in ("on 1:25 / 1:35 / 1:50 / 2:00", "x", "without fins", "50"))
    made = paper(["abc", "4 x 100"], {1: (Note(-1, "what", "", fixes),)}, width)
    note = made.lines[1].notes[0]
    assert [chip.fix for chip in note.chips] == list(fixes)
    for chip in note.chips:
        assert chip.width >= TARGET and chip.height >= TARGET
        assert chip.x >= 0 and made.hang + chip.x + chip.width <= max(width, TARGET + made.hang) + 1e-6
        assert chip.top + chip.height <= note.height
    for one, other in pairwise(note.chips):
        assert other.x >= one.x + one.width + GAP or other.top >= one.top + one.height + GAP


def test_what_is_as_it_was_is_not_laid_out_again():
    made = paper(["abc", "def", "abc"])
    before = made.lines
    made.lay(["new", "abc", "def", "abc"], lambda number: (Stretch(0, 3, "plain"),), {})
    assert made.lines[1] is before[0] and made.lines[2] is before[1]


def test_bold_stretches_are_wider():
    made = Paper(advance, CAP, 500, TARGET, GAP)
    made.lay(["Main 4"], lambda number: (Stretch(0, 4, "section"), Stretch(4, 5, "plain"), Stretch(5, 6, "number")), {})
    assert made.lines[0].edges[-1] == sum(advance(char, char != " ") for char in "Main 4")
