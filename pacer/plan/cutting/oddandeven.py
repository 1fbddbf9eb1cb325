"""Odd and even repeats and ranges of them: what each part is swum as, and the repeats that a line leaves unsaid."""

from __future__ import annotations

from pacer.plan.cutting.token import Token, kinds_of, nothing
from pacer.plan.model import Activity
from pacer.plan.words.linepatterns import WORK


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
