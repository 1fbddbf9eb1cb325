"""Finds a set's segments, and the next set, when nothing marks them."""

from __future__ import annotations

from pacer.plan.cutting.token import Token, kinds_of, nothing
from pacer.plan.words.linepatterns import LEAST_LENGTH, WORK

_VALUES = frozenset({"NUMBER", "TIME"})
_JOINTS = frozenset({"_COMMA", "_SLASH", "_PLUS", "_AND", "_THEN"})  #: what can be between segments


def segments_filled(tokens: list[Token]) -> list[Token]:
    """`8 x 50 - 25 drill, 25 swim`: distances that fill the repeat are its segments, whatever is between them."""
    if (turns := _turns(tokens)) is not tokens:
        return turns
    for at in range(len(tokens) - 2):
        if tokens[at].type != "NUMBER" or tokens[at + 1].type not in ("_COMMA", "_DASH", "_AS", "NUMBER", "_ALTERNATE"):
            continue
        counted = at > 1 and tokens[at - 1].type == "_X"
        opens = tokens[at + 1].type
        if opens == "_COMMA" and not counted or opens == "_DASH" and at and tokens[at - 1].type == "_DASH":
            continue
        starts, end = _parts(tokens, at + 1 if opens == "NUMBER" else at + 2)
        total = sum(tokens[start].value for start in starts)
        filled = total and tokens[at].value % total == 0
        while opens == "_AS" and not filled and len(starts) > 2:  # the next set comes after them
            end = starts.pop()
            total = sum(tokens[start].value for start in starts)
            filled = tokens[at].value % total == 0
        if opens == "_AS" and not filled:
            starts, end = _parts(tokens, at + 2)
        if opens == "_DASH" and not counted and (not total or tokens[at].value % total):  # a ladder
            continue
        if len(starts) < 2 or not (filled or opens == "_AS" or total < 25):
            continue
        made = tokens[: at + 1]
        made.append(tokens[at + 1].as_a("_AS") if opens != "NUMBER" else nothing("_AS", tokens[at + 1]))
        for start, stop in zip(starts, [*starts[1:], end]):
            part = tokens[start:stop]
            joint = part.pop() if part[-1].type in _JOINTS else None
            made += part
            if stop == end and joint is not None and stop < len(tokens):
                made.append(joint)
            if stop != end:
                made.append(joint.as_a("_SLASH") if joint else nothing("_SLASH", tokens[stop]))
        return made + tokens[end:]
    return tokens


def gaps_after_as(tokens: list[Token]) -> list[Token]:
    """`400 easy as 50 free 50 back`: the segments have no marks between them."""
    at = kinds_of(tokens).index("_AS")
    starts, end = _parts(tokens, at + 1)
    if len(starts) < 2 or tokens[at - 1].type not in WORK:
        return tokens
    made = tokens[: at + 1]
    for start, stop in zip(starts, [*starts[1:], end]):
        made += tokens[start:stop]
        if stop != end and made[-1].type not in _JOINTS:
            made.append(nothing("_SLASH", tokens[stop]))
    return [*made, *tokens[end:]]


def segments_behind(tokens: list[Token]) -> list[Token]:
    """`6 x 50 on 1:00 25 drill 25 swim`: the segments come after the details."""
    kinds = kinds_of(tokens)
    if kinds[1:3] != ["_X", "NUMBER"] or kinds.count("NUMBER") < 4:
        return tokens
    if {"_AS", "_LEFT", "_NEXT", "_ODD", "RANGE"} & {*kinds}:
        return tokens
    for at in range(4, len(tokens) - 3):
        if kinds[at] != "NUMBER" or kinds[at - 1] not in ("TIME", "_COMMA", "GEAR"):
            continue
        starts, end = _parts(tokens, at)
        total = sum(tokens[start].value for start in starts)
        if len(starts) < 2 or not total or tokens[2].value % total or any(tokens[s].value < 10 for s in starts):
            continue
        made = [*tokens[: at - (kinds[at - 1] == "_COMMA")], nothing("_AS", tokens[at])]
        for start, stop in zip(starts, [*starts[1:], end]):
            part = tokens[start:stop]
            joint = [part.pop()] if part[-1].type in _JOINTS else []
            made += [*([nothing("_SLASH", part[0])] if start != at else []), *part]
            made += joint if stop == end and end < len(tokens) else []
        return made + tokens[end:]
    return tokens


