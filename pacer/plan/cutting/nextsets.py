"""Finds where the next set begins on a line: after `then`, after a dash, or after nothing at all."""

from __future__ import annotations

from itertools import pairwise

from pacer.plan.cutting.token import Token, kinds_of
from pacer.plan.model import Activity
from pacer.plan.words.linepatterns import WORK

LEAST = 25  #: the least distance that can be a set of its own

_ENDS = WORK | {"NUMBER", "TIME", "GEAR", "CUE", "_RIGHT"}  #: what a set can end with
_JOINTS = frozenset({"_THEN", "_AND", "_DASH", "_COMMA"})
_FOLLOWS = WORK | {
    "_COMMA",
    "ON",
    "REST",
    "HOLD",
    "WITH",
    "GEAR",
    "_RIGHT",
    "_AS",
    "_X",
    "_LEFT",
    "CUE",
    "_NEXT",
    "_PLUS",
}


def nothing(type_: str, before: Token) -> Token:
    """A mark in front of a token that the coach did not write."""
    return Token(type_, "", None, before.start, before.start)


def sets_started(tokens: list[Token]) -> list[Token]:
    """`4 x 50 kick then 200 swim`, `1 x 400 2 x 200`, `300 swim - 200 kick`: each count begins a set."""
    kinds = kinds_of(tokens)
    if not ("_X" in kinds[2:] or "_THEN" in kinds or "_AND" in kinds or "_DASH" in kinds):
        return tokens
    made: list[Token] = []
    for at, token in enumerate(tokens):
        before = made[-1].type if made else None
        if token.type == "NUMBER" and at and _counted(made):
            if _is_count(kinds, at) and before in _ENDS and not _is_value(made):
                made.append(nothing("_NEXT", token))
            elif before in ("_THEN", "_AND") and _begins(kinds, at, token, before) and not _is_segment(made, token):
                made[-1] = made[-1].as_a("_NEXT")
            elif before == "_DASH" and kinds[at - 2] in WORK and kinds[at + 1 : at + 2] and kinds[at + 1] in WORK:
                made[-1] = made[-1].as_a("_NEXT") if token.value >= LEAST else made[-1]
        made.append(token)
    return made


def _counted(made: list[Token]) -> bool:
    """Whether something is counted already in the set so far."""
    for token in reversed(made):
        if token.type in ("NUMBER", "TIME"):
            return True
        if token.type in ("_NEXT", "_LEFT", "_PLUS"):
            return False
    return False


def _is_count(kinds: list[str], at: int) -> bool:
    return kinds[at + 1 : at + 2] == ["_X"] and kinds[at + 2 : at + 3] in (["NUMBER"], ["TIME"], ["_LEFT"])


def _is_value(made: list[Token]) -> bool:
    """Whether a number comes next that the words before it need: `x 4 x 50`, `on 4 x …`."""
    return made[-1].type == "NUMBER" and len(made) > 1 and made[-2].type in ("ROUNDS", "LABEL")


def _begins(kinds: list[str], at: int, token: Token, joint: str) -> bool:
    """Whether a number after `then` or `and` is the distance of a set, or its count."""
    if _is_count(kinds, at):
        return True
    after = kinds[at + 1] if at + 1 < len(kinds) else None
    if token.value < LEAST or after is not None and after not in _FOLLOWS:
        return False
    if joint == "_THEN" and after not in WORK:  # on 100 then 95
        place = at - 1
        while place > 0 and kinds[place - 1] in ("NUMBER", "TIME", "_THEN", "_SLASH"):
            place -= 1
        return kinds[place - 1] != "ON"
    return True


def _is_segment(made: list[Token], token: Token) -> bool:
    """Whether a number after `and` is the next part of each repeat: `8 x 50 25 kick and 25 swim`."""
    kinds = kinds_of(made)
    numbers = [each for each in made if each.type == "NUMBER"]
    start = max((at for at, kind in enumerate(kinds) if kind == "_NEXT"), default=-1) + 1
    own = [each.value for each in made[start:] if each.type == "NUMBER"]
    if "_X" in kinds[start:] and kinds[start : start + 2] == ["NUMBER", "_X"]:
        own = own[1:]
    return bool(numbers) and len(own) > 1 and sum(own[1:]) + token.value <= own[0]


def longer_behind(tokens: list[Token]) -> list[Token]:
    """`4 x 50 kick 200 swim`: a distance that is no part of the repeat is a set of its own."""
    kinds = kinds_of(tokens)
    if kinds[1:3] != ["_X", "NUMBER"] or kinds.count("NUMBER") < 3:
        return tokens
    if {"_AS", "_LEFT", "_ODD", "_IN_TURN", "RANGE", "_REPEATS"} & {*kinds}:
        return tokens
    length, made = tokens[2].value, []
    for at, token in enumerate(tokens):
        after = kinds[at + 1] if at + 1 < len(kinds) else None
        longer = token.type == "NUMBER" and token.value >= max(length, LEAST) and at > 3
        if longer and kinds[at - 1] in WORK | {"TIME", "GEAR"} and (after is None or after in WORK):
            made.append(nothing("_NEXT", token))
        made.append(token)
    return made


