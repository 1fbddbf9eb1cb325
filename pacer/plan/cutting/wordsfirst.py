"""Lines that begin with words and tell a time or a distance: are they swum, a break or a note?"""

from __future__ import annotations

import re

from pacer.language import tr
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.model import Stroke
from pacer.plan.problem import Edit
from pacer.plan.regex import regex
from pacer.plan.times import BadTime, ms_from_text, text_from_ms
from pacer.plan.words.vocabulary import LINE_WORDS, key_of

NOTED = tr("a cue for the swimmers")
#: Words for a break of the lane, which the break itself says.
_STOP = regex(r"(?:stop|pause|halt)\b\s*(?:[-–—:,]|for\b|and\b|&|to\b)?\s*", re.IGNORECASE)
_TALK = regex(r"(?:talk|chat|explain|listen|demo\w*|discuss\w*|team\s+talk|toilet|drink)\b", re.IGNORECASE)
#: `stop - talk about timing 3 mins`, `relay starts 10 min`.
_TIMED = regex(
    r"(?P<words>[^\W\d_][^\d\"“”;]*?)[\s,:(–—-]+(?:for\s+|about\s+)?(?P<time>\d{1,3}\s*(?:minutes?|mins?|seconds?|secs?|s)\b\.?)"
    r"[\s).!]*",
    re.IGNORECASE,
)
#: What somebody swims that begins with another word: `race 25`, `streamline push offs x 6`.
_SWUM = (
    r"(?:rac(?:e|es|ing)|time\s+trials?|tt|timed(?:\s+swim)?|relays?|dives?|push(?:es)?(?:\s*(?:and|&|n)\s*glides?|[\s-]*offs?)?|streamlines?d?"
    r"|torpedo(?:e?s)?|glides?|jumps?|starts?|turns?|tumbles?|sculls?|floats?|bobs?|somersaults?|rolls?)"
)
_WORDS = r"[^\W\d_][^\d\"“”:;,/]*?"
_RACED = regex(
    rf"(?P<words>(?:{_WORDS}\s)??{_SWUM})[\s!.,-]*?\s(?P<far>(?:(?:25|50|75|[1-9]\d{{2}}|1[05])\b|\d{{1,2}}\s+lengths?\b)[^/]*)",
    re.IGNORECASE,
)
_COUNTED = regex(
    rf"(?P<words>(?:{_WORDS}\s)??{_SWUM}(?!\w)(?:{_WORDS})??)\s*[x×]\s*(?P<n>\d{{1,2}})\b(?P<rest>[^\d\"“”]*)",
    re.IGNORECASE,
)
#: `Relays 4 x 50 medley, one team per lane`: what one lane swims, each swimmer a part of it.
_RELAY = regex(
    rf"(?P<words>(?:{_WORDS}\s)??relays?)[\s:!.,–-]+(?P<set>\d{{1,2}}\s*[x×]\s*\d{{2,3}})\s*m?(?!\w)\s*(?P<stroke>[^\W\d_]*)(?P<rest>[^\d\"“”]*)",
    re.IGNORECASE,
)
_HARD = regex(r"rac(?:e|es|ing)\b|time\s+trials?|\btt\b", re.IGNORECASE)
#: Lengths of a push from the wall in metres, the likeliest first. Common practice, no source.
_PUSHES = (5, 10)


def about_time(text: str) -> bool:
    """Whether words are followed by a time in which something is done that is not swum from wall to wall.

    >>> about_time("dive for sticks 5 mins"), about_time("choice 5 mins"), about_time("stop and chat")
    (True, False, False)
    """
    match = _TIMED.fullmatch(text.strip())
    if not match:
        return False
    if _STOP.match(text) or _TALK.match(text):
        return True
    kinds = {LINE_WORDS.get(key_of(word), ("",))[0] for word in re.findall(r"[^\W\d_][\w'’]*", match["words"])}
    return match["time"].lower().lstrip("0123456789 ").startswith("m") and not kinds & {"ACTIVITY", "STROKE", "EFFORT"}


def stops(text: str) -> bool:
    """Whether a line says that all stop for some time."""
    return bool(_STOP.match(text)) and about_time(text)


def about_distance(text: str) -> bool:
    """Whether words are followed by how far or how often something is done.

    >>> about_distance("race 25"), about_distance("streamline push offs x 6"), about_distance("elbows high")
    (True, True, False)
    """
    return any(pattern.fullmatch(text.strip()) for pattern in (_RACED, _COUNTED, _RELAY))


def races(text: str, at: int) -> bool:
    """Whether a line from a place on begins with a race, which is no group's name."""
    return bool(_HARD.match(text, at) or _RELAY.match(text, at)) and about_distance(text[at:])


def medley_relay(text: str) -> bool:
    """Whether a line is a medley relay, in which each swimmer swims one of the strokes: `Relays 4 x 50 medley`."""
    relay = _RELAY.fullmatch(text.strip())
    return relay is not None and LINE_WORDS.get(relay["stroke"].casefold(), ("", None))[1] == Stroke.IM


def question_of(text: str, at: int) -> Mistake | None:
    """The question about a line that begins with words at a place; None for other lines."""
    said = text[at:].rstrip()
    end = at + len(said)
    notes = [] if '"' in said else [Edit(at, end, f'"{said}"', NOTED)]
    if about_time(said) and (timed := _TIMED.fullmatch(said)):
        try:
            time = text_from_ms(ms_from_text(timed["time"].rstrip(".")))
        except BadTime:
            return None
        words = _STOP.sub("", timed["words"], count=1).strip(" ,:-–—(")
        rest = f'rest {time} "{words}"' if words else f"rest {time}"
        message = tr("is this a break of {time}, or a note?", time=time)
        return Mistake(at, end, message, tr("write {rest}", rest=rest), Edit(at, end, rest, rest), *notes)
    if not about_distance(said):
        return None
    if relay := _RELAY.fullmatch(said):
        stroke = relay["stroke"].casefold()
        known = LINE_WORDS.get(stroke, ("", None))
        work = f"{known[1]}" if known[0] == "STROKE" and known[1] != Stroke.IM else "choice"
        kept = relay["rest"] if work != "choice" else f"{relay['stroke']}{relay['rest']}"
        swum = f'{relay["set"]} {work} "{" ".join([relay["words"], kept.strip(" ,")]).strip()}"'
        return Mistake(
            at, end, tr("is this swum, or a note?"), tr("write {swum}", swum=swum), Edit(at, end, swum, swum), *notes
        )
    if raced := _RACED.fullmatch(said):
        words = raced["words"].strip(" !.,-")
        effort = " fast" if _HARD.search(words) else ""
        swum = f'{raced["far"].strip()}{effort} "{words}"'
        return Mistake(
            at, end, tr("is this swum, or a note?"), tr("write {swum}", swum=swum), Edit(at, end, swum, swum), *notes
        )
    counted = _COUNTED.fullmatch(said)
    if counted is None:
        return None
    words = f"{counted['words']}{counted['rest'].rstrip()}".strip(" ,-")
    ways = [f'{counted["n"]} x {far} "{words}"' for far in _PUSHES]
    edits = [Edit(at, end, way, way) for way in ways]
    return Mistake(at, end, tr("is this swum, or a note?"), tr("write {way}", way=ways[0]), *notes, *edits)