def _turns(tokens: list[Token]) -> list[Token]:
    """`10 x 50 free, 1 hard 1 easy`: small numbers after the set's work are repeats."""
    kinds = kinds_of(tokens)
    if kinds[:3] != ["NUMBER", "_X", "NUMBER"] or kinds.count("NUMBER") < 4 or kinds[3] not in WORK | _AFTER_LENGTH:
        return tokens
    at = 3
    while at < len(tokens) and kinds[at] in WORK:
        at += 1
    first = at + (kinds[at : at + 1] == ["_COMMA"])
    starts, end = _parts(tokens, first)
    if not starts and {"_AS", "_LEFT", "_NEXT", "_ODD", "_EVEN", "RANGE", "TREND"}.isdisjoint(
        kinds
    ):  # after the details
        behind = next(
            (p for p in range(at, len(tokens)) if kinds[p] == "NUMBER" and kinds[p - 1] in _DETAIL_ENDS), first
        )
        starts, end = _parts(tokens, behind)
        if len(starts) < 2 or sum(tokens[start].value for start in starts) >= LEAST_LENGTH:
            return tokens
        return _turns([*tokens[:at], *tokens[behind:end], *tokens[at:behind], *tokens[end:]])
    total = sum(tokens[start].value for start in starts)
    if len(starts) < 2 or total >= LEAST_LENGTH or tokens[0].value % max(total, 1):
        return tokens
    made = [*tokens[:at], nothing("_AS", tokens[first])]
    for start, stop in zip(starts, [*starts[1:], end]):
        part = [token for token in tokens[start:stop] if token.type not in _JOINTS]
        made += [*([nothing("_SLASH", part[0])] if start != starts[0] else []), *part]
    return made + tokens[end - (tokens[end - 1].type in _JOINTS) if end < len(tokens) else end :]


_AFTER_LENGTH = frozenset({"ON", "REST", "_COMMA", "NUMBER"})
#: What can be before small numbers of repeats that come after the details.
_DETAIL_ENDS = frozenset({"TIME", "GEAR", "_COMMA"})


def _parts(tokens: list[Token], first: int) -> tuple[list[int], int]:
    """The places of numbers that are each followed by work, one after the other from `first` on, and where they end."""
    starts: list[int] = []
    at = first
    end = first
    while at + 1 < len(tokens) and tokens[at].type == "NUMBER" and tokens[at + 1].type in WORK:
        starts.append(at)
        at += 1
        while at < len(tokens) and tokens[at].type in WORK | {"CUE"}:
            at += 1
        end = at
        if at < len(tokens) and tokens[at].type in _JOINTS:
            at += 1
    return starts, end


def next_sets(tokens: list[Token]) -> list[Token]:
    """`200 swim 200 kick 200 pull`: sets of one distance each, with nothing between them.

    If the later distances could fill the first, they may be its segments: then nothing is settled.
    """
    first = tokens[0] if tokens else None
    if first is None or first.type != "NUMBER" or any(token.type in ("_X", "_AS") for token in tokens):
        return tokens
    made: list[Token] = []
    later = [
        token
        for at, token in enumerate(tokens)
        if token.type == "NUMBER" and at and tokens[at - 1].type in WORK and token.value >= LEAST_LENGTH
    ]
    total = sum(token.value for token in later)
    alike = all(token.value >= first.value for token in later)
    if first.value < LEAST_LENGTH or not later or not alike and first.value % total == 0:
        return tokens
    for token in tokens:
        if token in later:
            made.append(nothing("_NEXT", token))
        made.append(token)
    return made


def lists_side_by_side(tokens: list[Token]) -> list[Token]:
    """`200/200/200 swim/kick/pull`: sets one after the other."""
    kinds = kinds_of(tokens)
    count = 1
    while kinds[: 2 * count + 1] == ["NUMBER", *["_SLASH", "NUMBER"] * count]:
        count += 1
    lead, rest = tokens[: 2 * count - 1 : 2], tokens[2 * count - 1 :]
    if count < 2 or any(number.value < LEAST_LENGTH for number in lead):
        return tokens
    works: list[list[Token]] = [[]]
    for place, token in enumerate(rest):
        if token.type in WORK:
            works[-1].append(token)
        elif token.type == "_SLASH" and works[-1]:
            works.append([])
        elif place:
            return tokens
    if len(works) != count or not all(works):
        return tokens
    made: list[Token] = []
    for number, work in zip(lead, works):
        made += [*([nothing("_NEXT", number)] if made else []), number, *work]
    return made


