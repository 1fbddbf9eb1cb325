"""Lines of coaches' pages that are read otherwise than they were meant, with the first answer to every question."""

from __future__ import annotations

import pytest

from tests.plan.meantpages import COLLECTIONS, wrong_lines

#: Lines that are read otherwise at most, and those among them that nothing is asked about. Fewer is better: lower them.
MOST_WRONG = {
    "aa": (4, 3),
    "ba": (1, 0),
    "o": (0, 0),
    "p": (2, 0),
    "q": (4, 0),
    "r": (10, 0),
    "s": (0, 0),
    "t": (4, 1),
    "u": (1, 0),
    "v": (1, 0),
    "w": (0, 0),
    "x": (0, 0),
    "ca": (6, 0),
}


def test_each_collection_has_its_limit():
    assert {path.stem for path in COLLECTIONS} == {*MOST_WRONG}


@pytest.mark.parametrize("path", COLLECTIONS, ids=lambda path: path.stem)
def test_no_more_lines_are_read_otherwise(path):
    lines, wrong = wrong_lines(path)
    told = "\n".join(f"{line.page}: {line.written} | {line.meant} | {line.why}" for line in wrong)
    unasked = sum(not line.asked for line in wrong)
    assert (len(wrong), unasked) <= MOST_WRONG[path.stem], told
    assert unasked <= MOST_WRONG[path.stem][1], told
    assert lines > 60
