"""Words that can mean several things: the question about them, and its answers with the likeliest first."""

from __future__ import annotations

import re
from collections.abc import Mapping
from itertools import pairwise

from pacer.language import either, tr
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.cutting.token import Token
from pacer.plan.model import Effort
from pacer.plan.problem import Edit
from pacer.plan.regex import regex
from pacer.plan.times import SECOND_MS, BadTime, ms_from_text, text_from_ms
from pacer.plan.words.linepatterns import GEAR_SAID, REST_AHEAD, WORK
from pacer.plan.words.vocabulary import ASKED, GRADES

NAME_AN_EFFORT = tr("name an effort, such as fast")
#: Words that can be put in quotes: they end at a mark or at the next detail.
_REMARK = regex(
    rf"(?:(?!\s+(?:on|rest|ri|hold|with|w)\s*/?\s*(?:the\s+)?:?(?:[0-9]|{GEAR_SAID})|\s+[0-9:]+\s*(?:s|sec|secs|seconds?)?\s+rest\b)[^,;/()\[\]{{}}\"“”#])*"
)
_WORD = r"[^\W\d_]\w*"
_TIME = r"(?::[0-9]{2}|[0-9]{1,2}:[0-9]{2}|[0-9]{1,3}\s*(?:s|secs?|seconds?)\b|[0-9]{1,3}[\"”″])"
#: An open bracket with words in it.
_BRACKET = regex(r"(?<![x×\d\s])\s*\((?=\s*[^\W\d])")
#: A second time after a time, either of which could be meant: `2:15-2:30`, `30-40 s`.
TIME_TO = regex(rf"\s*[-–]\s*({_TIME})", re.IGNORECASE)
#: A time after a word.
_FLOATING = regex(rf"\s+({_TIME}|[0-9]{{1,2}}\s*min(?:ute)?s?\b)", re.IGNORECASE)
#: Two or more further times: one for each lane.
TIMES_TO = regex(rf"(?:\s*[-–]\s*{_TIME}){{2,}}", re.IGNORECASE)
_COMMAS = regex(rf"(?:\s*,\s*{_TIME}(?!\s*(?:rest|ri?\b))){{2,}}", re.IGNORECASE)
_BY_GROUP = regex(rf"([A-Z])\s*:?\s*({_TIME})(?:\s*[,/;]?\s*(?:[A-Z])\s*:?\s*{_TIME})+")
_OF_GROUP = regex(rf"([A-Z])\s*:?\s*({_TIME})")
_BACK_HOME = regex(rf"(?:back\s+({_WORD})|({_WORD})\s+back)(?![\w'’-])", re.IGNORECASE)
_LAPS = regex(r"(?:laps?|(?P<widths>widths?))(?![\w'’-])", re.IGNORECASE)
#: Metres across a pool, the likeliest first. Common practice, no source.
_WIDTHS = (10, 12, 15)


def meant_time(said: str) -> str:
    """The time that is probably meant by one without a colon, such as `40` or `140`; "" if there is none."""
    if said.casefold().startswith("base"):
        return said
    if said.isdigit() and len(said) == 3 and int(said[1:]) < 60:
        return f"{said[0]}:{said[1:]}"
    try:
        return text_from_ms(int(said) * SECOND_MS if said.isdigit() and len(said) < 4 else ms_from_text(said))
    except BadTime as bad:
        return bad.ways[0] if bad.ways and ":" in bad.ways[0] else ""


def times_listed(said: str) -> str:
    """The times that are probably meant by a list with slashes: `60 / 65` is `1:00 / 1:05`."""
    return " / ".join(meant_time(each.strip(" .:")) or each.strip() for each in re.split(r"/|\bor\b", said))


def which(text: str, at: int, end: int, message: str, ways: list[str]) -> Mistake:
    edits = [Edit(at, end, way) for way in ways]
    return Mistake(at, end, message, tr("write {ways}", ways=either(ways)), *edits, quoted(text, at, end))


def quoted(text: str, at: int, end: int) -> Edit:
    """The edit that quotes the words from a place up to a mark or the next detail, as a cue for the swimmers."""
    bracket = next((found for found in reversed(list(_BRACKET.finditer(text, 0, at)))), None)
    close = text.find(")", end)
    if bracket and close >= 0 and ")" not in text[bracket.end() : at] and "(" not in text[end:close]:
        said = " ".join(text[bracket.end() : close].split())
        if '"' not in said:
            return Edit(bracket.start(), close + 1, f' "{said}"', f"“{said}”")
    remark = _REMARK.match(text, end)
    last = max(end, remark.end() if remark else end)
    words = text[at:last].rstrip()
    last = at + len(words)
    lead = len(text[:at].rstrip().removesuffix(" -").rstrip())
    return Edit(lead, last, f' "{" ".join(words.split())}"', f"“{' '.join(words.split())}”")


