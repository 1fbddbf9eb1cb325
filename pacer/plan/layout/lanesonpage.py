"""A page laid out in columns, and lines that list what lanes or groups swim."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from pacer.plan.layout.headings import known_heading
from pacer.plan.layout.pastedline import Ask, Kind, Open, PastedLine
from pacer.plan.layout.sidebyside import letters_of
from pacer.plan.regex import regex
from pacer.plan.words.labels import all_work, groups_of, is_work

#: A name in front of a set, with a gap between: `KICK  12x25`, `COUNTERS 6 x 25` in capitals.
_LABEL = regex(
    r"(?P<label>[A-Z][A-Z0-9/&+'-]+(?: [A-Z][A-Z0-9/&+'-]+){0,2})(?P<gap>\s{2,}|\s+(?=\d+\s*[x×]))(?P<rest>\S.*)"
)
_WIDE = regex(r"(?P<label>[^\W\d_][\w/&'-]*(?: [\w/&'-]+){0,2}?)(?P<gap>\s{2,})(?P<rest>\d.*)")
_LANES = regex(
    r"(?P<lanes>(?:lanes?|ln|l)\s?\d{1,2}(?:\s*[-/&+,]\s*l?\s?\d{1,2})*|(?:groups?|grp|gp|gr)\s?\d)(?P<aside>\s*\([^()\d]*\))?\s*:?\s+(?=\d)",
    re.IGNORECASE,
)
LEAST_LABELS = 2  #: lines with names on the left that make a page one of columns


def in_columns(page: Sequence[PastedLine]) -> bool:
    """Whether a page has the names of its sections in a column of their own."""
    left = min((pasted.indent for pasted in page if pasted.text), default=0)
    labelled = [s for s in page if s.indent == left and re.match(r"[A-Z][A-Za-z/]+:?\s{2,}\S", s.text)]
    return len(labelled) >= LEAST_LABELS


def label_of(text: str, columns: bool) -> tuple[str, str] | None:
    """The name in front of a set, and the set; None if there is none that can name a section or a group."""
    match = _LABEL.match(text) or (_WIDE.match(text) if columns else None)
    if match is None:
        return None
    label, rest = match["label"], match["rest"]
    rounds = re.match(r"\d+\s*[x×]\s*[({\[]", rest)
    if not columns and is_work(label) and not rounds or label.casefold() in ("or", "and", "then", "all"):
        return None
    return label, rest


def lanes_marked(text: str) -> str:
    """`L1/2   5x400` as `L1/2: 5x400`, if the words name lanes."""
    match = _LANES.match(text)
    if match is None:
        return text
    named = match["lanes"] if match["lanes"][:1] in "lL" else match["lanes"].replace(" ", "")  # Gp1
    aside = (match["aside"] or "").strip(" ()")
    if groups_of(named) is None:
        return text
    return f"{named}: {text[match.end() :]}" + (f' "{aside}"' if aside else "")


_NUMBERED = r"(?:lanes?|ln|L)\s?\d(?:\s*(?:[-–/&+,]|and|to)\s*(?:L\s?)?\d(?!\d|:\d|\s*[x×]))*"
_TIME_SAID = r"(?:\d{1,2}[:.][0-5]\d|:[0-5]\d)"
#: What some lanes do otherwise, below a set: `lane 4: 10 on 1:15`, `L1-2 1:20`, `lane 3 do 8`.
_LANE_VALUE = regex(
    rf"(?:{_NUMBERED}|[A-F]\s+(?:lane|group))\s*(?:[:=–-]\s*|\s+)(?:(?:do|does|just|take|go|leave)\s+)?"
    rf"(?:(?:(?:on|off|@|every)\s*)?{_TIME_SAID}|(?:on|off|@)\s*\d{{2,3}}"
    rf"|(?:rest\s*|ri?\s*|\+)?:?\d{{1,2}}\s*(?:s|secs?)?\s*(?:rest|ri?)?(?<=[a-z])"
    rf"|\d{{1,2}}(?:\s+(?:only|reps|of\s+them))?(?:\s*,?\s*(?:on|off|@)\s*(?:{_TIME_SAID}|\d{{2,3}}))?)\W*",
    re.IGNORECASE,
)

_ONLY_LANES = regex(rf"{_NUMBERED}\W*", re.IGNORECASE)


def lane_value(text: str) -> bool:
    """Whether a line only gives a value that some lanes have instead, below a set."""
    return bool(_LANE_VALUE.fullmatch(text)) and not _ONLY_LANES.fullmatch(text)


#: The names of lanes or groups above their columns: `L1   L2   L3`.
LANE_HEADS = regex(
    r"(?:(?:lanes?\s?|ln\s?|l)\d\s{2,}){1,9}(?:lanes?\s?|ln\s?|l)\d|(?:[A-Z]\s{2,}){1,9}[A-Z]", re.IGNORECASE
)


def lanes_in_columns(page: list[PastedLine]) -> None:
    """Give each lane its own set where words are in the columns below the lanes' names, up to a gap."""
    heads: list[str] = []
    for pasted in list(page):
        if LANE_HEADS.fullmatch(pasted.text):
            heads = re.findall(r"\d|(?<![^\W\d_])[A-Z](?!\w)", pasted.text)
            continue
        cells = [cell.strip() for cell in re.split(r"\s{2,}", pasted.text) if cell.strip()]
        if not cells:
            heads = []
        alike = len({re.sub(r"[\d:.]+", "0", cell) for cell in cells}) == 1
        if not heads or len(cells) != len(heads) or alike and not re.search(r"[^\W\d]{2}", cells[0]):
            continue
        if len({*cells}) == 1:
            pasted.text = cells[0]
            continue
        named = [f"lane {head}" if head.isdigit() else head for head in heads]
        sets = [f"{name}: {cell}" for name, cell in zip(named, cells) if re.search(r"\d", cell)]
        if sets:
            at = page.index(pasted)
            page[at : at + 1] = [replace(pasted, text=text) for text in sets]


