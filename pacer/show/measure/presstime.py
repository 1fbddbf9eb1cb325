"""How long keys are pressed until they act, and which taps count as one, on the tablet and on lane screens.

Which swim a touch belongs to, however soon after another: `session.records.touches`.
"""

from __future__ import annotations

HELD_MS = 400  #: a key that changes the session
ASK_MS = 250  #: how often a pressed key updates what it would do
BOUNCE_MS = 300  #: of a rate or a stopwatch: a tap this soon after another is the same tap on a wet screen
LAST_STROKE_MS = (
    6_000  #: a stroke rate ends after so long without a tap: at 10 cycles a minute the next would have come
)
STOP_MS = 500  #: STOP ALL, with one finger or several
COMPLETE_MS = 700  #: an answer that can only be complete is shown so long, then the next question comes by itself
CLOSED_MS = 2_000  #: a tap so soon where the sheet was, after a key of the bar has closed it, was meant for the sheet
WORD_MS = 500  #: a finger on a text, until it selects a word
TAG_MS = 3_000  #: a tap this soon on a time over the view does not correct it: it may be the same finger again
SAME_MARK_MS = 1_000  #: the same quick mark this soon after is a wet screen
OLDEST_FINGER_MS = 2_000  #: a finger that came down longer ago than this times nothing
