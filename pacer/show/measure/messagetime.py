"""How long messages are shown, and what can be undone or answered over the view."""

PAGE_MS = 5_000  #: on a page's bar
SHEET_MS = 5_000  #: on the sheet: what was done
BAR_MS = 4_000  #: on a session's bar
HINT_MS = 1_500  #: there: what a key would have done, or how to press it; what was undone
LOCK_MS = 3_000  #: on the splash lock: why it did not open
TIME_MS = 12_000  #: a time, on its lane
FORECAST_MS = 8_000  #: on a lane, what becomes of it by a press that was made
UNDO_MS = 10_000  #: Undo over the view, after a change
OLD_MS = 45_000  #: a change made that long ago is undone by the bar's Undo only if it is held down twice
AGAIN_MS = 8_000  #: how long the second time may come after the first
SUM_UP_MS = 180_000  #: over the view, how the session went; later that is behind Record
