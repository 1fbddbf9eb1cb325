"""Test swims of a lane as tiles: what to swim, who leaves and comes in, and the result."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from pacer.face.kit.textures import measure
from pacer.face.pages.squadtiles import pace_said
from pacer.face.tiles.board import Text, Tile
from pacer.face.tiles.column import ROW, Cell, Column
from pacer.face.tiles.page import PageKey
from pacer.language import tr
from pacer.plan.sentence import sentence
from pacer.plan.times import in_tenths, text_from_ms
from pacer.show.measure.typesizes import TITLE
from pacer.squad.squad import Lane, called
from pacer.squad.trials.trialwatch import USUAL, Moment, Offer, Phase, TestSwim

DISTANCES = tuple(sorted((*USUAL, 100, 800, 1500)))


def choice_tiles(
    lane: Lane,
    swims: Sequence[TestSwim],
    offers: Sequence[Offer],
    taken: Collection[int],
    column: Column,
) -> list[Tile]:
    """Which distance comes next, and the result so far.

    `taken` are the places whose new base would be taken.
    """
    column.say(tr("Test swims, lane {number}", number=lane.number), bold=True, scale=TITLE)
    swum = [swim.distance for swim in swims]
    if not swum:
        column.say(
            tr(
                "A 400 and a 200, each all out, with plenty of easy swimming between. Swimmers leave "
                "{spacing} apart. Tap as each swimmer touches; pacer allows for that.",
                spacing=text_from_ms(lane.spacing_ms),
            )
        )
    elif set(USUAL) - set(swum):
        column.say(
            tr(
                "The {swum} is saved. Swim easy, then the {distances}.",
                swum=swum[-1],
                distances=next(distance for distance in USUAL if distance not in swum),
            )
        )
    column.skip(0.4)
    column.flow(
        *(
            Cell(f"swim {distance}", (str(distance),), look="lit" if distance in swum else "key")
            for distance in DISTANCES
        )
    )
    if offers:
        column.say(tr("New bases per 100. Tap one to leave it out:"), colour="dim")
        column.skip(0.3)
    names = max(
        (measure(called(lane.swimmers[offer.place], offer.place), column.cap, True) for offer in offers), default=0
    )
    for offer in offers:
        column.tiles.append(_offer(lane, offer, offer.place in taken, names, column))
        column.top += column.target + 0.6 * column.gap
        if offer.found is None or offer.earlier:
            column.say(offer.words, colour="warn" if offer.found is None else "dim")
            column.skip(0.3)
    for words in dict.fromkeys(
        tr("Confidence: {trust}. {advice}", trust=offer.found.trust.said, advice=offer.found.advice[0])
        for offer in offers
        if offer.found is not None and offer.found.advice
    ):
        column.say(words, colour="dim")
    return column.tiles


def _offer(lane: Lane, offer: Offer, taken: bool, names: float, column: Column) -> Tile:
    """One swimmer's new base beside the old one and, if there is room, the times that it comes from."""
    pad, width, high, cap = column.inset if offer.found else 0.0, column.width, column.target, column.cap
    swimmer = lane.swimmers[offer.place]
    new = "" if offer.found is None else pace_said(offer.found.pace)[-1]
    was = tr("was {pace}", pace=pace_said(swimmer.base)[-1])
    pace, old = measure("0:00.0", cap, True), measure(tr("was 0:00.0"), cap)
    times = ", ".join(f"{trial.distance} {in_tenths(trial.time_ms)}" for trial in offer.trials)
    right = width - pad - pace
    names = min(names, right - old - 2 * cap - pad)
    left = pad + names + cap
    spare = right - old - cap - left
    texts = [
        Text((called(swimmer, offer.place),), (pad, 0, names + 1, high), True),
        Text((was,), (right - old - cap, 0, old, high), colour="dim", across="right"),
        Text((new,), (right, 0, pace, high), True, across="right"),
    ]
    if measure(times, cap) + 0.5 * cap <= spare:
        texts.append(Text((times,), (left, 0, spare, high), colour="dim"))
    return Tile(
        f"offer {offer.place}" if new else "",
        column.x,
        column.top,
        width,
        high,
        tuple(texts),
        "key" if new else "plain",
        taken,
    )


def swim_tiles(lane: Lane, swim: TestSwim, now: Moment, marked: int | None, column: Column) -> list[Tile]:
    """Everybody's row, in the order in which they are expected or came in; those who stopped early last."""
    column.say(tr("{distance}, lane {number}", distance=swim.distance, number=lane.number), bold=True)
    column.skip(0.3)
    for place in (*swim.order, *swim.out):
        column.tiles.append(_row(lane, swim, now, place, place == marked, column))
        column.top += column.target + 0.6 * column.gap
    return column.tiles


