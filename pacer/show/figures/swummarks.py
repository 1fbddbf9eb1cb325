"""What the figures of a review share: swimmers' names, and the dot for each of them."""

from __future__ import annotations

from collections.abc import Iterable

from pacer.language import tr
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.report.writtenvalues import seconds
from pacer.show.figures.figure import Key
from pacer.show.figures.fills import SWIMMERS

#: Not `open`, which means a speed that was not timed.
SHAPES = ("disc", "square", "triangle", "diamond", "inverted")


class People:
    """Swimmers by number: their names, and a colour and shape for each dot, all different for up to 25 swimmers."""

    def __init__(self, called: ReviewNames, numbers: Iterable[int]):
        self.called = called
        self.order = {who: place for place, who in enumerate(dict.fromkeys(numbers))}

    def said(self, who: int | None) -> str:
        """What somebody is called."""
        return tr("somebody") if who is None else self.called.who(who)

    def dot(self, who: int | None) -> tuple[str, str]:
        """The fill and the shape."""
        place = self.order.get(who, 0) if who is not None else 0
        turn = place // len(SWIMMERS)
        return SWIMMERS[place % len(SWIMMERS)], SHAPES[(place + turn) % len(SHAPES)]

    def keys(self) -> tuple[Key, ...]:
        """The key: everybody who has a dot."""
        return tuple(Key(fill, self.said(who), shape) for who in self.order for fill, shape in (self.dot(who),))


def over_said(over_ms: int, target: bool) -> str:
    """A time compared with what was asked for or predicted.

    >>> over_said(620, True), over_said(-1_240, False), over_said(20, True)
    ('0.6 s slower than the target', '1.2 s faster than expected', 'on the target')
    """
    if abs(over_ms) < 50:
        return tr("on the target") if target else tr("as expected")
    how = tr("slower") if over_ms > 0 else tr("faster")
    return (
        tr("{over} {how} than the target", over=seconds(over_ms), how=how)
        if target
        else tr("{over} {how} than expected", over=seconds(over_ms), how=how)
    )
