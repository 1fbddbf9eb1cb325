"""Reads a page for the tests of this folder."""

from __future__ import annotations

from tests.plan.test_pages import settled

TOP = "title: Tuesday\npool: 25 m\n\n"


def read(page: str) -> str:
    """The plan of a page with a 25 m pool, without its header."""
    return settled(f"Tuesday\n25m pool\n{page}")[0].text.removeprefix(TOP)
