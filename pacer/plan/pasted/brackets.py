"""Rounds on a pasted page: a bracket over several lines, `x 2` after it, `3 x:` above what it repeats."""

from __future__ import annotations

import re
from dataclasses import replace

from pacer.plan.layout.pastedline import Ask, Kind, Open, PastedLine
from pacer.plan.layout.roundsaid import COUNT, ROUNDS_REST, ForAll, count_of, has_gear, rest_with_words
from pacer.plan.pasted.joining import HAS_TIME
from pacer.plan.regex import regex

#: `3 x:`, `3 rounds of:`, `x 2`, `repeat 3 times`, `2 times through`.
ROUNDS = regex(
    rf"[({{\[]?\s*(?:repeat\s*(?:all|the\s+above|above|this|set|everything|whole\s+set)?\s*(?:of\s+)?)?(?:{COUNT}"
    r"|(?P<by>(?:[A-Z]\s)?\d{1,2}(?:\s/\s(?:[A-Z]\s)?\d{1,2})+)\s+rounds)\s*[:.]?\s*[({\[)}\]]?",
    re.IGNORECASE,
)
#: A closing bracket, with or without a count.
CLOSES = regex(r"[)}\]]\s*(?:[x×*]\s*\d{1,2}|\d{1,2}\s*[x×]|\d{1,2}\s*times)?", re.IGNORECASE)
_QUOTES = regex(r"\"[^\"]*\"|“[^”]*”")
_OPENS = regex(
    r"(?:(?P<n>\d{1,2})\s*(?:[x×*](?:\s*thr(?:ough|u|o))?|times|rounds?(?:\s+of)?|rn?ds?(?:\s+of)?|sets\s+of)?\s*)?[({\[]\s*(?P<rest>.*)$",
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


def only_rounds(text: str) -> bool:
    """Whether a line only says how often others are swum."""
    return bool(ROUNDS.fullmatch(text) or CLOSES.fullmatch(text) or text in ("(", "[", "{"))


def nest(page: list[PastedLine]) -> None:
    """Find the rounds, and note the line that each begins above and how deep each line is inside them."""
    stack: list[tuple[int, str]] = []  # the place where a bracket opened, and its count
    for place, pasted in enumerate(page):
        if pasted.kind is Kind.SECTION:
            for opened, often in stack:
                _never_closed(page, opened, often)
            stack.clear()
        if pasted.kind not in (Kind.SET, Kind.ROUNDS):
            continue
        balance = _balance(pasted.text)
        if balance > 0 and (match := _OPENS.match(pasted.text)):
            stack.append((place, match["n"] or _count_above(page, place)))
            pasted.text = match["rest"].strip()
            if pasted.text:
                pasted.kind = Kind.SET
        elif balance < 0:
            if tail := _REST_BEHIND.match(pasted.text):  # ) r1' between
                pasted.text = f"{tail['text'] or tail['before']} + rest {tail['time'] or tail['plus']} )"
            match = _CLOSES.match(pasted.text)
            start, count = stack.pop() if stack else (None, "")
            times = (match["a"] or match["b"] or match["c"] or "") if match else ""
            pasted.text = match["text"].strip(" ,;") if match else pasted.text
            if start is None:
                _right_hand(page, place, times)
            else:
                _wrap(page, start, place, count or times)
    for opened, often in stack:
        _never_closed(page, opened, often)
    _by_themselves(page)
    _of_sections(page)
    _rests_between(page)
    for place, pasted in enumerate(page):
        if pasted.ask and pasted.ask.about is Open.REPEATED:
            pasted.ask = replace(pasted.ask, over=tuple(rows_above(page, place)))


def _count_above(page: list[PastedLine], place: int) -> str:
    """The count of rounds on a line of its own right above a bracket, which then needs nothing else; "" if none is."""
    above = page[place - 1] if place else None
    match = ROUNDS.fullmatch(above.text) if above is not None and above.kind is Kind.ROUNDS else None
    if above is None or match is None:
        return ""
    above.text = ""
    return _count_of(match)


def _count_of(match: re.Match[str]) -> str:
    if match["by"]:
        return match["by"]
    return count_of(match)


def _rests_between(page: list[PastedLine]) -> None:
    """Put a rest between rounds below their last set; one that is below no rounds is asked about in its own words."""
    in_section = False
    last: PastedLine | None = None
    for pasted in page:
        if pasted.kind is Kind.SECTION:
            in_section, last = any(each.endswith(("round", "rounds")) for each in pasted.details), None
        if pasted.kind is not Kind.SET or not pasted.text:
            continue
        if pasted.between and not in_section:
            if last and last.depth > pasted.depth:
                pasted.depth += 1
            elif not pasted.depth and not re.search(r"\bsets?$", pasted.between, re.IGNORECASE):
                pasted.text = pasted.between
        last = pasted


def _never_closed(page: list[PastedLine], place: int, count: str) -> None:
    """Ask where rounds end whose bracket is never closed: with its own line, or with the last set below it."""
    members = [place, *_below(page, place)] if page[place].text else []
    if count and members and not page[place].ask:
        several = "+" in page[place].text or re.search(r"\d\s*[x×].*\d\s*[x×]", page[place].text)
        ends = (members[0], members[-1]) if several else (members[-1], members[0])
        page[place].ask = Ask(Open.ENDS, f"{count} rounds", tuple(members), tuple(dict.fromkeys(ends)))


def _of_sections(page: list[PastedLine]) -> None:
    """The rounds of a section end above less indent or a rule; whether a gap ends them is asked."""
    for place, pasted in enumerate(page):
        rounds = next((each for each in pasted.details if each.endswith(("round", "rounds"))), "")
        if pasted.kind is not Kind.SECTION or not rounds or pasted.ask:
            continue
        inside, gap, members = _rounds_inside(page, place)
        if not inside or gap:
            _say_of_all(page, inside or members, pasted.for_all)
        if inside and gap:
            pasted.ask = Ask(Open.ENDS, rounds, tuple(members), (inside[-1], members[-1]))
        elif inside:
            pasted.details.remove(rounds)
            count = rounds.rsplit(" ", 1)[0]
            _say_of_all(page, inside, pasted.for_all)
            _wrap(page, inside[0], inside[-1], count)
        elif ends := _open_ends(page, members):
            pasted.ask = Ask(Open.ENDS, rounds, tuple(members), ends)


def _open_ends(page: list[PastedLine], members: list[int]) -> tuple[int, ...]:
    """The sets below which rounds may end whose last set is a swim-down, the likeliest first; none for others."""
    if len(members) < 2 or not _HOME.search(page[members[-1]].text):
        return ()
    easy = [at for at in members[:-2] if _EASY.search(page[at].text) and not _HOME.search(page[at].text)]
    return tuple(dict.fromkeys([*easy[-1:], members[-2], members[-1]]))


def _rounds_inside(page: list[PastedLine], place: int) -> tuple[list[int], bool, list[int]]:
    """The sets that a section's rounds repeat if others follow them, whether only a gap is between these, and all."""
    head = page[place]
    found: list[int] = []
    rule = blank = gap = False
    ended = 0
    deeper: bool | None = None
    for at in range(place + 1, len(page)):
        pasted = page[at]
        if pasted.kind is Kind.SECTION:
            break
        rule = rule or bool(found) and pasted.kind is Kind.RULE
        blank = blank or bool(found) and pasted.kind is Kind.BLANK
        if pasted.kind not in (Kind.SET, Kind.ROUNDS) or not (pasted.text or pasted.ask):
            continue
        if deeper is None and pasted.number != head.number:
            deeper = pasted.indent > head.indent
        closed = bool(found) and bool(page[found[-1]].between)
        ends = rule or closed or blank and not deeper or deeper and pasted.indent <= head.indent
        if found and not ended and not pasted.between and ends:
            ended, gap = len(found), blank and not deeper and not rule and not closed
        found.append(at)
    return found[:ended], gap, found


def _balance(text: str) -> int:
    bare = _QUOTES.sub("", text)
    return sum(bare.count(sign) for sign in "({[") - sum(bare.count(sign) for sign in ")}]")


def _wrap(page: list[PastedLine], first: int, last: int, count: str, depth: int = 0) -> None:
    """Turn the lines from `first` to `last` into rounds that are inside `depth` other brackets."""
    inside = [pasted for pasted in page[first : last + 1] if pasted.text and pasted.kind in (Kind.SET, Kind.ROUNDS)]
    if not inside or not count or count == "1":
        return
    for pasted in page[first : last + 1]:
        pasted.before = [(deep + (deep >= depth), said) for deep, said in pasted.before]
        pasted.depth += 1
    above = sum(1 for deep, _ in inside[0].before if deep < depth)
    inside[0].before.insert(above, (depth, f"{count} rounds"))


def _right_hand(page: list[PastedLine], place: int, times: str) -> None:
    """A bracket drawn on the right: it closes on line after line, with `x 2` next to one of them."""
    last = place
    rest = _rest_beside(page[place])
    for below in range(place + 1, len(page)):
        pasted = page[below]
        if pasted.kind not in (Kind.SET, Kind.ROUNDS, Kind.MORE, Kind.NOTE) or _balance(pasted.text) >= 0:
            break
        rest = _rest_beside(pasted) or rest
        match = _CLOSES.match(pasted.text)
        if match is None:
            break
        pasted.text = match["text"].strip(" ,;")
        times = times or match["a"] or match["b"] or match["c"] or ""
        last = below
    for pasted in page[place : last + 1]:
        if rest and pasted.kind is Kind.SET and not HAS_TIME.search(pasted.text):
            pasted.text += f", rest {rest}"
    if last == place and times:
        page[place].ask = Ask(Open.REPEATED, f"{times} rounds")
    elif times:
        _wrap(page, place, last, times)


def _rest_beside(pasted: PastedLine) -> str:
    """The rest beside a bracket on the right, which is for all lines that the bracket is at: `}  10s rest`."""
    match = _REST_BESIDE.match(pasted.text)
    if match is None:
        return ""
    pasted.text = f"{match['text']} }}"
    return match["a"] or match["b"]


def _by_themselves(page: list[PastedLine]) -> None:
    """Counts on lines of their own, above or below the lines that they repeat."""
    for place, pasted in enumerate(page):
        match = ROUNDS.fullmatch(pasted.text) if pasted.kind is Kind.ROUNDS and pasted.text else None
        if match is None:
            continue
        count = _count_of(match)
        members = _below(page, place)
        opens = pasted.text.rstrip().endswith((":", "of")) or not _above(page, place) or _stands_above(page, place)
        opens = opens or any(page[at].between or ROUNDS_REST.search(page[at].text) for at in members[-1:])
        pasted.text = ""
        if opens:
            _say_of_all(page, members, pasted.for_all)
        if opens and members and (ends := () if _indented(page, place, members) else _open_ends(page, members)):
            pasted.ask = Ask(Open.ENDS, f"{count} rounds", tuple(members), ends)
        elif opens and members:
            _wrap(page, members[0], members[-1], count, pasted.depth)
        else:
            pasted.ask = Ask(Open.REPEATED, f"{count} rounds")


def _say_of_all(page: list[PastedLine], members: list[int], said: ForAll | None) -> None:
    """Give the sets of some rounds what is said of them all: gear and time that they have not, a rest at the end."""
    sets = [page[at] for at in members if page[at].kind is Kind.SET and page[at].text]
    if sets and (rest := ROUNDS_REST.search(sets[-1].text)):
        sets[-1].text = _then_rest(sets[-1].text[: rest.start()], rest_with_words(rest))
    if said is None or not sets:
        return
    for pasted in sets:
        if said.gear and not has_gear(pasted.text):
            pasted.text += f", with {' and '.join(said.gear)}"
        if said.time and not HAS_TIME.search(pasted.text):
            pasted.text += f", {said.time}"
    if said.note and '"' not in sets[0].text:
        sets[0].text += f' "{said.note}"'
    if said.between:
        sets[-1].text = _then_rest(sets[-1].text, said.between)


def _then_rest(text: str, time: str) -> str:
    """A set and a rest after it; on a line of its own if it could be the rest after each repeat."""
    alone = re.match(r"\d+\s*[x×]", text) and not HAS_TIME.search(text)
    joint = "\n" if alone else " + "
    return f"{text}{joint}rest {time}" if text else f"rest {time}"


def _indented(page: list[PastedLine], place: int, members: list[int]) -> bool:
    """Whether the indent says where rounds end."""
    return page[members[0]].indent > page[place].indent


def _stands_above(page: list[PastedLine], place: int) -> bool:
    """Whether a count is right above its sets: they are indented below it, or a gap is between it and those above."""
    after = page[place + 1] if place + 1 < len(page) else None
    if after is None or after.kind is not Kind.SET:
        return False
    return after.indent > page[place].indent or place > 0 and page[place - 1].kind is Kind.BLANK


def _below(page: list[PastedLine], place: int) -> list[int]:
    """The lines below a count that it repeats: those that are indented deeper, else all up to the next gap."""
    own, deeper = page[place].indent, None
    found: list[int] = []
    for at in range(place + 1, len(page)):
        pasted = page[at]
        gap = pasted.kind is Kind.BLANK and not deeper or pasted.kind is Kind.RULE
        if pasted.kind is Kind.SECTION or gap and found:
            break
        if pasted.kind not in (Kind.SET, Kind.ROUNDS):
            continue
        if deeper is None:
            deeper = pasted.indent > own
        if deeper and pasted.indent <= own:
            break
        if not deeper and pasted.kind is Kind.ROUNDS:
            break
        found.append(at)
        if not deeper and (pasted.between and len(found) > 1 or ROUNDS_REST.search(pasted.text)):
            break
    return found


def _above(page: list[PastedLine], place: int) -> list[int]:
    """The sets right above a line, up to the last gap."""
    found: list[int] = []
    for at in range(place - 1, -1, -1):
        if page[at].kind in _ENDS:
            if found or page[at].kind is Kind.SECTION:
                break
            continue
        if page[at].kind is Kind.SET and page[at].text:
            found.append(at)
    return found[::-1]


def rows_above(page: list[PastedLine], place: int) -> list[int]:
    """The sets that a count at `place` may repeat, including its own line if that is a set."""
    own = [place] if page[place].kind is Kind.SET else []
    return [*_above(page, place), *own]
