"""Brings the tokens of a line into the one order that the grammar has.

Coaches write `15 s rest` and `rest 0:15`, `1-4 desc` and `descend 1-4`, `kick 4 x 50` and `4 x 50 kick`, with marks
almost anywhere. Each rule here looks only at kinds of tokens, and never drops one that means something.
"""

from __future__ import annotations

from collections.abc import Callable

from pacer.plan.cutting.nextsets import gaps_in_brackets, longer_behind, rest_between_sets, sets_started
from pacer.plan.cutting.oddandeven import others_as_said, parts_by
from pacer.plan.cutting.token import Token, kinds_of
from pacer.plan.cutting.unmarkedparts import (
    between_rounds,
    bracket_on,
    gaps_after_as,
    length_end,
    lists_side_by_side,
    next_sets,
    pattern_last,
    ranges_behind,
    segments_behind,
    segments_filled,
    work_behind_bracket,
    work_first,
    work_for_all,
    work_in_each,
)
from pacer.plan.cutting.worklists import drills_listed, in_medley_order, listed_by, turns_listed, works_listed
from pacer.plan.words.linepatterns import WORK

#: Words for an interval that are written after it.
_BEHIND = frozenset(
    {"turnaround", "turnaround time", "t/a", "cycle", "cyc", "interval", "send off", "send-off", "sendoff", "s/o"}
) | {"repeat time", "intervals", "t/o", "turn around", "cycles"}
_VALUES = frozenset({"NUMBER", "TIME"})
LEAST_DISTANCE = 25  #: of a number alone after a plus; less means seconds
_AFTER_REST: tuple[list[str], ...] = ([], ["_COMMA"], ["WITH"], ["CUE"], ["NOTE"], ["APART"], ["GEAR"])
_OPENS = frozenset({"ON", "REST", "HOLD", "RATE", "WITH", "GEAR", "APART", "TREND", "NOTE", "CUE"})
_PATTERNS = frozenset({"RANGE", "_REPEATS", "_IN_TURN", "_ODD"})
_NO_COLON = frozenset(
    {"ROUNDS", "REST", "ON", "HOLD", "RATE", "APART", "TREND", "_ODD", "_EVEN", "RANGE", "LABEL", "_X", "WITH", "GEAR"}
)


def settled(tokens: list[Token], section: bool = False) -> list[Token]:
    """The tokens in the grammar's order; a `section` needs little settling."""
    if section:
        return _least_and_most(tokens)
    kinds = {token.type for token in tokens}
    for needs, rule in _RULES:
        if needs & kinds:
            made = rule(tokens)
            if made is not tokens and len(made) != len(tokens) or rule is _brackets:
                kinds = {token.type for token in made}
            tokens = made
    return tokens


def _value_list(tokens: list[Token], end: int) -> int:
    """The beginning of the values joined by slashes that end before `end`; `end` if there are none."""
    at = end
    while at > 0 and tokens[at - 1].type in _VALUES:
        at -= 1
        if at > 0 and tokens[at - 1].type == "LABEL":
            at -= 1
        if at > 1 and tokens[at - 1].type == "_SLASH" and tokens[at - 2].type in _VALUES:
            at -= 1
            continue
        break
    return at


def _words_behind(tokens: list[Token]) -> list[Token]:
    """`15 s rest`, `10 / 15 rest`, `5 s apart`: the word goes in front of its values."""
    made = list(tokens)
    for at, token in enumerate(tokens):
        if token.type not in ("REST", "APART", "ON"):
            continue
        after = tokens[at + 1].type if at + 1 < len(tokens) else None
        if token.type == "ON" and token.text.casefold() not in _BEHIND:
            continue
        if after in ("TIME", "BASE") or after in ("NUMBER", "LABEL") and not _length_follows(tokens, at + 1):
            continue
        first = _value_list(tokens, at)
        before = tokens[first - 1].type if first else None
        if before == "ON" and token.type == "ON" and first < at:  # on 1:40 turnaround
            made.remove(token)
            continue
        if first == at or before in ("_X", "ON", "HOLD", "REST", "TREND", "RATE", "_DASH", "BY"):
            continue
        if before is None and tokens[first].type == "NUMBER" and at - first > 1:
            continue
        made[first : at + 1] = [token, *tokens[first:at]]
    return made


