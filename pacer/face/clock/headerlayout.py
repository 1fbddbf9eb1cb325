"""The layout of the pool view's header: what it says where, and what it leaves out when room is short."""

from __future__ import annotations

from typing import NamedTuple

from pacer.face.kit.ink import Box, digits_width
from pacer.face.kit.textures import font_size, measure
from pacer.show.measure.fitting import Item, filled
from pacer.show.measure.poolrows import Header

PAD = 0.5  #: at its ends, in character heights


class HeaderWords(NamedTuple):
    """What there is to say. `timed`: `session` is a time, and no word; `whose` and `spare`: the longest way first."""

    session: str
    timed: bool
    label: str
    short: str
    section: str
    title: str
    out: str
    spare: tuple[str, ...]
    over: bool
    begun: bool
    whose: tuple[str, ...]


class Line(NamedTuple):
    """A line of the header. `flips`: its ink is that of a warning, if there is one."""

    name: str
    text: str
    x: float
    base: float
    width: float
    bold: bool = False
    across: str = "left"
    flips: bool = False


class HeaderLines(NamedTuple):
    """Its lines, the box of the time in the session, and of a warning's background."""

    lines: list[Line]
    time: Box | None
    warning: Box | None


def header_clock(box: Box, header: Header, unit: float) -> Box:
    """The box of the pace clock's reading."""
    cap = header.upper - header.lower + unit
    return Box(box.x + PAD * unit, box.y + header.lower, digits_width(":88", font_size(cap)), cap)


def header_lines(box: Box, header: Header, unit: float, says: HeaderWords) -> HeaderLines:
    """The header in `box`."""
    lay = _one_row if header.rows == 1 else _two_rows
    return lay(box, header, unit, says)


def _one_row(box: Box, header: Header, unit: float, says: HeaderWords) -> HeaderLines:
    clock = header_clock(box, header, unit)
    base = clock.y
    right, left = box.right - PAD * unit, clock.right + 1.1 * unit
    lines: list[Line] = []
    called = says.short if says.begun else says.label
    label, time_wide = measure(called, unit) + 0.4 * unit, _time_width(says, unit) + unit
    items = [
        Item("out", (says.out,), 0, True),
        Item("whose", says.whose, 2 if says.over else 1),
        Item("spare", says.spare, 1 if says.over else 2),
    ]
    room = right - left - label - time_wide
    found = filled(items, room - measure(says.section, unit, True) - unit, unit, unit, measure)
    if says.over and "spare" not in found:  # being over matters more than the place in the plan
        wider = filled(items, room, unit, unit, measure)
        found = wider if "spare" in wider else found
    # Without the booking rather than without the time in the session, unless it is over.
    missing = "out" not in found or (says.over and "spare" not in found and len(says.spare) > 0)
    untimed = says.begun and says.timed and missing
    if untimed:  # the times of day matter more, and a time without a label could be anything
        label, time_wide = 0.0, 0.0
        found = filled(items, right - left, unit, unit, measure)
    whose = found.get("whose", "")
    _put(lines, unit, Line("whose", whose, clock.right + 0.4 * unit, base, right))
    left += measure(whose, unit) + 0.4 * unit if whose else 0
    if label:
        _put(lines, unit, Line("session label", called, left, base, label))
    left += label
    time = Box(left, base, _time_width(says, unit) + 1, unit) if says.timed and not untimed else None
    left += 0 if untimed else _put_time(lines, unit, says, left, base, right - left) + unit
    end = right
    for name in ("spare", "out"):
        text = found.get(name, "")
        wide = measure(text, unit, name == "out")
        _put(lines, unit, Line(name, text, right - wide, base, wide, name == "out", flips=True))
        right -= wide + (unit if text else 0)
    _put(lines, unit, Line("section", says.section, left, base, right - left, True))
    return HeaderLines(lines, time, _warning(box, header, unit, says, right + unit, end))