# ---- names in front of sets, on line after line: `New kids: 4 x 50`, `Year 9 - 4 x 50`, `Kick 1  8 x 50`

_COUNTED = r"(?P<set>\d{1,2}\s*[x×]\s*[\d({\[].*)"
_NAME = r"(?:[^\W\d_][\w'’&-]*(?:\s+[^\W\d_][\w'’-]*){0,2}(?:\s+\d{1,2})?|\d(?:st|nd|rd|th)s?(?:\s+[^\W\d_]+)?)"
_NAMED = regex(rf"(?:the\s+)?(?P<name>{_NAME})\s*(?::|\s[–—-])\s*{_COUNTED}", re.IGNORECASE)
#: A name that can only be that of swimmers.
_SQUAD = regex(
    rf"(?:the\s+)?(?P<name>(?:[^\W\d_][\w'’-]*\s+){{1,2}}(?:groups?|squad|team|club|kids|swimmers))\s+{_COUNTED}",
    re.IGNORECASE,
)
#: Swimmers, and the lanes that they are in.
_PLACED = regex(
    r"(?P<name>[^\W\d_][\w'’ -]{1,24}?)\s*\((?P<lanes>(?:lanes?|ln|L)\s?\d[\d\s,&+/–-]*)\)"
    r"\s*[:–—-]?\s*(?=\d{1,2}\s*[x×])",
    re.IGNORECASE,
)
_ONE_OF = regex(r"(?P<name>[^\W\d_][^\d:;,()]{0,20}?)\s?\#?(?P<n>[1-9])(?:\s*[:–—-]\s*|\s+)(?P<set>\d.*)")
#: A group, with what kind of swimmers they are.
_ASIDE = regex(r"(?<![\w'’])(?P<group>[A-F])\s*\((?P<aside>[^()\d]{2,24})\)\s*:?\s*(?=\d{1,2}\s*[x×]\s*[\d({\[])")
_GROUP_WORD = regex(r"(?:lanes?|ln|l|groups?|grp|gp|gr|year|yr|squad|team|rep|length)", re.IGNORECASE)
_LETTERED = regex(r"^([A-Z])['’]?s$")
_NO_NAME = regex(
    r"(?:relay|then|and|or|finish|repeat|rounds?|rds?|pyramid|ladder|optional|extra|if|main|set)\b", re.IGNORECASE
)


def named_lines(page: list[PastedLine]) -> None:
    """Write names in front of sets alike: those of groups on line after line, and those of numbered sections."""
    _side_by_side(page)
    _numbered(page)
    run: list[tuple[PastedLine, re.Match[str]]] = []
    for pasted in [*page, PastedLine(0, "", "end")]:
        if (match := _PLACED.match(pasted.text)) and groups_of(match["lanes"].strip()):
            pasted.text = f'{match["lanes"].strip()}: {pasted.text[match.end() :]} "{match["name"].strip()}"'
        elif (match := _SQUAD.fullmatch(pasted.text)) and not _NO_NAME.match(match["name"]):
            pasted.text = f"{match['name']}: {match['set']}"
        match = _NAMED.fullmatch(pasted.text)
        if match and _names_swimmers(match["name"]):
            run.append((pasted, match))
        elif pasted.text:
            _alike(run)
            run = []


