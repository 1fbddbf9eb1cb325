"""Rounds on a pasted page: a bracket over several lines, `x 2` after it, `3 x:` above what it repeats."""

from __future__ import annotations

import re
from dataclasses import replace

from pacer.plan.pasted.joining import HAS_TIME
from pacer.plan.pasted.linekinds import ROUNDS
from pacer.plan.pasted.scrap import Ask, Kind, Open, Scrap
from pacer.plan.regex import regex
from pacer.plan.words.linepatterns import NUMBERS

_QUOTES = regex(r"\"[^\"]*\"|“[^”]*”")
_OPENS = regex(
    r"(?:(?P<n>\d{1,2})\s*(?:[x×*]|times|rounds?(?:\s+of)?|rds?(?:\s+of)?|sets\s+of)?\s*)?[({\[]\s*(?P<rest>.*)$",
    re.IGNORECASE,
)
_CLOSES = regex(
    r"(?P<text>.*?)\s*[)}\]]\s*(?:[x×*]\s*(?P<a>\d{1,2})|(?P<b>\d{1,2})\s*[x×]|(?P<c>\d{1,2})\s*(?:times|rounds?|rds?))?\s*$",
    re.IGNORECASE,
)
_REST_BEHIND = regex(
    r"(?P<text>.*?)\s*[)}\]]\s*,?\s*(?:r|ri|rest)?\s*(?P<time>\d*[:']?\d*(?:\s*(?:s|secs?|mins?|\"|'))?)"
    r"\s*(?:rest\s+)?(?:in\s+)?(?:between|btwn|betw|btw)(?:\s+(?:rounds|rds|sets|each))?\s*"
    r"|(?P<before>.*?)\s*[)}\]]\s*\+\s*(?P<plus>\d*[:']?\d+(?:\s*(?:s|secs?|mins?|\"|'))?)\s*(?:rest)?\s*",
    re.IGNORECASE,
)
_REST_BESIDE = regex(
    r"(?P<text>[^}\]]*?)\s*[}\]]\s*(?:(?:rest|ri|r)\s*(?P<a>:?\d{1,2})(?:\s*(?:s|secs?))?|(?P<b>:?\d{1,2})\s*(?:s|secs?|\")?\s*(?:rest|ri|r))\s*$",
    re.IGNORECASE,
)
_ENDS = (Kind.BLANK, Kind.SECTION, Kind.RULE)
#: What is swum once, at the end: no round ends with it.
_HOME = regex(
    r"(?:swim|warm|cool|loosen|wind)[\s-]?(?:down|off)\b|\b[csw]\s?/\s?d\b|\bdown\W*$|\bout\W*$", re.IGNORECASE
)
_EASY = regex(r"\b(?:easy|ez|recovery|loosen\w*)\b", re.IGNORECASE)


def nest(scraps: list[Scrap]) -> None:
    """Find the rounds, and note the line that each begins above and how deep each line is inside them."""
    stack: list[tuple[int, str]] = []  # the place where a bracket opened, and its count
    for place, scrap in enumerate(scraps):
        if scrap.kind is Kind.SECTION:
            for opened, often in stack:
                _never_closed(scraps, opened, often)
            stack.clear()
        if scrap.kind not in (Kind.SET, Kind.ROUNDS):
            continue
        balance = _balance(scrap.text)
        if balance > 0 and (match := _OPENS.match(scrap.text)):
            stack.append((place, match["n"] or ""))
            scrap.text = match["rest"].strip()
            if scrap.text:
                scrap.kind = Kind.SET
        elif balance < 0:
            if tail := _REST_BEHIND.match(scrap.text):  # ) r1' between
                scrap.text = f"{tail['text'] or tail['before']} + rest {tail['time'] or tail['plus']} )"
            match = _CLOSES.match(scrap.text)
            start, count = stack.pop() if stack else (None, "")
            times = (match["a"] or match["b"] or match["c"] or "") if match else ""
            scrap.text = match["text"].strip(" ,;") if match else scrap.text
            if start is None:
                _right_hand(scraps, place, times)
            else:
                _wrap(scraps, start, place, count or times)
    for opened, often in stack:
        _never_closed(scraps, opened, often)
    _by_themselves(scraps)
    _of_sections(scraps)
    for place, scrap in enumerate(scraps):
        if scrap.ask and scrap.ask.about is Open.REPEATED:
            scrap.ask = replace(scrap.ask, over=tuple(rows_above(scraps, place)))


