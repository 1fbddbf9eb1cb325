"""What can be wrong with one line, and the coach's words for what the parser reports."""

from __future__ import annotations

import re

from pacer.language import tr
from pacer.plan.cutting.baretimes import LEAST_PART, is_interval, times_from
from pacer.plan.cutting.token import Token
from pacer.plan.problem import Edit
from pacer.plan.times import SECOND_MS, BadTime, text_from_ms
from pacer.plan.words.linepatterns import WORK


class Mistake(Exception):
    """Something wrong between two places of a line (0-based, `end` exclusive), and ways to correct it."""

    def __init__(self, start: int, end: int, message: str, hint: str = "", *edits: Edit):
        self.start, self.end, self.message, self.hint, self.edits = start, end, message, hint, edits
        super().__init__(message)


class Misspelt(Mistake):
    """A word that nobody knows, near a known one: `meant`; `detail` an example of that."""

    def __init__(self, start: int, end: int, message: str, meant: str, *edits: Edit, detail: str = ""):
        hint = (
            tr("did you mean {meant}, such as “{detail}”?", meant=meant, detail=detail)
            if detail
            else tr("did you mean {meant}?", meant=meant)
        )
        super().__init__(start, end, message, hint, *edits)
        self.meant, self.detail = meant, detail

    def earlier(self, by: int) -> Misspelt:
        """The same, farther to the left; without its edits."""
        return Misspelt(self.start - by, self.end - by, self.message, self.meant, detail=self.detail)


LINE_EXAMPLE = tr("a set looks like “8 x 50 back easy, rest 0:15”")
SECTION_EXAMPLES = tr(
    "such as “3 rounds”, “1 to 3 rounds”, “if time”, “for 15 min”, “at most 10 min”, “run on”, “easy”"
)
SEGMENTS_EXAMPLE = tr("such as “200 as 50 drill / 50 swim”")

