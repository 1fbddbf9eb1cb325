"""Totals on a pasted page that are not in the margin, and totals compared with the plan's distances."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import reduce
from itertools import pairwise

from pacer.plan.model import Break, ByLane, Flexible, Group, Item, Plan, SetLine
from pacer.plan.pasted.bulletsandsigns import LEAST_SESSION, plain
from pacer.plan.pasted.pastedline import Kind, PastedLine, Total
from pacer.plan.regex import regex
from pacer.plan.words.vocabulary import LINE_WORDS

#: A distance with nothing else on its line.
_LAST = regex(
    r"(?:done|about|approx\.?|ca\.?)?\s*(?P<number>\d{1,2}[,.]\d{1,3}|\d{4,5})\s*(?:(?P<kilo>k(?:m|ms)?)|(?:m|yds?|yards?|met(?:re|er)s?))?"
    r"\s*(?:ish|\+|total)?",
    re.IGNORECASE,
)
_HUNDREDS = regex(r".*\S\s{3,}(?P<n>\d{1,2})\s*")
#: An account of the page at its end: `2500 (gks 1500)`, `A 3900  B 3400`, `~2.6k + legs`, `T 2000 JV 3100`.
_ACCOUNT = regex(
    r"(?:(?:tot(?:al)?|=|~|approx\.?|about|done|ca\.?)\s*[:.=]?\s*|[A-Z][\w/+]{0,7}\s*[:=]?\s*)?"
    r"~?(?P<n>\d{4,5}|\d[,.]\d{3}|\d{1,2}(?:\.\d{1,2})?\s*k(?:m|ms)?)\s*(?:m|yds?)?(?:ish|\+)?(?P<rest>\W.*)?",
    re.IGNORECASE,
)
#: What a total does not say: `1000 for time or 20 mins`.
_TIMED = regex(r"\b(?:for\s+time|timed|tt|time\s+trial|straight|min(?:ute)?s?)\b", re.IGNORECASE)
_ACCOUNTS = regex(r"(?:[A-Z]\w{0,7}\s*[:=]?\s*~?\d{3,5}\s*[,/]?\s*){2,}")
#: `4 x 100`, anywhere in a line as coaches write it.
SET_LIKE = regex(r"\d\s*[x×*]\s*\d|\bx\s*\d{2,4}\b", re.IGNORECASE)


def more_totals(page: list[PastedLine], is_set: Callable[[str], bool]) -> None:
    """Find them, and remove them from the text of their lines."""
    _total_at_the_end(page, is_set)
    _small_totals(page)
    _totals_between(page)


def _total_at_the_end(page: list[PastedLine], is_set: Callable[[str], bool]) -> None:
    """A distance alone on the last line, below sets, is the total of the page: `2,950 yds`, `5000m+`."""
    written = [pasted for pasted in page if pasted.text]
    match = _LAST.fullmatch(written[-1].text) if len(written) > 3 else None
    if match and sum(is_set(pasted.text) for pasted in written[:-1]) > 1:
        number = match["number"].replace(",", ".") if match["kilo"] else re.sub(r"[,. ]", "", match["number"])
        total = round(float(number) * (1000 if match["kilo"] else 1))
        if total >= LEAST_SESSION:
            written[-1].total, written[-1].text = Total(total, "session"), ""


def _small_totals(page: list[PastedLine]) -> None:
    """A column of small numbers that grow from line to line is the running total in hundreds."""
    found = [
        (pasted, match) for pasted in page if pasted.text and (match := _HUNDREDS.fullmatch(plain(pasted.written)))
    ]
    numbers = [int(match["n"]) for _, match in found]
    steps = [100 * (number - before) for before, number in pairwise([0, *numbers])]
    agreed = sum(step == _distance_in(pasted.text) for step, (pasted, _) in zip(steps, found))
    if len(found) < 3 or numbers != sorted({*numbers}) or 2 * agreed < len(found):
        return
    for pasted, match in found:
        pasted.total = Total(100 * int(match["n"]))
        pasted.text = re.sub(rf"\s+{match['n']}\s*$", "", pasted.text)


def _totals_between(page: list[PastedLine]) -> None:
    """A number alone on its line that fits between the running totals around it, or is the sum so far, is one too."""
    done, highest = 0, 0
    for place, pasted in enumerate(page):
        if pasted.total and pasted.total.of != "section":
            highest = max(highest, pasted.total.distance)
        match = re.fullmatch(r"(\d{3,5})\s*(?:m|yds?)?", pasted.text)
        if match is None:
            done += _distance_in(pasted.text)
            continue
        number = int(match[1])
        later = next((below.total.distance for below in page[place + 1 :] if below.total), 0)
        if number == done or highest < number < later and highest:
            pasted.total, pasted.text, highest = Total(number), "", number
        else:
            done += number


def _distance_in(text: str) -> int:
    """The distance that a line comes to, as far as it can be seen from its numbers alone."""
    text = re.sub(r"\s{3,}\d{1,2}\s*$", "", text)
    sets = [(int(n), int(d)) for n, d in re.findall(r"(\d+)\s*[x×]\s*(\d+)", text)]
    bare = re.findall(r"(?<![\d:.x×])(?<![x×]\s)\b(\d{2,4})\b(?!\s*[x×:.])", re.sub(r"\d+\s*[x×]\s*\d+", "", text))
    return sum(n * d for n, d in sets) or sum(int(number) for number in bare if int(number) >= 25)


def accounts_for_groups(text: str) -> bool:
    """Whether a line says what the session comes to for several groups: `A 3000   B 1900`."""
    names = re.findall(r"[^\W\d_]+", text.casefold())
    return bool(_ACCOUNTS.fullmatch(text)) and not all(name in LINE_WORDS for name in names)  # Swim 200 Kick 100


def is_account(text: str) -> bool:
    """Whether a line accounts for what the session comes to, for some swimmers or with a remark."""
    if accounts_for_groups(text):
        return True
    text = re.split(r"\s{3,}|\s*\*\*", text)[0]
    match = _ACCOUNT.fullmatch(text)
    if re.match(r"tot(?:al)?s?\b", text, re.IGNORECASE) and not SET_LIKE.search(text):
        return True
    if match is None:
        return False
    rest = match["rest"] or ""
    words = re.findall(r"(?<![\d.])[^\W\d_]+", rest.casefold())
    swum = bool(_TIMED.search(re.sub(r"\([^()]*\)", " ", rest))) or any(
        LINE_WORDS.get(word, ("",))[0] in ("ACTIVITY", "STROKE", "EFFORT", "ON", "REST") for word in words
    )
    alone = not rest.strip(" .") or re.search(r"\d", rest) or not text[0].isdigit() and not text[0].isupper()
    return bool(alone) and not swum and not SET_LIKE.search(rest) and not re.search(r"\d:\d\d", rest)


# ---- compared with the plan

#: The least and the most: lanes differ, and counts can be flexible.
Range = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Sum:
    """The distance of a line of the plan: by itself, with its rounds, and with all above it in its section and page."""

    line: int
    own: Range
    rounds: Range
    section: Range
    page: Range


def difference(total: Total, kind: Kind, line: int, sums: list[Sum], ends: dict[int, Sum]) -> str:
    """The distance that a total differs from; "" if it is the distance of something that it can be the total of.

    `line` is the plan's line that it is at or below; `ends` has the last sum of each section, by its first line.
    """
    above = [each for each in sums if each.line <= line]
    whole = sums[-1].page
    here = above[-1] if above else None
    section = next((end for first, end in sorted(ends.items(), reverse=True) if first <= line), None)
    ways: list[Range] = []
    if total.of != "session":
        if kind is Kind.SET and here and total.of != "section":
            on_line = [each.rounds for each in sums if each.line == here.line]
            ways += [here.own, here.rounds, reduce(_sum, on_line), here.section]
        ways += [section.section, section.page] if section else []
    ways += [here.page] if here else []
    ways += [whole]
    if any(least <= total.distance <= most for least, most in ways):
        return ""
    least, most = whole if total.of == "session" else ways[0]
    return f"{least:,}" if least == most else f"{least:,} to {most:,}"


def sums_of(plan: Plan) -> tuple[list[Sum], dict[int, Sum]]:
    """The sums of a plan line by line, and the last of each section by the line that the section begins on.

    Both are empty for a plan with a section that goes by time.
    """
    made: list[Sum] = []
    ends: dict[int, Sum] = {}
    page: Range = (0, 0)
    for section in plan.sections:
        if section.for_ms is not None:
            return [], {}
        done: Range = (0, 0)
        for line, own, times in _lines(section.items, _counts(section.rounds)):
            all_of_it = _product(own, times)
            done, page = _sum(done, all_of_it), _sum(page, all_of_it)
            made.append(Sum(line, own, all_of_it, done, page))
        if made:
            first = section.span.line if section.span else 0
            ends[first] = made[-1]
    return made, ends


def _lines(items: tuple[Item, ...], times: Range) -> Iterator[tuple[int, Range, Range]]:
    for item in items:
        if isinstance(item, Group):
            yield from _lines(item.items, _product(times, _counts(item.rounds)))
        elif not isinstance(item, Break):
            own = _distance(item)
            yield item.span.line if item.span else 0, (0, own[1]) if item.groups else own, times


def _distance(line: SetLine) -> Range:
    if line.ladder:
        return sum(line.ladder), sum(line.ladder)
    if line.distance is None:
        return 0, 0
    return _product(_counts(line.count or ByLane((1,))), _counts(line.distance))


def _counts(value: ByLane[int] | Flexible) -> Range:
    if isinstance(value, Flexible):
        return value.least, value.most
    return min(value.entries), max(value.entries)


def _product(one: Range, other: Range) -> Range:
    return one[0] * other[0], one[1] * other[1]


def _sum(one: Range, other: Range) -> Range:
    return one[0] + other[0], one[1] + other[1]
