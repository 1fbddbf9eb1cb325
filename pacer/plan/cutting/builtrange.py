"""`build 1-4` and `1-4 build`: faster from one repeat to the next, or within each?"""

from __future__ import annotations

from pacer.language import tr
from pacer.plan.cutting.askedwords import which
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.model import Effort
from pacer.plan.regex import regex
from pacer.plan.words.vocabulary import LINE_WORDS

_WORD = regex(r"\s+(?P<word>[^\W\d_]+)(?![\w'’-])")
_MORE = regex(r"[^\d]*[0-9]+\s?[-–]\s?[0-9]")


def built(text: str, before: Token | None, numbers: list[int], count: int, at: int, end: int) -> Mistake | None:
    """The question about a range of repeats from `at` to `end` that a build is said of; None for another range.

    `before` is the token in front of the range. After it, a build of all `count` repeats is asked about; that of some
    is theirs.
    """
    if len(numbers) != 2 or numbers[0] != 1 or count < numbers[1] or _MORE.match(text, end):
        return None
    if before is not None and before.type == "EFFORT":
        start, last = before.start, end
        known = before.value
    else:
        word = _WORD.match(text, end)
        if word is None or numbers[1] != count:
            return None
        start, last = at, word.end()
        known = LINE_WORDS.get(word["word"].casefold(), ("", None))[1]
    if known is not Effort.BUILD:
        return None
    ways = [f"descend 1-{numbers[1]}", "build"]
    return which(text, start, last, tr("faster from one to the next, or within each?"), ways)