#: (token before, token found): message and hint; None means any. `{prev}` and `{got}` are their texts, `{time}` is the
#: token found, written as a time. The first entry of (both), (before, None), (None, found) is used.
EXPLANATIONS: dict[tuple[str | None, str | None], tuple[str, str]] = {
    ("_X", "$END"): (tr("“{prev}” needs a distance"), tr("such as “4 x 100”")),
    ("_X", "_DASH"): (tr("a distance must be more than 0"), tr("write it without the minus, such as “4 x 100”")),
    ("_X", None): (tr("“{prev}” needs a distance, not “{got}”"), tr("such as “4 x 100 free”")),
    ("ON", None): (tr("“{prev}” needs its interval"), tr("such as “on 1:40”, “on 4:00 / 4:20” or “on base+0:15”")),
    ("REST", None): (tr("“{prev}” needs its time"), tr("such as “rest 0:15”")),
    ("HOLD", None): (tr("“{prev}” needs its target time"), tr("such as “hold 1:22” or “hold base+0:03”")),
    ("RATE", None): (tr("“{prev}” needs its stroke rate"), tr("such as “rate 32-40”")),
    ("BY", None): (tr("“{prev}” needs its distance"), tr("such as “200 drill / swim by 50”")),
    ("WITH", None): (tr("“{prev}” needs its gear"), tr("such as “with snorkel and fins”")),
    ("APART", None): (tr("“{prev}” needs its time"), tr("such as “apart 0:10”")),
    ("BASE", "_DASH"): (
        tr("only “base+” and a time can follow here"),
        tr("faster than base? Write the time, such as “on 1:20”"),
    ),
    ("BASE", None): (tr("“{prev}” needs a plus and a time"), tr("such as “on base+0:15”")),
    ("_THEN", None): (tr("“then” needs the next interval"), tr("such as “on 1:40 then 1:35”")),
    ("_AND", None): (tr("“and” needs more gear"), tr("such as “with snorkel and fins”")),
    ("_AS", None): (tr("“as” needs a part with its distance"), SEGMENTS_EXAMPLE),
    ("_ODD", None): (tr("“odd” needs the work for repeats 1, 3, 5"), tr("such as “odd drill / even free”")),
    ("_EVEN", None): (tr("“even” needs the work for repeats 2, 4, 6"), tr("such as “odd drill / even free”")),
    ("_IN_TURN", None): (tr("“in turn” needs the repeats in order"), tr("such as “16 x 50 in turn 3 easy / 1 fast”")),
    ("_REPEATS", None): (tr("“repeats” needs numbers and their work"), tr("such as “repeats 1-4 kick / 5-8 drill”")),
    ("_TO", None): (tr("“to” needs the highest number"), tr("such as “4 to 8 x 100”")),
    ("FOR", None): (tr("“for” needs its time"), tr("such as “for 15 min”")),
    ("AT_MOST", None): (tr("“at most” needs its time"), tr("such as “at most 10 min”")),
    ("_PLUS", None): (tr("“+” needs another set after it"), tr("such as “4 x (3 x 100 on 1:30 + 100 easy on 2:30)”")),
    ("_COMMA", "_COMMA"): (tr("two commas in a row"), tr("one is enough")),
    ("_COMMA", "$END"): (tr("nothing follows the comma"), tr("leave it out, or write the detail that is missing")),
    ("_COMMA", "ACTIVITY"): (
        tr("put everything that is swum before the first comma"),
        tr("leave the comma out, such as “300 choice easy”"),
    ),
    ("_COMMA", "STROKE"): (
        tr("put everything that is swum before the first comma"),
        tr("leave the comma out, such as “300 choice easy”"),
    ),
    ("_COMMA", "EFFORT"): (
        tr("put everything that is swum before the first comma"),
        tr("leave the comma out, such as “300 choice easy”"),
    ),
    ("_COMMA", "_AS"): (tr("write the parts before the first comma"), SEGMENTS_EXAMPLE),
    ("_COMMA", "NUMBER"): (
        tr("a comma needs a detail after it, not a number"),
        tr("such as “8 x 50 free, rest 0:15”; parts have a / between them"),
    ),
    ("_COMMA", "TIME"): (tr("is “{got}” the interval or the rest?"), tr("write “on {time}” or “rest {time}”")),
    ("_DASH", "$END"): (tr("the dash needs a number after it"), tr("such as “50 - 100 - 150” or “rate 32-40”")),
    (None, "_DASH"): (
        tr("a dash has no meaning here"),
        tr("numbers are whole and more than 0; a ladder looks like “50 - 100 - 150”"),
    ),
    ("LABEL", None): (tr("the group needs its own value"), tr("such as “on A 4:00 / B 4:20”")),
    ("TIME", "_SLASH"): (
        tr("this time is the same for all lanes"),
        tr("“on”, “rest” and “hold” can have a value for each lane"),
    ),
    ("NUMBER", "_X"): (tr("one “x” too many"), LINE_EXAMPLE),
    (None, "_X"): (tr("“{got}” goes between a count and a distance"), tr("such as “4 x 100”")),
    (None, "PER_100"): (tr("“per 100” goes after an interval"), tr("such as “on 1:40 per 100”")),
    (None, "BASE"): (tr("“{got}” goes after “on” or “hold”"), tr("such as “on base+0:15” or “hold base+0:03”")),
    (None, "_THEN"): (tr("“then” goes between two intervals"), tr("such as “on 1:40 then 1:35”")),
    (None, "_AND"): (tr("“and” goes between two pieces of gear"), tr("such as “with snorkel and fins”")),
    (None, "_TO"): (tr("“to” goes between two counts"), tr("such as “4 to 8 x 100”")),
    (None, "_RIGHT"): (tr("this bracket closes too early, or none is open"), tr("such as “200 (50 drill / 50 swim)”")),
    **{
        (None, kind): (
            tr("write what is swum before the interval, the rest and the gear"),
            tr("such as “8 x 50 back easy, on 1:00”"),
        )
        for kind in ("ACTIVITY", "STROKE", "EFFORT")
    },
    (None, "_EVEN"): (tr("“even” comes after “odd” and a /"), tr("such as “odd drill / even free”")),
    (None, "TIME"): (tr("is “{got}” the interval or the rest?"), tr("write “on {time}” or “rest {time}”")),
    (None, "LABEL"): (
        tr("didn't expect “{got}” here"),
        tr("write groups before their values, such as “on A 4:00 / B 4:20”"),
    ),
    (None, "CUE"): (
        tr("didn't expect a cue here"),
        tr("write it after a part, at the end of the set or alone on the next line"),
    ),
    (None, "_PLUS"): (
        tr("“+” joins the lines of a group in brackets"),
        tr("such as “4 x (3 x 100 on 1:30 + 100 easy on 2:30)”"),
    ),
    (None, "_LEFT"): (
        tr("didn't expect a bracket here"),
        tr("such as “200 (50 drill / 50 swim)” or “4 x (100 + 50 easy)”"),
    ),
    (None, "_AS"): (tr("didn't expect “as” here"), SEGMENTS_EXAMPLE),
    (None, "NUMBER"): (
        tr("didn't expect a number here"),
        tr("parts come after “as”, with a / between them: “200 as 50 drill / 50 swim”"),
    ),
    (None, "ROUNDS"): (
        tr("didn't expect “{got}” here"),
        tr("write “3 rounds” on a line of its own and indent its sets below it"),
    ),
    ("_SLASH", "NUMBER"): (
        tr("didn't expect a distance here"),
        tr("parts come after the whole distance: “100 as 50 drill / 50 swim”; separate repeats have a + between them"),
    ),
    ("ROUNDS", "CUE"): (tr("rounds can't have a cue"), tr("write it below a set or below the section's name")),
    ("ROUNDS", None): (tr("“{prev}” needs a line of its own"), tr("indent its sets below it")),
    ("$START", "_DASH"): (tr("a set starts with its number: no mark or minus before it"), LINE_EXAMPLE),
    (None, "$END"): (tr("the line ends too early"), LINE_EXAMPLE),
    (None, None): (tr("didn't expect “{got}” here"), LINE_EXAMPLE),
    ("$START", None): (tr("a set starts with a number: how many, or how far"), LINE_EXAMPLE),
}


