"""The ribbon of a repeat: its segments side by side, the current one lit, and how far it is done."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import InstructionGroup

from pacer.face.kit.ink import Box, Frame, Plate, Words
from pacer.face.kit.textures import measure
from pacer.show.measure.theme import Rgb, Theme
from pacer.show.view.viewvalues import BandText, Piece

LABELLED, PLAIN = 0.18, 0.3  #: the share of the line's colour in a segment; words on it keep 7:1
MOST_LABELS = 24  #: with more segments than this, all are drawn without words


class Ribbon:
    """Segments in a row, with words if they fit into every one of them, else a plain bar."""

    def __init__(self, group: InstructionGroup):
        self.group = InstructionGroup()
        group.add(self.group)
        self.pieces: list[tuple[Plate, Frame, Words]] = []
        self.progress = Plate(group)
        self.text: BandText | None = None
        self.track: Box | None = None
        self.labelled = False
        self.labels: list = []
        self._done = -1
        self._ink: Rgb = (0, 0, 0)

    def put(
        self, text: BandText, box: Box, theme: Theme, unit: float, bar: float, labels: bool, flipped: bool = False
    ) -> None:
        """Draw the segments of `text` into `box`; without words only the lowest `bar` of its height is used.

        `unit` is the character height of the words. `flipped`: on a background of the state's own colour.
        """
        self.text, self._done, self._ink = text, -1, theme.ink
        gap = max(2.0, 0.1 * unit)
        said = labels_of(text.ribbon, box.width, gap, unit) if labels and len(text.ribbon) <= MOST_LABELS else None
        self.labelled, self.labels = said is not None, said or []
        if said is None:
            box = Box(box.x, box.y, box.width, min(bar, box.height))
        state = None if flipped else theme.colour(text.state)
        while len(self.pieces) < len(text.ribbon):
            self.pieces.append((Plate(self.group), Frame(self.group), Words(self.group, "segment")))
        for number, (plate, frame, words) in enumerate(self.pieces):
            if number >= len(text.ribbon):
                plate.hide()
                frame.hide()
                words.clear()
                continue
            self._piece(number, text, box, gap, plate, frame, state, theme, unit)
            if said is None:
                words.clear()
            else:
                lit, first = number == text.lit, text.lit < 0 and number == 0
                words.put(
                    said[number],
                    plate.box.inset(0.25 * unit, 0),
                    unit,
                    unit,
                    theme.on_state if lit else theme.ink if first else theme.dim,
                    bold=lit or first,
                )
        high = box.height if said is None else max(3.0, 0.16 * unit)
        self.track = Box(box.x, box.y, box.width, high) if text.lit >= 0 else None
        self.progress.hide()

    def _piece(self, number, text, box, gap, plate, frame, state, theme, unit) -> None:
        piece = text.ribbon[number]
        spot = box.part(piece.start, piece.end)
        left, right = round(spot.x), round(spot.right - (gap if piece.end < 1 else 0))
        spot = Box(left, spot.y, max(1, right - left), spot.height)
        if number == text.lit and state is not None:
            plate.put(spot, state)
        else:
            plate.put(spot, theme.line, LABELLED if self.labelled else PLAIN)
        if text.lit < 0 and number == 0 and len(text.ribbon) > 1:  # round a single one it would be a field to write in
            frame.put(
                plate.box, state if state is not None and theme.name == "dark" else theme.ink, max(2.0, 0.08 * unit)
            )
        else:
            frame.hide()

    def show(self, done: float) -> None:
        """`done`: the share of the lit segment done."""
        if self.track is None or self.text is None:
            return
        piece = self.text.ribbon[self.text.lit]
        wide = int(self.track.width * (piece.start + (piece.end - piece.start) * done))
        if wide != self._done:
            self._done = wide
            self.progress.put(self.track._replace(width=wide), self._ink)

    def hide(self) -> None:
        """Draw nothing."""
        self.track = None
        self.labelled = False
        self.progress.hide()
        for plate, frame, words in self.pieces:
            plate.hide()
            frame.hide()
            words.clear()

    def drawn(self) -> list[Words]:
        """Its words: for tests."""
        return [words for _, _, words in self.pieces]


def labels_of(ribbon: Sequence[Piece], width: float, gap: float, unit: float) -> list[str] | None:
    """Each segment's words, as long as fits into it; None if one of them can't be said."""
    labels = []
    for piece in ribbon:
        room = (piece.end - piece.start) * width - gap - 0.5 * unit - 2
        labels.append(next((label for label in piece.labels if measure(label, unit, True) <= room), ""))
    return labels if all(labels) else None
