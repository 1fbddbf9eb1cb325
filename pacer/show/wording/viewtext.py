"""Every word that the views write, in one place, and a switch that makes each half as long again.

A plan's own words (cues, drills, titles) never pass through here.
"""

from __future__ import annotations

WORDS = {
    # states
    "ready": "READY",
    "go": "GO",
    "swim": "SWIM",
    "rest": "REST",
    "talk": "LISTEN",
    "held": "PAUSED",
    "done": "DONE",
    "wait": "WAIT",
    "stop": "STOP",
    "stop at wall": "STOP AT WALL",
    "all stopped": "ALL STOPPED",
    # the clock and the session
    "own clock": "app clock",
    "own": "app",
    "wall clock": "pool clock",
    "wall": "pool",
    "off clock": "not started",
    "off": "not started",
    "in the session": "session time",
    "session": "session",
    "begins in": "starts in",
    "takes": "lasts {time}",
    "out": "finish {time}",
    "spare": "{time} spare",
    "over": "{time} over",
    "booked": "booked to {time}",
    "booked short": "booked {time}",
    "over booked": "past the booking, {time}",
    "over booked short": "past {time}",
    "not begun": "not started",
    "ended": "ended",
    # a lane
    "lane": "lane",
    "leaves in": "leave in",
    "next in": "{who} leaves in",
    "swum": "elapsed",
    "swum short": "time",
    "swum of": "{done}/{of} {unit}",
    "leave at": "leave at",
    "who leaves at": "{who} at",
    "leaves at": "leaves",
    "at": "at",
    "leaves now": "{who} leaves",
    "waits": "paused by the coach",
    "waits short": "paused",
    "finish": "finish, then stop",
    "finish short": "finish",
    "tight": "too tight",
    "still on": "{n} not back from repeat {repeat}",
    "still out": "{n} not back yet",
    "then": "then",
    "last line": "last set",
    "that is all": "that's all",
    "repeat": "repeat {n} of {of}",
    "repeat short": "{n} of {of}",
    "round": "round {n} of {of}",
    "round open": "round {n}",
    "NOW": "NOW",
    "NEXT": "NEXT",
    "times": "{n} × {what}",
    "as": "as",
    "1st": "1st",
    "2nd": "2nd",
    "3rd": "3rd",
    "nth": "{n}th",
    # between sections
    "next section": "Next",
    "first section": "First",
    "starts in": "starts in",
    "on the top": "on the top",
    "on the bottom": "on the bottom",
    "on the mark": "on {clock}",
    "by lane": "lane by lane",
    "rounds": "{n} rounds",
    "one round": "1 round",
    "fetch": "Get:",
    "every": "leave every {time}",
    "rest after": "rest {time}",
    "straight through": "straight through",
    "break": "rest {time}",
    "hold": "hold {time}",
    "apart": "{time} apart",
    "more lines": "and {n} more sets",
    "for": "for {time}",
    "at most": "at most {time}",
    "lanes": "lanes {numbers}",
    "one lane": "lane {numbers}",
    "odd": "odd",
    "even": "even",
    "rate": "rate {rate}",
    # legibility
    "read at": "readable from {metres} m",
}

_stretched = False


def say(name: str, **values: object) -> str:
    """The words called `name`, with `values` filled in."""
    text = WORDS[name]
    if _stretched:
        text += "~" * max(1, (len(text) + 1) // 2)
    return text.format(**values) if values else text


def clock_ways(whose: str) -> tuple[str, ...]:
    """Whose clock is shown, the longest way first.

    `wall`: the pool clock, once pacer is synced to it; `own`: the app's; `off` until the start.
    """
    return say(f"{whose} clock"), say(whose)


def stretch(on: bool) -> None:
    """Make every word half as long again, or normal: to test that all of it fits.

    Views remember words, so the caller has to clear them (`view.forget`).
    """
    global _stretched
    _stretched = on


def nth(place: int) -> str:
    """A swimmer's place in leaving order, from 0, in words: 1st, 2nd, 3rd, 4th."""
    return say(("1st", "2nd", "3rd")[place]) if place < 3 else say("nth", n=place + 1)
