"""Reading the drill book's file, and reporting everything that is wrong with it and where."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.plan.problem import Unreadable
from pacer.shippedfiles import DRILLS
from pacer.squad.files.drillreader import read_drills
from pacer.squad.register.drillfile import DrillFile

ONE = '[[drill]]\nname = "catch-up"\nhow = "One hand waits."\n'
TWO, OUT = "write [[drill]], with two brackets, on its own line", "delete it here"
B = '[[drill]]\nname = "b"\nhow = "x"\n'
LIST = 'for example: look-for = ["the kick never stops"]'


def test_all_of_a_drill():
    book = read_drills(
        ONE
        + 'also = ["catch up"]\nfocus = "a long arm"\nlook-for = ["a", "b"]\nfaults = ["c"]\ngear = ["fins"]\n'
        + 'harder = "single arm"\n[[drill]]\nname = "single arm"\nhow = "One arm."\neasier = "Catch up"\n'
    )
    drill = book.drills[0]
    assert (drill.focus, drill.look_for, drill.faults, drill.gear) == ("a long arm", ("a", "b"), ("c",), ("fins",))
    assert (drill.harder, book.drills[1].easier) == ("single arm", "Catch up")


@pytest.mark.parametrize(
    ("text", "line", "column", "said", "hint"),
    [
        ("[[drill]]\nhow = \"x\"\n", 1, 1, "a drill has no name", 'for example: name = "…"'),
        ('[[drill]]\nname = "x"\n', 1, 1, "the drill x has no how", 'for example: how = "…"'),
        (ONE + 'look = "a"\n', 4, 1, "a drill can't have “look”", "write look-for"),
        (ONE + 'look-for = "a"\n', 4, 12, "look-for must be a list of texts", LIST),
        (ONE + 'hard = "a"\n', 4, 1, "a drill can't have “hard”", "did you mean harder?"),
        (ONE + 'harder = "single arm"\n', 4, 10, "no drill in this book is called “single arm”", ""),
        (ONE + '[[drill]]\nname = "Catch Up"\nhow = "x"\n', 5, 8, "“Catch Up” is also a name of catch-up", OUT),
        ("[drill]\nname = \"a\"\n", 1, 1, "each drill must begin with [[drill]]", TWO),
        (ONE + f'focus = "{"a" * 61}"\n', 4, 9, "focus is too long: 61 characters; the limit is 60", ""),
        (ONE + 'also = ["a", ""]\n', 4, 14, "also is empty", "leave it out"),
        (ONE + B + 'also = ["c", "Catch up"]\n', 7, 14, "“Catch up” is also a name of catch-up", OUT),
        ('drills = 3\n', 1, 1, "a drill book can't have “drills”", "each drill begins with [[drill]]"),
    ],
)  # fmt: skip
def test_a_problem_is_reported_with_its_place(text, line, column, said, hint):
    with pytest.raises(Unreadable) as caught:
        read_drills(text)
    problem = caught.value.problems[0]
    assert (problem.message, problem.hint) == (said, hint)
    assert (problem.line, problem.column) == (line, column)


def test_all_problems_are_reported_at_once():
    with pytest.raises(Unreadable) as caught:
        read_drills('[[drill]]\nname = 3\nhow = ""\nfoo = 1\n[[drill]]\nname = "b"\n')
    assert len(caught.value.problems) >= 4


@given(st.text(max_size=200))
def test_no_text_raises_a_traceback(text):
    for written in (text, f"[[drill]]\n{text}", f'{ONE}look-for = ["{text}"]\n'):
        try:
            read_drills(written)
        except Unreadable as error:
            assert error.text("drills.toml")


def test_the_tablets_own_book_is_used_before_the_demos(tmp_path):
    kept = DrillFile(tmp_path, DRILLS)
    assert (len(kept.book), kept.own, kept.told) == (8, False, ())
    kept.write(ONE)
    again = DrillFile(tmp_path, DRILLS)
    assert (len(again.book), again.own, again.text) == (1, True, ONE)


def test_an_unreadable_book_stays_and_the_demos_is_used(tmp_path):
    (tmp_path / "drills.toml").write_text("[[drill]]\nname = 3\n")
    kept = DrillFile(tmp_path, DRILLS)
    assert len(kept.book) == 8
    assert kept.told == ("The drill book, line 1: a drill has no how. Using the demo drills for now.",)
    assert (tmp_path / "drills.toml").read_text() == "[[drill]]\nname = 3\n"
    with pytest.raises(Unreadable):
        kept.write("[[drill]]\n")
    assert (tmp_path / "drills.toml").read_text() == "[[drill]]\nname = 3\n"
