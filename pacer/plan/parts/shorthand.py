"""Short ways to write what a set says, in words that are read elsewhere: `PBP`, `2 of each stroke dr/sw`."""

from __future__ import annotations

import re

from pacer.plan.regex import regex

#: How each repeat is swum, behind the order of the strokes.
_EACH_FIRST = regex(
    r"(?P<each>\d\s+(?:of\s+)?each\s+stroke)[\s,]+(?P<work>[a-z]{1,6}/[a-z]{1,6})(?![\w/])", re.IGNORECASE
)
#: Letters for two kinds of gear.
_TWO_GEAR = regex(
    r"(?:(?:w/|w|with)\s*)?(?<!\w)(?:PBP|P\s?[&+]\s?B|B\s?[&+]\s?P|PB\s?[&+/]\s?P)(?!\w)|(?<!\w)(?:w/|with|w)\s*(?:p\s?[&+]\s?b|b\s?[&+]\s?p)(?!\w)"
)
_AT_EACH_END = regex(
    r"[\s,]*(?:stop|rest|paus)(?:p?ing|e|s)?\s+(?:at|after)\s+(?:each|every)\s+(?:end|length|wall)\s+for\s+"
    r"(?P<time>\d{1,2}|ten|fifteen|twenty|thirty)\s*(?:s|secs?|seconds?)\b",
    re.IGNORECASE,
)
_SECONDS = {"ten": 10, "fifteen": 15, "twenty": 20, "thirty": 30}
_STROKE = r"(?:free|fr|fc|f/c|front\s+crawl|back|bk|bc|b/c|breast|brs?|brst|fly|fl|bf)"
_ONE = regex(rf"(?P<n>\d{{1,2}})\s+(?P<stroke>{_STROKE})(?![\w/])", re.IGNORECASE)
#: Lengths of several strokes, with nothing between them.
_LENGTHS = regex(
    rf"(?P<all>\d{{1,2}})\s+lengths?\s*(?P<first>{_STROKE}(?!\w))?[\s:,=(-]*"
    rf"(?P<each>(?:\d{{1,2}}\s+{_STROKE}(?![\w/])[\s,/+&]*)+)\)?",
    re.IGNORECASE,
)


def written_out(text: str) -> str:
    """A set's text with its short forms written out.

    >>> written_out("5x200 PBP 15 sec"), written_out("8x50 2 of each stroke dr/sw")
    ('5x200 with pull buoy and paddles 15 sec', '8x50 dr/sw 2 of each stroke')
    >>> written_out("6 lengths  2 fr  2 bk  2 br"), written_out("4 lengths back 2 fly")
    ('2 lengths fr, 2 lengths bk, 2 lengths br', '4 lengths back, 2 lengths fly')
    >>> written_out("five lengths, stopping at each end for ten seconds")
    'five lengths, 10 s each'
    """
    text = _TWO_GEAR.sub("with pull buoy and paddles", _EACH_FIRST.sub(r"\g<work> \g<each>", text))
    text = _AT_EACH_END.sub(lambda each: f", {_SECONDS.get(each['time'].casefold(), each['time'])} s each", text)
    if (match := _LENGTHS.match(text)) and (made := _of_each(match)):
        return f"{made} {text[match.end() :]}".strip()
    return text


def _of_each(match: re.Match[str]) -> str:
    """Lengths of several strokes, each with its number; "" if the numbers don't come to what they should."""
    found = [*_ONE.finditer(match["each"])]
    each = [f"{one['n']} lengths {one['stroke']}" for one in found]
    if match["first"]:
        return ", ".join([f"{match['all']} lengths {match['first']}", *each])
    return ", ".join(each) if sum(int(one["n"]) for one in found) == int(match["all"]) else ""
