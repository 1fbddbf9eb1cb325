"""Times and whole numbers typed on large keys, for wet thumbs: `135` is 1:35. No Kivy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pacer.face.kit.textures import measure
from pacer.face.tiles.column import ROW, Cell, Column
from pacer.face.tiles.tile import Text, Tile
from pacer.language import tr
from pacer.plan.sentence import sentence
from pacer.plan.times import MINUTE_MS, text_from_ms
from pacer.show.measure.typesizes import FIGURE
from pacer.squad.refusal import Refused

MOST_DIGITS = 6
DIGITS = "1234567890"
OTHERS_SHARE = 0.4  #: of the width of a wide page: the other answers, left of the keys
MOST_BELOW = 5  #: so many other answers below one another; more of them in two columns
SHORTEST = 6.0  #: least width of what is typed, in its character heights
HIGH = 2.2  #: height of a key, in least sides of what is touched


@dataclass(frozen=True, slots=True)
class Pad:
    """Something being typed: a time (milliseconds) or a whole number.

    `asked` is the question; `typed` are the keys so far, "" while the old `value` is shown (None: there is none, which
    counts as an answer only if `empty`). A step changes it by `step`. `most`: the greatest answer, if that is known.
    """

    asked: str
    value: int | None
    time: bool = True
    step: int = 1_000
    unit: str = ""
    typed: str = ""
    empty: bool = False
    most: int | None = None

    @property
    def complete(self) -> bool:
        """Whether a time with its minutes is typed, and no further digit could make an answer of it.

        >>> [Pad("base", None, typed=typed, most=300_000).complete for typed in ("48", "135", "135.", "575")]
        [False, True, False, False]
        """
        if self.most is None or not self.time or len(self.typed) < 3 or "." in self.typed or self.wrong:
            return False
        with_another_digit = int(self.typed[:-1]) * MINUTE_MS
        return _ms(self.typed) <= self.most < with_another_digit

    @property
    def number(self) -> int | None:
        """The number, None if it is empty and may be. Raises Refused if it is no time or number."""
        if not self.typed:
            if self.value is None and not self.empty:
                raise Refused(tr("nothing typed yet"))
            return self.value
        return _ms(self.typed) if self.time else int(self.typed)

    @property
    def shown(self) -> str:
        """As it is read: `1:35`."""
        if not self.typed:
            return "" if self.value is None else text_from_ms(self.value) if self.time else str(self.value)
        if not self.time:
            return str(int(self.typed))
        whole, point, part = self.typed.partition(".")
        seconds = whole[-2:].zfill(2)
        return f"{int(whole[:-2] or 0)}:{seconds}{point}{part}"

    @property
    def wrong(self) -> str:
        """Why it can't be accepted, "" if it can."""
        try:
            self.number  # noqa: B018  only asked to see whether it raises
        except Refused as wrong:
            return wrong.message
        return ""


def _ms(typed: str) -> int:
    whole, _, part = typed.partition(".")
    minutes, seconds = int(whole[:-2] or 0), int(whole[-2:] or 0)
    if seconds > 59 and len(whole) > 2:
        raise Refused(tr("seconds go from 00 to 59"))
    return minutes * MINUTE_MS + seconds * 1_000 + int(part.ljust(3, "0") or 0)


def retyped(pad: Pad) -> Pad:
    """The pad with its value as if it had just been typed.

    >>> retyped(Pad("base", 98_000)).typed, retyped(Pad("base", 45_500)).typed
    ('138', '45.5')
    """
    return replace(pad, typed="" if pad.value is None else text_from_ms(pad.value).replace(":", "").lstrip("0"))


def pressed(pad: Pad, key: str) -> Pad:
    """The pad after a key: a digit, `.`, `rub`, `more` or `less`.

    >>> pad = Pad("base", 98_000)
    >>> [(pad := pressed(pad, key)).shown for key in "1325."]
    ['0:01', '0:13', '1:32', '13:25', '13:25.']
    """
    if key == "rub":
        return replace(pad, typed=pad.typed[:-1], value=None)
    if key in ("more", "less"):
        try:
            value = pad.number or 0
        except Refused:
            value = 0
        return replace(pad, typed="", value=max(0, value + (pad.step if key == "more" else -pad.step)))
    if key == ".":
        fine = pad.time and "." not in pad.typed
        return replace(pad, typed=(pad.typed or "0") + ".") if fine else pad
    whole, point, part = pad.typed.partition(".")
    if len(part) >= 2 or (not point and len(whole) >= MOST_DIGITS):
        return pad
    return replace(pad, typed=(pad.typed + key).lstrip("0") or "0" if not point else pad.typed + key)


