"""Words before a colon: groups, lanes, the work of a set, a section's name."""

from __future__ import annotations

import re

from pacer.plan.model import ALL_BUT, lane_label
from pacer.plan.regex import regex
from pacer.plan.words.linepatterns import KICKS, OWN_STROKE
from pacer.plan.words.sayings import SAYINGS
from pacer.plan.words.vocabulary import ASKED, GEAR_WORDS, LINE_WORDS, key_of, near

#: The highest lane number: pools number from 0 or from 1.
MAX_LANE = 99

_ALL = frozenset({"all", "everyone", "everybody", "all lanes", "all groups"})
_LANES = regex(r"(?:lanes?|ln|l)\s*([0-9]{1,2}(?:\s*(?:-|–|to|,|&|\+|/|and)\s*(?:l\s?)?[0-9]{1,2})*)", re.IGNORECASE)
_GROUP = regex(r"(?:groups?|grp)\s+(.+)", re.IGNORECASE)
_JOINT = regex(r"\s*(?:,|&|\+|/|\band\b)\s*", re.IGNORECASE)
#: Lanes and groups by their speed: the squad says which.
BUT = regex(r"(?:all|everyone|everybody|everyone\s+else)(?:\s+(?:lanes|groups))?\s+(?:but|except)\s+", re.IGNORECASE)
BY_SPEED = regex(r"(?:fast(?:er|est)?|slow(?:er|est)?)\s+(?:lanes?|groups?)", re.IGNORECASE)
_NAME = regex(r"(?![^\W\d_]*x[0-9])[^\W\d_][\w-]*")
#: Short names of sections. Common practice, no source.
SECTION_NAMES = regex(
    r"(?:w[/-]?u|warm[\s-]?ups?|m/?s|main(?:\s+set)?|c[/-]?d|cool[\s-]?downs?|w[/-]?d|warm[\s-]?downs?|s[/-]?d|swim[\s-]?downs?"
    r"|(?:pre|post)(?:[\s-]?set)?|skills?(?:\s+set)?|kick\s+set|pull\s+set|swim\s+set|leg\s+set)(?![\w'’])",
    re.IGNORECASE,
)

#: Work that names a section if it is alone on its line: no set is without a number.
WORK_ALONE = regex(
    r"(?:kick(?:s|ing)?|pull(?:s|ing)?|drills?|sprints?|scull(?:s|ing)?|legs|(?:back|breast)(?:stroke)?|(?:butter)?fly)\s*:?",
    re.IGNORECASE,
)
#: Words beside a stroke or an activity in the name of sets: `Breast str: …`.
_BESIDE_WORK = frozenset({"str", "stroke", "work", "bit", "stuff"})
#: Capitals that are kick and pull in front of a set; others are groups. Common practice, no source.
WORK_LETTERS = ("K", "P")
MOST_WORDS = 4  #: in a phrase
LONG = 6  #: letters of a word that is still known if it is misspelt
SURELY = 0.85
_LONG_WORK = tuple(
    word
    for word, (kind, _) in LINE_WORDS.items()
    if kind in ("ACTIVITY", "STROKE") and len(word) >= LONG and " " not in word
)

#: The same written out, for names that are misspelt.
USUAL_NAMES = (
    "Warm-up", "Pre-set", "Skill set", "Drill set", "Kick set", "Pull set", "Swim set", "Main set", "Cool-down",
    "Warm-down", "Swim-down",
)  # fmt: skip


def groups_of(words: str) -> tuple[str, ...] | None:
    """The groups and lanes named by words before a colon, () for all; None if they name none.

    >>> groups_of("A & B"), groups_of("Lanes 1-3"), groups_of("everyone"), groups_of("Main set")
    (('A', 'B'), ('lane 1', 'lane 2', 'lane 3'), (), None)
    >>> groups_of("all but A, lane 3")
    ('all but A', 'all but lane 3')
    """
    words = words.strip()
    if match := BUT.match(words):
        return _but(words[match.end() :])
    if words.casefold() in ("pyramid", "ladder") or SECTION_NAMES.fullmatch(words):
        return None
    if BY_SPEED.fullmatch(words):
        return (" ".join(words.split()),)
    if words.casefold() in _ALL:
        return ()
    if words.casefold() in ASKED:
        return None
    if match := _LANES.fullmatch(words):
        return _lanes(match[1])
    match = _GROUP.fullmatch(words)
    names = _JOINT.split(match[1] if match else words)
    if all(_NAME.fullmatch(name) for name in names) and (match or not all(map(is_work, names))):
        return tuple(names)
    return None