def percent(text: str, piece: str, at: int, end: int) -> Mistake:
    """The question about an effort given in per cent."""
    numbers = [min(int(number), 999) for number in re.findall("[0-9]+", piece)]
    value = sum(numbers) // len(numbers)
    bounds = ((70, "easy"), (85, "steady"), (89, "threshold"), (96, "fast"), (999, "sprint"))
    place = next((i for i, (most, _) in enumerate(bounds) if value <= most), len(bounds) - 1)
    ways = [bounds[place][1], *(bounds[i][1] for i in (place - 1, place + 1) if 0 <= i < len(bounds))]
    behind = re.match(r"\s*(?:effort|pace|speed|intensity)\b", text[end:], re.IGNORECASE)
    end += behind.end() if behind else 0
    lead = re.search(r"(?:\b(?:at|in)\s+|@\s*)$", text[:at], re.IGNORECASE)
    at = lead.start() if lead else at
    return which(text, at, end, tr("how hard is {piece}?", piece=piece), ways)


def out_of_ten(text: str, at: int, end: int, grade: int) -> Mistake:
    """The question about an effort out of ten."""
    said = text[at:end]
    lead = re.search(r"(?:\b(?:at|in|effort|rpe|level)\s*:?\s*(?:of\s+)?|@\s*)+$", text[:at], re.IGNORECASE)
    return which(text, lead.start() if lead else at, end, tr("how hard is “{said}”?", said=said), _grades(grade))


def _grades(grade: int) -> list[str]:
    """The efforts that a number out of ten can mean, the likeliest first."""
    likely = GRADES.get(f"rpe {min(grade, 10)}", Effort.EASY)
    order = [Effort.EASY, Effort.STEADY, Effort.THRESHOLD, Effort.FAST, Effort.SPRINT]
    place = order.index(likely)
    return [str(likely), *(str(order[at]) for at in (place - 1, place + 1) if 0 <= at < len(order))]


def asked(text: str, at: int) -> Mistake | None:
    """The question about a word that can mean several things, or an effort given as a number; None for other words."""
    match = _ASKED.match(text, at)
    if not match:
        return None
    said = " ".join(match[0].casefold().split())
    if said == "pace" and (time := re.compile(rf"({_TIME})\s+$").search(text, 0, at)):
        end = match.end()
        ways = [f"on {time[1]} per 100", f"hold {time[1]}"]
        edits = [Edit(time.start(), end, way) for way in ways]
        return Mistake(
            time.start(),
            end,
            tr("“{time} pace” can mean several things", time=time[1]),
            tr("write {ways}", ways=either(ways)),
            *edits,
        )
    if said == "float" and (floating := _FLOATING.match(text, match.end())):
        return _float(text, at, match[0], floating)
    if said in ASKED:
        ways = list(ASKED[said])
        return which(text, at, match.end(), tr("“{said}” can mean several things", said=match[0]), ways)
    if number := re.fullmatch(r"(?:rpe|effort|level|pe)\s*(?:of\s+|:\s*)?([0-9]+)\D*.*", said):
        return out_of_ten(text, at, match.end(), int(number[1]))
    grade = GRADES.get(said)
    ways = [str(grade)] if grade else ["steady", "threshold", "fast"]
    lead = re.search(r"\b(?:in|at)\s+$", text[:at], re.IGNORECASE)
    return which(text, lead.start() if lead else at, match.end(), tr("how hard is “{said}”?", said=match[0]), ways)


def _float(text: str, at: int, word: str, floating: re.Match[str]) -> Mistake:
    """The question about `float 20 seconds`: swum by itself, or a rest after a set?"""
    said = text_from_ms(ms_from_text(floating[1].strip()))
    ways = [f"rest {said}"] if text[:at].strip() else [f"{said} free", f"rest {said}"]
    edits = [Edit(at, floating.end(), f'{way} "{word}"', way) for way in ways]
    return Mistake(at, floating.end(), tr("is this swum, or a rest?"), tr("write {ways}", ways=either(ways)), *edits)