def listed_by(tokens: list[Token]) -> list[Token]:
    """`kick, drill, swim, swim by 25`: activities between commas are the segments, as they are between slashes."""
    by = kinds_of(tokens).index("BY")
    first, commas = by, []
    while first > 1 and tokens[first - 1].type == "ACTIVITY":
        first -= 1
        if tokens[first - 1].type != "_COMMA" or tokens[first - 2].type not in WORK | {"NUMBER"}:
            break
        commas.append(first - 1)
        first -= 1
    if commas and tokens[commas[-1] - 1].type != "ACTIVITY":
        lead = commas.pop()
    else:
        lead = -1
    if len(commas) < 2:
        return tokens
    made = [token.as_a("_SLASH") if at in commas else token for at, token in enumerate(tokens)]
    return [token for at, token in enumerate(made) if at != lead]


def drills_listed(tokens: list[Token]) -> list[Token]:
    """`4 x 50 drill - catch up, fist, 6-1-6, choice`: one drill for each repeat, one after the other."""
    kinds = kinds_of(tokens)
    first = kinds.index("NAME")
    while first and kinds[first - 1] in WORK | {"_COMMA"}:
        first -= 1
    items: list[list[Token]] = [[]]
    end = first
    while end < len(tokens) and kinds[end] in WORK | {"_COMMA"}:
        if kinds[end] == "_COMMA":
            items.append([])
        else:
            items[-1].append(tokens[end])
        end += 1
    lead = items.pop(0) if not any(token.type == "NAME" for token in items[0]) else []
    items = [item for item in items if item]
    named = sum(any(token.type == "NAME" for token in item) for item in items)
    if named < 2 or len(items) < 3 or kinds[:3] != ["NUMBER", "_X", "NUMBER"] or tokens[0].value % len(items):
        return tokens
    drill = next((token for token in [*lead, *items[0]] if token.type == "ACTIVITY"), None)
    if drill is None:
        return tokens
    at = items[0][0]
    rest = [token for token in lead if token is not drill]
    made = [*tokens[:first], *rest, nothing("_IN_TURN", at)]
    for place, item in enumerate(items):
        mark = item[0]
        made += [nothing("_SLASH", mark)] if place else []
        own = [token for token in item if token is not drill]
        if not any(token.type == "ACTIVITY" for token in own):
            own.insert(0, drill if not place else Token("ACTIVITY", "", drill.value, mark.start, mark.start))
        made += [Token("NUMBER", "", 1, mark.start, mark.start), *own]
    return [*made, *tokens[end:]]


def works_listed(tokens: list[Token]) -> list[Token]:
    """`fl bk br fr`, `kick drill swim by 25`: three kinds of work, or two by a distance, one after the other."""
    kinds = kinds_of(tokens)
    if kinds.count("STROKE") < 2 and kinds.count("ACTIVITY") < 2 and kinds.count("EFFORT") < 2:
        return tokens
    made: list[Token] = []
    at = 0
    while at < len(tokens):
        kind = kinds[at]
        end = at + 1
        while kind in ("STROKE", "ACTIVITY", "EFFORT") and end < len(tokens):
            step = 2 if kinds[end] == "_COMMA" else 1
            if kinds[end + step - 1 : end + step] != [kind]:
                break
            end += step
        run = [token for token in tokens[at:end] if token.type != "_COMMA"]
        several = all(one.value != other.value for one, other in pairwise(run)) and all(token.text for token in run)
        least = 2 if "BY" in kinds[end:] and kind == "ACTIVITY" and end - at == len(run) else 3
        beside = {*kinds[max(at - 1, 0) : at], *kinds[end : end + 1]} & {"_SLASH", "NAME"}
        if len(run) >= least and several and not beside:
            for token in run:
                made += [token] if token is run[0] else [nothing("_SLASH", token), token]
        else:
            made += tokens[at:end]
        at = end
    return made


def gaps_in_brackets(tokens: list[Token]) -> list[Token]:
    """`(25 fast 25 easy)`: the next distance begins the next part, or the next set of rounds."""
    made: list[Token] = []
    depth = 0
    for token in tokens:
        depth += (token.type == "_LEFT") - (token.type == "_RIGHT")
        distance = token.type == "NUMBER" and (token.value >= LEAST or token.value in (12, 15))
        if depth and distance and made[-1].type in WORK | {"CUE"} and _counted(made):
            made.append(nothing("_NEXT", token))
        made.append(token)
    return made


def turns_listed(tokens: list[Token]) -> list[Token]:
    """`in 3s: easy, steady, fast`: commas between the turns are slashes; brackets around them mean nothing."""
    kinds = kinds_of(tokens)
    at = kinds.index("_IN_TURN")
    count = tokens[at].value
    if count is None:
        return tokens
    made, found, place = tokens[: at + 1], 0, at + 1
    if kinds[place : place + 1] == ["_LEFT"]:
        place += 1
    while place < len(tokens) and kinds[place] in WORK:
        while place < len(tokens) and kinds[place] in WORK:
            made.append(tokens[place])
            place += 1
        found += 1
        if found == count or kinds[place : place + 1] not in (["_COMMA"], ["_SLASH"], ["_NEXT"]):
            break
        made.append(tokens[place].as_a("_SLASH"))
        place += 1
    place += kinds[place : place + 1] == ["_RIGHT"]
    return [*made, *tokens[place:]] if found == count else tokens


