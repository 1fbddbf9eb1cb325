"""Finds what counts in a line of words: a set, a distance, a number of times, a time.

A line that counts something and is no set is asked about, so that nothing swum becomes words in silence.
"""

from __future__ import annotations

import re

from pacer.plan.regex import regex
from pacer.plan.words.linepatterns import LEAST_LENGTH
from pacer.plan.words.vocabulary import LINE_WORDS

_FAR = (
    r"(?:\d{2,5}\s*(?:m|mtrs?|met(?:re|er)s?|yds?|yards?)\b"
    r"|(?:\d{1,2}|one|two|three|four|five|six|eight|ten)\s+(?:(?:small|big|short|long)\s+)?(?:lengths?|widths?|laps?|loops?)\b"
    r"|(?:25|50|75|[1-9]\d?(?:00|25|50|75))\b(?![:.%]\d|%))"
)
_LONG = r"(?:\d{1,3}\s*(?:minutes?|mins?|seconds?|secs?)\b|\d{1,2}:\d\d\b|(?<!\d):\d\d\b)"
_COUNTS = regex(
    rf"(?P<set>\b\d{{1,3}}\s*[x×*]\s*(?=\d|[({{\[])|\b\d{{1,2}}\s+(?:dives|starts|sprints|breakouts|push\s?offs?)\s+(?:out\s+)?(?:to|of|over)\s+(?=\d\d))|(?P<often>(?<!\w)[x×]\s?\d{{1,3}}\b|\b\d{{1,2}}\s?(?:x|times|rounds|goes)\b(?!\s*\d)|^\W*(?:[^\W\d_]+\s+)?\d{{1,2}}\s+(?:dives|starts|turns|sprints|finishes)\b)"
    rf"|(?P<far>(?<![\w:.,/#+-])\b{_FAR})|(?P<long>(?<![\w:.,/#+-]){_LONG})",
    re.IGNORECASE,
)
#: Words before a number that say where in a length, how often or how hard something is done.
_WHERE = regex(
    r"(?:\b(?:each|every|per|by|last|first|next|final|at|to|from|under|below|over|within|inside|hold(?:ing)?|hr|rate|than|until|till|"
    r"only|the|your|on|off|for|about|pb|best)|[~<>=@])\s*$",
    re.IGNORECASE,
)
#: `last 5 mins: …`, at the beginning of a line.
_LAST = regex(r"(?:last|first|final)\s+", re.IGNORECASE)
#: Words after a number that say the same: `15m underwater`, `25s are fast`, `50s pace`.
_PLACE = regex(
    r"\s*(?:mark\b|pace\b|speed\b|free\s+pace|of\s+each|or\s+(?:better|faster|less|under)|off\s+(?:the|each|every|your)|to\s+go\b|left\b|remaining\b|pool\b|am\b|pm\b)",
    re.IGNORECASE,
)


#: Words of lines that say something about sets rather than being one.
_ABOUT = regex(
    r"\b(?:if|lanes?|l\d|ln|groups?|gp|instead|or|miss|until|till|past|leave|only|except|everyone|next|homework|same|lads|who|you)\b|[:=]",
    re.IGNORECASE,
)
#: A distance and the word after it.
_DISTANCE = regex(r"(?<![\w:.,/x×#+-])(?<![x×/]\s)(\d{2,4})\s+([^\W\d_]+)")
#: A sentence in front of a set: `Grab a pull buoy. 3 x 200`.
_SENTENCE = regex(r"^[^\d:]*[^\W\d][.!]+\s*$")
MOST_AHEAD = 3  #: words in front of what is swum
#: Words of lines that change what some swim, or how often: `L3 go again`, `R2 all pull`, `b lane do 4s not 6s`.
_CHANGES = regex(
    r"\b(?:again|same|instead|twice|once|thrice|except|skip|miss|swap|do\s+(?:only\s+)?\d+\w*|all\s+(?:pull|kick|drill|swim)|R\d|rounds?\s?\d"
    r"|rds?\s?\d|\d(?:st|nd|rd|th)\s+(?:one|round|rd|time)|L\d|lanes?\s?\d|(?:slow|fast)(?:er|est)?\s+lanes?(?=\s+\d)|ln\s?\d|(?:group|grp|gp)s?\s?[A-Z\d]|[a-z]\s+lane|on\s+(?:the\s+)?(?:odds?|evens?)|(?:every|on|off|leav\w+)\s+\d{1,2}[:.]\d\d|rest\s+:?\d\d?)\b"
    r"|\b(?:between|after)\s+(?:each|every)\s+\d{2,3}\b|^(?:and\s+)?(?:repeat|ditto)\b"
    r"|^(?:or|if)\b.*\d|\b(?:first|last|middle|1st)\s+\d{2,3}s?\s+(?!strokes?|breaths?|m\b)[a-z]|\bextra\s+(?:min|:?\d)|^\W*all\s*:|^[^\d=:]{1,16}=\s*(?:\d|(?:fast|faster|easy|ez|steady|hard|sprint|max|build|kick|pull|drill|fr|bk|br|fl|free|back|breast|fly)\b)",
    re.IGNORECASE,
)


def likely_swum(text: str) -> bool:
    """Whether a line that counts something is rather swum than a note about other sets.

    >>> likely_swum("crab walks 2 lengths"), likely_swum("Lanes 5-6 swim 300 / 200, same rests")
    (True, False)
    """
    match = counted(text)
    if match and match["set"] and _SENTENCE.search(text[: match.start()]):
        return True
    if match and match["long"] and ":" in match[0] and match.start():  # bus 3:10 sharp
        return False
    return match is not None and len(text[: match.start()].split()) <= MOST_AHEAD and not _ABOUT.search(text)


def has_a_set(*words: str) -> bool:
    """Whether words name a distance with its stroke that is no part of a length or of a set.

    >>> has_a_set("something 200 IM by 50"), has_a_set("last 50 kick"), has_a_set("as in the 400 test")
    (True, False, False)
    """
    return any(
        int(found[1]) >= LEAST_LENGTH
        and LINE_WORDS.get(found[2].casefold(), ("",))[0] in ("STROKE", "ACTIVITY")
        and not _WHERE.search(each, 0, found.start())
        for each in words
        for found in _DISTANCE.finditer(each)
    )


def changes_sets(text: str) -> bool:
    """Whether words change what some swim, which a note can only say.

    >>> changes_sets("L3 go again from the 200 down"), changes_sets("elbows high, look down")
    (True, False)
    """
    return bool(_CHANGES.search(text))


def counted(text: str) -> re.Match[str] | None:
    """The first thing in a text that counts; None if there is none.

    >>> counted("race you home, 2 lengths")[0]
    '2 lengths'
    >>> counted("dolphin off each wall, last 15m fast")
    """
    for match in _COUNTS.finditer(text):
        if match["set"] or match["often"]:
            return match
        if (not _WHERE.search(text, 0, match.start()) or _LAST.fullmatch(text, 0, match.start())) and not _PLACE.match(
            text, match.end()
        ):
            return match
    return None
