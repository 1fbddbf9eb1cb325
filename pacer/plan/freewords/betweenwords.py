"""Words about what is swum between the repeats of a set: `50 easy between each`, `after each 200, 50 back`.

The set then becomes rounds of one repeat and what comes after it; between them, the last repeat has nothing after it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from pacer.plan.freewords.notedline import solved, swum_in
from pacer.plan.freewords.wordsbelow import rows_again
from pacer.plan.model import ByLane, Group, Item, SetLine
from pacer.plan.regex import regex
from pacer.plan.text.livepage import LivePage

_EACH = (
    r"(?:(?:in\s+)?(?P<{0}>between|btwn|betw|btw|after)\s+(?:each|every|the|them|all)(?:\s+(?:one|rep(?:eat)?|swim|of\s+(?:them|these|those)))?"
    r"(?:\s+(?P<{1}>\d{{2,4}})(?:'?s|m)?(?=\s*(?:[,:;–-]|do\b|swim\b|have\b|an?\b|there|$)))?)"
)
_FAR = r"(?:\d{1,2}\s*[x×]\s*)?\d{2,4}(?![\d:]|\s*(?:s|secs?|seconds?|mins?|minutes?|rest|''?|\")(?!\w))"
_AHEAD = regex(
    rf"(?:and\s+)?{_EACH.format('a', 'x')}[\s,:;–-]*"
    rf"(?:(?:do|swim|have|there(?:'s|\s+is)|take)\s+)?(?:an?\s+)?(?P<inner>{_FAR}.*)",
    re.IGNORECASE,
)
_BEHIND = regex(
    rf"(?:and\s+|with\s+|w/\s*|plus\s+|\+\s*)?(?:do\s+)?(?:an?\s+)?(?P<inner>{_FAR}[^,;()]*?)"
    rf"[\s,]+{_EACH.format('b', 'y')}\W*",
    re.IGNORECASE,
)
_JOINT = regex(r"\s*(?:[,;(]|\s[-–]\s|\+|\b(?=w/|with\s|and\s))\s*", re.IGNORECASE)
_SET_AHEAD = regex(r"\s*\d{1,2}\s*[x×]\s*\d", re.IGNORECASE)


def in_between(item: Item, words: str, pool: str, live: LivePage) -> list[Item]:
    """What comes in the place of a set if words say what is swum between its repeats; [] if they do not."""
    match = _BEHIND.fullmatch(words.strip(" .!()")) or _AHEAD.fullmatch(words.strip(" .!()"))
    if match is None or not isinstance(item, SetLine) or item.change is not None or item.hold is not None:
        return []
    count, far = item.count, item.distance
    if not isinstance(count, ByLane) or len(count.entries) != 1 or count.entries[0] < 2 or far is None:
        return []
    said = match.groupdict()
    named = said.get("x") or said.get("y")
    if named and int(named) not in far.entries or len(item.pattern.parts) != 1:
        return []
    text = match["inner"].strip(" ,.")
    plan = live.would([pool, f"  {solved(text, pool, live) or swum_in(text, pool, live) or text}"]).plan
    inner = plan.sections[0].items if plan and plan.sections else ()
    if len(inner) != 1 or not isinstance(inner[0], SetLine) or inner[0].time_ms is not None:
        return []
    other = replace(inner[0], groups=item.groups)
    one, often = replace(item, count=ByLane((1,)), cue=""), count.entries[0]
    after = (said.get("a") or said.get("b") or "").casefold() == "after"
    rounds = often if after else often - 1
    made: list[Item] = [Group(ByLane((rounds,)), (one, other))] if rounds > 1 else [one, other]
    if not after:
        made.append(one)
    if item.cue:
        last = made[-1]
        made[-1] = replace(last, cue=item.cue) if isinstance(last, SetLine) else last
        if not isinstance(last, SetLine):
            return []
    return made


def in_between_rows(item: Item, words: str, pool: str, live: LivePage, indent: str) -> list[str]:
    """The same as lines of the plan; [] if they cannot be read again."""
    return rows_again(in_between(item, words, pool, live), pool, live, indent)


def in_between_on(lines: Sequence[str], at: int, live: LivePage) -> tuple[int, list[str]]:
    """Where lines of a page begin that end with line `at` and say what is swum between repeats, and the new lines.

    >>> in_between_on(["pool: 25 m", "  5 x 200 pull, 50 back easy between each"], 1, LivePage())[1]
    ['  4 rounds', '    200 pull', '    50 back easy', '  200 pull']
    """
    source = lines[at]
    if not re.search(r"\b(?:between|btwn|betw|btw|after)\b", source, re.IGNORECASE) or '"' in source:
        return at, []
    pool = next((line for line in lines if line.startswith("pool:")), "pool: 25 m")
    indent = source[: len(source) - len(source.lstrip())]
    if not indent:
        return at, []
    if _SET_AHEAD.match(source):
        for joint in _JOINT.finditer(source):
            head, words = source[: joint.start()].strip(), source[joint.end() :]
            if not (_BEHIND.fullmatch(words.strip(" .!()")) or _AHEAD.fullmatch(words.strip(" .!()"))):
                continue
            plan = live.would([pool, f"  {solved(head, pool, live) or head}"]).plan
            items = plan.sections[0].items if plan and plan.sections else ()
            if len(items) == 1 and (rows := in_between_rows(items[0], words, pool, live, indent)):
                return at, rows
    above = at - 1
    if above < 1 or not lines[above].startswith(indent) or lines[above].lstrip().startswith(("#", '"')):
        return at, []
    plan = live.would([pool, f"  {lines[above].strip()}"]).plan
    items = plan.sections[0].items if plan and plan.sections else ()
    if len(items) != 1:
        return at, []
    lead = lines[above][: len(lines[above]) - len(lines[above].lstrip())]
    rows = in_between_rows(items[0], source.strip(), pool, live, lead)
    return (above, rows) if rows else (at, [])