_ASKED = regex(
    rf"(?:{'|'.join(word.replace(' ', r'[ -]') for word in sorted(ASKED, key=len, reverse=True))}"
    r"|(?:rpe|effort|level|pe)\s*(?:of\s+|:\s*)?[0-9]+(?:\s*(?:[-–/]|to)\s*[0-9]+)?(?:\s*/\s*10)?(?:\s+(?:effort|rpe))?"
    r"|z(?:one)?\s?[0-9]|(?:en|sp)\s?[0-9]+|a[1-3](?!:))(?![\w'’-])",
    re.IGNORECASE,
)


def off(text: str, at: int, end: int, before: Token) -> Mistake:
    """The question about `off`: `off 1:00` is usually an interval, `15 s off` a rest."""
    match = re.compile(
        r"\s+(?:the\s+)?(:?[0-9][0-9:.]*(?:\s*/(?!\s*100\b)\s*:?[0-9][0-9:.]*)*)(?:\s*(?:s|secs?|seconds?)\b)?"
    ).match(text, end)
    if match and REST_AHEAD.match(text, end):  # off 15 s rest
        out = Edit(at, match.start(1), "")
        return Mistake(at, end, tr("“off” means the interval, “rest” the rest"), tr("leave “off” out"), out)
    if match:
        time = times_listed(match[1])
        edits = (Edit(at, match.end(), f"on {time}"), Edit(at, match.end(), f"rest {time}"))
        hint = tr("write “on {time}” or “rest {time}”", time=time)
        return Mistake(at, end, tr("is this the interval or the rest?"), hint, *edits)
    if before.type == "NUMBER" and before.value >= 100 and not text[: before.start].strip():  # 200 off
        ways = [f"{before.text} easy", f"{before.text} choice"]
        return which(text, before.start, end, tr("is this an easy swim at the end?"), ways)
    if before.type == "NUMBER" or before.type == "TIME" and before.value is not None:
        time = text_from_ms(before.value if before.type == "TIME" else before.value * SECOND_MS)
        edits = (Edit(before.start, end, f"rest {time}"), Edit(before.start, end, f"on {time}"))
        return Mistake(
            before.start,
            end,
            tr("is this the rest or the interval?"),
            tr("write “rest {time}” or “on {time}”", time=time),
            *edits,
        )
    return Mistake(at, end, tr("“off” needs its time"), tr("such as “on 1:00” or “rest 0:15”"), quoted(text, at, end))


_FEWER = r"(?:lanes?|ln|l|groups?|gps?|grps?|g)\s*([1-9])\s*(?:[:=]|do(?:es)?|just|only|x)?\s*([0-9]{1,2})"
_ALL_FEWER = regex(rf"\(\s*{_FEWER}(?:\s*[,;/&]?\s*(?:and\s+)?{_FEWER})*\s*\)", re.IGNORECASE)
_ONE_FEWER = regex(_FEWER, re.IGNORECASE)


def counts_by_lane(text: str, tokens: list[Token], at: int) -> Mistake | None:
    """The question about `(lane 3: 8)`, `(gp 2 do 10, gp 3 do 8)` after a set: fewer repeats for some."""
    match = _ALL_FEWER.match(text, at)
    if match is None or [token.type for token in tokens[:2]] != ["NUMBER", "_X"]:
        return None
    count, counts = tokens[0], [tokens[0].value]
    for lane, number in _ONE_FEWER.findall(match[0]):
        if int(lane) <= len(counts) or int(number) >= count.value:
            return None
        counts += [counts[-1]] * (int(lane) - 1 - len(counts)) + [int(number)]
    said = " / ".join(map(str, counts))
    behind = f"{text[count.end : at].rstrip()}"
    whole = Edit(count.start, match.end(), f"{said}{behind}", f"{said} x")
    words = " ".join(match[0].strip("() ").split())
    note = Edit(at, match.end(), f'"{words}"', f"“{words}”")
    return Mistake(
        at, match.end(), tr("how many for each lane or group?"), tr("write {said} x", said=said), whole, note
    )


#: `(55/65/75)`, which can be the times of lanes one after the other.
_TIMES_SAID = regex(r"\(\s*([0-9]{2,3}(?:\s*/\s*[0-9]{2,3})+)\s*\)")


def times_in_bracket(text: str, length: int, at: int) -> Mistake | None:
    """The question about `2 x 50 (55/65/75)`: the interval, or the rest? None for distances that fill the repeat."""
    match = _TIMES_SAID.match(text, at)
    numbers = [int(number) for number in re.findall("[0-9]+", match[1])] if match else []
    if match is None or not length or length % sum(numbers) == 0 or length > 2 * min(numbers):
        return None
    said = times_listed(match[1])
    edits = [Edit(at, match.end(), f"{way} {said}") for way in ("on", "rest")]
    hint = tr("write “on {time}” or “rest {time}”", time=said)
    cue = Edit(at, match.end(), f'"{match[1]}"', f"“{match[1]}”")
    return Mistake(at, match.end(), tr("is this the interval or the rest?"), hint, *edits, cue)


