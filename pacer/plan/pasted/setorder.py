"""Puts a set on a pasted page in the order of a set on a plan: lengths as distances, segments before the details."""

from __future__ import annotations

import re
from fractions import Fraction

from pacer.plan.freewords.shortways import as_known
from pacer.plan.layout.lanesonpage import by_lane
from pacer.plan.layout.pastedline import Ask, Open, PastedLine, Total
from pacer.plan.layout.roundsaid import rounds_behind
from pacer.plan.parts.shorthand import written_out
from pacer.plan.parts.wholeandparts import without_whole
from pacer.plan.regex import regex
from pacer.plan.words.vocabulary import GEAR_WORDS, key_of

_NUMBERS = {
    word: n
    for n, word in enumerate(["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"], start=1)
}
_LENGTHS = regex(
    rf"(?:(?<=\d[x×*])|\b)(?P<n>\d{{1,3}}|{'|'.join(_NUMBERS)})(?:\s+lengths?\b|\s?(?-i:L)(?!\w|[-/]|\s+(?:arms?|legs?|side|hand)\b)(?!\s*[,/+&]?\s*\d{{1,2}}\s?R\b))(?:\s+of\b(?!\s+each))?",
    re.IGNORECASE,
)
_REST = r"(?:(?:rest|take|with)\s+)?:?\d{1,2}(?:\s*-\s*\d{1,2})?\s*(?:s|secs?|seconds?|''|\")(?:\s+(?:rest|ri?)\b)?"
#: `4 lengths kick on front, 4 on back, 20 s each`: that many single lengths.
_SINGLE = regex(
    rf"(?P<n>\d{{1,2}}|{'|'.join(_NUMBERS)})\s+lengths\b(?:\s+of\b)?\s*(?P<a>[^\d,;]*?)"
    rf"(?:[,;]?\s*(?:and\s+|then\s+)?(?P<m>\d{{1,2}})\s+(?:lengths\s+)?(?P<b>on\s+[^\d,;]*?))?"
    rf"[,;\s]+(?P<rest>{_REST})(?P<each>\s*(?:(?:after|between|in\s+between|for)\s+)?each(?:\s+(?:one|length|time))?)?\s*[.!]*"
    rf"(?P<gear>,\s+with\s+[a-z ]+)?",
    re.IGNORECASE,
)
#: `1 min then`, in front of the next set's line.
_THEN_ON = regex(
    r"(?P<time>\d{1,2}\s*(?:mins?|minutes?|secs?|seconds?))(?:\s+rest)?\s*,?\s+(?:and\s+)?then\W*", re.IGNORECASE
)
_ACTIVITY = regex(r"\b(?:kick|pull|drill|scull|swim)\w*", re.IGNORECASE)
_LEAD = regex(r"(?:(?:and\s+)?then|finish\s+with|straight\s+into)\s+(?=\d)", re.IGNORECASE)
#: The same between sets: `4 lengths kick then 4 swim`.
_THEN_MORE = regex(rf"(?<=[\w)])\s+{_LEAD.pattern}", re.IGNORECASE)
_EXTRA = regex(r"\bextra\s+(?=rest\b|:?\d)", re.IGNORECASE)
_TIME = r"\d{0,2}:\d\d"
#: `3:10 (A), 3:30 (B)`
_MARKED = regex(rf"{_TIME}\s*\([A-Z]\)(?:\s*[,/]?\s*{_TIME}\s*\([A-Z]\))+")
_ONE = regex(rf"({_TIME})\s*\(([A-Z])\)")
#: `½ length kick ½ length swim, x 4`
_HALF = r"(?:0?\.5|1/2|½|half)\s*(?:an?\s+|of\s+(?:a|the)\s+)?length\s+(?:of\s+)?"
_HALF_LENGTHS = regex(
    rf"(?:(?P<n>\d{{1,2}})\s*[x×]\s*)?{_HALF}(?P<a>[^\d.,/+&½]+?)\s*(?:[,/+&]|\band\b|\bthen\b)?\s*{_HALF}(?P<b>[^\d.,/+&½]+?)"
    r"(?=\s*(?:$|[,;(]|[x×]\s*\d))(?:\s*,?\s*[x×]\s*(?P<m>\d{1,2})\b)?",
    re.IGNORECASE,
)
#: `2 fc 2 bk 2 brs`: lengths of each.
_STROKE_SAID = (
    r"(?P<n>1?\d)\s+(?P<work>(?:free|fr|fc|f/c|front\s+crawl|back|bk|bc|b/c|breast|brs?|brst|fly|fl|bf)(?:\s+kick)?)"
)
_STROKE = regex(rf"(?<![\w:.]){_STROKE_SAID}(?![\w/]),?", re.IGNORECASE)
_ONE_STROKE = _STROKE_SAID.replace("P<n>", ":").replace("P<work>", ":")
_STROKES = regex(rf"(?:[^\d:]*:\s*)?(?:{_ONE_STROKE}(?![\w/])[\s,/+&]*){{2,}}(?:\s*[,(-]\s*[^\d:]*)?", re.IGNORECASE)
#: More of them after some lengths, `6 lengths kick, 3 full`: the number of each.
_NOT_LENGTHS = (
    r"x|lengths?|lths?|l|r|ri|s|secs?|seconds?|mins?|minutes?|m|k|kicks?|pulls?|strokes?|breaths?|bobs?|jumps?|press|times?|rounds?|reps?|goes"
    r"|hands?|of|or|to|and|each|per|more|in|at|on|swimmers?|people|rest|off"
)
_MORE = regex(
    rf"(?:(?<=[,;])|(?<=[+&:]\s)|(?<=\s/)|(?<=\band)|(?<=\bthen))\s*(?P<n>\d{{1,2}})(?=\s+(?!(?:{_NOT_LENGTHS})(?!\w))[^\W\d]|\s+on\s+(?:your\s+)?(?:front|back|side|tumm))",
    re.IGNORECASE,
)
_LAST_OF_THEM = regex(
    r"\b(?:last|first|final|middle)\s+\d{1,2}(?=\s+(?:on\s+(?:your\s+)?(?:front|back|side|tumm)|(?:easy|fast|hard|kick|swim|back|free|fc|breast|fly)\b))",
    re.IGNORECASE,
)
#: `2 laps of the 750m course`
_OF_COURSE = regex(
    rf"(?P<n>\d{{1,2}}|{'|'.join(_NUMBERS)})\s+(?:laps?|loops?|circuits?|times\s+(?:round|around))\s+(?:of\s+)?(?:the|a|our)?\s*"
    r"(?P<far>\d{3,4})\s*m?\s+(?P<name>(?:[a-z]+\s)?(?:course|loop|lap|circuit|triangle|square|rectangle|route|buoys?))(?!\w)",
    re.IGNORECASE,
)
#: `300 swim / 200 pull`
_SIDE_BY_SIDE = regex(r"\d{2,4}\s*m?\s+[a-z][^/]*(?:\s+/\s+\d{2,4}\s*m?\s+[a-z][^/]*)+", re.IGNORECASE)
#: `10 x 50 on 0:55: 25 fast, 25 easy`
_PARTS_BEHIND = regex(
    r"(?P<set>\d+\s*[x×]\s*\d+)\s*m?\s+(?P<details>[^:]*?(?:\d:\d\d|:\d\d|\d))\s*:\s+(?P<parts>\d+\s.*)"
)
#: `6 x 50 back - 25 drill, 25 swim`
_PARTS_DASHED = regex(
    r"(?P<set>\d+\s*[x×]\s*(?P<distance>\d+)\s*m?(?:\s+[a-z]+)*)\s+-\s+(?P<parts>\d{2,3}\s*m?\s+[a-z][^()]*?)"
    r"(?P<behind>,?\s+(?:on|every|rest|ri?|@)\s*:?\d[^()]*)?",
    re.IGNORECASE,
)
#: `8 x 50 on 1:00 (odds drill, evens swim)`
_PATTERN_BEHIND = regex(r"(?P<set>.*\S)\s*\((?P<pattern>odds?\b[^()]*\bevens?\b[^()]*)\)", re.IGNORECASE)
#: `800 (200 free, 100 back) x 2`
_TIMES_BEHIND = regex(
    r"(?P<whole>\d{3,4})\s*m?\s*(?:as|[:=-])?\s*\((?P<parts>[^()]*)\)\s*[x×]\s*(?P<n>\d{1,2})\b(?P<rest>.*)"
)


