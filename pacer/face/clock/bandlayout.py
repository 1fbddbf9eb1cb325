"""The layout of a lane's band in the pool view: the deck on its left, rows of words and swimmers in the water."""

from __future__ import annotations

from typing import NamedTuple

from pacer.face.kit.ink import Box, digits_width, line_box
from pacer.face.kit.textures import font_size, measure
from pacer.show.measure.fitting import FOOT, LINE
from pacer.show.measure.poolrows import Rows
from pacer.show.wording.viewtext import say

BAR, SLIM = 0.34, 0.2  #: height of a ribbon without words, in character heights


def deck_width(width: float, rows: Rows, height: float, widest: str) -> float:
    """Width of the deck part of a band; `widest` is the widest of the lanes' numbers."""
    if rows.deck_rows == 1:
        return one_row(width, rows, widest)[0]
    unit = rows.unit
    number = number_width(rows, height, widest)
    shape = 1.45 * unit
    mark = measure(":88", unit, True)
    word = max(measure(say(name), unit, True) for name in ("ready", "paused"))
    low = digits_width("8:88", font_size(count_cap(rows, height))) + 0.7 * unit
    low = low + mark if rows.deck_rows == 2 else max(low, measure(f"{say('leaves at')} :88", unit))
    return min(number + max(shape + word, low) + 1.3 * unit, 0.5 * width)


def one_row(width: float, rows: Rows, widest: str) -> tuple[float, bool]:
    """Width of a deck of one row, and whether it says `at` before the clock reading to leave at.

    More than ten minutes ahead, nobody needs that reading: the count-down takes its room.
    """
    unit = rows.unit
    narrow = number_width(rows, unit, widest) + 3.45 * unit + digits_width("8:88", font_size(unit))
    narrow += measure(":88", unit, True)
    wide = narrow + max(measure(say(name), unit, True) for name in ("ready", "paused")) + 0.4 * unit
    beside_sheet = 0.56 if width < 21 * unit else 0.0  # elsewhere a time on its lane needs the room
    for way, says, most in ((wide, True, 0.53), (wide, False, 0.53), (narrow, True, beside_sheet)):
        whole = way + (at_width(unit) if says else 0)
        if whole < most * width:
            return whole, says
    return min(narrow, 0.62 * width), False


def at_width(unit: float) -> float:
    """Width of `at` before a clock reading, with the gap before it."""
    return measure(say("at"), unit) + 0.5 * unit


def number_cap(rows: Rows, height: float) -> float:
    """Character height of the lane's number."""
    return rows.unit if rows.deck_rows == 1 else min(0.4 * height, 2.4 * rows.unit)


def number_width(rows: Rows, height: float, widest: str) -> float:
    """Width reserved for the lane's number."""
    return measure(widest if rows.deck_rows == 1 else "88", number_cap(rows, height), True) + 0.6 * rows.unit


def count_cap(rows: Rows, height: float) -> float:
    """Character height of the count-down, with even space between the rows."""
    if rows.deck_rows == 1:
        return rows.unit
    room = height - (rows.deck_rows - 1) * rows.unit
    return min(0.62 * room, max(2.6 * rows.unit, 0.4 * height))


class WaterBoxes(NamedTuple):
    """Where swimmers go out and come back, the ribbon's box, and the base lines of the rows from the top."""

    out_y: float
    back_y: float
    ribbon: Box
    bases: list[float]


