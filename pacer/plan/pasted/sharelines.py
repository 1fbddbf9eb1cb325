"""Lines below a set that each say one repeat of it, or how many go on which interval: they become sets of their own."""

from __future__ import annotations

import re

from pacer.plan.pasted.scrap import Kind, Scrap
from pacer.plan.regex import regex

#: `4 x 400 f/c`, with a line for each of the four below it.
_WHOLE = regex(r"(?P<n>\d{1,2})\s*[x×]\s*(?P<length>\d{2,4})\s*m?\b(?P<rest>.*)", re.IGNORECASE)
_ONE = regex(r"#?\s*(?P<n>\d{1,2})\s*(?:[-–.):=]+\s*|\s+(?=[a-z@#]))(?P<said>\S.*)", re.IGNORECASE)
#: `100s - 5 on 1:45`, with `4 on 1:40` below it.
_LENGTHS = regex(r"(?P<length>\d{2,4})\s*'?s\s*[-–:]*\s*(?P<first>\d{1,2}\s+(?:on|off|@)\s*\S.*)?", re.IGNORECASE)
_SOME = regex(r"\d{1,2}\s+(?:on|off|@)\s*:?\d\S*.*", re.IGNORECASE)
_LINES = (Kind.SET, Kind.NOTE, Kind.MORE)


def share_out_lines(scraps: list[Scrap]) -> None:
    """Make sets of the lines below a set that share its repeats out."""
    for place, scrap in enumerate(scraps):
        if scrap.kind not in (Kind.SET, Kind.NOTE):
            continue
        if (match := _LENGTHS.fullmatch(scrap.text)) is not None:
            _by_interval(scraps, place, match)
        elif scrap.kind is Kind.SET and (match := _WHOLE.fullmatch(scrap.text)) is not None:
            _one_by_one(scraps, place, match)


def _by_interval(scraps: list[Scrap], place: int, match: re.Match[str]) -> None:
    below = []
    for scrap in scraps[place + 1 :]:
        if scrap.kind not in _LINES or not _SOME.fullmatch(scrap.text):
            break
        below.append(scrap)
    if not below:
        return
    for scrap in below:
        count, _, rest = scrap.text.partition(" ")
        scrap.kind, scrap.text = Kind.SET, f"{count} x {match['length']} {rest.strip()}"
    first = match["first"]
    scraps[place].kind = Kind.SET
    scraps[place].text = re.sub(r"^(\d{1,2})\s+", rf"\1 x {match['length']} ", first) if first else ""


def _one_by_one(scraps: list[Scrap], place: int, match: re.Match[str]) -> None:
    count = int(match["n"])
    below = []
    for number, scrap in enumerate(scraps[place + 1 : place + 1 + count], start=1):
        one = _ONE.fullmatch(scrap.text) if scrap.kind in _LINES else None
        if one is None or int(one["n"]) != number or scrap.indent < scraps[place].indent:
            return
        below.append((scrap, one["said"]))
    if len(below) != count or count < 2:
        return
    rest = match["rest"].strip(" ,:")
    for scrap, said in below:
        scrap.kind, scrap.text = Kind.SET, f"{match['length']} {rest} {said}".replace("  ", " ")
    scraps[place].text = ""
