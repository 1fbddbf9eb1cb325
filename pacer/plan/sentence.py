"""A message as a sentence, or as the beginning of one."""

from __future__ import annotations


def capital(text: str) -> str:
    """With a capital letter in front.

    >>> capital("lane 3"), capital("")
    ('Lane 3', '')
    """
    return text[:1].upper() + text[1:]


def sentence(text: str, ends: str = ".?!") -> str:
    """With a capital letter, and a full stop unless it ends with one of `ends`.

    >>> sentence("lane 3 slowed"), sentence("who swam?"), sentence("")
    ('Lane 3 slowed.', 'Who swam?', '')
    """
    return text and capital(text) + ("" if text[-1] in ends else ".")