#: Explanations that are different after a section's name.
SECTION_EXPLANATIONS: dict[tuple[str | None, str | None], tuple[str, str]] = {
    ("_COMMA", "$END"): (tr("nothing follows the comma"), SECTION_EXAMPLES),
    ("_COMMA", "_COMMA"): (tr("two commas in a row"), tr("one is enough")),
    ("FOR", None): EXPLANATIONS["FOR", None],
    ("AT_MOST", None): EXPLANATIONS["AT_MOST", None],
    ("NUMBER", "$END"): (tr("{prev} of what?"), SECTION_EXAMPLES),
    (None, "$END"): (tr("the line ends too early"), SECTION_EXAMPLES),
    (None, "CUE"): (tr("only one cue per section"), tr("put both thoughts into one")),
    (None, None): (tr("didn't expect “{got}” here"), SECTION_EXAMPLES),
}


def explain(tokens: list[Token], place: int, found: Token, closing: bool, section: bool) -> Mistake:
    """Why `found` cannot follow the first `place` tokens of a line.

    `closing`: the line ends, a bracket is open and could be closed. `section`: the line is a section's name.
    """
    before = tokens[place - 1] if place else None
    kinds = [token.type for token in tokens[:place]]
    start, end = found.start, found.end
    if closing:
        close = Edit(start, start, ")", tr("close it with )"))
        return Mistake(start, end, tr("this bracket is not closed"), tr("close it with )"), close)
    if "_ODD" in kinds and "_EVEN" not in kinds and kinds[-1] not in ("_ODD", "_LEFT"):
        return Mistake(start, end, tr("“odd” needs its “even”"), tr("such as “odd drill / even free”"))
    if found.type == "_SLASH" and kinds[-2:] == ["_TO", "NUMBER"]:
        return Mistake(
            start,
            end,
            tr("a range such as 4 to 8 can't be written lane by lane"),
            tr("write “4 to 8 x 100” once: pacer picks each lane's number"),
        )
    if found.type in ("_AND", "_COMMA") and kinds[-4:] == _ONE_TREND and place + 3 < len(tokens):
        place, kinds = place + 1, [*kinds, found.type]
    once_more = place < len(tokens) and tokens[place].type in ("NUMBER", "TREND")  # not a rest
    if once_more and kinds[-5:] in ([*_ONE_TREND, "_COMMA"], [*_ONE_TREND, "_AND"]):
        last = tokens[min(place + 2, len(tokens) - 1)]
        said = f"{tokens[place - 5].value} 1-{tokens[place - 2].text}"
        return Mistake(
            start,
            last.end,
            tr("“{said}” starts again by itself: write it once", said=said),
            tr("{said} is enough", said=said),
            Edit(tokens[place - 2].end, last.end, "", said),
        )
    if found.type == "$END" and place > 1 and kinds[-2:] == ["NUMBER", "_PLUS"] and "_LEFT" not in kinds:  # 100+
        least = Edit(
            tokens[place - 1].start, tokens[place - 1].end, "", tr("{token}, no more", token=tokens[place - 2].text)
        )
        return Mistake(
            tokens[place - 1].start, tokens[place - 1].end, tr("how much more?"), tr("write a distance"), least
        )
    if not place and found.type == "RATE":
        edits = [
            Edit(start, start, f"{each} free, ", tr("{each} free at this rate", each=each)) for each in (200, 100, 50)
        ]
        return Mistake(start, end, tr("how far at this stroke rate?"), tr("such as “200 free, rate 36”"), *edits)
    if found.type == "_AND" and "WITH" not in kinds and "GEAR" not in kinds and place:
        return _and(tokens, place, found)
    if question := _trend(tokens, place, found):
        return question
    prev = before.text if before else ""
    kind = before.type if before else "$START"
    explanations = SECTION_EXPLANATIONS if section else EXPLANATIONS
    for key in ((kind, found.type), (kind, None), (None, found.type), (None, None)):
        if key in explanations:
            message, hint = (text.format(prev=prev, got=found.text, time=_time(found)) for text in explanations[key])
            edits = (
                _edits(tokens, place, before, found)
                or _base(tokens, place, found)
                or _sets_by_slash(tokens, place, found)
                or _in_turn(tokens, place)
            )
            edits = edits or _sets_behind(tokens, place, found)
            return Mistake(start, end, message, hint, *edits)
    raise AssertionError("every line has an explanation")


