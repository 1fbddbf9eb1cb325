"""A series of sessions: their order, who visited what and when, what is due again, and the next page.

**Decided**

- Pages belong together by what they revisit; a page that revisits nothing and that no page revisits, by its focus.
- A visit is a session in which a focus or a drill was swum, however little. Days decide what is due again, because the
  squad meets on days. The gaps are our own choice (`due.py`): we know of no source that measured drills.
- A swimmer belongs to the sessions from their first to their last one, whether they swam it or were marked absent, and
  also to later ones while they are in the squad. A swimmer who was not at such a session, or swam nothing of what the
  others did, missed it.
- A session goes under the title that its plan has now: a plan that is renamed stays where it was in its series.
"""
