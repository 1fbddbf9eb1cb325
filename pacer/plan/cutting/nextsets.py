"""Finds where the next set begins on a line: after `then`, after a dash, or after nothing at all."""

from __future__ import annotations

from pacer.plan.cutting.token import Token, kinds_of, nothing
from pacer.plan.words.linepatterns import LEAST_LENGTH, WORK

_ENDS = WORK | {"NUMBER", "TIME", "GEAR", "CUE", "_RIGHT"}  #: what a set can end with
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
                made[-1] = made[-1].as_a("_NEXT") if token.value >= LEAST_LENGTH else made[-1]
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
    if token.value < LEAST_LENGTH or after is not None and after not in _FOLLOWS:
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
        longer = token.type == "NUMBER" and token.value >= max(length, LEAST_LENGTH) and at > 3
        if longer and kinds[at - 1] in WORK | {"TIME", "GEAR"} and (after is None or after in WORK):
            made.append(nothing("_NEXT", token))
        made.append(token)
    return made


def gaps_in_brackets(tokens: list[Token]) -> list[Token]:
    """`(25 fast 25 easy)`: the next distance begins the next part, or the next set of rounds."""
    made: list[Token] = []
    depth = 0
    for token in tokens:
        depth += (token.type == "_LEFT") - (token.type == "_RIGHT")
        distance = token.type == "NUMBER" and (token.value >= LEAST_LENGTH or token.value in (12, 15))
        if depth and distance and made[-1].type in WORK | {"CUE"} and _counted(made):
            made.append(nothing("_NEXT", token))
        made.append(token)
    return made


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