#: Usual values for words whose value is missing.
_ONE_TREND = ["TREND", "NUMBER", "_DASH", "NUMBER"]  #: `descend 1-4`
_USUAL = {
    "_X": ("50", "100", "25"),
    "REST": ("0:15", "0:10", "0:20"),
    "RATE": ("36",),
    "APART": ("0:10", "0:05"),
    "BY": ("25", "50"),
}


def _trend(tokens: list[Token], place: int, found: Token) -> Mistake | None:
    """`descend 1-` with nothing after the dash: to which repeat?"""
    kinds = [token.type for token in tokens[:place]]
    if kinds[-3:] != ["TREND", "NUMBER", "_DASH"] or found.type == "NUMBER":
        return None
    trend = tokens[place - 3]
    count = tokens[0].value if [token.type for token in tokens[1:2]] == ["_X"] else 0
    ways = list(dict.fromkeys(each for each in (count, 4, 3) if each and each <= (count or each) and each < 10))
    edits = [Edit(tokens[place - 1].end, tokens[place - 1].end, str(each), f"{trend.value} 1-{each}") for each in ways]
    message = tr("“{trend}” from 1 to which repeat?", trend=trend.text)
    return Mistake(trend.start, tokens[place - 1].end, message, tr("such as “{trend} 1-4”", trend=trend.value), *edits)


