"""What a coach's line says, part by part."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass
class Share:
    """A share of each repeat, or of the repeats: its length or its count (0: not said), its work, its other words."""

    number: int = 0
    work: list[str] = field(default_factory=list)
    words: str = ""


@dataclass
class Swim:
    """A set: `often` times `far`, or `time`, or the repeats of a `ladder`; `often` is 0 where no count is said."""

    often: int = 0
    far: int = 0
    time: str = ""
    ladder: tuple[int, ...] = ()
    far_by_lane: str = ""  #: `A 500 / B 400`
    often_by_lane: str = ""  #: `A 8 / B 6`
    lanes: str = ""  #: the only lanes that swim it
    work: dict[str, str] = field(default_factory=dict)  #: by kind: ACTIVITY, STROKE, EFFORT
    said: list[str] = field(default_factory=list)  #: drills and instructions by their names
    shares: str = ""  #: stretches or a pattern, as the notation writes them
    shares_said: str = ""  #: the same as written
    on: list[str] = field(default_factory=list)
    rest: list[str] = field(default_factory=list)
    hold: str = ""
    trend: str = ""
    gear: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    by_lane: dict[str, tuple[str, str]] = field(
        default_factory=dict
    )  #: by lanes: `on`, `rest` or `often`, and its value
    lengths: int = 0  #: of the pool, if its distance is said in them
    per: int = 0  #: the distance that its rest is said for
    pieces: list[Part] = field(default_factory=list)  #: that many repeats on each interval
    last: bool = False  #: whether its count is after it
    plural: bool = False  #: whether the distance is said of several: `100s`


@dataclass
class Pause:
    """A rest after what is above."""

    time: str
    notes: list[str] = field(default_factory=list)


@dataclass
class Rounds:
    """What is swum several times."""

    often: int
    parts: list[Part]
    rest: str = ""  #: after each round
    on: str = ""
    straight: bool = False  #: whether nothing says that they stop between the parts
    gear: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


Part = Swim | Pause | Rounds
