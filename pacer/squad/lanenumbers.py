"""Name lanes by their numbers, as a coach says them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from pacer.language import tr, tr_n


def lane_numbers(numbers: Sequence[int], of: int) -> str:
    """`lanes 1–3, 6` of a squad of `of` lanes; "" for none, or if the squad has only one.

    >>> lane_numbers((1, 2, 3, 6), 8), lane_numbers((4,), 6), lane_numbers((1, 2), 2)
    ('lanes 1–3, 6', 'lane 4', 'all lanes')
    """
    return _lane_numbers(tuple(numbers), of)


@lru_cache(1024)
def _lane_numbers(numbers: tuple[int, ...], of: int) -> str:
    if not numbers or of == 1:
        return ""
    if len(numbers) == of:
        return tr("all lanes")
    return tr_n("lane {numbers}", "lanes {numbers}", len(numbers), numbers=spans(numbers))


def spans(numbers: Iterable[int]) -> str:
    """The numbers in ascending order, with runs of three and more joined by a dash.

    >>> spans([1, 2, 3, 5, 7, 8])
    '1–3, 5, 7, 8'
    """
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)
