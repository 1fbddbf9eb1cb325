"""Which keys are on the control bar, and how they are laid out when they do not all fit. No Kivy.

The keys of a mode are in order of need. Those that find no room go behind `More`, page after page. No key is ever made
too small for a wet thumb.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf
from typing import NamedTuple

from pacer.show.drive.starttime import EARLIER, LATER
from pacer.show.wording.closing import CLOSE

#: The least side of a key and the least gap between two, in mm. Our choice: no published size for wet hands was found.
TARGET_MM = 15.0
GAP_MM = 3.0
LEAST_SHARE = 0.085  #: of the shorter side: on a large screen keys grow with it
ROW_MM = 19.5  #: height of a bar that is one row: two lines of the coach's characters
PADDING_MM = 1.5  #: between a key's edge and its name

#: Every name that a key can have, its other names after the first: the key is as wide as the widest.
LABELS = {
    "begin": ("Start",),
    "top": ("At :00",),
    "time": ("At {time}",),
    "earlier": (EARLIER,),
    "later": (LATER,),
    "match": ("Sync clock",),
    "take back": ("Undo",),
    "change": ("Change",),
    "record": ("Record",),
    "hold": ("Pause",),
    "resume": ("Resume",),
    "next": ("Next",),
    "pool": ("Pool",),
    "dial": ("Dial",),
    "mute": ("Mute", "Muted"),
    "lock": ("Lock",),
    "more": ("More",),
    "cautions": ("Cautions",),
    "end": ("End",),
    "again": ("Start again",),
    "reopen": ("Resume session",),
    "close": (CLOSE,),
    "confirm": ("I have read it",),
    "read on": ("Read more",),
    "lanes": ("Show lanes",),
    "stop": ("STOP ALL",),
    "settings": ("Settings",),
    "screens": ("Lane screens",),
    "louder": ("Louder",),
    "softer": ("Quieter",),
    "sounding": ("Lanes that beep",),
    "flash": ("No flash", "Flash"),
    "vibration": ("No vibration", "Vibrate"),
    "speech": ("Speech", "No speech"),
    "theme": ("Bright", "Dark"),
    "nearer": ("Nearer",),
    "farther": ("Farther",),
    "lock at start": ("Lock at start", "No lock at start"),
    "tune": ("Sound delay",),
    "sooner": ("Beep sooner",),
    "tardier": ("Beep later",),
    "notes": ("Notes",),
    "lane": ("Beep lane {lane}", "Mute lane {lane}"),
}


class Key(NamedTuple):
    """A key. `held`: it changes the session, so it has to be kept pressed.

    `variant`: index into its labels; `lane`: the number on the wall.

    `values`: what a press makes of a setting, then the widest value it may have. `whom`: the lanes that it is for,
    shown after its name. `room`: keys that take its place at other times; it is as wide as they are, so that no key
    ever moves. `later`: it is on pages of its own after the rest, so that it never moves them.
    """

    name: str
    held: bool = False
    variant: int = 0
    lane: int | None = None
    values: tuple[str, ...] = ()
    whom: str = ""
    room: tuple[str, ...] = ()
    later: bool = False

    @property
    def labels(self) -> tuple[str, ...]:
        """All names it may have."""
        if self.values:
            return tuple(f"{LABELS[self.name][0]} {value}" for value in self.values)
        if self.whom:
            return tuple(f"{label} {self.whom}" for label in LABELS[self.name])
        if self.lane is None:
            return LABELS[self.name]
        return tuple(label.format(lane=self.lane) for label in LABELS[self.name])

    @property
    def label(self) -> str:
        """Its current name."""
        return self.labels[self.variant]


class Placed(NamedTuple):
    """A key and its position: pixels from the lower left corner of the bar."""

    key: Key
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Moment:
    """What the keys depend on."""

    begun: bool = False  # a start is set
    zero_passed: bool = False
    over: bool = False  # ended
    reopens: bool = False  # and can still be resumed
    run_out: bool = False  # the last touch has been
    held: bool = False  # some of the lanes meant are paused
    going: bool = False  # some are not paused and have still to swim
    stopped: bool = False  # by stop all
    view: str = "pool"  # or lane, or dial
    whom: str = ""  # the lanes that the keys are for: "all", or a lane's number on the wall; "" if there is only one
    muted: bool = False

    @property
    def stops(self) -> bool:
        """Whether STOP ALL is live: some may still be out after the end, so until it cannot be resumed any more."""
        return self.begun and (not self.over or self.reopens)


#: From left to right; keys not named here keep the order of `keys_for`.
_PLACES = ("begin", "top", "time", "earlier", "later", "resume", "hold", "lanes", "next", "change", "record")


def _leads(moment: Moment) -> tuple[Key, ...]:
    """The keys that pause and resume.

    They are always in the same place and no other key is ever there, so that a press out of habit ends nothing.
    """
    hold, resume = (Key(name, held=True, whom=moment.whom) for name in ("hold", "resume"))
    room = hold.label, resume.label
    return hold._replace(room=room), resume._replace(room=room)


def _views(moment: Moment) -> tuple[Key, ...]:
    """Keys to the other views: a lane's view has both, pool and dial have each other in the same place."""
    pool, dial = (Key(name, room=(*LABELS["pool"], *LABELS["dial"])) for name in ("pool", "dial"))
    return {"pool": (dial,), "dial": (pool,)}.get(moment.view, (pool, dial))