def _side_by_side(page: list[PastedLine]) -> None:
    """`Main  A (sprinters) 2 x [...]  B (mid-d) 4 x [...]`: a line for each group."""
    for pasted in list(page):
        found = list(_ASIDE.finditer(pasted.text))
        if len({match["group"] for match in found}) < LEAST_LABELS:
            continue
        at, lead = page.index(pasted), pasted.text[: found[0].start()].strip(" :-–—")
        ends = [*(match.start() for match in found[1:]), len(pasted.text)]
        made = [replace(pasted, text=f"{lead}:", total=None)] if lead else []
        for match, end in zip(found, ends):
            own = pasted.text[match.end() : end].strip(" ,;/")
            made.append(replace(pasted, text=f'{match["group"]}: {own} "{match["aside"].strip()}"', total=None))
        made[-1].total = pasted.total
        page[at : at + 1] = made


def _names_swimmers(name: str) -> bool:
    """Whether a name in front of a set can be that of a group: it is no work, no section, no word for what follows."""
    return not (is_work(name) or all_work(name) or known_heading(f"{name}:") or _NO_NAME.match(name))


def _alike(run: list[tuple[PastedLine, re.Match[str]]]) -> None:
    """Write the names on several lines, each with another, with a colon; one group has the letter in `the A's`."""
    if len({match["name"].casefold() for _, match in run}) >= LEAST_LABELS:
        for pasted, match in run:
            name = _LETTERED.sub(r"\1", match["name"])
            pasted.text = f"{name}: {match['set']}"


def _numbered(page: list[PastedLine]) -> None:
    """`Kick 1  8 x 50` above `Kick 2  4 x 100`: each begins a section."""
    found = [
        (pasted, match)
        for pasted in page
        if (match := _ONE_OF.fullmatch(pasted.text)) and not known_heading(pasted.text)
    ]
    for pasted, match in found:
        name = match["name"].strip()
        numbers = {each["n"] for _, each in found if each["name"].strip().casefold() == name.casefold()}
        if not {"1", "2"} <= numbers or _NO_NAME.match(name) or _GROUP_WORD.fullmatch(name):
            continue
        at = page.index(pasted)
        page[at : at + 1] = [
            replace(pasted, text=f"{pasted.text[: match.end('n')]}:", total=None),
            replace(pasted, text=f"{name if is_work(name) else ''} {match['set']}".strip(), indent=pasted.indent + 1),
        ]


#: A group in front of its set.
_LETTER = regex(r"([A-Z])\s+(?=\d{1,2}\s*[x×]\s*\d)")
#: Numbers in columns, one for each lane: `200   300   400   400  choice`, `4x50   4x100   6x100  on …`.
_COLUMNS = regex(r"(?P<all>\d{2,4}(?:\s{3,}\d{2,4}){2,})(?P<rest>\s+\D.*)?")
_CLOCK = r"(?:\d{1,2}[:.][0-5]\d|:[0-5]\d)"
_TIMES = regex(rf"(?P<lead>.*?\S\s+|)(?P<all>{_CLOCK}(?:\s{{2,}}{_CLOCK}){{2,}})(?P<rest>\s+\S.*)?")
_VALUED = regex(r"(?:\b(?:on|off|rest|ri?|hold|every)|@)\s*$", re.IGNORECASE)
_SETS = regex(
    r"(?P<lead>(?:[^\W\d][^\d]*\s{2,})?)(?P<all>\d{1,2}\s?[x×]\s?\d{2,4}(?:\s{3,}\d{1,2}\s?[x×]\s?\d{2,4}){2,})(?P<rest>\s+.*)?"
)


def by_lane(text: str) -> str:
    """A set whose numbers are in columns, with slashes between the lanes."""
    if match := _COLUMNS.fullmatch(text):
        return f"1 x {' / '.join(match['all'].split())}{match['rest'] or ''}"
    if match := _SETS.fullmatch(text):
        pairs = re.findall(r"(\d+)\s?[x×]\s?(\d+)", match["all"])
        counts, lengths = ([pair[at] for pair in pairs] for at in (0, 1))
        distance = lengths[0] if len({*lengths}) == 1 else " / ".join(lengths)
        return f"{match['lead']}{' / '.join(counts)} x {distance}{match['rest'] or ''}"
    if match := _TIMES.fullmatch(text):
        word = "" if _VALUED.search(match["lead"]) else "on "
        return f"{match['lead']}{word}{' / '.join(match['all'].split())}{match['rest'] or ''}"
    return text


