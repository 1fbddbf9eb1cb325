"""What the views show at an instant, as values ready to draw: texts, names of colours and shapes, fractions."""

from __future__ import annotations

from typing import NamedTuple

WAIT = "wait"  #: a lane before the session has begun
TALK = "talk"  #: a lane between its sections
STOP = "stop"  #: a lane that stops at the wall, until its last swimmer is home

#: Every state's shape. Words are in `words`, colours in `theme`, by the same names.
SHAPES = {"ready": "poised", "go": "arrow", "swim": "wave", "rest": "head", TALK: "bubble", STOP: "wall",
    "paused": "pause",
          "done": "tick", WAIT: "dots"}  # fmt: skip


class Piece(NamedTuple):
    """A segment on the ribbon.

    Ways to say it, the longest first, and where it begins and ends, in shares of the repeat.
    """

    labels: tuple[str, ...]
    start: float
    end: float


class BandText(NamedTuple):
    """What a lane's band says for as long as its state and segment last.

    Tuples of texts go from the longest way to the shortest.

    `state` names word, shape and colour. `present` is NOW for the current segment, NEXT for one that has not begun, ""
    for none; `lit` is the current segment's index on the ribbon, -1 for none. `index` is the repeat shown, `upcoming`
    the one left on next, on the lane's track; -1: none. `timed`: the elapsed time is shown (never on lines flagged as
    a hazard). `name` is the name of the current or next drill, "" for none. `tight`: that the coach sent the lane on a
    set too tight for it, who is not back for the last send-off, or who is to swim back; () if all is well. `swum`: what
    a lane that is done has swum in all. `mates`: the lanes that it is joined to and leaves with.
    """

    lane: str
    state: str
    word: str
    shape: str
    distance: str
    repeat: tuple[str, ...]
    round: tuple[str, ...]
    ribbon: tuple[Piece, ...]
    lit: int
    present: str
    doing: tuple[str, ...]
    cue: str
    section: int
    clock: str
    leave_label: str
    index: int  # type: ignore[assignment]  # a tuple's own `index` is not used
    upcoming: int
    timed: bool
    name: str = ""
    tight: tuple[str, ...] = ()
    swum: tuple[str, ...] = ()
    mates: tuple[str, ...] = ()


class BandCard(NamedTuple):
    """What a lane's band says from one instant to the next: its text, and what it counts.

    Session times: what is counted down to, what is counted up from, when the lit segment begins; how long that takes.
    None: there is nothing of that.
    """

    text: BandText
    leave_ms: int | None
    sent_ms: int | None
    from_ms: int | None
    takes_ms: int | None


class Band(NamedTuple):
    """A lane in the pool view.

    `count` is a count-down, "" for none; `swum` a count-up. `done`: of the lit segment.
    """

    text: BandText
    count: str  # type: ignore[assignment]  # a tuple's own `count` is not used
    swum: str
    done: float
    places: tuple[float, ...]


class PoolNow(NamedTuple):
    """The pool view at an instant. `begun` is false before the session and during its lead-in.

    `hand` is the angle of the pace clock's hand, in degrees clockwise from the top. `near_wall` is the share of a
    length within 5 m (or yards) of a wall. `spare` says how much of the booking is left after `out`, () for nothing;
    `over` that `out` is after the booking. The caller sets `flash` at a send-off, and `whose` in all views: whose
    clock the pace clock shows, for `words.clock_ways`.
    """

    clock: str
    session_label: str
    session: str
    section: str
    title: str
    out: str
    spare: tuple[str, ...]
    begun: bool
    stopped: bool
    hand: float
    near_wall: float
    bands: tuple[Band, ...]
    flash: bool = False
    whose: str = "own"
    over: bool = False


class Leaver(NamedTuple):
    """A swimmer and the clock reading to leave at. `when`: gone, now, next or later."""

    who: str
    clock: str
    when: str


class LaneCard(NamedTuple):
    """What one lane's own view says from one instant to the next.

    As `LaneNow`, but for what counts. `hero` is a word; where it is a count, `hero_ms` is the instant that it is
    counted from or to. `label_ms`: a count-down to that instant follows the label of the hero.
    """

    band: BandCard
    hero: str
    hero_ms: int | None
    kind: str
    hero_label: str
    label_ms: int | None
    inverted: bool
    leave_label: str
    leave: str
    leavers: tuple[Leaver, ...]
    set_words: str
    after: tuple[str, ...]


class LaneNow(NamedTuple):
    """The lane at `index` of `lanes`, for its swimmers at an instant.

    `hero` is the largest thing on the screen: a count-down (`kind` "down"), a count-up ("up") or a word ("word").
    `inverted`: the last ten seconds, and while the lane leaves. `leave` is a clock reading, "" if nobody leaves.
    """

    index: int  # type: ignore[assignment]  # a tuple's own `index` is not used
    lanes: int
    text: BandText
    hero: str
    kind: str
    hero_label: str
    inverted: bool
    now: str
    leave_label: str
    leave: str
    leavers: tuple[Leaver, ...]
    swum: str
    done: float
    set_words: str
    after: tuple[str, ...]
    stopped: bool
    flash: bool = False
    whose: str = "own"


class Mark(NamedTuple):
    """Lanes that leave next at the same clock reading; `second` of the minute, 0 to 59.

    `colour` names the state they share; if they do not share one, that of waiting. `later`: in a minute or more, so the
    hand passes the mark once more before they leave.
    """

    second: int
    lanes: tuple[str, ...]
    colour: str
    later: bool = False


class DialNow(NamedTuple):
    """The dial at an instant: the hand, in degrees clockwise from the top, and the marks by second."""

    hand: float
    clock: str
    marks: tuple[Mark, ...]
    bands: tuple[Band, ...]
    session_label: str
    session: str
    section: str
    begun: bool
    stopped: bool
    flash: bool = False
    whose: str = "own"
