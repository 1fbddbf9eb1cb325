"""On deck: what a coach does in the middle of a session, beside the view that goes on.

A leaf (`leaf.Leaf`) is what stands on the sheet (`sheet.Sheet`): the changes that can be made, a number pad,
the times that were taken. Leaves know no Kivy and no rule of the session: they offer journal entries.

**Decided**

- What is done on deck stands beside the view, never over it. A lane's number opens its sheet, the view goes on in
  what room is left. A leaf offers journal entries and knows neither Kivy nor a rule; what an entry would do is told
  by `outlook` before it is done. Refused: windows over the view (they cover a clock), a bar of keys for each lane
  (a thumb finds none of sixty).
- Notes on deck are written with keys of our own on the sheet. Refused: the tablet's keyboard (it lies over STOP
  ALL), and moving everything above it (a view under a hand's width of glass cannot be read).
- The key that undoes says, while it is pressed, what comes back; the same is done when it is full. It leaves STOP AT
  WALL clear, and views without lanes stand above it meanwhile.
- What may take longer than a frame (the fit of Finish by, the way from a text to its session) is worked out aside
  (`show/drive/asidethread.Answers`): the last answer stands meanwhile, or `…`. The fit is asked for anew only when
  what is left of the session is another, so what is pressed is always of the present instant.
"""
