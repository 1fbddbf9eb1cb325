"""Kinds of work listed one after the other, between commas or nothing at all: segments, drills, turns."""

from __future__ import annotations

from itertools import pairwise

from pacer.plan.cutting.token import Token, kinds_of, nothing
from pacer.plan.model import Stroke
from pacer.plan.words.linepatterns import WORK


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


def in_medley_order(tokens: list[Token]) -> list[Token]:
    """`8 x 50 25 drill / 25 swim, IM order x2`: it is for all of a repeat, and the count says how often it fits."""
    at = next((at for at, token in enumerate(tokens) if token.value == Stroke.IM_ORDER), 0)
    if not at or kinds_of(tokens[:3]) != ["NUMBER", "_X", "NUMBER"]:
        return tokens
    made = list(tokens)
    for kinds in (["_LEFT", "_X", "NUMBER", "_RIGHT"], ["_X", "NUMBER"], ["NUMBER", "ROUNDS"], ["NUMBER", "_X"]):
        behind = made[at + 1 : at + 1 + len(kinds)]
        if kinds_of(behind) == kinds and any(each.value and 4 * each.value == tokens[0].value for each in behind):
            del made[at + 1 : at + 1 + len(kinds)]
            break
    if kinds_of(made[at - 2 : at]) == ["NUMBER", "_X"] and 4 * made[at - 2].value == tokens[0].value:  # 2 x IM order
        first = at - 3 if made[at - 3].type == "_AS" else at - 2
        del made[first:at]
        at = first
    between = made[3:at]
    works = [place for place, token in enumerate(between, start=3) if token.type == "ACTIVITY"]
    listed = {*kinds_of(between)} <= {"NUMBER", "ACTIVITY", "_SLASH", "_COMMA"} and len(works) > 1
    if listed and kinds_of(made[at + 1 : at + 2]) != ["_SLASH"]:
        order = made.pop(at)
        if made[at - 1].type == "_COMMA":
            del made[at - 1]
        for place in reversed(works):
            made.insert(place + 1, order.as_a("STROKE"))
    return made
