"""The devices of a session: who may join by what, and who may help. Pure, but for the keys that it makes."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields, replace
from itertools import count
from typing import Any

from pacer.language import tr
from pacer.screens.fromscreens import Join
from pacer.screens.lockout import Lockout
from pacer.screens.signing import is_signed, new_code, new_key, same

VERSION = 1  #: of the protocol
MOST_DEVICES = 256  #: remembered of each kind: however many join by the code, none that scanned is forgotten for them
MOST_TURNS = 32  #: of one device
MOST_HOSTS = 16
MOST_REFUSED = 128  #: numbers of refused acts, of one device
SLACK_MS = 1_000  #: an act counts for the lane that the device was at so long before or after, at most
BEFORE_EVERY_START_MS = -(10**9)  #: before every start

Turn = tuple[int, int | None]
"""From this session time on a device helps at that lane; None: at none."""


@dataclass(frozen=True, slots=True)
class Device:
    """A device that has joined: by its key (`key`), or by the typed code, for which it was given a `token`."""

    number: int
    name: str  #: what it calls itself, 16 hex digits
    key: str = ""
    token: str = ""
    helps: bool = False
    away: bool = False  #: the coach has sent it away
    lane: int | None = None
    view: str = "lane"
    here: bool = True  #: it has joined this session, not only one before
    turns: tuple[Turn, ...] = ()
    helped_before: bool = False  #: in the session before this one
    refused: tuple[int, ...] = ()  #: numbers of acts that count nothing, ascending, the latest of them

    @property
    def source(self) -> str:
        """What journal entries call it."""
        return tr("screen {number}", number=self.number)

    def was_refused(self, n: int) -> bool:
        """Whether the act of that number counts nothing, because it was refused, or is too old to know.

        >>> Device(1, "", refused=(2, 5)).was_refused(5), Device(1, "", refused=tuple(range(10, 138))).was_refused(9)
        (True, True)
        """
        return n in self.refused or (len(self.refused) >= MOST_REFUSED and n < self.refused[0])

    def helped(self, lane: int, at_ms: int, bound_ms: int) -> bool:
        """Whether the coach had let it help at that lane at its own time `at_ms`, which may be off by its bound.

        >>> phone = Device(1, "", turns=((0, 2), (60_000, 3), (90_000, None)))
        >>> [phone.helped(2, at_ms, 20) for at_ms in (5_000, 60_010, 70_000)], phone.helped(3, 95_000, 20)
        ([True, True, False], False)
        """
        slack_ms = min(bound_ms, SLACK_MS)
        ends = (*(since_ms for since_ms, _ in self.turns[1:]), None)
        return any(
            at == lane and since_ms - slack_ms <= at_ms and (end_ms is None or at_ms < end_ms + slack_ms)
            for (since_ms, at), end_ms in zip(self.turns, ends)
        )


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a device may not join, in the protocol's words, and how long it has to wait before it tries again."""

    why: str
    wait_ms: int = 0


