"""The layout of the lane view, landscape and portrait."""

from __future__ import annotations

from dataclasses import dataclass

from pacer.face.bar.stopkey import corner_of
from pacer.face.kit.ink import Box, digits_width
from pacer.face.kit.textures import COLON, DIGIT, font_size, measure
from pacer.shippedfiles import CAP
from pacer.show.measure.fitting import FOOT, LINE, lines_height
from pacer.show.measure.legibility import Glass
from pacer.show.wording.viewtext import say

LABEL = 4.6  #: width of a clock's label beside it, in character heights
CAPITALS = 1 + 2 * FOOT  #: height of a box for capitals alone, in capitals


@dataclass(frozen=True, slots=True)
class LaneBoxes:
    """Boxes in pixels; `…_cap` are character heights. None: nothing is shown there."""

    block: Box
    number: Box
    shape: Box
    word: Box
    said: Box
    hero: Box
    hero_word: Box
    hero_label: Box  #: its end is over the count-down, away from the state: two things, not one phrase
    rule: Box
    leave_label: Box
    leave: Box
    now_label: Box
    now: Box
    leavers: Box | None
    swum_label: Box | None
    swum: Box | None
    segment: Box | None  #: what is swum; the ribbon below it is the whole repeat
    ribbon: Box | None
    cue: Box | None
    foot_left: Box
    foot_right: Box
    now_across: str
    total: Box
    label_cap: float
    clock_cap: float
    leavers_cap: float
    swum_cap: float
    doing_cap: float
    cue_cap: float


def lane_boxes(
    box: Box, glass: Glass, cue: bool, work: bool, extra: bool, corner: tuple[float, float] = (0.0, 0.0)
) -> LaneBoxes:
    """The boxes on a screen of that size: with or without a cue, with work to show, with leavers or a count-up.

    Nothing is in the lower left `corner` of that width and height.
    """
    make = _landscape if box.width >= 1.1 * box.height else _portrait
    return make(box, glass.unit_px(box.width, box.height), cue and work, work, extra, corner)


def too_small(width: float, height: float, glass: Glass) -> str:
    """`readable from 6 m` if swimmers can't read the count-down from the distance that is set, else "".

    For minutes and seconds in a lane view that shows everything, on a window of that size while nobody touches it: of
    its bar, only the corner of STOP ALL is left. The last ten seconds can be read from farther away.
    """
    hero = lane_boxes(Box(0, 0, width, height), glass, True, True, True, corner_of(width, height, glass)).hero
    reads = glass.read_at_m(min(hero.height, hero.width * CAP / (3 * DIGIT + COLON)))
    return "" if reads >= glass.tier_1_m else say("read at", metres=int(reads) or 1)


