"""Every word that the views write, in one place, and a switch that makes each half as long again.

A plan's own words (cues, drills, titles) never pass through here.
"""

from __future__ import annotations

from pacer.language import tr

WORDS = {
    # states
    "ready": tr("READY"),
    "go": tr("GO"),
    "swim": tr("SWIM"),
    "rest": tr("REST"),
    "talk": tr("LISTEN"),
    "paused": tr("PAUSED"),
    "done": tr("DONE"),
    "wait": tr("WAIT"),
    "stop": tr("STOP"),
    "stop at wall": tr("STOP AT WALL"),
    "all stopped": tr("ALL STOPPED"),
    # the clock and the session
    "own clock": tr("app clock"),
    "own": tr("app"),
    "wall clock": tr("pool clock"),
    "wall": tr("pool"),
    "off clock": tr("clock off"),
    "off": tr("off"),
    "in the session": tr("session time"),
    "session": tr("session"),
    "begins in": tr("starts in"),
    "takes": tr("lasts {time}"),
    "out": tr("finish {time}"),
    "home": tr("at the wall by {time}"),
    "spare": tr("{time} spare"),
    "over": tr("{time} over"),
    "booked": tr("booked until {time}"),
    "booked short": tr("until {time}"),
    "over booked": tr("past the booking, {time}"),
    "over booked short": tr("past {time}"),
    "not begun": tr("not started"),
    "ended": tr("ended"),
    # a lane
    "lane": tr("lane"),
    "leaves in": tr("leave in"),
    "next in": tr("{who} leaves in"),
    "swum": tr("elapsed"),
    "swum short": tr("1st"),
    "swum of": "{done}/{of} {unit}",
    "leave at": tr("leave at"),
    "who leaves at": tr("{who} at"),
    "leaves at": tr("at"),
    "at": tr("at"),
    "leaves now": tr("{who} leaves"),
    "waits": tr("paused by the coach"),
    "finish": tr("finish, then stop"),
    "finish short": tr("finish"),
    "tight": tr("too tight"),
    "still on": tr("{n} swimmers still on repeat {repeat}"),
    "still out": tr("{n} swimmers still out"),
    "one still on": tr("1 swimmer still on repeat {repeat}"),
    "one still out": tr("1 swimmer still out"),
    "swim back": tr("swimmers at the far end swim back easy"),
    "swim back short": tr("far end: swim back easy"),
    "then": tr("then"),
    "last line": tr("last set"),
    "that is all": tr("that's all"),
    "repeat": tr("repeat {n} of {of}"),
    "repeat short": tr("{n} of {of}"),
    "round": tr("round {n} of {of}"),
    "round open": tr("round {n}"),
    "NOW": tr("NOW"),
    "NEXT": tr("NEXT"),
    "times": "{n} × {what}",
    "as": tr("as"),
    "1st": tr("1st"),
    "2nd": tr("2nd"),
    "3rd": tr("3rd"),
    "nth": tr("{n}th"),
    # between sections
    "next section": tr("Next"),
    "first section": tr("First"),
    "starts in": tr("starts in"),
    "on the top": tr("on the top"),
    "on the bottom": tr("on the bottom"),
    "on the mark": tr("at {clock}"),
    "by lane": tr("see your lane"),
    "times by lane": tr("each lane has its own times"),
    "rounds": tr("{n} rounds"),
    "one round": tr("1 round"),
    "fetch": tr("Get:"),
    "every": tr("leave every {time}"),
    "rest after": tr("rest {time}"),
    "straight through": tr("no rest"),
    "break": tr("rest {time}"),
    "hold": tr("hold {time}"),
    "apart": tr("{time} apart"),
    "more lines": tr("and {n} more sets"),
    "for": tr("for {time}"),
    "at most": tr("at most {time}"),
    "lanes": tr("lanes {numbers}"),
    "one lane": tr("lane {numbers}"),
    "odd": tr("odd"),
    "even": tr("even"),
    "in turn": tr("in turn"),
    "repeats": tr("repeats"),
    "rate": tr("rate {rate}"),
    # legibility
    "read at": tr("readable from {metres} m"),
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
