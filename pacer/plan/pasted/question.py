"""A question about a line of a pasted page, and its answers."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pacer.language import tr
from pacer.plan.regex import regex

REMARK, SHOWN = tr("Keep it as a comment"), tr("A cue for the swimmers")
OPENS = regex(r"\s+[0-9]+ rounds?")  #: the line of rounds that begin above a row's set


@dataclass(frozen=True, slots=True)
class Answer:
    """One possible meaning of a line: its name, and what the plan's lines of some rows become.

    `way` is the same for the same meaning of another line; "" if the answer is only for this line.
    """

    label: str
    plan: tuple[tuple[int, tuple[str, ...]], ...]
    way: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """A question about a row, with its answers, the likeliest first."""

    text: str
    answers: tuple[Answer, ...]

    def alike(self, other: Question) -> bool:
        """Whether another question is the same but for its numbers."""
        ways = [answer.way for answer in self.answers]
        return (
            numberless(self.text) == numberless(other.text) and ways[:2] == [answer.way for answer in other.answers][:2]
        )


def numberless(text: str) -> str:
    return re.sub(r"[\d:.,]+", "0", text)
