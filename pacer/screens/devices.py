"""The devices of a session: who may join by what, and who may help. Pure, but for the keys that it makes."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields, replace
from typing import Any

from pacer.screens.lockout import Lockout
from pacer.screens.messages import Join
from pacer.screens.signing import is_signed, new_code, new_key, same

VERSION = 1  #: of the protocol
MOST_DEVICES = 256  #: remembered of one session


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

    @property
    def source(self) -> str:
        """What journal entries call it."""
        return f"screen {self.number}"


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
            return known if known is not None and same(known.token, asked.token) else Refusal("code")
        return self._by_code(asked, known, address, now_ms)

    def _by_key(self, asked: Join, known: Device | None, nonce: str) -> Device | Refusal:
        mac = asked.mac or ""
        signed = ("join", self.session, asked.device, nonce)
        if known is not None and known.key and is_signed(known.key, mac, *signed):
            return known
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
        return self._keep(replace(known or self._fresh(asked.device), token=new_key()))

    def _fresh(self, name: str) -> Device:
        return Device(max((one.number for one in self.known.values()), default=0) + 1, name)

    def _keep(self, device: Device) -> Device:
        self.known[device.name] = device
        if len(self.known) > MOST_DEVICES:  # who only showed is forgotten first
            least = next((name for name, one in self.known.items() if not one.key and one is not device), None)
            if least is not None:
                del self.known[least]
        return device

    # -- what the coach and the device decide ------------------------------------------------------------

    def change(self, name: str, **values: Any) -> Device:
        """The device as it is now."""
        self.known[name] = made = replace(self.known[name], **values)
        return made

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
            "devices": [asdict(one) for one in self.known.values()],
        }


def devices_from(told: Any) -> Devices:
    """What `as_json` gave. Raises ValueError for anything else."""
    try:
        made = Devices(_hex(told["session"]))
        made.code, made.key = _digits(told["code"]), _hex(told["key"])
        kinds = {each.name: each.type for each in fields(Device)}
        for one in told["devices"]:
            right = all(_fits(one[name], str(kind)) for name, kind in kinds.items())
            if not right or one.keys() != kinds.keys() or (one["key"] and not _hex(one["key"])):
                raise ValueError("a device is not as it should be")
            made.known[one["name"]] = Device(**one)
    except (KeyError, TypeError, AttributeError) as wrong:
        raise ValueError(f"not what was kept: {json.dumps(str(wrong))}") from None
    return made


def _fits(value: Any, kind: str) -> bool:
    return type(value).__name__ in kind.replace("None", "NoneType").split(" | ")


def _hex(text: str) -> str:
    if len(bytes.fromhex(text)) != 16:
        raise ValueError("a key is not as it should be")
    return text


def _digits(text: str) -> str:
    if len(text) != 6 or not text.isdecimal():
        raise ValueError("the code is not as it should be")
    return text
