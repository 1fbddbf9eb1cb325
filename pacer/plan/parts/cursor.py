"""A place in a line's bits."""

from __future__ import annotations

from pacer.plan.parts.bitkinds import Bit, Kind
from pacer.plan.parts.bits import bits_of

#: Signs and words between parts.
BREAKS = (Kind.COMMA, Kind.STOP, Kind.DASH, Kind.PLUS, Kind.THEN, Kind.COLON, Kind.SLASH)
CLOCK = (Kind.TIME, Kind.SECONDS)
FAR = (Kind.NUMBER, Kind.FAR)


class Cursor:
    """The bits of a line and the place of the next one."""

    def __init__(self, text: str) -> None:
        self.text, self.bits, self.at = text, bits_of(text), 0
        self.inside = 0  #: how many brackets of rounds are open
        self.lengths = False  #: whether a distance was said in lengths of the pool

    @property
    def ended(self) -> bool:
        """Whether there are no more bits."""
        return self.at >= len(self.bits)

    def bit(self, ahead: int = 0) -> Bit | None:
        """The bit that many places ahead; None outside the line."""
        at = self.at + ahead
        return self.bits[at] if 0 <= at < len(self.bits) else None

    def sees(self, ahead: int, *kinds: Kind) -> bool:
        """Whether the bit that many places ahead is one of these."""
        bit = self.bit(ahead)
        return bit is not None and bit.kind in kinds

    def says(self, ahead: int, *words: str) -> bool:
        """Whether the bit that many places ahead is one of these words."""
        bit = self.bit(ahead)
        return bit is not None and bit.text.casefold() in words

    def skip(self, *kinds: Kind, words: tuple[str, ...] = ()) -> bool:
        """Go past bits of these kinds and past these words; whether there were any."""
        here = self.at
        while self.sees(0, *kinds) or self.says(0, *words):
            self.at += 1
        return self.at > here

    def to_stop(self) -> str:
        """Go to the end of the sentence, or of the bracket; the text up to there."""
        start = self.at
        while not self.ended and not self.sees(0, Kind.STOP, Kind.RIGHT):
            self.at += 1
        return self.between(start, self.at)

    def part_ends(self, ahead: int) -> bool:
        """Whether nothing more of the same part comes that many places ahead."""
        bit = self.bit(ahead)
        return bit is None or bit.kind in (
            Kind.RIGHT,
            Kind.COMMA,
            Kind.STOP,
            Kind.THEN,
            Kind.COLON,
            Kind.DASH,
            Kind.LEFT,
        )

    def set_ends(self, ahead: int) -> bool:
        """Whether nothing more comes that many places ahead than what a set's time is or what it is with."""
        return self.part_ends(ahead) or self.sees(ahead, Kind.ON, Kind.AT, Kind.REST, Kind.WITH, *CLOCK)

    def between(self, start: int, end: int) -> str:
        """The text from bit `start` up to bit `end`."""
        return self.text[self.bits[start].start : self.bits[end - 1].end] if end > start else ""
