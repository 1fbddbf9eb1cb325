"""Accepted offers: written into the squad, saved on disk, and undone one by one."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from pacer.disk import reason_of, write_whole
from pacer.language import tr
from pacer.review.learning.offers import Offer
from pacer.session.storage.putbackmigration import FILE, KEY
from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.refusal import Refused
from pacer.squad.register.roster import Roster, with_base, with_factor, with_lane, with_swimmer_base
from pacer.squad.squad import Lane, Pace, Squad, Swimmer


class OffersTrouble(Exception):
    """Accepted offers could not be saved; the message says why."""


@dataclass(frozen=True, slots=True)
class Taken:
    """An accepted offer: where it was written, and the squad's lane or swimmer before and after, as TOML."""

    key: str
    squad: str
    lane: int
    place: int | None
    swimmer: str
    factor: str
    before: str
    after: str

    @property
    def session(self) -> int:
        """The number of the session that suggested it."""
        return int(self.key.partition("/")[0])

    @property
    def old(self) -> Pace | Fraction | None:
        """The value before; None for a factor that had no value of its own there."""
        return self._value(self.before)

    @property
    def new(self) -> Pace | Fraction | None:
        """The value that was accepted."""
        return self._value(self.after)

    def _value(self, told: str) -> Pace | Fraction | None:
        lane = read_squad(told).lanes[0]
        if self.factor:
            return lane.factors.get(self.factor)
        return lane.base if self.place is None else lane.swimmers[0].base


def spot(squad: Squad, lane: int, place: int | None, swimmer: str) -> tuple[int, int | None] | None:
    """Where an offer goes in a squad: the index of the lane with that number, and the place in it; None: nowhere.

    A swimmer with a name is found by it in any lane, if nobody else has that name.
    """
    if swimmer:
        found = [
            (at, k) for at, told in enumerate(squad.lanes) for k, one in enumerate(told.swimmers) if one.name == swimmer
        ]
        return found[0] if len(found) == 1 else None
    at = next((at for at, told in enumerate(squad.lanes) if told.number == lane), None)
    if at is None or (place is not None and place >= len(squad.lanes[at].swimmers)):
        return None
    return at, place


def take(roster: Roster, offer: Offer, squad: str = "") -> tuple[Roster, Taken]:
    """Accept an offer: the squad with it, and the record to save. Raises Refused without such a lane or swimmer."""
    at = spot(roster.squad, offer.lane, offer.place, offer.swimmer)
    if at is None:
        raise Refused(tr("this lane or swimmer is no longer in the squad"), tr("change the base in the squad itself"))
    made = written(roster, at, offer)
    before, after = _told(roster.squad, at, offer.factor), _told(made.squad, at, offer.factor)
    return made, Taken(offer.key, squad, offer.lane, offer.place, offer.swimmer, offer.factor, before, after)


def written(roster: Roster, at: tuple[int, int | None], offer: Offer) -> Roster:
    """The squad with the offer written at a place from `spot`."""
    lane, place = at
    if isinstance(offer.new, Pace):
        return (
            with_base(roster, lane, offer.new) if place is None else with_swimmer_base(roster, lane, place, offer.new)
        )
    return with_factor(roster, lane, place, offer.factor, offer.new)


def undo(roster: Roster, taken: Taken) -> Roster:
    """The squad with the old value in that place. Raises Refused if it was changed by hand since."""
    at = spot(roster.squad, taken.lane, taken.place, taken.swimmer)
    if at is None or _told(roster.squad, at, taken.factor) != taken.after:
        raise Refused(tr("the squad has changed since then"), tr("change it there"))
    lane, place = at
    old = read_squad(taken.before).lanes[0]
    if taken.factor:
        return with_factor(roster, lane, place, taken.factor, old.factors.get(taken.factor))
    if place is None:
        made = with_base(roster, lane, old.base)
        return with_lane(made, lane, replace(made.squad.lanes[lane], tests=old.tests))
    made = with_swimmer_base(roster, lane, place, old.swimmers[0].base)
    swimmers = list(made.squad.lanes[lane].swimmers)
    swimmers[place] = replace(swimmers[place], tests=old.swimmers[0].tests)
    return with_lane(made, lane, replace(made.squad.lanes[lane], swimmers=tuple(swimmers)))


def _told(squad: Squad, at: tuple[int, int | None], factor: str) -> str:
    """The current value of the place, as a small squad without names."""
    lane = squad.lanes[at[0]]
    if factor:
        factors = lane.factors if at[1] is None else lane.swimmers[at[1]].factors
        own = {factor: factors[factor]} if factor in factors else {}
        return write_squad(Squad((Lane(1, Pace(100_000), (Swimmer(Pace(100_000), own=False),), factors=own),)))
    if at[1] is None:
        return write_squad(Squad((Lane(1, lane.base, (Swimmer(lane.base, own=False),), tests=lane.tests),)))
    one = replace(lane.swimmers[at[1]], name="")
    return write_squad(Squad((Lane(1, one.base, (replace(one, own=True),)),)))


class TakenOffers:
    """Accepted offers, in one file of the folder; `told` says what could not be read."""

    def __init__(self, folder: Path):
        self.path = Path(folder) / FILE
        self.told = ""
        self._taken: dict[str, Taken] = {}
        self._back: dict[str, Any] = {}  #: what an older pacer saved of hidden sessions (`putbackmigration`)
        try:
            data = json.loads(self.path.read_bytes())
            self._taken = {one["key"]: Taken(**one) for one in data["taken"]}
            self._back = dict(data[KEY])
        except FileNotFoundError:
            pass
        except (OSError, ValueError, TypeError, KeyError, AttributeError):
            self.told = tr("{file} can't be read: suggestions accepted earlier can't be undone here.", file=FILE)

    def of(self, key: str) -> Taken | None:
        """The record of an accepted offer, by its key; None if it was not accepted, or was undone."""
        return self._taken.get(key)

    def of_session(self, session: int) -> tuple[Taken, ...]:
        """The accepted offers of a session, whether its times still suggest them or not."""
        return tuple(one for one in self._taken.values() if one.session == session)

    def keep(self, taken: Taken) -> None:
        """Save an offer as accepted. Raises OffersTrouble."""
        self._write({**self._taken, taken.key: taken})

    def drop(self, key: str) -> None:
        """Save an offer as undone. Raises OffersTrouble."""
        self._write({known: one for known, one in self._taken.items() if known != key})

    def _write(self, taken: dict[str, Taken]) -> None:
        data = {"taken": [asdict(one) for one in taken.values()], KEY: self._back}
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(self.path, json.dumps(data, ensure_ascii=False).encode())
        except OSError as error:
            raise OffersTrouble(tr("the suggestions can't be saved: {reason}", reason=reason_of(error))) from None
        self._taken, self.told = taken, ""
