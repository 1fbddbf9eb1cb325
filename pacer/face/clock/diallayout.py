"""The layout of the dial, and of the lanes' numbers around its rim."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import cos, pi, sin
from typing import NamedTuple

from pacer.face.kit.ink import Box
from pacer.show.measure.fitting import LINE, PITCH, Measure, wrapped
from pacer.show.measure.legibility import Glass
from pacer.show.view.viewvalues import Mark
from pacer.squad.lanenumbers import spans

EDGE = 0.35  #: of a wide screen beside the dial, in character heights: no number is at its very edge


class DialBoxes(NamedTuple):
    """Measures in pixels: the dial about its `centre`, texts and the lanes' rows beside or below it."""

    unit: float
    area: Box
    centre: tuple[float, float]
    radius: float
    float_: float
    numeral_radius: float
    numeral_cap: float
    hand_length: float
    hand_width: float
    neck: float
    clock: Box
    whose: Box
    section: Box
    label: Box
    session: Box
    rows: tuple[Box, ...]
    corner: Box  #: nothing is in it


class Chip(NamedTuple):
    """Lanes' numbers at the rim, beside the mark of `second`."""

    second: int
    text: str
    lines: int
    colour: str
    later: bool
    box: Box


def dial_boxes(box: Box, glass: Glass, lanes: int, corner: tuple[float, float] = (0.0, 0.0)) -> DialBoxes:
    """The boxes on a screen of that size: the dial as large as possible, with room for the numbers around it.

    Nothing is in the lower left `corner` of that width and height.
    """
    unit = glass.unit_px(box.width, box.height)
    if box.width >= box.height:
        wide = min(max(0.26 * box.width, 12.3 * unit), 0.46 * box.width)
        side = Box(box.right - wide, box.y, wide, box.height)
        dial = Box(box.x + EDGE * unit, box.y, box.width - side.width - EDGE * unit, box.height)
        columns = 1
    else:
        columns = 2 if box.width >= 19 * unit else 1
        rows = -(-lanes // columns)
        high = min(0.45 * box.height, 5.4 * unit + rows * 1.75 * unit)
        high = max(high, corner[1])
        side = Box(box.x + corner[0], box.y, box.width - corner[0], high)
        dial = Box(box.x, side.top, box.width, box.height - high)
    outside = 2.1 * unit
    radius = min(dial.height / 2 - outside, (dial.width / 2 - 3.75 * unit) / 1.05)
    free = Box(box.x, box.y, *corner)
    centre, radius = _clear_of(free, dial, radius, outside, dial.width / 2 - 3.75 * unit)
    numeral_cap = 0.155 * radius
    pad = 0.6 * unit
    inner = side.inset(pad, 0.4 * unit)
    clock_high = 2.0 * unit
    wide = 6 * unit
    clock = Box(inner.x, inner.top - clock_high, wide, clock_high)
    if columns == 1 and box.width >= box.height:
        section = Box(inner.x, clock.y - 0.6 * unit - LINE * unit, inner.width, LINE * unit)
        session = Box(inner.x, section.y - LINE * unit, 5.4 * unit, LINE * unit)
        label = Box(session.right, session.y, inner.right - session.right, LINE * unit)
        whose = Box(clock.x + 5.4 * unit, clock.y - 0.6 * unit, inner.width - 5.4 * unit, (LINE + PITCH) * unit)
        top = session.y - 0.2 * unit
    else:
        rest = Box(inner.x + 6.2 * unit, clock.y, inner.width - 6.2 * unit, clock_high)
        section = rest.row(0.5, 1)._replace(height=LINE * unit)
        session = Box(rest.x, rest.y - 0.45 * unit, 5.4 * unit, LINE * unit)
        label = Box(session.right, session.y, rest.right - session.right, LINE * unit)
        whose = Box(inner.x, session.y - 1.45 * unit, inner.width, LINE * unit)
        top = whose.y - 0.05 * unit
    count = -(-lanes // columns)
    gap = 0.12 * unit
    high = min(2.7 * unit, (top - inner.y - gap * (count - 1)) / max(1, count))
    column = (inner.width - (columns - 1) * unit * 0.5) / columns
    lane_boxes = []
    for lane in range(lanes):
        across, down = divmod(lane, count)
        lane_boxes.append(Box(inner.x + across * (column + 0.5 * unit), top - high - down * (high + gap), column, high))
    return DialBoxes(
        unit,
        dial,
        centre,
        radius,
        max(5.0, 0.062 * radius),
        0.76 * radius,
        numeral_cap,
        0.95 * radius,
        max(8.0, 0.11 * radius),
        0.66 * radius,
        clock,
        whose,
        section,
        label,
        session,
        tuple(lane_boxes),
        free,
    )


@lru_cache(8)
def larger_without_bar(
    width: float, height: float, bar: float, corner: tuple[float, float], glass: Glass, lanes: int
) -> bool:
    """Whether the dial is larger on the whole screen, but for a corner, than above a bar of that height."""
    above, whole = (
        dial_boxes(Box(0, 0, width, height - bar), glass, lanes),
        dial_boxes(Box(0, 0, width, height), glass, lanes, corner),
    )
    return width >= height and whole.radius > above.radius + 1


def _clear_of(
    corner: Box, dial: Box, radius: float, outside: float, across: float
) -> tuple[tuple[float, float], float]:
    """Centre and radius of a dial with `outside` around it clear of a corner of `dial`.

    It moves to the right as far as `across`, half the width for it, allows; only then it gets smaller.
    """
    x, y = dial.x + dial.width / 2, dial.y + dial.height / 2
    while radius > outside:
        reach, up = radius + outside, y - corner.top
        needed = corner.right + (reach**2 - up**2) ** 0.5 if corner.width and up < reach else x
        if needed <= x + max(0.0, across - 1.05 * radius):
            return (max(x, needed), y), radius
        radius -= 1
    return (x, y), radius


def chips_around(marks: Sequence[Mark], boxes: DialBoxes, measure: Measure) -> list[Chip]:
    """A chip for each mark, outside the rim and near it; chips that would touch are pushed apart along the rim."""
    sized = [_sized(spans([int(lane) for lane in mark.lanes]), mark.second, boxes, measure) for mark in marks]
    placed = chip_boxes([mark.second for mark in marks], sized, boxes)
    return [
        Chip(mark.second, size.text, size.lines, mark.colour, mark.later, box)
        for mark, size, box in zip(marks, sized, placed)
    ]


def chip_boxes(seconds: Sequence[int], sized: Sequence[Sized], boxes: DialBoxes) -> list[Box]:
    """Where chips of those sizes go beside the marks of those seconds."""
    distance = boxes.radius + 0.75 * boxes.float_ + 0.15 * boxes.unit
    angles = [second * 6.0 for second in seconds]
    for _ in range(200):
        moved = False
        for i in range(len(angles)):
            j = (i + 1) % len(angles)
            if i == j:
                break
            if _touch(
                _place(angles[i], sized[i], boxes, distance),
                _place(angles[j], sized[j], boxes, distance),
                0.15 * boxes.unit,
            ):
                angles[i] -= 0.75
                angles[j] += 0.75
                moved = True
        if not moved:
            break
    return [_place(angle, size, boxes, distance) for angle, size in zip(angles, sized)]


class Sized(NamedTuple):
    """The text of a chip, in that many lines, and its size in pixels."""

    text: str
    lines: int
    width: float
    height: float


def _sized(text: str, second: int, boxes: DialBoxes, measure: Measure) -> Sized:
    unit = boxes.unit
    # Above and below there is room for wide chips, at the sides for tall ones.
    most = 9 * unit if abs(cos(second * pi / 30)) > 0.7 else 3.0 * unit
    lines = 1
    while (
        lines < 4
        and wrapped(text, lines + 1, measure, True)
        and max(measure(row, unit, True) for row in wrapped(text, lines, measure, True) or ()) > most
    ):
        lines += 1
    rows = wrapped(text, lines, measure, True) or (text,)
    wide = max(measure(row, unit, True) for row in rows) + 0.6 * unit
    return Sized(text, lines, max(1.6 * unit, wide), (LINE + (lines - 1) * PITCH) * unit + 0.3 * unit)


def _place(degrees: float, sized: Sized, boxes: DialBoxes, distance: float) -> Box:
    angle = degrees * pi / 180
    wide, high = sized.width, sized.height
    reach = distance + abs(sin(angle)) * wide / 2 + abs(cos(angle)) * high / 2
    x, y = boxes.centre[0] + reach * sin(angle), boxes.centre[1] + reach * cos(angle)
    area = boxes.area
    left = min(max(x - wide / 2, area.x), area.right - wide)
    low = min(max(y - high / 2, area.y), area.top - high)
    if left < boxes.corner.right and low < boxes.corner.top:
        right, up = boxes.corner.right - left, boxes.corner.top - low
        left, low = (left + right, low) if right < up else (left, low + up)
    return Box(left, low, wide, high)


def _touch(one: Box, other: Box, gap: float) -> bool:
    return (
        one.x < other.right + gap and other.x < one.right + gap and one.y < other.top + gap and other.y < one.top + gap
    )