def _length_follows(tokens: list[Token], at: int) -> bool:
    """Whether a set begins at a place: a number that is a count or a distance is there."""
    kinds = kinds_of(tokens[at : at + 3])
    return kinds[:2] == ["NUMBER", "_X"] or kinds[:1] == ["NUMBER"] and kinds[1:2] == ["ACTIVITY"]


def _rest_added(tokens: list[Token]) -> list[Token]:
    """`8 x 50 +10`: a time after a plus, with nothing to swim, is rest."""
    made = list(tokens)
    for at in range(1, len(tokens) - 1):
        value = tokens[at + 1]
        plain = value.type == "NUMBER" and not value.unit
        short = value.type == "TIME" or plain and value.value < LEAST_DISTANCE
        own = {*kinds_of(tokens[:at])}
        if tokens[at].type == "_PLUS" and short and kinds_of(tokens[at + 2 : at + 3]) in _AFTER_REST:
            made[at] = tokens[at].as_a("REST")
        odd = plain and value.value < 2 * LEAST_DISTANCE and value.value % LEAST_DISTANCE
        glued = tokens[at].end == value.start and (value.type == "TIME" or odd)
        if tokens[at].type == "_PLUS" and glued and "_X" in own and not {"ON", "REST", "_LEFT", "_NEXT"} & own:
            made[at] = tokens[at].as_a("REST")  # 8 x 150 +30 kick
        said = kinds_of(tokens[at : at + 3]) == ["_PLUS", "REST", "TIME"] and at + 3 == len(tokens)
        if said and not {"ON", "REST"} & own and "_X" in own:  # +15s rest
            made[at] = tokens[at].as_a("_COMMA")
    return made


def _trends_behind(tokens: list[Token]) -> list[Token]:
    """`1-4 desc`: the word goes in front of its repeats."""
    made = list(tokens)
    for at, token in enumerate(tokens):
        if token.type != "TREND" or kinds_of(tokens[at - 3 : at]) != ["NUMBER", "_DASH", "NUMBER"] or at < 4:
            continue
        if tokens[at - 4].type == "_DASH":  # a ladder that descends
            continue
        if tokens[at + 1 : at + 2] and tokens[at + 1].type == "NUMBER":
            continue
        made[at - 3 : at + 1] = [token, *tokens[at - 3 : at]]
    return made


def _work_in_front(tokens: list[Token]) -> list[Token]:
    """`kick 4 x 50`, `easy 400`: the work goes after the distance."""
    lead = 0
    while lead < len(tokens) and tokens[lead].type in WORK | {"GEAR"}:
        lead += 1
        if kinds_of(tokens[lead - 1 : lead + 2]) == ["GEAR", "_AND", "GEAR"]:  # paddles + buoy 4 x 100
            lead += 1
    if not lead or lead == len(tokens):
        return tokens
    at = lead
    if tokens[at].type in ("_COLON", "_COMMA") and at + 1 < len(tokens) and tokens[at + 1].type in _VALUES:
        at += 1
    if kinds_of(tokens[at : at + 3]) == ["NUMBER", "_X", "_LEFT"]:
        return work_in_each(tokens[:lead], tokens[at:])
    if tokens[lead].type == "_COLON":
        tokens = work_for_all(tokens[:lead], tokens, at)
    end = length_end(tokens, at)
    return [*tokens[at:end], *tokens[:lead], *tokens[end:]] if end > at else tokens


def _colons(tokens: list[Token]) -> list[Token]:
    """`8 x 50: 25 kick / 25 swim`: the colon means `as`; after words that open something it means nothing."""
    made: list[Token] = []
    for at, token in enumerate(tokens):
        if token.type == "_COLON" and made:
            before, after = made[-1].type, kinds_of(tokens[at + 1 : at + 3])
            if before in _NO_COLON or before in WORK or not after:
                continue
            if before in _VALUES:
                if after[0] == "NUMBER" and after[1:] and after[1] in WORK:
                    made.append(token.as_a("_AS"))
                    continue
                if after[0] != "TIME":
                    continue
        made.append(token)
    return made


