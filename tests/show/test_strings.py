"""The catalogue of all that pacer says is current, and each text of it can be translated."""

from __future__ import annotations

import re

import pytest

from tests.show.strings import HOW, LIST, TEMPLATE, catalogue, list_of_texts, template


def test_the_catalogue_is_up_to_date():
    assert TEMPLATE.read_bytes() == template(), f"renew it with: {HOW}"
    assert LIST.read_text(encoding="utf-8") == list_of_texts(), f"renew the list with: {HOW}"


def test_the_list_has_texts_of_every_kind():
    """A key, a message with a value, one and many, a help text; and no docstring."""
    told = LIST.read_text(encoding="utf-8")
    for text in ("\nSTOP ALL\n", "\n{hour}:{minute:02d} has passed\n", "{n} round | {n} rounds", "\nprint one JSON ob"):
        assert text in told
    assert "One way out everywhere" not in told


@pytest.fixture(scope="module")
def said() -> list[str]:
    """Every text, one and many apart."""
    return [
        text for message in catalogue() if message.id
        for text in (message.id if isinstance(message.id, tuple) else (message.id,))
    ]  # fmt: skip


def test_values_have_names_that_a_translator_understands(said):
    """`{time}`, never `{}`, `{0}` or `{value_3}`."""
    names = {name for text in said for name in re.findall(r"(?<!\{)\{(\w*)[!:}]", text)}
    assert [name for name in names if not name.isidentifier()] == []
    assert [name for name in names if re.fullmatch(r"value.*|.*_[0-9]+", name)] in ([], ["value"])


def test_texts_are_whole(said):
    """None is a piece to put before or behind another: a translator would see only the piece."""
    assert [text for text in said if text != text.strip(" ") or text[0] in ",;:"] == []
