"""A series of sessions: their order, what was visited when and by whom, what is due again, and the next page.

**Decided**

- Pages belong together by what they revisit; one that revisits nothing and is revisited by none, by its focus.
- A visit is a session in which a focus or a drill was swum, however little. What is due again goes by days, as the
  squad meets by days. The gaps are our own choice (`due.py`): no source is known to us that measured drills.
- A swimmer belongs to the sessions from their first to their last one, and to the later ones too while they are in the
  squad. Where they were not at one, or swam nothing of what the others did, they missed it.
"""
