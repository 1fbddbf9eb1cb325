"""A question about a line of a pasted page, and its answers."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from pacer.language import tr
from pacer.plan.regex import regex

REMARK, SHOWN = tr("Keep it as a comment"), tr("A cue for the swimmers")
OPENS = regex(r"\s+[0-9]+ rounds?")  #: the line of rounds that begin above a row's set
#: `1 x 300 / 200 / 100`, an answer to a question about `300/200/100`; `1:20/1:40/1:40` or `5/4/4`, for as many lanes.
_BY_LANE = regex(r"1 x (\d+(?: / \d+)+)\b.*")
_VALUES = regex(r"(?<![\w:./])\d+(?::\d\d)?(?:\s?/\s?\d+(?::\d\d)?)+(?![\w:./])")


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


def lanes_first(answers: list[Answer], lines: Sequence[str]) -> None:
    """Put an answer with a value for each lane first where other lines have as many values for as many lanes."""
    for place, answer in enumerate(answers[1:2], start=1):
        match = _BY_LANE.match(answer.label)
        many = match[1].count("/") if match else 0
        said = [found for line in lines for found in _VALUES.findall(line) if found.count("/") == many]
        if many and len(said) > 1:  # its own line is one of them
            answers.insert(0, answers.pop(place))
