"""What the name of a swimmer, a squad, a group, a drill or a factor may be."""

from __future__ import annotations

from pacer.language import tr
from pacer.squad.refusal import Refused

MAX_NAME = 60  #: characters of a name


def plain_text(text: str, most: int = MAX_NAME) -> str:
    """The text without spaces at its ends. Raises Refused if it is too long or cannot be shown on one line."""
    if not text.isprintable():
        raise Refused(tr("has an invisible character"), tr("write it on one line, without tabs"))
    if len(text) > most:
        raise Refused(tr("is too long: {count} characters; the limit is {most}", count=len(text), most=most))
    return text.strip()
