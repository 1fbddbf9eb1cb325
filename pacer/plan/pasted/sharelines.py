"""Lines below a set that each say one repeat of it, or how many go on which interval: they become sets of their own."""

from __future__ import annotations

import re

from pacer.plan.pasted.pastedline import Kind, PastedLine
from pacer.plan.regex import regex

#: `4 x 400 f/c`, with a line for each of the four below it.
_WHOLE = regex(r"(?P<n>\d{1,2})\s*[x×]\s*(?P<length>\d{2,4})\s*m?\b(?P<rest>.*)", re.IGNORECASE)
_ONE = regex(r"#?\s*(?P<n>\d{1,2})\s*(?:[-–.):=]+\s*|\s+(?=[a-z@#]))(?P<said>\S.*)", re.IGNORECASE)
#: `100s - 5 on 1:45`, with `4 on 1:40` below it.
_LENGTHS = regex(r"(?P<length>\d{2,4})\s*'?s\s*[-–:]*\s*(?P<first>\d{1,2}\s+(?:on|off|@)\s*\S.*)?", re.IGNORECASE)
_SOME = regex(r"\d{1,2}\s+(?:on|off|@)\s*:?\d\S*.*", re.IGNORECASE)
_LINES = (Kind.SET, Kind.NOTE, Kind.MORE)


def share_out_lines(page: list[PastedLine]) -> None:
    """Make sets of the lines below a set that share its repeats out."""
    for place, pasted in enumerate(page):
        if pasted.kind not in (Kind.SET, Kind.NOTE):
            continue
        if (match := _LENGTHS.fullmatch(pasted.text)) is not None:
            _by_interval(page, place, match)
        elif pasted.kind is Kind.SET and (match := _WHOLE.fullmatch(pasted.text)) is not None:
            _one_by_one(page, place, match)


def _by_interval(page: list[PastedLine], place: int, match: re.Match[str]) -> None:
    below = []
    for pasted in page[place + 1 :]:
        if pasted.kind not in _LINES or not _SOME.fullmatch(pasted.text):
            break
        below.append(pasted)
    if not below:
        return
    for pasted in below:
        count, _, rest = pasted.text.partition(" ")
        pasted.kind, pasted.text = Kind.SET, f"{count} x {match['length']} {rest.strip()}"
    first = match["first"]
    page[place].kind = Kind.SET
    page[place].text = re.sub(r"^(\d{1,2})\s+", rf"\1 x {match['length']} ", first) if first else ""


def _one_by_one(page: list[PastedLine], place: int, match: re.Match[str]) -> None:
    count = int(match["n"])
    below = []
    for number, pasted in enumerate(page[place + 1 : place + 1 + count], start=1):
        one = _ONE.fullmatch(pasted.text) if pasted.kind in _LINES else None
        if one is None or int(one["n"]) != number or pasted.indent < page[place].indent:
            return
        below.append((pasted, one["said"]))
    if len(below) != count or count < 2:
        return
    rest = match["rest"].strip(" ,:")
    for pasted, said in below:
        pasted.kind, pasted.text = Kind.SET, f"{match['length']} {rest} {said}".replace("  ", " ")
    page[place].text = ""
