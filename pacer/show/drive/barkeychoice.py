"""Which keys are on a session's bar, by what the session is doing, the most needed first; and their names. No Kivy.

`show/measure/keyrows.py` has their sizes, and lays them out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from pacer.language import tr
from pacer.show.drive.sessionstart import EARLIER, LATER
from pacer.show.measure.keyrows import BACK_NAME
from pacer.show.wording.commonkeys import CLOSE, UNDO

#: Every name that a key can have, its other names after the first: the key is as wide as the widest.
LABELS = {
    "begin": (tr("Start"),),
    "top": (tr("At next :00"),),
    "time": (tr("At {time}"),),
    "earlier": (EARLIER,),
    "later": (LATER,),
    "match": (tr("Sync clock"),),
    "take back": (UNDO,),
    "change": (tr("Change"),),
    "record": (tr("Times, notes"),),
    "pause": (tr("Pause"),),
    "resume": (tr("Resume"),),
    "next": (tr("Next"),),
    "pool": (tr("Pool"),),
    "dial": (tr("Dial"),),
    "mute": (tr("Mute"), tr("Muted"), tr("No sound")),
    "lock": (tr("Lock"),),
    "more": (tr("More"),),
    BACK_NAME: (tr("Go back"),),
    "cautions": (tr("Cautions"),),
    "end": (tr("End"),),
    "again": (tr("Start over"),),
    "reopen": (tr("Resume session"),),
    "close": (CLOSE, tr("Close session")),
    "confirm": (tr("I have read this"),),
    "read on": (tr("Next page"),),
    "in full": (tr("In full"),),
    "lanes": (tr("Show lanes"),),
    "settings": (tr("Settings"),),
    "screens": (tr("Lane screens"),),
    "louder": (tr("Louder"),),
    "softer": (tr("Quieter"),),
    "sounding": (tr("Lanes that beep"),),
    "flash": (tr("Flash: on"), tr("Flash: off")),
    "vibration": (tr("Vibration: on"), tr("Vibration: off")),
    "speech": (tr("Speech: off"), tr("Speech: on")),
    "theme": (tr("Theme: dark"), tr("Theme: bright")),
    "nearer": (tr("Read nearer"),),
    "farther": (tr("Read farther"),),
    "lock at start": (tr("Lock at start: off"), tr("Lock at start: on")),
    "tune": (tr("Beep timing"),),
    "sooner": (tr("Beep sooner"),),
    "tardier": (tr("Beep later"),),
    "tablet": (tr("This tablet"),),
    "lane": (tr("Beep lane {lane}: off"), tr("Beep lane {lane}: on")),
}


#: The order from left to right on a page of the bar; keys not named here keep the order of `keys_for`.
FIRST = (
    "begin",
    "top",
    "time",
    "earlier",
    "later",
    "resume",
    "pause",
    "lanes",
    "next",
    "take back",
    "lock",
    "change",
    "record",
    "mute",
)
#: The keys that end a running session and start it over are beside `More`, far from where the hand goes to pause and
#: resume.
LAST = ("end", "again")


class Key(NamedTuple):
    """A key. `long_press`: it changes the session, so it has to be held down.

    `variant`: index into its labels; `lane`: the number on the wall.

    `values`: what a setting is now, then the widest value it may have. `whom`: the lanes that it is for,
    shown after its name. `room`: keys that take its place at other times; it is as wide as they are, so that no key
    ever moves. `later`: it is on pages of its own after the rest, so that it never moves them. `beside`: it stays in
    the row of the key before it.
    """

    name: str
    long_press: bool = False
    variant: int = 0
    lane: int | None = None
    values: tuple[str, ...] = ()
    whom: str = ""
    room: tuple[str, ...] = ()
    later: bool = False
    beside: bool = False

    @property
    def labels(self) -> tuple[str, ...]:
        """All names it may have."""
        if self.name == "close":  # never on the bar under both of its names
            return (LABELS[self.name][self.variant],)
        if self.values:
            return tuple(tr("{key}, now {value}", key=LABELS[self.name][0], value=value) for value in self.values)
        if self.whom:
            label = LABELS[self.name][0]
            if self.name != "next":
                return (f"{label} {self.whom}",)
            return (tr("Next, all") if self.whom == "all" else tr("Next, lane {lane}", lane=self.whom),)
        if self.lane is None:
            return LABELS[self.name]
        return tuple(label.format(lane=self.lane) for label in LABELS[self.name])

    @property
    def label(self) -> str:
        """Its current name."""
        return self.labels[0 if self.name == "close" else self.variant]


MORE, BACK = Key("more"), Key(BACK_NAME)  #: turn to the next page, to the first
#: These stay in sight and live whatever is said on the bar.
NEVER_COVERED = frozenset({"pause", "resume", "next", "take back", BACK_NAME})


@dataclass(frozen=True, slots=True)
class Moment:
    """What the keys depend on."""

    begun: bool = False  # a start is set
    zero_passed: bool = False
    over: bool = False  # ended
    reopens: bool = False  # and can still be resumed
    run_out: bool = False  # the last touch has been
    paused: bool = False  # some of the lanes meant are paused
    going: bool = False  # some are not paused and have still to swim
    stopped: bool = False  # by stop all
    view: str = "pool"  # or lane, or dial
    whom: str = ""  # the lanes that the keys are for: "all", or a lane's number on the wall; "" if there is only one
    muted: bool = False
    silent: bool = False  # the tablet has no sound

    @property
    def stops(self) -> bool:
        """Whether STOP ALL is live: some may still be out after the end, so until it cannot be resumed any more."""
        return self.begun and (not self.over or self.reopens)


def _leads(moment: Moment) -> tuple[Key, ...]:
    """The keys that pause and resume.

    They are always in the same place and no other key is ever there, so that a press out of habit ends nothing.
    """
    pause, resume = (Key(name, long_press=True, whom=moment.whom) for name in ("pause", "resume"))
    room = pause.label, resume.label
    if moment.stopped:
        resume = Key("resume", long_press=True, whom=moment.whom and "all")
    return pause._replace(room=room), resume._replace(room=room)


def _views(moment: Moment) -> tuple[Key, ...]:
    """Keys to the other views: a lane's view has both, pool and dial have each other in the same place."""
    pool, dial = (Key(name, room=(*LABELS["pool"], *LABELS["dial"])) for name in ("pool", "dial"))
    return {"pool": (dial,), "dial": (pool,)}.get(moment.view, (pool, dial))


