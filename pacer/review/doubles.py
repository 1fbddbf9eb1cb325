"""Sessions of the log that are perhaps one: the same evening run, or its times entered, on two tablets."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from itertools import combinations

from pacer.plan.problem import Unreadable
from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import Begun
from pacer.session.storage.savedsession import Listed, Session
from pacer.session.storage.store import Store, StoreTrouble
from pacer.squad.files.squadreader import read_squad

#: How far apart two tablets' starts of one session may be: one was perhaps typed in by the quarter of an hour. Ours.
STARTS_APART_MS = 15 * MINUTE_MS


def possible_doubles(store: Store, sessions: Iterable[Listed]) -> dict[int, tuple[int, ...]]:
    """The numbers of the sessions that are perhaps the same as another one, each with the others' numbers.

    They have the same plan and squad, and started within a quarter of an hour. Two that pacer ran one after the other
    are not: they are of two groups. One that was entered may have another start. Only sessions that may be are read.
    """

    @cache
    def read(number: int) -> tuple[str, str, bool]:
        try:
            kept = store.session(number)
            ran = any(isinstance(entry, Begun) and not entry.source for entry in kept.journal)
            return " ".join(kept.session.plan.split()), _squad_of(kept.session), ran
        except (StoreTrouble, Unreadable):
            return str(number), "", False  # like no other

    made: dict[int, list[int]] = {}
    for near in _near_each_other(sessions):
        for one, other in combinations(near, 2):
            if (one.title, one.pool) != (other.title, other.pool) or read(one.number)[:2] != read(other.number)[:2]:
                continue
            ran = read(one.number)[2] and read(other.number)[2]
            if not (ran and _ended_before(one, other)):
                made.setdefault(one.number, []).append(other.number)
                made.setdefault(other.number, []).append(one.number)
    return {number: tuple(sorted(others)) for number, others in made.items()}


def _near_each_other(sessions: Iterable[Listed]) -> Iterable[list[Listed]]:
    """Sessions that each started soon after the one before them."""
    begun = sorted((one.begun_ms, one.number, one) for one in sessions if one.begun_ms is not None)
    near: list[Listed] = []
    last_ms = 0
    for begun_ms, _, one in begun:
        if near and begun_ms - last_ms > STARTS_APART_MS:
            if len(near) > 1:
                yield near
            near = []
        near.append(one)
        last_ms = begun_ms
    if len(near) > 1:
        yield near


def _ended_before(one: Listed, other: Listed) -> bool:
    """Whether a session ended before one that did not start earlier."""
    return one.ended_ms is not None and other.begun_ms is not None and one.ended_ms <= other.begun_ms


def _squad_of(session: Session) -> str:
    """What tells a squad from another: its name, or else its lanes; some of its swimmers may have been absent."""
    squad = read_squad(session.squad)
    return squad.name or repr([(lane.number, lane.group, lane.base) for lane in squad.lanes])
