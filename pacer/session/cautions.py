"""The cautions that the coach reads before the first session, and can read again at any time.

They are data, so that the app, the command line and the README say the same. These are the usual
cautions of the trade; none of them replaces local rules or a qualified person.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.language import tr
from pacer.plan.times import MINUTE_MS
from pacer.timeline.restlimits import COLD_MS


class Caution(NamedTuple):
    """One caution: its subject in one or two words, what to do, and the same in a few words.

    The few are read before the first start, with the rest one touch away. What a plan's lines need (breath-holding,
    dives, a cold wait) is said again where they are checked.
    """

    about: str
    text: str
    brief: str


CAUTIONS = (
    Caution(
        tr("Lifeguard first"),
        tr("The lifeguard and the pool's own rules come first. This app doesn't replace them, or a qualified coach."),
        tr("And the pool's rules. This app replaces neither, nor a qualified coach."),
    ),
    Caution(
        tr("Breath-holding"),
        tr(
            "One swimmer at a time, supervised, fully rested first. No hyperventilation (fast, deep breaths). Never "
            "repeated, never as a competition. Stop at the urge to breathe."
        ),
        tr("Supervised, one at a time. No hyperventilation."),
    ),
    Caution(
        tr("Dives"),
        tr("Only into deep, clear water, and only by swimmers taught to dive."),
        tr("Deep, clear water; taught swimmers only."),
    ),
    Caution(
        tr("Children"),
        tr(
            "Standing in the water for {minutes} minutes makes them cold. Keep them moving.",
            minutes=COLD_MS // MINUTE_MS,
        ),
        tr("Cold after {minutes} minutes' standing.", minutes=COLD_MS // MINUTE_MS),
    ),
    Caution(
        tr("Tablet"),
        tr(
            "Behind the end of the lane, away from the edge and off the walkway, where nobody can trip over it or dive "
            "over it."
        ),
        tr("Off the edge and the walkway."),
    ),
    Caution(
        tr("Electricity"),
        tr(
            "Run on battery, outside the splash zone: ask the pool staff how far that goes; local electrical rules "
            "decide. No mains leads on a wet deck."
        ),
        tr("Battery only, away from splashes."),
    ),
    Caution(
        tr("Health"),
        tr("Feeling unwell? Get out. New to hard training? See a doctor first."),
        tr("Unwell? Get out. New to hard training? Doctor first."),
    ),
)
#: Headings and texts, for a page.
IN_FULL = tuple((caution.about, caution.text) for caution in CAUTIONS)
IN_BRIEF = tuple((caution.about, caution.brief) for caution in CAUTIONS)
