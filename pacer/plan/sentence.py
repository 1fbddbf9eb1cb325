"""A message as a sentence."""

from __future__ import annotations


def sentence(text: str, ends: str = ".?!") -> str:
    """With a capital letter, and a full stop unless it ends with one of `ends`.

    >>> sentence("lane 3 slowed"), sentence("who swam?"), sentence("")
    ('Lane 3 slowed.', 'Who swam?', '')
    """
    return text and text[0].upper() + text[1:] + ("" if text[-1] in ends else ".")
