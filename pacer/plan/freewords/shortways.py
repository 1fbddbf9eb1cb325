"""Short ways to say a set: in blocks, in rounds on one line, with its parts or its total beside it."""

from __future__ import annotations

import re

from pacer.plan.parts.bits import bits_of
from pacer.plan.regex import regex
from pacer.plan.words.labels import kind_of_work
from pacer.plan.words.linepatterns import NUMBERS

#: `10 mins warm up (call it 400)`: so far, in about that time.
_CALLED = regex(
    r"(?P<n>\d{1,3})\s*(?:mins?|minutes?)\s+(?P<work>[^\d(]*[^\d(\s,])\s*[,(]\s*"
    r"(?:call\s+it|say|about|approx\.?|roughly|around|c\.|so|~|that'?s)\s*(?P<far>\d{2,4})\s*m?(?:\s*ish|\s+or\s+so)?\s*\)?[\s.]*",
    re.IGNORECASE,
)
#: `swim down, kick back`: one length of each.
_THERE = r"(?:swim|kick|drill|pull|scull)"
_THERE_AND_BACK = regex(
    rf"\b(?P<a>{_THERE})\s+(?:down|up|out|there),?\s+(?P<b>{_THERE})\s+(?:back|home)(?!\w)", re.IGNORECASE
)
#: `20sr`: seconds of rest.
_SECONDS_REST = regex(r"(?<![\w:.])(?P<n>\d{1,3})s(?:ec)?r(?:i|est)?(?!\w)", re.IGNORECASE)
#: `600 as 200 free, 200 choice, 200 IM`: sets that come to so much.
_AS_SETS = regex(
    r"(?P<whole>\d{3,4})\s*m?\s+as\s+(?P<parts>\d{2,4}\s*m?\s+[a-z][^():]*(?:,\s*\d{2,4}\s*m?\s+[a-z][^():,]*)+)",
    re.IGNORECASE,
)
#: `8 x 50 2 easy 2 build x2`: the turns as often as they fill the set.
_FILLED = regex(
    r"(?P<set>(?P<n>\d+)\s*[x×]\s*\d+m?\s.*?)(?:\bas\s+)?\(?(?P<turns>(?:\b\d\s+[a-z]+(?:[\s,/]+|\)\s*)){2,})[x×]\s?(?P<often>\d)(?!\w)",
    re.IGNORECASE,
)
#: `12 x 50 3 of each 25dr/25sw`: parts beside another pattern.
_PARTS_BESIDE = regex(
    r"(?P<set>\d+\s*[x×]\s*(?P<far>\d+)m?\s.*\beach\b.*?)\s(?P<parts>\d{2,3}\s?[a-z]+(?:\s?/\s?\d{2,3}\s?[a-z]+)+)(?P<rest>(?:\s.*)?)",
    re.IGNORECASE,
)
#: `half length x 2`
_HALF_OFTEN = regex(r"(?:half|½|1/2)\s+(?:a\s+)?length\s*[x×]\s*(?P<n>\d{1,2})(?!\w)", re.IGNORECASE)
#: `3 goes of: 100 crawl, 50 back (30 secs between each bit)`: rounds in one line.
_GOES = regex(
    r"(?P<n>\d{1,2})\s*(?:goes|rounds?|rn?ds?|times|lots)\s*(?:of|through|thru)?\s*:\s*(?P<sets>\d.*?)"
    r"(?P<rest>[\s,]*\(?\d{1,3}\s*(?:s|secs?|seconds?)\s*(?:rest\s+)?(?:in\s+)?between(?:\s+(?:each|every))?(?:\s+(?:bit|part|one|swim|of\s+them|them))?\s*\)?)?",
    re.IGNORECASE,
)
_NEXT_OF_THEM = regex(
    r"\s*(?:[,+&]|\band\b|\bthen\b)\s*(?=\d+\s*[x×]\s*\d|\d{2,4}(?!\s*(?:s|secs?|seconds?|mins?)\b)(?![\d:.]))",
    re.IGNORECASE,
)
#: `12 x 100 in 3 blocks of 4, 10s rest, 1 min between blocks`
_BLOCK = r"(?:blocks?|sets?|groups?|lots?|batches|waves)"
_IN_BLOCKS = regex(
    rf"(?P<n>\d{{1,3}})\s*[x×]\s*(?P<far>\d{{2,4}}m?)(?P<work>[^,;()\d]*?)[\s,(]*(?:(?:done\s+)?(?:in|as)\s+)?(?P<often>\d|two|three|four|five)\s+{_BLOCK}\s+of\s+(?P<each>\d{{1,2}})\)?"
    rf"(?P<rest>(?:[\s,;].*?)?)(?P<between>[\s,;+]*\d[\d:]*\s*(?:s|secs?|seconds?|mins?|minutes?)?\s+(?:rest\s+)?(?:in\s+)?between\s+(?:the\s+|each\s+)?{_BLOCK})?",
    re.IGNORECASE,
)
#: `odds on 3:20, evens on 3:10`
_TURN_ABOUT = regex(
    r"(?P<lead>(?P<n>\d{1,2})\s*[x×]\s*\d.*?)[\s,:(]*\bodds?\s+(?:on|off|@)\s*(?P<odd>\d?:\d\d|\d[.:]\d\d|\d\d)[\s,;/]+(?:and\s+)?evens?\s+(?:on|off|@)\s*(?P<even>\d?:\d\d|\d[.:]\d\d|\d\d)\)?",
    re.IGNORECASE,
)
MOST_TURNED = 12  #: repeats whose intervals are written one by one
#: `6 x 75 25k 25d 25s 15r`: what comes after a distance and adds up to it is its parts.
_PART = r"\d{2,3}\s?(?!(?:ri?|rest|secs?|mins?|m|x)\b)(?:(?<=\d)[a-z]{1,4}|(?<=\s)[a-z/]+)"
_GLUED_PARTS = regex(
    rf"(?P<set>\d{{1,3}}\s*[x×]\s*(?P<far>\d{{2,4}})m?)\s*[:,-]?\s+(?P<parts>{_PART}(?:[\s,/+]+{_PART}){{1,7}})(?P<rest>(?:[\s,;(].*)?)",
    re.IGNORECASE,
)
_ONE_PART = regex(r"(\d{2,3})\s?([a-z/]+)", re.IGNORECASE)
#: `200s 200k 200p`
_LONE_S = regex(r"(?<![\w:.])(\d{2,3})s(?=[\s,/+]+\d{2,3}\s?[kpd](?!\w))", re.IGNORECASE)
#: `8 x 15m breakout, easy back`: nobody swims 15 m of backstroke.
_EASY_BACK = regex(
    r"[x×]\s*1[0-5]\s?m?\b[^\d]*[,;]\s*(?P<way>(?:easy|ez|slow|swim|float|paddle)\s+back)\s*$", re.IGNORECASE
)
#: `1.30/100 pace`
_PACE_PER_100 = regex(r"[\s,;@]+\d[.:]\d\d\s?/\s?100m?\s+pace(?!\w)", re.IGNORECASE)
#: `on 20s`, `all on 10s rest`: nobody swims so far in that time.
_SHORT_ON = regex(
    r"(?P<all>\ball\s+)?\b(?:on|off)\s+(?P<time>[1-3]?\d)\s*(?:s|secs?|seconds?)(?:\s+rest)?(?!\s*[/\w])", re.IGNORECASE
)
#: `5 x 50 off 1`: minutes.
_BARE_MINUTES = regex(
    r"(?P<set>\d\s*[x×]\s*\d{2,4}m?\b.*?)\b(?:on|off)\s+(?P<n>[1-5])(?=\s*(?:$|[,;)]))", re.IGNORECASE
)
#: `12 x 25 IM order x3`: all of them.
_ORDER_OFTEN = regex(
    r"(?P<set>(?P<n>\d{1,2})\s*[x×]\s*\d+m?\s.*\bIM\s*O(?:rder)?)\s*[x×]\s?(?P<often>\d)(?!\w)", re.IGNORECASE
)
QUICKEST_FAR = 2  #: metres in a second: more are not swum
#: `16 lengths as 4 each stroke`
_EACH_STROKE = regex(
    r"(?P<n>\d{1,2})\s+lengths,?\s*(?:as\b|-|:|\()?\s*(?P<each>\d{1,2})\s+(?:of\s+)?each\s+stroke\)?(?:\s+in\s+IM\s+order)?",
    re.IGNORECASE,
)
#: `in sets of 3: easy, steady, fast`
_SETS_OF = regex(r"\bin\s+(?:sets|groups|blocks|lots)\s+of\s+(?P<n>[2-6])(?=\s*[:–-]\s*[a-z])", re.IGNORECASE)
#: `100 swim, 50 kick, 100 pull, x 2`: a comma in front of how often says that it is all of them.
_ALL_OFTEN = regex(
    r"(?P<sets>[^()]*\d[^()]*,[^()]*\d[^()]*?)\s*,\s*(?:all\s+)?(?:[x×]\s?(?P<n>[2-9])|(?P<m>twice))\s*[.!]?",
    re.IGNORECASE,
)
_WHOLE_STROKE = regex(r"(?:whole|full)\s+stroke(?!\w)", re.IGNORECASE)
_PARTIAL = regex(r"\b(?:legs?|kick\w*|arms?|pull\w*|drills?)\b", re.IGNORECASE)


