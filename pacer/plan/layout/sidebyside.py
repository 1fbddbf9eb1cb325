"""Sets of lanes side by side, `300 / 200 / 100 choice`, on a page that says which lanes or groups it is for."""

from __future__ import annotations

import re

from pacer.plan.layout.pastedline import Ask, Open, PastedLine
from pacer.plan.regex import regex

_MANY = regex(r"(?:lanes?|ln|L)\s?(?P<n>[1-9])(?!\d)", re.IGNORECASE)
_RANGES = regex(r"\(?lanes?\s*\d(?:\s?[-–&]\s?\d)?(?:\s*/\s*(?:L|lanes?\s*)?\d(?:\s?[-–&]\s?\d)?)+\)?", re.IGNORECASE)
#: Names of groups beside each other: `Gold/Silver/Bronze`, `Seniors, Juniors & Minis`.
_NAMED = regex(r"(?<![\w/])[A-Z][a-z]{2,}(?:\s*/\s*[A-Z][a-z]{2,})+(?![\w/])")
_SWUM = r"(?:\d{1,2}\s?[x×]\s?)?\d{2,4}(?:\s?m\b)?"
#: Distances or sets, one for each of the lanes.
_PLACES = regex(
    r"(?<![\d/:.@x×])(?<!\bon\s)(?<!\boff\s)(?<!\brest\s)(?<!\bhold\s)(?<![@x×]\s)"
    rf"(?P<all>{_SWUM}(?:\s*/\s*{_SWUM})+)(?![\d/:.%])",
    re.IGNORECASE,
)
_ONE = regex(r"(?:(?P<n>\d{1,2})\s?[x×]\s?)?(?P<far>\d{2,4})", re.IGNORECASE)
#: `kick (pull if no kick)`, in front of a set.
_ASIDE = regex(r"(?P<work>[^\W\d][\w/ ]*?)\s*(?P<said>\([^()\d]*\))\s*:?\s*")
LEAST_LANES = 2
LEAST_SWUM = 25  #: a smaller number is no distance


def lanes_of(page: list[PastedLine]) -> int:
    """How many lanes or groups a page names, in an order that its other lines can keep; 0 if it names none."""
    numbers = {int(match["n"]) for pasted in page for match in _MANY.finditer(pasted.text)}
    ranges = [match[0].count("/") + 1 for pasted in page for match in _RANGES.finditer(pasted.text)]
    if ranges:
        return max(ranges)
    return len(numbers) if len(numbers) >= LEAST_LANES and numbers == {*range(1, len(numbers) + 1)} else 0


def letters_of(page: list[PastedLine]) -> str:
    """The capitals that stand for the groups that a page names in full: `GSB` for Gold, Silver, Bronze."""
    for pasted in page:
        for match in _NAMED.finditer(pasted.text):
            letters = re.findall(r"[A-Z]", match[0])
            own = re.compile(rf"(?<![\w'’.])[{''.join(letters)}]\s+\d")
            if len({*letters}) == len(letters) and sum(bool(own.search(line.text)) for line in page) > 1:
                return "".join(letters)
    return ""


def lanes_beside(page: list[PastedLine]) -> None:
    """Write as by lane what stands side by side for as many lanes as the page names."""
    lanes = lanes_of(page)
    for pasted in page:
        places = [*_PLACES.finditer(pasted.text)]
        if len(places) == 1 and (made := _by_lane(places[0]["all"], lanes or _fewer_and_fewer(places[0]["all"]))):
            if not lanes:
                pasted.ask = Ask(Open.BESIDE, re.sub(r"\s*/\s*", ", ", places[0]["all"]), whose=made)
            lead, behind = pasted.text[: places[0].start()], pasted.text[places[0].end() :]
            if aside := _ASIDE.fullmatch(lead):
                lead, behind = f"{aside['work']}: ", f'{behind} "{aside["said"].strip(" ()")}"'
            pasted.text = f"{lead}{made}{behind}"


def _fewer_and_fewer(said: str) -> int:
    """How many lanes sets are likely for that differ only in their counts, each lower than the one before; else 0."""
    own = re.findall(r"(\d+)\s?[x×]\s?(\d+)", said)
    counts = [int(count) for count, _ in own]
    alike = len({far for _, far in own}) == 1 and counts == sorted({*counts}, reverse=True)
    return len(own) if alike and len(own) == said.count("/") + 1 else 0


def _by_lane(said: str, lanes: int) -> str:
    """Sets or distances of lanes as one set by lane; "" if they are not for so many lanes."""
    own = [match for part in said.split("/") if (match := _ONE.match(part.strip()))]
    if not lanes or len(own) != lanes or len({match["n"] is None for match in own}) > 1:
        return ""
    counts, lengths = [match["n"] or "1" for match in own], [match["far"] for match in own]
    if min(map(int, lengths)) < LEAST_SWUM or own[0]["n"] is None and any(int(far) % LEAST_SWUM for far in lengths):
        return ""
    count, far = (numbers[0] if len({*numbers}) == 1 else " / ".join(numbers) for numbers in (counts, lengths))
    return f"{count} x {far}"