class Devices:
    """All devices of one session, with its code and the key that the QR code now has."""

    def __init__(self, session: str = "") -> None:
        self.session = session or new_key()  #: what names the session to its screens
        self.code, self.key = new_code(), new_key()
        self.known: dict[str, Device] = {}
        self.spent: set[int] = set()  #: numbers that the journal already names
        self.hosts: tuple[str, ...] = ()  #: addresses with port that a page may have been loaded from
        self.lockout = Lockout()

    def join(self, asked: Join, nonce: str, address: str, now_ms: int) -> Device | Refusal:
        """Let a device join, or say why not."""
        if asked.v != VERSION:
            return Refusal("version")
        if asked.session != self.session:
            return Refusal("session")
        known = self.known.get(asked.device)
        if known is not None and known.away:
            return Refusal("away")
        if asked.mac is not None:
            return self._by_key(asked, known, nonce)
        if known is not None and known.key:
            return Refusal("used")  # a device that has a key proves it
        if asked.token is not None:
            if known is None or not same(known.token, asked.token):
                return Refusal("code")
            return self._keep(known)
        return self._by_code(asked, known, address, now_ms)

    def _by_key(self, asked: Join, known: Device | None, nonce: str) -> Device | Refusal:
        mac = asked.mac or ""
        signed = ("join", self.session, asked.device, nonce)
        if known is not None and known.key:  # its name crosses the network: a fresh key gives nobody its place
            return self._keep(known) if is_signed(known.key, mac, *signed) else Refusal("used")
        if not is_signed(self.key, mac, *signed):
            return Refusal("used")
        key, self.key = self.key, new_key()
        return self._keep(replace(known or self._fresh(asked.device), key=key, token=""))

    def _by_code(self, asked: Join, known: Device | None, address: str, now_ms: int) -> Device | Refusal:
        if self.lockout.closed:
            return Refusal("shut")
        if wait_ms := self.lockout.wait_ms(address, now_ms):
            return Refusal("shut", wait_ms)
        if not same(self.code, asked.code or ""):
            return Refusal("code", self.lockout.wrong(address, now_ms))
        self.lockout.right(address)
        return self._keep(known or replace(self._fresh(asked.device), token=new_key()))

    def _fresh(self, name: str) -> Device:
        taken = {one.number for one in self.known.values()} | self.spent
        return Device(next(number for number in count(1) if number not in taken), name)

    def _keep(self, device: Device) -> Device:
        self.known[device.name] = device = device if device.here else replace(device, here=True)
        alike = [one for one in self.known.values() if bool(one.key) == bool(device.key)]
        if len(alike) > MOST_DEVICES:  # who was not here yet is forgotten first, then the last
            least = max((one for one in alike if one is not device), key=lambda one: (not one.here, one.number))
            if not (least.here and least.key):
                del self.known[least.name]
        return device

    # -- what the coach and the device decide ------------------------------------------------------------

    def change(self, name: str, **values: Any) -> Device:
        """The device as it is now."""
        self.known[name] = made = replace(self.known[name], **values)
        return made

    def turn(self, name: str, since_ms: int, lane: int | None) -> Device:
        """From that session time on it helps at that lane, or at none."""
        turns = self.known[name].turns
        if turns and turns[-1][1] == lane:
            return self.known[name]
        since_ms = max(since_ms, turns[-1][0]) if turns else since_ms
        return self.change(name, turns=(*turns, (since_ms, lane))[-MOST_TURNS:])

    def refuse(self, name: str, n: int) -> Device:
        """Its act of that number counts nothing, also when it comes again after the tablet was killed."""
        refused = sorted({*self.known[name].refused, n})
        return self.change(name, refused=tuple(refused[-MOST_REFUSED:]))

    def name_hosts(self, hosts: tuple[str, ...]) -> bool:
        """The tablet is found at these; return whether one of them is new."""
        new = tuple(host for host in hosts if host not in self.hosts)
        self.hosts = (*self.hosts, *new)[-MOST_HOSTS:]
        return bool(new)

    def numbered(self, number: int) -> Device | None:
        """The device with that number."""
        return next((one for one in self.known.values() if one.number == number), None)

    def renew_code(self) -> None:
        """Another code, from which nobody is shut out."""
        self.code, self.lockout = new_code(), Lockout()

    # -- kept --------------------------------------------------------------------------------------------

    def as_json(self) -> dict[str, Any]:
        """All of it, to be kept."""
        return {
            "session": self.session,
            "code": self.code,
            "key": self.key,
            "hosts": list(self.hosts),
            "devices": [asdict(one) for one in self.known.values()],
        }


def devices_from(told: Any) -> Devices:
    """What `as_json` gave. Raises ValueError for anything else."""
    try:
        made = Devices(_hex(told["session"]))
        made.code, made.key = _digits(told["code"]), _hex(told["key"])
        made.hosts = tuple(host for host in told["hosts"] if _is(host, str))
        kinds = {each.name: each.type for each in fields(Device)}
        for one in told["devices"]:
            one.setdefault("helped_before", False)  # not kept before there was a next session to help in
            one.setdefault("refused", ())  # nor were these
            turns = one["turns"] = tuple(tuple(turn) for turn in one["turns"])
            refused = one["refused"] = tuple(sorted(one["refused"]))
            right = all(_fits(one[name], str(kind)) for name, kind in kinds.items() if name not in ("turns", "refused"))
            right = right and all(_is(since_ms, int) and _is(lane, int, type(None)) for since_ms, lane in turns)
            right = right and all(_is(n, int) for n in refused)
            if not right or one.keys() != kinds.keys() or (one["key"] and not _hex(one["key"])):
                raise ValueError(tr("a saved screen is damaged"))
            made.known[one["name"]] = Device(**one)
    except (KeyError, TypeError, AttributeError) as wrong:
        raise ValueError(tr("damaged: {wrong}", wrong=json.dumps(str(wrong)))) from None
    return made


def for_next_session(before: Devices) -> Devices:
    """Those that were not sent away join the next session by what they have; none of them helps yet, nor has a lane."""
    made = Devices()
    made.hosts = before.hosts
    made.known = {
        name: replace(
            one, helps=False, helped_before=one.helps, lane=None, view="lane", here=False, turns=(), refused=()
        )
        for name, one in before.known.items()
        if not one.away
    }
    return made


def _is(value: Any, *kinds: type) -> bool:
    return type(value) in kinds


def _fits(value: Any, kind: str) -> bool:
    return type(value).__name__ in kind.replace("None", "NoneType").split(" | ")


def _hex(text: str) -> str:
    if len(bytes.fromhex(text)) != 16:
        raise ValueError(tr("a saved key is damaged"))
    return text


def _digits(text: str) -> str:
    if len(text) != 6 or not text.isdecimal():
        raise ValueError(tr("the code is damaged: scan or type it again"))
    return text