def _never_closed(scraps: list[Scrap], place: int, count: str) -> None:
    """Ask where rounds end whose bracket is never closed: with its own line, or with the last set below it."""
    members = [place, *_below(scraps, place)] if scraps[place].text else []
    if count and members and not scraps[place].ask:
        several = "+" in scraps[place].text or re.search(r"\d\s*[x×].*\d\s*[x×]", scraps[place].text)
        ends = (members[0], members[-1]) if several else (members[-1], members[0])
        scraps[place].ask = Ask(Open.ENDS, f"{count} rounds", tuple(members), tuple(dict.fromkeys(ends)))


def _of_sections(scraps: list[Scrap]) -> None:
    """The rounds of a section end above less indent or a rule; whether a gap ends them is asked."""
    for place, scrap in enumerate(scraps):
        rounds = next((each for each in scrap.details if each.endswith(("round", "rounds"))), "")
        if scrap.kind is not Kind.SECTION or not rounds or scrap.ask:
            continue
        inside, gap, members = _rounds_inside(scraps, place)
        if inside and gap:
            scrap.ask = Ask(Open.ENDS, rounds, tuple(members), (inside[-1], members[-1]))
        elif inside:
            scrap.details.remove(rounds)
            count = rounds.rsplit(" ", 1)[0]
            _wrap(scraps, inside[0], inside[-1], count)
        elif ends := _open_ends(scraps, members):
            scrap.ask = Ask(Open.ENDS, rounds, tuple(members), ends)


def _open_ends(scraps: list[Scrap], members: list[int]) -> tuple[int, ...]:
    """The sets below which rounds may end whose last set is a swim-down, the likeliest first; none for others."""
    if len(members) < 2 or not _HOME.search(scraps[members[-1]].text):
        return ()
    easy = [at for at in members[:-2] if _EASY.search(scraps[at].text) and not _HOME.search(scraps[at].text)]
    return tuple(dict.fromkeys([*easy[-1:], members[-2], members[-1]]))


def _rounds_inside(scraps: list[Scrap], place: int) -> tuple[list[int], bool, list[int]]:
    """The sets that a section's rounds repeat if others follow them, whether only a gap is between these, and all."""
    head = scraps[place]
    found: list[int] = []
    rule = blank = gap = False
    ended = 0
    deeper: bool | None = None
    for at in range(place + 1, len(scraps)):
        scrap = scraps[at]
        if scrap.kind is Kind.SECTION:
            break
        rule = rule or bool(found) and scrap.kind is Kind.RULE
        blank = blank or bool(found) and scrap.kind is Kind.BLANK
        if scrap.kind not in (Kind.SET, Kind.ROUNDS) or not (scrap.text or scrap.ask):
            continue
        if deeper is None and scrap.number != head.number:
            deeper = scrap.indent > head.indent
        if found and not ended and (rule or blank and not deeper or deeper and scrap.indent <= head.indent):
            ended, gap = len(found), blank and not deeper and not rule
        found.append(at)
    return found[:ended], gap, found


def _balance(text: str) -> int:
    bare = _QUOTES.sub("", text)
    return sum(bare.count(sign) for sign in "({[") - sum(bare.count(sign) for sign in ")}]")


def _wrap(scraps: list[Scrap], first: int, last: int, count: str, depth: int = 0) -> None:
    """Turn the lines from `first` to `last` into rounds that are inside `depth` other brackets."""
    inside = [scrap for scrap in scraps[first : last + 1] if scrap.text and scrap.kind in (Kind.SET, Kind.ROUNDS)]
    if not inside or not count or count == "1":
        return
    for scrap in scraps[first : last + 1]:
        scrap.before = [(deep + (deep >= depth), said) for deep, said in scrap.before]
        scrap.depth += 1
    above = sum(1 for deep, _ in inside[0].before if deep < depth)
    inside[0].before.insert(above, (depth, f"{count} rounds"))