def pattern_last(tokens: list[Token]) -> list[Token]:
    """`8 x 50 on 1:00, fly on the evens`: the word for the repeats comes in front of what they are swum as."""
    made = list(tokens)
    for at, token in enumerate(tokens):
        if token.type not in ("_ODD", "_EVEN") or kinds_of(tokens[at + 1 : at + 2]) not in ([], ["_COMMA"], ["CUE"]):
            continue
        first = at
        while first and tokens[first - 1].type in WORK:
            first -= 1
        if first < at and first and tokens[first - 1].type in ("_COMMA", "TIME", "GEAR"):
            made[first : at + 1] = [token, *tokens[first:at]]
    return made


def between_rounds(tokens: list[Token]) -> list[Token]:
    """`3 x 5 x 100, 1 min between sets`: the rest is the last thing of each round."""
    at = kinds_of(tokens).index("_BETWEEN")
    kinds = kinds_of(tokens[:at])
    if at + 1 < len(tokens) or len(kinds) < 3 or kinds[-1] not in ("NUMBER", "TIME"):
        return tokens
    first = at - 2 if kinds[-2] == "REST" else at - 1
    end = first - 1 if kinds[first - 1] == "_COMMA" else first
    mark = tokens[at]
    rest = [tokens[first] if first == at - 2 else nothing("REST", tokens[first]), tokens[at - 1]]
    plus = nothing("_PLUS", mark)
    if kinds[:4] == ["NUMBER", "_X", "NUMBER", "_X"]:
        inside = tokens[2:end]
        return [*tokens[:2], nothing("_LEFT", tokens[2]), *inside, plus, *rest, mark.as_a("_RIGHT")]
    if kinds[:2] == ["NUMBER", "ROUNDS"] and "_LEFT" not in kinds:
        return [*tokens[:end], plus, *rest]
    if kinds[:3] != ["NUMBER", "_X", "_LEFT"] or kinds.count("_RIGHT") != 1:
        return tokens
    close = kinds.index("_RIGHT")
    return [*tokens[:close], plus, *rest, mark.as_a("_RIGHT"), *tokens[close + 1 : end]]


def bracket_on(tokens: list[Token]) -> list[Token]:
    """`5 x (30 sprint, 30 easy) on 1:30`: the interval is for the whole repeat, and its segments are in the bracket."""
    kinds = kinds_of(tokens)
    if kinds[:3] != ["NUMBER", "_X", "_LEFT"] or "_RIGHT" not in kinds:
        return tokens
    close = kinds.index("_RIGHT")
    starts, end = _parts(tokens, 3)
    behind = kinds[close + 1 : close + 2]
    close_by = not {"_COMMA", "_PLUS", "_NEXT"} & {*kinds[3:close]}
    if behind in (["ON"], ["REST"]):
        tokens[close + 1].value = tokens[2].start  # where the bracket is, for a question about this interval
    short = all(tokens[start].value < 2 * LEAST_LENGTH for start in starts)
    if end != close or len(starts) < 2 or not (behind in (["ON"], ["REST"]) and close_by or behind == ["ON"] and short):
        return tokens
    if kinds[-1] == "EACH":
        return tokens
    total = sum(tokens[start].value for start in starts)
    made = [*tokens[:2], Token("NUMBER", "", total, tokens[2].start, tokens[2].end), tokens[2].as_a("_AS")]
    for start, stop in zip(starts, [*starts[1:], end]):
        part = tokens[start:stop]
        if part[-1].type in ("_COMMA", "_SLASH", "_PLUS"):
            part.pop()
        made += [*([nothing("_SLASH", part[0])] if start != starts[0] else []), *part]
    return [*made, *tokens[close + 1 :]]


def work_first(tokens: list[Token]) -> list[Token]:
    """`100 sprint 25/easy 75`: segments whose distance comes after their work."""
    if sum(token.type == "NUMBER" for token in tokens) < 3:
        return tokens
    for at in range(len(tokens) - 4):
        if tokens[at].type != "NUMBER" or tokens[at + 1].type not in WORK:
            continue
        made, total, place = tokens[: at + 1], 0, at + 1
        while True:
            end = place
            while end < len(tokens) and tokens[end].type in WORK:
                end += 1
            if end == place or end == len(tokens) or tokens[end].type != "NUMBER":
                break
            total += tokens[end].value
            made += [nothing("_SLASH" if len(made) > at + 1 else "_AS", tokens[place]), tokens[end]]
            made += tokens[place:end]
            place = end + 1
            if place < len(tokens) and tokens[place].type in ("_SLASH", "_COMMA", "_PLUS"):
                place += 1
            else:
                break
        if kinds_of(made[at + 1 :]).count("NUMBER") > 1 and total == tokens[at].value:
            return made + tokens[place:]
    return tokens