def keys_for(moment: Moment) -> tuple[Key, ...]:
    """The keys of a moment, the most needed first.

    Once a start is set they are the session's keys, in the places that they keep when it begins; the keys for another
    start come after them.
    """
    views, mute = _views(moment), Key("mute", variant=int(moment.muted))
    lock, cautions, end, settings = Key("lock"), Key("cautions"), Key("end", held=True), Key("settings")
    screens = Key("screens")
    if moment.over:
        return (
            *((Key("lanes"),) if moment.stopped else ()),
            *((Key("reopen", held=True),) if moment.reopens else ()),
            Key("again", held=True),
            Key("close"),
            Key("record"),
            *views,
            mute,
            settings,
            cautions,
        )
    begins, steps = (
        (Key("begin", held=True), Key("top", held=True), Key("time", held=True)),
        (Key("earlier"), Key("later")),
    )
    if not moment.begun:
        return (*begins, Key("close"), *steps, Key("match", held=True), *views, mute, lock, settings, screens, cautions)
    if moment.stopped:
        return (Key("resume", held=True, whom=moment.whom and "all"), Key("lanes"), mute, lock, cautions, end)
    hold, resume = _leads(moment)
    first = resume if moment.held and not moment.going else hold
    following = Key("next", held=True, whom=moment.whom and f"for {moment.whom}")
    change, record, back = Key("change"), Key("record"), Key("take back", held=True)
    others = () if moment.zero_passed else tuple(key._replace(later=True) for key in (*begins, *steps))
    last = (lock, back, end, settings, screens, cautions, *others)
    if moment.view != "lane":
        return (first, following, change, record, mute, *views, *last)
    seen = (mute, *views) if moment.muted else (*views, mute)  # when muted, keep the key in sight
    return (first, following, change, *seen, record, *last)


def _from_left(row: list[Key]) -> list[Key]:
    """The keys of a page in display order: keys that belong together side by side, `More` last.

    A key that ends a running session is beside `More`, far from where the hand goes to pause and resume.
    """

    def place(key: Key) -> int:
        if key.name == "more" or key.name == "end":
            return len(_PLACES) + (2 if key.name == "more" else 1)
        return _PLACES.index(key.name) if key.name in _PLACES else len(_PLACES)

    return sorted(row, key=place)


def arrange(
    keys: tuple[Key, ...],
    width_of: Callable[[str], float],
    room: tuple[float, float],
    mm: float,
    rows: int = 1,
    time: str = "23:59",
    most: float = inf,
) -> tuple[tuple[Placed, ...], ...]:
    """The keys on pages of `rows` rows each; if there is more than one page, each ends with `More`.

    `room`: width and height in pixels; `mm`: the pixels of a millimetre; `width_of`: the width of a name. Keys are at
    least `TARGET_MM` each way and `GAP_MM` apart; a row's keys share the width left over, up to `most` each if there is
    only one page. On a screen too narrow for a key and `More` side by side, the key is squeezed.
    """
    gap, least = GAP_MM * mm, TARGET_MM * mm
    more = Key("more")

    def width(key: Key) -> float:
        return max(
            least,
            max(
                width_of(label.format(time=time))
                for label in (*getattr(key, "labels", (key.label,)), *getattr(key, "room", ()))
            )
            + 2 * PADDING_MM * mm,
        )

    def in_rows(page: list[Key]) -> list[list[Key]] | None:
        """The page's keys, row by row as displayed; None if they do not fit."""
        made: list[list[Key]] = [[]]
        used = 0.0
        for key in _from_left(page):
            if made[-1] and used + width(key) > room[0]:
                made.append([])
                used = 0.0
            made[-1].append(key)
            used += width(key) + gap
        return made if len(made) <= rows else None

    def filled(waiting: list[Key], last: tuple[Key, ...]) -> list[list[Key]]:
        """Take from `waiting` the keys that fit a page ending with `last`."""
        page = [waiting.pop(0)]
        while waiting and waiting[0].later == page[0].later and in_rows([*page, waiting[0], *last]):
            page.append(waiting.pop(0))
        return in_rows([*page, *last]) or [[*page, *last]]

    whole = list(keys)
    pages = [filled(whole, ())]
    if whole:
        whole, pages = list(keys), []
        while whole:
            pages.append(filled(whole, (more,)))
    height = (room[1] - gap * (rows - 1)) / rows
    most = most if len(pages) == 1 else inf
    return tuple(_placed(page, width, room[0], height, gap, rows, most) for page in pages)


def _placed(
    page: list[list[Key]],
    width: Callable[[Key], float],
    across: float,
    height: float,
    gap: float,
    rows: int,
    most: float,
) -> tuple[Placed, ...]:
    made = []
    for number, row in enumerate(page):
        widths = [width(key) for key in row]
        spare = across - sum(widths) - gap * (len(row) - 1)
        if spare < 0:
            widths[0] += spare
        else:
            widths = [max(wide, min(wide + spare / len(row), most)) for wide in widths]
        x, y = 0.0, (rows - 1 - number) * (height + gap)
        for key, wide in zip(row, widths):
            made.append(Placed(key, x, y, wide, height))
            x += wide + gap
    return tuple(made)
