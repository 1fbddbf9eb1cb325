"""The one name of a plan or a session without a title."""

from __future__ import annotations

from pacer.language import tr

UNTITLED = tr("Untitled session")


def titled(title: str) -> str:
    """The title, or what is said in its place.

    >>> titled("Long-axis rotation 3"), titled("")
    ('Long-axis rotation 3', 'Untitled session')
    """
    return title or UNTITLED
