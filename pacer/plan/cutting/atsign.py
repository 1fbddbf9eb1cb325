"""`@ 1:40`, `@ 80%`, `@ fast`: an interval, a pace or an effort? The question about the sign, and its answers."""

from __future__ import annotations

import re

from pacer.language import tr
from pacer.plan.cutting.askedwords import meant_time, out_of_ten, percent, times_listed
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.problem import Edit
from pacer.plan.regex import regex
from pacer.plan.words.linepatterns import OUT_OF_TEN, WORD
from pacer.plan.words.vocabulary import LINE_WORDS

#: A time, or seconds alone, with its unit.
TIMED = regex(
    r"\s*(base\s*\+\s*[0-9:.]+|[0-9][0-9:.]*(?:\s*(?:seconds?|secs?|s|minutes?|mins?)\b|[\"'”″’]+)?|:[0-9][0-9.]*)",
    re.IGNORECASE,
)
#: One time for each lane.
_TIMES = regex(rf"{TIMED.pattern}(?:\s*(?:/(?!\s*100\b)|or\b)\s*(?:{TIMED.pattern}))*", re.IGNORECASE)
_BASE_PLUS = regex(r"\s*(?:css|base)(?:\s+pace)?\s*\+\s*:?([0-9:]+)\s*(?:s|secs?|seconds?)?(?![\w:])", re.IGNORECASE)
_PACE_OF = regex(r"\s*[0-9]{2,4}\s*m?\s+(?:race\s+)?pace(?![\w'’])", re.IGNORECASE)
_RATE_NEXT = regex(r"\s*([0-9]{2,3})\s*(?:stroke\s+rate|strokes?/min|spm|sr)(?![\w'’])", re.IGNORECASE)
WORD_NEXT = regex(rf"\s*({WORD})")


def at_sign(at: int, end: int, text: str) -> Mistake:
    """`@ 1:40`, `@ 40`: the sign, and what follows it."""
    if found := re.compile(r"\s*[0-9]+\s?(?:[-–]\s?[0-9]+\s?)?(?:%|per\s?cent\b)").match(text, end):
        return percent(text, found[0].strip(), at + 1 + len(found[0]) - len(found[0].lstrip()), found.end())
    if ten := OUT_OF_TEN.match(text, end + len(text[end:]) - len(text[end:].lstrip())):
        return out_of_ten(text, ten.start(), ten.end(), int(ten["grade"]))
    if word := WORD_NEXT.match(text, end):
        plus = _BASE_PLUS.match(text, end)
        if plus:
            time = meant_time(plus[1].lstrip(":")) or plus[1]
            edits = (Edit(at, plus.end(), f"hold base+{time}"), Edit(at, plus.end(), f"on base+{time}"))
            return Mistake(
                at,
                plus.end(),
                tr("“@” can mean an interval or a pace"),
                tr("write “hold base+{time}” for the pace, “on base+{time}” for the interval", time=time),
                *edits,
            )
        type_, value = LINE_WORDS.get(word[1].casefold(), ("", None))
        if type_ == "EFFORT":
            return Mistake(
                at,
                word.end(),
                tr("an effort needs no “@”"),
                tr("write {value}", value=value),
                Edit(at, word.end(), str(value)),
            )
        if word[1].casefold() in ("own", "your", "race"):
            return Mistake(
                at,
                end,
                tr("these words need no “@”"),
                tr("leave it out"),
                Edit(at, word.start(1), "", tr("without “@”")),
            )
    if pace := _PACE_OF.match(text, end):
        said = " ".join(pace[0].split())
        ways = [Edit(at, pace.end(), f'{way} "{said}"', way) for way in ("fast", "threshold")]
        return Mistake(
            at, pace.end(), tr("how hard is “{said}”?", said=said), tr("name an effort, such as fast"), *ways
        )
    if rate := _RATE_NEXT.match(text, end):
        said = f"rate {rate[1]}"
        return Mistake(
            at,
            rate.end(),
            tr("a stroke rate has no “@” in front of it"),
            tr("write {said}", said=said),
            Edit(at, rate.end(), said),
        )
    match = _TIMES.match(text, end)
    value = times_listed(match[0]) if match and meant_time(match[1]) else ""
    if match is None or not value:
        return Mistake(
            at,
            end,
            tr("“@” can mean an interval or a pace"),
            tr("“on 1:40” for the interval, “hold 1:40” for the pace"),
            Edit(at, end + (text[end : end + 1] == " "), "", tr("without “@”")),
        )
    return Mistake(
        at,
        match.end(),
        tr("“@” can mean an interval or a pace"),
        tr("write “on {value}” for the interval, “hold {value}” for the pace", value=value),
        Edit(at, match.end(), f"{' ' if text[at - 1 : at].isalnum() else ''}on {value}", f"on {value}"),
        Edit(at, match.end(), f"{' ' if text[at - 1 : at].isalnum() else ''}hold {value}", f"hold {value}"),
    )
