"""Which words of a text are swimmers' names. Names are invented."""

import pytest

from pacer.review.exports.knownnames import KnownNames

KNOWN = KnownNames(["Odette", "Mary-Ann Quill", "Max", "Lane", "Jo", "de Vries"])


@pytest.mark.parametrize(
    "text",
    [
        '300 choice "swim like odette"',
        "focus: like ODETTE",
        "behind mary-ann",
        "Max leads",
        "Lane leads lane 2",
        "Jo first",
        "for vries",
    ],
)
def test_a_name_is_found_in_small_letters_too(text):
    assert KNOWN.in_text(text)


@pytest.mark.parametrize("text", ["4 x 50 max on 1:30", "lane 2: 6 x 50", "200 de free", "jo-jo", "odettes", ""])
def test_words_of_the_language_are_names_with_a_capital_only(text):
    assert not KNOWN.in_text(text)
