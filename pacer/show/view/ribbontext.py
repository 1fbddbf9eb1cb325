"""The ribbon of a repeat: its segments, each said in several ways, the longest first."""

from __future__ import annotations

from pacer.language import listed, tr
from pacer.plan.model import SetLine
from pacer.show.view.viewvalues import Piece
from pacer.show.wording.settext import doing_words, length_words, rate_words
from pacer.timeline.shape import Shape


def with_details(ways: tuple[str, ...], line: SetLine) -> tuple[str, ...]:
    """What is done, with the line's stroke rate and gear if there is room."""
    rate = rate_words(line.rate) if line.rate else ""
    gear = tr("with {gear}", gear=listed(line.gear)) if line.gear else ""
    details = dict.fromkeys(filter(None, (", ".join(filter(None, (rate, gear))), rate, gear)))
    return (*(f"{ways[0]}, {detail}" for detail in details), *ways)


def ribbon_of(shape: Shape, line: SetLine) -> tuple[Piece, ...]:
    if len(shape.works) == 1:
        # Its distance is shown beside it.
        length = length_words(shape)
        return (
            Piece(
                tuple(way.removeprefix(length).strip() for way in with_details(doing_words(shape, 0), line)), 0.0, 1.0
            ),
        )
    starts = (0, *shape.ends[:-1])
    return tuple(
        Piece(doing_words(shape, j), start / shape.distance, end / shape.distance)
        for j, (start, end) in enumerate(zip(starts, shape.ends))
    )
