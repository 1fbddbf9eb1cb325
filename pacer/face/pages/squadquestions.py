"""What the squad's page asks for: each value of a lane and of a swimmer, on a pad or as text."""

from __future__ import annotations

from pacer.face.pages.squadchangepage import SquadActs
from pacer.face.pages.squadtiles import called, keep_said
from pacer.face.tiles.numberpad import Pad
from pacer.language import tr
from pacer.plan.times import half_up
from pacer.squad.register import roster as edit
from pacer.squad.squad import Pace

NAMES_STAY = tr("Lane screens and pool views never show names. Test swims and the register do.")
OF_LANE = frozenset({"number", "group", "base", "spacing", "rounds"})  #: values that `ask_of_lane` asks for


def ask_name(page: SquadActs, lane: int, place: int) -> None:
    """A swimmer's name."""
    swimmer = page.roster.squad.lanes[lane].swimmers[place]
    page.ask_text(
        tr("Name for {called}?", called=called(swimmer, place)),
        swimmer.name,
        lambda text: page.change(lambda roster: edit.with_name(roster, lane, place, text)),
        note=NAMES_STAY,
    )


def ask_base(page: SquadActs, lane: int, place: int) -> None:
    """A swimmer's base."""
    base = page.roster.squad.lanes[lane].swimmers[place].base
    who = called(page.roster.squad.lanes[lane].swimmers[place], place)
    page.ask_pad(
        Pad(tr("Base, {who}: pace per 100, not the interval", who=who), half_up(base.ms), unit=_unit(base)),
        lambda ms: page.change(lambda roster: edit.with_swimmer_base(roster, lane, place, Pace(ms, base.unit))),
    )


def ask_of_lane(page: SquadActs, lane: int, name: str) -> None:
    """One of `OF_LANE`."""
    told = page.roster.squad.lanes[lane]
    match name:
        case "number":
            page.ask_pad(
                Pad(tr("Which lane is it at the pool?"), told.number, time=False, step=1),
                lambda n: page.change(lambda roster: edit.with_number(roster, lane, n)),
            )
        case "group":
            page.ask_text(
                tr("Which group? One word, such as A"),
                told.group or "",
                lambda text: page.change(lambda roster: edit.with_group(roster, lane, text)),
            )
        case "base":
            page.ask_pad(
                Pad(
                    tr("Base, lane {number}: pace per 100, not the interval", number=told.number),
                    half_up(told.base.ms),
                    unit=_unit(told.base),
                ),
                lambda ms: _take_base(page, lane, Pace(ms, told.base.unit)),
            )
        case "spacing":
            page.ask_pad(
                Pad(tr("Lane {number}: time between swimmers?", number=told.number), told.spacing_ms, step=5_000),
                lambda ms: page.change(lambda roster: edit.with_spacing(roster, lane, ms)),
            )
        case "rounds":
            asked = tr("How many rounds for lane {number}? Leave empty for as many as fit", number=told.number)
            page.ask_pad(
                Pad(asked, told.rounds, time=False, step=1, empty=True),
                lambda n: page.change(lambda roster: edit.with_rounds(roster, lane, n)),
            )


def _take_base(page: SquadActs, lane: int, pace: Pace) -> bool:
    """A lane's base; says which swimmers keep their own."""
    taken = page.change(lambda roster: edit.with_base(roster, lane, pace))
    if taken and (kept := keep_said(page.roster.squad.lanes[lane])):
        page.tell(*kept)
    return taken


def _unit(pace: Pace) -> str:
    return f"/100 {pace.unit}" if pace.unit else ""
