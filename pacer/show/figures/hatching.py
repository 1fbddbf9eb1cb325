"""The lines of a pattern within a rectangle, for drawing tools that have lines but no patterns."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.show.figures.fills import CROSSED, DOTTED, LEVEL, PLAIN, SLANT, UPRIGHT

Segment = tuple[float, float, float, float]


def hatching(pattern: str, x: float, y: float, width: float, height: float, pitch: float) -> Iterator[Segment]:
    """Lines from point to point, `pitch` apart, clipped to the rectangle; dots are lines of no length."""
    right, top = x + width, y + height
    if pattern == UPRIGHT:
        yield from ((at, y, at, top) for at in _steps(x + pitch / 2, right, pitch))
    elif pattern == LEVEL:
        yield from ((x, at, right, at) for at in _steps(y + pitch / 2, top, pitch))
    elif pattern == DOTTED:
        for up in _steps(y + pitch / 2, top, pitch):
            yield from ((at, up, at, up) for at in _steps(x + pitch / 2, right, pitch))
    elif pattern != PLAIN:
        for at in _steps(x - height + pitch / 2, right, pitch):
            begin, end = max(at, x), min(at + height, right)
            if begin < end:
                yield begin, y + begin - at, end, y + end - at
                if pattern == CROSSED:
                    yield begin, top - (begin - at), end, top - (end - at)
    assert pattern in (PLAIN, UPRIGHT, LEVEL, DOTTED, SLANT, CROSSED)


def _steps(start: float, end: float, pitch: float) -> Iterator[float]:
    at = start
    while at < end:
        yield at
        at += pitch
