"""On deck: what a coach does during a session, beside the view, which keeps running.

A leaf (`leaf.Leaf`) is one screenful of the sheet (`sheet.Sheet`): the changes that can be made, a number pad, the
times that were taken. Leaves know no Kivy and no rules of the session: they offer journal entries.

**Decided**

- Everything on deck is beside the view, never over it. A lane's number opens its sheet; the view uses the room that is
  left. A leaf offers journal entries and knows neither Kivy nor rules; `outlook` says what an entry would do before it
  is done. Rejected: windows over the view (they cover a clock), a bar of keys for each lane (no thumb finds one key
  among sixty).
- Notes on deck are written with our own keys on the sheet. Rejected: the tablet's keyboard (it covers STOP ALL), and
  moving everything above it (a view less than a hand high can't be read).
- The Undo key says, while it is pressed, what it brings back, and does that when it is full. It never covers STOP AT
  WALL, and views without lanes move up above it.
- Anything that may take longer than a frame (the fit of Finish by, making a session from a text) is worked out on
  another thread (`show/drive/asidethread.Answers`): until then the last answer stays, or `…`. The fit is asked again
  only when the rest of the session has changed, so a press is always about the current instant.
"""