def note_repeated(text: str, tokens: list[Token], at: int, more: re.Match[str]) -> Mistake:
    """The question about `6 x 100 pull, breathe 3/5/7 x 2`: how often the set, or the pattern?"""
    first, note = tokens[0], tokens[-1]
    said = " ".join(text[note.start : more.end()].split())
    whole = f"{more[1]} x {text[first.start : at].rstrip()}"
    edits = [Edit(note.start, more.end(), f'"{said}"', f"“{said}”"), Edit(first.start, more.end(), whole, whole)]
    message = tr("is the set swum {count} times, or is this part of the note?", count=more[1])
    return Mistake(at, more.end(), message, tr("put it in quotes if it is for the swimmers"), *edits)


def up_and_back(text: str, tokens: list[Token], there: re.Match[str]) -> Mistake:
    """The question about `drill down swim back`, which does not say how far out is."""
    first = next((at for at in range(len(tokens), 0, -1) if tokens[at - 1].type not in WORK), len(tokens))
    start = tokens[first].start if first < len(tokens) else there.start()
    out, home = text[start : there.start()].strip(" ,"), there[1]
    distance = next((token.value for token in tokens if token.type == "NUMBER" and token.value >= 25), 50)
    half = distance // 2
    return Mistake(
        start,
        there.end(),
        tr("how far out, and how far back?"),
        tr("write “as {half} {out} / {half} {home}”", half=half, out=out, home=home),
        Edit(start, there.end(), f"as {half} {out} / {half} {home}"),
        quoted(text, there.start(), there.end()),
    )


def choice_of(text: str, tokens: list[Token], at: int, words: Mapping[str, tuple[str, object]]) -> Mistake | None:
    """The question about the words at a place, after `tokens`; None if they have one meaning or none."""
    kinds = [token.type for token in tokens[-2:]]
    letter = text[at : at + 1].isupper() and not text[at + 1 : at + 2].isalpha()
    if kinds == ["EFFORT", "_COMMA"] and (home := _BACK_HOME.match(text, at)):
        type_, value = words.get((home[1] or home[2]).casefold(), ("", None))
        if type_ == "EFFORT":
            return _there_and_back(tokens, home, str(value))
    if letter and kinds[-1:] != ["ON"] and "_SLASH" not in kinds and (groups := _BY_GROUP.match(text, at)):
        said = " / ".join(f"{group} {meant_time(time)}" for group, time in _OF_GROUP.findall(groups[0]))
        edits = [Edit(at, groups.end(), f"{way} {said}") for way in ("on", "rest")]
        hint = tr("write “on {said}” or “rest {said}”", said=said)
        return Mistake(at, groups.end(), tr("is this the interval or the rest of each group?"), hint, *edits)
    return None


def alternative(text: str, tokens: list[Token], at: int, end: int, words: Mapping[str, tuple[str, object]]) -> Mistake:
    """`IM or free`, `on 2:15 or 2:30`, `(or 20 s rest)`: which of the two?"""
    before = tokens[-1]
    if before.type == "_LEFT" and ")" in text[end:]:
        close = text.index(")", end) + 1
        said = text[at : close - 1].strip()
        cue = Edit(before.start, close, f'"{said}"', f"“{said}”")
        out = Edit(before.start, close, "", tr("without “{said}”", said=said))
        hint = tr("leave “{said}” out, or quote it as a note", said=said)
        return Mistake(before.start, close, tr("a set can't have an “or”"), hint, out, cue)
    cue = quoted(text, at, end)
    time = re.compile(rf"\s+({_TIME})((?:\s+or\s+{_TIME})*)", re.IGNORECASE).match(text, end)
    word = re.compile(rf"\s+({_WORD})").match(text, end)
    if before.type == "TIME" and time:
        others = " / ".join([time[1], *re.findall(_TIME, time[2])])
        ways = [
            Edit(at, time.end(), f"/ {others}", tr("{before} / {others}, by lane", before=before.text, others=others))
        ]
        ways.append(Edit(before.end, time.end(), "", before.text))
        return Mistake(
            before.start,
            time.end(),
            tr("{before}, or {time}?", before=before.text, time=time[1]),
            tr("write one, or both with a /"),
            *ways,
        )
    if before.type in WORK and word and words.get(word[1].casefold(), ("",))[0] in WORK:
        ways = [Edit(before.end, word.end(), "", before.text), Edit(before.start, word.end(), word[1])]
        return Mistake(
            before.start,
            word.end(),
            tr("{before}, or {word}?", before=before.text, word=word[1]),
            tr("write one of them"),
            *ways,
            cue,
        )
    return Mistake(at, end, tr("don't know “or”"), tr("put it in quotes if it is for the swimmers"), cue)


