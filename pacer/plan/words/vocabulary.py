"""The words of the notation, as data: the ways to write each, and which word was probably meant.

All of this is the trade's own usage (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache

from pacer.plan.model import GEAR, Activity, Effort, Stroke, Trend
from pacer.plan.regex import regex

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

#: Other ways to write a word of the notation, with the same meaning.
ALSO: Mapping[str, str] = {
    "swim": "swims, swimming, sw, normal, normal swim, full stroke, full swim, whole stroke",
    "kick": "k, kicks, kicking, legs, kck, leg kick, leg kicks, legs only, kick only, leg work, legwork",
    "pull": "p, pl, pulls, pulling, arms, arms only, pull only, arm pull, arm work",
    "drill": "d, dr, drl, drills",
    "scull": "sculls, sculling, skull, skulling",
    "free": "fr, fc, fs, f.s., f.s, f.c., f.c, freestyle, free style, front crawl, frontcrawl, crawl, f/c, f/s,"
    " f/crawl, f crawl, frees",
    "back": "bk, bc, bck, bk/s, backstroke, back stroke, back crawl, backcrawl, b/c, b.c., b/crawl, bk crawl, bkst,"
    " bkstr, backst",
    "breast": "br, brs, brst, br/s, brs/s, breaststroke, breast stroke, breast st, breaststr, brstr",
    "fly": "fl, bf, fl/s, butterfly, bfly, flys, b/fly, b/f, bttfly, butter fly",
    "IM": "i.m., i.m, medley, individual medley, ind medley, indiv medley, ind. medley, individual med",
    "choice": "ch, any, any stroke, your choice, own choice, choice of stroke, own choice of stroke, choose,"
    " free choice, swimmers choice, swimmer's choice, any strokes, on any stroke,"
    " any stroke you like, on any stroke you like, anything you like, what you like",
    "IM order": "imo, i.m. order, in im order, medley order, in medley order",
    "easy": "ez, e-z, e/z, cooldown, warmdown, warmup, swimdown,"
    " slow, slowly, gentle, relaxed, smooth, recovery, recover, loose, loosen, loosen up, loosen down,"
    " loosen off, loosen out,"
    " swim down, sw dn, sw down, swim dn, cool down, warm down, easy down, ez down, easy swim down,"
    " cd, c/d, wd, w/d, sd, s/d,"
    " cool, cool off, swd, sw/d, swdn, w/dn, c/dn, s/dn, wind down, easy swim down,"
    " warm up, w/up, w/u, wu",
    "steady": "moderate, mod, medium, aerobic, ae, aer",
    "threshold": "css, t-pace, thr, thresh",
    "fast": "hard, strong, quick, speed, fst, at speed",
    "sprint": "sprints, sprinting, spr, max, maximum, maximal, all out, flat out, full gas, afap, as fast as possible",
    "build": "builds, building, build up, bld",
    "on": "on the, every, leave on, leaving on, going on, go on, go every, leave every, interval, int, int., si,"
    " send off, s/o, sendoff, send off on, turnaround, turnaround time, t/a, cycle, cyc, go on a,"
    " repeat time, set off every, set off on, setting off every, setting off on, leaving every, go off, go off every,"
    " going off, going every, departing, departing every, departing on, depart on, starting every, start every,"
    " intervals, t/o, turn around, cycles",
    "rest": "r, ri, rests, resting, rest interval, rest of, break",
    "hold": "holding, target, aim, aim for, aiming for",
    "rate": "sr, stroke rate, at rate",
    "with": "w/, w, using, wearing, with a, w/ a",
    "and": "&, plus",
    "rounds": "round, rds, rd, rnds, rnd, sets, set, times through, x through, x thru, times thru",
    "descend": "desc, des, ds, desc., descending, descends, dsc, getting faster",
    "ascend": "asc, asc., ascending, ascends, getting slower",
    "odd": "odds, odd ones, on odds, on the odds",
    "even": "evens, ev, even ones, on evens, on the evens",
    "per 100": "per 100m",
    "base": "css",
    "repeats": "repeat, reps",
    "in turn": "",
    "apart": "",
    "alternate": "alt, alt., alternating, alternates",
    "by": "",
    "then": "followed by, followed straight by, into, straight into, then into, then straight into, and then,"
    " finish with, then finish with, finishing with, ending with",
}

#: Other names of gear.
GEAR_ALSO: Mapping[str, str] = {
    "fins": "fin, flippers",
    "paddles": "paddle, pads, hand paddles",
    "snorkel": "snorkels, snork",
    "buoy": "buoys, pull buoy, pullbuoy, pull buoys, pb",
    "board": "boards, kb, kickboard, kickboards, float, floats",
    "ankle band": "ankle bands, band, bands, ankle strap",
    "parachute": "parachutes, chute, chutes",
}

#: Words that can mean several things, the likeliest first: pacer asks which is meant.
ASKED: Mapping[str, tuple[str, ...]] = {
    "race pace": ("fast", "sprint"),
    "pace": ("threshold", "fast"),
    "cruise": ("steady", "threshold"),
    "tempo": ("threshold", "steady"),
    "progressive": ("build", "descend 1-4"),
    "bs": ("breast", "back"),
    "b/s": ("breast", "back"),
    "technique": ("drill", "easy"),
    "faster": ("descend", "fast"),
    "harder": ("fast", "descend"),
    "quicker": ("fast", "descend"),
    "float": ("easy", "steady"),
    "stretch out": ("easy", "build"),
    "blast": ("sprint", "fast"),
    "down": ("easy", "steady"),
}

#: Efforts by number, and the nearest effort of ours.
GRADES: Mapping[str, Effort] = {
    **dict.fromkeys(("z1", "zone 1", "en1", "a1", "rpe 1", "rpe 2", "rpe 3"), Effort.EASY),
    **dict.fromkeys(("z2", "zone 2", "a2", "rpe 4", "rpe 5", "rpe 6"), Effort.STEADY),
    **dict.fromkeys(("z3", "zone 3", "z4", "zone 4", "en2", "en3", "a3", "rpe 7"), Effort.THRESHOLD),
    **dict.fromkeys(("z5", "zone 5", "sp1", "rpe 8"), Effort.FAST),
    **dict.fromkeys(("z6", "zone 6", "sp2", "sp3", "rpe 9", "rpe 10"), Effort.SPRINT),
}

#: Words that coaches use and the notation lacks, with the word to use instead; pacer asks, or says so in a hint.
SYNONYMS = {
    "drills": "drill",
    "off": "on",
    "each": "rest",
    "times": "x",
}

#: Units of distance, which may follow a distance; the pool's unit decides.
UNITS = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters", "mtr", "mtrs", "ms"), "m"),
    **dict.fromkeys(("y", "yd", "yds", "yard", "yards"), "yd"),
}

#: Words that begin a detail, with an example.
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

#: The notation's own words for a set: casefolded text to token type and value.
_OWN: dict[str, tuple[str, object]] = {
    **{a.value: ("ACTIVITY", a) for a in Activity},
    **{s.value.casefold(): ("STROKE", s) for s in Stroke},
    **{e.value: ("EFFORT", e) for e in Effort},
    **{word: (word.upper(), None) for word in ("on", "rest", "hold", "rate", "by", "with", "apart", "rounds")},
    **{t.value: ("TREND", t) for t in Trend},
    **{word: ("_" + word.upper(), None) for word in ("as", "odd", "even", "then", "and", "to", "repeats")},
    "alternate": ("_ALTERNATE", None),
    "in turn": ("_IN_TURN", None),
    "per 100": ("PER_100", None),
    "base": ("BASE", False),
}
"""Everything below is derived from the tables above."""


def _said(also: str) -> list[str]:
    return [word.strip().casefold() for word in also.split(",") if word.strip()]


#: All words for a set: casefolded text to token type and value.
LINE_WORDS: dict[str, tuple[str, object]] = {
    **_OWN,
    **{said: _OWN[word.casefold()] for word, also in ALSO.items() for said in _said(also) if said not in ("css",)},
    "css": ("EFFORT", Effort.THRESHOLD),
}

GEAR_WORDS: dict[str, str] = {
    **{word: word for word in GEAR},
    **{said: word for word, also in GEAR_ALSO.items() for said in _said(also)},
}

#: Other words for an effort, with the app's own word.
EFFORTS_SAID = {said: str(LINE_WORDS[said][1]) for effort in Effort for said in _said(ALSO.get(effort.value, ""))}

#: Words of a section's details.
SECTION_WORDS: dict[str, tuple[str, object]] = {
    **{e.value: ("EFFORT", e) for e in Effort},
    **{said: LINE_WORDS[said] for said in EFFORTS_SAID},
    "rounds": ("ROUNDS", None),
    "round": ("ROUNDS", None),
    "rds": ("ROUNDS", None),
    "rnds": ("ROUNDS", None),
    "times": ("ROUNDS", None),
    "to": ("_TO", None),
    "for": ("FOR", None),
    "if time": ("IF_TIME", None),
    "optional": ("IF_TIME", None),
    "at most": ("AT_MOST", None),
    "run on": ("RUN_ON", None),
}

HEADER_KEYS = ("title", "date", "pool", "booking", "spare", "focus", "revisits", "changeover", "starts", "clock")

_LOOK_ALIKE = str.maketrans("015|3", "olsle")


def key_of(text: str) -> str:
    """A word or phrase in the form of the tables above: casefolded, with one space for several or for a hyphen."""
    return " ".join(re.split(r"[\s\-‑]+", text.casefold()))


class Phrases:
    """Phrases of several words, looked up by their first word; the longest match wins."""

    def __init__(self, words: Iterable[str]):
        starts: dict[str, list[str]] = {}
        for word in words:
            parts = re.split(r"[\s\-]+|(?=[/.])", word)
            if len(parts) > 1:
                starts.setdefault(parts[0], []).append(word)
        self._patterns = {
            first: regex(
                "(?:" + "|".join(map(_phrase, sorted(found, key=len, reverse=True))) + r")(?![\w'’]|-\w)",
                re.IGNORECASE,
            )
            for first, found in starts.items()
        }

    def match(self, first: str, text: str, at: int) -> re.Match | None:
        """The longest phrase at position `at` of the text; `first` is the word there, casefolded."""
        pattern = self._patterns.get(first)
        return pattern.match(text, at) if pattern else None


def _phrase(word: str) -> str:
    return r"[\s\-‑]+".join(r"\s?/\s?".join(map(re.escape, part.split("/"))) for part in word.split())


@lru_cache(maxsize=4096)
def near(word: str, known: tuple[str, ...], cutoff: float = 0.7) -> str:
    """The known word that was probably meant, or "".

    Two letters the wrong way round are the likeliest slip.

    >>> near("brest", ("breast", "back")), near("0n", ("on", "in")), near("xyz", ("on",)), near("rset", ("set", "rest"))
    ('breast', 'on', '', 'rest')
    """
    from difflib import get_close_matches  # here, so that reading a plan without errors does not load it

    word = word.casefold()
    by_fold = {k.casefold(): k for k in known}
    if (look := word.translate(_LOOK_ALIKE)) in by_fold:
        return by_fold[look]
    for at in range(len(word) - 1):
        if len(word) > 2 and (turned := word[:at] + word[at + 1] + word[at] + word[at + 2 :]) in by_fold:
            return by_fold[turned]
    matches = get_close_matches(word, by_fold, n=1, cutoff=cutoff)
    return by_fold[matches[0]] if matches else ""
