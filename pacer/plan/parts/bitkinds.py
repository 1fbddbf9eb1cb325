"""The kinds of bits of a line, and the words of each kind."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto

from pacer.plan.words.vocabulary import ASKED, GEAR_WORDS, LINE_WORDS


class Kind(Enum):
    """What a bit of a line is."""

    NUMBER = auto()
    FAR = auto()  #: a number that can only be a distance: `200m`, `50s`
    LENGTHS = auto()  #: the word after a number of lengths
    TIME = auto()
    SECONDS = auto()  #: a time in seconds or minutes, as rests are said
    TIMES = auto()  #: x
    RANGE = auto()  #: `1-4`, of repeats
    WORK = auto()
    SAID = auto()  #: a drill or an instruction by its name
    GEAR = auto()
    TREND = auto()
    ON = auto()
    AT = auto()
    REST = auto()
    HOLD = auto()
    WITH = auto()
    LANES = auto()  #: some lanes, or a group of the squad
    BY = auto()
    AS = auto()
    ODD = auto()
    EVEN = auto()
    ALTERNATE = auto()
    ROUNDS = auto()
    AGAIN = auto()  #: all of it once more
    BETWEEN = auto()  #: between the repeats, after each
    THEN = auto()
    MIRRORED = auto()  #: back through the same distances
    OTHERS = auto()  #: other swimmers than those of the fastest lane
    RELATION = auto()  #: a word after which nothing is swum: not, or, from
    PLUS = auto()
    SLASH = auto()
    COMMA = auto()
    DASH = auto()
    COLON = auto()
    STOP = auto()
    LEFT = auto()
    RIGHT = auto()
    QUOTE = auto()
    TOTAL = auto()  #: a word that makes the number beside it a total
    WORD = auto()


@dataclass(frozen=True, slots=True)
class Bit:
    """A bit of a line at `start` to `end`: its text as written, and what it says in the notation's own form.

    `number` is the value of a number or of a count of repeats; for a range `last` is its end. `word` is what kind of
    work a word is: ACTIVITY, STROKE or EFFORT.
    """

    kind: Kind
    text: str
    start: int
    end: int
    says: str = ""
    number: int = 0
    last: int = 0
    word: str = ""


NUMBERS = {
    word: number
    for number, word in enumerate(
        [
            "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
            "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
            "twenty",
        ],
        start=1,
    )
}  # fmt: skip
_BY_TYPE = {
    "ACTIVITY": Kind.WORK, "STROKE": Kind.WORK, "EFFORT": Kind.WORK, "ON": Kind.ON, "REST": Kind.REST,
    "HOLD": Kind.HOLD,
    "WITH": Kind.WITH, "BY": Kind.BY, "ROUNDS": Kind.ROUNDS, "TREND": Kind.TREND, "_AS": Kind.AS, "_ODD": Kind.ODD,
    "_EVEN": Kind.EVEN, "_THEN": Kind.THEN, "_AND": Kind.PLUS, "_ALTERNATE": Kind.ALTERNATE,
}  # fmt: skip
#: Words beside the notation's. Common practice, no source.
_BESIDE = {
    Kind.ON: (
        "setting off every, leaving every, set off every, going every, off every, starting every, off, leaving, "
        "leave, leave at, go, go at, send-off, send offs, leaving at, t/o, turn around, ivl"
    ),
    Kind.REST: (
        "rec, wait, breather, puff, puff for, wait for, wait there for, stop for, chat for, breather for, breather of, "
        "off each, stop, stopping, resting, rst"
    ),
    Kind.BETWEEN: (
        "between, btw, btwn, in between, between each, after each, after every, each, between rounds, btw rounds, "
        "between reps, between sets, btw sets, btw rds, between rds, after each one, after each round, between "
        "the rounds, between them, in-between, rest between, after each set, after each rep, betw"
    ),
    Kind.RELATION: (
        "no, not, non, without, or, if, instead, except, but, like, for, after, before, from, to, than, until, "
        "till, first, last, next, middle, per, only, less, same, approx, else, at, about, around, "
        "roughly, your, when, because, so, under, over, within, which, who, that, incl, including, inc, are, was, "
        "watch, think, final, you, homework"
    ),
    Kind.MIRRORED: (
        "then back up, and back up, then back down, and back down, back up again, back down again, then back up again, "
        "and back up again, then back down again, and back down again, then up again, and up again, then down again, "
        "and down again, up and back down, then reverse, and reverse, then in reverse, and in reverse, "
        "and then back up, and then back down, then back up the same way, back up, back down, then back to the start"
    ),
    Kind.OTHERS: (
        "others, the others, all others, other swimmers, little ones, the little ones, younger ones, the younger ones, "
        "youngest, the youngest, smaller ones, small ones, wee ones, littlies, beginners, the beginners, novices, "
        "slower lanes, the slower lanes, slow lanes, slow lane, slower ones, slower swimmers, weaker swimmers, "
        "rest of you, the rest of you, rest of the group, less able, development lane, dev lane, newer swimmers, "
        "new swimmers, newbies, improvers, tots, minis"
    ),
    Kind.LENGTHS: "lengths, length, lths, lth, lgths, lgth, lgs, laps, lap",
    Kind.TOTAL: "tot, total, totals, altogether, all told, in total, in all, tot.",
    Kind.WITH: "w",
    Kind.TIMES: "times, lots of, goes of, goes at, reps of, sets of",
    Kind.THEN: (
        "then, and then, followed by, straight into, finish with, then finish with, finishing with, ending with, "
        "end with"
    ),
    Kind.ALTERNATE: "alternating, alternately, alternate, alt",
    Kind.AGAIN: (
        "do it all again, do that again, do them again, do it again, repeat it all, repeat all, all again, "
        "repeat, repeat the lot, do the lot again, repeat that, twice, twice through, do it twice, and repeat, do "
        "this, do these, go through this, go through it again, same again, do all that again"
    ),
}
WORDS: dict[str, tuple[Kind, str]] = {
    **{word: (_BY_TYPE[kind], kind) for word, (kind, _) in LINE_WORDS.items() if kind in _BY_TYPE},
    **dict.fromkeys(GEAR_WORDS, (Kind.GEAR, "")),
    **{word.strip(): (kind, "") for kind, words in _BESIDE.items() for word in words.split(",")},
}
_ALL_OUT = ("as fast as you can", "as fast as they can", "as hard as you can", "as quick as you can")
#: Words that can mean several efforts, and the likeliest.
MEANT = {
    **{word: ASKED[word][0] for word in ("race pace", "cruise", "tempo", "blast", "progressive", "technique")},
    "dive starts": "sprint",
    "race": "fast",
    "starts": "sprint",
    **dict.fromkeys(_ALL_OUT, "sprint"),
}
#: Those of them that say more than an effort.
_KEPT = ("dive starts", "starts", "race", "technique", *_ALL_OUT)
#: Words that are often misspelt, and that mean only one thing.
SPELT = (
    "backstroke", "breaststroke", "butterfly", "freestyle", "breast", "crawl", "sculling", "kicking", "medley",
)  # fmt: skip
#: What words without vowels are short for, and those that mean something else.
_LONG = {
    "frontcrawl": "free", "freestyle": "free", "backstroke": "back", "breaststroke": "breast", "butterfly": "fly",
    "kick": "kick", "pull": "pull", "drill": "drill", "scull": "scull", "swim": "swim",
}  # fmt: skip
_NOT_SHORT = frozenset({"brk", "frst", "bttm", "bth", "frm", "pls", "bst", "btwn", "btw", "bks"})
MOST_SHORT = 6  #: letters
#: Letters that coaches use and the notation does not: the says and the kind of each.
LETTERS = {
    "F": ("free", 0, 0, "STROKE"),
    "f": ("free", 0, 0, "STROKE"),
    "s": ("swim", 0, 0, "ACTIVITY"),
    "S": ("swim", 0, 0, "ACTIVITY"),
}


def kept(bit: Bit) -> bool:
    """Whether a word of work says more than the work: the swimmers see it too."""
    return bit.text.casefold() in _KEPT or bit.says == "choice" and bit.word == "STROKE"


def short_for(said: str) -> str:
    """The stroke or activity that a word without vowels is short for, if it is only one: `Frt`, `Kk`, `Bkst`.

    >>> short_for("Kk"), short_for("btfly"), short_for("brk"), short_for("frst")
    ('kick', 'fly', '', '')
    """
    word = said.casefold()
    if not (3 <= len(word) <= MOST_SHORT or word == "kk") or word in _NOT_SHORT or set(word) & set("aeiou"):
        return ""
    meant = {stroke for long, stroke in _LONG.items() if long[0] == word[0] and _within(word, long)}
    return meant.pop() if len(meant) == 1 else ""


def _within(word: str, long: str) -> bool:
    """Whether the letters of a word are in a longer one in that order."""
    letters = iter(long)
    return all(letter in letters for letter in word)