def one_of_two_times(start: int, one: str, other: str, end: int, word: str = "") -> Mistake:
    """`on 2:15-2:30`, `rest 30-40 s`: the shorter, the longer, or one for each lane? `word` is missing before them."""
    times = [meant_time(one) or one, meant_time(other) or other]
    edits = [Edit(start, end, word + time) for time in (*times, " / ".join(times))]
    hint = tr(
        "write {time}, {second_time}, or {times} for the lanes",
        time=times[0],
        second_time=times[1],
        times=" / ".join(times),
    )
    return Mistake(start, end, tr("{time}, or {second_time}?", time=times[0], second_time=times[1]), hint, *edits)


def each_faster(text: str, tokens: list[Token], count: int, at: int) -> Mistake | None:
    """`4 x 100 on 1:50 - 1:45 - 1:40 - 1:35`: from one repeat to the next, or one for each lane?"""
    match = (_COMMAS if text[at] == "," else TIMES_TO).match(text, at) if tokens else None
    if match is None or not count:
        return None
    times = [tokens[-1].text, *re.split(r"\s*[-–,]\s*", match[0].strip(" -–,"))]
    try:
        falling = all(ms_from_text(one) > ms_from_text(other) for one, other in pairwise(times))
    except BadTime:
        return None
    if count % len(times) or not falling:
        return None
    word = "" if len(tokens) > 1 and tokens[-2].type in ("ON", "REST", "HOLD") else "on "
    ways = [f"{word}{joint.join(times)}" for joint in (" then ", " / ")]
    edits = [Edit(tokens[-1].start, match.end(), way) for way in ways]
    message = tr("from one repeat to the next, or one for each lane?")
    return Mistake(tokens[-1].start, match.end(), message, tr("write {ways}", ways=" or ".join(ways)), *edits)


def one_to_other(text: str, tokens: list[Token], at: int, end: int, one: str, other: str) -> Mistake:
    """`easy-fast`: one half, then the other, or one repeat and then the next?"""
    length = next((token.value for token in reversed(tokens) if token.type == "NUMBER"), 0)
    ways = [f"{one} / {other} by {length // 2}"] if length and length % 2 == 0 else []
    ways += [f"odd {one} / even {other}", "build"]
    edits = [Edit(at, end, way) for way in ways]
    return Mistake(
        at,
        end,
        tr("which repeats are {one}, and which {other}?", one=one, other=other),
        tr("write {ways}", ways=either(ways)),
        *edits,
        quoted(text, at, end),
    )


def _there_and_back(tokens: list[Token], home: re.Match[str], effort: str) -> Mistake:
    """`sprint, back easy`: one length and the next, or the stroke?"""
    first = tokens[-2]
    length = next((token.value for token in tokens if token.type == "NUMBER" and token.value >= 25), 0)
    ways = [f"odd {first.text} / even {effort}"]
    if length >= 50:
        ways.insert(0, f"as {length // 2} {first.text} / {length // 2} {effort}")
    edits = [Edit(first.start, home.end(), way) for way in ways]
    hint = tr("write {ways}", ways=either(ways))
    return Mistake(first.start, home.end(), tr("is this the way back, or the stroke?"), hint, *edits)


def laps(text: str, at: int, number: int, length: int) -> Mistake | None:
    """`2 laps`: there and back, or one length each?"""
    match = _LAPS.match(text, at)
    if match is None:
        return None
    start = len(text[:at].rstrip().rstrip("0123456789"))
    said = f"{number} {match[0]}"
    if match["widths"]:
        edits = [Edit(start, match.end(), f"{number} x {each}") for each in _WIDTHS]
        hint = tr("write {number} x {width} for {width} m each", number=number, width=_WIDTHS[0])
        return Mistake(start, match.end(), tr("how far is “{said}”?", said=said), hint, *edits)
    ways = [number * length * 2, number * length]
    edits = [Edit(start, match.end(), str(way)) for way in ways]
    return Mistake(
        start,
        match.end(),
        tr("how far is “{said}”?", said=said),
        tr("write {way} or {second_way}", way=ways[0], second_way=ways[1]),
        *edits,
    )