def keys_for(moment: Moment) -> tuple[Key, ...]:
    """The keys of a moment, the most needed first.

    Once a start is set they are the session's keys, in the places that they keep when it begins; the keys for another
    start come after them.
    """
    views, mute = _views(moment), Key("mute", variant=2 if moment.silent else int(moment.muted))
    lock, cautions, end, settings = Key("lock"), Key("cautions"), Key("end", long_press=True), Key("settings")
    screens = Key("screens")
    if moment.over:
        return (
            *((Key("lanes"),) if moment.stopped else ()),
            *((Key("reopen", long_press=True),) if moment.reopens else ()),
            Key("close", variant=1),  # the sheet that asks how it went has a Close of its own
            Key("record"),
            *views,
            mute,
            settings,
            cautions,
            Key("again", long_press=True),
        )
    begins, steps = (
        (Key("begin", long_press=True), Key("top", long_press=True), Key("time", long_press=True)),
        (Key("earlier"), Key("later", beside=True)),
    )
    if not moment.begun:
        return (
            *begins,
            Key("close"),
            *steps,
            Key("match", long_press=True),
            *views,
            mute,
            lock,
            settings,
            screens,
            cautions,
        )
    pause, resume = _leads(moment)
    first = resume if moment.stopped or (moment.paused and not moment.going) else pause
    # `Next, all`, `Next, lane 4`: beside the bar a sheet may have `Next repeat` for its lane. With a single lane only
    # `Next`: Pause names no lanes then either.
    following, lanes = Key("next", long_press=True, whom=moment.whom), Key("lanes")
    following, lanes = following._replace(room=lanes.labels), lanes._replace(room=following.labels)
    change, record, back = Key("change"), Key("record"), Key("take back", long_press=True)
    # When muted, the key stays in sight, where there is room for no more in place of another.
    other = change if moment.view == "lane" else record
    mute = mute._replace(room=other.labels)
    others = () if moment.zero_passed else tuple(key._replace(later=True) for key in (*begins, *steps))
    change, record = (key._replace(room=mute.labels) if key is other else key for key in (change, record))
    leads = (first, lanes if moment.stopped else following, back, lock)
    last = (end, settings, screens, cautions, *others)
    if moment.view != "lane":
        return (*leads, change, *((mute, record) if moment.muted else (record, mute)), *views, *last)
    seen = (mute, *views, change) if moment.muted else (change, *views, mute)
    return (*leads, *seen, record, *last)