def ranges_behind(tokens: list[Token]) -> list[Token]:
    """`build 1-4, 5-8 fast`: the first work comes before its repeats, the next one after them."""
    kinds = kinds_of(tokens)
    after = kinds.index("RANGE")
    at = after - 4
    if at < 1 or kinds[at:after] != ["NUMBER", "_DASH", "NUMBER", "_COMMA"] or kinds[at - 1] not in WORK:
        return tokens
    low, high = tokens[at].value, tokens[at + 2].value
    if low != 1 or high + 1 != tokens[after].value[0]:
        return tokens
    first = at
    while first > 0 and kinds[first - 1] in WORK:
        first -= 1
    own = Token("RANGE", f"{low}-{high}", (low, high), tokens[at].start, tokens[at + 2].end)
    joint = tokens[after - 1].as_a("_SLASH")
    return [*tokens[:first], own, *tokens[first:at], joint, *tokens[after:]]


def work_in_each(lead: list[Token], tokens: list[Token]) -> list[Token]:
    """`Kick: 2 x (4 x 50, 100 fast)`: the work goes after the distance of each set in the bracket."""
    made, at, first = tokens[:2], 2, True
    while at < len(tokens):
        made.append(tokens[at])
        at += 1
        if made[-1].type in ("_LEFT", "_NEXT", "_PLUS", "_COMMA") and at < len(tokens):
            end = length_end(tokens, at)
            starts = end > at and tokens[at].type == "NUMBER" and (tokens[at].value >= LEAST_LENGTH or end - at > 1)
            if starts:
                made += tokens[at:end]
                copies = [
                    Token(each.type, "", each.value, each.start, each.end) for each in lead if each.type != "NOTE"
                ]
                made += lead if first else copies
                at, first = end, False
    return made


def work_for_all(lead: list[Token], tokens: list[Token], start: int) -> list[Token]:
    """`Kick: 100 easy, 4 x 50 hard`: the work is that of all sets on the line that have none of its kind."""
    made, at = tokens[:start], start
    ends = [place for place in range(start, len(tokens)) if _set_begins(tokens, place)]
    for place, end in zip(ends, [*ends[1:], len(tokens)]):
        made += tokens[at:place]
        behind = length_end(tokens, place)
        own = {*kinds_of(tokens[behind:end])}
        made += tokens[place:behind]
        made += [Token(each.type, "", each.value, each.start, each.end) for each in lead if _is_shared(each, own)]
        at = behind
    return [*made, *tokens[at:]]


def _set_begins(tokens: list[Token], at: int) -> bool:
    """Whether a set after another one begins at a place."""
    if not at or tokens[at - 1].type not in ("_NEXT", "_PLUS", "_COMMA") or tokens[at].type != "NUMBER":
        return False
    end = length_end(tokens, at)
    return tokens[at].value >= LEAST_LENGTH or end - at > 1


def _is_shared(word: Token, own: set[str]) -> bool:
    return word.type in ("ACTIVITY", "STROKE") and not own & {word.type, "_AS", "NAME", "_ODD", "RANGE"}


def work_behind_bracket(tokens: list[Token]) -> list[Token]:
    """`3 x (4 x 100) free`: the work goes after the distance of each set in the bracket, if they have none like it."""
    kinds = kinds_of(tokens)
    if kinds[:3] != ["NUMBER", "_X", "_LEFT"] or kinds.count("_RIGHT") != 1:
        return tokens
    close = kinds.index("_RIGHT")
    end = close + 1
    while end < len(tokens) and kinds[end] in ("ACTIVITY", "STROKE", "EFFORT"):
        end += 1
    if end == close + 1 or {*kinds[3:close]} & {*kinds[close + 1 : end], "_AS", "NAME"}:
        return tokens
    return work_in_each(tokens[close + 1 : end], [*tokens[: close + 1], *tokens[end:]])


def length_end(tokens: list[Token], at: int) -> int:
    """The end of the count and the distance that begin at a place; `at` if none do."""
    end = at
    while end < len(tokens) and tokens[end].type in _VALUES:
        end += 1
        if (
            end < len(tokens) - 1
            and tokens[end].type in ("_X", "_SLASH", "_DASH", "_TO")
            and (tokens[end + 1].type in _VALUES)
        ):
            end += 1
        else:
            break
    return end
