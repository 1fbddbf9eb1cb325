"""Totals on a pasted page: taken off their lines, found elsewhere, and compared with the plan's distances."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import reduce
from itertools import pairwise

from pacer.plan.layout.bulletsandsigns import plain
from pacer.plan.layout.pastedline import Kind, PastedLine, Total
from pacer.plan.model import Break, ByLane, Flexible, Group, Item, Plan, SetLine
from pacer.plan.regex import regex
from pacer.plan.words.labels import kind_of_work
from pacer.plan.words.vocabulary import GEAR_WORDS, LINE_WORDS

LEAST_SESSION = 1_000  #: the least distance of a whole session
LEAST_ABOUT = 400  #: the least that is said to be about so much, or for somebody
LEAST_TOTAL = 100  #: a smaller bare number in the margin is not a total

_NUMBER = r"~?(\d{1,2}[,. ]\d{3}|\d{2,5})\s*(?:m|mtrs?|met(?:re|er)s?|yd?s?|yards?)?(?:\s+all|\s?ish)?"
_KILO = r"(\d{1,2}(?:[.,]\d{1,2})?)\s*k(?:m|ms)?"
_EQUALS = regex(rf"\s*(?:=|->|→|=>)\s*(?:total\s*:?\s*)?{_NUMBER}\s*(?:total)?\s*$", re.IGNORECASE)
#: `100 down.  1850m, enough`, `2 lengths easy.    900 ish for L1`
_LAST_TOTAL = regex(
    rf"(?:(?<=[.!])\s+|\s{{3,}})(?:{_NUMBER}|{_KILO}(?<=[km]))\s*(?P<ish>ish)?[\s,]*(?P<words>for\s+(?:l|lane|ln)\s?\d|enough|all|in\s+all)?[.!]*\s*$",
    re.IGNORECASE,
)
#: `200 => 3.8k`, `400 choice    2.26K`, `200 = 2700 (l1)`
_SAID_KILO = regex(rf"(?:\s*(?:=>|=|->|→)\s*|\s{{2,}})~?{_KILO}(?<=[km])\.?\s*$", re.IGNORECASE)
_TOTAL_OF = regex(rf"\s*=\s*{_NUMBER}\s*\(((?:l|lane\s*|ln\s*|group\s*|gp\s*)\w{{1,2}})\)\s*$", re.IGNORECASE)
#: `300 wd -- 2600 tot`
_SAID_TOTAL = regex(rf"(?:\s+|\s*[-–—]+\s*){_NUMBER}\s*m?\s*(?:tot|total|in\s+total|altogether)\.?\s*$", re.IGNORECASE)
_BRACKETS = regex(rf"\s*[(\[]\s*(?:=|total\s*:?|tot\.?)?\s*{_NUMBER}\s*(?:total)?\s*[)\]]\s*:?\s*$", re.IGNORECASE)
_GAP = r"(?:\t\s*|\s{3,}|\s*\|\s*|\s*\.{3,}\s*)"
_MARGIN = regex(rf"{_GAP}{_NUMBER}\s*\|?\s*$", re.IGNORECASE)
#: A running total in the left margin: `600|  200 free …`.
_LEFT_OF_IT = regex(r"(?:\d{3,5}\s*\([^)]*\)\s*)?(\d{3,5})\s*\|\s*")
#: Numbers for one lane after the other.
_IN_COLUMNS = regex(r"\d{2,5}(?:\s{2,}\d{2,5}){2,}\s*$")
#: More than one total: `(300 / 1100)`, `1550/1550/1450`, `4.7 / 4.3 / 3.5`; the last of two is the running one.
_SEVERAL = regex(rf"{_GAP}\(?\s*(?P<all>\d{{3,5}}(?:\s*/\s*\d{{3,5}})+|\d\.\d(?:\s*/\s*\d\.\d)+)\s*\)?\s*$")
_PAIRED = regex(r"(?:\t\s*|\s{2,})\(?\s*(?P<all>\d{3,5}\s*/\s*\d{3,5})\s*\)?\s*$")
#: A total with words after it: `= 3800 (4000 w/ dives)`, `~3.5k (gr1)`, `~ 2400 top lanes`, `c. 3600`.
_WORDED = regex(
    rf"(?:{_GAP}|\s{{2,}})(?:=|~|≈|c\.|ca\.?|approx\.?|about|total\s*:?)\s*(?:{_NUMBER}|{_KILO})\s*"
    r"(?P<words>\([^()]*\)|(?:for\s+)?(?:the\s+)?"
    r"(?:top|bottom|fast|slow|middle|lanes?|groups?|gr|L\d|[A-D]\b)[\w \d]*)?"
    r"\s*$",
    re.IGNORECASE,
)
#: Totals of lanes, and a total with another one in brackets: `tot 1900 / 1750`, `7100 (B 6700)`.
_OF_LANES = regex(
    rf"{_GAP}(?:tot(?:al)?s?\.?\s*:?\s*(?P<all>\d{{3,5}}(?:\s*/\s*\d{{3,5}})+)|(?P<one>\d{{3,5}})\s*\((?P<words>[^()]*\d{{3,5}}[^()]*)\))\s*$",
    re.IGNORECASE,
)
#: Thousands: `2.6k`, and `1.8` after dots.
_KILOS = regex(r"(?:(?:\t\s*|\s{3,}|\s*\.{3,}\s*)~?(\d{1,2}(?:\.\d{1,2})?)\s*k(?:m|ms)?|\s*\.{3,}\s*(\d\.\d{1,2}))\s*$")
#: An account of the distances: `(650 x 3 = 1950)`.
_ADDED_UP = regex(r"[(\[]?\s*[\d\s]+(?:[x×+*-]\s*[\d\s]+)+=\s*(\d{2,5})\s*[)\]]?(?:\s+(\d{3,5}))?")
_ALONE = regex(
    rf"(?:(?P<of>(?:sub|set|section|session|running|grand|overall|whole)?[\s-]*tot(?:al)?\.?)\s*(?:distance)?\s*[:=-]?\s*(?:approx\.?\s*|ca\.?\s*|about\s*)?"
    rf"(?:{_NUMBER}|{_KILO})(?:ish)?|{_NUMBER}\s+(?P<behind>(?:sub\s*)?total))\s*[.!+]?\s*$",
    re.IGNORECASE,
)


def total_beside_total(line: str) -> bool:
    """Whether a line ends with its own total and the running one: `400 / 2900`."""
    return bool(_SEVERAL.search(plain(line).rstrip()))


def take_total(pasted: PastedLine, paired: bool = False) -> None:
    """Remove a total from the end of a line; a line that is only a total keeps no text.

    `paired`: the page has pairs of totals, which a smaller gap may separate from their lines.
    """
    if match := _ALONE.fullmatch(pasted.text):
        said = (match["of"] or match["behind"] or "").casefold().replace(" ", "")
        of = (
            "section" if said.startswith(("sub", "set", "section")) else "" if said.startswith("running") else "session"
        )
        groups = [group for group in match.groups() if group and group not in (match["of"], match["behind"])]
        pasted.total, pasted.text = Total(_metres_said(groups[0], match), of), ""
        return
    if accounts_for_groups(pasted.text):
        return  # a line of its own
    if match := _ACCOUNTS_BEHIND.search(pasted.text):
        totals = [_thousands(said) for said in re.findall(r"(?<![\w.])\d[\d.]*\s?k?(?![\w.])", match["words"])]
        if totals and min(totals) >= LEAST_SESSION and accounts_for_groups(match["words"]):
            pasted.text = pasted.text[: match.start()].strip()
            pasted.total = Total(totals[0], "session", " ".join(match["words"].split()))
            return
    line = plain(pasted.written).rstrip()
    if match := _LEFT_OF_IT.match(pasted.text):
        pasted.total, pasted.text = Total(int(match[1])), pasted.text[match.end() :]
        return
    if match := _ADDED_UP.fullmatch(pasted.text):
        pasted.total, pasted.text = Total(int(match[2] or match[1]), "" if match[2] else "section"), ""
        return
    if (match := _WORDED.search(line)) and line[: match.start()].strip():
        total = (
            _metres_said(match[1] or match[2], match) if match[1] else round(float(match[2].replace(",", ".")) * 1000)
        )
        kept = _without(pasted.text, match[0])
        if total >= LEAST_TOTAL and kept != pasted.text:
            pasted.total, pasted.text = Total(total, words=(match["words"] or "").strip(" ()")), kept
            return
    if (match := _OF_LANES.search(line)) and line[: match.start()].strip():
        kept = _without(pasted.text, match[0])
        if kept != pasted.text:
            first = int(re.findall(r"\d+", match["all"] or match["one"])[0])
            pasted.total = Total(first, "session", (match["words"] or match["all"]).strip())
            pasted.text = "" if re.fullmatch(r"(?:grand\s+)?tot(?:al)?s?\W*", kept, re.IGNORECASE) else kept
            return
    if (match := _IN_COLUMNS.search(line)) and line[: match.start()].strip():
        totals = list(map(int, match[0].split()))
        if min(totals) >= LEAST_SESSION:
            pasted.text = _without(pasted.text, match[0])
            pasted.total = Total(totals[0], "session", " / ".join(map(str, totals)))
            return
    for pattern in (_PAIRED if paired else _SEVERAL, _KILOS):
        if (match := pattern.search(line)) and line[: match.start()].strip():
            numbers = re.findall(r"\d+(?:\.\d+)?", match[0])
            number = numbers[-1] if pattern is _KILOS or len(numbers) == 2 and "(" in match[0] else numbers[0]
            pasted.total = Total(round(float(number) * (1000 if "." in number or "k" in match[0].casefold() else 1)))
            pasted.text = _without(pasted.text, match[0])
            return
    if (match := _LAST_TOTAL.search(pasted.text)) and pasted.text[: match.start()].strip():
        distance = _whole(match[1]) if match[1] else round(1000 * float(match[2].replace(",", ".")))
        about = bool(match["ish"] or (match["words"] or "").startswith("for"))
        if distance >= (LEAST_ABOUT if about else LEAST_SESSION):
            words = (match["words"] or "").strip(" ,.()")
            pasted.text, pasted.total = pasted.text[: match.start()].strip(" ,"), Total(distance, "session", words)
            return
    for pattern in (_SAID_TOTAL, _SAID_KILO, _TOTAL_OF):
        if (match := pattern.search(pasted.text)) and pasted.text[: match.start()].strip():
            said = match[1]
            distance = round(1000 * float(said.replace(",", "."))) if pattern is _SAID_KILO else _whole(said)
            words = match[2] if pattern is _TOTAL_OF else ""
            pasted.text, pasted.total = pasted.text[: match.start()].strip(), Total(distance, "session", words)
            return
    for pattern in (_EQUALS, _BRACKETS):
        if match := pattern.search(pasted.text):
            if _whole(match[1]) >= (
                LEAST_TOTAL if pattern is _BRACKETS and pasted.text[: match.start()].strip() else 25
            ):
                pasted.text, pasted.total = pasted.text[: match.start()].strip(), Total(_whole(match[1]))
            return
    if _IN_COLUMNS.search(line):
        return
    if (match := _MARGIN.search(line)) and line[: match.start()].strip() and _whole(match[1]) >= LEAST_TOTAL:
        kept = _without(pasted.text, match[0])
        if kept != pasted.text:
            pasted.text, pasted.total = kept, Total(_whole(match[1]))


def _without(text: str, total: str) -> str:
    """A text without the total at its end."""
    return re.sub(rf"\s*\|?\s*{re.escape(total.strip())}\s*$", "", text).strip(" |\t.")


def _thousands(said: str) -> int:
    """`2850`, `2.85k` or `2.85` in metres."""
    return round(float(said.rstrip("k ")) * (1000 if "." in said or "k" in said else 1))


def _whole(said: str) -> int:
    return int(re.sub(r"[,. ]", "", said))


def _metres_said(said: str, match: re.Match) -> int:
    if re.search(r"\d\s*k(?:m|ms)?\s*[.!]?\s*$", match[0], re.IGNORECASE):
        return round(float(said.replace(",", ".")) * 1000)
    return _whole(said)


# ---- on lines of their own

#: A distance with nothing else on its line.
_LAST = regex(
    r"(?:done|about|approx\.?|ca\.?)?\s*(?P<number>\d{1,2}[,.]\d{1,3}|\d{4,5})\s*(?:(?P<kilo>k(?:m|ms)?)|(?:m|yds?|yards?|met(?:re|er)s?))?"
    r"\s*(?:ish|\+|total)?\s*[.!]*",
    re.IGNORECASE,
)
#: `3.3 km. Coffee after`, `that makes 3300, well done`
_LAST_IN_WORDS = regex(
    r"(?P<lead>(?:that'?s|that\s+is|(?:that|it|which)?\s*(?:makes|comes\s+to|adds\s+up\s+to)|should\s+(?:be|come\s+to)|(?:just\s+)?(?:over|under)"
    r"|nearly|about|approx\.?|roughly|around|so|done)\s+)*"
    r"\(?(?P<number>\d{1,2}[,.]\d{1,3}|\d{4,5})\s*(?:(?P<kilo>k(?:m|ms)?)|(?:m|yds?|yards?|met(?:re|er)s?))?(?:\s*ish)?(?!\w|[.,:]\d)"
    r"(?P<words>(?!\s*[x×*])\D*)",
    re.IGNORECASE,
)
LEAST_LINES = 3  #: of a page with a total
_HUNDREDS = regex(r".*\S\s{3,}(?P<n>\d{1,2})\s*")
#: An account of the page at its end: `2500 (gks 1500)`, `A 3900  B 3400`, `~2.6k + legs`, `T 2000 JV 3100`.
_ACCOUNT = regex(
    r"(?:(?:tot(?:al)?|=|~|approx\.?|about|done|ca\.?)\s*[:.=]?\s*|[A-Z][\w/+]{0,7}\s*[:=]?\s*)?"
    r"~?(?P<n>\d{4,5}|\d[,.]\d{3}|\d{1,2}(?:\.\d{1,2})?\s*k(?:m|ms)?)\s*(?:m|yds?)?(?:ish|\+)?(?P<rest>\W.*)?",
    re.IGNORECASE,
)
#: What a total does not say: `1000 for time or 20 mins`.
_TIMED = regex(
    r"\b(?:for\s+time|timed|tt|time\s+trial|straight|non[\s-]?stop|continuous|without|min(?:ute)?s?)\b", re.IGNORECASE
)
_EACH = (
    r"(?:[A-Z]\w{0,7}|\d(?:st|nd|rd|th)s)\s*[:=]?\s*~?"
    r"(?:\d{3,5}|\d{1,2}\.\d{1,2}\s?k?|\d{1,2}\s?k)(?!\s?[\dx×])\s*[,/&]?\s*"
)
_ACCOUNTS = regex(rf"(?:{_EACH}){{2,}}")
#: The same after a set: `200 down.   A 2850  B 2350`.
_ACCOUNTS_BEHIND = regex(rf"(?<=\S)(?:\s{{2,}}|(?<=[.!])\s+|\s*(?=\())[(\[]?(?P<words>(?:{_EACH}){{2,}})[)\]]?\s*$")
#: `4 x 100`, anywhere in a line as coaches write it.
SET_LIKE = regex(r"\d\s*[x×*]\s*\d|\bx\s*\d{2,4}\b", re.IGNORECASE)


def more_totals(page: list[PastedLine], is_set: Callable[[str], bool]) -> None:
    """Find them, and remove them from the text of their lines."""
    _total_at_the_end(page, is_set)
    _small_totals(page)
    _totals_between(page)


def _total_at_the_end(page: list[PastedLine], is_set: Callable[[str], bool]) -> None:
    """A distance below all sets, with no words about swimming, is the page's total: `3.3 km. Coffee after`."""
    written = [pasted for pasted in page if pasted.text]
    while len(written) > LEAST_LINES and sum(is_set(pasted.text) for pasted in written[:-1]) > 1:
        last = written.pop()
        if (match := _LAST.fullmatch(last.text)) and (total := _in_metres(match)) >= LEAST_SESSION:
            last.total, last.text = Total(total, "session"), ""
        elif (match := _LAST_IN_WORDS.fullmatch(last.text)) and (total := _in_metres(match)) >= LEAST_SESSION:
            words = re.findall(r"[^\W\d_][\w'’/-]*", f"{match['lead'] or ''} {match['words']}".casefold())
            swum = _TIMED.search(last.text) or any(kind_of_work(word) or word in GEAR_WORDS for word in words)
            last.total, last.kind = (None, last.kind) if swum else (Total(total, "session"), Kind.REMARK)
        if is_set(last.text) and last.kind is not Kind.REMARK:
            return


def _in_metres(match: re.Match[str]) -> int:
    number = match["number"].replace(",", ".") if match["kilo"] else re.sub(r"[,. ]", "", match["number"])
    return round(float(number) * (1000 if match["kilo"] else 1))


def _small_totals(page: list[PastedLine]) -> None:
    """A column of small numbers that grow from line to line is the running total in hundreds."""
    fits = ((pasted, _HUNDREDS.fullmatch(plain(pasted.written))) for pasted in page if pasted.text)
    found = [(pasted, match) for pasted, match in fits if match]
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
