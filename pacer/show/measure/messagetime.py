"""How long messages are shown. Times, and what can be undone over the view, have their own: `face.deck.viewtags`."""

PAGE_MS = 5_000  #: on a page's bar
SHEET_MS = 5_000  #: on the sheet: what was done
BAR_MS = 4_000  #: on a session's bar
HINT_MS = 1_500  #: there: what a key would have done, or how to press it