def as_known(text: str, pool: str) -> tuple[str, int]:
    """A set that is said in a short way, in the words that the notation has for it, and its total (0: not said).

    `pool` says how long a length is.

    >>> as_known("12 x 100 in 3 blocks of 4, 1 min between blocks", "25 m")
    ('3 x (4 x 100 + rest 1 min)', 0)
    >>> as_known("6 x 75 25k 25d 25s 15r", "25 m")
    ('6 x 75 as 25 k / 25 d / 25 swim 15r', 0)
    """
    total = 0
    if match := _CALLED.fullmatch(text):
        text = f'{match["far"]} {match["work"]} "{match["n"]} min"'
    text = _EACH_STROKE.sub(_each_stroke, _SETS_OF.sub(r"in \g<n>s", text))
    far = [
        int(said) for said in re.findall(r"(?<![\d:.])(\d{2,4})(?![\d:.]|\s*(?:s|secs?|seconds?|mins?|[x×])\b)", text)
    ]
    match = _SHORT_ON.search(text)
    if match and far and max(far) > QUICKEST_FAR * int(match["time"]):
        said = f"all {match['time']}s" if match["all"] else f"rest {match['time']} s"
        text = f"{text[: match.start()]}{said}{text[match.end() :]}"
    if (match := _ALL_OFTEN.fullmatch(text)) and not re.search(r"\d\s*[x×]", match["sets"]):
        text = f"{match['n'] or 2} x ({match['sets'].strip()})"
    text = _BARE_MINUTES.sub(r"\g<set>on \g<n>:00", text)
    if (match := _ORDER_OFTEN.match(text)) and 4 * int(match["often"]) == int(match["n"]):
        text = f"{match['set']}{text[match.end() :]}"
    match = _GOES.fullmatch(text)
    if match and len(sets := _NEXT_OF_THEM.split(match["sets"].strip(" ()"))) > 1:
        rest = f", rest {time[0]} s" if match["rest"] and (time := re.search(r"\d+", match["rest"])) else ""
        text = f"{match['n']} x ({' + '.join(each.strip(' ,') + rest for each in sets)})"
    whole = pool.split(" ")[0]
    if whole.isdigit():
        text = _THERE_AND_BACK.sub(rf"(\g<a> / \g<b> by {whole})", text)
        text = _HALF_OFTEN.sub(lambda found: f"{found['n']} x {int(whole) // 2}", text)
    if (match := _WHOLE_STROKE.search(text)) and (stroke := _stroke_in(text[: match.start()])):
        text = f"{text[: match.start()]}{stroke} swim{text[match.end() :]}"  # BR legs 50, 25 whole stroke
    text = _SECONDS_REST.sub(r"rest \g<n> s", text)
    text = _LONE_S.sub(r"\1 swim", _in_turn(_in_blocks(text)))
    if (match := _EASY_BACK.search(text)) and '"' not in text:
        text = f'{text[: match.start("way")].rstrip(" ,;")} "{match["way"]}"'
    if (match := _PACE_PER_100.search(text)) and '"' not in text:
        text = f'{text[: match.start()]} {text[match.end() :].lstrip(" ,;")} "{match[0].strip(" ,;@")}"'
    match = _GLUED_PARTS.fullmatch(text)
    parts = _ONE_PART.findall(match["parts"]) if match else []
    if (
        match
        and sum(int(far) for far, _ in parts) == int(match["far"])
        and all(kind_of_work(_swum(word)) for _, word in parts)
    ):
        text = f"{match['set']} as {' / '.join(f'{far} {_swum(word)}' for far, word in parts)}{match['rest']}"
    match = _FILLED.match(text)
    if match and int(match["n"]) == int(match["often"]) * sum(map(int, re.findall(r"\d+", match["turns"]))):
        text = f"{match['set']}{match['turns'].rstrip(' ,/)')}{text[match.end() :]}"
    match = _PARTS_BESIDE.fullmatch(text)
    if match and _sum(re.sub(r"[^\d/]", " ", match["parts"])) == int(match["far"]) and '"' not in text:
        text = f'{match["set"]}{match["rest"]} "{match["parts"]}"'
    match = _AS_SETS.fullmatch(text)
    if match and "/" in text and _sum(", ".join(re.findall(r"(?:^|,\s*)(\d+)", match["parts"]))) == int(match["whole"]):
        text, total = match["parts"], int(match["whole"])
    return text, total


