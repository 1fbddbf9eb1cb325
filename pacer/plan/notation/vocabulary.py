"""The words of the notation, as data: what each may be written as, and which was meant."""

from __future__ import annotations

from functools import lru_cache

from pacer.plan.model import Activity, Effort, Stroke, Trend

#: Short forms of the trade, written out by `write_plan`.
SHORT_FORMS = {
    "fr": "free",
    "fc": "free",
    "bk": "back",
    "br": "breast",
    "fl": "fly",
    "ch": "choice",
    "k": "kick",
    "p": "pull",
    "d": "drill",
    "ez": "easy",
}

#: Words that coaches say and the notation does not have, with the word that it has.
SYNONYMS = {
    "freestyle": "free",
    "crawl": "free",
    "front-crawl": "free",
    "backstroke": "back",
    "breaststroke": "breast",
    "butterfly": "fly",
    "medley": "IM",
    "choose": "choice",
    "kicking": "kick",
    "pulling": "pull",
    "swimming": "swim",
    "drills": "drill",
    "sculling": "scull",
    "hard": "fast",
    "moderate": "steady",
    "mod": "steady",
    "max": "sprint",
    "maximum": "sprint",
    "slow": "easy",
    "slowly": "easy",
    "recovery": "easy",
    "strong": "fast",
    "interval": "on",
    "using": "with",
    "each": "rest",
    "off": "rest",
    "target": "hold",
    "every": "on",
    "times": "x",
}

#: Those of them that are said for an effort.
EFFORTS_SAID = {said: meant for said, meant in SYNONYMS.items() if meant in {effort.value for effort in Effort}}

#: Units, which distances do without.
UNITS = {"m", "metre", "metres", "meter", "meters", "mtr", "mtrs", "y", "yd", "yds", "yard", "yards"}

#: What opens a detail, and what its value looks like.
DETAILS = {
    "on": "on 1:40",
    "rest": "rest 0:15",
    "hold": "hold 1:22",
    "rate": "rate 32-40",
    "by": "by 50",
    "with": "with fins",
    "apart": "apart 0:10",
    "descend": "descend 1-4",
    "ascend": "ascend 1-4",
}

#: Words of a set line: casefolded text to token type and value.
LINE_WORDS: dict[str, tuple[str, object]] = {
    **{a.value: ("ACTIVITY", a) for a in Activity},
    **{s.value.casefold(): ("STROKE", s) for s in Stroke},
    **{e.value: ("EFFORT", e) for e in Effort},
    **{word: (word.upper(), None) for word in ("on", "rest", "hold", "rate", "by", "with", "apart", "rounds")},
    "round": ("ROUNDS", None),
    **{t.value: ("TREND", t) for t in Trend},
    **{word: ("_" + word.upper(), None) for word in ("as", "odd", "even", "then", "and", "to", "repeats")},
    "repeat": ("_REPEATS", None),
    "in turn": ("_IN_TURN", None),
    "per 100": ("PER_100", None),
    "base": ("BASE", False),
}
LINE_WORDS.update({short: LINE_WORDS[full] for short, full in SHORT_FORMS.items()})

#: Words of a section's details.
SECTION_WORDS: dict[str, tuple[str, object]] = {
    **{e.value: ("EFFORT", e) for e in Effort},
    "ez": ("EFFORT", Effort.EASY),
    "rounds": ("ROUNDS", None),
    "round": ("ROUNDS", None),
    "to": ("_TO", None),
    "for": ("FOR", None),
    "if time": ("IF_TIME", None),
    "at most": ("AT_MOST", None),
    "run on": ("RUN_ON", None),
}

HEADER_KEYS = ("title", "pool", "booking", "spare", "focus", "revisits", "changeover", "starts", "clock")

_LOOK_ALIKE = str.maketrans("015|3", "olsle")


@lru_cache(maxsize=4096)
def near(word: str, known: tuple[str, ...], cutoff: float = 0.7) -> str:
    """The known word that was probably meant, or "".

    >>> near("brest", ("breast", "back")), near("0n", ("on", "in")), near("xyz", ("on",))
    ('breast', 'on', '')
    """
    from difflib import get_close_matches  # here, so that reading a plan without mistakes does not wait for it

    word = word.casefold()
    by_fold = {k.casefold(): k for k in known}
    if (look := word.translate(_LOOK_ALIKE)) in by_fold:
        return by_fold[look]
    matches = get_close_matches(word, by_fold, n=1, cutoff=cutoff)
    return by_fold[matches[0]] if matches else ""
