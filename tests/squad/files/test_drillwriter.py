"""One drill changed in the book's file: the rest stays as it was, comments too; what can't be a book is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.plan.library.drillbook import Drill
from pacer.plan.problem import Unreadable
from pacer.shippedfiles import DRILLS
from pacer.squad.files.drillreader import read_drills
from pacer.squad.files.drillwriter import with_drill, write_drill

DEMO = DRILLS.read_text(encoding="utf-8")
BOOK = """\
# ours

[[drill]]
name = "a"  # the first
how = "b"
gear = [
  "fins",
]

[[drill]]
# the second is for Thursdays
name = "c"
how = "d"
"""


@given(st.data())
def test_any_drill_reads_back(data):
    text = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=20)
    many = st.lists(text, max_size=3, unique=True).map(tuple)
    drill = Drill(data.draw(text), data.draw(text), (), data.draw(text), data.draw(many), data.draw(many))
    assert read_drills(write_drill(drill)).drills == (drill,)


@pytest.mark.parametrize("at", range(8))
def test_a_change_touches_one_drill_alone(at):
    drills = read_drills(DEMO).drills
    changed = replace(drills[at], how="Another way to say it.")
    text, kept = with_drill(DEMO, at, changed)
    assert kept and text.startswith(DEMO[: DEMO.index("[[drill]]")])
    assert read_drills(text).drills == (*drills[:at], changed, *drills[at + 1 :])
    parts, before = text.split("[[drill]]"), DEMO.split("[[drill]]")
    assert [n for n, (new, old) in enumerate(zip(parts, before)) if new != old] == [at + 1]
    assert with_drill(DEMO, at, drills[at])[0] == DEMO


def test_comments_and_lists_over_several_lines_stay():
    drills = read_drills(BOOK).drills
    text, kept = with_drill(BOOK, 1, replace(drills[1], how="e"))
    assert kept and text == BOOK.replace('how = "d"', 'how = "e"')
    text, kept = with_drill(BOOK, 0, replace(drills[0], how="e"))
    assert kept and "# ours" in text and '"a"  # the first' in text and "for Thursdays" in text
    text, kept = with_drill(BOOK, 1, None)
    assert kept and "for Thursdays" in text and read_drills(text).drills == drills[:1]


def test_a_drill_is_added_at_the_end():
    text, kept = with_drill(BOOK, 2, Drill("e", "f"))
    assert kept and text == BOOK + '\n[[drill]]\nname = "e"\nhow = "f"\n'
    assert with_drill("", 0, Drill("e", "f"))[0] == '[[drill]]\nname = "e"\nhow = "f"\n'


def test_what_cannot_be_a_book_is_refused():
    drills = read_drills(BOOK).drills
    for wrong in (
        replace(drills[1], name="a"),
        replace(drills[1], how=""),
        replace(drills[1], easier="nothing"),
        replace(drills[1], also=("A",)),
    ):
        with pytest.raises(Unreadable):
            with_drill(BOOK, 1, wrong)