def lettered(page: list[PastedLine]) -> None:
    """`R 10x200` above `A 8x200`: capitals in front of several sets are groups."""
    found = [(pasted, match) for pasted in page if (match := _LETTER.match(pasted.text))]
    letters = {match[1] for _, match in found}
    if letters <= {"K", "P", "S", "D"}:  # K: 5x100
        for pasted in page:
            pasted.text = re.sub(r"^K\s*:\s*(?=\d)", "kick ", re.sub(r"^P\s*:\s*(?=\d)", "pull ", pasted.text))
        return
    if len(letters) < 2:
        return
    for pasted, match in found:
        pasted.text = f"{match[1]}: {pasted.text[match.end() :]}"


# ---- lines that list what lanes or groups swim, one after the other: `L1-2 600, L3 500`, `A 8x100 B 6x100`
# Each becomes a set of its own. What follows only one of them may be for all: the coach is asked.

_WHO = (
    r"(?P<who>(?:lanes?|ln|l)\s?\d{1,2}(?:\s*(?:[-–/&+]|and|to)\s*(?:l\s?)?\d{1,2}(?!\d|\s*[x×@]|:\d))*"
    r"|(?:groups?|grp|gp)\s?(?:\d|[A-F])(?!\w)|(?-i:[A-F](?:\s*[+&/]\s*[A-F])*)(?![\w'’.]))"
)
_CORE = (
    r"(?P<core>\d{1,2}\s*[x×]\s*[({\[][^()\[\]{}]*[)}\]]|\d{1,2}\s*[x×]\s*\d{2,4}\s?m?(?!\w)"
    r"|(?:25|50|75|[1-9]\d?(?:00|25|50|75))\s?m?(?![\w:%]|\.\d|\s*[x×-])|(?P<count>\d{1,2})(?=\s*(?:@|on\b|off\b|every\b)))"
)
_ONE = rf"(?:^|(?<=[\s,;/.|]))(?:lanes?\s+)?{_WHO}\s*[:=]?\s+(?:(?:swims?|do(?:es)?|go(?:es)?)\s+)?{_CORE}"
#: How often and when all of them go: `4 goes off 2.00 - A 100, B 75`, `every 90 secs for 12 mins - A 100, B 75`.
_CLOCKED = regex(
    r"(?:(?P<n>\d{1,2})\s*(?:goes|times|reps|swims|x)\s*,?\s*(?:on|off|every|@)\s*(?:the\s+)?(?P<time>\d{1,2}[:.]\d\d|\d{2,3})"
    r"|(?:on|off|every)\s+(?P<every>\d{1,3})\s*(?P<unit>s|secs?|seconds?|mins?|minutes?)\s+for\s+(?P<whole>\d{1,2})\s*(?:mins?|minutes?))"
    r"\s*[-–:,]*\s*",
    re.IGNORECASE,
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
    letters = letters_of(page)
    for pasted in list(page):
        if pasted.kind not in (Kind.SET, Kind.NOTE, Kind.MORE):
            if pasted.kind is not Kind.BLANK:
                head = None
            continue
        own = _listed(pasted.text, letters)
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


def _listed(text: str, letters: str = "") -> list[_Own]:
    """The parts of a line that lists lanes or groups; none if it says anything else in front of them.

    `letters` are capitals that name groups on this page.
    """
    text = _LEAD.sub("", re.sub(r"(?<=\d)(?=IM\b)", " ", text.strip()), count=1)
    if clocked := _CLOCKED.match(text):
        text = text[clocked.end() :]
    pattern = re.compile(_ONE.replace("[A-F]", f"[A-F{letters}]"), re.IGNORECASE)
    found = [match for match in pattern.finditer(text) if groups_of(_label(match["who"]))]
    if not found or found[0].start():
        return []
    named = [group for match in found for group in groups_of(_label(match["who"])) or ()]
    if len({*named}) != len(named):
        return []
    made = []
    for match, after in zip(found, [*found[1:], None]):
        said = text[match.end() : after.start() if after else len(text)].strip(_JOINTS)
        said = re.sub(r"^all\s+(?:on\s+|off\s+)?(?=\d{1,2}[.:]\d\d)", "on ", said, flags=re.IGNORECASE)
        core, alone = match["core"].strip(), match["count"] is not None
        if clocked and not alone and core.rstrip("m ").isdigit():
            often, time = _clock(clocked)
            core, said = f"{often} x {core}", f"{said}, on {time}".lstrip(" ,")
        made.append(_Own(_label(match["who"]), core, said, alone))
    return made


def _clock(match: re.Match[str]) -> tuple[int, str]:
    """How often all go, and when."""
    if match["n"]:
        return int(match["n"]), match["time"]
    seconds = int(match["every"]) * (1 if match["unit"].casefold().startswith("s") else 60)
    return int(match["whole"]) * 60 // seconds, f"{seconds // 60}:{seconds % 60:02}"


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
