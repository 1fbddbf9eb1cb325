"""Keys that write: the spaces around what they write, pairs of quotes, and what keys there are."""

from __future__ import annotations

import pytest

from pacer.plan.notation.headerline import pool_of
from pacer.plan.notation.planreader import read_line
from pacer.plan.text.textbuffer import TextBuffer
from pacer.plan.words.vocabulary import LINE_WORDS
from pacer.show.editing.drillkeys import drills_in
from pacer.show.editing.wordkeys import DIGITS, MARKS, PREFIX, put, word_keys
from tests.plan.text.test_textbuffer import at, said


@pytest.mark.parametrize(
    ("before", "text", "after"),
    [
        ("  4|", "x", "  4 x |"),
        ("  4 |", "x", "  4 x |"),
        ("  4 x 50|", "free", "  4 x 50 free |"),
        ("  4 x 50| on", "free", "  4 x 50 free |on"),
        ("  1|", ":", "  1:|"),
        ("rate 32|", "-", "rate 32-|"),
        ("  50 free |", ",", "  50 free, |"),
        ("  50 free|", ",", "  50 free, |"),
        ("  50 free |", '"', '  50 free "|"'),
        ('  50 "slow|"', '"', '  50 "slow"|'),
        ("  50 |slow| now", '"', '  50 "slow"| now'),
        ("  100 |", "(", "  100 (|)"),
        ("  100 (50 drill|)", "(", "  100 (50 drill)|"),
        ("  100 (|)", "drill six-kick switch", "  100 (drill six-kick switch |)"),
        ("on|", "base+", "on base+|"),
        ("|", "rest", "rest |"),
        ("  |", "rest", "  rest |"),
        ("  8 x |50| free", "100", "  8 x 100 | free"),
        ("  4 x 5|", "0", "  4 x 50|"),
    ],
)
def test_what_a_key_writes(before, text, after):
    draft = at(before)
    put(draft, text)
    draft.check()
    assert said(draft) == after


def test_a_line_can_be_written_with_keys_and_digits_alone():
    draft = TextBuffer()
    for piece in (
        "8",
        PREFIX + "x",
        "50",
        PREFIX + "as",
        "25",
        PREFIX + "drill",
        "six",
        PREFIX + "-",
        "kick switch",
        PREFIX + '"',
        "roll",
        PREFIX + '"',
        PREFIX + "/",
        "25",
        PREFIX + "back",
        PREFIX + ",",
        PREFIX + "on",
        "1",
        PREFIX + ":",
        "15",
    ):
        if piece.startswith(PREFIX):
            put(draft, piece.removeprefix(PREFIX))
        else:
            draft.write(piece)
    assert read_line(draft.text, pool_of("25 m")) == read_line(
        '8 x 50 as 25 drill six-kick switch "roll" / 25 back, on 1:15', pool_of("25 m")
    )


def test_every_word_of_a_key_is_one_of_the_notation():
    keys = word_keys(("kick on side",))
    labels = [key.label for key in keys]
    assert labels[:5] == ["x", "on", "rest", "descend", "with"] and "drill kick on side" in labels
    assert len({key.name for key in keys}) == len(keys)
    words = [key.name.removeprefix(PREFIX) for key in keys if "drill " not in key.name]
    words = [word for word in words if word not in MARKS and word not in DIGITS]
    assert all(word.removesuffix("+").casefold() in LINE_WORDS for word in words)


def test_drills_are_found_the_last_used_first():
    texts = [
        "  50 drill six-kick switch “slow” / 50 back\n  100 d single arm back, on 2:00",
        "  6 x 25 drill kick on side, rest 0:15\n  50 drill six-kick switch",
        "  # 4 x 50 drill catch-up\n  100 drill\n  100 drill free easy",
    ]
    assert drills_in(texts) == ("six-kick switch", "single arm", "kick on side", "catch-up")
    assert drills_in(texts, 1) == ("six-kick switch",)
