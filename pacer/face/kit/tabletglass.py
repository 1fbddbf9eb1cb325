"""The screen of this tablet, as it is now."""

from __future__ import annotations

from kivy.metrics import Metrics

from pacer.show.measure.legibility import COACH_M, Glass


def tablet_glass(reading_distance_m: float) -> Glass:
    """The screen, read by swimmers from so far away.

    The coach's words grow with the tablet's own text size as far as there is room.
    """
    return Glass.of_dpi(Metrics.dpi, tier_1_m=float(reading_distance_m), coach_m=COACH_M * max(1.0, Metrics.fontscale))