def digit_keys(scale: float = 1.0) -> list[Cell]:
    """The keys `pad 1` to `pad 9`, `pad 0`."""
    return [Cell(f"pad {digit}", (digit,), scale=scale) for digit in DIGITS]


def point_key(pad: Pad, share: float = 1.0, scale: float = 1.0) -> Cell:
    """`pad .`; nothing in its place where a count is typed."""
    return Cell("pad .", (".",), share=share, scale=scale) if pad.time else Cell(look="plain", share=share)


def erase_key(share: float = 1.0, short: bool = True) -> Cell:
    """`pad rub`; `short`: it may be narrow."""
    return Cell("pad rub", (tr("Erase"), tr("Del")) if short else (tr("Erase"),), share=share)


def pad_sides(upright: bool, others: bool) -> tuple[float, float]:
    """What stays free left and right of the keys, as shares of the width; on the left are the `others`, if any."""
    if upright:
        return 0.0, 0.0
    return (OTHERS_SHARE, 0.0) if others else (OTHERS_SHARE / 2, OTHERS_SHARE / 2)


def pad_tiles(pad: Pad, column: Column, upright: bool, note: str = "", others: Sequence[Cell] = ()) -> list[Tile]:
    """The question, what is typed and, directly below, the keys: where the eye is.

    Named `pad 1` to `pad 0`, `pad .`, `pad rub`, `pad more`, `pad less`. `others`: answers of the same kind, beside
    the keys or above them.
    """
    whole, x, top = column.width, column.x, column.top
    left, right = pad_sides(upright, bool(others))
    if others:
        column.width = whole if upright else left * whole - 2 * column.gap
        column.grid(others, 5 if upright else 1 if len(others) <= MOST_BELOW else 2)
        column.top = column.top if upright else top
    column.x, column.width = x + left * whole, (1 - left - right) * whole
    column.say(pad.asked, bold=True, most=2)
    _say_typed(pad, column, note)
    step = f"{pad.step // 1000} s" if pad.time else str(pad.step)
    steps = [Cell("pad less", (f"–{step}",)), Cell("pad more", (f"+{step}",)), erase_key(short=False)]
    digits = digit_keys(FIGURE)
    point = point_key(pad, scale=FIGURE)
    less, more, erase = steps
    rows = [digits[:3], digits[3:6], digits[6:9], [point, digits[9], erase]]
    if upright:
        rows.append([less, more])
    else:
        none = Cell(look="plain")
        rows = [[*row, beside] for row, beside in zip(rows, (less, more, none, none))]
    high = HIGH * column.target
    if column.room:  # rather lower keys than some out of sight
        high = min(high, (column.room - column.top) / len(rows) - column.gap)
    for row in rows:
        column.row(*row, height=high)
    return column.tiles


def _say_typed(pad: Pad, column: Column, note: str) -> None:
    """What is typed and, beside it, how to type or what is wrong: as high as it is with nothing beside it."""
    typed = f"{pad.shown or '–'}{' ' + pad.unit if pad.unit else ''}"
    how = tr("Type 135 for 1:35.") if pad.time and not pad.typed else ""
    high = max(round(ROW * column.cap * FIGURE), 2 * round(ROW * column.cap))
    wide = min(max(measure(typed, FIGURE * column.cap, True), SHORTEST * column.cap) + column.cap, 0.6 * column.width)
    texts = (
        Text((typed,), (0, 0, wide, high), True, cap=FIGURE),
        Text(
            (sentence(pad.wrong) or note or how,),
            (wide, 0, column.width - wide, high),
            colour="warn" if pad.wrong else "dim",
            lines=2,
        ),
    )
    column.tiles.append(Tile("", column.x, column.top, column.width, high, texts, "plain"))
    column.top += high + 0.5 * column.gap