def _landscape(box: Box, unit: float, cue: bool, work: bool, extra: bool, corner: tuple[float, float]) -> LaneBoxes:
    w, h = box.width, box.height
    gap = 0.018 * h
    foot = 1.6 * unit
    cue_high = 0.11 * h if cue else 0
    work_high = (0.15 if cue else 0.19) * h if work else 0
    below = foot + (cue_high + gap if cue else 0) + (work_high + gap if work else 0)
    top = Box(box.x, box.y + below, w, h - below)
    low = max(top.y, box.y + corner[1])  # the lane's number is above the corner, the rows beside both
    block = Box(top.x, low, max(0.15 * w, corner[0]), top.top - low)
    shape_side = min(0.3 * top.height, 0.62 * block.width)
    inner = block.inset(0.06 * block.width, 0.06 * top.height)
    shape = Box(inner.x, inner.y, inner.width, shape_side)
    number = Box(inner.x, shape.top + 0.04 * top.height, inner.width, inner.top - shape.top - 0.04 * top.height)
    aside = (0.19 if corner[0] else 0.215) * w  # with the height of the bar, digits need all the width there is
    right = Box(box.right - aside, top.y, aside - gap, top.height).inset(0, gap)
    before, between = (0.5, 1.3) if corner[0] else (1, 2.5)  # in gaps: beside the digits
    middle = Box(block.right + before * gap, top.y, right.x - block.right - between * gap, top.height).inset(0, gap)
    label_cap = unit
    label = LINE * label_cap
    least = 0.195 * middle.height
    spare = middle.height - 1.12 * middle.width * CAP / (3 * DIGIT + COLON)  # what minutes and seconds leave
    said_high = max(least, min(spare, 0.35 * middle.height)) if corner[0] else least
    said = Box(middle.x, middle.top - said_high, middle.width, said_high)
    beside = 1 - (0.7 * measure(say("leaves in"), unit) + 2.2 * unit + gap) / said.width  # in two lines, and its arrow
    word = _capitals(said.part(0, max(0.56, min(0.8, beside)) if corner[0] else 0.56))
    left = word.right + 0.8 * unit
    hero_label = Box(left, said.y, middle.right - left - (0.6 * gap if corner[0] else 0), said.height)
    hero = Box(middle.x, middle.y, middle.width, said.y - middle.y - (0.035 if cue else 0.06) * top.height)
    # Right: when to leave, who leaves then or the time swum, and the clock; each clock below its label.
    extra_high = max(0.2 * right.height, 3.1 * unit) if extra else 0.0
    apart, clear = 0.02 * right.height, 0.2 * unit
    clock_cap = min((right.height - extra_high) / 2 - label - apart - clear, right.width / 2.2)
    leave = Box(right.x, right.top - label - clear - clock_cap, right.width, clock_cap)
    now = Box(right.right - 2.2 * clock_cap, right.y, 2.2 * clock_cap, clock_cap)
    now_label = Box(right.x, now.top + clear, right.width, label)
    lower = Box(right.x, now_label.top + apart, right.width, leave.y - now_label.top - 2 * apart)
    labels = min(measure(say("swum short"), unit) + 0.4 * unit, right.width - digits_width("88:88", font_size(unit)))
    swum_cap = max(unit, min(0.72 * clock_cap, 0.6 * lower.height))
    swum_base = lower.y + (lower.height - swum_cap) / 2
    swum_label = Box(right.x, swum_base - FOOT * label_cap, labels, label)
    left = block.right + gap if corner[0] else box.x + 2 * gap
    wide = box.right - 2 * gap - left
    foot_box = Box(left, box.y, wide, foot)
    y = box.y + foot
    cue_box = Box(left, y, wide, cue_high) if cue else None
    y += cue_high + (gap if cue else 0)
    segment = Box(left, y, wide, work_high) if work else None
    return LaneBoxes(
        block=block,
        number=number,
        shape=shape,
        word=word,
        said=said,
        hero=hero,
        hero_word=_capitals(hero),
        hero_label=hero_label,
        rule=Box(right.x - gap, right.y, max(2, 0.003 * h), right.height),
        leave_label=Box(right.x, right.top - label, right.width, label),
        leave=leave,
        now_label=now_label,
        now=now,
        leavers=lower if extra else None,
        swum_label=swum_label if extra else None,
        swum=Box(right.x + labels, swum_base, right.width - labels, swum_cap) if extra else None,
        segment=segment and segment.row(0.16, 1),
        ribbon=segment and segment.row(0, 0.1),
        cue=cue_box,
        foot_left=foot_box.part(0, 0.5),
        foot_right=foot_box.part(0.52, 1),
        now_across="right",
        total=leave,
        label_cap=label_cap,
        clock_cap=clock_cap,
        leavers_cap=max(unit, 0.3 * lower.height),
        swum_cap=swum_cap,
        doing_cap=work_high * 0.5,
        cue_cap=0.6 * cue_high,
    )