#: `Get your fins: 6 x 25`, `Fins on: 8 x 50`, `With paddles - 4 x 100`.
_GEAR_FIRST = regex(
    r"(?:(?:get|grab|put\s+on|pop\s+on|with|use|wear|now)\s+)*(?:(?:your|the|a|some)\s+)?(?P<gear>[a-z]+(?:\s[a-z]+)?)(?:(?:\s+(?:on|out))?\s*(?::|\s-)|\s+on(?=\s+\d+\s*[x×]))\s*(?P<set>\d.*)",
    re.IGNORECASE,
)


def gear_behind(text: str) -> str:
    """`Fins on: 8 x 50 kick` as a set with that gear, which is named in front of it."""
    match = _GEAR_FIRST.fullmatch(text)
    named = re.sub(r"\s+(?:on|out)$", "", match["gear"], flags=re.IGNORECASE) if match else ""
    gear = GEAR_WORDS.get(key_of(named))
    return f"{match['set'].strip(' .')}, with {gear}" if match and gear else text


def reword(pasted: PastedLine, pool: str) -> None:
    """Put a set's text in that order; `pool` says how long a length is."""
    text, whole = without_whole(_EXTRA.sub("", _LEAD.sub("", _THEN_MORE.sub(", ", pasted.text))), _length(pool))
    pasted.total = pasted.total or (Total(whole) if whole else None)
    text = rounds_behind(by_lane(written_out(text)))
    if match := _THEN_ON.fullmatch(text):
        text = f"rest {match['time']}"
    text = _OF_COURSE.sub(lambda found: f'{_number(found)} x {found["far"]} "{found["name"]}"', text)
    text, total = as_known(text, pool)
    pasted.total = pasted.total or (Total(total) if total else None)
    text = _counted_apart(_single_lengths(pasted, text))
    text = _HALF_LENGTHS.sub(lambda found: _halves(found, pool), text)
    if _STROKES.fullmatch(text):
        text = _STROKE.sub(lambda found: f"{found['n']} lengths {found['work']},", text).rstrip(" ,")
    if first := _LENGTHS.search(text):
        text = _more_lengths(text, first)
    text = _LENGTHS.sub(lambda found: _distance(found, pool), text)
    text = _MARKED.sub(lambda found: " / ".join(f"{group} {time}" for time, group in _ONE.findall(found[0])), text)
    if _SIDE_BY_SIDE.fullmatch(text) and not re.search(r"\d\s*[x×]", text) and _apart(text):
        text = re.sub(r"\s+/\s+", ", ", text)
    if match := _PARTS_BEHIND.fullmatch(text):
        text = f"{match['set']} ({match['parts']}), {match['details']}"
    match = _PARTS_DASHED.fullmatch(text)
    if match and (once := _sum(match["parts"])) and int(match["distance"]) % once == 0:
        text = f"{match['set']} ({match['parts']})" + (f", {match['behind'].strip(' ,')}" if match["behind"] else "")
    if match := _PATTERN_BEHIND.fullmatch(text):
        text = f"{match['set']}, {match['pattern']}"
    match = _TIMES_BEHIND.fullmatch(text)
    if match and _sum(match["parts"]) != int(match["whole"]):  # so it is what all of it comes to
        parts = re.sub(r"(?<=[a-z])\s+(?=\d{2,4}\s)", ", ", match["parts"], flags=re.IGNORECASE)
        text = f"{match['n']} x ({parts}){match['rest']}"
        pasted.total = pasted.total or Total(int(match["whole"]))
    pasted.text = text