def _each_stroke(found: re.Match[str]) -> str:
    """So many lengths of each stroke; as written if they are not all of them."""
    if 4 * int(found["each"]) != int(found["n"]):
        return found[0]
    return ", ".join(f"{found['each']} lengths {stroke}" for stroke in ("fly", "back", "breast", "free"))


def _swum(word: str) -> str:
    """A word of work, with a lone S written out."""
    return "swim" if word in ("s", "S") else word


def _in_blocks(text: str) -> str:
    """`12 x 100 in 3 blocks of 4` as rounds of four, with the rest between them; other texts as they are."""
    match = _IN_BLOCKS.fullmatch(text)
    often = int(NUMBERS.get(match["often"].casefold(), match["often"])) if match else 0
    if match is None or often * int(match["each"]) != int(match["n"]):
        return text
    said = re.sub(rf"\s+in\s+(?:the\s+|each\s+)?{_BLOCK}", "", match["rest"]).strip(" ,;")
    pause = re.search(r"\d[\d:]*\s*(?:s|secs?|seconds?|mins?|minutes?)?", match["between"] or "", re.IGNORECASE)
    inner = f"{match['each']} x {match['far']}{match['work'].rstrip()}" + (f", {said}" if said else "")
    return f"{often} x ({inner}{f' + rest {pause[0].strip()}' if pause else ''})"


def _in_turn(text: str) -> str:
    """`4 x 200 odds on 3:20, evens on 3:10` with the intervals one after the other; other texts as they are."""
    match = _TURN_ABOUT.match(text)
    if match is None or not 1 < int(match["n"]) <= MOST_TURNED:
        return text
    times = [match["odd"] if place % 2 == 0 else match["even"] for place in range(int(match["n"]))]
    return f"{match['lead']}, on {' then '.join(times)}{text[match.end() :]}"


def _stroke_in(text: str) -> str:
    """The stroke that words say together with legs or arms; "" if they say none, or several."""
    strokes = {bit.text for bit in bits_of(text) if bit.word == "STROKE"}
    return strokes.pop() if len(strokes) == 1 and _PARTIAL.search(text) else ""


def _sum(parts: str) -> int:
    """The distances in a text, added up."""
    return sum(int(number) for number in re.findall(r"(?<![\d:])\d{2,4}(?![\d:])", parts))
