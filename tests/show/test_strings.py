"""The list of all that pacer says is up to date, so that its words can be read in one sitting."""

from tests.show.strings import HOW, LIST, catalogue


def test_the_list_of_strings_is_up_to_date():
    assert LIST.read_text(encoding="utf-8") == catalogue(), f"renew the list with: {HOW}"


def test_the_list_has_texts_of_every_kind():
    """A key, a message with a value, a choice of words, a help text; and no docstring."""
    told = LIST.read_text(encoding="utf-8")
    for text in ("\nSTOP ALL\n", "\n{hour}:{minute} has passed\n", "{s are| is} paused.", "\nas one JSON object\n"):
        assert text in told
    assert "One way out everywhere" not in told