def _brackets(tokens: list[Token]) -> list[Token]:
    """`(rest 20)`, `(with fins)`, `(easy)`: a bracket around a detail or around plain work means nothing."""
    made = list(tokens)
    opened: list[int] = []
    for at, token in enumerate(tokens):
        if token.type == "_LEFT":
            opened.append(at)
        elif token.type == "_RIGHT" and opened:
            first = opened.pop()
            inside = kinds_of(tokens[first + 1 : at])
            before = tokens[first - 1].type if first else None
            if before in (None, "_X", "ROUNDS", "_PLUS", "_ODD", "_EVEN", "RANGE", "_AS") or not inside:
                continue
            plain = all(kind in WORK or kind == "_COMMA" for kind in inside)
            if plain or inside[0] in _OPENS | _PATTERNS and "_X" not in inside:
                made[first] = (
                    token if before == "_COMMA" else Token("_COMMA", "(", None, tokens[first].start, tokens[first].end)
                )
                if before == "_COMMA":
                    made[first] = Token("_COMMA", "", None, tokens[first].start, tokens[first].start)
                made[at] = Token("_COMMA", "", None, token.start, token.start)
    return made


def _least_and_most(tokens: list[Token]) -> list[Token]:
    """`4-8 x 100`, `1-3 rounds`: the smallest and the greatest count."""
    made = list(tokens)
    for at in range(len(tokens) - 3):
        if (
            kinds_of(tokens[at : at + 3]) == ["NUMBER", "_DASH", "NUMBER"]
            and tokens[at + 3].type in ("_X", "ROUNDS")
            and (at == 0 or tokens[at - 1].type in ("_COMMA", "_LEFT", "_PLUS", "_NEXT"))
        ):
            made[at + 1] = tokens[at + 1].as_a("_TO")
    return made


def _lists(tokens: list[Token]) -> list[Token]:
    """Distances one after the other are a ladder; times after `on` are by lane, with commas too."""
    made: list[Token] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        if token.type == "NUMBER" and (not made or made[-1].type in ("_NEXT", "_PLUS")):
            run = [token]
            place = at + 1
            while place < len(tokens):
                step = 2 if tokens[place].type == "_COMMA" else 1
                last = tokens[place + step - 1] if place + step <= len(tokens) else None
                if last is None or last.type != "NUMBER":
                    break
                run.append(last)
                place += step
            follows = tokens[place].type if place < len(tokens) else None
            valued = kinds_of(tokens[place : place + 2]) == ["REST", "TIME"]  # 50, 100, 50 with 15 s rest
            if follows in ("_X", "REST", "APART", "ROUNDS", "_TO", "_DASH", "_SLASH") and len(run) > 1 and not valued:
                run.pop()
            if len(run) > 2 and all(number.value >= LEAST_DISTANCE for number in run):
                for number in run:
                    made += (
                        [number] if number is run[0] else [Token("_DASH", "", None, number.start, number.start), number]
                    )
                at = tokens.index(run[-1]) + 1
                continue
        made.append(token)
        at += 1
    value, time = None, 0
    for place, token in enumerate(made):
        time = token.value or 0 if token.type == "TIME" else time
        if token.type in ("ON", "REST", "HOLD"):
            value = token.type
        elif token.type == "_COMMA" and value and kinds_of(made[place + 1 : place + 3]) in (
            ["TIME"], ["TIME", "_COMMA"], ["TIME", "_SLASH"], ["LABEL", "TIME"],
        ) and _alike(time, made[place + 1]):  # fmt: skip
            made[place] = token.as_a("_SLASH")
        elif token.type not in ("TIME", "NUMBER", "BASE", "LABEL", "_SLASH", "_COLON"):
            value = None
    return made


def _alike(time: int, after: Token) -> bool:
    """Whether the next time can be another lane's, and is not the rest after `on 3:20`; a group's can be any."""
    return after.type == "LABEL" or after.value is not None and time <= 2 * after.value and after.value <= 2 * time


def _count_in_front(tokens: list[Token]) -> list[Token]:
    """`x4 50 kick`: the count goes in front of its x."""
    if kinds_of(tokens[:3]) == ["_X", "NUMBER", "NUMBER"]:
        return [tokens[1], tokens[0], *tokens[2:]]
    return tokens


