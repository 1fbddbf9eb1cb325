"""What the bar says in place of its keys: what a pressed key would do, or a message."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from pacer.face.bar.keyface import Answer, KeyFace
from pacer.face.kit.ink import Box
from pacer.face.kit.textures import font_size, measure
from pacer.language import tr
from pacer.plan.sentence import capitals
from pacer.show.measure.fitting import fit, lines_height
from pacer.show.measure.keyrows import PADDING_MM
from pacer.show.measure.legibility import COACH_M, KEY_M
from pacer.show.measure.theme import Theme

HINT = tr("Slide off to cancel")  #: below what a pressed key would do, if there is room

Place = tuple[float, float]


class Message(NamedTuple):
    """What the bar says for a while, counted from the first frame that shows it: the app may have stood still."""

    ways: tuple[str, ...]
    for_ms: int
    since_ms: int | None = None  #: when it was first shown; None until then

    def shown(self, now_ms: int) -> Message:
        """The message, in a frame that shows it."""
        return self._replace(since_ms=now_ms) if self.since_ms is None else self

    def is_over(self, now_ms: int) -> bool:
        """Whether it was shown long enough."""
        return self.since_ms is not None and now_ms >= self.since_ms + self.for_ms


def words_for(ways: tuple[str, ...], width: float, height: float, cap: float, bold: bool = True) -> tuple[str, int]:
    """The longest of `ways` that fits, in lines, and its font size.

    A word is never cut short: it could be read as another time.
    """
    for size in (cap, cap * KEY_M / COACH_M):  # who presses is not farther from the bar than an arm
        for way in ways:
            found = fit((way,), width, height, size, size, measure, bold=bold, lines=4)
            if not found.small and " ".join(found.lines) == way:
                return "\n".join(found.lines), font_size(found.cap)
    return ways[-1], font_size(cap * min(1, 0.98 * width / measure(ways[-1], cap, bold)))


def room_beside(face: KeyFace, corner: Place, room: Place, gap: float) -> tuple[Place, Place]:
    """The largest free box of a bar beside the pressed key: left or right of it, or the rows above or below."""
    (x, y), (width, height) = corner, room
    right, top = x + width, y + height
    boxes = [
        ((x, face.y), (face.x - gap - x, face.height)),
        ((face.right + gap, face.y), (right - face.right - gap, face.height)),
        ((x, y), (width, face.y - gap - y)),
        ((x, face.top + gap), (width, top - face.top - gap)),
    ]
    return max(boxes, key=lambda box: max(0, box[1][0]) * max(0, box[1][1]))


def rooms_for_message(kept: Sequence[KeyFace], corner: Place, room: Place, rows: int, gap: float) -> list[Box]:
    """The boxes of a bar of `rows` rows that cover none of the `kept` keys, the largest first."""
    (x, y), (width, height) = corner, room
    row_high = (height - gap * (rows - 1)) / rows
    bands = [(y, height), *((y + row * (row_high + gap), row_high) for row in range(rows))]
    boxes = []
    for low, high in bands:
        inside = sorted((face.x, face.right) for face in kept if face.y < low + high and low < face.top)
        lefts, rights = [x, *(right + gap for _, right in inside)], [*(left - gap for left, _ in inside), x + width]
        boxes += [Box(left, low, right - left, high) for left, right in zip(lefts, rights) if right > left]
    return sorted(boxes, key=lambda box: -box.width * box.height)


def fullest(ways: tuple[str, ...], boxes: Sequence[Box], cap: float, mm: float) -> Box:
    """The first of the boxes in which the longest of `ways` fits that fits any of them."""
    ways = capitals(ways)

    def rank(box: Box) -> tuple[bool, int]:
        text, size = words_for(ways, box.width - 2 * PADDING_MM * mm, box.height, cap)
        return size < font_size(cap), ways.index(text.replace("\n", " "))

    return min(boxes, key=rank)


class BarAnswer(Answer):
    """The answer on the bar."""

    @property
    def said(self) -> str:
        """Its words, without the hint."""
        return self.text.removesuffix(f"\n{HINT}").replace("\n", " ")

    def say(
        self, ways: tuple[str, ...], pos: Place, size: Place, cap: float, mm: float, theme: Theme, told: bool, hint: str
    ) -> None:
        """Say the longest of `ways` that fits there; a `told` message is highlighted, a `hint` goes below it."""
        inner = size[0] - 2 * PADDING_MM * mm
        self.text, self.font_size = words_for(capitals(ways), inner, size[1], cap)
        rows = self.text.count("\n") + 2
        fits = lines_height(rows, cap) <= size[1] and measure(hint, cap, True) <= inner
        if hint and fits and self.font_size == font_size(cap):
            self.text = f"{self.text}\n{hint}"
        self.pos, self.size, self.corner = pos, size, 2 * mm
        self.ground, self.ink = (theme.flip, theme.flip_ink) if told else (theme.ground, theme.ink)
