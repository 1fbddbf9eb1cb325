"""The cautions that the coach reads before the first session, and can read again at any time.

They are data, so that the app, the command line and the README say the same. These are the usual
cautions of the trade; none of them replaces local rules or a qualified person.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.language import tr


class Caution(NamedTuple):
    """One caution: its subject in two or three words, and what to do."""

    about: str
    text: str


CAUTIONS = (
    Caution(
        tr("Lifeguard first"),
        tr("The lifeguard and the pool's own rules come first. This app doesn't replace them, or a qualified coach."),
    ),
    Caution(
        tr("Breath-holding"),
        tr(
            "One swimmer at a time, supervised, fully rested first. No hyperventilation (fast, deep breaths). Never "
            "repeated, never as a competition. Stop at the urge to breathe."
        ),
    ),
    Caution(
        tr("Dives"),
        tr("Only into deep, clear water, and only by swimmers taught to dive."),
    ),
    Caution(
        tr("Keep children warm"),
        tr("Standing in the water for three minutes makes them cold. Keep them moving."),
    ),
    Caution(
        tr("Where to put the tablet"),
        tr(
            "Behind the end of the lane, away from the edge and off the walkway, where nobody can trip over it or dive "
            "over it."
        ),
    ),
    Caution(
        tr("Electricity"),
        tr(
            "Run on battery, outside the splash zone: ask the pool staff how far that goes; local electrical rules "
            "decide. No mains leads on a wet deck."
        ),
    ),
    Caution(
        tr("Health"),
        tr("Feeling unwell? Get out. New to hard training? See a doctor first."),
    ),
)
