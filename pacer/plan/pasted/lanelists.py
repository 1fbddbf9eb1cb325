"""Lines that list what lanes or groups swim, one after the other: `L1-2 600, L3 500, L4 400`, `A 8x100 B 6x100`.

Each becomes a set of its own. What stands behind only one of them may be for all: the coach is asked.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from pacer.plan.pasted.pastedline import Ask, Kind, Open, PastedLine
from pacer.plan.regex import regex
from pacer.plan.words.labels import groups_of

_WHO = (
    r"(?P<who>(?:lanes?|ln|l)\s?\d{1,2}(?:\s*(?:[-–/&+]|and|to)\s*(?:l\s?)?\d{1,2}(?!\d|\s*[x×@]|:\d))*"
    r"|(?:groups?|grp|gp)\s?(?:\d|[A-F])(?!\w)|(?-i:[A-F](?:\s*[+&/]\s*[A-F])*)(?![\w'’.]))"
)
_CORE = (
    r"(?P<core>\d{1,2}\s*[x×]\s*[({\[][^()\[\]{}]*[)}\]]|\d{1,2}\s*[x×]\s*\d{2,4}\s?m?(?!\w)"
    r"|(?:25|50|75|[1-9]\d?(?:00|25|50|75))\s?m?(?![\w:%]|\.\d|\s*[x×-])|(?P<count>\d{1,2})(?=\s*(?:@|on\b|off\b|every\b)))"
)
_ONE = regex(
    rf"(?:^|(?<=[\s,;/.|]))(?:lanes?\s+)?{_WHO}\s*[:=]?\s+(?:(?:swims?|do(?:es)?|go(?:es)?)\s+)?{_CORE}", re.IGNORECASE
)
_LEAD = regex(r"(?:and\s+)?then\s+", re.IGNORECASE)
#: `100s front crawl`, above lines that say how often and when.
_HEAD = regex(r"(?P<far>\d{2,4})\s?'?s\s*(?P<work>[^\W\d_][^\d:;,]*)?\s*:?", re.IGNORECASE)
#: A line that says who swims the sets below.
_FOR_SOME = regex(
    r"(?P<groups>(?:lanes?|groups?)\s*[0-9A-Z](?:\s*(?:-|&|,|to|and|\+)\s*[0-9A-Z])*|everyone|everybody|all(?:\s+lanes)?)\s*:?",
    re.IGNORECASE,
)
COLON_LABEL = regex(r"[^\d:]{1,20}\d{0,2}\s*:")
_JOINTS = " ,;/.|&+-–"


@dataclass(frozen=True, slots=True)
class _Own:
    """What some swim: who, how often and how far, what is said of it; `alone` if that is only how often."""

    who: str
    core: str
    said: str
    alone: bool


def lists_of_lanes(page: list[PastedLine]) -> None:
    """Make a set for each of the lanes or groups that a line lists."""
    head: tuple[PastedLine, re.Match[str]] | None = None
    for pasted in list(page):
        if pasted.kind not in (Kind.SET, Kind.NOTE, Kind.MORE):
            if pasted.kind is not Kind.BLANK:
                head = None
            continue
        own = _listed(pasted.text)
        if own and any(each.alone for each in own):
            if head is None or not all(each.alone for each in own):
                continue
            above, named = head
            far = f"{named['far']} {(named['work'] or '').strip()}".strip()
            own = [replace(each, core=f"{each.core} x {far}") for each in own]
            above.text = ""
        elif head and own and head[0].text == "":  # other lanes' own sets, below those
            pass
        elif len(own) < 2:
            match = _HEAD.fullmatch(pasted.text)
            head = (pasted, match) if match and pasted.kind is Kind.SET else None
            continue
        at = page.index(pasted)
        whose = next((each.who for each in own if each.said), "")
        own, tail = _shared(own)
        made = [
            replace(pasted, text=f"{each.who}: {each.core} {each.said}".strip(), kind=Kind.SET, ask=None, listed=True)
            for each in own
        ]
        if tail and made:
            made[0].ask = Ask(Open.SHARED, tail, whose=whose)
        made[0].before, made[0].total = pasted.before, pasted.total
        for each in made[1:]:
            each.before, each.total = [], None
        page[at : at + 1] = made


def for_some_lanes(page: list[PastedLine], leads: Callable[[list[PastedLine], int], bool]) -> None:
    """`Lanes 1-2:` alone on a line is for the sets below it, up to the next such line, a section or a gap.

    `leads` says whether a set is below a line.
    """
    label = ""
    swum = False
    for place, pasted in enumerate(page):
        match = _FOR_SOME.fullmatch(pasted.text) if pasted.kind in (Kind.SECTION, Kind.NOTE, Kind.ROUNDS) else None
        if match and leads(page, place) and not pasted.details:
            groups = groups_of(match["groups"])
            if groups is not None:
                label, swum = match["groups"].strip() if groups else "", False
                pasted.kind, pasted.text = Kind.LABEL, ""
                continue
        if pasted.kind is Kind.SECTION or pasted.kind is Kind.BLANK and swum:
            label = ""
        elif pasted.kind is Kind.SET and label and not COLON_LABEL.match(pasted.text):
            pasted.text, swum = f"{label}: {pasted.text}", True


def _listed(text: str) -> list[_Own]:
    """The parts of a line that lists lanes or groups; none if it says anything else in front of them."""
    text = _LEAD.sub("", text.strip(), count=1) if _LEAD.match(text.strip()) else text.strip()
    found = [match for match in _ONE.finditer(text) if groups_of(_label(match["who"]))]
    if not found or found[0].start():
        return []
    named = [group for match in found for group in groups_of(_label(match["who"])) or ()]
    if len({*named}) != len(named):
        return []
    made = []
    for match, after in zip(found, [*found[1:], None]):
        said = text[match.end() : after.start() if after else len(text)].strip(_JOINTS)
        made.append(_Own(_label(match["who"]), match["core"].strip(), said, match["count"] is not None))
    return made


def _label(who: str) -> str:
    """The name of lanes or groups as a label: `group 1` as `group1`."""
    return re.sub(r"^(groups?|grp|gp)\s+(?=\d)", r"\1", " ".join(who.split()), flags=re.IGNORECASE)


def _shared(own: Sequence[_Own]) -> tuple[list[_Own], str]:
    """The parts with what is said of only one of them said of all, and that; "" if each has its own."""
    said = [each.said for each in own]
    bare = [not words for words in said]
    if len(own) > 1 and (all(bare[:-1]) and not bare[-1] or not bare[0] and all(bare[1:])):
        tail = said[-1] or said[0]
        return [replace(each, said=tail) for each in own], tail
    return list(own), ""