def _number(found: re.Match[str]) -> int:
    return int(_NUMBERS.get(found["n"].casefold(), found["n"]))


def _more_lengths(text: str, first: re.Match[str]) -> str:
    """Some lengths, and the others that are counted behind them; the first go if those are all parts of them."""
    lead, behind = text[: first.end()], text[first.end() :]
    behind = _LAST_OF_THEM.sub(lambda found: f"{found[0]} lengths", behind)  # 9 lengths, last 3 on back
    counted = [*_MORE.finditer(behind)]
    if len(counted) < 2 or sum(map(_number, counted)) != _number(first):
        return lead + _MORE.sub(lambda found: f"{found[0]} lengths", behind)  # 6 lengths front crawl, 2 back
    work = behind[: counted[0].start()].strip(" ,:;(-")  # 4 lengths kick, 2 on front, 2 on back
    parts = _MORE.sub(lambda found: f" {found['n']} lengths {work}".rstrip(), behind)
    return f"{text[: first.start()]}{parts[counted[0].start() :].strip()}"


def _length(pool: str) -> int:
    """How long a pool is in whole metres or yards."""
    whole = pool.split(" ")[0]
    return int(whole) if whole.isdigit() else 25


def _single_lengths(pasted: PastedLine, text: str) -> str:
    """Lengths with a rest as that many sets of one length; unless the rest is after `each`, the coach is asked."""
    match = _SINGLE.fullmatch(text)
    number = int(_NUMBERS.get(match["n"].casefold(), match["n"])) if match else 1
    if match is None or number < 2:
        return text
    rest = f", {match['rest']}{match['gear'] or ''}"
    made = f"{number} x 1 length {match['a'].strip()}{rest}"
    if match["m"]:
        work = _ACTIVITY.search(match["a"])
        made += f", {match['m']} x 1 length {f'{work[0]} ' if work else ''}{match['b'].strip()}{rest}"
    elif not match["each"] and pasted.ask is None:
        pasted.ask = Ask(Open.LENGTHS, str(number))
    return made


