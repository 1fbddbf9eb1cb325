"""What the squad's page asks for: each value of a lane and of a swimmer, on a pad or as text."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from pacer.face.pages.askingpage import NEXT_LANE, NEXT_SWIMMER, Following
from pacer.face.pages.squadchangepage import SquadActs
from pacer.face.pages.squadtiles import keep_said
from pacer.face.tiles.numberpad import Pad
from pacer.language import tr
from pacer.plan.decimals import half_up
from pacer.squad.register import roster as edit
from pacer.squad.squad import Pace, called

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
        following=_next_swimmer(page, lane, place, ask_name),
    )


def ask_base(page: SquadActs, lane: int, place: int) -> None:
    """A swimmer's base."""
    base = page.roster.squad.lanes[lane].swimmers[place].base
    who = called(page.roster.squad.lanes[lane].swimmers[place], place)
    page.ask_pad(
        Pad(tr("Base, {who}: pace per 100, not the interval", who=who), half_up(base.ms), unit=_unit(base)),
        lambda ms: page.change(lambda roster: edit.with_swimmer_base(roster, lane, place, Pace(ms, base.unit))),
        _next_swimmer(page, lane, place, ask_base),
    )


def _next_swimmer(
    page: SquadActs, lane: int, place: int, ask: Callable[[SquadActs, int, int], None]
) -> Following | None:
    """The same question about the next swimmer of the lane."""
    count = len(page.roster.squad.lanes[lane].swimmers)
    ask_next = partial(ask, page, lane, place + 1) if place + 1 < count else None
    return Following(NEXT_SWIMMER, ask_next) if count > 1 else None


def ask_of_lane(page: SquadActs, lane: int, name: str) -> None:
    """One of `OF_LANE`, then of the lanes after it (not their numbers: no two may be the same on the way).

    The lane in question becomes the chosen one.
    """
    page.lane = lane
    told = page.roster.squad.lanes[lane]
    lanes = len(page.roster.squad.lanes)
    ask_next = partial(ask_of_lane, page, lane + 1, name) if lane + 1 < lanes else None
    following = Following(NEXT_LANE, ask_next) if lanes > 1 else None
    match name:
        case "number":
            page.ask_pad(
                Pad(tr("Which lane is it at the pool?"), told.number, time=False, step=1),
                lambda n: page.change(lambda roster: edit.with_number(roster, lane, n)),
            )
        case "group":
            page.ask_text(
                tr("Lane {number}: which group? One word, such as A", number=told.number),
                told.group or "",
                lambda text: page.change(lambda roster: edit.with_group(roster, lane, text)),
                following=following,
            )
        case "base":
            page.ask_pad(
                Pad(
                    tr("Base, lane {number}: pace per 100, not the interval", number=told.number),
                    half_up(told.base.ms),
                    unit=_unit(told.base),
                ),
                lambda ms: _take_base(page, lane, Pace(ms, told.base.unit)),
                following,
            )
        case "spacing":
            page.ask_pad(
                Pad(
                    tr("Lane {number}: how far apart do swimmers leave?", number=told.number),
                    told.spacing_ms,
                    step=5_000,
                ),
                lambda ms: page.change(lambda roster: edit.with_spacing(roster, lane, ms)),
                following,
            )
        case "rounds":
            asked = tr("How many rounds for lane {number}? Leave empty for as many as fit", number=told.number)
            page.ask_pad(
                Pad(asked, told.rounds, time=False, step=1, empty=True),
                lambda n: page.change(lambda roster: edit.with_rounds(roster, lane, n)),
                following,
            )


def _take_base(page: SquadActs, lane: int, pace: Pace) -> bool:
    """A lane's base; says which swimmers keep their own."""
    taken = page.change(lambda roster: edit.with_base(roster, lane, pace))
    if taken and (kept := keep_said(page.roster.squad.lanes[lane])):
        page.tell(*kept)
    return taken


def _unit(pace: Pace) -> str:
    return f"/100 {pace.unit}" if pace.unit else ""