def _and(tokens: list[Token], place: int, found: Token) -> Mistake:
    """`hold 4 & 5`, `200 easy & out`: an `&` that joins no gear is part of what is said to the swimmers."""
    first = place
    while first > 1 and tokens[first - 1].type not in ("_COMMA", "ON", "REST", "TIME", "TREND", "_RIGHT"):
        first -= 1
    if first < 2 or tokens[first - 1].type != "_COMMA":
        first = place
    last = next(
        (at for at in range(place + 1, len(tokens)) if tokens[at].type in ("_COMMA", "ON", "REST", "_RIGHT", "CUE")),
        len(tokens),
    )
    words = " ".join(token.text for token in tokens[first:last] if token.text)
    before, after = tokens[place - 1], tokens[place + 1] if place + 1 < len(tokens) else found
    far = next((token.value for token in tokens[place::-1] if token.type == "NUMBER"), 0)
    if before.type == after.type and before.type in ("ACTIVITY", "STROKE", "EFFORT") and far and far % 2 == 0:
        parts = f"{before.text}/{after.text} by {far // 2}"
        message = tr("what does “{found}” join here?", found=found.text)
        return Mistake(
            found.start, found.end, message, tr("write {parts}", parts=parts), Edit(before.start, after.end, parts)
        )
    start = tokens[first - 1].start if first < place else tokens[place - 1].end
    quote = Edit(start, tokens[last - 1].end, f' "{words}"', f"“{words}”")
    hint = tr("put it in quotes if it is for the swimmers")
    return Mistake(found.start, found.end, tr("what does “{found}” join here?", found=found.text), hint, quote)


def _edits(tokens: list[Token], place: int, before: Token | None, found: Token) -> list[Edit]:
    """Ways to correct what the parser stops at: a missing value, or a time without a word that says what it is."""
    if before is not None and before.type in _USUAL and found.type != "_DASH":
        usual = ("25", "50") if before.type == "_X" and found.type == "NOTE" else _USUAL[before.type]
        return [Edit(before.end, before.end, f" {each}", f"{before.text} {each}") for each in usual]
    if found.type == "TIME" and found.value is not None:
        times = times_from(tokens, place)
        time = " / ".join(text_from_ms(token.value) for token in times)
        ways = ("on", "rest", "hold") if is_interval(found, tokens[:place]) else ("rest", "on")
        start = before.start if before is not None and before.type == "_SLASH" else found.start
        return [Edit(start, times[-1].end, f"{way} {time}") for way in ways]
    if found.type == "BASE" and before is not None and before.type == "TIME":
        return [Edit(found.start, found.end, "per 100")]  # on a base of 1:40
    return []


def _base(tokens: list[Token], place: int, found: Token) -> list[Edit]:
    """`CSS + 5`, `base + 10`, `base x 3`: the pace, or the interval?"""
    if found.type != "BASE":
        return []
    after = tokens[place + 1] if place + 1 < len(tokens) else None
    pace = found.text.casefold().startswith("css")
    if found.value and after is not None and after.type in ("NUMBER", "TIME") and after.value is not None:
        said = text_from_ms(after.value * SECOND_MS if after.type == "NUMBER" else after.value)
        ways = [f"hold base+{said}", f"on base+{said}"]
        end = after.end
    elif not found.value:
        times = after is not None and after.type == "_X" and place + 2 < len(tokens)
        end = tokens[place + 2].end if times else found.end
        ways = ["hold base", "on base"]
    else:
        return []
    return [Edit(found.start, end, way) for way in (ways if pace else ways[::-1])]


def _in_turn(tokens: list[Token], place: int) -> list[Edit]:
    """`2 on 1:40, 2 on 1:35`: one interval after the other, each for equally many repeats."""
    kinds = [token.type for token in tokens]
    runs = range(place, len(tokens), 4)
    parts = [tokens[at : at + 3] for at in runs]
    if len(parts) < 2 or any([token.type for token in part] != ["NUMBER", "ON", "TIME"] for part in parts):
        return []
    counts = {part[0].value for part in parts}
    if "_X" not in kinds[:place] or len(counts) > 1 or counts.pop() * len(parts) != tokens[0].value:
        return []
    said = "on " + " then ".join(text_from_ms(part[2].value) for part in parts)
    return [Edit(tokens[place].start, tokens[-1].end, said)]


