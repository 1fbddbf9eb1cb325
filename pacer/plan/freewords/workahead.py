"""Work that words in front of a set name: `B/c with a cup on the forehead - 2 lengths`."""

from __future__ import annotations

import re

from pacer.plan.freewords.setrewording import FAR_NEXT
from pacer.plan.regex import regex
from pacer.plan.words.labels import kind_of_work
from pacer.plan.words.linepatterns import OWN_STROKE

#: Words in front of a set that say what it is not, or not for all.
_NOT_SWUM = regex(r"\b(?:no|not|non|without|or|if|instead|except|but|than|from|after|before)\b", re.IGNORECASE)
_WAY_BACK = regex(r"\b(?:walk|swim|jog|come|go)\s+back\b", re.IGNORECASE)
_COUNTED = regex(r"^(\d+ x \d+)")


def work_said(lead: str, behind: str) -> str:
    """The work that words in front of a set name and the set does not; "" if that is not clear.

    >>> work_said("Everyone pick main stroke for Saturday", "4 dives to 25, walk back")
    'choice'
    """
    if _NOT_SWUM.search(lead):
        return ""
    kinds = {kind_of_work(word) for word in re.findall(r"[^\W\d_][\w./]*", _WAY_BACK.sub("", behind))}
    own = OWN_STROKE.search(lead)
    left = f"{lead[: own.start()]} {lead[own.end() :]}" if own else lead
    words = ["choice"] if own else []
    words += [word for word in re.findall(r"[^\W\d_][\w./]*", left) if kind_of_work(word)]
    found = {kind_of_work(word): word for word in words if kind_of_work(word) not in kinds}
    return " ".join(found.values()) if len(found) == len(words) else ""


def with_work(work: str, behind: str) -> str:
    """A set with more work after its distance; "" if there is none, or no distance."""
    far = FAR_NEXT.match(behind) if work else None
    return f"{far[0]} {work}{behind[far.end() :]}" if far else ""


def with_stroke(work: str, made: str, behind: str) -> str:
    """A set that was made of words without a distance (`4 dives to 25`) with more work, if it has no stroke."""
    if not work or FAR_NEXT.match(behind) or any(kind_of_work(word) == "STROKE" for word in made.split()):
        return made
    return _COUNTED.sub(rf"\1 {work}", made)
