"""Sets, times, moves and changes in a coach's words.

**Decided**

- One way out everywhere (`pacer/show/wording/commonkeys.py`): Close, always in the same corner, leaves what is shown,
  also while the keyboard is up (Hide keyboard, shown beside it, puts the keyboard away); a question is left by its
  answers. The bar's keys name their lanes and keep their places in every state; from the count-down on the bar is the
  session's, and another start is chosen behind More.
- The finish and the end of the booking are two times of day, one rounded up and the other down, so that they agree
  however often they are read. "Over" appears only when it is over, never for the seconds of a session that fits
  (`instantview`). Rejected: minutes to spare (three readings gave two ends of the booking).
"""