def group_name(words: str) -> str:
    """Words for some swimmers as the name of a group, which is one word that begins with a letter.

    >>> group_name("New kids"), group_name("2nds"), group_name("Gold")
    ('New-kids', 'Group-2nds', 'Gold')
    """
    if _NAME.fullmatch(words):
        return words
    name = "-".join(re.findall(r"\w+", words.replace("'", "").replace("’", "")))
    return f"Group-{name}" if name[:1].isdigit() else name


def _but(words: str) -> tuple[str, ...] | None:
    """The groups and lanes that do not swim something which all others do."""
    named: list[str] = []
    for part in re.split(r"\s*[,;]\s*(?=[^\W\d])", words):  # lanes 1, 3 are one part
        groups = groups_of(part)
        if not groups or groups[0].startswith(ALL_BUT):
            return None
        named += groups
    numbers = sorted({int(group.removeprefix("lane ")) for group in named if group.startswith("lane ")})
    others = dict.fromkeys(group for group in named if not group.startswith("lane "))
    return tuple(f"{ALL_BUT}{group}" for group in (*others, *map(lane_label, numbers)))


def _lanes(said: str) -> tuple[str, ...] | None:
    numbers: list[int] = []
    for part in re.split(r"\s*(?:,|&|\+|/|and)\s*", said.casefold().replace("l", "")):
        first, _, last = re.sub(r"\s*(?:-|–|to)\s*", "-", part).partition("-")
        low, high = int(first), int(last or first)
        if not low <= high <= MAX_LANE:
            return None
        numbers += range(low, high + 1)
    return tuple(map(lane_label, sorted({*numbers})))


def kind_of_work(word: str) -> str:
    """ACTIVITY, STROKE or EFFORT of a word; "" for other words."""
    kind = LINE_WORDS.get(key_of(word), ("",))[0]
    return kind if kind in ("ACTIVITY", "STROKE", "EFFORT") else ""


def all_work(words: str) -> bool:
    """Whether each word is an activity, a stroke or an effort."""
    return all(kind_of_work(word) or kind_of_work(word.rstrip(".")) for word in words.split())


def work_kinds(words: str) -> list[str]:
    """What each phrase of a name in front of sets is: a kind of work, gear, a drill or a cue; [] if one is unknown.

    >>> work_kinds("Frog kick"), work_kinds("best stroke pull"), work_kinds("Catch up fc"), work_kinds("Long one")
    (['STROKE', 'ACTIVITY'], ['STROKE', 'ACTIVITY'], ['DRILL', 'STROKE'], [])
    """
    parts, found = words.split(), list[str]()
    while parts:
        for length in range(min(len(parts), MOST_WORDS), 0, -1):
            if kind := _kind_of(" ".join(parts[:length])):
                break
        else:
            return []
        found.append(kind)
        del parts[:length]
    return found


def _kind_of(phrase: str) -> str:
    """The kind of a phrase that is known; "" for others."""
    key = key_of(phrase)
    if kind := kind_of_work(phrase) or kind_of_work(phrase.rstrip(".")):
        return kind
    if key in GEAR_WORDS:
        return "GEAR"
    if key in KICKS or OWN_STROKE.fullmatch(phrase):
        return "STROKE"
    said = SAYINGS.fullmatch(phrase)
    return "" if said is None else "NOTE" if said["note"] else "DRILL" if said["drill"] else "ACTIVITY"


def work_named(words: str) -> str:
    """The work that a name in front of sets says, spelt as it is known; "" if it names anything else.

    >>> work_named("breastroke"), work_named("Breast str"), work_named("B/c kick"), work_named("Main")
    ('breaststroke', 'Breast', 'B/c kick', '')
    """
    if SECTION_NAMES.match(words):
        return ""
    if {"ACTIVITY", "STROKE", "DRILL"} & {*work_kinds(words)}:
        return words
    said = []
    for word in words.split():
        if kind_of_work(word):
            said.append(word)
        elif word.casefold() not in _BESIDE_WORK:
            known = near(word, _LONG_WORK, SURELY) if len(word) >= LONG else ""
            if not known:
                return ""
            said.append(known)
    return " ".join(said)


def is_work(words: str) -> bool:
    """Whether words before a colon are work and not a group: `Pull`, `K`, `Free`, `Easy`, `Fins`; not `D`."""
    if len(words) == 1 and words.isupper() and words not in WORK_LETTERS or SECTION_NAMES.match(words):
        return False
    return bool({"ACTIVITY", "STROKE", "EFFORT", "GEAR", "DRILL"} & {*work_kinds(words)})