def _right_hand(scraps: list[Scrap], place: int, times: str) -> None:
    """A bracket drawn on the right: it closes on line after line, with `x 2` next to one of them."""
    last = place
    rest = _rest_beside(scraps[place])
    for below in range(place + 1, len(scraps)):
        scrap = scraps[below]
        if scrap.kind not in (Kind.SET, Kind.ROUNDS, Kind.MORE, Kind.NOTE) or _balance(scrap.text) >= 0:
            break
        rest = _rest_beside(scrap) or rest
        match = _CLOSES.match(scrap.text)
        if match is None:
            break
        scrap.text = match["text"].strip(" ,;")
        times = times or match["a"] or match["b"] or match["c"] or ""
        last = below
    for scrap in scraps[place : last + 1]:
        if rest and scrap.kind is Kind.SET and not HAS_TIME.search(scrap.text):
            scrap.text += f", rest {rest}"
    if last == place and times:
        scraps[place].ask = Ask(Open.REPEATED, f"{times} rounds")
    elif times:
        _wrap(scraps, place, last, times)


def _rest_beside(scrap: Scrap) -> str:
    """The rest beside a bracket on the right, which is for all lines that the bracket is at: `}  10s rest`."""
    match = _REST_BESIDE.match(scrap.text)
    if match is None:
        return ""
    scrap.text = f"{match['text']} }}"
    return match["a"] or match["b"]


def _by_themselves(scraps: list[Scrap]) -> None:
    """Counts on lines of their own, above or below the lines that they repeat."""
    for place, scrap in enumerate(scraps):
        match = ROUNDS.fullmatch(scrap.text) if scrap.kind is Kind.ROUNDS and scrap.text else None
        if match is None:
            continue
        count = "2" if match["word"] else match["n"] or match["m"] or match["k"]
        count = str(NUMBERS.get(count.casefold(), count))
        members = _below(scraps, place)
        opens = scrap.text.rstrip().endswith((":", "of")) or not _above(scraps, place) or _stands_above(scraps, place)
        scrap.text = ""
        if opens and members and (ends := () if _indented(scraps, place, members) else _open_ends(scraps, members)):
            scrap.ask = Ask(Open.ENDS, f"{count} rounds", tuple(members), ends)
        elif opens and members:
            _wrap(scraps, members[0], members[-1], count, scrap.depth)
        else:
            scrap.ask = Ask(Open.REPEATED, f"{count} rounds")


def _indented(scraps: list[Scrap], place: int, members: list[int]) -> bool:
    """Whether the indent says where rounds end."""
    return scraps[members[0]].indent > scraps[place].indent


def _stands_above(scraps: list[Scrap], place: int) -> bool:
    """Whether a count is right above its sets: they are indented below it, or a gap is between it and those above."""
    after = scraps[place + 1] if place + 1 < len(scraps) else None
    if after is None or after.kind is not Kind.SET:
        return False
    return after.indent > scraps[place].indent or place > 0 and scraps[place - 1].kind is Kind.BLANK


def _below(scraps: list[Scrap], place: int) -> list[int]:
    """The lines below a count that it repeats: those that are indented deeper, else all up to the next gap."""
    own, deeper = scraps[place].indent, None
    found: list[int] = []
    for at in range(place + 1, len(scraps)):
        scrap = scraps[at]
        gap = scrap.kind is Kind.BLANK and not deeper or scrap.kind is Kind.RULE
        if scrap.kind is Kind.SECTION or gap and found:
            break
        if scrap.kind not in (Kind.SET, Kind.ROUNDS):
            continue
        if deeper is None:
            deeper = scrap.indent > own
        if deeper and scrap.indent <= own:
            break
        if not deeper and scrap.kind is Kind.ROUNDS:
            break
        found.append(at)
    return found


def _above(scraps: list[Scrap], place: int) -> list[int]:
    """The sets right above a line, up to the last gap."""
    found: list[int] = []
    for at in range(place - 1, -1, -1):
        if scraps[at].kind in _ENDS:
            if found or scraps[at].kind is Kind.SECTION:
                break
            continue
        if scraps[at].kind is Kind.SET and scraps[at].text:
            found.append(at)
    return found[::-1]


def rows_above(scraps: list[Scrap], place: int) -> list[int]:
    """The sets that a count at `place` may repeat, including its own line if that is a set."""
    own = [place] if scraps[place].kind is Kind.SET else []
    return [*_above(scraps, place), *own]