def _row(lane: Lane, swim: TestSwim, now: Moment, place: int, marked: bool, column: Column) -> Tile:
    pad, high, width = column.inset, column.target, column.width
    is_in = swim.time_ms(place) is not None
    if place in swim.out:
        said, colour = (tr("did not finish"),), "dim"
    elif is_in:
        said, colour = (in_tenths(now.swum_ms[place]),), "ink"
    elif place in now.swum_ms:
        said, colour = (text_from_ms(now.swum_ms[place] // 1000 * 1000),), "dim"
    elif swim.zero_ms is not None and now.in_ms is not None:
        said, colour = (tr("leaves") if place == now.who and now.in_ms <= 0 else tr("waits"),), "dim"
    else:
        said, colour = ("",), "dim"
    right = 0.46 * width
    texts = (
        Text((called(lane.swimmers[place], place),), (pad, 0, width - right - 2 * pad, high), is_in),
        Text(said, (width - right, 0, right - pad, high), is_in, colour, "right", cap=TITLE if is_in else 1.0),
    )
    return Tile(
        f"row {place}", column.x, column.top, width, high, texts, "lit" if marked else "key", place not in swim.out
    )


def tap_tile(
    lane: Lane, swim: TestSwim, now: Moment, box: tuple[float, float, float, float], cap: float, padding: float
) -> Tile:
    """The one large thing to tap: it says whose arrival the next tap is, or who leaves when."""
    x, top, width, height = box
    row = round(ROW * cap)
    look, able, name = "key", True, ""
    coming = called(lane.swimmers[swim.coming[0]], swim.coming[0]) if swim.coming else ""
    who = "" if now.who is None else called(lane.swimmers[now.who], now.who)
    if swim.zero_ms is None:
        lead, said, foot = tr("{who} leaves first", who=who), tr("Ready"), tr("Press a start button")
        look = "plain"
    elif now.phase is Phase.IN:
        lead, said, foot, able = tr("everybody is in"), tr("done"), tr("Wrong order? Tap both to swap."), False
    elif now.in_ms is not None:
        seconds = -(-now.in_ms // 1000)
        lead, said, foot = (tr("{who} leaves in", who=who), str(seconds), "") if seconds > 0 else (tr("now"), "GO", who)
        look, able = ("lit", True) if seconds <= 0 else ("key", True)
        name = "tap" if now.swum_ms else ""
    else:
        lead, said, name = tr("tap for"), coming, "tap"
        foot = tr("{count} still swimming", count=len(swim.coming))
    below = 0 if not foot else 1 if len(foot) < 20 else 2
    large = max(1.0, min(5.0, 0.8 * (height / row - 1 - below), width / (4 * cap)))
    first = (height - (1 + large + below) * row) / 2
    texts = (
        Text((lead,), (padding, first, width - 2 * padding, row), False, "ink", "middle"),
        Text(
            (said,),
            (padding, first + row, width - 2 * padding, large * row),
            True,
            "ink",
            "middle",
            cap=large if len(said) < 4 else min(large, 1.6),
        ),
        Text(
            (foot,),
            (padding, first + (1 + large) * row, width - 2 * padding, max(below, 1) * row),
            False,
            "dim",
            "middle",
            "top",
            lines=2,
        ),
    )
    return Tile(name, x, top, width, height, texts, look, able)


#: The answers if a test swim is doubtful: it counts only after the coach has said so.
DOUBTED = (PageKey("save anyway", tr("Save anyway")), PageKey("correct", tr("Fix times"), main=True))


def doubt_tiles(doubts: Sequence[str], column: Column) -> list[Tile]:
    """Asks whether doubtful test swims should count."""
    column.say(tr("Are these times right?"), bold=True, scale=TITLE)
    for doubt in doubts:
        column.say(sentence(doubt), colour="warn")
    return column.tiles


def taken_at_first(offers: Sequence[Offer]) -> frozenset[int]:
    """The places whose base is taken unless the coach leaves it out."""
    return frozenset(offer.place for offer in offers if offer.found is not None)


def earlier_trials(lane: Lane) -> Mapping[int, tuple]:
    """The test swims that each swimmer's current base comes from."""
    return {place: swimmer.tests for place, swimmer in enumerate(lane.swimmers)}
