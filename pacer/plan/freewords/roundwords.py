"""Words that say how single rounds are swum: `R1 pull, R2 paddles, R3 hold 1:10`.

The rounds are then written one after the other, each as it is swum. Where pacer would do the same in all rounds, the
words stay a note.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby

from pacer.plan.freewords.wordsbelow import bare, changed, changed_by, rows_again, sets_in
from pacer.plan.model import ByLane, Effort, Group, Item, SetLine
from pacer.plan.regex import regex
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.standardform import write_line
from pacer.plan.words.linepatterns import REST_BETWEEN

_ROUND = (
    r"(?:(?:R|rounds?|rds?|sets?|time)\s?[1-9](?!\d|[:.]\d)"
    r"(?:\s*(?:[-–&+,/]|and|to)\s*(?:R|rounds?|rds?|sets?)?\s?[1-9](?![\d:.x×]))*"
    r"|[1-9](?:st|nd|rd|th)\s+(?:round|rd|time|set)(?!\w))"
)
_CLAUSE = regex(rf"(?:^|(?<=[\s,;/.(]))(?P<which>{_ROUND})\s*(?:[:=–-]\s*|(?:is|as|all)\s+)?", re.IGNORECASE)
#: `, 1 min extra between sets`, after what single rounds are
_EXTRA_BETWEEN = regex(
    r"\s*[,;(]\s*(?:plus\s+|\+\s*|an?\s+|with\s+)?(?:extra\s+)?(?P<time>\d{0,2}:\d\d|\d{1,2}\s*(?:s|secs?|seconds?|mins?|minutes?))"
    r"\s*(?:extra|more)?\s*(?:rest\s+)?(?:in\s+)?(?:between|btwn|betw|btw)\s+(?:each\s+|the\s+)?(?:sets?|rounds?|rds?)\)?\s*$",
    re.IGNORECASE,
)
_EASY = frozenset({Effort.EASY})


def about_rounds(words: str) -> bool:
    """Whether words begin with the number of a round."""
    return bool(_CLAUSE.match(words.strip(" (")))


def rounds_apart(item: Item, words: str, pool: str, live: LivePage) -> list[Item]:
    """The sets in the place of a set or of rounds, if words say how single rounds are swum; [] if they do not."""
    clauses = _clauses(words)
    count = item.rounds if isinstance(item, Group) else item.count if isinstance(item, SetLine) else None
    if not clauses or not isinstance(count, ByLane) or len(count.entries) != 1:
        return []
    own: tuple[Item, ...] = ()
    if isinstance(item, Group):
        own = item.items
    elif isinstance(item, SetLine) and len(clauses) > 1:  # one alone may be about rounds of which this set is a part
        own = (replace(item, count=ByLane((1,))),)
    often = count.entries[0]
    if not own or not 1 < often <= 9 or max(number for numbers, _ in clauses for number in numbers) > often:
        return []
    rounds = [own] * often
    acts = False
    for numbers, said in clauses:
        found = _swum(own, said, pool, live)
        if found is None:
            return []
        made, other = found
        acts = acts or other
        for number in numbers:
            rounds[number - 1] = made
    return [each for made, times in _runs(rounds) for each in _again(made, times, item)] if acts else []


def _clauses(words: str) -> list[tuple[list[int], str]]:
    """The rounds that words name, each with what they say of them; [] if other words come first."""
    text = words.strip(" ().")
    found = list(_CLAUSE.finditer(text))
    if not found or found[0].start():
        return []
    made = []
    for match, after in zip(found, [*found[1:], None]):
        said = text[match.end() : after.start() if after else len(text)].strip(" ,;/.(")
        numbers = [int(number) for number in re.findall(r"\d", match["which"])]
        if re.search(r"\d\s*(?:[-–]|to)\s*\D*\d", match["which"]) and len(numbers) == 2:
            numbers = list(range(numbers[0], numbers[1] + 1))
        if not said or not numbers:
            return []
        made.append((numbers, said))
    return made


def _swum(items: Sequence[Item], said: str, pool: str, live: LivePage) -> tuple[tuple[Item, ...], bool] | None:
    """The items of a round as words say, and whether pacer does something else then; None if that is not clear."""
    main = [each for each in sets_in(tuple(items)) if not _easy(each)]
    if len(main) == 1:
        made = changed_by((main[0],), said) or _read(main[0], said, pool, live)
        new = made[0] if made and isinstance(made[0], SetLine) else None
        if new is None:
            new = replace(main[0], cue="; ".join(each for each in (main[0].cue, said) if each))
        return tuple(_put(each, main[0], new) for each in items), bare(new) != bare(main[0])
    if re.search(r"\d", said) or (other := changed_by(tuple(items), said)) is None:
        return None
    kept = {id(each) for each in sets_in(tuple(items)) if _easy(each)}
    return (other, True) if not kept else None


def _read(line: SetLine, said: str, pool: str, live: LivePage) -> tuple[Item, ...] | None:
    """A set with words after it, read as one line."""
    made = changed(write_line(replace(line, cue="")), said, pool, live)
    items = live.would([pool, f"  {made}"]).plan if made and "\n" not in made else None
    only = items.sections[0].items if items else ()
    if len(only) != 1 or not isinstance(only[0], SetLine):
        return None
    return (replace(only[0], cue="; ".join(each for each in (line.cue, only[0].cue) if each)),)


def _easy(line: SetLine) -> bool:
    return all(segment.work.effort in _EASY for part in line.pattern.parts for segment in part.segments)


def _put(item: Item, old: SetLine, new: SetLine) -> Item:
    if isinstance(item, Group):
        return replace(item, items=tuple(_put(each, old, new) for each in item.items))
    return new if item == old else item


def _runs(rounds: list[tuple[Item, ...]]) -> list[tuple[tuple[Item, ...], int]]:
    """The rounds, those that are alike and one after the other together."""
    return [(made, len(list(run))) for made, run in groupby(rounds)]


def _again(made: tuple[Item, ...], times: int, item: Item) -> list[Item]:
    if isinstance(item, SetLine) and isinstance(made[0], SetLine):
        return [replace(made[0], count=ByLane((times,)))]
    return list(made) if times == 1 else [Group(ByLane((times,)), made)]


def rows_apart(item: Item, words: str, pool: str, live: LivePage, indent: str) -> list[str]:
    """The same as lines of the plan; [] if they cannot be read again."""
    return rows_again(rounds_apart(item, words, pool, live), pool, live, indent)


def rounds_apart_on(lines: Sequence[str], at: int, live: LivePage) -> list[str]:
    """The lines in the place of line `at` of a page if its end says how single rounds are swum; [] if it does not.

    >>> rounds_apart_on(["pool: 25 m", "  3 x 200 on 3:30, R1 pull, R2 hold 2:40"], 1, LivePage())
    ['  200 pull, on 3:30', '  200 free, hold 2:40, on 3:30', '  200 free, on 3:30']
    """
    source = lines[at]
    indent = source[: len(source) - len(source.lstrip())]
    tail = _EXTRA_BETWEEN.search(source)
    text = source[: tail.start()] if tail else source
    match = _CLAUSE.search(text)
    pool = next((line for line in lines if line.startswith("pool:")), "pool: 25 m")
    if not indent or match is None or not text[: match.start()].strip():
        return []
    plan = live.would([pool, f"{indent}{text[: match.start()].strip(' ,;:(–-')}"]).plan
    items = plan.sections[0].items if plan and plan.sections else ()
    rows = rows_apart(items[0], text[match.start() :], pool, live, indent) if len(items) == 1 else []
    if tail is None or not rows:
        return rows
    if len(rows) != len(_clauses(text[match.start() :])):  # where a round ends is not clear
        return []
    rest = f"{indent}rest {tail['time']}"
    return [each for row in rows for each in (row, rest)][:-1]


def between_rounds_on(lines: Sequence[str], at: int) -> str:
    """Line `at` of a page as the last line of the rounds above it if it is the rest between them; "" if it is not.

    >>> between_rounds_on(["Main", "  3 rounds", "    4 x 50", "  1 min between rounds"], 3)
    '    rest 1 min'
    """
    match = REST_BETWEEN.fullmatch(lines[at].strip())
    own, inside = _indent(lines[at]), ""
    for above in reversed(lines[:at]):
        if not above.strip() or above.lstrip().startswith(("#", '"')):
            continue
        if len(_indent(above)) <= len(own):
            return f"{inside}rest {match['time']}" if match and inside and own else ""
        inside = _indent(above)
    return ""


def _indent(line: str) -> str:
    return line[: len(line) - len(line.lstrip())]
