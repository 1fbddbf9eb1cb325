"""Lines of a pasted page that are corrected without asking: a mistake in them has only one possible meaning."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from pacer.plan.pasted.linequestions import changes
from pacer.plan.pasted.planrows import Row
from pacer.plan.text.fixes import fixes_for
from pacer.plan.text.livepage import LivePage, PageReading
from pacer.plan.words.vocabulary import UNITS

MAX_MENDED = 60  #: lines that are corrected without asking
#: Words that say what a time is: to add one is a guess.
_VALUED = frozenset({"on", "rest", "hold", "apart", "rate"})


def corrected_row(
    reading: PageReading, lines: list[str], places: list[int], rows: Sequence[Row], live: LivePage
) -> tuple[int, tuple[str, ...]] | None:
    """A row and its corrected plan lines, if a mistake in it has only one possible meaning."""
    for problem in reading.problems:
        place = places[min(problem.line, len(places)) - 1]
        fixes = fixes_for(problem, lines, lambda page: live.would(page).problems)
        if rows[place].ask or len(fixes) != 1:
            continue
        (changed,) = changes(fixes[0].applied(lines), lines, places)
        at, plan = changed
        if at == place and _all_kept(rows[place].plan, plan):
            return at, plan
    return None


def _all_kept(before: tuple[str, ...], after: tuple[str, ...]) -> bool:
    """Whether a corrected line still has all its numbers and words (except units), and none of them became a note."""
    was, now = " ".join(before), " ".join(after)
    if sorted(re.findall(r"\d+", was)) != sorted(re.findall(r"\d+", now)) or any(
        now.count(sign) > was.count(sign) for sign in '"#'
    ):
        return False
    words = Counter(word for word in re.findall(r"[^\W\d_]+", was.casefold()) if word not in UNITS)
    left = Counter(re.findall(r"[^\W\d_]+", now.casefold()))
    return not words - left and not _VALUED & (left - words).keys()