def water_boxes(box: Box, water: Box, rows: Rows) -> WaterBoxes:
    """The layout of the water of a band."""
    unit = rows.unit
    left, wide = water.x + 0.5 * unit, water.right - 0.3 * unit - water.x - 0.6 * unit
    edge = max(1.0, 0.12 * rows.dart)
    out_y, back_y = box.y + edge, box.top - edge - rows.dart
    low, high = out_y + rows.dart, back_y
    if rows.strips == 1:
        back_y, high = out_y, box.top - edge
    if not rows.ribbon:
        # Parts of letters below the base line stay clear of swimmers, too; what is left is above the words.
        base = low + FOOT * unit
        return WaterBoxes(out_y, back_y, Box(left, low, wide, 0), [base])
    # The space is even between capitals, not between lines: the eye does not count what hangs below a base line.
    foot = ((LINE + 0.5) if rows.ribbon == "labels" else BAR if rows.ribbon == "bar" else SLIM) * unit
    room = high - low - foot - rows.texts * unit
    air = min(0.62 * unit, max((0.46 if rows.strips > 1 else 0.43) * unit, room / (rows.texts + 1)))
    base = low + max(0.0, room - rows.texts * air) / 3  # most of what is left separates words from those above
    bases = [base + foot + air + (rows.texts - 1 - line) * (unit + air) for line in range(rows.texts)]
    return WaterBoxes(out_y, back_y, Box(left, base, wide, foot), bases)


class DeckBoxes(NamedTuple):
    """Boxes of the deck; `at` before a reading, where there is room. `wait`: what is said in place of a count-down."""

    edge: Box
    number: Box
    number_cap: float
    shape: Box
    word: Box
    mark: Box
    at: Box | None
    count_down: Box
    count_cap: float
    wait: Box


def deck_boxes(band: Box, box: Box, rows: Rows, widest: str, upper: float) -> DeckBoxes:
    """The layout of a `band`'s deck, `box`; `upper` is the base line of the water's upper row."""
    unit = rows.unit
    edge = box._replace(width=max(4.0, 0.24 * unit))
    cap = number_cap(rows, box.height)
    base = upper if rows.deck_rows == 1 else box.y + (box.height - cap) / 2
    number = line_box(edge.right, base, number_width(rows, box.height, widest), cap)
    left, right = number.right + 0.25 * unit, box.right - 0.65 * unit
    beside = measure(":88", unit, True)
    high = count_cap(rows, box.height)
    if rows.deck_rows == 1:
        wide = digits_width("8:88", font_size(high))
        says = at_width(unit) if one_row(band.width, rows, widest)[1] else 0.0
        mark = line_box(right - beside, base, beside + 1, unit)
        count = Box(right - beside - says - 0.4 * unit - wide, base, wide, high)
        return DeckBoxes(
            edge,
            number,
            cap,
            shape=Box(left, base, unit, unit),
            word=line_box(left + 1.45 * unit, base, count.x - 0.3 * unit - left - 1.45 * unit, unit),
            mark=mark,
            at=line_box(mark.x + 0.1 * unit - says, base, says, unit) if says else None,
            count_down=count,
            count_cap=high,
            wait=line_box(count.x, base, right - count.x, unit),
        )
    lines = rows.deck_rows - 1
    air = (box.height - lines * unit - high) / (lines + 2)
    base = box.y + air
    if rows.deck_rows == 3:
        mark = line_box(left, base, right - left, unit)
        base += unit + air
        count = Box(left, base, right - left, high)
    else:
        mark = line_box(right - beside, base, beside + 1, unit)
        count = Box(left, base, right - beside - 0.4 * unit - left, high)
    base += high + air
    return DeckBoxes(
        edge,
        number,
        cap,
        shape=Box(left, base, unit, unit),
        word=line_box(left + 1.4 * unit, base, right - left - 1.4 * unit, unit),
        mark=mark,
        at=None,
        count_down=count,
        count_cap=high,
        wait=line_box(left, count.y, right - left, unit),
    )


def state_boxes(band: Box, laid: DeckBoxes, rows: Rows, alone: bool) -> tuple[Box, Box]:
    """Where the shape and the word of a state are: beside the number, where they are `alone` on the deck."""
    up = band.y + (band.height - rows.unit) / 2 - laid.shape.y if alone and rows.deck_rows > 1 else 0.0
    return laid.shape._replace(y=laid.shape.y + up), laid.word._replace(y=laid.word.y + up)
