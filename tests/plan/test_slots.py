"""Sets made from tables of words: how many are read otherwise than they are meant.

`PACER_EXAMPLES=20000` reads so many others; `python -m tests.plan.test_slots 3000 7` shows what of 3,000 lines with
seed 7 is read otherwise, and which words are worst.
"""

from __future__ import annotations

import os
import sys
from collections import Counter

from tests.plan.slotpatterns import varied, varies
from tests.plan.slots import Line, differences, lines, read

COUNT = int(os.environ.get("PACER_EXAMPLES", "0"))
#: In a thousand: lines that become something else with the first answer, and those that nothing is asked about. Fewer
#: is better: lower them.
MOST_WRONG, MOST_VARIED_WRONG, MOST_UNASKED = 12, 20, 1


def wrong_of(count: int, seed: int) -> list[tuple[Line, str, bool]]:
    """The lines that are read otherwise, what is wrong, whether they are asked about."""
    found = []
    for line in lines(count, seed):
        items, asked = read(line.written)
        if why := differences(items, line.meant):
            found.append((line, "; ".join(why), asked))
    return found


def test_repeats_that_differ_are_read_as_they_are_meant():
    count = COUNT or 1000
    wrong = []
    for line in varied(count, seed=COUNT or 1):
        items, asked = read(line.written)
        if why := varies(items, line):
            wrong.append(f"{'asked' if asked else 'UNASKED'}: {line.written} | {why}")
    unasked = sum(each.startswith("UNASKED") for each in wrong)
    assert 1000 * len(wrong) <= MOST_VARIED_WRONG * count, "\n".join(sorted(wrong))
    assert 1000 * unasked <= MOST_UNASKED * count, "\n".join(sorted(wrong))


def told(wrong: list[tuple[Line, str, bool]]) -> str:
    """The lines that are read otherwise, those that nothing is asked about first."""
    rows = sorted(wrong, key=lambda each: each[2])
    return "\n".join(f"{'asked' if asked else 'UNASKED'}: {line.written} | {why}" for line, why, asked in rows)


def test_sets_of_usual_words_are_read_as_they_are_meant():
    count = COUNT or 1000
    wrong = wrong_of(count, seed=COUNT or 1)
    unasked = sum(not asked for _, _, asked in wrong)
    assert 1000 * len(wrong) <= MOST_WRONG * count, told(wrong)
    assert 1000 * unasked <= MOST_UNASKED * count, told(wrong)


def test_another_meaning_is_told():
    line = next(each for each in lines(50, 1) if each.meant.rest)
    assert differences(read(f"{line.meant.often} x {line.meant.far}")[0], line.meant)


if __name__ == "__main__":
    found = wrong_of(*(int(each) for each in (*sys.argv[1:], *("1000", "1")[len(sys.argv) - 1 :])))
    words = Counter(each for line, _, _ in found for each in line.slots.items())
    print(told(found), *(f"{n:3} {slot}: {said}" for (slot, said), n in words.most_common(30)), sep="\n")