def _two_rows(box: Box, header: Header, unit: float, says: HeaderWords) -> HeaderLines:
    clock = header_clock(box, header, unit)
    upper, lower = box.y + header.upper, clock.y
    left, right = clock.right + 1.1 * unit, box.right - PAD * unit
    lines: list[Line] = []
    spare = _spare(header, unit, says, right - left)
    wide = max(measure(says.out, unit, True), measure(spare, unit))
    _put(lines, unit, Line("out", says.out, right - wide, upper, wide, True, "right", True))
    _put(lines, unit, Line("spare", spare, right - wide, lower, wide, False, "right", True))
    warning = _warning(box, header, unit, says, right - wide, right)
    right -= wide + 1.1 * unit
    # Whose clock it is, in two words above each other beside the clock, if that leaves room for time and section.
    words = says.whose[0].split(" ")
    wide = max(measure(word, unit) for word in words)
    beside = measure(says.short if says.begun else says.label, unit)
    section = measure(says.section, unit, True) if header.rows == 2 else 0
    fits = len(words) == 2 and left + wide + beside + section + 2.2 * unit <= right
    if fits:
        _put(lines, unit, Line("whose", words[0], left - 0.5 * unit, upper, wide))
        _put(lines, unit, Line("whose below", words[1], left - 0.5 * unit, lower, wide))
        left += wide + 0.6 * unit
    time = Box(left, lower, _time_width(says, unit) + 1, unit) if says.timed else None
    after = _put_time(lines, unit, says, left, lower, right - left)
    labels = (says.label, says.short) if says.begun else (says.label,)
    room = right - left - (0 if header.rows == 3 else measure(says.title, unit) + 1.1 * unit)
    label = next((way for way in labels if measure(way, unit) <= room), labels[-1])
    _put(lines, unit, Line("session label", label, left, upper, right - left))
    left += max(measure(label, unit), after) + 1.1 * unit
    if header.rows == 2:
        _put(lines, unit, Line("section", says.section, left, lower, right - left, True))
        _put(lines, unit, Line("title", says.title, left, upper, right - left))
        return HeaderLines(lines, time, warning)
    third, left, right = box.y + header.third, box.x + PAD * unit, box.right - PAD * unit
    section = min(measure(says.section, unit, True), right - left)
    if not fits:  # there was no room beside the clock: it is below it
        way = next((way for way in says.whose if left + measure(way, unit) + unit + section <= right), "")
        _put(lines, unit, Line("whose", way, left, third, measure(way, unit)))
        left += measure(way, unit) + unit if way else 0
    _put(lines, unit, Line("section", says.section, left, third, section, True))
    _put(lines, unit, Line("title", says.title, left + section + unit, third, right - left - section - unit))
    return HeaderLines(lines, time, warning)


def _put(lines: list[Line], unit: float, line: Line) -> float:
    """Add a line, if there is room for it; its width."""
    wide = measure(line.text, unit, line.bold)
    if not line.text or wide > line.width + 0.5:
        return 0
    lines.append(line)
    return wide


def _time_width(says: HeaderWords, unit: float) -> float:
    return digits_width(says.session, font_size(unit)) if says.timed else measure(says.session, unit, True)


def _put_time(lines: list[Line], unit: float, says: HeaderWords, x: float, base: float, room: float) -> float:
    """The width of the time in the session, or of a word instead, if there is `room` for that."""
    if says.timed:
        return _time_width(says, unit)
    return _put(lines, unit, Line("session word", says.session, x, base, room, True))


def _warning(box: Box, header: Header, unit: float, says: HeaderWords, left: float, right: float) -> Box | None:
    """The background of what is over the booking."""
    if not says.over:
        return None
    by = 0.3 * unit
    low = box.y if header.rows < 3 else box.y + header.lower - 0.45 * unit
    return Box(left - by, low, right - left + 2 * by, box.top - low)


def _spare(header: Header, unit: float, says: HeaderWords, room: float) -> str:
    """What is said about the booking, if time, section and whose clock it is fit beside it."""
    label = measure(says.short if says.begun else says.label, unit)
    section, whose = 0.0, 0.0  # these have a row of their own
    if header.rows == 2:
        section = measure(says.section, unit, True) + 1.1 * unit
        whose = max(measure(word, unit) for word in says.whose[0].split(" ")) + 0.6 * unit
    left = room - max(_time_width(says, unit), label) - section - whose - 2.2 * unit
    least = says.spare[-1] if says.over and len(says.spare) > 0 else ""
    return next((way for way in says.spare if measure(way, unit) <= left), least)