def _commas(tokens: list[Token]) -> list[Token]:
    """A comma before a count or a distance begins the next set; a comma that separates nothing is left out."""
    made: list[Token] = []
    depth = 0
    as_open = False
    for at, token in enumerate(tokens):
        depth += (token.type == "_LEFT") - (token.type == "_RIGHT")
        as_open = as_open or token.type in ("_AS", "RANGE", "_REPEATS")
        if token.type == "_COMMA":
            after = kinds_of(tokens[at + 1 : at + 3])
            if (
                not after
                or after[0] in ("_COMMA", "_RIGHT", "_PLUS")
                or not made
                or made[-1].type in ("_LEFT", "_NEXT")
            ):
                continue
            if (
                made[-1].type == "NUMBER"
                and kinds_of(made[-4:-1]) == ["TREND", "NUMBER", "_DASH"]
                and after[1:] == ["_DASH"]
            ):
                pass  # desc 1-4, 5-8
            elif after[0] == "_EVEN" or after[0] == "RANGE" and as_open:
                token = token.as_a("_SLASH")
            elif (
                after[0] == "NUMBER"
                or after == ["LABEL", "NUMBER"]
                or after[0] == "TIME"
                and after[1:]
                and after[1] in ("ACTIVITY", "STROKE", "EFFORT")
            ):
                token = token.as_a("_NEXT")
        made.append(token)
    return made


def _counts_behind(tokens: list[Token]) -> list[Token]:
    """`100 free 4 times` becomes `100 free x 4`."""
    if len(tokens) > 3 and kinds_of(tokens[-2:]) == ["NUMBER", "ROUNDS"] and tokens[-3].type in WORK:
        x = tokens[-1].as_a("_X")
        return [*tokens[:-2], x, tokens[-2]]
    return tokens


def _held_per_100(tokens: list[Token]) -> list[Token]:
    """`hold base+0:05 per 100`: such a pace is per 100 anyway."""
    return [
        token
        for at, token in enumerate(tokens)
        if token.type != "PER_100" or kinds_of(tokens[max(at - 3, 0) : at - 1]) != ["HOLD", "BASE"]
    ]


_RULES: tuple[tuple[frozenset[str], Callable[[list[Token]], list[Token]]], ...] = (
    (frozenset({"STROKE"}), in_medley_order),
    (frozenset({"NUMBER"}), sets_started),
    (frozenset({"REST", "APART", "ON"}), _words_behind),
    (frozenset({"_BETWEEN"}), between_rounds),
    (frozenset({"_X"}), _count_in_front),
    (frozenset({"_PLUS"}), _rest_added),
    (frozenset({"TREND"}), _trends_behind),
    (WORK | {"GEAR"}, _work_in_front),
    (frozenset({"_LEFT"}), work_behind_bracket),
    (frozenset({"_COLON"}), _colons),
    (frozenset({"BY"}), listed_by),
    (frozenset({"NAME"}), drills_listed),
    (WORK, works_listed),
    (frozenset({"_ODD", "_EVEN"}), pattern_last),
    (frozenset({"_ODD", "_EVEN", "RANGE"}), parts_by),
    (frozenset({"_ODD", "_EVEN"}), others_as_said),
    (frozenset({"_LEFT"}), _brackets),
    (frozenset({"_DASH"}), _least_and_most),
    (frozenset({"NUMBER"}), _lists),
    (frozenset({"ROUNDS"}), _counts_behind),
    (frozenset({"RANGE"}), ranges_behind),
    (frozenset({"_LEFT"}), bracket_on),
    (frozenset({"_LEFT"}), gaps_in_brackets),
    (frozenset({"_SLASH"}), lists_side_by_side),
    (WORK, work_first),
    (WORK, segments_filled),
    (frozenset({"_AS"}), gaps_after_as),
    (WORK, segments_behind),
    (frozenset({"_IN_TURN"}), turns_listed),
    (WORK, longer_behind),
    (WORK, next_sets),
    (frozenset({"_COMMA"}), _commas),
    (frozenset({"REST"}), rest_between_sets),
    (frozenset({"PER_100"}), _held_per_100),
)