def _sets_behind(tokens: list[Token], place: int, found: Token) -> list[Edit]:
    """`300 swim 200 kick 100 pull`: sets of their own, or segments of the first."""
    kinds = [token.type for token in tokens]
    if found.type != "NUMBER" or not place or kinds[0] != "NUMBER" or kinds[place - 1] not in WORK or "_X" in kinds:
        return []
    starts = [at for at, kind in enumerate(kinds) if kind == "NUMBER" and (not at or kinds[at - 1] in WORK)]
    parts = [tokens[at:end] for at, end in zip(starts, [*starts[1:], len(tokens)])]
    said = [" ".join(token.text for token in part if token.text) for part in parts]
    filled = f"{said[0].split()[0]} as {' / '.join(said[1:])}"
    first, last = tokens[0].start, tokens[-1].end
    values = [part[0].value for part in parts]
    if min(values) < LEAST_PART:
        return []
    edits = [Edit(first, last, " + ".join(said))]
    if values[0] % sum(values[1:]) == 0:
        edits.append(Edit(first, last, filled))
    if {token.type for token in parts[0][1:]} == {"NOTE"}:
        notes = " ".join(token.text for token in parts[0][1:])
        both = [Edit(first, last, f"{filled}, {notes}", filled), edits[0]]  # 300 continuous 25 hard 50 easy
        edits = both if len(edits) > 1 else edits
    return edits


def _sets_by_slash(tokens: list[Token], place: int, found: Token) -> list[Edit]:
    """`300 free / 200 pull`: sets of their own, with a plus between them."""
    if found.type != "NUMBER" or place == 0 or tokens[place - 1].type != "_SLASH":
        return []
    kinds = [token.type for token in tokens]
    if "_X" in kinds and "_LEFT" in kinds:  # 10 x (75 steady / 25 fast)
        first, last = kinds.index("_LEFT"), kinds.index("_RIGHT") if "_RIGHT" in kinds else len(kinds) - 1
        inner = tokens[first + 1 : last]
        total = sum(token.value for token in inner if token.type == "NUMBER")
        said = " ".join(token.text for token in inner)
        return [Edit(tokens[first].start, tokens[last].end, f"{total} as {said}")] if total else []
    first, last = tokens[0].start, tokens[-1].end
    said = "".join(" + " if token.type == "_SLASH" else f" {token.text}" for token in tokens)
    return [Edit(first, last, " ".join(said.split()))]


def _time(token: Token) -> str:
    """A token written as a time, a bare number as seconds; the token's text if it is not a time."""
    if token.type == "NUMBER":
        return text_from_ms(token.value * SECOND_MS)
    return text_from_ms(token.value) if token.type == "TIME" and token.value is not None else token.text


def bad_time(piece: str, at: int, end: int, bad: BadTime, before: str | None) -> Mistake:
    """The mistake about something that looks like a time but is not one."""
    if before in (None, "_X", "_SLASH") and re.fullmatch(r"[0-9]+[.,][0-9]+", piece):
        return Mistake(
            at,
            end,
            tr("distances are whole numbers, but this says {piece}", piece=piece),
            tr("such as “4 x 100”; times have a colon, such as “0:30”"),
            *(Edit(at, end, str(whole)) for whole in (_whole_near(piece) if before == "_X" else ())),
        )
    return Mistake(at, end, bad.message, bad.hint, *(Edit(at, end, way) for way in bad.ways))


def _whole_near(piece: str) -> tuple[int, ...]:
    """The whole distances next to one such as 12.5."""
    below = int(re.split("[.,]", piece)[0])
    return (below, below + 1) if below else ()
