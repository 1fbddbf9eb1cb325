"""The lines above the sets of a pasted page: its title, the pool, the booking, the focus."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from pacer.plan.notation.headerline import LANES
from pacer.plan.regex import regex

LEAST_BOOKING = 20  #: minutes; fewer are for something before the sets
SENTENCE = 8  #: words; a line with as many is a sentence and not a title

_UNIT = r"(?:m|mtrs?|met(?:re|er)s?|yds?|yards?|y)"
_POOL = regex(
    rf"(?:pool\s*(?:length)?\s*[:=-]?\s*)?(?P<length>\d{{1,3}}(?:\.\d+)?|\d{{1,2}}\s+\d/\d)\s*-?\s*(?P<unit>{_UNIT})"
    r"(?P<pool>\s*(?:pool|bath|baths|course|sc|lc|short\s+course|long\s+course))?",
    re.IGNORECASE,
)
_COURSES = {"lcm": "50 m", "long course": "50 m", "lc": "50 m", "scm": "25 m", "short course": "25 m", "scy": "25 yd"}
_KEY = regex(
    r"(?P<key>pool|length|time|duration|booking|session|focus|theme|aim|title|subject|objective|goal)"
    r"\s*[:=]\s*(?P<value>.*)",
    re.IGNORECASE,
)
_LONG = r"(?:(?:time|duration|booking|session)\s*[:=]?\s*)?"
_MINUTES = regex(
    rf"{_LONG}(?P<n>\d{{2,3}})\s*(?:min(?:ute)?s?\.?|'|mn)(?:\s+(?:session|swim|booking|total))?",
    re.IGNORECASE,
)
_HOURS = regex(
    rf"{_LONG}(?P<h>\d(?:\.\d+)?)\s*h(?:(?:ou)?rs?|our)?\.?\s*(?:(?P<m>\d{{1,2}})\s*(?:m(?:in(?:ute)?s?)?)?)?"
    r"(?:\s+(?:session|swim|booking))?",
    re.IGNORECASE,
)
_CLOCKS = regex(
    r"(?P<h1>\d{1,2})[:.](?P<m1>\d{2})\s*(?:[ap]m)?\s*(?:-|to|until|till)"
    r"\s*(?P<h2>\d{1,2})[:.](?P<m2>\d{2})\s*(?:[ap]m)?",
    re.IGNORECASE,
)
_SPLIT = regex(r"\s*[,;|•()]\s*|\s+[-/]\s+|\s{2,}|\s*&\s*(?=\d)")
_LEFT = " \t,;|•()-/&"


@dataclass(slots=True)
class Head:
    """What a line above the sets says about the whole page."""

    title: str = ""
    pool: str = ""
    booking: str = ""
    focus: str = ""
    remark: str = ""


def head_of(text: str) -> Head | None:
    """What a line says about pool, booking, focus and title; None if it has only other words.

    >>> head_of("Tuesday club night - 25m pool, 75 min")
    Head(title='Tuesday club night', pool='25 m', booking='75 min', focus='', remark='')
    """
    head = Head()
    if LANES.fullmatch(text):
        return Head(remark=text)
    if re.search(r"\bwidths?\b", text, re.IGNORECASE):
        return None
    if match := _KEY.fullmatch(text):
        key, value = match["key"].casefold(), match["value"].strip()
        if key in ("focus", "theme", "aim", "objective", "goal"):
            return Head(focus=value)
        if key in ("title", "subject"):
            return Head(title=re.sub(r"(?:(?:re|fwd?|aw)\s*:\s*)+", "", value, flags=re.IGNORECASE))
        text = value
    pieces, left = [piece for piece in _SPLIT.split(text) if piece], text
    if (clocks := _CLOCKS.search(left)) and (minutes := _between(clocks)):
        head.booking = f"{minutes} min"
        left = left[: clocks.start()] + "," + left[clocks.end() :]
        pieces = [piece for piece in _SPLIT.split(left) if piece]
    for piece in pieces:
        if not head.pool and (pool := _pool(piece)):
            head.pool = pool
        elif not head.booking and (minutes := _minutes(piece)):
            head.booking = f"{minutes} min"
        else:
            continue
        left = left.replace(piece, "", 1)
    while match := re.search(r"\s(\S+(?:\s+(?:pool|mins?|minutes|hours?|hrs?|m|yards|yds?))?)\s*$", left.rstrip(_LEFT)):
        if not head.pool and (pool := _pool(match[1])):
            head.pool = pool
        elif not head.booking and (minutes := _minutes(match[1])):
            head.booking = f"{minutes} min"
        else:
            break
        left = left.rstrip(_LEFT)[: match.start()]
    if not head.pool and (pool := _pool(left.strip(_LEFT))):
        head.pool, left = pool, ""
    if not head.pool and (pool := _pool_within(left)):
        head.pool = pool
        left = left if len(left.split()) > SENTENCE else _ANY_POOL.sub(" ", left, count=1)
    if not (head.pool or head.booking):
        return None
    if len(left.split()) > SENTENCE or left.rstrip().endswith((".", "!")):
        return replace(head, remark=text)
    head.title = re.sub(r"\s*[,;|•]\s*(?=[,;|•\s-]*$)|\(\s*\)|(?:\s*[,;|•-]\s*){2,}", " ", left).strip(_LEFT)
    head.title = " ".join(head.title.split())
    if head.title.count("(") > head.title.count(")"):  # BEGINNERS (end lane) 45 mins
        head.title += ")"
    if re.fullmatch(r"(?:pool|time|length|duration|booking|session)?", head.title, re.IGNORECASE):
        head.title = ""
    return head


#: A pool anywhere in words: `50 outdoor`, `outdoor 50`, `25m indoor`, `25 yd pool.`, `33 1/3 pool`, `yds`.
_ANY_POOL = regex(
    rf"(?<![\w:.-])(?:(?P<a>25|50|20|33\s1/3|33\.3)\s?(?P<unit>{_UNIT})?\s+(?:indoor|outdoor|pool|bath)"
    rf"|(?:indoor|outdoor|pool)\s+(?P<b>25|50|33\s1/3)(?![\w:.])|(?P<c>25|50)\s?(?P<cunit>{_UNIT})"
    r"|(?P<course>scy|scm|lcm|short\s+course(?:\s+yards)?|long\s+course)|(?P<yards>yds|yards))(?!\w)",
    re.IGNORECASE,
)


#: A distance that somebody swims: `swim 50 metres of backstroke`.
_IN_SENTENCE = regex(rf"\b(?:swims?|kicks?|do|does)\s+\d+\s?{_UNIT}\b|\d\s?{_UNIT}\s+of\b", re.IGNORECASE)


def _pool_within(text: str) -> str:
    """The pool that words name; "" if they name none, or two."""
    found = list(_ANY_POOL.finditer(text))
    if len(found) != 1 or _IN_SENTENCE.search(text) or re.search(r"\d\s*[x×]\s*\d|^\s*\d{3}", text):
        return ""
    match = found[0]
    if match["course"]:
        return _COURSES.get(" ".join(match["course"].casefold().split()), "25 yd")
    if match["yards"]:
        return "25 yd"
    unit = match["unit"] or match["cunit"] or "m"
    length = re.sub(r"\s+", " ", match["a"] or match["b"] or match["c"])
    return f"{'33 1/3' if length == '33.3' else length} {'yd' if unit.casefold().startswith('y') else 'm'}"


def _pool(piece: str) -> str:
    if piece.casefold() in _COURSES:
        return _COURSES[piece.casefold()]
    match = _POOL.fullmatch(piece)
    if not match:
        return ""
    length = re.sub(r"\s+", " ", match["length"])
    if "/" not in length and not 10 <= float(length) <= 100:
        return ""
    return f"{length} {'yd' if match['unit'].casefold().startswith('y') else 'm'}"


def _minutes(piece: str) -> int:
    if match := _MINUTES.fullmatch(piece):
        return int(match["n"]) if int(match["n"]) >= LEAST_BOOKING else 0
    if match := _HOURS.fullmatch(piece):
        return round(float(match["h"]) * 60) + int(match["m"] or 0)
    return 0


def _between(clocks: re.Match) -> int:
    """Minutes from one time of day to another; 0 if that cannot be a booking."""
    start, end = (int(clocks[f"h{n}"]) * 60 + int(clocks[f"m{n}"]) for n in (1, 2))
    minutes = (end - start) % (12 * 60)
    return minutes if 30 <= minutes <= 300 else 0
