"""Pages of text: every word is there, nothing is wider or higher than its page, headings keep their text."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from pacer.face.window.noticepage import PITCH, rows_from

WORDS = st.lists(st.text("abcdefg", min_size=1, max_size=9), min_size=1, max_size=60).map(" ".join)
PARAGRAPHS = st.lists(st.tuples(st.text("ABC", min_size=1, max_size=8), WORDS), min_size=1, max_size=8)


def width_of(text, bold):
    return len(text) * (11 if bold else 10)


@given(PARAGRAPHS, st.integers(100, 900), st.integers(5, 40))
def test_nothing_is_lost_and_nothing_overflows(paragraphs, width, height):
    pages = rows_from(paragraphs, width, height, width_of)
    written = " ".join(row.text for page in pages for row in page)
    assert written.split() == " ".join(f"{heading} {text}" for heading, text in paragraphs).split()
    for page in pages:
        assert page and page[-1].below <= max(height, PITCH * 2)
        assert not page[-1].heading or len(page) == 1
        for row in page:
            assert width_of(row.text, row.heading) <= width or " " not in row.text
        for one, other in pairwise(page):
            assert other.below - one.below >= PITCH - 1e-6


def test_a_paragraph_that_fits_a_page_is_not_broken():
    paragraphs = [("One", "a b c d"), ("Two", "a b c d")]
    pages = rows_from(paragraphs, 10, 10, width_of)
    assert [page[0].text for page in pages] == ["One", "Two"]
