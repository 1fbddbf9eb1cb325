"""The cautions that the coach reads before the first session, and can read again at any time.

They are data, so that the app, the command line and the README say the same. These are the usual
cautions of the trade; none of them replaces local rules or a qualified person.
"""

from __future__ import annotations

from typing import NamedTuple


class Caution(NamedTuple):
    """One caution: its subject in two or three words, and what to do."""

    about: str
    text: str


CAUTIONS = (
    Caution(
        "Lifeguard first",
        "The lifeguard and the pool's own rules come first. This app doesn't replace them, or a qualified coach.",
    ),
    Caution(
        "Breath-holding",
        "No hyperventilation (fast, deep breaths), no repeats, no contests. Supervised, one at a time, full "
        "recovery, and stop at the urge to breathe.",
    ),
    Caution(
        "Dives",
        "Only into deep, clear water, and only by swimmers who have been taught to dive.",
    ),
    Caution(
        "Keep children warm",
        "Children who stand in the water for over three minutes get cold. Keep them moving.",
    ),
    Caution(
        "Where to put the tablet",
        "Off the touch wall and the walkway, where somebody could trip over it or dive over it.",
    ),
    Caution(
        "Electricity",
        "Run on battery, out of the splash zone; the local electrical code says how far that is. Keep mains "
        "leads away from the wet deck.",
    ),
    Caution(
        "Health",
        "Feeling unwell? Get out. New to hard training? See a doctor first.",
    ),
)