#: `100s: 4 easy, 4 steady, 4 hard`
_SHARE = r"\d{1,2}\s+(?!(?:s|secs?|seconds?|mins?|m|x)\b)[a-z][a-z ]*?"
_PLURAL = regex(
    r"(?P<far>25|50|75|[1-9]\d?(?:00|25|50|75))\s?'?s\s*(?P<work>[a-z ]*?)\s*[:,-]\s*"
    rf"(?P<all>{_SHARE}(?:[,/+]\s*{_SHARE})+)(?P<rest>(?:[,-]\s|\s+(?=:?\d|on\b|rest\b)).*)?",
    re.IGNORECASE,
)


def _counted_apart(text: str) -> str:
    """`100s: 4 easy, 4 hard` with their number in front: that many repeats of each."""
    match = _PLURAL.fullmatch(text)
    if match is None:
        return text
    work = f"{match['work'].strip()} " if match["work"].strip() else ""
    rest = f", {match['rest'].strip(' ,-')}" if match["rest"] else ""
    said, first = [], 1
    for count, words in re.findall(r"(\d{1,2})\s+([a-z][a-z ]*)", match["all"], re.IGNORECASE):
        said.append(f"{first}-{first + int(count) - 1} {work}{words.strip()}")
        first += int(count)
    return f"{first - 1} x {match['far']} repeats {' / '.join(said)}{rest}"


def _halves(found: re.Match, pool: str) -> str:
    """Half a length of one and half of another, as the parts of a length; as written if that is no whole number."""
    whole = pool.split(" ")[0]
    if not whole.isdigit() or int(whole) < 15:
        return found[0]
    far, often = int(whole), found["n"] or found["m"]
    first = far - far // 2
    count = f"{often} x " if often else ""
    return f"{count}{far} as {first} {found['a'].strip(' ,')} / {far - first} {found['b'].strip(' ,')}"


def _apart(text: str) -> bool:
    """Whether distances between slashes are sets, and not the segments of the first: `400 as 100 kick / 100 swim`."""
    first, *others = (int(part.split()[0].rstrip("mM")) for part in re.split(r"\s+/\s+", text))
    return not re.search(r"\bas\b", text.split("/")[0]) or sum(others) > first


def _sum(parts: str) -> int:
    """The distances in a text, added up."""
    return sum(int(number) for number in re.findall(r"(?<![\d:])\d{2,4}(?![\d:])", parts))


def _distance(found: re.Match, pool: str) -> str:
    """A number of lengths as a distance; as written if that is not a whole number."""
    if re.search(r"(?<![^\W\d_])R\W{0,3}$", found.string[: found.start()]):  # 2 R 2 L
        return found[0]
    *whole, part = pool.split(" ")[:-1]
    length = Fraction(part) + sum(map(int, whole))
    number = _NUMBERS.get(found["n"].casefold()) or int(found["n"])
    distance = number * length
    return str(distance) if distance.denominator == 1 else found[0]
