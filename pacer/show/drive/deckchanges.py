"""The changes that one press on deck makes to its lanes: what is offered, said and done."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

from pacer.language import tr
from pacer.session.journal.entries import Change as Steering
from pacer.session.journal.entries import Entry, Lanes, TakenBack, Unit
from pacer.session.journal.recordentries import Touched, standing
from pacer.session.running import presses
from pacer.session.running.countchanges import line_in_hand
from pacer.session.running.runstate import Run
from pacer.session.running.undo import undoes
from pacer.show.drive.driver import Driver
from pacer.show.drive.pressproposal import Proposal
from pacer.show.measure.messagetime import AGAIN_MS, OLD_MS, TIME_MS
from pacer.show.wording.commonkeys import UNDO
from pacer.timeline.findings import CannotRun
from pacer.timeline.track import Pass


class Change(NamedTuple):
    """A change made by one press: its name on a key, longest first; how to make the entry; why there is none.

    `does` says what it is, apart from what it changes: several names are alike.
    """

    labels: tuple[str, ...]
    make: Callable[[Run, int, Lanes], Entry | None]
    nothing: tuple[str, ...]
    does: str = ""


_NO_LINE = (tr("No set is running"), tr("no set is running"))
_NOBODY = (tr("nobody is due to leave"), tr("nobody due"))

#: By name; keys on the bar use the same names.
CHANGES = {
    "late": Change((tr("Delay send-off"), tr("Delay")), presses.late, _NOBODY),
    "miss": Change((tr("Sit one out"),), presses.miss, _NOBODY, tr("sits one repeat out, send-offs stay")),
    "fewer": Change(
        (tr("Cut a repeat"),),
        lambda run, at_ms, lanes: presses.change_count(run, at_ms, -1, lanes),
        _NO_LINE,
        tr("one repeat fewer in this set"),
    ),
    "one more": Change(
        (tr("Add a repeat"),),
        lambda run, at_ms, lanes: presses.change_count(run, at_ms, 1, lanes),
        _NO_LINE,
        tr("one repeat more in this set"),
    ),
    "one round fewer": Change(
        (tr("Cut a round"),),
        lambda run, at_ms, lanes: presses.change_count(run, at_ms, -1, lanes, rounds=True),
        _NO_LINE,
        tr("one round fewer in this section"),
    ),
    "one round more": Change(
        (tr("Add a round"),),
        lambda run, at_ms, lanes: presses.change_count(run, at_ms, 1, lanes, rounds=True),
        _NO_LINE,
        tr("one round more in this section"),
    ),
    "take back": Change((UNDO,), lambda run, at_ms, lanes: presses.undo(run, at_ms), (tr("nothing to undo"),)),
}


def last_time(driver: Driver) -> Touched | None:
    """The time that Undo takes back: the coach's last tap, while it is still shown on its lane and nothing was changed
    since.
    """
    numbers = {number for number, _ in standing(driver.journal)} if driver.times else set()
    now_ms = driver.at_ms() or 0
    for number in range(len(driver.journal), 0, -1):
        entry = driver.journal[number - 1]
        if now_ms - entry.at_ms >= TIME_MS or isinstance(entry, Steering | TakenBack):
            return None
        if isinstance(entry, Touched) and number in numbers and not (entry.source or entry.called):
            return entry
    return None


def _time_undone(driver: Driver, entry: Touched) -> Proposal:
    """Take back a time that was tapped."""
    from pacer.session.records.touches import tenths
    from pacer.show.wording.viewtext import nth
    from pacer.show.wording.waitingtext import named

    time, lane = tenths(entry.time_cs), named(driver.run, [entry.lane])
    ways = (
        tr("undoes the time {time} of {lane}, {nth}", time=time, lane=lane, nth=nth(entry.swimmer)),
        tr("undoes the time {time} of {lane}", time=time, lane=lane),
        tr("undoes the time {time}", time=time),
    )
    return Proposal(presses.withdraw(driver.journal, entry, driver.at_ms() or 0), ways, driver.now_ms(), driver.run)


class Doubts:
    """Undo of something old is asked for twice: it may not be what is meant."""

    def __init__(self) -> None:
        self._asked: tuple[Run, int] | None = None  # in which run, and until when the second time counts

    def of(self, driver: Driver, proposal: Proposal) -> tuple[str, ...]:
        """What to say before an Undo is made, the longest way first; () if it can be made."""
        told, now_ms = _old_one(driver, proposal), driver.now_ms()
        asked = self._asked is not None and self._asked[0] is driver.run and now_ms < self._asked[1]
        self._asked = (driver.run, now_ms + AGAIN_MS) if told and not asked else None
        return () if asked else told


def _old_one(driver: Driver, proposal: Proposal) -> tuple[str, ...]:
    """What to say before a change is undone that was made long ago, as it may not be the one that is meant; () if it is
    a recent one.
    """
    from pacer.session.records.entrytext import names_of  # not needed for the first picture
    from pacer.session.running.outlook import whole_minutes
    from pacer.show.wording.undotext import undone

    run, entry, at_ms = driver.run, proposal.entry, driver.at_ms() or 0
    if not isinstance(entry, TakenBack):
        return ()
    change = undoes(run, entry)
    ago_ms = at_ms - change.at_ms
    if ago_ms < OLD_MS:
        return ()
    what = undone(change, names_of(run.timeline), run.begun, run.timeline.plan.booking_ms)
    ago = tr("{minutes} min ago", minutes=whole_minutes(ago_ms))
    return (
        tr("Undo “{what}”, {ago}? Hold down again", what=what, ago=ago),
        tr("“{what}”, {ago}? Hold down again", what=what, ago=ago),
        tr("That was {ago}. Hold down again", ago=ago),
        tr("Hold down again"),
    )


def undoes_last(run: Run, at_ms: int) -> bool:
    """Whether Undo undoes the last change, and no older one because that can no longer be undone."""
    try:
        entry = presses.take_back(run, at_ms)
        return entry is not None and presses.undoes_anything(run, at_ms, entry)
    except CannotRun:
        return False


def offered(driver: Driver, name: str, lanes: Lanes) -> Proposal:
    """What one of `CHANGES` would do for these lanes."""
    change = CHANGES[name]
    if name == "take back" and (time := last_time(driver)) is not None:
        return _time_undone(driver, time)
    if name == "fewer" and (next_set := _cut_from_the_next_set(driver, lanes)):
        change = change._replace(does=next_set)
    proposal = driver.offer(lambda run, at_ms: change.make(run, at_ms, lanes), *change.nothing)
    if proposal.entry is None:
        from pacer.show.wording.forecasttext import NOTHING_CHANGES  # not needed for the first picture

        nothing = proposal.says == NOTHING_CHANGES and change.does
        return replace(proposal, ways=(f"{change.does}: {proposal.says}", *proposal.ways)) if nothing else proposal
    if name != "take back":
        long = (f"{change.does}: {proposal.says}",) if change.does else ()
        return replace(proposal, ways=(*long, *proposal.ways))
    return replace(proposal, ways=_naming_what(driver.run, proposal))


def _naming_what(run: Run, proposal: Proposal) -> tuple[str, ...]:
    """What Undo says: which change it undoes. An older one is always named, and so is the last one where that fits."""
    from pacer.session.records.entrytext import names_of  # not needed for the first picture
    from pacer.show.wording.undotext import undone

    def named(entry: Entry) -> str:
        return undone(entry, names_of(run.timeline), run.begun, run.timeline.plan.booking_ms)

    assert isinstance(proposal.entry, TakenBack)
    what = named(undoes(run, proposal.entry))
    naming = tuple(tr("undoes “{what}”: {way}", what=what, way=way) for way in proposal.ways)
    return naming if proposal.entry.stay else (*naming, *proposal.ways)


def _cut_from_the_next_set(driver: Driver, lanes: Lanes) -> str:
    """What `Cut a repeat` does if lanes are on the last repeat of a set, so that it cuts one of their next; else ""."""
    following = [later for _, later in sets_ahead(driver, lanes).values()]
    if following and all(following):
        return tr("one repeat fewer in the next set")
    return tr("one repeat fewer in this set or the next") if any(following) else ""


def sets_ahead(driver: Driver, lanes: Lanes) -> dict[int, tuple[Pass, bool]]:
    """By lane (index), the set that it leaves on next, and whether that comes after the one that it is in."""
    run, at_ms, made = driver.run, driver.at_ms() or 0, {}
    for lane in run.lanes(lanes):
        here, ahead = (line_in_hand(run.timeline.tracks[lane], at_ms, ahead=each) for each in (False, True))
        if ahead is not None:
            made[lane] = ahead, here is not None and _set(here) != _set(ahead)
    return made


def _set(found: Pass) -> tuple[int, int, int]:
    return found.section, found.round, found.place


#: Moves lanes forwards or back: label, unit and step.
MOVES = {
    "next": (tr("Next repeat"), Unit.REPEAT, 1),
    "previous": (tr("Previous repeat"), Unit.REPEAT, -1),
    "next line": (tr("Next set"), Unit.LINE, 1),
    "previous line": (tr("Previous set"), Unit.LINE, -1),
}

#: What the key that syncs the pace clock to the pool clock says: it counts when it is let go.
MATCH = (
    tr("Let go at :00 on the pool clock. Send-offs stay put."),
    tr("Let go at :00 on the pool clock"),
    tr("Let go at the pool's :00"),
)

#: What is said once that is done.
MATCHED = tr("Synced to the pool clock"), tr("Clock synced")

#: All that one press does to lanes that swim, on the bar and on the sheet alike.
PRESSES = frozenset(("pause", "resume", "match", *MOVES, *CHANGES))


def proposed(driver: Driver, name: str, lanes: Lanes) -> Proposal:
    """What one of `PRESSES` would do for these lanes."""
    match name:
        case "pause":
            return driver.pause(lanes)
        case "resume":
            return driver.resume(lanes)
        case "match":
            return Proposal(presses.matched(driver.at_ms() or 0), MATCH, driver.now_ms(), driver.run)
        case _ if name in MOVES:
            _, unit, step = MOVES[name]
            return driver.move(unit, step, lanes)
    return offered(driver, name, lanes)
