"""A distance and the sets that it comes to: `800 = 400 swim + 8 x 50 kick`, `600 (6 x 100) on 1:40`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pacer.plan.parts.partreader import PartReader
from pacer.plan.parts.partvalues import Part, Pause, Rounds, Swim
from pacer.plan.regex import regex
from pacer.plan.words.labels import all_work

_WORDS = r"(?:[^\W\d_][\w/.'’-]*[ \t]*){0,4}?"
_HEAD = regex(
    rf"(?P<whole>\d{{3,4}})\s*(?:m|mtrs?|met(?:re|er)s|yds?)?(?![\w-])\s*(?P<words>{_WORDS})\s*"
    r"(?P<sign>=|:(?!\d)|→|[–—-](?=\s)|[(\[{]|\b(?:made\s+up\s+of|made\s+of|broken\s+(?:in)?to|broken\s+up\s+as|consisting\s+of|split\s+(?:in)?to)\b)"
    r"\s*(?P<parts>\d.*)",
    re.IGNORECASE,
)
_TAIL = regex(r"(?P<inside>.*)[)\]}](?P<behind>[^()\[\]{}]*)")
_COUNT = regex(r"\d\s*[x×]\s*[\d({\[]")
_WARM_UP = regex(r"w/?u(?:p)?|w/up|warm[\s-]?up", re.IGNORECASE)
#: Segments of the whole, or sets that are as long together.
_SLASHES = regex(r"\s+/\s+(?=\d{2,4}\s*m?\s+[^\W\d])")
_COMES_TO = regex(
    r"(?P<n>\d{1,2})\s*[x×]\s*(?P<far>\d{2,4})(?P<words>[^\d=]*?)\s*=\s*(?P<whole>\d{2,5})\s*m?(?!\w)(?P<rest>.*)"
)


def without_whole(text: str, pool: int = 25) -> tuple[str, int]:
    """The sets that a distance in front of them comes to, and that distance; the text itself and 0 for other lines.

    Behind a sign that can mean nothing else, the distance may be another one: the page's totals tell the coach.

    >>> without_whole("800 w/u = 400 swim + 8 x 50 kick")
    ('400 swim + 8 x 50 kick "w/u"', 800)
    >>> without_whole("600 easy (6 x 100) on 1:40"), without_whole("400 swim, 4 x 100 kick")
    (('6 x 100 easy on 1:40', 600), ('400 swim, 4 x 100 kick', 0))
    >>> without_whole("8 x 50 = 400 kick")
    ('8 x 50 kick', 400)
    """
    if (match := _COMES_TO.fullmatch(text)) and int(match["n"]) * int(match["far"]) == int(match["whole"]):
        return f"{match['n']} x {match['far']}{match['words']}{match['rest']}", int(match["whole"])
    match = _HEAD.fullmatch(text)
    if match is None:
        return text, 0
    parts, behind, opens = match["parts"], "", match["sign"] in "([{"
    if opens:
        tail = _TAIL.fullmatch(parts)
        if tail is None or not _COUNT.search(tail["inside"]):
            return text, 0
        parts, behind = tail["inside"].strip(), tail["behind"].strip(" ,")
    elif match["words"] and not (
        match["sign"] == "=" or _COUNT.search(parts) or _WARM_UP.fullmatch(match["words"].strip(" ,"))
    ):
        return text, 0  # 600 continuous: 200 steady, 400 strong
    parts = _SLASHES.sub(", ", parts)
    found = PartReader(parts, pool).read()
    whole = int(match["whole"])
    adds_up = metres(found) == whole
    surely = len(found) > 1 and (match["sign"] == "=" or match["sign"] == ":" and _COUNT.search(parts))
    if not (adds_up or surely) or behind and len(found) > 1:
        return text, 0
    words, note = match["words"].strip(" ,"), ""
    one = found[0]
    if words and len(found) == 1 and isinstance(one, Swim) and one.often and not one.work and all_work(words):
        parts = re.sub(r"^(\d+\s*[x×]\s*\d+\s*m?)(?!\w)", rf"\1 {words}", parts, count=1)
    elif words and '"' not in text:
        note = f' "{words}"'
    return f"{parts}{' ' if behind else ''}{behind}{note}", whole


def metres(parts: Sequence[Part]) -> int:
    """How far some parts are; 0 if lanes swim different distances or a part has none."""
    far = 0
    for part in parts:
        match part:
            case Pause():
                continue
            case Rounds():
                own = part.often * metres(part.parts)
            case Swim(lanes="", by_lane={}, often_by_lane="", far_by_lane="", time=""):
                own = metres(part.pieces) if part.pieces else sum(part.ladder) or (part.often or 1) * part.far
            case _:
                return 0
        if not own:
            return 0
        far += own
    return far