def parts_by(tokens: list[Token]) -> list[Token]:
    """`odds kick/swim by 25, evens drill/swim by 25`: each part has its own segments."""
    tokens = _parts_filled(tokens)
    kinds = kinds_of(tokens)
    if "BY" not in kinds:
        return tokens
    made: list[Token] = []
    at = 0
    while at < len(tokens):
        made.append(tokens[at])
        if kinds[at] not in ("_ODD", "_EVEN", "RANGE"):
            at += 1
            continue
        parts: list[list[Token]] = [[]]
        end = at + 1
        while end < len(tokens) and (
            kinds[end] in WORK or kinds[end] == "_SLASH" and kinds[end + 1 : end + 2] != ["_EVEN"]
        ):
            if kinds[end] == "_SLASH":
                parts.append([])
            else:
                parts[-1].append(tokens[end])
            end += 1
        by = tokens[end : end + 2]
        if len(parts) < 2 or kinds_of(by) != ["BY", "NUMBER"] or not all(parts):
            at += 1
            continue
        made.append(nothing("_LEFT", parts[0][0]))
        for place, part in enumerate(parts):
            if place:
                made.append(nothing("_SLASH", part[0]))
            made += [Token("NUMBER", by[1].text if not place else "", by[1].value, by[1].start, by[1].end), *part]
        made.append(Token("_RIGHT", "", None, by[1].end, by[1].end))
        at = end + 2
    return made


def _parts_filled(tokens: list[Token]) -> list[Token]:
    """`1-4 build, 5-8 25 fast 25 easy`: the distances after a part's numbers are its segments."""
    kinds = kinds_of(tokens)
    made: list[Token] = []
    at = 0
    while at < len(tokens):
        made.append(tokens[at])
        opens = kinds[at] in ("_ODD", "_EVEN", "RANGE")
        at += 1
        end, parts = at, 0
        while opens and kinds[end : end + 1] == ["NUMBER"] and kinds[end + 1 : end + 2] and kinds[end + 1] in WORK:
            end += 1
            while end < len(tokens) and kinds[end] in WORK:
                end += 1
            parts += 1
            if kinds[end : end + 2] == ["_SLASH", "NUMBER"]:
                end += 1
        if parts > 1:
            made.append(nothing("_LEFT", tokens[at]))
            for place in range(at, end):
                if place > at and kinds[place] == "NUMBER" and kinds[place - 1] != "_SLASH":
                    made.append(nothing("_SLASH", tokens[place]))
                made.append(tokens[place])
            made.append(Token("_RIGHT", "", None, tokens[end - 1].end, tokens[end - 1].end))
            at = end
    return made


def others_as_said(tokens: list[Token]) -> list[Token]:
    """`8 x 50 kick, evens fast`: the odd ones are swum as the set says."""
    kinds = kinds_of(tokens)
    if ("_ODD" in kinds) == ("_EVEN" in kinds) or "_NEXT" in kinds or "_LEFT" in kinds:
        return tokens
    at = kinds.index("_ODD" if "_ODD" in kinds else "_EVEN")
    end = at + 1
    while end < len(tokens) and kinds[end] in WORK:
        end += 1
    if end == at + 1 or "NUMBER" not in kinds[:at] or kinds[end : end + 1] == ["_SLASH"]:
        return tokens
    base = [token for token in tokens[:at] if token.type in WORK - {"NOTE"}]
    copies = [Token(token.type, "", token.value, tokens[at].start, tokens[at].start) for token in base]
    if any(token.type == "NAME" for token in base):
        return tokens
    other = copies or [Token("ACTIVITY", "", Activity.SWIM, tokens[at].start, tokens[at].start)]
    mine = tokens[at + 1 : end]
    if kinds[at] == "_ODD":
        both = [tokens[at], *mine, nothing("_EVEN", tokens[end - 1]), *other]
    else:
        both = [nothing("_ODD", tokens[at]), *other, tokens[at], *mine]
    return [*tokens[:at], *both, *tokens[end:]]


def rest_between_sets(tokens: list[Token]) -> list[Token]:
    """`300 free, 200 back, 100 IM (20 s between)`: a rest between sets without a time of their own is for each."""
    kinds = kinds_of(tokens)
    last = max((at for at, kind in enumerate(kinds) if kind == "_NEXT"), default=-1)
    rest = next((at for at in range(last + 1, len(tokens)) if tokens[at].value == "between"), -1)
    if last < 0 or rest < 0 or kinds[rest + 1 : rest + 2] not in (["TIME"], ["NUMBER"]):
        return tokens
    if {"TIME", "ON", "REST", "_LEFT"} & {*kinds[:rest]}:
        return tokens
    made: list[Token] = []
    for token in tokens:
        made += tokens[rest : rest + 2] if token.type == "_NEXT" else []
        made.append(token)
    return made