def _portrait(box: Box, unit: float, cue: bool, work: bool, extra: bool, corner: tuple[float, float]) -> LaneBoxes:
    w, h = box.width, box.height
    gap = 0.012 * h
    foot = 1.6 * unit
    cue_high = 0.095 * h if cue else 0
    work_high = (0.125 if cue else 0.18) * h if work else 0  # two lines, where one does not hold it
    extra_high = 0.075 * h if extra else 0
    clocks = max((0.125 if corner[0] else 0.105) * h, lines_height(2, unit))
    high = (0.22 if corner[0] else 0.18) * h
    head = Box(box.x, box.top - high, w, high)
    block = Box(head.x, head.y, (0.27 if corner[0] else 0.36) * w, head.height)
    number = block.inset(0.06 * block.width, (0.06 if corner[0] else 0.12) * head.height)
    side = Box(block.right + gap, head.y, w - block.width - 2 * gap, head.height).inset(0, gap)
    if corner[0]:  # the shape below the number: the state's word needs the width
        shape = number.row(0, 0.26)
        number = number.row(0.31, 1)
    else:
        shape = Box(number.x, number.y, 0.36 * number.width, number.height)
        number = Box(shape.right, number.y, number.width - shape.width, number.height)
    label_cap = unit
    label = LINE * label_cap
    said = side
    word = _capitals(Box(side.x, side.y + label + 0.45 * unit, side.width, side.height - label - 0.45 * unit))
    hero_label = Box(side.x, side.y, side.width, label)

    def row(y: float, high: float) -> Box:
        """A row from `y` up, clear of the corner."""
        left = box.x + (corner[0] if y < box.y + corner[1] else 2 * gap)
        return Box(left, y, box.right - 2 * gap - left, high)

    y = box.y
    foot_box = row(y, foot)
    y += foot + gap
    cue_box = row(y, cue_high) if cue else None
    y += cue_high + (gap if cue else 0)
    segment = row(y, work_high) if work else None
    y += work_high + (gap if work else 0)
    lower = row(y, extra_high) if extra else None
    y += extra_high + (gap if extra else 0)
    pair = row(y, clocks)
    leave, now = pair.part(0, 0.48), pair.part(0.52, 1)
    beside = LABEL * unit  # a clock's label is beside it, in two lines: the height is the count-down's
    y += clocks + gap
    hero = row(y + gap, head.y - y - 3 * gap)
    if corner[0] and hero.y >= box.y + corner[1]:
        hero = hero._replace(x=box.x + gap / 2, width=w - gap)
    swum_cap = 0.6 * extra_high
    swum_base = lower.y + (lower.height - swum_cap) / 2 if lower else 0.0  # clear of the work below
    swum_label = Box(lower.x, swum_base - FOOT * label_cap, 0.3 * lower.width, label) if lower else None
    swum = Box(lower.x + 0.32 * lower.width, swum_base, 0.68 * lower.width, swum_cap) if lower else None
    return LaneBoxes(
        block=block,
        number=number,
        shape=shape,
        word=word,
        said=said,
        hero=hero,
        hero_word=_capitals(hero),
        hero_label=hero_label,
        rule=Box(pair.x, pair.top + gap / 2, pair.width, max(2, 0.002 * h)),
        leave_label=leave._replace(width=beside),
        leave=leave._replace(x=leave.x + beside, width=leave.width - beside, height=clocks - gap),
        now_label=now._replace(width=beside),
        now=now._replace(x=now.x + beside, width=now.width - beside, height=clocks - gap),
        leavers=lower,
        swum_label=swum_label,
        swum=swum,
        segment=segment and segment.row(0.16, 1),
        ribbon=segment and segment.row(0, 0.1),
        cue=cue_box,
        foot_left=foot_box.part(0, 0.5),
        foot_right=foot_box.part(0.52, 1),
        now_across="left",
        total=leave,
        label_cap=label_cap,
        clock_cap=min(clocks - gap, (leave.width - beside) / 2.2),
        leavers_cap=0.6 * extra_high,
        swum_cap=swum_cap,
        doing_cap=work_high * 0.35,
        cue_cap=0.55 * cue_high,
    )


def _capitals(box: Box) -> Box:
    """The box of a line of words whose capitals may fill `box`: nothing hangs below them."""
    return Box(box.x, box.y - FOOT * box.height, box.width, CAPITALS * box.height)
