"""Brackets that a page draws beside its lines with signs for lines, such as ┌ │ └."""

from __future__ import annotations

import re

from pacer.plan.pasted.pastedline import PastedLine
from pacer.plan.regex import regex

#: A bracket drawn beside its lines: its corners, and how often and with which rest they are swum.
_TOPS, _MIDDLES, _FEET = "┌╭┏╔⎡┐╮┓╗", "│┃║├┤┣┫╎┆|", "└╰┗╚┘╯┛╝"
_OFTEN = regex(r"(?:^|\s+)[x×]\s?(?P<n>\d{1,2})(?!\d)(?P<rest>(?:\s.*)?)$", re.IGNORECASE)
_PAUSE = regex(
    r"\s*,?\s*(?:r|ri|rest)?\s*(?P<time>\d*[:']?\d+(?:\s*(?:s|secs?|mins?|\"|'))?)\s*(?:rest\s+)?(?:in\s+)?(?:between|btwn|betw|btw)"
    r"(?:\s+(?:rounds|rds|sets|each))?\s*",
    re.IGNORECASE,
)


def drawn(page: list[PastedLine]) -> None:
    """Brackets drawn with lines, such as ┌ │ └, with `x 3` beside one of their lines, become brackets in the text."""
    top: int | None = None
    for place, pasted in enumerate(page):
        said = pasted.written.strip()
        ends = {said[:1], said[-1:], *re.findall(r"\s([┐╮┓╗┤┫┘╯┛╝│])(?=\s)", said)}
        if ends & {*_TOPS}:
            top = place
        elif top is not None and ends & {*_FEET}:
            _in_text(page[top : place + 1])
            top = None
        elif top is not None and pasted.text and not ends & {*_MIDDLES}:
            top = None


def _in_text(page: list[PastedLine]) -> None:
    """Put a bracket around the texts of some lines, if one of them says how often."""
    for pasted in page:
        pasted.text = pasted.text.strip(f"{_MIDDLES} ")
    found = next(((pasted, match) for pasted in page if (match := _OFTEN.search(pasted.text))), None)
    inside = [
        pasted for pasted in page if pasted.text and (found is None or pasted is not found[0] or found[1].start())
    ]
    if found is None or not inside:
        return
    pasted, match = found
    pause = _PAUSE.fullmatch(match["rest"])
    behind = "" if pause else match["rest"].strip()
    pasted.text = f"{pasted.text[: match.start()].rstrip()} {behind}".strip()
    inside[0].text = f"{match['n']} x {{ {inside[0].text}"
    inside[-1].text += f" }} r {pause['time']} between" if pause else " }"
